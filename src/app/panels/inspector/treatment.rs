//! What a treatment costs and brings, beside the thing while it is drawn: weight, lost room, resonance, gain by octave and where it is worse.

use bevy_egui::egui::{Align2, Pos2, Sense, Ui, Vec2, WidgetInfo, WidgetType};

use super::context::Context;
use super::entry::{alert, fact};
use crate::acoustics::bands::OCTAVE_HZ;
use crate::app::theme::{font, size};
use crate::building::Building;
use crate::output::treatments::{self, Gain, LOSS_DB, Treatment};
use crate::output::words;
use crate::scene::{Contact, Opening, Room, Source};

/// What the shell of a room takes and brings.
pub(super) fn shell_ui(ui: &mut Ui, cx: &Context, room: &mut Room) {
    let (Some(solved), Some(space)) = (cx.solved(), cx.space(&room.id)) else { return };
    for shell in solved.answer.shells.iter().filter(|shell| shell.space == space) {
        treatment_ui(ui, cx, &treatments::shell(&solved.building, shell));
    }
}

/// What the cover of an opening weighs and brings.
pub(super) fn cover_ui(ui: &mut Ui, cx: &Context, opening: &mut Opening) {
    let Some(solved) = cx.solved() else { return };
    let level = cx.level();
    let is_it = |building: &Building, element: usize, at: usize| {
        let placed = building.elements.get(element).and_then(|element| element.openings.get(at));
        placed.is_some_and(|placed| placed.opening == opening.id && Some(placed.storey) == level)
    };
    for cover in solved.answer.covers.iter().filter(|cover| is_it(&solved.building, cover.element.0, cover.opening)) {
        treatment_ui(ui, cx, &treatments::cover(&solved.building, cover));
    }
}

/// What the platform, mat or springs under a contact carry and keep from the floor.
pub(super) fn mount_ui(ui: &mut Ui, cx: &Context, source: &Source, contact: &Contact) {
    let Some(solved) = cx.solved() else { return };
    for mount in solved.answer.mounts.iter().filter(|at| at.source == source.id && at.contact == contact.name) {
        treatment_ui(ui, cx, &treatments::mount(solved, mount));
    }
}

/// What a floating floor gains.
pub(super) fn floating_ui(ui: &mut Ui, cx: &Context, construction: &str) {
    let Some(solved) = cx.solved() else { return };
    for floating in solved.answer.floating.iter().filter(|at| at.construction == construction) {
        treatment_ui(ui, cx, &treatments::floating(floating));
    }
}

fn treatment_ui(ui: &mut Ui, cx: &Context, treatment: &Treatment) {
    for line in &treatment.lines {
        fact(ui, &cx.palette, line);
    }
    for gain in &treatment.gains {
        gain_ui(ui, cx, gain, treatment.kg_title);
    }
}

/// Name, resonance and weight of a part, and its gain by octave in a row, losses in the colour of warnings.
fn gain_ui(ui: &mut Ui, cx: &Context, gain: &Gain, kg_title: &str) {
    let mut text = words::heading(&gain.name);
    if gain.hz > 0.0 {
        text += &format!(": f0 {:.0} Hz", gain.hz);
    }
    if let Some(kg) = gain.kg.filter(|_| !kg_title.is_empty()) {
        text += &format!(", {} {kg:.0}", kg_title.trim_end_matches(", kg"));
    }
    fact(ui, &cx.palette, &format!("{text}. Gain by octave, dB:"));
    let octaves_db = treatments::octave_gains_db(gain.gain_db);
    let (area, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 30.0), Sense::hover());
    let said: Vec<String> = OCTAVE_HZ.iter().zip(&octaves_db).map(|(hz, db)| format!("{hz} Hz {db:.0} dB")).collect();
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, said.join(", ")));
    for (octave, (hz, db)) in OCTAVE_HZ.iter().zip(octaves_db).enumerate() {
        let x = area.left() + area.width() * (octave as f32 + 0.5) / 8.0;
        let name = if *hz >= 1000.0 { format!("{}k", hz / 1000.0) } else { hz.to_string() };
        let worse = (3 * octave..3 * octave + 3).any(|band| gain.gain_db[band] <= LOSS_DB);
        let ink = if worse { cx.palette.alert } else { cx.palette.ink };
        let small = || font(size::SMALL);
        ui.painter().text(Pos2::new(x, area.top() + 7.0), Align2::CENTER_CENTER, name, small(), cx.palette.soft_ink);
        let db = format!("{db:.0}").replace('-', "−");
        ui.painter().text(Pos2::new(x, area.top() + 21.0), Align2::CENTER_CENTER, db, small(), ink);
    }
    if let Some(loss) = treatments::loss(gain.gain_db) {
        alert(ui, &cx.palette, &format!("{}.", words::heading(&loss)));
    }
}
