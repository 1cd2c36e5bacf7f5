//! Scene → building: spaces, elements and junctions, found from geometry. No acoustics beyond areas, lengths and names.

mod constructions;
mod drawn_shells;
mod enclosed;
mod horizontal;
mod misfits;
pub mod model;
mod places;
mod plan;
mod shells;
mod slabs;
mod vertical;
mod walls;

use std::collections::BTreeMap;

use crate::catalogue::{Catalogue, UnknownId};
use crate::geometry::{total_area, total_perimeter};
use crate::scene::problem::Gathered;
use crate::scene::{Override, Problem, Scene, Thing};

use constructions::Constructions;
use horizontal::Between;
use places::Places;
use plan::{PlanRoom, Site};
use walls::{Run, Walls};

pub(crate) use constructions::reads_the_same;
pub use enclosed::{Enclosed, enclosed};
pub use misfits::misfits;
pub use model::*;
pub use plan::marker_of;

/// Finds the spaces, elements and junctions of a scene. What [`crate::scene::validate`] says of it is not said again: what cannot be drawn is left out.
///
/// # Errors
///
/// All further problems that keep the scene from being a building: markers outside any space or two in one, walls that
/// enclose nothing, openings larger than their wall, sources and listeners inside walls, overrides of what is not there.
/// After some hundred the rest is only counted.
pub fn build(scene: &Scene, catalogue: &Catalogue) -> Result<Building, Vec<Problem>> {
    let constructions = Constructions::new(scene, catalogue);
    let mut problems = vec![];
    let read = drawn_shells::read(&scene.storeys, &constructions, &mut problems);
    let site = Site::new(&read.storeys, &constructions, &mut problems);
    let mut spaces = spaces(&site);
    let mut elements = vec![];
    let (mut junctions, mut runs) = (vec![], vec![]);
    for storey in 0..site.storeys.len() {
        let walls = Walls::of(&site, storey).build(&mut elements, &mut problems);
        junctions.extend(vertical::junctions(&site, storey, &walls));
        runs.push(walls.runs);
    }
    let slabs = slabs::build(&site, &mut elements);
    let runs_on =
        |storey: Option<usize>| -> &[Run] { storey.and_then(|storey| runs.get(storey)).map_or(&[], |runs| runs) };
    for boundary in 0..=site.storeys.len() {
        let between = Between {
            site: &site,
            storey: boundary.min(site.storeys.len().saturating_sub(1)),
            above: runs_on(Some(boundary)),
            below: runs_on(boundary.checked_sub(1)),
            slabs: slabs.iter().filter(|slab| slab.boundary == boundary).collect(),
        };
        junctions.extend(between.junctions());
    }
    // What is wrong with shells and covers is said after what is wrong with places.
    let mut shell_problems = vec![];
    shells::place(&site, &read.reversed, &mut spaces, &mut elements, &mut shell_problems);
    tell_apart(&mut elements, &spaces);
    let places = Places { scene, site: &site, elements: &elements };
    let (mut sources, listeners) = places.people(&mut problems);
    let ducts = places.ducts(&mut problems);
    problems.extend(shell_problems);
    places.touch(&mut sources, &mut problems);
    overrides(scene, &elements, &junctions, &mut problems);
    if !problems.is_empty() {
        return Err(Gathered::from(problems).into_list());
    }
    let (spaces, elements, junctions) = (spaces.into(), elements.into(), junctions.into());
    Ok(Building { spaces, elements, junctions, sources, listeners, ducts })
}

/// All spaces: the rooms, then the outdoors and the ground.
fn spaces(site: &Site) -> Vec<Space> {
    let mut spaces = vec![];
    for (at, (storey, plan)) in site.storeys.iter().zip(&site.plans).enumerate() {
        spaces.extend(plan.rooms.iter().map(|room| Space {
            kind: SpaceKind::Room(room_space(room, at, storey.height_m)),
            name: room.marker.name.clone(),
        }));
    }
    spaces.push(Space { kind: SpaceKind::Outdoors, name: "outdoors".into() });
    spaces.push(Space { kind: SpaceKind::Ground, name: "ground".into() });
    spaces
}

