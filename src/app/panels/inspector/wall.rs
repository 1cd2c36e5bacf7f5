//! A wall: what it is made of, its length, how it was built, and what the answer says of it. And a corner of the walls.

use bevy_egui::egui::Ui;

use super::common::{BUILT, HOW_WELL};
use super::construct::MadeOf;
use super::context::Context;
use super::entry::fact;
use super::inputs::{Check, Label, Length, OneOf, button, choice, heading, part, set, words};
use super::known::{is_about, known_ui};
use super::table::{Custom, Field, Table, table};
use crate::building::ElementShape;
use crate::edit::distance;
use crate::edit::{Edit, Item, Pick, ends};
use crate::output;
use crate::output::length::area;
use crate::scene::validate::limits::{self, Allowed};
use crate::scene::{Node, Wall};

pub(super) const WALL: Table<Wall> = table! { wall: Wall;
    "Made of", "What the wall is made of, from its left face to its right as seen from its first corner",
        MadeOf(allowed), wall.construction;
    Custom(length_ui);
    "joists run on through it", "Floor joists run on through this wall to the other side, and carry sound along",
        Check, wall.joists_run_on;
    "stops at the ceiling", "It does not divide the loft above it", Check, wall.stops_at_ceiling;
    "Built", HOW_WELL, BUILT, wall.workmanship;
    Custom(turn_ui);
    Custom(answer_ui);
    Custom(openings_ui);
};

pub(super) const WALLS: Table<Wall> = table! { wall: Wall;
    "Made of", "What all of them are made of", MadeOf(allowed), wall.construction;
    "Built", "How well they were built", BUILT, wall.workmanship;
    "Joists", "Of the floors", OneOf(|_, _| words(JOISTS)), wall.joists_run_on;
};

const JOISTS: &[(bool, &str)] = &[(true, "run on through them"), (false, "end at them")];

fn allowed(cx: &Context) -> Allowed {
    cx.storey.map_or(Allowed::of(&[]), limits::walls)
}

/// The length, and which end moves when another is typed.
fn length_ui(ui: &mut Ui, cx: &Context, wall: &mut Wall) {
    let Some((storey, [a, b])) = cx.storey.and_then(|storey| Some((storey, ends(storey, wall)?))) else { return };
    let was_m = distance(a, b);
    let mut length_m = was_m;
    let tip = "Along its middle line, from corner to corner. Type 4.2 m, 420 cm or 13' 9\"; walls that hang on the corner follow.";
    let typed = set(ui, cx, ("Length", tip), &Length(limits::WALL_M), &mut length_m);
    // An end is called by where it lies.
    let upright = (b[1] - a[1]).abs() > (b[0] - a[0]).abs();
    let far = if upright { b[1] > a[1] } else { b[0] > a[0] };
    let [one, other] = if upright { ["its upper end", "its lower end"] } else { ["its right end", "its left end"] };
    let key = ui.make_persistent_id("which end moves");
    let second: bool = ui.data(|data| data.get_temp(key)).unwrap_or(true);
    let label = Label::new("Moves", "The end that moves when another length is typed");
    if let Some(second) = choice(ui, cx, label, &second, &words(&[(far, one), (!far, other)])) {
        ui.data_mut(|data| data.insert_temp(key, second));
    }
    if typed && (length_m - was_m).abs() > 1e-9 {
        cx.ask(Edit::Length { storey: storey.id.clone(), wall: wall.id.clone(), length_m, second });
    }
}

/// The wall from its other end, and what is set into it left where it is.
fn turn_ui(ui: &mut Ui, cx: &Context, wall: &mut Wall) {
    if !button(ui, "Turn it round", "Its layers are listed from the other face") {
        return;
    }
    let Some((storey, [a, b])) = cx.storey.and_then(|storey| Some((storey, ends(storey, wall)?))) else { return };
    std::mem::swap(&mut wall.from, &mut wall.to);
    // What is set into it counts from its first corner: the wall first.
    cx.ask(Edit::Put(Item::Wall(storey.id.clone(), wall.clone())));
    for opening in storey.openings.iter().filter(|opening| opening.wall == wall.id) {
        let offset_m = distance(a, b) - opening.offset_m - opening.width_m;
        let turned = crate::scene::Opening { offset_m, ..opening.clone() };
        cx.ask(Edit::Put(Item::Opening(storey.id.clone(), turned)));
    }
}

