//! Edits of one thing of one thing: another construction, a seal, a face of an inner shell, a source elsewhere.

use super::refused::{Refused, storey_mut};
use crate::catalogue::UnknownId;
use crate::scene::{
    Edit, InnerShell, Opening, OpeningId, Room, RoomId, Scene, Source, SourceId, Storey, StoreyId, Touches, Wall,
    WallId,
};

/// Makes the change.
pub(super) fn change(scene: &mut Scene, edit: &Edit) -> Result<(), Refused> {
    match edit {
        Edit::Wall(id, construction) => wall_mut(scene, id)?.construction.clone_from(construction),
        Edit::Floor(id, construction) => storey_mut(scene, id)?.floor.construction.clone_from(construction),
        Edit::Opening(id, construction) => opening_mut(scene, id)?.construction.clone_from(construction),
        Edit::Seal(id, seal, undercut_mm) => {
            let opening = opening_mut(scene, id)?;
            (opening.seal, opening.undercut_mm) = (Some(seal.clone()), *undercut_mm);
        }
        Edit::Cover(id, cover) => opening_mut(scene, id)?.cover = Some(cover.clone()),
        Edit::Finish(id, finish, area_m2) => room_mut(scene, id)?.finishes.extra.push((finish.clone(), *area_m2)),
        Edit::Shell(id, shell) => room_mut(scene, id)?.inner_shell = Some(shell.clone()),
        Edit::ShellWall(id, wall, face) => {
            let shell = shell_mut(scene, id)?;
            shell.each_wall.retain(|(known, _)| known != wall);
            shell.each_wall.push((wall.clone(), Some(face.clone())));
        }
        Edit::ShellCeiling(id, face) => shell_mut(scene, id)?.ceiling = Some(face.clone()),
        Edit::ShellFloor(id, face) => shell_mut(scene, id)?.floor = Some(face.clone()),
        Edit::ShellOpening(id, opening) => {
            let shell = shell_mut(scene, id)?;
            shell.openings.retain(|known| known.before != opening.before);
            shell.openings.push(opening.clone());
        }
        Edit::Mount(id, mount) => {
            let on_floor =
                source_mut(scene, id)?.contacts.iter_mut().filter(|contact| contact.touches == Touches::Floor);
            on_floor.for_each(|contact| contact.mount = Some(mount.clone()));
        }
        Edit::Softer(id, db) => soften(source_mut(scene, id)?, *db),
        Edit::PlayAt(id, storey, [x, y]) => {
            storey_mut(scene, storey)?;
            let source = source_mut(scene, id)?;
            let [from_x, from_y] = source.at;
            (source.storey, source.at) = (storey.clone(), [*x, *y]);
            for at in source.contacts.iter_mut().filter_map(|contact| contact.at.as_mut()) {
                *at = [at[0] + x - from_x, at[1] + y - from_y];
            }
        }
        Edit::Hours(hours, a_day) => {
            (scene.played.hours, scene.played.hours_a_day) = (Some(*hours), Some(*a_day));
        }
        Edit::Limit(id, target) => {
            let known = scene.listeners.iter().map(|listener| listener.id.0.as_str());
            let unknown = UnknownId::among("listener", &id.0, known);
            let listener = scene.listeners.iter_mut().find(|listener| listener.id == *id);
            listener.ok_or_else(|| Refused::because(unknown.to_string()))?.target = Some(target.clone());
        }
        // All others are done elsewhere.
        _ => {}
    }
    Ok(())
}

fn soften(source: &mut Source, db: f64) {
    match &mut source.measured {
        Some(measured) => measured.la_db -= db,
        None => source.offset_db -= db,
    }
}

/// The opening of that id in the whole scene, with its storey.
///
/// # Errors
///
/// When there is none, or several: a sentence.
pub fn opening<'a>(scene: &'a Scene, id: &OpeningId) -> Result<(&'a StoreyId, &'a Opening), Refused> {
    let (storey, at) = found(scene, "opening", &id.0, |storey| &storey.openings, |opening| &opening.id.0)?;
    Ok((&scene.storeys[storey].id, &scene.storeys[storey].openings[at]))
}

/// The wall of that id in the whole scene, with its storey.
///
/// # Errors
///
/// When there is none, or several: a sentence.
pub fn wall<'a>(scene: &'a Scene, id: &WallId) -> Result<(&'a StoreyId, &'a Wall), Refused> {
    let (storey, at) = found(scene, "wall", &id.0, |storey| &storey.walls, |wall| &wall.id.0)?;
    Ok((&scene.storeys[storey].id, &scene.storeys[storey].walls[at]))
}

fn wall_mut<'a>(scene: &'a mut Scene, id: &WallId) -> Result<&'a mut Wall, Refused> {
    let (storey, at) = found(scene, "wall", &id.0, |storey| &storey.walls, |wall| &wall.id.0)?;
    Ok(&mut scene.storeys[storey].walls[at])
}

fn opening_mut<'a>(scene: &'a mut Scene, id: &OpeningId) -> Result<&'a mut Opening, Refused> {
    let (storey, at) = found(scene, "opening", &id.0, |storey| &storey.openings, |opening| &opening.id.0)?;
    Ok(&mut scene.storeys[storey].openings[at])
}

fn room_mut<'a>(scene: &'a mut Scene, id: &RoomId) -> Result<&'a mut Room, Refused> {
    let (storey, at) = found(scene, "room", &id.0, |storey| &storey.rooms, |room| &room.id.0)?;
    Ok(&mut scene.storeys[storey].rooms[at])
}

fn shell_mut<'a>(scene: &'a mut Scene, id: &RoomId) -> Result<&'a mut InnerShell, Refused> {
    Ok(room_mut(scene, id)?.inner_shell.get_or_insert_default())
}

fn source_mut<'a>(scene: &'a mut Scene, id: &SourceId) -> Result<&'a mut Source, Refused> {
    let unknown = UnknownId::among("source", &id.0, scene.sources.iter().map(|source| source.id.0.as_str()));
    let source = scene.sources.iter_mut().find(|source| source.id == *id);
    source.ok_or_else(|| Refused::because(unknown.to_string()))
}

/// The one thing of that id, or "storey/id", among the lists of its kind: positions of storey and thing.
fn found<T>(
    scene: &Scene,
    kind: &'static str,
    id: &str,
    of: impl Fn(&Storey) -> &[T],
    id_of: impl Fn(&T) -> &str,
) -> Result<(usize, usize), Refused> {
    let (on, word) = id.split_once('/').map_or((None, id), |(storey, word)| (Some(storey), word));
    let storeys = scene.storeys.iter().enumerate().filter(|(_, storey)| on.is_none_or(|on| storey.id.0 == on));
    let mut all = storeys.flat_map(|(at, storey)| {
        let things = of(storey).iter().enumerate().filter(|(_, thing)| id_of(thing) == word);
        things.map(move |(thing, _)| (at, thing)).collect::<Vec<_>>()
    });
    match (all.next(), all.next()) {
        (Some(one), None) => Ok(one),
        (None, _) => {
            let known = scene.storeys.iter().flat_map(|storey| of(storey).iter().map(&id_of));
            Err(Refused::because(UnknownId::among(kind, word, known).to_string()))
        }
        (Some((first, _)), _) => Err(Refused::because(format!(
            "there are several of {kind} \"{id}\" in the scene; say which with its storey, as \"{}/{id}\"",
            scene.storeys[first].id
        ))),
    }
}
