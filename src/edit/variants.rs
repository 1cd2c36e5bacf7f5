//! Variants: the scene they make, and what is done while one is shown.

use super::apply::apply;
use super::refused::Refused;
use crate::catalogue::Catalogue;
use crate::scene::{Edit, Item, Opening, Pick, Room, Scene, SceneProperties, Storey, StoreyId, Variant, Wall};

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
    // What is said of the whole stays as drawn.
    made.name.clone_from(&scene.name);
    made.about.clone_from(&scene.about);
    made.views.clone_from(&scene.views);
    made.variants.clone_from(&scene.variants);
    (made, problems)
}

/// A variant without the edits that no longer fit what is drawn.
#[must_use]
pub fn fitting(scene: &Scene, catalogue: &Catalogue, variant: &Variant) -> Variant {
    let mut made = scene.clone();
    let mut fitting = Variant { edits: vec![], ..variant.clone() };
    for edit in &variant.edits {
        if let Ok(after) = apply(&made, catalogue, edit) {
            made = after;
            fitting.edits.push(edit.clone());
        }
    }
    fitting
}

/// The scene as drawn after edits made while its variant at that position is shown: they become part of the variant. What is said of the whole (names,
/// views to show, variants, pictures to trace) is changed as drawn.
///
/// # Errors
///
/// When one of them cannot be done in the scene the variant makes: a sentence.
pub fn edited_in(scene: &Scene, catalogue: &Catalogue, at: usize, edits: &[Edit]) -> Result<Scene, Refused> {
    let mut drawn = scene.clone();
    let Some(mut variant) = drawn.variants.get(at).cloned() else {
        return Err(Refused::because("There is no such variant.".to_owned()));
    };
    let (mut made, _) = varied(&drawn, catalogue, &variant);
    for edit in edits {
        if let Some(of_whole) = of_whole(&drawn, &made, edit) {
            drawn = apply(&drawn, catalogue, &of_whole)?;
            match drawn.variants.get(at) {
                Some(now) => variant = now.clone(),
                None => return Ok(drawn),
            }
            (made, _) = varied(&drawn, catalogue, &variant);
            continue;
        }
        let after = apply(&made, catalogue, edit)?;
        if after == made {
            continue;
        }
        // What is kept small must make the same scene; else the edit is kept as it is.
        let small = recorded(&variant, &made, edit);
        let (small_makes, misfits) = varied(&drawn, catalogue, &small);
        if misfits.len() <= varied(&drawn, catalogue, &variant).1.len() && small_makes == after {
            variant = small;
        } else {
            variant.edits.push(edit.clone());
        }
        made = after;
        drawn.variants[at] = variant.clone();
    }
    Ok(drawn)
}

/// What an edit does to the scene as drawn, where it is about the whole and not about what is built; nothing where it belongs to the variant shown.
fn of_whole(drawn: &Scene, made: &Scene, edit: &Edit) -> Option<Edit> {
    let Edit::Put(item) = edit else { return None };
    let item = match item {
        Item::Views(_) | Item::Variants(_) => item.clone(),
        Item::Properties(after) => {
            let (name, about) = (after.name.clone(), after.about.clone());
            let like = SceneProperties { name: name.clone(), about: about.clone(), ..SceneProperties::of(made) };
            (like == *after).then(|| Item::Properties(SceneProperties { name, about, ..SceneProperties::of(drawn) }))?
        }
        Item::Storey(after) => {
            let of = |scene: &Scene| scene.storeys.iter().find(|storey| storey.id == after.id).cloned();
            let renamed = |storey| Storey { name: after.name.clone(), underlay: after.underlay.clone(), ..storey };
            (renamed(of(made)?) == *after).then(|| of(drawn).map(renamed).map(Item::Storey))??
        }
        _ => return None,
    };
    Some(Edit::Put(item))
}

/// The name by which a variant goes after the list has changed: its own, or the one it was given. Nothing where it is gone.
#[must_use]
pub fn followed(before: &[Variant], after: &[Variant], name: &str) -> Option<String> {
    if after.iter().any(|variant| variant.name == name) {
        return Some(name.to_owned());
    }
    let was = before.iter().position(|variant| variant.name == name)?;
    // Renamed: where it stood there is one of a name that is new.
    let now = after.get(was)?;
    let is_new = before.iter().all(|variant| variant.name != now.name);
    (before.len() == after.len() && is_new).then(|| now.name.clone())
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
        (Item::Storey(after), _) => of_storey(scene, after),
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

fn of_storey(scene: &Scene, after: &Storey) -> Option<Vec<Edit>> {
    let before = scene.storeys.iter().find(|storey| storey.id == after.id)?;
    let mut like = before.clone();
    like.floor.construction.clone_from(&after.floor.construction);
    (like == *after).then(|| vec![Edit::Floor(after.id.clone(), after.floor.construction.clone())])
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
