//! The file actions, in a menu that is there whether one listens or draws.

use bevy_egui::egui::{Button, RichText, Ui};

use crate::app::desk::actions::{self, Action, Looking};
use crate::app::theme::size;

/// In the order they stand.
const OFFERED: [Action; 7] = [
    Action::New,
    Action::Open,
    Action::Recent,
    Action::Save,
    Action::SaveAs,
    Action::Look(Looking::Export),
    Action::Search,
];

/// Draws the menu and returns what is chosen.
pub fn menu_ui(ui: &mut Ui) -> Option<Action> {
    let mut chosen = None;
    ui.menu_button(RichText::new("Scene").size(size::TEXT), |ui| {
        ui.set_width(270.0);
        for action in OFFERED {
            let known = actions::ALL.iter().find(|known| known.action == action);
            let (name, key) = match known {
                Some(known) => (known.name, known.key.map(actions::key_name).unwrap_or_default()),
                None => ("All actions", actions::key_name(actions::SEARCH)),
            };
            let line = Button::new(RichText::new(name).size(size::TEXT))
                .shortcut_text(RichText::new(key).size(size::SMALL))
                .frame_when_inactive(false)
                .min_size(bevy_egui::egui::vec2(270.0, 26.0));
            if ui.add(line).clicked() {
                chosen = Some(action);
                ui.close();
            }
        }
    });
    chosen
}
