//! Room markers stay in their rooms when walls move, and two rooms made one keep one marker.

use crate::building::{Enclosed, enclosed};
use crate::catalogue::Catalogue;
use crate::scene::{RoomId, Scene, Storey};

/// Moves the markers of every storey whose walls changed back into the rooms they named.
pub(super) fn keep(before: &Scene, after: &mut Scene, catalogue: &Catalogue) {
    for at in 0..after.storeys.len() {
        let storey = &after.storeys[at];
        let Some(was_at) = before.storeys.iter().position(|known| known.id == storey.id) else { continue };
        let was = &before.storeys[was_at];
        if storey.nodes == was.nodes && storey.walls == was.walls {
            continue;
        }
        let (old, new) = (enclosed(before, catalogue, was_at), enclosed(after, catalogue, at));
        follow(was, &mut after.storeys[at], &old, &new);
    }
}

fn follow(was: &Storey, storey: &mut Storey, old: &[Enclosed], new: &[Enclosed]) {
    // Where no corner moved, walls were only drawn or taken away, and a marker stays where it is.
    let moved = was.nodes.iter().any(|old| storey.nodes.iter().any(|new| new.id == old.id && new.at != old.at));
    let face_before = |id: &RoomId| old.iter().find(|face| face.room.as_ref() == Some(id));
    // Claims on faces, the largest room's first: who loses its face loses its marker.
    let mut order: Vec<usize> = (0..storey.rooms.len()).collect();
    let size = |id: &RoomId| face_before(id).map_or(f64::INFINITY, |face| face.area_m2);
    order.sort_by(|&a, &b| size(&storey.rooms[b].id).total_cmp(&size(&storey.rooms[a].id)));
    let mut taken: Vec<usize> = vec![];
    let mut merged: Vec<RoomId> = vec![];
    for at in order {
        let room = storey.rooms[at].clone();
        let here = new.iter().position(|face| face.holds(room.at));
        let (Some(face), true) = (face_before(&room.id), was.rooms.iter().any(|known| known.id == room.id)) else {
            // A new marker, or one that was astray: it stays where it was put.
            taken.extend(here);
            continue;
        };
        let shared = |other: &Enclosed| walls_shared(face, other);
        // A room that lost its own walls does not take the place of its neighbour.
        let is_of_another = |other: &Enclosed| {
            let others = storey.rooms.iter().filter(|known| known.id != room.id && other.holds(known.at));
            others.filter_map(|known| face_before(&known.id)).any(|own| walls_shared(own, other) > shared(other))
        };
        let most = new.iter().map(shared).max().unwrap_or(0);
        // Where the marker lies is as good as any other face of the same walls.
        let best = here
            .filter(|&here| !moved || (shared(&new[here]) > 0 && shared(&new[here]) == most))
            .or_else(|| {
                let free = (0..new.len()).filter(|other| !taken.contains(other) && !is_of_another(&new[*other]));
                free.max_by_key(|&other| shared(&new[other])).filter(|&best| shared(&new[best]) > 0)
            })
            .filter(|&best| !moved || shared(&new[best]) > 0);
        match best {
            Some(best) if taken.contains(&best) => merged.push(room.id.clone()),
            Some(best) => {
                taken.push(best);
                if here != Some(best) {
                    storey.rooms[at].at = new[best].inside;
                }
            }
            // Its walls are gone, or others have them now.
            None if here.is_some_and(|here| taken.contains(&here)) => merged.push(room.id.clone()),
            None => {}
        }
    }
    storey.rooms.retain(|room| !merged.contains(&room.id));
}

/// How many walls are round both.
fn walls_shared(one: &Enclosed, other: &Enclosed) -> usize {
    other.walls.iter().filter(|wall| one.walls.contains(wall)).count()
}
