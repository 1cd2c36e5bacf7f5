//! A removable cover panel before an opening.

use bevy_egui::egui::Ui;

use super::Seen;
use super::chooser::{one, one_or_none};
use super::fields::{bare_number, check, choice, fact, number, part, row, tell};
use super::shelf::Shelf;
use super::workmanship_ui;
use crate::catalogue::ConstructionKind;
use crate::output::length::{dimension, write};
use crate::output::words;
use crate::scene::{Cover, Opening, RoomId, Storey, Workmanship};

const KINDS: [ConstructionKind; 1] = [ConstructionKind::Leaf];
/// More pieces than this on a side are a slip.
const MOST_PIECES: f64 = 6.0;

/// The cover of an opening, to be put on and taken away.
pub(super) fn cover_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, opening: &mut Opening) {
    let is_there = opening.cover.is_some();
    part(ui, seen, "Cover panel", is_there, |ui| {
        let mut there = is_there;
        let told = "A board on battens before it, pressed against a seal, that comes off again";
        if check(ui, "has a cover panel", told, &mut there) {
            opening.cover = there.then(|| usual(seen)).flatten();
        }
        if let Some(cover) = &mut opening.cover {
            fields_ui(ui, seen, storey, cover, [opening.width_m, opening.height_m]);
        }
    });
}

/// A board of the catalogue on a seal. Sizes: common practice, no source.
fn usual(seen: &Seen) -> Option<Cover> {
    let boards = seen.catalogue.constructions.values().filter(|known| known.kind == ConstructionKind::Leaf);
    let board = boards.min_by(|a, b| a.thickness_m().total_cmp(&b.thickness_m()))?;
    Some(Cover {
        room: None,
        construction: board.id.clone(),
        gap_mm: 100.0,
        reveal: None,
        overlap_mm: 50.0,
        seal: seen.catalogue.seals.contains_key("compression-single").then(|| "compression-single".to_owned()),
        pieces: [1, 1],
        joint_seal: None,
        on: true,
        workmanship: Workmanship::Usual,
    })
}

fn fields_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, cover: &mut Cover, size_m: [f64; 2]) {
    check(ui, "it is on", "Untick it while it stands aside", &mut cover.on);
    one(
        ui,
        seen,
        Shelf::Constructions(&KINDS),
        "Board",
        "From inside the room towards the pane",
        &mut cover.construction,
    );
    number(ui, seen, ("Gap", "Clear distance between board and pane", "mm"), &mut cover.gap_mm, (5.0, 1000.0));
    let told = "How far it overlaps the opening on each side";
    number(ui, seen, ("Overlap", told, "mm"), &mut cover.overlap_mm, (0.0, 500.0));
    let mut material = cover.reveal.as_ref().map(|(material, _)| material.clone());
    let told = ("Reveal", "Porous absorber round the reveal, between board and pane", "bare");
    if one_or_none(ui, seen, Shelf::Fills, told, &mut material) {
        let thick_mm = cover.reveal.as_ref().map_or(50.0, |(_, thick_mm)| *thick_mm);
        cover.reveal = material.map(|material| (material, thick_mm));
    }
    if let Some((_, thick_mm)) = &mut cover.reveal {
        number(ui, seen, ("Thickness", "Of the absorber", "mm"), thick_mm, (1.0, 300.0));
    }
    one_or_none(ui, seen, Shelf::Seals, ("Edge seal", "Round its edge", "none"), &mut cover.seal);
    pieces_ui(ui, seen, cover);
    if cover.pieces != [1, 1] {
        one_or_none(ui, seen, Shelf::Seals, ("Joint seal", "Between the pieces", "none"), &mut cover.joint_seal);
    }
    let [wide_m, high_m] = cover.piece_m(size_m);
    let board = seen.construction(&cover.construction);
    let mass = board.and_then(|board| board.mass_per_area_kg_m2(seen.catalogue).ok());
    if let Some(mass_kg_m2) = mass {
        let kg = mass_kg_m2 * wide_m * high_m;
        let (wide, high) = (dimension(wide_m, seen.units), write(high_m, seen.units));
        let text = format!("One piece: {wide} × {high}, {kg:.0} kg, hardware not counted");
        fact(ui, &seen.palette, &text);
    }
    let inside = |room: &crate::scene::Room| (Some(room.id.clone()), words::heading(&room.name));
    let mut rooms: Vec<(Option<RoomId>, String)> = vec![(None, "the room inside".to_owned())];
    rooms.extend(storey.rooms.iter().map(inside));
    let told = "The room it stands in: of an outer wall the one inside, else the one on the wall's left";
    choice(ui, seen, "Stands in", told, &mut cover.room, &rooms);
    workmanship_ui(ui, seen, true, &mut cover.workmanship);
}

fn pieces_ui(ui: &mut Ui, seen: &Seen, cover: &mut Cover) {
    let told = "Pieces across and up, so that each can be lifted";
    let wrong = row(ui, seen, "Pieces", told, |ui| {
        let mut wrong = None;
        for (way, name) in ["Pieces across", "Pieces up"].into_iter().enumerate() {
            let now = f64::from(cover.pieces[way]);
            let typed = bare_number(ui, seen, (name, told, ""), 40.0, now, (1.0, MOST_PIECES));
            if let Some(done) = typed.done {
                cover.pieces[way] = done.round() as u32;
            }
            wrong = wrong.or(typed.wrong);
            if way == 0 {
                ui.label("×");
            }
        }
        wrong
    });
    tell(ui, &seen.palette, wrong.as_deref());
}
