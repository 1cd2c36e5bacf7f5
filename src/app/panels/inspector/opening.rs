//! An opening: a window, a door, a vent or a hole in a wall.

use bevy_egui::egui::Ui;

use super::chooser::one_or_none;
use super::construct::construction_ui;
use super::cover::cover_ui;
use super::fields::{button, fact, number, set_length, text};
use super::shelf::Shelf;
use super::{Seen, head, workmanship_ui};
use crate::app::editor::state::Editor;
use crate::catalogue::ConstructionKind;
use crate::edit::{Edit, Item, Pick, ends};
use crate::output::length::{Units, area};
use crate::scene::{Opening, OpeningId, Storey, Thing};

/// What can be set into a wall.
pub(super) const KINDS: [ConstructionKind; 4] =
    [ConstructionKind::Window, ConstructionKind::Door, ConstructionKind::Vent, ConstructionKind::Open];

/// The panel of an opening.
pub(super) fn opening_ui(
    ui: &mut Ui,
    seen: &Seen,
    editor: &mut Editor,
    storey: &Storey,
    id: &OpeningId,
) -> Option<Vec<Edit>> {
    let opening = storey.openings.iter().find(|opening| opening.id == *id)?;
    let made = seen.construction(&opening.construction);
    let kind = made.map_or(ConstructionKind::Window, |made| made.kind);
    let word = kind_word(kind);
    let name = match opening.name.as_str() {
        "" => made.map_or(word, |made| made.name.as_str()),
        name => name,
    };
    head(ui, seen, word, name, Some(&storey.id), &Thing::Opening(id.0.clone()));
    let mut after = opening.clone();
    text(ui, seen, "Name", "Left empty, it is called by what it is", &mut after.name);
    let told = "The window, door, vent or hole itself, without the gap round it";
    let mut edits = construction_ui(ui, seen, ("Made of", told), &KINDS, &mut after.construction);
    size_ui(ui, seen, storey, &mut after);
    let none = if kind == ConstructionKind::Door { "no seal known" } else { "none: does not open" };
    let told = "What closes the gap round it: decides more than the pane does";
    one_or_none(ui, seen, Shelf::Seals, ("Seal", told, none), &mut after.seal);
    if kind == ConstructionKind::Door || after.undercut_mm > 0.0 {
        let told = "A gap under the door beside the seal's own";
        number(ui, seen, ("Undercut", told, "mm"), &mut after.undercut_mm, (0.0, 100.0));
    }
    workmanship_ui(ui, seen, true, &mut after.workmanship);
    cover_ui(ui, seen, storey, &mut after);
    answer_ui(ui, seen, storey, opening);
    if button(ui, "Pick its wall", "The wall it is set into") {
        editor.picks = vec![Pick::Wall(storey.id.clone(), opening.wall.clone())];
    }
    if after != *opening {
        edits.push(Edit::Put(Item::Opening(storey.id.clone(), after)));
    }
    Some(edits)
}

pub(super) fn kind_word(kind: ConstructionKind) -> &'static str {
    match kind {
        ConstructionKind::Door => "Door",
        ConstructionKind::Vent => "Vent",
        ConstructionKind::Open => "Hole",
        _ => "Window",
    }
}

fn size_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, opening: &mut Opening) {
    const SIZE_M: (f64, f64) = (0.005, 50.0);
    set_length(ui, seen, "Width", "Of the opening in the wall", &mut opening.width_m, SIZE_M);
    set_length(ui, seen, "Height", "Of the opening in the wall", &mut opening.height_m, SIZE_M);
    set_length(ui, seen, "Sill", "Its lower edge above the walking surface", &mut opening.sill_m, (0.0, 40.0));
    let wall = storey.walls.iter().find(|wall| wall.id == opening.wall);
    let length_m = wall.and_then(|wall| ends(storey, wall)).map_or(1000.0, |[a, b]| (b[0] - a[0]).hypot(b[1] - a[1]));
    let told = "From the first corner of its wall, along the wall, to its near edge";
    set_length(ui, seen, "Offset", told, &mut opening.offset_m, (0.0, length_m));
    if opening.offset_m + opening.width_m > length_m + 1e-9 {
        super::fields::alert(ui, &seen.palette, "It is wider than what is left of its wall.");
    }
}

/// How much passes the opening and how much the gap round it.
fn answer_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, opening: &Opening) {
    let (Some(solved), Some((at, _))) = (seen.solved(), seen.storey(&storey.id)) else { return };
    for (element, answer) in solved.building.elements.iter().zip(&solved.answer.elements) {
        let found = element.openings.iter().position(|it| it.opening == opening.id && it.storey == at);
        let Some(index) = found else { continue };
        let (Some(through), Some(round)) = (answer.opening_tau_m2.get(index), answer.gap_tau_m2.get(index)) else {
            continue;
        };
        let area_m2 = element.openings[index].area_m2();
        let size = match seen.units {
            Units::Metric => format!("{area_m2:.2} m²"),
            Units::Feet => area(area_m2, Units::Feet),
        };
        let together = through.zip(round, |through, round| (through + round) / area_m2).r_db_from_tau();
        if !together.is_finite() {
            continue;
        }
        let rw_db = crate::acoustics::rating::iso717_1::Airborne::of_spectrum(&together).rw_db;
        // At 500 Hz, where speech and most instruments are strong.
        let (a, b) = (through[13], round[13]);
        let share = if a + b > 0.0 { 100.0 * b / (a + b) } else { 0.0 };
        fact(ui, &seen.palette, &format!("{size}, Rw {rw_db} dB with its gap; {share:.0} % passes the gap at 500 Hz"));
    }
}
