//! Storeys: copied, added, removed.

use super::model::{Refused, storey_mut};
use super::naming::fresh_id;
use crate::catalogue::Catalogue;
use crate::scene::{AirConditions, FORMAT, FloorBuild, Outdoors, RoomId, Scene, Storey, StoreyId, Workmanship};

/// Clear height of a new storey, m; floor between storeys where none is known, m. Common practice, no source.
const USUAL_HEIGHT_M: f64 = 2.5;
const USUAL_FLOOR_M: f64 = 0.25;
/// What a first storey is made of, from the catalogue.
const USUAL_FLOOR: &str = "concrete-slab-180";
const USUAL_GROUND: &str = "ground-concrete";
const USUAL_ROOF: &str = "flat-roof-timber";

fn id_for(scene: &Scene, base: &str) -> StoreyId {
    StoreyId(fresh_id(base, |word| scene.storeys.iter().any(|storey| storey.id.0 == word)))
}

/// Level of a storey on top of all others, m.
fn next_level_m(scene: &Scene, catalogue: &Catalogue, floor: &str) -> f64 {
    let found = catalogue.own_or_known(&scene.constructions, floor);
    let floor_m = found.map_or(USUAL_FLOOR_M, |found| found.thickness_m().max(0.05));
    scene.storeys.last().map_or(0.0, |top| top.level_m + top.height_m + floor_m)
}

fn name_of(number: usize) -> String {
    match number {
        0 => "Ground floor".to_owned(),
        1 => "First floor".to_owned(),
        2 => "Second floor".to_owned(),
        3 => "Third floor".to_owned(),
        _ => format!("Floor {number}"),
    }
}

/// A building of one storey on which nothing is drawn yet.
#[must_use]
pub fn nothing_drawn(catalogue: &Catalogue) -> Scene {
    let mut scene = Scene {
        format: FORMAT,
        name: "My building".to_owned(),
        about: String::new(),
        air: AirConditions::default(),
        outdoors: Outdoors::default(),
        residual: Default::default(),
        storeys: vec![],
        constructions: vec![],
        sources: vec![],
        listeners: vec![],
        ducts: vec![],
        overrides: vec![],
        views: vec![],
    };
    add(&mut scene, catalogue);
    scene
}

/// The plan of a storey once more on top of all.
pub(super) fn copy_up(scene: &mut Scene, catalogue: &Catalogue, id: &StoreyId) -> Result<(), Refused> {
    let mut copy: Storey = storey_mut(scene, id)?.clone();
    copy.level_m = next_level_m(scene, catalogue, &copy.floor.construction);
    copy.id = id_for(scene, &copy.id.0);
    copy.underlay = None;
    copy.name = name_of(scene.storeys.len());
    let mut taken: Vec<String> =
        scene.storeys.iter().flat_map(|storey| storey.rooms.iter().map(|room| room.id.0.clone())).collect();
    for room in &mut copy.rooms {
        room.id = RoomId(fresh_id(&room.id.0, |word| taken.iter().any(|known| known == word)));
        taken.push(room.id.0.clone());
    }
    scene.storeys.push(copy);
    Ok(())
}

/// An empty storey on top.
pub(super) fn add(scene: &mut Scene, catalogue: &Catalogue) {
    let top = scene.storeys.last();
    let floor = top.map_or_else(
        || FloorBuild {
            construction: USUAL_FLOOR.to_owned(),
            joist_direction_deg: None,
            workmanship: Workmanship::Usual,
        },
        |top| top.floor.clone(),
    );
    let (ground, roof, height_m) = top.map_or_else(
        || (USUAL_GROUND.to_owned(), USUAL_ROOF.to_owned(), USUAL_HEIGHT_M),
        |top| (top.ground.clone(), top.roof.clone(), top.height_m),
    );
    let storey = Storey {
        id: id_for(scene, "storey"),
        name: name_of(scene.storeys.len()),
        level_m: next_level_m(scene, catalogue, &floor.construction),
        height_m,
        floor,
        ground,
        roof,
        nodes: vec![],
        walls: vec![],
        openings: vec![],
        rooms: vec![],
        underlay: None,
    };
    scene.storeys.push(storey);
}

/// A storey with all that stands, listens or ends on it.
pub(super) fn remove(scene: &mut Scene, id: &StoreyId) -> Result<(), Refused> {
    storey_mut(scene, id)?;
    if scene.storeys.len() == 1 {
        return Err(Refused::because("This is the only storey. Delete its walls instead."));
    }
    scene.storeys.retain(|storey| storey.id != *id);
    scene.sources.retain(|source| source.storey != *id);
    scene.listeners.retain(|listener| listener.storey != *id);
    scene.ducts.retain(|duct| duct.ends.iter().all(|end| end.storey != *id));
    Ok(())
}
