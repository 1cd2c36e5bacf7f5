//! What the user knows better than the program computes it: Kij of a junction, edge losses and sound reduction indices of elements.
//! Each stands in a frame of its own that says so, since it takes the place of a computed value.

use bevy_egui::egui::{self, Margin, RichText, TextEdit, Ui};

use super::fields::{KEYS, alert, button, choice, fact, named, number, outline, remember, short};
use super::{Seen, paste};
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::{BAND_COUNT, Bands, Spectrum};
use crate::app::theme::size;
use crate::building::ElementIndex;
use crate::edit::{Edit, Item};
use crate::output::words;
use crate::project::Solved;
use crate::scene::{Override, Thing};

/// As the validation has it.
const KIJ_DB: (f64, f64) = (-30.0, 100.0);
const EDGE_LOSS_M: (f64, f64) = (0.0, 1000.0);
const HIGHEST_DB: f64 = 150.0;
/// Where a Kij between two that do not meet begins, dB: about that of a T-junction of two like plates. It is there to be written over.
const BEGINS_DB: f64 = 6.0;
/// Of what is computed by band, one value in all begins where it stands in this one.
const MIDDLE_HZ: f64 = 500.0;

/// The elements of an override.
fn elements(known: &Override) -> Vec<&str> {
    match known {
        Override::Kij { from, to, .. } => vec![from, to],
        Override::EdgeLoss { element, .. } | Override::Reduction { element, .. } => vec![element],
    }
}

/// Whether it sets something of one of these elements.
pub(super) fn is_about(known: &Override, ids: &[&str]) -> bool {
    elements(known).iter().any(|element| ids.contains(element))
}

/// All that is known better, and buttons for more. `about`: only what concerns these elements, and new ones for the first of them; nothing
/// for the whole scene.
pub(super) fn known_ui(ui: &mut Ui, seen: &Seen, about: Option<&[&str]>) -> Vec<Edit> {
    let before = &seen.scene.overrides;
    let mut after = before.clone();
    let all = choices(seen);
    let concerns = |known: &Override| about.is_none_or(|about| is_about(known, about));
    let mut removed = None;
    let mut count = 0;
    for (at, known) in after.iter_mut().enumerate().filter(|(_, known)| concerns(known)) {
        count += 1;
        ui.push_id(("known", at), |ui| {
            if one_ui(ui, seen, at, known, &all) {
                removed = Some(at);
            }
        });
    }
    if let Some(at) = removed {
        after.remove(at);
    }
    if count == 0 {
        let what = if about.is_none() { "Everything is computed." } else { "All of it is computed." };
        fact(ui, &seen.palette, &format!("{what} What was measured, or is known better, can take its place."));
    }
    let Some(first) = about.map_or_else(|| all.first().map(|(id, _)| id.as_str()), |about| about.first().copied())
    else {
        fact(ui, &seen.palette, "Elements have no names until the scene can be solved.");
        return edits(before, after);
    };
    ui.horizontal_wrapped(|ui| {
        for (word, told, new) in [
            (
                "Kij known",
                "Vibration reduction index between two elements, in every band",
                fresh_kij(seen, first, &all),
            ),
            ("Edge loss known", "Sum of l·α of all edges of an element (ISO 12354-1 Annex C)", fresh_loss(seen, first)),
            ("R measured", "Sound reduction index of an element as measured in the building", fresh_r(seen, first)),
        ] {
            let is_there = |new: &Override| before.iter().any(|known| same(known, new));
            ui.add_enabled_ui(new.as_ref().is_some_and(|new| !is_there(new)), |ui| {
                if button(ui, word, told)
                    && let Some(new) = new
                {
                    after.push(new);
                }
            });
        }
    });
    edits(before, after)
}

fn edits(before: &[Override], after: Vec<Override>) -> Vec<Edit> {
    if after == before { vec![] } else { vec![Edit::Put(Item::Overrides(after))] }
}

