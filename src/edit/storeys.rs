//! Storeys: copied, added, removed.

use super::naming::fresh_id;
use super::refused::{Refused, storey_mut};
use crate::catalogue::Catalogue;
use crate::scene::{FloorBuild, RoomId, Scene, Storey, StoreyId};

/// Clear height of a new storey, m; floor between storeys where none is known, m. Common practice, no source.
const USUAL_HEIGHT_M: f64 = 2.5;
const USUAL_FLOOR_M: f64 = 0.25;
/// What a first storey is made of, from the catalogue.
const USUAL_FLOOR: &str = "concrete-slab-180";
const USUAL_GROUND: &str = "ground-concrete";
const USUAL_ROOF: &str = "flat-roof-timber";

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
    let mut scene = Scene::empty("My building");
    add(&mut scene, catalogue);
    scene
}

/// The plan of a storey once more on top of all.
pub(super) fn copy_up(scene: &mut Scene, catalogue: &Catalogue, id: &StoreyId) -> Result<(), Refused> {
    let mut copy: Storey = storey_mut(scene, id)?.clone();
    let mut taken: Vec<String> =
        scene.storeys.iter().flat_map(|storey| storey.rooms.iter().map(|room| room.id.0.clone())).collect();
    for room in &mut copy.rooms {
        room.id = RoomId(fresh_id(&room.id.0, |word| taken.iter().any(|known| known == word)));
        taken.push(room.id.0.clone());
    }
    put_on_top(scene, catalogue, copy);
    Ok(())
}

/// An empty storey on top.
pub(super) fn add(scene: &mut Scene, catalogue: &Catalogue) {
    let (floor, ground, roof, height_m) = match scene.storeys.last() {
        Some(top) => (top.floor.clone(), top.ground.clone(), top.roof.clone(), top.height_m),
        None => {
            (FloorBuild::plain(USUAL_FLOOR.to_owned()), USUAL_GROUND.to_owned(), USUAL_ROOF.to_owned(), USUAL_HEIGHT_M)
        }
    };
    let storey = Storey {
        id: StoreyId("storey".to_owned()),
        name: String::new(),
        level_m: 0.0,
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
    put_on_top(scene, catalogue, storey);
}

fn put_on_top(scene: &mut Scene, catalogue: &Catalogue, mut storey: Storey) {
    let found = catalogue.resolve(&scene.constructions, &storey.floor.construction);
    let floor_m = found.map_or(USUAL_FLOOR_M, |found| found.thickness_m().max(0.05));
    storey.level_m = scene.storeys.last().map_or(0.0, |top| top.level_m + top.height_m + floor_m);
    storey.id = StoreyId(fresh_id(&storey.id.0, |word| scene.storeys.iter().any(|storey| storey.id.0 == word)));
    storey.name = name_of(scene.storeys.len());
    storey.underlay = None;
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
