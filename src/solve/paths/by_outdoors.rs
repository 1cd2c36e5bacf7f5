//! Out by one façade and in by another, and out to a listener in the open.

use super::super::Conditions;
use super::super::element::Elements;
use super::{PathKind, Surface, Transfer, is_room};
use crate::acoustics::Spectrum;
use crate::acoustics::outdoors::{INWARD_FACTOR, facade_directivity_db, rectangle_spreading_per_m2};
use crate::building::{Building, Element, ElementIndex, ElementShape, SlabRole, SpaceIndex};

/// Nearer than this a façade part is no rectangle seen from before it, m. Own guard.
const NEAREST_M: f64 = 0.5;
/// Façade parts of less τ·S than this in every band, m², are not followed to other façades: 90 dB under 1 m² of open window.
const LEAST_M2: f64 = 1e-9;

/// Part of a façade or roof that sound passes: the element itself, an opening, or the gap round one.
#[derive(Debug, Clone, PartialEq)]
pub struct RadiatingFace {
    /// The room behind it.
    pub room: SpaceIndex,
    /// Which part.
    pub surface: Surface,
    /// True when nothing or only a gap is in the way.
    pub leak: bool,
    /// τ·S, m².
    pub tau_m2: Spectrum,
    /// Its middle, m: x, y in the plan, z above the street.
    pub middle: [f64; 3],
    /// Outward normal.
    pub normal: [f64; 3],
    /// Width and height, m.
    pub size_m: [f64; 2],
}

/// Every part of the building's shell, room by room.
#[must_use]
pub fn faces(building: &Building, elements: &Elements) -> Vec<RadiatingFace> {
    let outdoors = building.outdoors();
    let mut all = Vec::new();
    for (at, element) in building.elements.iter().enumerate() {
        let Some(outer) = element.sides.iter().position(|side| *side == outdoors) else { continue };
        let room = element.sides[1 - outer];
        if !is_room(building, room) {
            continue;
        }
        let index = ElementIndex(at);
        let part = &elements[index];
        let Some((middle, normal)) = placed(element, outer) else { continue };
        let whole = RadiatingFace {
            room,
            surface: Surface::Element(index),
            leak: false,
            tau_m2: part.tau_m2,
            middle,
            normal,
            size_m: element.size_m,
        };
        for (number, opening) in element.openings.iter().enumerate() {
            let ElementShape::Wall { level_m, .. } = element.shape else { continue };
            let middle = [opening.at[0], opening.at[1], level_m + opening.sill_m + opening.size_m[1] / 2.0];
            let passed = &part.openings[number];
            let face = RadiatingFace { middle, size_m: opening.size_m, ..whole.clone() };
            all.push(RadiatingFace {
                surface: Surface::Opening(index, number),
                leak: passed.hole,
                tau_m2: passed.tau_m2,
                ..face.clone()
            });
            all.push(RadiatingFace { surface: Surface::Gap(index, number), leak: true, tau_m2: passed.gap_m2, ..face });
        }
        all.push(whole);
    }
    all.retain(|face| face.tau_m2.iter().any(|tau_m2| *tau_m2 > 0.0));
    all
}

