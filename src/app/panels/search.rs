//! The list of all actions, searched by words. While it is open the keys are its own.

use bevy_egui::egui::{self, Align2, Id, Key, Margin, Modal, RichText, ScrollArea};

use crate::app::desk::Desk;
use crate::app::desk::actions::{self, Action};
use crate::app::theme::{Palette, size};

/// Width of the list, logical pixels.
const WIDE: f32 = 396.0;
/// The list is as high as what it lists, and at most this, logical pixels.
const MOST_HIGH: f32 = 420.0;
/// Where it begins below the window's upper edge, logical pixels.
const TOP: f32 = 90.0;
/// What stands round the list within the window: the field over it, margins, and some room below, logical pixels.
const AROUND: f32 = TOP + 90.0;
/// Rows that are seen even in the lowest window, logical pixels.
const LEAST_HIGH: f32 = 72.0;

/// All actions, searched by words. Escape, its own key and a click elsewhere close it, and do nothing else.
pub(super) fn search_ui(context: &egui::Context, desk: &mut Desk, palette: &Palette) -> Option<Action> {
    let mut search = desk.search.clone()?;
    // Before the field is drawn, which knows some keys of its own.
    let (enter, closed) = context.input_mut(|input| {
        let escape = input.consume_key(egui::Modifiers::NONE, Key::Escape);
        let again = input.consume_shortcut(&actions::SEARCH);
        (input.key_pressed(Key::Enter), escape || again)
    });
    let mut chosen = None;
    let id = Id::new("all actions");
    let frame = egui::Frame::new()
        .fill(palette.raised)
        .stroke(egui::Stroke::new(1.0, palette.rule))
        .corner_radius(8)
        .inner_margin(Margin::same(12));
    let shown = Modal::new(id)
        .area(Modal::default_area(id).anchor(Align2::CENTER_TOP, [0.0, TOP]))
        .backdrop_color(egui::Color32::from_black_alpha(60))
        .frame(frame)
        .show(context, |ui| {
            ui.set_width(WIDE + 24.0);
            let field =
                egui::TextEdit::singleline(&mut search).hint_text("What do you want to do?").desired_width(WIDE);
            let field = ui.add(field);
            field.request_focus();
            let found = actions::found(&search, desk.mode);
            let most = (context.content_rect().height() - AROUND).clamp(LEAST_HIGH, MOST_HIGH);
            // The least as well as the most: a list that was short is as high as it can be again once it lists more.
            ScrollArea::vertical().max_height(most).min_scrolled_height(most).show(ui, |ui| {
                for known in &found {
                    let key = known.key.map(actions::key_name).unwrap_or_default();
                    let button = egui::Button::new(RichText::new(known.name).size(size::TEXT))
                        .shortcut_text(RichText::new(key).size(size::SMALL))
                        .frame(false)
                        .min_size(egui::vec2(WIDE, 24.0));
                    if ui.add_enabled(actions::makes_sense(known.action, desk), button).clicked() {
                        chosen = Some(known.action);
                    }
                }
            });
            if found.is_empty() {
                ui.label(RichText::new("Nothing is called that.").color(palette.soft_ink));
            }
            if enter {
                chosen = chosen.or(found.first().map(|known| known.action));
            }
            field.id
        });
    let open = !closed && !shown.backdrop_response.clicked();
    let chosen = chosen.filter(|_| open);
    desk.search = (open && chosen.is_none()).then_some(search);
    if desk.search.is_none() {
        context.memory_mut(|memory| memory.surrender_focus(shown.inner));
        context.request_repaint();
    }
    chosen
}
