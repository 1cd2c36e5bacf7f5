//! A wall: what it is made of, its length, how it was built, and what the answer says of it.

use bevy_egui::egui::Ui;

use super::construct::construction_ui;
use super::fields::{button, check, choice, fact, heading, length, part};
use super::known::{is_about, known_ui};
use super::{Seen, head, workmanship_ui};
use crate::app::editor::state::Editor;
use crate::building::ElementShape;
use crate::catalogue::ConstructionKind;
use crate::edit::{Edit, Item, Pick, ends};
use crate::output::length::area;
use crate::output::words;
use crate::project::Solved;
use crate::scene::{Storey, Thing, Wall, WallId};

/// Walls, and leaves where a shell is drawn as walls.
pub(super) const KINDS: [ConstructionKind; 2] = [ConstructionKind::Wall, ConstructionKind::Leaf];

/// The panel of a wall.
pub(super) fn wall_ui(
    ui: &mut Ui,
    seen: &Seen,
    editor: &mut Editor,
    storey: &Storey,
    id: &WallId,
) -> Option<Vec<Edit>> {
    let wall = storey.walls.iter().find(|wall| wall.id == *id)?;
    head(ui, seen, "Wall", &format!("wall {id}"), Some(&storey.id), &Thing::Wall(id.0.clone()));
    let mut after = wall.clone();
    let told = "What the wall is made of, from its left face to its right as seen from its first corner";
    let mut edits = construction_ui(ui, seen, ("Made of", told), &KINDS, &mut after.construction);
    edits.extend(length_ui(ui, seen, storey, wall));
    let told = "Floor joists run on through this wall to the other side, and carry sound along";
    check(ui, "joists run on through it", told, &mut after.joists_run_on);
    let told = "It does not divide the loft above it";
    check(ui, "stops at the ceiling", told, &mut after.stops_at_ceiling);
    workmanship_ui(ui, seen, false, &mut after.workmanship);
    let told = "Its layers are listed from the other face";
    if button(ui, "Turn it round", told) {
        edits.extend(turned(storey, &mut after));
    }
    if after != *wall {
        edits.push(Edit::Put(Item::Wall(storey.id.clone(), after)));
        // What is set into it counts from its first corner: the wall first.
        edits.sort_by_key(|edit| matches!(edit, Edit::Put(Item::Opening(..))));
    }
    edits.extend(answer_ui(ui, seen, storey, wall));
    let openings: Vec<_> = storey.openings.iter().filter(|opening| opening.wall == *id).collect();
    if !openings.is_empty() {
        heading(ui, seen, "Set into it");
        for opening in openings {
            let made = seen.construction(&opening.construction).map_or("opening", |known| known.name.as_str());
            let name = if opening.name.is_empty() { made } else { &opening.name };
            if button(ui, &words::heading(name), "Pick it") {
                editor.picks = vec![Pick::Opening(storey.id.clone(), opening.id.clone())];
            }
        }
    }
    Some(edits)
}

/// The length, and which end moves when another is typed.
fn length_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, wall: &Wall) -> Option<Edit> {
    let [a, b] = ends(storey, wall)?;
    let length_m = (b[0] - a[0]).hypot(b[1] - a[1]);
    let key = ui.make_persistent_id("which end moves");
    let mut second: bool = ui.data(|data| data.get_temp(key)).unwrap_or(true);
    let told = "Along its middle line, from corner to corner. Type 4.2 m, 420 cm or 13' 9\"; walls that hang on the corner follow.";
    let typed = length(ui, seen, "Length", told, length_m, (0.05, 500.0));
    // An end is called by where it lies.
    let upright = (b[1] - a[1]).abs() > (b[0] - a[0]).abs();
    let far = if upright { b[1] > a[1] } else { b[0] > a[0] };
    let name = |far: bool| match (upright, far) {
        (true, true) => "its upper end",
        (true, false) => "its lower end",
        (false, true) => "its right end",
        (false, false) => "its left end",
    };
    let all = [(far, name(true).to_owned()), (!far, name(false).to_owned())];
    if choice(ui, seen, "Moves", "The end that moves when another length is typed", &mut second, &all) {
        ui.data_mut(|data| data.insert_temp(key, second));
    }
    let length_m = typed.filter(|typed| (typed - length_m).abs() > 1e-9)?;
    Some(Edit::Length { storey: storey.id.clone(), wall: wall.id.clone(), length_m, second })
}

/// The wall from its other end, and what is set into it left where it is.
fn turned(storey: &Storey, wall: &mut Wall) -> Vec<Edit> {
    let Some([a, b]) = ends(storey, wall) else { return vec![] };
    let length_m = (b[0] - a[0]).hypot(b[1] - a[1]);
    std::mem::swap(&mut wall.from, &mut wall.to);
    let inside = storey.openings.iter().filter(|opening| opening.wall == wall.id);
    inside
        .map(|opening| {
            let mut opening = opening.clone();
            opening.offset_m = length_m - opening.offset_m - opening.width_m;
            Edit::Put(Item::Opening(storey.id.clone(), opening))
        })
        .collect()
}

/// What the answer says of the elements the wall is part of, and what is known better of them.
fn answer_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, wall: &Wall) -> Vec<Edit> {
    let Some(lately) = seen.lately() else { return vec![] };
    let Some((at, _)) = seen.storey(&storey.id) else { return vec![] };
    let is_it = |shape: &ElementShape| match shape {
        ElementShape::Wall { storey, walls, .. } => *storey == at && walls.contains(&wall.id),
        ElementShape::Slab { .. } => false,
    };
    let elements = &lately.building.elements;
    let mine: Vec<usize> = (0..elements.len()).filter(|index| is_it(&elements[*index].shape)).collect();
    if mine.is_empty() {
        return vec![];
    }
    heading(ui, seen, "In the building");
    if let Some(solved) = seen.solved() {
        mine.iter().for_each(|index| element_ui(ui, seen, solved, *index));
    }
    let ids: Vec<&str> = mine.iter().map(|index| elements[*index].id.as_str()).collect();
    let by_hand = seen.scene.overrides.iter().any(|known| is_about(known, &ids));
    let mut edits = vec![];
    part(ui, seen, "What is known better of it", by_hand, |ui| edits.extend(known_ui(ui, seen, Some(&ids))));
    edits
}

fn element_ui(ui: &mut Ui, seen: &Seen, solved: &Solved, index: usize) {
    let element = &solved.building.elements[index];
    let Some(answer) = solved.answer.elements.get(index) else { return };
    fact(ui, &seen.palette, &words::heading(&element.name));
    let mass = answer.mass_per_area_kg_m2;
    let mut line = format!("{}, {mass:.0} kg/m², Rw {} dB in place", area(element.area_m2, seen.units), answer.rw_db);
    if !element.openings.is_empty() && answer.r_composite_db.is_finite() {
        let with = crate::acoustics::rating::iso717_1::Airborne::of_spectrum(&answer.r_composite_db).rw_db;
        line.push_str(&format!(", {with} dB with what is set into it"));
    }
    fact(ui, &seen.palette, &line);
    for heard in &solved.answer.listeners {
        let between = |source| element.sides.contains(&source) && element.sides.contains(&heard.space);
        for rating in heard.ratings.iter().filter(|it| it.source_space != heard.space && between(it.source_space)) {
            if let Some(r_prime_w_db) = rating.r_prime_w_db {
                let line = format!("R'w between the two rooms {r_prime_w_db} dB, by all paths");
                fact(ui, &seen.palette, &line);
            }
        }
    }
}
