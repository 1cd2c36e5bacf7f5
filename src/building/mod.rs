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
pub mod memory;
pub mod model;
mod overlaid;
mod places;
mod plan;
mod shells;
mod slabs;
mod standing;
mod stretches;
mod walls;

use crate::catalogue::Catalogue;
use crate::scene::{Problem, Scene, Thing, Touches};

use fabric::{Fabric, Given};
use lookup::Lookup;

pub use enclosed::{Enclosed, enclosed};
pub(crate) use geometry::{distance_to_segment, merged, sides, signed_area};
pub use memory::Memory;
pub use model::*;
pub use plan::marker_of;

/// Finds the spaces, elements and junctions of a scene.
///
/// # Errors
///
/// All problems that keep the scene from being a building: unknown constructions, markers outside any space or two in one,
/// walls that enclose nothing, openings larger than their wall, sources and listeners inside walls.
pub fn build(scene: &Scene, catalogue: &Catalogue) -> Result<Building, Vec<Problem>> {
    build_with(&mut Memory::default(), scene, catalogue)
}

/// As [`build`], with what earlier buildings left in a memory: the same building, much sooner when little was changed since.
///
/// # Errors
///
/// Those of [`build`], the same in the same order.
pub fn build_with(memory: &mut Memory, scene: &Scene, catalogue: &Catalogue) -> Result<Building, Vec<Problem>> {
    memory.begin();
    let lookup = Lookup::new(scene, catalogue);
    let sketch = Given::sketch(&scene.storeys);
    let known = memory.fabrics.find(sketch, |given| given.is(&scene.storeys, &lookup));
    let fabric = known.unwrap_or_else(|| {
        // What this fabric asks for is no matter of those it was compared with.
        let lookup = lookup.anew();
        let fabric = Fabric::new(&scene.storeys, &lookup, &mut memory.geometry);
        let given = Given::new(&scene.storeys, lookup, memory.fabrics.latest());
        memory.fabrics.keep(sketch, given, fabric)
    });
    let mut problems = fabric.problems.clone();
    let (plans, of_room, outdoors) = (&fabric.plans, &fabric.of_room, fabric.outdoors);
    let (sources, listeners) = places::places(scene, plans, of_room, outdoors, &mut problems);
    let ducts = places::ducts(scene, plans, of_room, outdoors, &mut problems);
    problems.extend_from_slice(&fabric.shell_problems);
    let building = Building {
        spaces: fabric.spaces.clone(),
        elements: fabric.elements.clone(),
        junctions: fabric.junctions.clone(),
        sources,
        listeners,
        ducts,
    };
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
