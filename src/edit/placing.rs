//! Putting things in whole, and taking them away.

use super::graph::{join, length_m, line, merge_at, tidy};
use super::refused::{Refused, storey_mut};
use crate::catalogue::Catalogue;
use crate::scene::{DuctId, Item, NodeId, Override, Pick, Scene, SceneProperties, Storey};

fn replace_or_push<T>(list: &mut Vec<T>, item: &T, same: impl Fn(&T) -> bool)
where
    T: Clone,
{
    match list.iter_mut().find(|known| same(known)) {
        Some(known) => *known = item.clone(),
        None => list.push(item.clone()),
    }
}

pub(super) fn put(scene: &mut Scene, item: &Item) -> Result<(), Refused> {
    match item {
        Item::Properties(SceneProperties { name, about, air, outdoors, played }) => {
            (scene.name, scene.about, scene.played) = (name.clone(), about.clone(), played.clone());
            (scene.air, scene.outdoors) = (*air, *outdoors);
        }
        Item::Storey(changed) => {
            let storey = storey_mut(scene, &changed.id)?;
            let raised_m = changed.height_m - storey.height_m;
            storey.clone_from(changed);
            // What stands on a higher storey stands higher.
            if raised_m.is_finite() {
                let above = scene.storeys.iter_mut().skip_while(|storey| storey.id != changed.id).skip(1);
                above.for_each(|storey| storey.level_m += raised_m);
            }
        }
        Item::Wall(id, wall) => {
            let storey = storey_mut(scene, id)?;
            let known = |id: &NodeId| storey.nodes.iter().any(|node| node.id == *id);
            if !known(&wall.from) || !known(&wall.to) {
                return Err(Refused::because(format!("Wall \"{}\" names a corner that is not there.", wall.id)));
            }
            replace_or_push(&mut storey.walls, wall, |known| known.id == wall.id);
        }
        Item::Opening(id, opening) => {
            let storey = storey_mut(scene, id)?;
            let wall = storey.walls.iter().find(|wall| wall.id == opening.wall);
            let Some(length_m) = wall.and_then(|wall| line(storey, wall)).map(|[a, b]| a.distance(b)) else {
                return Err(Refused::because(format!("There is no wall \"{}\" to set it into.", opening.wall)));
            };
            // Pushed along a wall, an opening stops at its end.
            let mut opening = opening.clone();
            if opening.width_m <= length_m {
                opening.offset_m = opening.offset_m.clamp(0.0, length_m - opening.width_m);
            }
            replace_or_push(&mut storey.openings, &opening, |known| known.id == opening.id);
        }
        Item::Room(id, room) => {
            replace_or_push(&mut storey_mut(scene, id)?.rooms, room, |known| known.id == room.id);
        }
        Item::Source(source) => replace_or_push(&mut scene.sources, source, |known| known.id == source.id),
        Item::Listener(listener) => replace_or_push(&mut scene.listeners, listener, |known| known.id == listener.id),
        Item::Duct(duct) => replace_or_push(&mut scene.ducts, duct, |known| known.id == duct.id),
        Item::Construction(own) => replace_or_push(&mut scene.constructions, own, |known| known.id == own.id),
        Item::Overrides(all) => scene.overrides.clone_from(all),
        Item::Views(all) => scene.views.clone_from(all),
        Item::Variants(all) => scene.variants.clone_from(all),
    }
    Ok(())
}

pub(super) fn forget_construction(scene: &mut Scene, id: &str) -> Result<(), Refused> {
    let before = scene.constructions.len();
    scene.constructions.retain(|own| own.id != id);
    if scene.constructions.len() == before {
        return Err(Refused::because(format!("The scene has no construction \"{id}\" of its own.")));
    }
    Ok(())
}

