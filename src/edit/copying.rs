//! Copies of what is picked: where they find room, and which they are.

use std::collections::{BTreeMap, BTreeSet};

use super::graph::{line, tidy};
use super::moving::{add, check, corners, each_point};
use super::naming::fresh_id;
use super::refused::Refused;
use crate::scene::{Node, Opening, OpeningId, Pick, Point, Room, Scene, Storey, Wall, WallId};

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
    let openings = picks.iter().any(|pick| matches!(pick, Pick::Opening(..)));
    let known: BTreeSet<Pick> = everything(before).collect();
    let fresh = everything(after).filter(|pick| openings || !matches!(pick, Pick::Opening(..)));
    fresh.filter(|pick| !known.contains(pick)).collect()
}

/// All that can be picked by itself, but corners.
fn everything(scene: &Scene) -> impl Iterator<Item = Pick> + '_ {
    let of_storeys = scene.storeys.iter().flat_map(|storey| {
        let on = || storey.id.clone();
        let walls = storey.walls.iter().map(move |wall| Pick::Wall(on(), wall.id.clone()));
        let rooms = storey.rooms.iter().map(move |room| Pick::Room(on(), room.id.clone()));
        let openings = storey.openings.iter().map(move |opening| Pick::Opening(on(), opening.id.clone()));
        walls.chain(rooms).chain(openings)
    });
    let sources = scene.sources.iter().map(|source| Pick::Source(source.id.clone()));
    let listeners = scene.listeners.iter().map(|listener| Pick::Listener(listener.id.clone()));
    of_storeys.chain(sources).chain(listeners).chain(scene.ducts.iter().map(|duct| Pick::Duct(duct.id.clone())))
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

/// Adds copies of some things of a list, each with an id of its own that is not among `taken` either; of each original the id of its copy.
fn copy<T: Clone>(
    list: &mut Vec<T>,
    id: fn(&mut T) -> &mut String,
    taken: &mut BTreeSet<String>,
    wanted: impl Fn(&T) -> bool,
) -> BTreeMap<String, String> {
    taken.extend(list.iter_mut().map(|thing| id(thing).clone()));
    let mut made: Vec<T> = list.iter().filter(|thing| wanted(thing)).cloned().collect();
    let name = |thing: &mut T| {
        let fresh = fresh_id(id(thing), |word| taken.contains(word));
        taken.insert(fresh.clone());
        (std::mem::replace(id(thing), fresh.clone()), fresh)
    };
    let ids = made.iter_mut().map(name).collect();
    list.append(&mut made);
    ids
}

/// Copies what is picked.
pub(super) fn duplicate(scene: &mut Scene, picks: &[Pick], by: Point) -> Result<(), Refused> {
    check(by)?;
    let before = scene.clone();
    let (picked, none) = (|pick: Pick| picks.contains(&pick), BTreeSet::new);
    let rooms = scene.storeys.iter().flat_map(|storey| storey.rooms.iter().map(|room| room.id.0.clone()));
    let mut taken_rooms: BTreeSet<String> = rooms.collect();
    for storey in &mut scene.storeys {
        let (on, moving) = (storey.id.clone(), corners(storey, picks));
        let on = || on.clone();
        let had_walls = storey.walls.len();
        // A single opening is copied along its own wall, to where there is room for it.
        for at in 0..storey.openings.len() {
            let opening = &storey.openings[at];
            if picked(Pick::Opening(on(), opening.id.clone())) && !picked(Pick::Wall(on(), opening.wall.clone())) {
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
        let had_openings = storey.openings.len();
        let nodes = copy(&mut storey.nodes, |node| &mut node.id.0, &mut none(), |node| moving.contains(&node.id));
        let whole = |wall: &Wall| [&wall.from, &wall.to].iter().all(|end| nodes.contains_key(&end.0));
        let wanted = |wall: &Wall| whole(wall) && picked(Pick::Wall(on(), wall.id.clone()));
        let walls = copy(&mut storey.walls, |wall| &mut wall.id.0, &mut none(), wanted);
        for wall in &mut storey.walls[had_walls..] {
            for end in [&mut wall.from.0, &mut wall.to.0] {
                end.clone_from(&nodes[end]);
            }
        }
        let in_copied = |opening: &Opening| walls.contains_key(&opening.wall.0);
        copy(&mut storey.openings, |opening| &mut opening.id.0, &mut none(), in_copied);
        for opening in &mut storey.openings[had_openings..] {
            opening.wall = WallId(walls[&opening.wall.0].clone());
        }
        let wanted = |room: &Room| picked(Pick::Room(on(), room.id.clone()));
        copy(&mut storey.rooms, |room| &mut room.id.0, &mut taken_rooms, wanted);
    }
    copy(&mut scene.sources, |source| &mut source.id.0, &mut none(), |source| picked(Pick::Source(source.id.clone())));
    copy(&mut scene.listeners, |hears| &mut hears.id.0, &mut none(), |hears| picked(Pick::Listener(hears.id.clone())));
    copy(&mut scene.ducts, |duct| &mut duct.id.0, &mut none(), |duct| picked(Pick::Duct(duct.id.clone())));
    each_point(scene, &copies(&before, scene, picks), |at| *at = add(*at, by));
    let walls = |storey: &Storey| storey.walls.len();
    let drawn = scene.storeys.iter_mut().zip(&before.storeys).filter(|(now, was)| walls(now) > walls(was));
    drawn.for_each(|(storey, _)| tidy(storey));
    Ok(())
}
