//! Variants: the scene they make, and what is done while one is shown.

use super::apply::apply;
use crate::catalogue::Catalogue;
use crate::scene::{Edit, Item, Opening, Pick, Room, Scene, StoreyId, Variant, Wall};

/// The scene a variant makes, and a sentence for each edit that no longer fits what is drawn: those are left out.
#[must_use]
pub fn varied(scene: &Scene, catalogue: &Catalogue, variant: &Variant) -> (Scene, Vec<String>) {
    let mut problems = vec![];
    let mut made = scene.clone();
    for edit in &variant.edits {
        match apply(&made, catalogue, edit) {
            Ok(after) => made = after,
            Err(why) => problems.push(format!("Variant \"{}\" cannot {}: {why}", variant.name, edit.name())),
        }
    }
    // What is said of variants stays as drawn.
    made.variants.clone_from(&scene.variants);
    (made, problems)
}

/// A variant after one more edit of the scene it makes. An edit of a thing takes the place of an earlier one of the same where nothing between
/// could depend on it.
#[must_use]
pub fn recorded(variant: &Variant, made: &Scene, edit: &Edit) -> Variant {
    let mut after = variant.clone();
    for edit in narrowed(made, edit) {
        match after.edits.last_mut() {
            Some(last) if about(&edit).is_some() && about(last) == about(&edit) => *last = edit,
            _ => after.edits.push(edit),
        }
    }
    after
}

/// An edit that puts something in whole as the edits of what differs, so that the rest can change beneath; the edit itself where there are none.
#[must_use]
pub fn narrowed(scene: &Scene, edit: &Edit) -> Vec<Edit> {
    let Edit::Put(item) = edit else { return vec![edit.clone()] };
    let before = pick_of(item).and_then(|pick| Item::of(scene, &pick));
    let narrow = match (item, before) {
        (Item::Wall(storey, after), Some(Item::Wall(_, before))) => of_wall(storey, &before, after),
        (Item::Opening(storey, after), Some(Item::Opening(_, before))) => of_opening(storey, &before, after),
        (Item::Room(_, after), Some(Item::Room(_, before))) => of_room(&before, after),
        _ => None,
    };
    narrow.unwrap_or_else(|| vec![edit.clone()])
}

fn of_wall(storey: &StoreyId, before: &Wall, after: &Wall) -> Option<Vec<Edit>> {
    let same = Wall { construction: before.construction.clone(), ..after.clone() } == *before;
    same.then(|| vec![Edit::Wall(format!("{storey}/{}", after.id).as_str().into(), after.construction.clone())])
}

fn of_opening(storey: &StoreyId, before: &Opening, after: &Opening) -> Option<Vec<Edit>> {
    let like = Opening {
        construction: before.construction.clone(),
        seal: before.seal.clone(),
        undercut_mm: before.undercut_mm,
        cover: before.cover.clone(),
        ..after.clone()
    };
    if like != *before {
        return None;
    }
    let id = || format!("{storey}/{}", after.id).as_str().into();
    let mut edits = vec![];
    if after.construction != before.construction {
        edits.push(Edit::Opening(id(), after.construction.clone()));
    }
    if (&after.seal, after.undercut_mm.to_bits()) != (&before.seal, before.undercut_mm.to_bits()) {
        edits.push(Edit::Seal(id(), after.seal.clone()?, after.undercut_mm));
    }
    if after.cover != before.cover {
        edits.push(Edit::Cover(id(), after.cover.clone()?));
    }
    Some(edits)
}

fn of_room(before: &Room, after: &Room) -> Option<Vec<Edit>> {
    let like = Room { inner_shell: before.inner_shell.clone(), ..after.clone() };
    let shell = after.inner_shell.clone()?;
    (like == *before).then(|| vec![Edit::Shell(after.id.clone(), shell)])
}

/// What an item is put in the place of.
fn pick_of(item: &Item) -> Option<Pick> {
    Some(match item {
        Item::Wall(storey, wall) => Pick::Wall(storey.clone(), wall.id.clone()),
        Item::Opening(storey, opening) => Pick::Opening(storey.clone(), opening.id.clone()),
        Item::Room(storey, room) => Pick::Room(storey.clone(), room.id.clone()),
        Item::Source(source) => Pick::Source(source.id.clone()),
        Item::Listener(listener) => Pick::Listener(listener.id.clone()),
        Item::Duct(duct) => Pick::Duct(duct.id.clone()),
        _ => return None,
    })
}

/// What an edit is about, where it is about one thing: for a later one to take its place.
fn about(edit: &Edit) -> Option<(&'static str, String)> {
    let text = |id: &dyn std::fmt::Display| id.to_string();
    Some(match edit {
        Edit::Wall(id, _) => ("wall", text(id)),
        Edit::Floor(id, _) => ("floor", text(id)),
        Edit::Opening(id, _) => ("opening", text(id)),
        Edit::Seal(id, ..) => ("seal", text(id)),
        Edit::Cover(id, _) => ("cover", text(id)),
        Edit::Shell(id, _) => ("shell", text(id)),
        Edit::ShellWall(room, wall, _) => ("shell wall", format!("{room}/{wall}")),
        Edit::ShellCeiling(id, _) => ("shell ceiling", text(id)),
        Edit::ShellFloor(id, _) => ("shell floor", text(id)),
        Edit::ShellOpening(room, opening) => ("shell opening", format!("{room}/{}", opening.before)),
        Edit::Mount(id, _) => ("mount", text(id)),
        Edit::PlayAt(id, ..) => ("place", text(id)),
        Edit::Hours(..) => ("hours", String::new()),
        Edit::Limit(id, _) => ("limit", text(id)),
        Edit::Put(item) => ("put", format!("{:?}", pick_of(item)?)),
        _ => return None,
    })
}
