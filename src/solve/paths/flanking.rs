//! Round a junction: in by one element, out by another (ISO 12354-1:2017, detailed model).

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::super::answer::{PathKind, Surface};
use super::super::construction::add;
use super::super::element::Elements;
use super::transfer::{Transfer, is_room};
use crate::acoustics::Spectrum;
use crate::acoustics::flanking::path_area_m2;
use crate::acoustics::junction::most_kij_factor;
use crate::building::{Building, ElementIndex, ElementShape, Junction, JunctionIndex, SpaceIndex};

/// The rooms at the ends of a path, the one that comes first in the building's list before the other, and the elements the sound enters and leaves by.
type Ends = ([SpaceIndex; 2], [ElementIndex; 2]);

/// The paths round every junction, into a list. Pieces of one line with the same two elements are one path; its junction is the longest piece.
pub(super) fn transfers(building: &Building, elements: &Elements, into: &mut Vec<Transfer>) {
    let round = |at| round(building, elements, JunctionIndex(at));
    let all: Vec<(Ends, JunctionIndex, Spectrum)> =
        (0..building.junctions.len()).into_par_iter().flat_map_iter(round).collect();
    let length_m = |junction: JunctionIndex| building.junctions[junction.0].length_m;
    let mut sums: BTreeMap<Ends, (JunctionIndex, Spectrum)> = BTreeMap::new();
    for (ends, junction, area_m2) in all {
        let (longest, sum) = sums.entry(ends).or_insert((junction, Spectrum::ZERO));
        *sum = add(sum, &area_m2);
        if length_m(junction) > length_m(*longest) {
            *longest = junction;
        }
    }
    for ((rooms, [entry, exit]), (junction, area_m2)) in sums {
        into.push(Transfer {
            rooms,
            kind: PathKind::Flanking,
            surfaces: [Surface::Element(entry), Surface::Element(exit)],
            junction: Some(junction),
            area_m2,
            route: None,
        });
    }
}

/// The paths round a junction.
fn round(building: &Building, elements: &Elements, at: JunctionIndex) -> Vec<(Ends, JunctionIndex, Spectrum)> {
    let junction = &building.junctions[at.0];
    let mut paths = Vec::new();
    for (i, entry) in junction.arms.iter().enumerate() {
        for (j, exit) in junction.arms.iter().enumerate().filter(|(_, exit)| exit.element != entry.element) {
            let Some(kij_factor) = &elements.junctions[at.0].factor[i][j] else { continue };
            let ends = [entry.element, exit.element];
            let [one, other] = ends.map(|element| (&building.elements[element.0], &elements.solved[element.0]));
            for (from, entering) in one.0.sides.into_iter().zip(&one.1.flanking) {
                for (to, leaving) in other.0.sides.into_iter().zip(&other.1.flanking) {
                    let apart = from < to && is_room(building, from) && is_room(building, to);
                    if !apart || parted_by_twin(building, elements, junction, from, to) {
                        continue;
                    }
                    let most = most_kij_factor(junction.length_m, entering.area_m2, leaving.area_m2);
                    let kij_factor = kij_factor.map(|kij| kij.min(most));
                    let area_m2 = path_area_m2(entering, leaving, junction.length_m, &kij_factor);
                    paths.push((([from, to], ends), at, area_m2));
                }
            }
        }
    }
    paths
}

/// True when walls of two leaves part the rooms at this junction: each room's structure then ends at its own leaf.
///
/// They do if the rooms are the two sides of one of them, or if at least two of them meet and nothing else leads, side to side round the line, from one room
/// to the other: round the outer corner of two such walls the single walls run on. It asks for no direction, so it is the same however the walls were drawn.
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
    let arms = || junction.arms.iter().map(|arm| arm.element);
    let sides =
        |twin: bool| arms().filter(move |arm| elements[*arm].twin == twin).map(|arm| building.elements[arm.0].sides);
    if sides(true).any(|sides| sides.contains(&from) && sides.contains(&to)) {
        return true;
    }
    sides(true).count() > 1 && !are_joined(sides(false), from, to)
}

/// True when a chain of elements leads, side to side, from one space to another.
fn are_joined(elements: impl Iterator<Item = [SpaceIndex; 2]> + Clone, from: SpaceIndex, to: SpaceIndex) -> bool {
    let mut reached = vec![from];
    let mut met = 0;
    while let Some(&here) = reached.get(met) {
        met += 1;
        for [one, other] in elements.clone() {
            let beyond = if one == here { other } else { one };
            if (one == here || other == here) && !reached.contains(&beyond) {
                reached.push(beyond);
            }
        }
    }
    reached.contains(&to)
}
