//! Copies of what is picked: where they find room, and which they are.

use std::collections::{BTreeMap, BTreeSet};

use super::ducts;
use super::graph::{line, tidy};
use super::model::{Pick, Point, Refused};
use super::moving::{add, check, corners};
use super::naming::fresh_id;
use crate::scene::{ListenerId, Node, NodeId, Opening, OpeningId, RoomId, Scene, SourceId, Storey, Wall, WallId};

/// A copy stands so far from what it might run into, m. Own choice.
const BESIDE_M: f64 = 1.0;
/// A copy of something without walls lies so far from it, m to the right and to the front.
const NEAR_M: Point = [0.5, -0.5];
/// What is left between an opening and its copy, m.
const BETWEEN_M: f64 = 0.1;

/// How far away a copy of what is picked stands free, m: beside all walls of its storey where it has walls, else close by.
#[must_use]
pub fn beside(scene: &Scene, picks: &[Pick]) -> Point {
    let by = scene.storeys.iter().filter_map(|storey| {
        let moving = corners(storey, picks);
        let x = |node: &Node| node.at[0];
        let left = storey.nodes.iter().filter(|node| moving.contains(&node.id)).map(x).reduce(f64::min)?;
        let right = storey.nodes.iter().map(x).reduce(f64::max)?;
        Some(right - left + BESIDE_M)
    });
    by.reduce(f64::max).map_or(NEAR_M, |by_m| [by_m, 0.0])
}

/// What came with a copy of what was picked, to be picked instead.
#[must_use]
pub fn copies(before: &Scene, after: &Scene, picks: &[Pick]) -> Vec<Pick> {
    let mut all = vec![];
    let openings = picks.iter().any(|pick| matches!(pick, Pick::Opening(..)));
    for storey in &after.storeys {
        let Some(was) = before.storeys.iter().find(|known| known.id == storey.id) else { continue };
        let on = || storey.id.clone();
        let walls = storey.walls.iter().filter(|wall| was.walls.iter().all(|known| known.id != wall.id));
        all.extend(walls.map(|wall| Pick::Wall(on(), wall.id.clone())));
        let rooms = storey.rooms.iter().filter(|room| was.rooms.iter().all(|known| known.id != room.id));
        all.extend(rooms.map(|room| Pick::Room(on(), room.id.clone())));
        let fresh = |opening: &&Opening| openings && was.openings.iter().all(|known| known.id != opening.id);
        all.extend(storey.openings.iter().filter(fresh).map(|opening| Pick::Opening(on(), opening.id.clone())));
    }
    let sources = after.sources.iter().filter(|source| before.sources.iter().all(|known| known.id != source.id));
    all.extend(sources.map(|source| Pick::Source(source.id.clone())));
    let listeners = after.listeners.iter().filter(|one| before.listeners.iter().all(|known| known.id != one.id));
    all.extend(listeners.map(|listener| Pick::Listener(listener.id.clone())));
    let ducts = after.ducts.iter().filter(|duct| before.ducts.iter().all(|known| known.id != duct.id));
    all.extend(ducts.map(|duct| Pick::Duct(duct.id.clone())));
    all
}

/// Where along its wall there is room for one more like an opening, nearest to it, m from the wall's first end.
fn free_offset_m(storey: &Storey, opening: &Opening) -> Option<f64> {
    let wall = storey.walls.iter().find(|wall| wall.id == opening.wall)?;
    let [from, to] = line(storey, wall)?;
    let last_m = from.distance(to) - opening.width_m;
    let others = || storey.openings.iter().filter(|other| other.wall == opening.wall);
    let is_free = |at_m: f64| {
        (0.0..=last_m).contains(&at_m)
            && others().all(|other| at_m >= other.offset_m + other.width_m || at_m + opening.width_m <= other.offset_m)
    };
    let places = others()
        .flat_map(|other| [other.offset_m + other.width_m + BETWEEN_M, other.offset_m - BETWEEN_M - opening.width_m]);
    let far_m = |at_m: &f64| (at_m - opening.offset_m).abs();
    places.chain([0.0, last_m]).filter(|at_m| is_free(*at_m)).min_by(|one, other| far_m(one).total_cmp(&far_m(other)))
}