fn room_space(room: &PlanRoom, storey: usize, height_m: f64) -> RoomSpace {
    let area_m2 = total_area(&room.clear);
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
fn tell_apart(elements: &mut [Element], spaces: &[Space]) {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for element in &mut *elements {
        let number = seen.entry(element.id.clone()).or_default();
        *number += 1;
        if *number > 1 {
            element.id = format!("{}#{number}", element.id);
        }
    }
    let mut named: BTreeMap<String, Vec<&'static str>> = BTreeMap::new();
    for element in &*elements {
        named.entry(element.name.clone()).or_default().push(side_on_plan(element, spaces));
    }
    let mut numbers: BTreeMap<String, usize> = BTreeMap::new();
    for element in elements.iter_mut().filter(|element| named[&element.name].len() > 1) {
        let side = side_on_plan(element, spaces);
        let alike = named[&element.name].iter().filter(|other| **other == side).count();
        let number = numbers.entry(format!("{}{side}", element.name)).or_default();
        *number += 1;
        let mark = match (side, alike) {
            ("", _) => number.to_string(),
            (side, 1) => side.to_owned(),
            (side, _) => format!("{side}, {number}"),
        };
        element.name = format!("{} ({mark})", element.name);
    }
}

/// Where on the plan an outer wall looks: "left", "top"; "" for all else.
fn side_on_plan(element: &Element, spaces: &[Space]) -> &'static str {
    let outdoors = |side: usize| {
        let space = spaces.get(element.sides[side].0);
        space.is_some_and(|space| !matches!(space.kind, SpaceKind::Room(_)))
    };
    let ElementShape::Wall { line: [from, to], .. } = element.shape else { return "" };
    let away = match [outdoors(0), outdoors(1)] {
        [true, false] => 1.0,
        [false, true] => -1.0,
        _ => return "",
    };
    let [x, y] = [away * (from[1] - to[1]), away * (to[0] - from[0])];
    match x.abs() > y.abs() {
        true if x < 0.0 => "left",
        true => "right",
        false if y < 0.0 => "bottom",
        false => "top",
    }
}

/// So many elements are named where none is like the one that was meant.
const MOST_NAMED: usize = 6;

/// Refuses what is said to be known of elements that are not there, and of junctions where two do not meet: it would be believed and do nothing.
fn overrides(scene: &Scene, elements: &[Element], junctions: &[Junction], problems: &mut Vec<Problem>) {
    if scene.overrides.is_empty() {
        return;
    }
    let known: BTreeMap<&str, usize> =
        elements.iter().enumerate().map(|(at, element)| (element.id.as_str(), at)).collect();
    for (position, given) in scene.overrides.iter().enumerate() {
        let thing = Thing::Override(position + 1);
        let mut refuse = |what: String, to_do: String| problems.push(Problem::error(None, thing.clone(), what, to_do));
        let named = match given {
            Override::Kij { from, to, .. } => vec![from, to],
            Override::EdgeLoss { element, .. } | Override::Reduction { element, .. } => vec![element],
        };
        let found: Vec<Option<usize>> = named.iter().map(|id| known.get(id.as_str()).copied()).collect();
        for (id, _) in named.iter().zip(&found).filter(|(_, found)| found.is_none()) {
            let near = UnknownId::among("element", id, known.keys().copied()).near;
            let near: Vec<String> = near.iter().map(|id| format!("\"{id}\"")).collect();
            let to_do = if near.is_empty() {
                let first: Vec<String> = known.keys().take(MOST_NAMED).map(|id| format!("\"{id}\"")).collect();
                let more =
                    if known.len() > MOST_NAMED { " and so on, as the command solve --json prints them" } else { "" };
                format!("take it away, or name one of {}{more}", first.join(", "))
            } else {
                format!("did you mean {}?", near.join(" or "))
            };
            refuse(format!("there is no element \"{id}\" in this building"), to_do);
        }
        if let [Some(from), Some(to)] = found[..] {
            let arm = |junction: &Junction, element: usize| junction.arms.iter().any(|arm| arm.element.0 == element);
            if !junctions.iter().any(|junction| arm(junction, from) && arm(junction, to)) {
                refuse(
                    format!("\"{}\" and \"{}\" meet nowhere, so that it would change nothing", named[0], named[1]),
                    "name two elements that meet, or take the override away".to_owned(),
                );
            }
        }
    }
}
