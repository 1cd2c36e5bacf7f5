//! What the user knows better than the program computes it: Kij of a junction, edge losses and sound reduction indices of elements.
//! Each stands in a frame of its own that says so, since it takes the place of a computed value.

use bevy_egui::egui::Ui;

use super::context::Context;
use super::entry::{alert, fact};
use super::inputs::{Number, OneOf, button, framed};
use super::spectrum::{paste_ui, values};
use super::table::{Custom, Field, Table, table, table_ui};
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::{BAND_COUNT, Bands, Spectrum};
use crate::building::ElementIndex;
use crate::catalogue::limits::Limits;
use crate::edit::{Edit, Item};
use crate::output::words;
use crate::project::Solved;
use crate::scene::validate::limits;
use crate::scene::{Override, Thing};

/// Where a Kij between two that do not meet begins, dB: about that of a T-junction of two like plates. It is there to be written over.
const BEGINS_DB: f64 = 6.0;
/// Of what is computed by band, one value in all begins where it stands in this one.
const MIDDLE_HZ: f64 = 500.0;

const KNOWN: Table<Override> = table! { known: Override;
    "Between", "An element", OneOf(|cx, _| choices(cx)), Override::Kij { from, .. } => from;
    "and", "The element it meets", OneOf(|cx, _| choices(cx)), Override::Kij { to, .. } => to;
    "Kij", "In every band", Number(limits::KIJ_DB), Override::Kij { kij_db, .. } => kij_db;
    "Of", "The element", OneOf(|cx, _| choices(cx)),
        Override::EdgeLoss { element, .. } | Override::Reduction { element, .. } => element;
    "Σ l·α", "Sum over all edges of length times absorption coefficient",
        Number(limits::EDGE_LOSS_M), Override::EdgeLoss { sum_m, .. } => sum_m;
    Custom(measured_ui);
};

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
pub(super) fn known_ui(ui: &mut Ui, cx: &Context, about: Option<&[&str]>) {
    let before = &cx.scene.overrides;
    let mut after = before.clone();
    let mut removed = None;
    let concerns = |known: &Override| about.is_none_or(|about| is_about(known, about));
    for (at, known) in after.iter_mut().enumerate().filter(|(_, known)| concerns(known)) {
        let one_ui = |ui: &mut Ui| framed(ui, cx.palette.alert, |ui| one_ui(ui, cx, at, known));
        if ui.push_id(("known", at), one_ui).inner {
            removed = Some(at);
        }
    }
    if !before.iter().any(concerns) {
        let what = if about.is_none() { "Everything is computed." } else { "All of it is computed." };
        fact(ui, &cx.palette, &format!("{what} What you have measured can take its place."));
    }
    if let Some(at) = removed {
        after.remove(at);
    }
    let all = choices(cx);
    match about.map_or_else(|| all.first().map(|(id, _)| id.as_str()), |about| about.first().copied()) {
        Some(first) => after.extend(fresh_ui(ui, cx, first, &all)),
        None => fact(ui, &cx.palette, "Elements have no names until the scene can be solved."),
    }
    if after != *before {
        cx.ask(Edit::Put(Item::Overrides(after)));
    }
}

fn fresh_ui(ui: &mut Ui, cx: &Context, first: &str, all: &[(String, String)]) -> Option<Override> {
    let mut asked = None;
    let kij = "Vibration reduction index between two elements, in every band";
    let loss = "Sum of l·α of all edges of an element (ISO 12354-1 Annex C)";
    let r = "Sound reduction index of an element as measured in the building";
    ui.horizontal_wrapped(|ui| {
        for (word, tip, new) in [
            ("Kij known", kij, fresh_kij(cx, first, all)),
            ("Edge loss known", loss, fresh_loss(cx, first)),
            ("R measured", r, fresh_r(cx, first)),
        ] {
            let is_new = |new: &Override| !cx.scene.overrides.iter().any(|known| same(known, new));
            ui.add_enabled_ui(new.as_ref().is_some_and(is_new), |ui| {
                if button(ui, word, tip) {
                    asked = new;
                }
            });
        }
    });
    asked
}

/// Whether two set the same quantity.
fn same(one: &Override, other: &Override) -> bool {
    let mut pair = [elements(one), elements(other)];
    pair.iter_mut().for_each(|names| names.sort_unstable());
    std::mem::discriminant(one) == std::mem::discriminant(other) && pair[0] == pair[1]
}

/// Elements by their ids, with the names people read.
fn choices(cx: &Context) -> Vec<(String, String)> {
    let found = cx.latest().into_iter().flat_map(|solved| solved.building.elements.iter());
    let mut all: Vec<(String, String)> = found
        .map(|element| (element.id.clone(), format!("{} ({})", words::heading(&element.name), element.id)))
        .collect();
    // What is named and not there is shown as it stands, to be put right.
    for id in cx.scene.overrides.iter().flat_map(elements) {
        if !all.iter().any(|(known, _)| known == id) {
            all.push((id.to_owned(), id.to_owned()));
        }
    }
    all
}