/// Middle and outward normal; `outer` is the side that lies outdoors.
fn placed(element: &Element, outer: usize) -> Option<([f64; 3], [f64; 3])> {
    match &element.shape {
        ElementShape::Wall { line: [p, q], height_m, level_m, .. } => {
            let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
            let length = dx.hypot(dy);
            if length <= 0.0 {
                return None;
            }
            // Left of the line is side 0.
            let sign = if outer == 0 { 1.0 } else { -1.0 };
            let normal = [-sign * dy / length, sign * dx / length, 0.0];
            Some(([(p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0, level_m + height_m / 2.0], normal))
        }
        ElementShape::Slab { role, pieces, level_m, .. } => {
            let ring = pieces.first()?.first()?;
            let n = ring.len().max(1) as f64;
            let middle = ring.iter().fold([0.0; 2], |sum, p| [sum[0] + p[0] / n, sum[1] + p[1] / n]);
            let up = if *role == SlabRole::Soffit { -1.0 } else { 1.0 };
            Some(([middle[0], middle[1], *level_m], [0.0, 0.0, up]))
        }
    }
}

/// Mean squared pressure at a point over that in the room behind a face, without the face's τ·S: 1/m².
///
/// W = τS·p²/(4ρ0c0) is radiated; the rectangle's spreading over reflecting ground and VDI 2571's directivity carry it on.
/// Sources: EN 12354-4:2000, Formula (2) and Annex E; [`facade_directivity_db`].
#[must_use]
pub fn spreading_per_m2(face: &RadiatingFace, point: [f64; 3]) -> f64 {
    let to = [0, 1, 2].map(|axis| point[axis] - face.middle[axis]);
    let distance_m = to.iter().map(|d| d * d).sum::<f64>().sqrt().max(NEAREST_M);
    let cos_angle = to.iter().zip(face.normal).map(|(d, n)| d * n).sum::<f64>() / distance_m;
    let spreading = rectangle_spreading_per_m2(face.size_m[0].max(0.01), face.size_m[1].max(0.01), distance_m);
    spreading / 4.0 * 10f64.powf(facade_directivity_db(cos_angle) / 10.0)
}

/// From every room's shell to every other room's.
pub(super) fn transfers(building: &Building, elements: &Elements, _conditions: &Conditions) -> Vec<Transfer> {
    let all: Vec<RadiatingFace> = faces(building, elements)
        .into_iter()
        .filter(|face| face.tau_m2.iter().any(|tau_m2| *tau_m2 > LEAST_M2))
        .collect();
    let mut ways = Vec::new();
    for (a, out) in all.iter().enumerate() {
        for back in all.iter().skip(a + 1).filter(|back| back.room != out.room) {
            // Geometric mean of both directions, so that the way is the same both ways whatever the sizes of the two.
            let spreading = (received(out, back) * received(back, out)).sqrt();
            let area_m2 = out.tau_m2.zip(&back.tau_m2, |out, back| INWARD_FACTOR * out * back * spreading);
            for (from, to) in [(out, back), (back, out)] {
                ways.push(Transfer {
                    from: from.room,
                    to: to.room,
                    kind: PathKind::ByOutdoors,
                    entry: from.surface,
                    exit: to.surface,
                    junction: None,
                    area_m2,
                });
            }
        }
    }
    ways
}

/// Spreading from one face to the middle of another. A face turned away from where sound comes from gets it round the corner, as a façade
/// radiates it (reciprocity).
fn received(out: &RadiatingFace, back: &RadiatingFace) -> f64 {
    let to = [0, 1, 2].map(|axis| out.middle[axis] - back.middle[axis]);
    let distance_m = to.iter().map(|d| d * d).sum::<f64>().sqrt().max(NEAREST_M);
    let cos_angle = to.iter().zip(back.normal).map(|(d, n)| d * n).sum::<f64>() / distance_m;
    spreading_per_m2(out, back.middle) * 10f64.powf(facade_directivity_db(cos_angle) / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    /// Far before a small face: p²/p_in² = τS/4 · 1/(π·d²) (EN 12354-4:2000 Annex E far limit; within 1 %).
    #[test]
    fn far_ahead_a_window_is_a_point_over_the_ground() {
        let face = RadiatingFace {
            room: SpaceIndex(0),
            surface: Surface::Air,
            leak: false,
            tau_m2: Spectrum::splat(1.0),
            middle: [0.0, 0.0, 1.5],
            normal: [0.0, -1.0, 0.0],
            size_m: [1.2, 1.4],
        };
        let got = spreading_per_m2(&face, [0.0, -20.0, 1.5]);
        assert!((got * 4.0 * PI * 400.0 - 1.0).abs() < 0.01, "{got}");
    }
}
