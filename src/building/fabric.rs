//! What stands of a building, whoever plays or listens in it: spaces, elements, junctions.

use std::collections::BTreeMap;

use crate::scene::{Problem, Storey};

use super::geometry::{total_area, total_perimeter};
use super::lookup::Lookup;
use super::lying::Between;
use super::model::{Element, Junction, RoomSpace, Space, SpaceIndex, SpaceKind};
use super::plan::{Plan, PlanRoom};
use super::slabs::Slabs;
use super::walls::{Run, Walls};
use super::{drawn_shells, shells, standing};

/// Spaces, elements and junctions, and what they were found with.
#[derive(Debug, Clone)]
pub(super) struct Fabric {
    pub spaces: Vec<Space>,
    pub elements: Vec<Element>,
    pub junctions: Vec<Junction>,
    /// For each storey its plan.
    pub plans: Vec<Plan>,
    /// For each storey and room its space.
    pub of_room: Vec<Vec<SpaceIndex>>,
    pub outdoors: SpaceIndex,
    /// What is wrong with walls and slabs.
    pub problems: Vec<Problem>,
    /// What is wrong with shells and covers: said last.
    pub shell_problems: Vec<Problem>,
}

impl Fabric {
    /// Finds what the walls of these storeys make. Depends on nothing but them and what the lookup answers.
    pub(super) fn new(drawn: &[Storey], lookup: &Lookup) -> Self {
        let mut problems = vec![];
        let read = drawn_shells::read(drawn, lookup, &mut problems);
        let storeys = read.storeys.as_ref();
        let plans: Vec<Plan> = storeys.iter().map(|storey| Plan::new(storey, lookup, &mut problems)).collect();
        let (mut spaces, of_room) = spaces(storeys, &plans);
        let (outdoors, ground) = (SpaceIndex(spaces.len() - 2), SpaceIndex(spaces.len() - 1));
        let names = |space: SpaceIndex| spaces[space.0].name.clone();
        // A little more than there will be, as a rule: elements are large to move.
        let count = |storey: &Storey| storey.walls.len() + 4 * storey.rooms.len();
        let mut elements = Vec::with_capacity(storeys.iter().map(count).sum());
        let mut junctions = vec![];
        let mut runs = vec![];
        for (at, storey) in storeys.iter().enumerate() {
            let walls = Walls { at, storey, plan: &plans[at], lookup, spaces: &of_room[at], names: &names, outdoors };
            let built = walls.build(&mut elements, &mut problems);
            junctions.extend(standing::standing(at, storey.height_m, &plans[at], &built, lookup));
            runs.push(built.runs);
        }
        let slabs = Slabs { storeys, plans: &plans, lookup, spaces: &of_room, outdoors, ground };
        let slabs = slabs.build(&mut elements, &mut problems);
        let nothing: &[Run] = &[];
        for boundary in 0..=storeys.len() {
            let between = Between {
                storey: boundary.min(storeys.len().saturating_sub(1)),
                above: runs.get(boundary).map_or(nothing, |runs| runs),
                below: boundary.checked_sub(1).map_or(nothing, |below| &runs[below]),
                slabs: slabs.iter().filter(|slab| slab.boundary == boundary).collect(),
                lookup,
            };
            junctions.extend(between.junctions());
        }
        let mut shell_problems = vec![];
        let place = shells::Place { storeys, plans: &plans, of_room: &of_room, lookup, reversed: &read.reversed };
        place.shells(&mut spaces, &mut elements, &mut shell_problems);
        tell_apart(&mut elements);
        Self { spaces, elements, junctions, plans, of_room, outdoors, problems, shell_problems }
    }
}

/// All spaces, and for each storey and room its space.
fn spaces(storeys: &[Storey], plans: &[Plan]) -> (Vec<Space>, Vec<Vec<SpaceIndex>>) {
    let mut spaces = vec![];
    let mut of_room = vec![];
    for (at, (storey, plan)) in storeys.iter().zip(plans).enumerate() {
        let mut here = vec![];
        for room in &plan.rooms {
            here.push(SpaceIndex(spaces.len()));
            let kind = SpaceKind::Room(room_space(room, at, storey.height_m));
            spaces.push(Space { kind, name: room.marker.name.clone() });
        }
        of_room.push(here);
    }
    spaces.push(Space { kind: SpaceKind::Outdoors, name: "outdoors".into() });
    spaces.push(Space { kind: SpaceKind::Ground, name: "ground".into() });
    (spaces, of_room)
}

fn room_space(room: &PlanRoom, storey: usize, height_m: f64) -> RoomSpace {
    let clear = &room.outline.clear;
    let area_m2 = total_area(clear);
    let known = room.marker.volume_m3.filter(|volume| volume.is_finite() && *volume > 0.0);
    RoomSpace {
        room: room.marker.id.clone(),
        storey,
        usage: room.marker.usage,
        outline: clear.iter().flatten().cloned().collect(),
        area_m2,
        perimeter_m: total_perimeter(clear),
        height_m,
        volume_m3: known.unwrap_or(area_m2 * height_m),
        before_shell: None,
    }
}

/// Makes ids unique ("#2" and so on for a later one), and names too where the same one stands for several elements.
fn tell_apart(elements: &mut [Element]) {
    let numbers = numbered(elements.iter().map(|element| element.id.as_str()));
    for (element, (number, _)) in elements.iter_mut().zip(numbers).filter(|(_, (number, _))| *number > 1) {
        element.id = format!("{}#{number}", element.id);
    }
    let numbers = numbered(elements.iter().map(|element| element.name.as_str()));
    for (element, _) in elements.iter_mut().zip(numbers).filter(|(_, (_, of))| *of > 1) {
        let mark = element.id.rsplit('/').next().unwrap_or(&element.id);
        element.name = format!("{} ({mark})", element.name);
    }
}

/// Of each word, which of its like it is, from 1, and how many of them there are.
fn numbered<'a>(words: impl Iterator<Item = &'a str> + Clone) -> Vec<(usize, usize)> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    let count = |word: &'a str| {
        let count = counts.entry(word).or_default();
        *count += 1;
        *count
    };
    let numbers: Vec<usize> = words.clone().map(count).collect();
    numbers.into_iter().zip(words.map(|word| counts[word])).collect()
}
