//! Moving and turning over.

use std::collections::BTreeSet;

use super::ducts;
use super::graph::{length_m, line, tidy};
use super::refused::Refused;
use crate::geometry::{along, heading};
use crate::scene::{NodeId, Pick, Point, Scene, Storey, WallId};

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

/// Calls with each point of what is picked whole: corners, markers, sources with their contacts, listeners, the mouths of ducts.
pub(super) fn each_point(scene: &mut Scene, picks: &[Pick], mut visit: impl FnMut(&mut Point)) {
    let picked = |pick: Pick| picks.contains(&pick);
    for storey in &mut scene.storeys {
        let moving = corners(storey, picks);
        storey.nodes.iter_mut().filter(|node| moving.contains(&node.id)).for_each(|node| visit(&mut node.at));
        let rooms = storey.rooms.iter_mut();
        rooms
            .filter(|room| picked(Pick::Room(storey.id.clone(), room.id.clone())))
            .for_each(|room| visit(&mut room.at));
    }
    for source in scene.sources.iter_mut().filter(|source| picked(Pick::Source(source.id.clone()))) {
        visit(&mut source.at);
        source.contacts.iter_mut().filter_map(|contact| contact.at.as_mut()).for_each(&mut visit);
    }
    for listener in scene.listeners.iter_mut().filter(|listener| picked(Pick::Listener(listener.id.clone()))) {
        visit(&mut listener.at);
    }
    for duct in scene.ducts.iter_mut().filter(|duct| picked(Pick::Duct(duct.id.clone()))) {
        duct.ends.iter_mut().for_each(|end| visit(&mut end.at));
    }
}

/// Leaves the openings where they were on walls of which one end moved; on walls that moved whole they went along.
fn keep_openings(before: &Storey, storey: &mut Storey, moving: &BTreeSet<NodeId>) {
    for at in 0..storey.openings.len() {
        let opening = &before.openings[at];
        let Some(wall) = before.walls.iter().find(|wall| wall.id == opening.wall) else { continue };
        if moving.contains(&wall.from) == moving.contains(&wall.to) {
            continue;
        }
        let (Some(old), Some(new)) = (line(before, wall), line(storey, wall)) else { continue };
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
    let before = scene.clone();
    each_point(scene, picks, |at| *at = add(*at, by));
    for (storey, was) in scene.storeys.iter_mut().zip(&before.storeys) {
        let moving = corners(was, picks);
        keep_openings(was, storey, &moving);
        for at in 0..storey.openings.len() {
            let picked = Pick::Opening(was.id.clone(), was.openings[at].id.clone());
            let wall = was.walls.iter().find(|wall| wall.id == was.openings[at].wall);
            let with_wall = wall.is_some_and(|wall| moving.contains(&wall.from) && moving.contains(&wall.to));
            if picks.contains(&picked) && !with_wall {
                slide(storey, at, by);
            }
        }
        if !moving.is_empty() {
            tidy(storey);
        }
    }
    for pick in picks {
        match pick {
            Pick::Contact(id, at) if !picks.contains(&Pick::Source(id.clone())) => {
                let Some(source) = scene.sources.iter_mut().find(|source| source.id == *id) else { continue };
                let Some(contact) = source.contacts.get_mut(*at) else { continue };
                contact.at = Some(add(contact.at.unwrap_or(source.at), by));
            }
            Pick::Mouth(id, end) if !picks.contains(&Pick::Duct(id.clone())) => {
                let Some(duct) = scene.ducts.iter_mut().find(|duct| duct.id == *id) else { continue };
                ducts::stretch(&before, duct, *end, by);
            }
            _ => {}
        }
    }
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
    let (before, moving) = (storey.clone(), BTreeSet::from([node]));
    storey.nodes.iter_mut().filter(|node| moving.contains(&node.id)).for_each(|node| node.at = add(node.at, by.into()));
    keep_openings(&before, storey, &moving);
    tidy(storey);
    Ok(())
}

/// Turns what is picked over about its middle.
pub(super) fn mirror(scene: &mut Scene, picks: &[Pick], sideways: bool) -> Result<(), Refused> {
    let axis = usize::from(!sideways);
    let (mut marks, mut places) = (scene.clone(), vec![]);
    // A source stands where it is, whatever it touches.
    marks.sources.iter_mut().for_each(|source| source.contacts.clear());
    each_point(&mut marks, picks, |at| places.push(at[axis]));
    let low = places.iter().copied().fold(f64::INFINITY, f64::min);
    let high = places.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !(low.is_finite() && high.is_finite()) {
        return Err(Refused::because("There is nothing picked that could be turned over."));
    }
    each_point(scene, picks, |at| at[axis] = low + high - at[axis]);
    for storey in &mut scene.storeys {
        let moving = corners(storey, picks);
        // In a mirror left is right: a wall turned over whole is drawn the other way round, and its openings are counted from the other end.
        for at in 0..storey.walls.len() {
            let id = storey.walls[at].id.clone();
            if !picks.contains(&Pick::Wall(storey.id.clone(), id.clone())) {
                continue;
            }
            let length_m = length_m(storey, &storey.walls[at]);
            let wall = &mut storey.walls[at];
            std::mem::swap(&mut wall.from, &mut wall.to);
            for opening in storey.openings.iter_mut().filter(|opening| opening.wall == id) {
                opening.offset_m = length_m - opening.offset_m - opening.width_m;
            }
        }
        if !moving.is_empty() {
            tidy(storey);
        }
    }
    Ok(())
}
