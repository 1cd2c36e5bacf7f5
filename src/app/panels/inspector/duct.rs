//! An air duct: its section, its run, what is in it, and its two mouths.

use std::f64::consts::PI;

use bevy_egui::egui::Ui;

use super::chooser::FromShelfOr;
use super::common::POINT;
use super::context::Context;
use super::entry::{alert, fact};
use super::inputs::{Length, Name, Number, Octaves, OneOf, Switch, button, heading, variants};
use super::table::{Custom, Field, Inside, Table, table, table_ui};
use crate::edit::Pick;
use crate::edit::ducts::straight_m;
use crate::output::shelf::Shelf;
use crate::output::{length, names};
use crate::scene::validate::limits;
use crate::scene::{Duct, DuctEnd, DuctSection};

/// What a silencer takes until it is told otherwise, octaves 31.5 Hz to 4 kHz, dB. Invented: a maker's table must take its place.
const SILENCER_BEGINS_DB: [f64; 8] = [2.0, 3.0, 5.0, 9.0, 15.0, 20.0, 18.0, 14.0];

/// What is drawn of a duct: the mouth that is picked, else all of it.
pub(super) fn duct_ui(ui: &mut Ui, cx: &Context, duct: &mut Duct, mouth: Option<usize>) {
    let before = duct.clone();
    if let Some(end) = mouth.filter(|end| *end < 2) {
        mouth_ui(ui, cx, duct, end);
        if button(ui, "Pick the whole duct", "Its section, its run, its other mouth") {
            cx.pick(Pick::Duct(before.id.clone()));
        }
    } else {
        table_ui(ui, cx, DUCT, duct);
        for (end, name) in [(0, "First mouth"), (1, "Second mouth")] {
            heading(ui, cx, name);
            ui.push_id(("mouth", end), |ui| mouth_ui(ui, cx, duct, end));
        }
    }
    // A mouth that is moved takes its part of the run along, as it does when it is dragged.
    if duct.ends != before.ends && duct.length_m == before.length_m {
        let (was_m, now_m) = (straight_m(cx.scene, &before.ends), straight_m(cx.scene, &duct.ends));
        let length_m = ((before.length_m + now_m - was_m).max(now_m) * 100.0).ceil() / 100.0;
        duct.length_m = length_m.clamp(limits::RUN_M.least, limits::RUN_M.most);
    }
}

const DUCT: Table<Duct> = table! { duct: Duct;
    "Name", "What it is called", Name, duct.name;
    "Section", "Clear, inside any lining", OneOf(|_, now| sections(*now)), duct.section;
    [duct.section] SECTION;
    "Length", "Of the whole run, bends and all", Length(limits::RUN_M), duct.length_m;
    Custom(|ui, cx, duct: &mut Duct| {
        let straight = straight_m(cx.scene, &duct.ends);
        let line = format!("{} from mouth to mouth in a straight line", length::write(straight, cx.units));
        let tell = if duct.length_m + 0.005 < straight { alert } else { fact };
        tell(ui, &cx.palette, &line);
    });
    "Bends", "By about a right angle", Number(limits::BENDS), duct.bends;
    "Lining", "A finish along the whole length, inside", FromShelfOr(Shelf::Finishes, "none"), duct.lining;
    "has a silencer", "Its insertion loss stands in the maker's table",
        Switch(|_| Some(SILENCER_BEGINS_DB)), duct.silencer_db;
    "Silencer", "Insertion loss of the silencer by octave, as its maker measured it",
        Octaves(limits::SILENCER_DB), *duct.silencer_db.as_mut()?;
    Custom(|ui, cx, duct: &mut Duct| {
        if duct.silencer_db == Some(SILENCER_BEGINS_DB) {
            alert(ui, &cx.palette, "These are invented: enter those of the maker.");
        }
    });
};

const SECTION: Table<DuctSection> = table! { section: DuctSection;
    "Diameter", "Clear", Number(limits::SIDE_MM), DuctSection::Round(mm) => mm;
    "Width", "Clear", Number(limits::SIDE_MM), DuctSection::Rectangular(mm, _) => mm;
    "Height", "Clear", Number(limits::SIDE_MM), DuctSection::Rectangular(_, mm) => mm;
};

/// Round or rectangular: the same area in the other form, to the nearest millimetre.
fn sections(now: DuctSection) -> Vec<(DuctSection, String)> {
    let area_mm2 = match now {
        DuctSection::Round(mm) => PI / 4.0 * mm * mm,
        DuctSection::Rectangular(wide_mm, high_mm) => wide_mm * high_mm,
    };
    let side_mm = area_mm2.sqrt().round();
    let round = DuctSection::Round((4.0 * area_mm2 / PI).sqrt().round());
    variants(&now, &[(round, "round"), (DuctSection::Rectangular(side_mm, side_mm), "rectangular")])
}

fn mouth_ui(ui: &mut Ui, cx: &Context, duct: &mut Duct, end: usize) {
    let placed = cx.solved().and_then(|solved| {
        let placed = solved.building.ducts.iter().find(|placed| placed.duct == duct.id)?;
        Some(names::space(&solved.building, placed.ends.get(end)?.space))
    });
    if let Some(space) = placed {
        fact(ui, &cx.palette, &format!("opens into {space}"));
    }
    table_ui(ui, cx, MOUTH, &mut duct.ends[end]);
}

const MOUTH: Table<DuctEnd> = table! { end: DuctEnd;
    "Storey", "The storey whose plan the mouth lies in", OneOf(|cx, _| cx.storeys()), end.storey;
    [end.at] POINT;
    "Height", "Above the walking surface", Length(limits::MOUTH_M), end.height_m;
};
