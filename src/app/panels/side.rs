//! The side panel while one listens: whose ears, what they hear in a sentence, their level by octave, and by which paths.

use bevy_egui::egui::Ui;

use crate::app::command::Command;
use crate::app::hearing::Hearing;
use crate::app::panels::heard::{gains_ui, heard_ui};
use crate::app::panels::level_chart::level_chart_ui;
use crate::app::panels::listeners::listeners_ui;
use crate::app::panels::paths::paths_ui;
use crate::app::panels::problems::remarks_ui;
use crate::app::theme::Palette;
use crate::app::view::Highlight;
use crate::app::widgets::rule;

/// Draws it; the path under the pointer.
pub fn side_ui(ui: &mut Ui, hearing: &Hearing, highlight: &Highlight, commands: &mut Vec<Command>) -> Option<usize> {
    let theme = hearing.view.theme;
    commands.extend(listeners_ui(ui, hearing));
    ui.add_space(6.0);
    heard_ui(ui, hearing);
    ui.add_space(4.0);
    level_chart_ui(ui, hearing);
    ui.add_space(2.0);
    gains_ui(ui, hearing);
    rule(ui, &Palette::of(theme));
    let solved = hearing.solved;
    paths_ui(ui, hearing, highlight, commands, |ui| {
        remarks_ui(ui, theme, &solved.scene, &solved.warnings, &solved.answer.notes);
    })
}
