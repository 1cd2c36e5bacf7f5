//! An opening: a window, a door, a vent or a hole in a wall. And a removable cover panel before it.

use bevy_egui::egui::Ui;

use super::chooser::{FromShelf, FromShelfOr, Porous};
use super::common::{FITTED, HOW_WELL};
use super::construct::MadeOf;
use super::context::Context;
use super::entry::{alert, tell};
use super::inputs::{Check, Label, Length, Number, OneOf, Switch, Text, button, set};
use super::table::{Custom, Fact, Field, Part, Table, table};
use super::treatment;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::catalogue::ConstructionKind::{self, Door, Open, Vent, Window};
use crate::edit::distance;
use crate::edit::{Pick, ends};
use crate::output::length::{Units, area, dimension, write};
use crate::output::shelf::Shelf;
use crate::output::words::heading;
use crate::scene::validate::limits::{self, Allowed};
use crate::scene::{Cover, Opening, RoomId, Storey, Workmanship};

pub(super) const OPENING: Table<Opening> = table! { opening: Opening;
    "Name", "Left empty, it is called by what it is", Text, opening.name;
    "Made of", "The window, door, vent or hole itself, without the gap round it",
        MadeOf(fitting), opening.construction;
    "Width", "Of the opening in the wall", Length(limits::SIZE_M), opening.width_m;
    "Height", "Of the opening in the wall", Length(limits::SIZE_M), opening.height_m;
    "Sill", "Its lower edge above the walking surface", Length(limits::SILL_M), opening.sill_m;
    "Offset", "From the first corner of its wall, along the wall, to its near edge",
        Length(limits::OFFSET_M), opening.offset_m;
    Custom(closing_ui);
    "Built", HOW_WELL, FITTED, opening.workmanship;
    Part("Cover panel", |opening| opening.cover.is_some(), COVER);
    Fact(answer);
    Custom(pick_wall_ui);
};

pub(super) const OPENINGS: Table<Opening> = table! { opening: Opening;
    "Made of", "What all of them are made of", MadeOf(alike), opening.construction;
    "Seal", "What closes the gap round them", FromShelfOr(Shelf::Seals, "none: do not open"), opening.seal;
    "Built", "How well they were built", FITTED, opening.workmanship;
};

/// Anything that can be in a wall, beginning with what it is.
fn fitting(cx: &Context) -> Allowed {
    let picked =
        |opening: &&Opening| cx.picks.iter().any(|pick| matches!(pick, Pick::Opening(_, id) if *id == opening.id));
    let opening = cx.storey.and_then(|storey| storey.openings.iter().find(picked));
    match opening.map(|opening| kind(cx, opening)) {
        Some(Door) => Allowed::of(&[Door, Window, Vent, Open]),
        Some(Vent) => Allowed::of(&[Vent, Open, Window, Door]),
        Some(Open) => Allowed::of(&[Open, Vent, Door, Window]),
        _ => limits::OPENINGS,
    }
}

/// Windows stay windows, and doors doors.
fn alike(cx: &Context) -> Allowed {
    let picked = |storey: &Storey, opening: &Opening| {
        cx.picks.contains(&Pick::Opening(storey.id.clone(), opening.id.clone())).then(|| kind(cx, opening))
    };
    let storeys = cx.scene.storeys.iter();
    let mut kinds = storeys.flat_map(|storey| storey.openings.iter().filter_map(|opening| picked(storey, opening)));
    match kinds.next().filter(|first| kinds.all(|kind| kind == *first)) {
        Some(Window) => Allowed::of(&[Window]),
        Some(Door) => Allowed::of(&[Door]),
        _ => limits::OPENINGS,
    }
}

/// What it is, in a word, and what it is called.
pub(super) fn title<'a>(cx: &Context<'a>, opening: &'a Opening) -> (&'static str, &'a str) {
    let made = cx.construction(&opening.construction);
    let word = match kind(cx, opening) {
        Door => "Door",
        Vent => "Vent",
        Open => "Hole",
        _ => "Window",
    };
    let name = if opening.name.is_empty() { made.map_or(word, |made| made.name.as_str()) } else { &opening.name };
    (word, name)
}

fn kind(cx: &Context, opening: &Opening) -> ConstructionKind {
    cx.construction(&opening.construction).map_or(Window, |made| made.kind)
}

fn closing_ui(ui: &mut Ui, cx: &Context, opening: &mut Opening) {
    let wall = cx.storey.and_then(|on| ends(on, on.walls.iter().find(|wall| wall.id == opening.wall)?));
    if wall.is_some_and(|[a, b]| opening.offset_m + opening.width_m > distance(a, b) + 1e-9) {
        alert(ui, &cx.palette, "It is wider than what is left of its wall.");
    }
    let door = kind(cx, opening) == Door;
    let seals = FromShelfOr(Shelf::Seals, if door { "no seal known" } else { "none: does not open" });
    let tip = "What closes the gap round it: decides more than the pane does";
    set(ui, cx, ("Seal", tip), &seals, &mut opening.seal);
    if door || opening.undercut_mm > 0.0 {
        let tip = "A gap under the door beside the seal's own";
        set(ui, cx, ("Undercut", tip), &Number(limits::UNDERCUT_MM), &mut opening.undercut_mm);
    }
}

