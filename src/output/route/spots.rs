//! Points on the faces of a building.

use crate::building::{ElementShape, PlacedOpening, SlabRole};
use crate::geometry::{DVec2, Extent, contains, foot, heading, line, signed_area};
use crate::solve::Surface;

use super::{BEFORE_M, Point3, Routes};

/// How much of a wall's or floor's rim no route passes, part of its size: so that they stay clear of corners.
const RIM: f64 = 0.08;

impl Routes<'_> {
    /// A point on a face: `at` along and up it (of a floor: across it), 0 to 1. Nothing for the air, a duct, or a face of another building.
    pub(super) fn spot(&self, face: Surface, at: [f64; 2]) -> Option<Point3> {
        let element = self.building.elements.get(face.element()?.0)?;
        let [u, v] = at.map(|part| RIM + (1.0 - 2.0 * RIM) * part.clamp(0.0, 1.0));
        let (ElementShape::Wall { level_m, .. } | ElementShape::Slab { level_m, .. }) = &element.shape;
        match (face, &element.shape) {
            (Surface::Element(_), ElementShape::Wall { line, height_m, .. }) => {
                Some(on_line(*line, u, level_m + v * height_m))
            }
            (Surface::Element(_), ElementShape::Slab { pieces, .. }) => {
                let area_m2 = |rings: &[Vec<[f64; 2]>]| rings.first().map_or(0.0, |ring| signed_area(ring).abs());
                let largest = pieces.iter().max_by(|a, b| area_m2(a).total_cmp(&area_m2(b)))?;
                within(largest, [u, v]).map(|[x, y]| [x, y, *level_m])
            }
            (Surface::Opening(_, index), _) => {
                let opening = element.openings.get(index)?;
                Some(on_line(opening.line, u, level_m + opening.sill_m + v * opening.size_m[1]))
            }
            (Surface::Gap(_, index), _) => Some(round(element.openings.get(index)?, *level_m, at)),
            _ => None,
        }
    }

    /// The point of a face nearest to another: where a foot comes down, where a stand leans.
    pub(super) fn onto(&self, face: Surface, from: Point3) -> Point3 {
        let Some(element) = face.element().and_then(|at| self.building.elements.get(at.0)) else { return from };
        match &element.shape {
            ElementShape::Slab { level_m, .. } => [from[0], from[1], *level_m],
            ElementShape::Wall { line: ends, .. } => {
                let at = foot(DVec2::new(from[0], from[1]), line(*ends));
                [at.x, at.y, from[2]]
            }
        }
    }

    /// A point in the open before a face's outer side.
    pub(super) fn before(&self, face: Surface, at: Point3) -> Point3 {
        let Some(element) = face.element().and_then(|at| self.building.elements.get(at.0)) else { return at };
        match &element.shape {
            ElementShape::Wall { line: ends, .. } => {
                // The first side lies on the left of the line.
                let out = if element.sides[0] == self.building.outdoors() { BEFORE_M } else { -BEFORE_M };
                let out = heading(line(*ends)).perp() * out;
                [at[0] + out.x, at[1] + out.y, at[2]]
            }
            ElementShape::Slab { role, .. } => {
                let up = if *role == SlabRole::Soffit { -BEFORE_M } else { BEFORE_M };
                [at[0], at[1], at[2] + up]
            }
        }
    }
}

fn on_line([p, q]: [[f64; 2]; 2], part: f64, z: f64) -> Point3 {
    [p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1]), z]
}

/// A point on the rim of an opening; half of them at its foot where a gap is left under it.
fn round(opening: &PlacedOpening, level_m: f64, [u, v]: [f64; 2]) -> Point3 {
    let [wide, high] = opening.size_m;
    let foot = level_m + opening.sill_m;
    let on = |part: f64, up: f64| on_line(opening.line, part, foot + up);
    if opening.undercut_mm > 0.0 && v < 0.5 {
        return on(u, 0.0);
    }
    match u * 2.0 * (wide + high) {
        gone if gone < wide => on(gone / wide, 0.0),
        gone if gone < wide + high => on(1.0, gone - wide),
        gone if gone < 2.0 * wide + high => on(1.0 - (gone - wide - high) / wide, high),
        gone => on(0.0, (2.0 * (wide + high) - gone).clamp(0.0, high)),
    }
}

/// A point within rings: at `part` along and across its bounds, or as near in the sequence after it as there is one inside.
pub(super) fn within(rings: &[Vec<[f64; 2]>], part: [f64; 2]) -> Option<[f64; 2]> {
    /// Steps of a sequence that fills the square evenly: powers of 1/1.3247…, the root of x³ = x + 1 (from memory, unverified).
    const STEP: DVec2 = DVec2::new(0.754_877_666_2, 0.569_840_291_0);
    let ring = rings.first()?;
    let Extent { low, high } = Extent::round(ring.iter().copied(), 0.0);
    (0..64)
        .map(|step| low + (DVec2::from(part) + f64::from(step) * STEP).fract() * (high - low))
        .find(|point| contains(rings, *point))
        .map(Into::into)
        .or_else(|| ring.first().copied())
}
