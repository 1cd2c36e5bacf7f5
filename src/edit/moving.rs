//! Moving and turning over.

use std::collections::BTreeSet;

use super::ducts;
use super::graph::{length_m, line, tidy};
use super::model::{Pick, Point, Refused};
use crate::geometry::{along, heading};
use crate::scene::{NodeId, Scene, Storey, WallId};

/// Farthest from the origin a thing may be moved, m. As the building stage has it.
const FARTHEST_M: f64 = 1e5;

/// The corners that move: those picked, and both ends of each wall picked.
pub(super) fn corners(storey: &Storey, picks: &[Pick]) -> BTreeSet<NodeId> {
    let mut all = BTreeSet::new();
    for pick in picks {
        match pick {
            Pick::Node(on, id) if *on == storey.id => {
                all.insert(id.clone());
            }
            Pick::Wall(on, id) if *on == storey.id => {
                let wall = storey.walls.iter().find(|wall| wall.id == *id);
                all.extend(wall.into_iter().flat_map(|wall| [wall.from.clone(), wall.to.clone()]));
            }
            _ => {}
        }
    }
    all
}

/// Moves a set of corners by a function; openings keep their place on walls that stay, and go along with walls that move whole.
fn reshape(storey: &mut Storey, moving: &BTreeSet<NodeId>, to: impl Fn(Point) -> Point) {
    let before = storey.clone();
    for node in storey.nodes.iter_mut().filter(|node| moving.contains(&node.id)) {
        node.at = to(node.at);
    }
    for at in 0..storey.openings.len() {
        let opening = &before.openings[at];
        let Some(wall) = before.walls.iter().find(|wall| wall.id == opening.wall) else { continue };
        if moving.contains(&wall.from) == moving.contains(&wall.to) {
            continue;
        }
        let (Some(old), Some(new)) = (line(&before, wall), line(storey, wall)) else { continue };
        let (old_m, new_m) = (old[0].distance(old[1]), new[0].distance(new[1]));
        if old_m <= 0.0 || new_m <= 0.0 {
            continue;
        }
        let middle = old[0] + heading(old) * (opening.offset_m + 0.5 * opening.width_m);
        let offset_m = along(new, middle) - 0.5 * opening.width_m;
        storey.openings[at].offset_m = offset_m.clamp(0.0, (new_m - opening.width_m).max(0.0));
    }
}

pub(super) fn check(by: Point) -> Result<(), Refused> {
    if by.iter().all(|value| value.is_finite() && value.abs() < FARTHEST_M) {
        Ok(())
    } else {
        Err(Refused::because("That is too far away."))
    }
}

pub(super) fn add(a: Point, by: Point) -> Point {
    [a[0] + by[0], a[1] + by[1]]
}

/// Moves what is picked.
pub(super) fn shift(scene: &mut Scene, picks: &[Pick], by: Point) -> Result<(), Refused> {
    check(by)?;
    for storey in &mut scene.storeys {
        let moving = corners(storey, picks);
        if !moving.is_empty() {
            reshape(storey, &moving, |at| add(at, by));
        }
        for opening in 0..storey.openings.len() {
            let picked = Pick::Opening(storey.id.clone(), storey.openings[opening].id.clone());
            let wall = storey.walls.iter().find(|wall| wall.id == storey.openings[opening].wall);
            let with_wall = wall.is_some_and(|wall| moving.contains(&wall.from) && moving.contains(&wall.to));
            if picks.contains(&picked) && !with_wall {
                slide(storey, opening, by);
            }
        }
        let on = storey.id.clone();
        for room in storey.rooms.iter_mut().filter(|room| picks.contains(&Pick::Room(on.clone(), room.id.clone()))) {
            room.at = add(room.at, by);
        }
        if !moving.is_empty() {
            tidy(storey);
        }
    }
    for source in &mut scene.sources {
        let whole = picks.contains(&Pick::Source(source.id.clone()));
        if whole {
            source.at = add(source.at, by);
        }
        let (id, at) = (source.id.clone(), source.at);
        for (position, contact) in source.contacts.iter_mut().enumerate() {
            if whole {
                contact.at = contact.at.map(|at| add(at, by));
            } else if picks.contains(&Pick::Contact(id.clone(), position)) {
                contact.at = Some(add(contact.at.unwrap_or(at), by));
            }
        }
    }
    for listener in &mut scene.listeners {
        if picks.contains(&Pick::Listener(listener.id.clone())) {
            listener.at = add(listener.at, by);
        }
    }
    ducts::shift(scene, picks, by);
    Ok(())
}

