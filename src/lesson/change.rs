//! What a lesson does to its scene: small changes as data, each of which becomes an [`Edit`].

use serde::{Deserialize, Serialize};

use crate::catalogue::{Catalogue, UnknownId};
use crate::edit::{self, Edit, Item};
use crate::scene::{Cover, InnerShell, Opening, OpeningId, Room, RoomId, Scene, Storey, StoreyId, WallId};

/// A change of one thing. Ids must be of one thing only in the whole scene.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Change {
    /// Builds a wall of something else: its id, the construction's id.
    Wall(WallId, String),
    /// Builds the floor under a storey of something else: the storey's id, the construction's id.
    Floor(StoreyId, String),
    /// Puts another window, door or vent in the place of one: its id, the construction's id.
    Opening(OpeningId, String),
    /// Seals an opening: its id, the seal's id, and the gap left under it, mm.
    Seal(OpeningId, String, f64),
    /// Puts a cover panel before an opening.
    Cover(OpeningId, Cover),
    /// Brings an area of a finish into a room: its id, the finish's id, m².
    Finish(RoomId, String, f64),
    /// Builds a room within a room, in place of the one it has.
    Shell(RoomId, InnerShell),
}

impl Change {
    /// The change as an edit of a scene as it is now.
    ///
    /// # Errors
    ///
    /// When the thing is not there; a sentence.
    pub fn edit(&self, scene: &Scene) -> Result<Edit, String> {
        match self {
            Self::Wall(id, construction) => {
                let (storey, mut wall) = found(scene, "wall", &id.0, |storey| &storey.walls, |wall| &wall.id.0)?;
                wall.construction.clone_from(construction);
                Ok(Edit::Put(Item::Wall(storey, wall)))
            }
            Self::Floor(id, construction) => {
                let storey = scene.storeys.iter().find(|storey| storey.id == *id);
                let known = scene.storeys.iter().map(|storey| storey.id.0.as_str());
                let mut storey = storey.ok_or_else(|| UnknownId::among("storey", &id.0, known).to_string())?.clone();
                storey.floor.construction.clone_from(construction);
                Ok(Edit::Put(Item::Storey(storey)))
            }
            Self::Opening(id, construction) => opening(scene, id, |it| it.construction.clone_from(construction)),
            Self::Seal(id, seal, undercut_mm) => {
                opening(scene, id, |it| (it.seal, it.undercut_mm) = (Some(seal.clone()), *undercut_mm))
            }
            Self::Cover(id, cover) => opening(scene, id, |it| it.cover = Some(cover.clone())),
            Self::Finish(id, finish, area_m2) => {
                room(scene, id, |it| it.finishes.extra.push((finish.clone(), *area_m2)))
            }
            Self::Shell(id, shell) => room(scene, id, |it| it.inner_shell = Some(shell.clone())),
        }
    }
}

/// The scene after some changes.
pub(super) fn changed(scene: &Scene, catalogue: &Catalogue, changes: &[Change]) -> Result<Scene, String> {
    changes.iter().try_fold(scene.clone(), |scene, change| {
        edit::apply(&scene, catalogue, &change.edit(&scene)?).map_err(|why| why.to_string())
    })
}

/// The one thing of that id, among the list of its kind each storey has.
fn found<T: Clone>(
    scene: &Scene,
    kind: &'static str,
    id: &str,
    of: impl Fn(&Storey) -> &[T],
    id_of: impl Fn(&T) -> &str,
) -> Result<(StoreyId, T), String> {
    let each = || scene.storeys.iter().flat_map(|storey| of(storey).iter().map(|thing| (&storey.id, thing)));
    let mut all = each().filter(|(_, thing)| id_of(thing) == id);
    match (all.next(), all.next()) {
        (Some((storey, thing)), None) => Ok((storey.clone(), thing.clone())),
        (None, _) => Err(UnknownId::among(kind, id, each().map(|(_, thing)| id_of(thing))).to_string()),
        _ => Err(format!("there are several of {kind} \"{id}\" in the scene")),
    }
}

fn opening(scene: &Scene, id: &OpeningId, change: impl FnOnce(&mut Opening)) -> Result<Edit, String> {
    let (storey, mut opening) = found(scene, "opening", &id.0, |storey| &storey.openings, |opening| &opening.id.0)?;
    change(&mut opening);
    Ok(Edit::Put(Item::Opening(storey, opening)))
}

fn room(scene: &Scene, id: &RoomId, change: impl FnOnce(&mut Room)) -> Result<Edit, String> {
    let (storey, mut room) = found(scene, "room", &id.0, |storey| &storey.rooms, |room| &room.id.0)?;
    change(&mut room);
    Ok(Edit::Put(Item::Room(storey, room)))
}
