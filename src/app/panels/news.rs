//! What was done or refused last, while one listens: a line on the plan, until the next click or key.

use bevy_egui::egui::{self, Align2, Area, Event, Id, Margin, Order, Rect, RichText};

use crate::app::desk::Desk;
use crate::app::theme::{Palette, size};

/// How far above the canvas's lower edge it stands, over the legend, logical pixels.
const FOOT: f32 = 112.0;

/// Shows it.
pub(super) fn news_ui(context: &egui::Context, desk: &Desk, palette: &Palette, canvas: Rect) {
    let (text, ink) = match (&desk.said, &desk.news) {
        (Some(said), _) => (said, palette.alert),
        (None, Some(news)) => (news, palette.ink),
        (None, None) => return,
    };
    Area::new(Id::new("what was done"))
        .order(Order::Foreground)
        .interactable(false)
        .pivot(Align2::CENTER_BOTTOM)
        .fixed_pos(canvas.center_bottom() - egui::vec2(0.0, FOOT))
        .show(context, |ui| {
            egui::Frame::new()
                .fill(palette.raised)
                .stroke(egui::Stroke::new(1.0, palette.rule))
                .corner_radius(6)
                .inner_margin(Margin::symmetric(12, 6))
                .show(ui, |ui| {
                    ui.set_max_width(0.8 * canvas.width());
                    ui.label(RichText::new(text).size(size::TEXT).color(ink));
                });
        });
}

/// True once something else is done: a key or a button was pressed in this frame.
pub(super) fn is_read(context: &egui::Context) -> bool {
    let pressed = |event: &Event| {
        matches!(event, Event::Key { pressed: true, repeat: false, .. } | Event::PointerButton { pressed: true, .. })
    };
    context.input(|input| input.events.iter().any(pressed))
}