/// What the answer says of the elements the wall is part of, and what is known better of them.
fn answer_ui(ui: &mut Ui, cx: &Context, wall: &mut Wall) {
    let (Some(latest), Some(level)) = (cx.latest(), cx.level()) else { return };
    let is_it = |shape: &ElementShape| matches!(shape, ElementShape::Wall { storey, walls, .. } if *storey == level && walls.contains(&wall.id));
    let elements = &latest.building.elements;
    let mine: Vec<usize> = (0..elements.len()).filter(|index| is_it(&elements[*index].shape)).collect();
    if mine.is_empty() {
        return;
    }
    heading(ui, cx, "In the building");
    mine.iter().for_each(|index| element_ui(ui, cx, *index));
    let ids: Vec<&str> = mine.iter().map(|index| elements[*index].id.as_str()).collect();
    let by_hand = cx.scene.overrides.iter().any(|known| is_about(known, &ids));
    part(ui, cx, "I have measured this", by_hand, |ui| known_ui(ui, cx, Some(&ids)));
}

fn element_ui(ui: &mut Ui, cx: &Context, index: usize) {
    let Some(solved) = cx.solved() else { return };
    let element = &solved.building.elements[index];
    let Some(answer) = solved.answer.elements.get(index) else { return };
    fact(ui, &cx.palette, &output::words::heading(&element.name));
    let mass = answer.mass_per_area_kg_m2;
    let mut line = format!("{}, {mass:.0} kg/m², Rw {} dB in place", area(element.area_m2, cx.units), answer.rw_db);
    if !element.openings.is_empty() && answer.r_composite_db.is_finite() {
        let with = crate::acoustics::rating::iso717_1::Airborne::of_spectrum(&answer.r_composite_db).rw_db;
        line.push_str(&format!(", {with} dB with what is set into it"));
    }
    fact(ui, &cx.palette, &line);
    for heard in &solved.answer.listeners {
        let between = |source| element.sides.contains(&source) && element.sides.contains(&heard.space);
        let across = heard.ratings.iter().filter(|it| it.source_space != heard.space && between(it.source_space));
        for r_prime_w_db in across.filter_map(|rating| rating.r_prime_w_db) {
            fact(ui, &cx.palette, &format!("R'w between the two rooms {r_prime_w_db} dB, by all paths"));
        }
    }
}

fn openings_ui(ui: &mut Ui, cx: &Context, wall: &mut Wall) {
    let Some(storey) = cx.storey else { return };
    let mut openings = storey.openings.iter().filter(|opening| opening.wall == wall.id).peekable();
    if openings.peek().is_some() {
        heading(ui, cx, "Set into it");
    }
    for opening in openings {
        let made = cx.construction(&opening.construction).map_or("opening", |known| known.name.as_str());
        let name = if opening.name.is_empty() { made } else { &opening.name };
        if button(ui, &output::words::heading(name), "Pick it") {
            cx.pick(Pick::Opening(storey.id.clone(), opening.id.clone()));
        }
    }
}

/// A corner: where it is.
pub(super) fn corner_ui(ui: &mut Ui, cx: &Context, node: &Node) {
    let Some(storey) = cx.storey else { return };
    let [mut x, mut y] = node.at;
    let input = Length(limits::COORDINATE_M);
    let moved = set(ui, cx, ("From left", "From the plan's origin to the right"), &input, &mut x)
        | set(ui, cx, ("From street", "From the plan's origin up the sheet"), &input, &mut y);
    let walls = storey.walls.iter().filter(|wall| wall.from == node.id || wall.to == node.id).count();
    let noun = if walls == 1 { "wall ends" } else { "walls meet" };
    fact(ui, &cx.palette, &format!("{walls} {noun} here"));
    let by = [x - node.at[0], y - node.at[1]];
    if moved && by.iter().any(|by| by.abs() > 1e-9) {
        let picks = vec![Pick::Node(storey.id.clone(), node.id.clone())];
        cx.ask(Edit::Move { picks, by });
    }
}
