//! Round a junction: in by one element, out by another (ISO 12354-1:2017, detailed model).

use std::sync::Arc;

use super::super::Memory;
use super::super::construction::add;
use super::super::element::Elements;
use super::{PathKind, Surface, Transfer, is_room};
use crate::acoustics::Spectrum;
use crate::acoustics::flanking::path_area_of_factors_m2;
use crate::acoustics::junction::most_kij_factor;
use crate::building::{Building, ElementIndex, ElementShape, Junction, JunctionIndex, SpaceIndex};

/// Room to room, and the elements the sound enters and leaves by.
type Ends = (SpaceIndex, SpaceIndex, ElementIndex, ElementIndex);

/// The ways round one junction.
pub(in crate::solve) type Round = [RoundWay];

/// A way round a junction, in one direction: into the room that comes later in the building's list. It names no room, so that it is the same whatever number
/// its rooms have.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::solve) struct RoundWay {
    /// The arm by which the sound enters, and the side of it that it comes from; then the same for where it comes out.
    ends: [(usize, usize); 2],
    /// What it passes, m².
    area_m2: Spectrum,
}

impl RoundWay {
    fn ends(&self, building: &Building, junction: &Junction) -> Ends {
        let [(entry, from), (exit, to)] = self.ends.map(|(arm, side)| {
            let element = junction.arms[arm].element;
            (element, building.elements[element.0].sides[side])
        });
        (from, to, entry, exit)
    }
}

/// The ways round every junction, into a list. Pieces of one line with the same two elements are one way; its junction is the longest piece.
pub(super) fn transfers(memory: &mut Memory, building: &Building, elements: &Elements, into: &mut Vec<Transfer>) {
    memory.elements.begin_rounds();
    let all: Vec<Arc<Round>> = (0..building.junctions.len())
        .map(|at| {
            let arms = building.junctions[at].arms.iter().map(|arm| arm.element);
            let solved = arms.clone().map(|element| &elements.solved[element.0]);
            let sides = arms.flat_map(|element| building.elements[element.0].sides);
            let sides = sides.map(|side| (side, is_room(building, side)));
            memory
                .elements
                .round_or(&elements.junctions[at], solved, sides, || round(building, elements, JunctionIndex(at)))
        })
        .collect();
    let mut ways: Vec<(u128, usize, usize)> = all
        .iter()
        .enumerate()
        .flat_map(|(junction, round)| {
            let lies = &building.junctions[junction];
            round.iter().enumerate().map(move |(number, way)| (number_of(way.ends(building, lies)), junction, number))
        })
        .collect();
    ways.sort_unstable();
    for same in ways.chunk_by(|one, other| one.0 == other.0) {
        let (_, junction, number) = same[0];
        let (from, to, entry, exit) = all[junction][number].ends(building, &building.junctions[junction]);
        let length_m = |at: usize| building.junctions[at].length_m;
        let area = |way: &(u128, usize, usize)| &all[way.1][way.2].area_m2;
        let longest =
            same.iter().fold(same[0].1, |best, way| if length_m(way.1) > length_m(best) { way.1 } else { best });
        into.push(Transfer {
            rooms: [from, to],
            kind: PathKind::Flanking,
            surfaces: [Surface::Element(entry), Surface::Element(exit)],
            junction: Some(JunctionIndex(longest)),
            area_m2: same[1..].iter().fold(*area(&same[0]), |sum, way| add(&sum, area(way))),
            route: None,
        });
    }
}

/// A number for the ends of a way, in their order: quicker to compare. No building has as many of anything as it leaves room for.
fn number_of((from, to, entry, exit): Ends) -> u128 {
    [from.0, to.0, entry.0, exit.0].into_iter().fold(0, |number, part| number << 32 | part as u128)
}

/// The ways round a junction.
fn round(building: &Building, elements: &Elements, at: JunctionIndex) -> Arc<Round> {
    let junction = &building.junctions[at.0];
    let factor = &elements.junctions[at.0].node.factor;
    let mut ways = Vec::new();
    for (i, entry) in junction.arms.iter().enumerate() {
        let others = junction.arms.iter().enumerate().filter(|(_, exit)| exit.element != entry.element);
        for (j, _) in others {
            if let Some(kij) = &factor[i][j] {
                add_ways(building, elements, junction, [i, j], kij, &mut ways);
            }
        }
    }
    ways.into()
}

fn add_ways(
    building: &Building,
    elements: &Elements,
    junction: &Junction,
    arms: [usize; 2],
    kij_factor: &Spectrum,
    ways: &mut Vec<RoundWay>,
) {
    let [i, j] = arms.map(|arm| junction.arms[arm].element);
    for (side_i, from) in building.elements[i.0].sides.iter().enumerate() {
        for (side_j, to) in building.elements[j.0].sides.iter().enumerate() {
            if from >= to || !is_room(building, *from) || !is_room(building, *to) {
                continue;
            }
            if parted_by_twin(building, elements, junction, *from, *to) {
                continue;
            }
            let (leg_i, leg_j) = (&elements.solved[i.0].legs[side_i], &elements.solved[j.0].legs[side_j]);
            let most = most_kij_factor(junction.length_m, leg_i.area_m2, leg_j.area_m2);
            let area_m2 =
                path_area_of_factors_m2(leg_i, leg_j, junction.length_m, &kij_factor.map(|kij| kij.min(most)));
            ways.push(RoundWay { ends: [(arms[0], side_i), (arms[1], side_j)], area_m2 });
        }
    }
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
