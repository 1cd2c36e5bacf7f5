//! A measured sound reduction index, entered by paste.

use bevy_egui::egui::{TextEdit, Ui};

use super::fields::{KEYS, alert, button, fact, named, number, outline, remember, short, text};
use super::{Seen, paste};
use crate::catalogue::{Build, Construction, Standing};

/// Highest R taken for meant, dB: as the catalogue checks.
const HIGHEST_DB: f64 = 160.0;

/// Fields of a measured build. True when something was entered.
pub(super) fn measured_ui(ui: &mut Ui, seen: &Seen, construction: &mut Construction) -> bool {
    let Build::Measured { thickness_mm, mass_per_area_kg_m2, r_db } = &mut construction.build else { return false };
    let mut done = number(ui, seen, ("Thickness", "Of all of it", "mm"), thickness_mm, (0.1, 5000.0));
    let told = "Of all of it: decides how junctions pass sound on";
    done |= number(ui, seen, ("Mass", told, "kg/m²"), mass_per_area_kg_m2, (0.1, 5000.0));
    let range = match r_db.len() {
        24 => "25 Hz to 5 kHz",
        21 => "50 Hz to 5 kHz",
        _ => "100 Hz to 3150 Hz",
    };
    fact(ui, &seen.palette, &format!("{} values, {range}: {}", r_db.len(), values(r_db)));
    let told = "Laboratory, report and year: \"who measured it, where it stands\"";
    done |= text(ui, seen, "Source", told, &mut construction.provenance.source);
    done
}

fn values(r_db: &[f64]) -> String {
    r_db.iter().map(|db| short(*db)).collect::<Vec<_>>().join(" ")
}

/// The paste field. What was pasted so far, to be looked at, and whether it is to be taken.
pub(super) fn paste_ui(ui: &mut Ui, seen: &Seen, construction: &Construction) -> (Option<Construction>, bool) {
    let id = ui.make_persistent_id("pasted");
    let mut pasted: String = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    fact(
        ui,
        &seen.palette,
        "Paste R in dB from a report or a table: 16 values from 100 Hz, 21 from 50 Hz or 24 from 25 Hz, with or without their frequencies.",
    );
    let wide = ui.available_width();
    let edit =
        TextEdit::multiline(&mut pasted).id(id.with("text")).desired_rows(3).desired_width(wide).event_filter(KEYS);
    let response = ui.add(edit.hint_text("33,1  35,4  36,0 …"));
    named(ui, &response, "Measured spectrum");
    outline(ui, &seen.palette, &response);
    let mut shown = None;
    if !pasted.trim().is_empty() {
        match read(&pasted) {
            Ok(r_db) => {
                fact(ui, &seen.palette, &format!("{} values read: {}", r_db.len(), values(&r_db)));
                shown = Some(measured(seen, construction, r_db));
            }
            Err(why) => alert(ui, &seen.palette, &why),
        }
    }
    let wanted = ui.add_enabled_ui(shown.is_some(), |ui| button(ui, "Use these values", "")).inner;
    let taken = wanted && shown.is_some();
    remember(ui, id, (!taken).then_some(pasted));
    (shown, taken)
}

fn read(pasted: &str) -> Result<Vec<f64>, String> {
    let r_db = paste::spectrum(pasted)?;
    match r_db.iter().find(|db| !(0.0..=HIGHEST_DB).contains(*db)) {
        Some(db) => Err(format!("A sound reduction index of {} dB is out of 0 to {HIGHEST_DB} dB.", short(*db))),
        None => Ok(r_db),
    }
}

/// The construction with a measured spectrum in the place of its build; thickness and mass stay.
fn measured(seen: &Seen, construction: &Construction, r_db: Vec<f64>) -> Construction {
    let mut after = construction.clone();
    let thickness_mm = (construction.thickness_m() * 10_000.0).round() / 10.0;
    let mass = construction.mass_per_area_kg_m2(seen.catalogue).ok().filter(|mass| *mass > 0.0);
    after.build = Build::Measured {
        thickness_mm: if thickness_mm > 0.0 { thickness_mm } else { 100.0 },
        mass_per_area_kg_m2: mass.map_or(50.0, |mass| (mass * 10.0).round() / 10.0),
        r_db,
    };
    after.provenance.standing = Standing::Measured;
    after.provenance.place.clear();
    after
}