/// Copies what is picked.
pub(super) fn duplicate(scene: &mut Scene, picks: &[Pick], by: Point) -> Result<(), Refused> {
    check(by)?;
    let mut taken_rooms: BTreeSet<String> =
        scene.storeys.iter().flat_map(|storey| storey.rooms.iter().map(|room| room.id.0.clone())).collect();
    for storey in &mut scene.storeys {
        let moving = corners(storey, picks);
        let mut copies: BTreeMap<NodeId, NodeId> = BTreeMap::new();
        for id in &moving {
            let Some(at) = super::graph::at(storey, id) else { continue };
            let fresh = NodeId(fresh_id("corner", |word| storey.nodes.iter().any(|node| node.id.0 == word)));
            storey.nodes.push(Node { id: fresh.clone(), at: add(at, by) });
            copies.insert(id.clone(), fresh);
        }
        let walls: Vec<Wall> = storey
            .walls
            .iter()
            .filter(|wall| picks.contains(&Pick::Wall(storey.id.clone(), wall.id.clone())))
            .cloned()
            .collect();
        for wall in walls {
            let id = WallId(fresh_id(&wall.id.0, |word| storey.walls.iter().any(|wall| wall.id.0 == word)));
            let (Some(from), Some(to)) = (copies.get(&wall.from), copies.get(&wall.to)) else { continue };
            let openings: Vec<_> = storey.openings.iter().filter(|opening| opening.wall == wall.id).cloned().collect();
            storey.walls.push(Wall { id: id.clone(), from: from.clone(), to: to.clone(), ..wall });
            for mut opening in openings {
                opening.id = OpeningId(fresh_id(&opening.id.0, |word| {
                    storey.openings.iter().any(|opening| opening.id.0 == word)
                }));
                opening.wall = id.clone();
                storey.openings.push(opening);
            }
        }
        // A single opening is copied along its own wall, to where there is room for it.
        for at in 0..storey.openings.len() {
            let opening = &storey.openings[at];
            let picked = picks.contains(&Pick::Opening(storey.id.clone(), opening.id.clone()));
            if picked && !picks.contains(&Pick::Wall(storey.id.clone(), opening.wall.clone())) {
                let Some(offset_m) = free_offset_m(storey, opening) else {
                    let what = if opening.name.is_empty() { "this opening" } else { &opening.name };
                    return Err(Refused::because(format!(
                        "There is no room left in its wall for another one like {what}: make the wall longer, or the opening narrower, and copy \
                         again."
                    )));
                };
                let id = fresh_id(&opening.id.0, |word| storey.openings.iter().any(|opening| opening.id.0 == word));
                let copy = Opening { id: OpeningId(id), offset_m, ..opening.clone() };
                storey.openings.push(copy);
            }
        }
        let rooms: Vec<_> = storey
            .rooms
            .iter()
            .filter(|room| picks.contains(&Pick::Room(storey.id.clone(), room.id.clone())))
            .cloned()
            .collect();
        for mut room in rooms {
            room.id = RoomId(fresh_id(&room.id.0, |word| taken_rooms.contains(word)));
            taken_rooms.insert(room.id.0.clone());
            room.at = add(room.at, by);
            storey.rooms.push(room);
        }
        if !copies.is_empty() {
            tidy(storey);
        }
    }
    for at in 0..scene.sources.len() {
        let mut copy = scene.sources[at].clone();
        if picks.contains(&Pick::Source(copy.id.clone())) {
            copy.id = SourceId(fresh_id(&copy.id.0, |word| scene.sources.iter().any(|source| source.id.0 == word)));
            copy.at = add(copy.at, by);
            for contact in &mut copy.contacts {
                contact.at = contact.at.map(|at| add(at, by));
            }
            scene.sources.push(copy);
        }
    }
    for at in 0..scene.listeners.len() {
        let mut copy = scene.listeners[at].clone();
        if picks.contains(&Pick::Listener(copy.id.clone())) {
            let taken = |word: &str| scene.listeners.iter().any(|listener| listener.id.0 == word);
            copy.id = ListenerId(fresh_id(&copy.id.0, taken));
            copy.at = add(copy.at, by);
            scene.listeners.push(copy);
        }
    }
    ducts::duplicate(scene, picks, by);
    Ok(())
}