pub(super) fn delete(scene: &mut Scene, catalogue: &Catalogue, picks: &[Pick]) -> Result<(), Refused> {
    for source in &mut scene.sources {
        let mut positions = 0..;
        let mut gone = || positions.next().is_some_and(|at| picks.contains(&Pick::Contact(source.id.clone(), at)));
        source.contacts.retain(|_| !gone());
    }
    let own = scene.constructions.clone();
    for storey in &mut scene.storeys {
        let mut loose: Vec<NodeId> = vec![];
        for pick in picks {
            match pick {
                Pick::Wall(on, id) if *on == storey.id => {
                    if let Some(at) = storey.walls.iter().position(|wall| wall.id == *id) {
                        let wall = storey.walls.remove(at);
                        storey.openings.retain(|opening| opening.wall != *id);
                        loose.extend([wall.from, wall.to]);
                    }
                }
                Pick::Opening(on, id) if *on == storey.id => storey.openings.retain(|opening| opening.id != *id),
                Pick::Room(on, id) if *on == storey.id => storey.rooms.retain(|room| room.id != *id),
                Pick::Node(on, id) if *on == storey.id => straighten(storey, id)?,
                _ => {}
            }
        }
        if !loose.is_empty() {
            merge_at(storey, &own, catalogue, &loose);
        }
    }
    scene.sources.retain(|source| !picks.contains(&Pick::Source(source.id.clone())));
    scene.listeners.retain(|listener| !picks.contains(&Pick::Listener(listener.id.clone())));
    // With one mouth a duct would be none.
    let mouths = |id: &DuctId| [0, 1].map(|end| Pick::Mouth(id.clone(), end));
    let gone = |id: &DuctId| mouths(id).iter().chain([&Pick::Duct(id.clone())]).any(|pick| picks.contains(pick));
    scene.ducts.retain(|duct| !gone(&duct.id));
    Ok(())
}

/// What is known better of elements goes with the walls and rooms they are of: a scene that speaks of what is not there is refused.
pub(super) fn forget_overrides(before: &Scene, after: &mut Scene) {
    if after.overrides.is_empty() {
        return;
    }
    let mut overrides = std::mem::take(&mut after.overrides);
    overrides.retain(|given| {
        let stays = |id: &String| is_drawn(after, id) || !is_drawn(before, id);
        match given {
            Override::Kij { from, to, .. } => stays(from) && stays(to),
            Override::EdgeLoss { element, .. } | Override::Reduction { element, .. } => stays(element),
        }
    });
    after.overrides = overrides;
}

/// Whether the walls or rooms an element is named by are there: "storey/wall", or "floor:room/room below" and the like; a later one of the same
/// name ends in "#2".
fn is_drawn(scene: &Scene, element: &str) -> bool {
    let element = element.split('#').next().unwrap_or(element);
    let is_room = |id: &str| scene.storeys.iter().any(|storey| storey.rooms.iter().any(|room| room.id.0 == id));
    if let Some((_, rooms)) = element.split_once(':') {
        return rooms.split('/').all(is_room);
    }
    element.split_once('/').is_some_and(|(storey, wall)| {
        let storey = scene.storeys.iter().find(|known| known.id.0 == storey);
        storey.is_some_and(|storey| storey.walls.iter().any(|known| known.id.0 == wall))
    })
}

/// Takes out a corner between two walls: one straight wall remains.
fn straighten(storey: &mut Storey, id: &NodeId) -> Result<(), Refused> {
    let meeting: Vec<usize> =
        (0..storey.walls.len()).filter(|&at| storey.walls[at].from == *id || storey.walls[at].to == *id).collect();
    match meeting[..] {
        // Its walls were deleted with it.
        [] => Ok(()),
        [first, second] => {
            let [kept, gone] = [first, second].map(|at| storey.walls[at].clone());
            let around_m = length_m(storey, &kept) + length_m(storey, &gone);
            join(storey, first, second, id);
            // At the same part of the way from end to end, as near as the straight one allows.
            let straight_m = length_m(storey, &storey.walls[first]);
            for opening in storey.openings.iter_mut().filter(|opening| opening.wall == kept.id && around_m > 0.0) {
                let offset_m = opening.offset_m * straight_m / around_m;
                opening.offset_m = offset_m.clamp(0.0, (straight_m - opening.width_m).max(0.0));
            }
            tidy(storey);
            Ok(())
        }
        _ => Err(Refused::because("This corner holds up several walls. Delete the walls instead.")),
    }
}