/// A new Kij between an element and one it meets, as computed now: nothing, or little, changes before another value is entered.
fn fresh_kij(cx: &Context, first: &str, all: &[(String, String)]) -> Option<Override> {
    let (solved, at) = computed(cx, first)?;
    let junctions = solved.building.junctions.iter().zip(&solved.answer.junctions);
    let met = junctions.flat_map(|(junction, kij)| {
        let own = junction.arms.iter().position(|arm| arm.element == at);
        let others = junction.arms.iter().enumerate().filter(move |(_, arm)| arm.element != at);
        others.filter_map(move |(other, arm)| Some((arm.element, kij.kij_db(own?, other)?)))
    });
    let (to, kij_db) = match met.into_iter().next() {
        Some((other, kij_db)) => {
            (solved.building.elements.get(other.0)?.id.as_str(), kij_db[Bands::nearest(MIDDLE_HZ)])
        }
        None => (all.iter().map(|(id, _)| id.as_str()).find(|id| *id != first)?, BEGINS_DB),
    };
    Some(Override::Kij { from: first.to_owned(), to: to.to_owned(), kij_db: rounded(kij_db, 10.0, &limits::KIJ_DB) })
}

/// A new sum of what the edges lose, as computed now.
fn fresh_loss(cx: &Context, first: &str) -> Option<Override> {
    let (solved, at) = computed(cx, first)?;
    let sum_m = solved.answer.elements.get(at.0)?.edge_sum_m[Bands::nearest(MIDDLE_HZ)];
    Some(Override::EdgeLoss { element: first.to_owned(), sum_m: rounded(sum_m, 100.0, &limits::EDGE_LOSS_M) })
}

/// What is computed now is where it begins, so that nothing changes before another value is entered.
fn fresh_r(cx: &Context, first: &str) -> Option<Override> {
    let (solved, at) = computed(cx, first)?;
    let r_db = &solved.answer.elements.get(at.0)?.r_db;
    let r_db = r_db.iter().map(|db| rounded(*db, 10.0, &limits::REDUCTION_DB)).collect();
    Some(Override::Reduction { element: first.to_owned(), r_db })
}

fn computed<'a>(cx: &Context<'a>, id: &str) -> Option<(&'a Solved, ElementIndex)> {
    let solved = cx.latest()?;
    Some((solved, ElementIndex(solved.building.elements.iter().position(|element| element.id == id)?)))
}

fn rounded(value: f64, parts: f64, limits: &Limits) -> f64 {
    ((parts * value).round() / parts).clamp(limits.least, limits.most)
}

/// One of them; true when it is to be removed.
fn one_ui(ui: &mut Ui, cx: &Context, at: usize, known: &mut Override) -> bool {
    let what = match known {
        Override::Kij { .. } => "Set by hand: Kij",
        Override::EdgeLoss { .. } => "Set by hand: edge loss",
        Override::Reduction { .. } => "Set by hand: R as measured",
    };
    alert(ui, &cx.palette, what);
    table_ui(ui, cx, KNOWN, known);
    for problem in cx.problems().filter(|problem| problem.thing == Thing::Override(at + 1)) {
        alert(ui, &cx.palette, &format!("{}: {}.", words::heading(&problem.what), problem.to_do));
    }
    button(ui, "Compute it again", "Remove this value")
}

/// 24 values: as they stand, and a field to paste others into.
fn measured_ui(ui: &mut Ui, cx: &Context, known: &mut Override) {
    let Override::Reduction { r_db, .. } = known else { return };
    if let Ok(spectrum) = <[f64; BAND_COUNT]>::try_from(r_db.as_slice()) {
        fact(ui, &cx.palette, &format!("Rw {} dB", Airborne::of_spectrum(&Spectrum(spectrum)).rw_db));
    }
    fact(ui, &cx.palette, &format!("{} values from 25 Hz: {}", r_db.len(), values(r_db)));
    let named = ("R as measured", "Paste 24 values from 25 Hz, 21 from 50 Hz or 16 from 100 Hz");
    let about = |_: &[f64]| "Bands that are not given keep the values they have.".to_owned();
    if let (Some(found), true) = paste_ui(ui, cx, named, &limits::REDUCTION_DB, about) {
        *r_db = whole(&found, r_db);
    }
}

/// All 24 bands of what was pasted: those below or above keep what stands there.
fn whole(found: &[f64], now: &[f64]) -> Vec<f64> {
    let first = match found.len() {
        24 => 0,
        21 => 3,
        _ => 6,
    };
    let edge = |at: usize| if at < first { found.first() } else { found.last() };
    let value = |at: usize| {
        let given = at.checked_sub(first).and_then(|at| found.get(at));
        given.or_else(|| now.get(at)).or_else(|| edge(at)).copied().unwrap_or_default()
    };
    (0..BAND_COUNT).map(value).collect()
}
