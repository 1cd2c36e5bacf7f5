//! What was done or refused last, while one listens: a line on the plan, until the next click or key.

use bevy_egui::egui::{self, Align2, Event, Margin, Rect};

use crate::app::editor::state::Editor;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{boxed, label, over, status_ink};

/// How far above the canvas's lower edge it stands, over the legend, logical pixels.
const FOOT: f32 = 112.0;

pub fn show(context: &egui::Context, editor: &Editor, palette: &Palette, canvas: Rect) {
    let Some(status) = &editor.status else { return };
    let place = canvas.center_bottom() - egui::vec2(0.0, FOOT);
    over("what was done", Align2::CENTER_BOTTOM, place).interactable(false).show(context, |ui| {
        boxed(palette.raised, palette.rule, 6, Margin::symmetric(12, 6)).show(ui, |ui| {
            ui.set_max_width(0.8 * canvas.width());
            label(ui, status.text(), size::TEXT, status_ink(status, palette));
        });
    });
}

/// True once something else is done: a key or a button was pressed in this frame.
pub fn is_read(context: &egui::Context) -> bool {
    let pressed = |event: &Event| {
        matches!(event, Event::Key { pressed: true, repeat: false, .. } | Event::PointerButton { pressed: true, .. })
    };
    context.input(|input| input.events.iter().any(pressed))
}
