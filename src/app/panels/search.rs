//! The list of all commands, searched by words. While it is open the keys are its own.

use bevy_egui::egui::{self, Align2, Id, Key, Margin, Modal, ScrollArea};

use crate::app::command::{Command, entry, found, is_enabled};
use crate::app::editor::state::Editor;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{boxed, label, menu_row};

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

/// All commands, searched by words. Escape, its own key and a click elsewhere close it, and do nothing else.
pub fn search_ui(context: &egui::Context, editor: &mut Editor, palette: &Palette) -> Option<Command> {
    let mut search = editor.search.clone()?;
    // Before the field is drawn, which knows some keys of its own.
    let (enter, closed) = context.input_mut(|input| {
        let escape = input.consume_key(egui::Modifiers::NONE, Key::Escape);
        let again = entry(&Command::Search).key.is_some_and(|key| input.consume_shortcut(&key));
        (input.key_pressed(Key::Enter), escape || again)
    });
    let mut chosen = None;
    let id = Id::new("all actions");
    let shown = Modal::new(id)
        .area(Modal::default_area(id).anchor(Align2::CENTER_TOP, [0.0, TOP]))
        .backdrop_color(egui::Color32::from_black_alpha(60))
        .frame(boxed(palette.raised, palette.rule, 8, Margin::same(12)))
        .show(context, |ui| {
            ui.set_width(WIDE + 24.0);
            let field =
                egui::TextEdit::singleline(&mut search).hint_text("What do you want to do?").desired_width(WIDE);
            let field = ui.add(field);
            field.request_focus();
            let found = found(&search, editor.mode);
            let most = (context.content_rect().height() - AROUND).clamp(LEAST_HIGH, MOST_HIGH);
            // The least as well as the most: a list that was short is as high as it can be again once it lists more.
            ScrollArea::vertical().max_height(most).min_scrolled_height(most).show(ui, |ui| {
                for entry in &found {
                    let row = menu_row(entry, [WIDE, 24.0]).frame(false);
                    if ui.add_enabled(is_enabled(&entry.command, &editor.picks), row).clicked() {
                        chosen = Some(entry.command.clone());
                    }
                }
            });
            if found.is_empty() {
                label(ui, "Nothing is called that.", size::TEXT, palette.soft_ink);
            }
            if enter {
                chosen = chosen.take().or(found.first().map(|entry| entry.command.clone()));
            }
            field.id
        });
    let open = !closed && !shown.backdrop_response.clicked();
    let chosen = chosen.filter(|_| open);
    editor.search = (open && chosen.is_none()).then_some(search);
    if editor.search.is_none() {
        context.memory_mut(|memory| memory.surrender_focus(shown.inner));
        context.request_repaint();
    }
    chosen
}
