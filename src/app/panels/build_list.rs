//! The box that lists what to buy and cut for the variant shown.

use bevy_egui::egui::{Button, Label, RichText, ScrollArea, TextWrapMode, Ui, vec2};

use crate::app::command::Command;
use crate::app::listed::Listed;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{at_right, label};

/// Width of the box, and what is kept free of the window beside and below it, logical pixels.
const WIDE: f32 = 860.0;
const FREE: [f32; 2] = [80.0, 300.0];

/// The list, and what can be written of it.
pub fn build_list_ui(ui: &mut Ui, listed: &Listed, palette: &Palette) -> Option<Command> {
    let mut asked = None;
    let window = ui.ctx().viewport_rect().size() - vec2(FREE[0], FREE[1]);
    ui.set_width(WIDE.min(window.x));
    match &listed.lines {
        Ok(lines) => {
            let high = window.y.clamp(160.0, 520.0);
            let area = ScrollArea::both().id_salt("build list").auto_shrink([false, true]);
            area.max_height(high).min_scrolled_height(high).show(ui, |ui| {
                let letters = RichText::new(lines).monospace().size(size::SMALL).color(palette.ink);
                ui.add(Label::new(letters).wrap_mode(TextWrapMode::Extend).selectable(true));
            });
        }
        Err(why) => drop(label(ui, why, size::TEXT, palette.alert)),
    }
    if let Some(outcome) = &listed.outcome {
        label(ui, outcome, size::SMALL, palette.ink);
    }
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        for (table, word, can, tip) in [
            (
                true,
                "Write the table (CSV)",
                listed.lines.is_ok(),
                "A line for each good, for a spreadsheet, beside the scene",
            ),
            (
                false,
                "Write the cutting plan (SVG)",
                listed.has_cuts(),
                "Every sheet to scale with its cuts, beside the scene",
            ),
        ] {
            let button = Button::new(RichText::new(word).size(size::SMALL));
            let clicked =
                ui.add_enabled(can, button).on_hover_text(tip).on_disabled_hover_text("No sheet is cut").clicked();
            asked = asked.take().or(clicked.then_some(Command::WriteList(table)));
        }
        at_right(ui, |ui| {
            let close = ui.add(Button::new(RichText::new("Close").size(size::SMALL))).clicked();
            asked = asked.take().or(close.then_some(Command::BuildList));
        });
    });
    asked
}
