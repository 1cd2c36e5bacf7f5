//! Round a junction: in by one element, out by another (ISO 12354-1:2017, detailed model).

use std::collections::BTreeMap;

use super::super::construction::add;
use super::super::element::Elements;
use super::{PathKind, Surface, Transfer, is_room};
use crate::acoustics::Spectrum;
use crate::acoustics::flanking::{LegFactors, path_area_of_factors_m2};
use crate::acoustics::junction::kij_min_db;
use crate::building::{Building, Element, ElementIndex, ElementShape, Junction, JunctionIndex, SpaceIndex};

/// Room to room, and the elements the sound enters and leaves by.
type Way = (SpaceIndex, SpaceIndex, ElementIndex, ElementIndex);

/// The ways round every junction. Pieces of one line with the same two elements are one way; its junction is the longest piece.
pub(super) fn transfers(building: &Building, elements: &Elements) -> Vec<Transfer> {
    let mut ways: BTreeMap<Way, (Spectrum, JunctionIndex, f64)> = BTreeMap::new();
    let legs: Vec<[LegFactors; 2]> =
        elements.iter().map(|part| [0, 1].map(|side| LegFactors::of(&part.legs[side]))).collect();
    for (at, junction) in building.junctions.iter().enumerate() {
        for i in 0..junction.arms.len() {
            for j in 0..junction.arms.len() {
                let (from, to) = (junction.arms[i].element, junction.arms[j].element);
                if from == to {
                    continue;
                }
                let Some(kij) = &elements.junctions[at].factor[i][j] else { continue };
                add_ways(building, elements, &legs, JunctionIndex(at), (from, to), kij, &mut ways);
            }
        }
    }
    ways.into_iter()
        .map(|((from, to, entry, exit), (area_m2, junction, _))| Transfer {
            from,
            to,
            kind: PathKind::Flanking,
            entry: Surface::Element(entry),
            exit: Surface::Element(exit),
            junction: Some(junction),
            area_m2,
        })
        .collect()
}

fn add_ways(
    building: &Building,
    elements: &Elements,
    legs: &[[LegFactors; 2]],
    at: JunctionIndex,
    (i, j): (ElementIndex, ElementIndex),
    kij_factor: &Spectrum,
    ways: &mut BTreeMap<Way, (Spectrum, JunctionIndex, f64)>,
) {
    let junction = &building.junctions[at.0];
    for (side_i, from) in building.elements[i.0].sides.iter().enumerate() {
        for (side_j, to) in building.elements[j.0].sides.iter().enumerate() {
            if from == to || !is_room(building, *from) || !is_room(building, *to) {
                continue;
            }
            if parted_by_twin(building, elements, junction, *from, *to) {
                continue;
            }
            let (leg_i, leg_j) = (&legs[i.0][side_i], &legs[j.0][side_j]);
            let least_db = kij_min_db(junction.length_m, leg_i.area_m2, leg_j.area_m2);
            let most = 10f64.powf(-least_db / 10.0);
            let area = path_area_of_factors_m2(leg_i, leg_j, junction.length_m, &kij_factor.map(|kij| kij.min(most)));
            let way = ways.entry((*from, *to, i, j)).or_insert((Spectrum::ZERO, at, 0.0));
            way.0 = add(&way.0, &area);
            if junction.length_m > way.2 {
                (way.1, way.2) = (at, junction.length_m);
            }
        }
    }
}

/// True when a wall of two leaves stands between the rooms at this junction: each room's structure then ends at its own leaf.
///
/// What crosses by ties and footings is part of the wall's own R; joists that run on would cross, and do not stop here.
/// Own simplification: ISO 12354-1:2017 lists no Kij across a cavity wall.
fn parted_by_twin(
    building: &Building,
    elements: &Elements,
    junction: &Junction,
    from: SpaceIndex,
    to: SpaceIndex,
) -> bool {
    let runs_on = junction
        .arms
        .iter()
        .any(|arm| arm.continuous && matches!(building.elements[arm.element.0].shape, ElementShape::Slab { .. }));
    if runs_on {
        return false;
    }
    let twins = || junction.arms.iter().map(|arm| arm.element).filter(|element| elements[*element].twin);
    twins().any(|near| {
        twins().any(|far| {
            let (near, far) = (&building.elements[near.0], &building.elements[far.0]);
            let Some(own) = near.sides.iter().position(|side| *side == from) else { return false };
            let Some(other) = far.sides.iter().position(|side| *side == to) else { return false };
            let turned = runs_against(near, far);
            (own != other) != turned
        })
    })
}

/// True when two walls in line run in opposite directions.
fn runs_against(a: &Element, b: &Element) -> bool {
    match (&a.shape, &b.shape) {
        (ElementShape::Wall { line: [p, q], .. }, ElementShape::Wall { line: [r, s], .. }) => {
            (q[0] - p[0]) * (s[0] - r[0]) + (q[1] - p[1]) * (s[1] - r[1]) < 0.0
        }
        _ => false,
    }
}
