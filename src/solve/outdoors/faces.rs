//! The parts of façades and roofs that sound passes.

use glam::{DVec2, DVec3};

use super::super::answer::{PathKind, Surface};
use super::super::element::Elements;
use crate::acoustics::Spectrum;
use crate::building::{Building, Element, ElementIndex, ElementShape, PlacedDuct, SlabRole, SpaceIndex, SpaceKind};
use crate::geometry::centroid;

/// A duct whose mouth is no farther than this beside its other end, m, looks upwards. Own limit.
const UPRIGHT_M: f64 = 0.3;

/// Part of a façade or roof that sound passes: the element itself, an opening, or the gap round one.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::solve) struct RadiatingFace {
    /// The room behind it.
    pub room: SpaceIndex,
    /// Which part.
    pub surface: Surface,
    /// How the sound gets out: through it, through a gap or hole, through a duct.
    pub kind: PathKind,
    /// τ·S, m².
    pub tau_m2: Spectrum,
    /// Its middle, m: x, y in the plan, z above the street.
    pub middle: DVec3,
    /// Outward normal.
    pub normal: DVec3,
    /// Width and height, m.
    pub size_m: [f64; 2],
    /// How far it reaches along its wall, m; zero for roofs.
    pub width_m: f64,
}

/// Every part of the building's shell, room by room.
pub(in crate::solve) fn faces(building: &Building, elements: &Elements) -> Vec<RadiatingFace> {
    let outdoors = building.outdoors();
    let mut all = Vec::with_capacity(building.elements.len() + building.elements.len() / 2);
    for (at, element) in building.elements.iter().enumerate() {
        let Some(outer) = element.sides.iter().position(|side| *side == outdoors) else { continue };
        let room = element.sides[1 - outer];
        if !matches!(building.spaces[room.0].kind, SpaceKind::Room(_)) {
            continue;
        }
        let index = ElementIndex(at);
        let part = &elements[index];
        let Some((middle, normal)) = placed(element, outer) else { continue };
        let whole = RadiatingFace {
            room,
            surface: Surface::Element(index),
            kind: PathKind::Through,
            tau_m2: part.tau_m2,
            middle,
            normal,
            size_m: element.size_m,
            width_m: match element.shape {
                ElementShape::Wall { line: [p, q], .. } => DVec2::from(p).distance(DVec2::from(q)),
                ElementShape::Slab { .. } => 0.0,
            },
        };
        for (number, opening) in element.openings.iter().enumerate() {
            let ElementShape::Wall { level_m, .. } = element.shape else { continue };
            let height_m = level_m + opening.sill_m + opening.size_m[1] / 2.0;
            let middle = DVec2::from(opening.at).extend(height_m);
            let passed = &part.openings[number];
            let face = RadiatingFace { middle, size_m: opening.size_m, width_m: opening.size_m[0], ..whole.clone() };
            all.push(RadiatingFace {
                surface: Surface::Opening(index, number),
                kind: if passed.hole { PathKind::Gap } else { PathKind::Through },
                tau_m2: passed.tau_m2,
                ..face.clone()
            });
            all.push(RadiatingFace {
                surface: Surface::Gap(index, number),
                kind: PathKind::Gap,
                tau_m2: passed.gap_m2,
                ..face
            });
        }
        all.push(whole);
    }
    all.extend(building.ducts.iter().enumerate().filter_map(|(at, duct)| mouth(building, elements, at, duct)));
    all.retain(|face| face.tau_m2.iter().any(|tau_m2| *tau_m2 > 0.0));
    all
}

/// The mouth of a duct in the open: it looks away from its other end, and upwards when it stands right over that.
fn mouth(building: &Building, elements: &Elements, at: usize, duct: &PlacedDuct) -> Option<RadiatingFace> {
    let outdoors = building.outdoors();
    let outer = duct.ends.iter().position(|end| end.space == outdoors)?;
    let (mouth, inner) = (&duct.ends[outer], &duct.ends[1 - outer]);
    let tau_m2 = *elements.duct_m2.get(at)?;
    let out = DVec2::from(mouth.at) - DVec2::from(inner.at);
    let normal = if out.length() > UPRIGHT_M { out.normalize().extend(0.0) } else { DVec3::Z };
    Some(RadiatingFace {
        room: inner.space,
        surface: Surface::Duct(at),
        kind: PathKind::Duct,
        tau_m2,
        middle: DVec2::from(mouth.at).extend(mouth.height_m),
        normal,
        // A point: no duct is wide against its distance to ears.
        size_m: [0.01, 0.01],
        width_m: 0.0,
    })
}

/// Middle and outward normal; `outer` is the side that lies outdoors.
fn placed(element: &Element, outer: usize) -> Option<(DVec3, DVec3)> {
    match &element.shape {
        ElementShape::Wall { line, height_m, level_m, .. } => {
            let [p, q] = line.map(DVec2::from);
            // Left of the line is side 0.
            let left = (q - p).perp().try_normalize()?;
            let normal = if outer == 0 { left } else { -left };
            Some((p.midpoint(q).extend(level_m + height_m / 2.0), normal.extend(0.0)))
        }
        ElementShape::Slab { role, pieces, level_m, .. } => {
            let normal = if *role == SlabRole::Soffit { DVec3::NEG_Z } else { DVec3::Z };
            Some((centroid(pieces)?.extend(*level_m), normal))
        }
    }
}
