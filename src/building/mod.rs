//! Scene → building: spaces, elements and junctions, found from geometry. No acoustics beyond areas, lengths and names.

mod drawn_shells;
mod enclosed;
mod faces;
mod geometry;
mod graph;
mod lookup;
mod lying;
pub mod model;
mod places;
mod plan;
mod shells;
mod slabs;
mod standing;
mod walls;

use std::collections::BTreeMap;

use crate::catalogue::Catalogue;
use crate::scene::{Problem, Scene, Thing, Touches};

use geometry::total_perimeter;
use lookup::Lookup;
use lying::Level;
use plan::{Plan, PlanRoom};
use slabs::Slabs;
use walls::{Run, Walls};

pub use enclosed::{Enclosed, enclosed};
pub use model::*;
pub use plan::marker_of;

/// Finds the spaces, elements and junctions of a scene.
///
/// # Errors
///
/// All problems that keep the scene from being a building: unknown constructions, markers outside any space or two in one,
/// walls that enclose nothing, openings larger than their wall, sources and listeners inside walls.
pub fn build(scene: &Scene, catalogue: &Catalogue) -> Result<Building, Vec<Problem>> {
    let mut problems = vec![];
    let read = drawn_shells::read(scene, catalogue, &mut problems);
    let scene = read.scene.as_ref();
    let lookup = Lookup::new(scene, catalogue);
    let plans: Vec<Plan> = scene.storeys.iter().map(|storey| Plan::new(storey, lookup, &mut problems)).collect();
    let (mut spaces, of_room) = spaces(scene, &plans);
    let (outdoors, ground) = (SpaceIndex(spaces.len() - 2), SpaceIndex(spaces.len() - 1));
    let names = |space: SpaceIndex| spaces[space.0].name.clone();
    let mut elements = vec![];
    let mut junctions = vec![];
    let mut runs = vec![];
    for (at, storey) in scene.storeys.iter().enumerate() {
        let walls = Walls { at, storey, plan: &plans[at], lookup, spaces: &of_room[at], names: &names, outdoors };
        let built = walls.build(&mut elements, &mut problems);
        junctions.extend(standing::standing(at, storey.height_m, &plans[at], &built, lookup));
        runs.push(built.runs);
    }
    let slabs = Slabs { scene, plans: &plans, lookup, spaces: &of_room, outdoors, ground };
    let slabs = slabs.build(&mut elements, &mut problems);
    let nothing: &[Run] = &[];
    for boundary in 0..=scene.storeys.len() {
        let level = Level {
            storey: boundary.min(scene.storeys.len().saturating_sub(1)),
            above: runs.get(boundary).map_or(nothing, |runs| runs),
            below: boundary.checked_sub(1).map_or(nothing, |below| &runs[below]),
            slabs: slabs.iter().filter(|slab| slab.boundary == boundary).collect(),
            lookup,
        };
        junctions.extend(level.junctions());
    }
    let (sources, listeners) = places::places(scene, &plans, &of_room, outdoors, &mut problems);
    let ducts = places::ducts(scene, &plans, &of_room, outdoors, &mut problems);
    let place = shells::Place { scene, plans: &plans, of_room: &of_room, lookup, reversed: &read.reversed };
    place.shells(&mut spaces, &mut elements, &mut problems);
    tell_apart(&mut elements);
    let building = Building { spaces, elements, junctions, sources, listeners, ducts };
    contacts(scene, &building, &mut problems);
    if problems.is_empty() { Ok(building) } else { Err(problems) }
}

/// Refuses contacts with walls that do not face the room of their source. Walls that do not exist are told of before.
fn contacts(scene: &Scene, building: &Building, problems: &mut Vec<Problem>) {
    for placed in &building.sources {
        let Some(source) = scene.sources.iter().find(|source| source.id == placed.source) else { continue };
        for contact in &source.contacts {
            let Touches::Wall(wall) = &contact.touches else { continue };
            if building.wall_facing(wall, placed.storey, placed.space, contact.at.unwrap_or(placed.at)).is_none() {
                problems.push(Problem::error(
                    Some(&source.storey),
                    Thing::Source(source.id.0.clone()),
                    format!("its contact \"{}\" touches wall \"{wall}\", which does not face its room", contact.name),
                    "name a wall of the room it stands in",
                ));
            }
        }
    }
}

/// All spaces, and for each storey and room its space.
fn spaces(scene: &Scene, plans: &[Plan]) -> (Vec<Space>, Vec<Vec<SpaceIndex>>) {
    let mut spaces = vec![];
    let mut of_room = vec![];
    for (at, (storey, plan)) in scene.storeys.iter().zip(plans).enumerate() {
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
    let area_m2 = geometry::total_area(&room.clear);
    let known = room.marker.volume_m3.filter(|volume| volume.is_finite() && *volume > 0.0);
    RoomSpace {
        room: room.marker.id.clone(),
        storey,
        usage: room.marker.usage,
        outline: room.clear.iter().flatten().cloned().collect(),
        area_m2,
        perimeter_m: total_perimeter(&room.clear),
        height_m,
        volume_m3: known.unwrap_or(area_m2 * height_m),
        before_shell: None,
    }
}

/// Makes ids unique ("#2" and so on for a later one), and names too where the same one stands for several elements.
fn tell_apart(elements: &mut [Element]) {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for element in elements.iter_mut() {
        let count = seen.entry(element.id.clone()).or_default();
        *count += 1;
        if *count > 1 {
            element.id = format!("{}#{count}", element.id);
        }
    }
    let mut names: BTreeMap<String, usize> = BTreeMap::new();
    for element in elements.iter() {
        *names.entry(element.name.clone()).or_default() += 1;
    }
    for element in elements.iter_mut().filter(|element| names.get(&element.name).is_some_and(|&count| count > 1)) {
        let mark = element.id.rsplit('/').next().unwrap_or(&element.id);
        element.name = format!("{} ({mark})", element.name);
    }
}