/// Whether two set the same quantity.
fn same(one: &Override, other: &Override) -> bool {
    let mut pair = [elements(one), elements(other)];
    pair.iter_mut().for_each(|names| names.sort_unstable());
    std::mem::discriminant(one) == std::mem::discriminant(other) && pair[0] == pair[1]
}

/// Elements by their ids, with the names people read.
fn choices(seen: &Seen) -> Vec<(String, String)> {
    let found = seen.lately().into_iter().flat_map(|solved| solved.building.elements.iter());
    let mut all: Vec<(String, String)> = found
        .map(|element| (element.id.clone(), format!("{} ({})", words::heading(&element.name), element.id)))
        .collect();
    // What is named and not there is shown as it stands, to be put right.
    for id in seen.scene.overrides.iter().flat_map(elements) {
        if !all.iter().any(|(known, _)| known == id) {
            all.push((id.to_owned(), id.to_owned()));
        }
    }
    all
}

/// A new Kij between an element and one it meets, as computed now: nothing, or little, changes before another value is entered.
fn fresh_kij(seen: &Seen, first: &str, all: &[(String, String)]) -> Option<Override> {
    let solved = seen.lately()?;
    let at = place_of(solved, first)?;
    let junctions = solved.building.junctions.iter().zip(&solved.answer.junctions);
    let met = junctions.flat_map(|(junction, kij)| {
        let own = junction.arms.iter().position(|arm| arm.element == at);
        let others = junction.arms.iter().enumerate().filter(move |(_, arm)| arm.element != at);
        others.filter_map(move |(other, arm)| Some((arm.element, kij.kij_db(own?, other)?)))
    });
    let (to, kij_db) = match met.into_iter().next() {
        Some((other, kij_db)) => {
            let kij_db = in_tenths(kij_db[Bands::nearest(MIDDLE_HZ)].clamp(KIJ_DB.0, KIJ_DB.1));
            (solved.building.elements.get(other.0)?.id.as_str(), kij_db)
        }
        None => (all.iter().map(|(id, _)| id.as_str()).find(|id| *id != first)?, BEGINS_DB),
    };
    Some(Override::Kij { from: first.to_owned(), to: to.to_owned(), kij_db })
}

/// A new sum of what the edges lose, as computed now.
fn fresh_loss(seen: &Seen, first: &str) -> Option<Override> {
    let solved = seen.lately()?;
    let at = place_of(solved, first)?;
    let sum_m = solved.answer.elements.get(at.0)?.edge_sum_m[Bands::nearest(MIDDLE_HZ)];
    let sum_m = ((100.0 * sum_m).round() / 100.0).clamp(EDGE_LOSS_M.0, EDGE_LOSS_M.1);
    Some(Override::EdgeLoss { element: first.to_owned(), sum_m })
}

fn place_of(solved: &Solved, id: &str) -> Option<ElementIndex> {
    solved.building.elements.iter().position(|element| element.id == id).map(ElementIndex)
}

fn in_tenths(db: f64) -> f64 {
    (10.0 * db).round() / 10.0
}

/// What is computed now is where it begins, so that nothing changes before another value is entered.
fn fresh_r(seen: &Seen, first: &str) -> Option<Override> {
    let solved = seen.lately()?;
    let r_db: &Spectrum = &solved.answer.elements.get(place_of(solved, first)?.0)?.r_db;
    let r_db = r_db.iter().map(|db| in_tenths(db.clamp(0.0, HIGHEST_DB))).collect();
    Some(Override::Reduction { element: first.to_owned(), r_db })
}

