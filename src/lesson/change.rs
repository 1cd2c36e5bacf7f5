//! What a lesson does to its scene: small changes as data, each of which becomes an [`Edit`].

use serde::{Deserialize, Serialize};

use crate::catalogue::UnknownId;
use crate::edit::{Edit, Item, StoreyHead};
use crate::scene::{Cover, InnerShell, Opening, OpeningId, Room, RoomId, Scene, Storey, StoreyId, Wall, WallId};

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
        let put = |item| Ok(Edit::Put(item));
        match self {
            Self::Wall(id, construction) => {
                let (storey, wall) = wall(scene, id)?;
                put(Item::Wall(storey, Wall { construction: construction.clone(), ..wall.clone() }))
            }
            Self::Floor(id, construction) => {
                let storey = scene.storeys.iter().find(|storey| storey.id == *id);
                let known = scene.storeys.iter().map(|storey| storey.id.0.as_str());
                let storey = storey.ok_or_else(|| UnknownId::among("storey", &id.0, known).to_string())?;
                let mut head = StoreyHead::of(storey);
                head.floor.construction.clone_from(construction);
                put(Item::Storey(head))
            }
            Self::Opening(id, construction) => {
                let (storey, mut opening) = opening(scene, id)?;
                opening.construction.clone_from(construction);
                put(Item::Opening(storey, opening))
            }
            Self::Seal(id, seal, undercut_mm) => {
                let (storey, mut opening) = opening(scene, id)?;
                (opening.seal, opening.undercut_mm) = (Some(seal.clone()), *undercut_mm);
                put(Item::Opening(storey, opening))
            }
            Self::Cover(id, cover) => {
                let (storey, mut opening) = opening(scene, id)?;
                opening.cover = Some(cover.clone());
                put(Item::Opening(storey, opening))
            }
            Self::Finish(id, finish, area_m2) => {
                let (storey, mut room) = room(scene, id)?;
                room.finishes.extra.push((finish.clone(), *area_m2));
                put(Item::Room(storey, room))
            }
            Self::Shell(id, shell) => {
                let (storey, mut room) = room(scene, id)?;
                room.inner_shell = Some(shell.clone());
                put(Item::Room(storey, room))
            }
        }
    }
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

fn wall(scene: &Scene, id: &WallId) -> Result<(StoreyId, Wall), String> {
    found(scene, "wall", &id.0, |storey| &storey.walls, |wall| &wall.id.0)
}

fn opening(scene: &Scene, id: &OpeningId) -> Result<(StoreyId, Opening), String> {
    found(scene, "opening", &id.0, |storey| &storey.openings, |opening| &opening.id.0)
}

fn room(scene: &Scene, id: &RoomId) -> Result<(StoreyId, Room), String> {
    found(scene, "room", &id.0, |storey| &storey.rooms, |room| &room.id.0)
}