/// Moves an opening along its wall.
fn slide(storey: &mut Storey, opening: usize, by: Point) {
    let Some(wall) = storey.walls.iter().find(|wall| wall.id == storey.openings[opening].wall) else { return };
    let Some(line) = line(storey, wall) else { return };
    let length_m = line[0].distance(line[1]);
    if length_m > 0.0 {
        let opening = &mut storey.openings[opening];
        let along_m = heading(line).dot(by.into());
        opening.offset_m = (opening.offset_m + along_m).clamp(0.0, (length_m - opening.width_m).max(0.0));
    }
}

/// Gives a wall a length.
pub(super) fn set_length(storey: &mut Storey, wall: &WallId, length_m: f64, second: bool) -> Result<(), Refused> {
    if !(length_m.is_finite() && (0.01..FARTHEST_M).contains(&length_m)) {
        return Err(Refused::because("A wall is between a centimetre and 100 km long."));
    }
    let found = storey.walls.iter().find(|known| known.id == *wall);
    let Some((found, [a, b])) = found.and_then(|found| Some((found.clone(), line(storey, found)?))) else {
        return Err(Refused::because(format!("There is no wall \"{wall}\".")));
    };
    let now_m = a.distance(b);
    if now_m <= 0.0 {
        return Err(Refused::because("This wall has no direction yet: move one of its corners first."));
    }
    let by = (b - a) * ((length_m - now_m) / now_m);
    let (node, by) = if second { (found.to, by) } else { (found.from, -by) };
    reshape(storey, &BTreeSet::from([node]), |at| add(at, by.into()));
    tidy(storey);
    Ok(())
}

/// Turns what is picked over about its middle.
pub(super) fn mirror(scene: &mut Scene, picks: &[Pick], sideways: bool) -> Result<(), Refused> {
    let way = usize::from(!sideways);
    let mut places: Vec<f64> = vec![];
    for storey in &scene.storeys {
        let moving = corners(storey, picks);
        places.extend(storey.nodes.iter().filter(|node| moving.contains(&node.id)).map(|node| node.at[way]));
        let room = |room: &&crate::scene::Room| picks.contains(&Pick::Room(storey.id.clone(), room.id.clone()));
        places.extend(storey.rooms.iter().filter(room).map(|room| room.at[way]));
    }
    let sources = || scene.sources.iter().filter(|source| picks.contains(&Pick::Source(source.id.clone())));
    places.extend(sources().map(|source| source.at[way]));
    let hears = |listener: &&crate::scene::Listener| picks.contains(&Pick::Listener(listener.id.clone()));
    places.extend(scene.listeners.iter().filter(hears).map(|listener| listener.at[way]));
    places.extend(ducts::places(scene, picks, way));
    let low = places.iter().copied().fold(f64::INFINITY, f64::min);
    let high = places.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !(low.is_finite() && high.is_finite()) {
        return Err(Refused::because("There is nothing picked that could be turned over."));
    }
    let turned = |mut at: Point| {
        at[way] = low + high - at[way];
        at
    };
    for storey in &mut scene.storeys {
        let moving = corners(storey, picks);
        for node in storey.nodes.iter_mut().filter(|node| moving.contains(&node.id)) {
            node.at = turned(node.at);
        }
        // In a mirror left is right: a wall turned over whole is drawn the other way round, and its openings are counted from the other end.
        let whole: Vec<WallId> = storey
            .walls
            .iter()
            .filter(|wall| picks.contains(&Pick::Wall(storey.id.clone(), wall.id.clone())))
            .map(|wall| wall.id.clone())
            .collect();
        for id in &whole {
            let Some(at) = storey.walls.iter().position(|wall| wall.id == *id) else { continue };
            let length_m = length_m(storey, &storey.walls[at]);
            let wall = &mut storey.walls[at];
            std::mem::swap(&mut wall.from, &mut wall.to);
            for opening in storey.openings.iter_mut().filter(|opening| opening.wall == *id) {
                opening.offset_m = length_m - opening.offset_m - opening.width_m;
            }
        }
        let on = storey.id.clone();
        for room in storey.rooms.iter_mut().filter(|room| picks.contains(&Pick::Room(on.clone(), room.id.clone()))) {
            room.at = turned(room.at);
        }
        if !moving.is_empty() {
            tidy(storey);
        }
    }
    for source in scene.sources.iter_mut().filter(|source| picks.contains(&Pick::Source(source.id.clone()))) {
        source.at = turned(source.at);
        for contact in &mut source.contacts {
            contact.at = contact.at.map(turned);
        }
    }
    for listener in &mut scene.listeners {
        if picks.contains(&Pick::Listener(listener.id.clone())) {
            listener.at = turned(listener.at);
        }
    }
    ducts::turn(scene, picks, turned);
    Ok(())
}
