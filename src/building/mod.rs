//! Scene → building: spaces, elements and junctions, found from geometry. No acoustics beyond areas, lengths and names.

mod drawn_shells;
mod enclosed;
mod fabric;
mod faces;
mod geometry;
mod graph;
mod inset;
mod lookup;
mod lying;
pub mod model;
mod overlaid;
mod places;
mod plan;
mod shells;
mod slabs;
mod standing;
mod stretches;
mod walls;

use std::collections::BTreeMap;

use crate::catalogue::{Catalogue, UnknownId};
use crate::scene::problem::Gathered;
use crate::scene::{Override, Problem, Scene, Thing, Touches};

use fabric::Fabric;
use lookup::Lookup;

pub use enclosed::{Enclosed, enclosed};
pub(crate) use geometry::{distance_to_segment, merged, sides, signed_area};
pub use model::*;
pub use plan::marker_of;

/// Finds the spaces, elements and junctions of a scene.
///
/// # Errors
///
/// All problems that keep the scene from being a building: unknown constructions, markers outside any space or two in one,
/// walls that enclose nothing, openings larger than their wall, sources and listeners inside walls, overrides of what is not there.
/// After some hundred the rest is only counted.
pub fn build(scene: &Scene, catalogue: &Catalogue) -> Result<Building, Vec<Problem>> {
    let fabric = Fabric::new(&scene.storeys, &Lookup::new(scene, catalogue));
    let mut problems = fabric.problems;
    let (plans, of_room, outdoors) = (&fabric.plans, &fabric.of_room, fabric.outdoors);
    let (sources, listeners) = places::places(scene, plans, of_room, outdoors, &mut problems);
    let ducts = places::ducts(scene, plans, of_room, outdoors, &mut problems);
    problems.extend(fabric.shell_problems);
    let building = Building {
        spaces: fabric.spaces.into(),
        elements: fabric.elements.into(),
        junctions: fabric.junctions.into(),
        sources,
        listeners,
        ducts,
    };
    contacts(scene, &building, &mut problems);
    overrides(scene, &building, &mut problems);
    if problems.is_empty() { Ok(building) } else { Err(problems.into_iter().collect::<Gathered>().into_list()) }
}

/// So many elements are named where none is like the one that was meant.
const MOST_NAMED: usize = 6;

/// Refuses what is said to be known of elements that are not there, and of junctions where two do not meet: it would be believed and do nothing.
fn overrides(scene: &Scene, building: &Building, problems: &mut Vec<Problem>) {
    if scene.overrides.is_empty() {
        return;
    }
    let known: BTreeMap<&str, usize> =
        building.elements.iter().enumerate().map(|(at, element)| (element.id.as_str(), at)).collect();
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
                let more = if known.len() > MOST_NAMED { " and so on, as `solve --json` prints them" } else { "" };
                format!("take it away, or name one of {}{more}", first.join(", "))
            } else {
                format!("did you mean {}?", near.join(" or "))
            };
            refuse(format!("there is no element \"{id}\" in this building"), to_do);
        }
        if let [Some(from), Some(to)] = found[..] {
            let arm = |junction: &Junction, element: usize| junction.arms.iter().any(|arm| arm.element.0 == element);
            if !building.junctions.iter().any(|junction| arm(junction, from) && arm(junction, to)) {
                refuse(
                    format!("\"{}\" and \"{}\" meet nowhere, so that it would change nothing", named[0], named[1]),
                    "name two elements that meet, or take the override away".to_owned(),
                );
            }
        }
    }
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
