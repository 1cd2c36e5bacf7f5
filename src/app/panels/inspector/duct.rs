//! An air duct: its section, its run, what is in it, and its two mouths.

use bevy_egui::egui::Ui;

use super::chooser::one_or_none;
use super::fields::{alert, button, check, choice, fact, heading, number, octaves, set_length, title, words};
use super::shelf::Shelf;
use super::{Seen, head};
use crate::app::editor::state::Editor;
use crate::edit::ducts::straight_m;
use crate::edit::{Edit, Item, Pick};
use crate::output::{length, names};
use crate::scene::{Duct, DuctEnd, DuctId, DuctSection, Thing};

/// As the validation has it.
const SIDE_MM: (f64, f64) = (10.0, 5000.0);
const RUN_M: (f64, f64) = (0.01, 500.0);
const BENDS: (f64, f64) = (0.0, 50.0);
const MOUTH_M: (f64, f64) = (-5.0, 100.0);
const SILENCER_DB: (f64, f64) = (0.0, 100.0);
const PLAN_M: (f64, f64) = (-2000.0, 2000.0);
/// What a silencer takes until it is told otherwise, octaves 31.5 Hz to 4 kHz, dB. Invented: a maker's table must take its place.
const SILENCER_BEGINS_DB: [f64; 8] = [2.0, 3.0, 5.0, 9.0, 15.0, 20.0, 18.0, 14.0];

/// The panel of a duct; of one of its mouths first, when that is picked.
pub(super) fn duct_ui(
    ui: &mut Ui,
    seen: &Seen,
    editor: &mut Editor,
    id: &DuctId,
    mouth: Option<usize>,
) -> Option<Vec<Edit>> {
    let duct = seen.scene.ducts.iter().find(|duct| duct.id == *id)?;
    let kind = match mouth {
        Some(0) => "First mouth of an air duct",
        Some(_) => "Second mouth of an air duct",
        None => "Air duct",
    };
    head(ui, seen, kind, &duct.name, None, &Thing::Duct(id.0.clone()));
    let mut after = duct.clone();
    if let Some(end) = mouth.filter(|end| *end < 2) {
        mouth_ui(ui, seen, duct, end, &mut after.ends[end]);
        if button(ui, "Pick the whole duct", "Its section, its run, its other mouth") {
            editor.picks = vec![Pick::Duct(id.clone())];
        }
    } else {
        run_ui(ui, seen, &mut after);
        for (end, name) in [(0, "First mouth"), (1, "Second mouth")] {
            heading(ui, seen, name);
            ui.push_id(("mouth", end), |ui| mouth_ui(ui, seen, duct, end, &mut after.ends[end]));
        }
    }
    // A mouth that is moved takes its part of the run along, as it does when it is dragged.
    if after.ends != duct.ends && after.length_m == duct.length_m {
        let (was_m, now_m) = (straight_m(seen.scene, &duct.ends), straight_m(seen.scene, &after.ends));
        after.length_m = ((duct.length_m + now_m - was_m).max(now_m) * 100.0).ceil() / 100.0;
        after.length_m = after.length_m.clamp(RUN_M.0, RUN_M.1);
    }
    Some(if after == *duct { vec![] } else { vec![Edit::Put(Item::Duct(after))] })
}

fn run_ui(ui: &mut Ui, seen: &Seen, duct: &mut Duct) {
    title(ui, seen, "What it is called", &mut duct.name);
    section_ui(ui, seen, &mut duct.section);
    let told = "Of the whole run, bends and all";
    set_length(ui, seen, "Length", told, &mut duct.length_m, RUN_M);
    let straight = straight_m(seen.scene, &duct.ends);
    let line = format!("{} from mouth to mouth in a straight line", length::write(straight, seen.units));
    if duct.length_m + 0.005 < straight {
        alert(ui, &seen.palette, &line);
    } else {
        fact(ui, &seen.palette, &line);
    }
    let mut bends = f64::from(duct.bends);
    if number(ui, seen, ("Bends", "By about a right angle", ""), &mut bends, BENDS) {
        duct.bends = bends.round() as u32;
    }
    let told = "A finish along the whole length, inside";
    one_or_none(ui, seen, Shelf::Finishes, ("Lining", told, "none"), &mut duct.lining);
    let mut silenced = duct.silencer_db.is_some();
    if check(ui, "has a silencer", "Its insertion loss stands in the maker's table", &mut silenced) {
        duct.silencer_db = silenced.then_some(SILENCER_BEGINS_DB);
    }
    if let Some(losses_db) = &mut duct.silencer_db {
        let told = "Insertion loss of the silencer by octave, as its maker measured it";
        octaves(ui, seen, "Silencer", told, losses_db, ("dB", SILENCER_DB));
        if *losses_db == SILENCER_BEGINS_DB {
            alert(ui, &seen.palette, "These are invented: enter those of the maker.");
        }
    }
}

/// Round or rectangular, and its sides.
fn section_ui(ui: &mut Ui, seen: &Seen, section: &mut DuctSection) {
    let mut round = matches!(section, DuctSection::Round(_));
    let all = words(&[(true, "round"), (false, "rectangular")]);
    if choice(ui, seen, "Section", "Clear, inside any lining", &mut round, &all) {
        // The same area in the other form, to the nearest millimetre.
        *section = match *section {
            DuctSection::Round(mm) => {
                let side_mm = (mm * (std::f64::consts::PI / 4.0).sqrt()).round();
                DuctSection::Rectangular(side_mm, side_mm)
            }
            DuctSection::Rectangular(wide_mm, high_mm) => {
                DuctSection::Round((4.0 * wide_mm * high_mm / std::f64::consts::PI).sqrt().round())
            }
        };
    }
    match section {
        DuctSection::Round(mm) => {
            number(ui, seen, ("Diameter", "Clear", "mm"), mm, SIDE_MM);
        }
        DuctSection::Rectangular(wide_mm, high_mm) => {
            number(ui, seen, ("Width", "Clear", "mm"), wide_mm, SIDE_MM);
            number(ui, seen, ("Height", "Clear", "mm"), high_mm, SIDE_MM);
        }
    }
}

fn mouth_ui(ui: &mut Ui, seen: &Seen, duct: &Duct, end: usize, mouth: &mut DuctEnd) {
    let placed = seen.solved().and_then(|solved| {
        let placed = solved.building.ducts.iter().find(|placed| placed.duct == duct.id)?;
        Some(names::space(&solved.building, placed.ends.get(end)?.space))
    });
    if let Some(space) = placed {
        fact(ui, &seen.palette, &format!("opens into {space}"));
    }
    choice(ui, seen, "Storey", "The storey whose plan the mouth lies in", &mut mouth.storey, &seen.storeys());
    set_length(ui, seen, "Rightwards", "From the plan's origin to the right", &mut mouth.at[0], PLAN_M);
    set_length(ui, seen, "Upwards", "From the plan's origin up the sheet", &mut mouth.at[1], PLAN_M);
    set_length(ui, seen, "Height", "Above the walking surface", &mut mouth.height_m, MOUTH_M);
}