/// One of them, in a frame; true when it is to be removed.
fn one_ui(ui: &mut Ui, seen: &Seen, at: usize, known: &mut Override, all: &[(String, String)]) -> bool {
    let frame = egui::Frame::new()
        .stroke(egui::Stroke::new(1.0, seen.palette.alert))
        .corner_radius(6)
        .inner_margin(Margin::symmetric(10, 8));
    let response = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        let what = match known {
            Override::Kij { .. } => "Set by hand: Kij",
            Override::EdgeLoss { .. } => "Set by hand: edge loss",
            Override::Reduction { .. } => "Set by hand: R as measured",
        };
        ui.label(RichText::new(what).size(size::SMALL + 0.5).color(seen.palette.alert));
        match known {
            Override::Kij { from, to, kij_db } => {
                choice(ui, seen, "Between", "An element", from, all);
                choice(ui, seen, "and", "The element it meets", to, all);
                number(ui, seen, ("Kij", "In every band", "dB"), kij_db, KIJ_DB);
            }
            Override::EdgeLoss { element, sum_m } => {
                choice(ui, seen, "Of", "The element", element, all);
                let told = "Sum over all edges of length times absorption coefficient";
                number(ui, seen, ("Σ l·α", told, "m"), sum_m, EDGE_LOSS_M);
            }
            Override::Reduction { element, r_db } => {
                choice(ui, seen, "Of", "The element", element, all);
                measured_ui(ui, seen, r_db);
            }
        }
        let solved = seen.solved();
        let thing = Thing::Override(at + 1);
        let found = seen.current.problems.iter().chain(solved.into_iter().flat_map(|solved| &solved.warnings));
        for problem in found.filter(|problem| problem.thing == thing) {
            alert(ui, &seen.palette, &format!("{}: {}.", words::heading(&problem.what), problem.to_do));
        }
        button(ui, "Compute it again", "Take this value away")
    });
    response.inner
}

/// 24 values: as they stand, and a field to paste others into.
fn measured_ui(ui: &mut Ui, seen: &Seen, r_db: &mut Vec<f64>) {
    if let Ok(spectrum) = <[f64; BAND_COUNT]>::try_from(r_db.as_slice()) {
        let rated = Airborne::of_spectrum(&Spectrum(spectrum));
        fact(ui, &seen.palette, &format!("Rw {} dB", rated.rw_db));
    }
    let values = r_db.iter().map(|db| short(*db)).collect::<Vec<_>>().join(" ");
    fact(ui, &seen.palette, &format!("{} values from 25 Hz: {values}", r_db.len()));
    let id = ui.make_persistent_id("pasted");
    let mut pasted: String = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    let wide = ui.available_width();
    let edit =
        TextEdit::multiline(&mut pasted).id(id.with("text")).desired_rows(2).desired_width(wide).event_filter(KEYS);
    let response = ui.add(edit.hint_text("Paste 24 values from 25 Hz, 21 from 50 Hz or 16 from 100 Hz"));
    named(ui, &response, "R as measured");
    outline(ui, &seen.palette, &response);
    let mut used = false;
    if !pasted.trim().is_empty() {
        match paste::spectrum(&pasted).and_then(|found| whole(&found, r_db)) {
            Ok(found) => {
                fact(ui, &seen.palette, "Bands that are not given keep the values they have.");
                if button(ui, "Use these values", "") {
                    *r_db = found;
                    used = true;
                }
            }
            Err(why) => alert(ui, &seen.palette, &why),
        }
    }
    remember(ui, id, (!used && !pasted.is_empty()).then_some(pasted));
}

/// All 24 bands of what was pasted: those below or above keep what stands there.
fn whole(found: &[f64], now: &[f64]) -> Result<Vec<f64>, String> {
    if let Some(db) = found.iter().find(|db| !(0.0..=HIGHEST_DB).contains(*db)) {
        return Err(format!("A sound reduction index of {} dB is out of 0 to {HIGHEST_DB} dB.", short(*db)));
    }
    let first = match found.len() {
        24 => 0,
        21 => 3,
        _ => 6,
    };
    let edge = |at: usize| if at < first { found.first() } else { found.last() };
    Ok((0..BAND_COUNT)
        .map(|at| {
            let given = at.checked_sub(first).and_then(|at| found.get(at));
            given.or_else(|| now.get(at)).or_else(|| edge(at)).copied().unwrap_or_default()
        })
        .collect())
}