/// How much passes the opening and how much the gap round it.
fn answer(cx: &Context, opening: &Opening) -> Option<String> {
    let (solved, level) = (cx.solved()?, cx.level()?);
    let (element, index) = solved.building.elements.iter().enumerate().find_map(|(at, element)| {
        Some((at, element.openings.iter().position(|it| it.opening == opening.id && it.storey == level)?))
    })?;
    let answer = solved.answer.elements.get(element)?;
    let (through, round) = (answer.opening_tau_m2.get(index)?, answer.gap_tau_m2.get(index)?);
    let area_m2 = solved.building.elements[element].openings[index].area_m2();
    let size = match cx.units {
        Units::Metric => format!("{area_m2:.2} m²"),
        Units::Feet => area(area_m2, Units::Feet),
    };
    let together = through.zip(round, |through, round| (through + round) / area_m2).r_db_from_tau();
    let rw_db = together.is_finite().then(|| Airborne::of_spectrum(&together).rw_db)?;
    // At 500 Hz, where speech and most instruments are strong.
    let (a, b) = (through[13], round[13]);
    let share = if a + b > 0.0 { 100.0 * b / (a + b) } else { 0.0 };
    Some(format!("{size}, Rw {rw_db} dB with its gap; {share:.0} % passes the gap at 500 Hz"))
}

fn pick_wall_ui(ui: &mut Ui, cx: &Context, opening: &mut Opening) {
    if let Some(storey) = cx.storey
        && button(ui, "Pick its wall", "The wall it is set into")
    {
        cx.pick(Pick::Wall(storey.id.clone(), opening.wall.clone()));
    }
}

/// The rows of the cover panel of an opening, to be put on and taken away.
const COVER: Table<Opening> = table! { opening: Opening;
    "has a cover panel", "A board on battens before it, pressed against a seal, that comes off again",
        Switch(usual), opening.cover;
    "it is on", "Untick it while it stands aside", Check, opening.cover.as_mut()?.on;
    "Board", "From inside the room towards the pane",
        FromShelf(Shelf::Constructions(limits::COVERS)), opening.cover.as_mut()?.construction;
    "Gap", "Clear distance between board and pane", Number(limits::GAP_MM), opening.cover.as_mut()?.gap_mm;
    "Overlap", "How far it overlaps the opening on each side",
        Number(limits::OVERLAP_MM), opening.cover.as_mut()?.overlap_mm;
    "Reveal", "Porous absorber round the reveal, between board and pane", REVEAL, opening.cover.as_mut()?.reveal;
    "Edge seal", "Round its edge", FromShelfOr(Shelf::Seals, "none"), opening.cover.as_mut()?.seal;
    Custom(pieces_ui);
    "Joint seal", "Between the pieces", FromShelfOr(Shelf::Seals, "none"),
        opening.cover.as_mut().filter(|cover| cover.pieces != [1, 1])?.joint_seal;
    Fact(piece);
    "Stands in", "The room it stands in: of an outer wall the one inside, else the one on the wall's left",
        OneOf(|cx, _| rooms(cx)), opening.cover.as_mut()?.room;
    "Built", HOW_WELL, FITTED, opening.cover.as_mut()?.workmanship;
    Custom(treatment::cover_ui);
};

const REVEAL: Porous =
    Porous { none: "bare", thickness: ("Thickness", "Of the absorber"), limits: limits::REVEAL_MM, begins_mm: 50.0 };

fn rooms(cx: &Context) -> Vec<(Option<RoomId>, String)> {
    let rooms = cx.storey.into_iter().flat_map(|storey| &storey.rooms);
    let named = rooms.map(|room| (Some(room.id.clone()), heading(&room.name)));
    std::iter::once((None, "the room inside".to_owned())).chain(named).collect()
}

/// A board of the catalogue on a seal. Sizes: common practice, no source.
fn usual(cx: &Context) -> Option<Cover> {
    let boards = cx.catalogue.constructions.values().filter(|known| limits::COVERS.fits(known));
    let board = boards.min_by(|a, b| a.thickness_m().total_cmp(&b.thickness_m()))?;
    Some(Cover {
        room: None,
        construction: board.id.clone(),
        gap_mm: 100.0,
        reveal: None,
        overlap_mm: 50.0,
        seal: cx.catalogue.seals.contains_key("compression-single").then(|| "compression-single".to_owned()),
        pieces: [1, 1],
        joint_seal: None,
        on: true,
        workmanship: Workmanship::Usual,
    })
}

fn piece(cx: &Context, opening: &Opening) -> Option<String> {
    let cover = opening.cover.as_ref()?;
    let [wide_m, high_m] = cover.piece_m([opening.width_m, opening.height_m]);
    let mass_kg_m2 = cx.construction(&cover.construction)?.mass_per_area_kg_m2(cx.catalogue).ok()?;
    let kg = mass_kg_m2 * wide_m * high_m;
    let (wide, high) = (dimension(wide_m, cx.units), write(high_m, cx.units));
    Some(format!("One piece: {wide} × {high}, {kg:.0} kg, hardware not counted"))
}

fn pieces_ui(ui: &mut Ui, cx: &Context, opening: &mut Opening) {
    let Some(cover) = &mut opening.cover else { return };
    let label = Label::new("Pieces", "Pieces across and up, so that each can be lifted");
    let wrong = label.row(ui, cx, |ui| {
        let mut wrong = None;
        for (name, count) in ["Pieces across", "Pieces up"].into_iter().zip(&mut cover.pieces) {
            if name == "Pieces up" {
                ui.label("×");
            }
            let label = Label { name, ..label };
            let typed = Number(limits::PIECES).bare(ui, cx, label, 40.0, f64::from(*count));
            *count = typed.done.map_or(*count, |done| done.round() as u32);
            wrong = wrong.or(typed.wrong);
        }
        wrong
    });
    tell(ui, &cx.palette, wrong.as_deref());
}
