//! The head of the side panel, whether one listens or draws.

use bevy_egui::egui::{RichText, Ui};

use crate::app::command::{Command, SCENE_MENU, entry};
use crate::app::editor::toolbox::mode_ui;
use crate::app::perform::Window;
use crate::app::theme::size;
use crate::app::widgets::{at_right, menu_row};

pub(super) fn head_ui(ui: &mut Ui, window: &Window, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        commands.extend(mode_ui(ui, &window.editor));
        commands.extend(at_right(ui, scene_menu_ui));
    });
    ui.add_space(4.0);
}

/// What can be done with scenes and files, in a menu that is there whether one listens or draws.
pub fn scene_menu_ui(ui: &mut Ui) -> Option<Command> {
    let mut chosen = None;
    ui.menu_button(RichText::new("Scene").size(size::TEXT), |ui| {
        ui.set_width(270.0);
        for command in SCENE_MENU {
            if ui.add(menu_row(entry(command), [270.0, 26.0]).frame_when_inactive(false)).clicked() {
                chosen = Some(command.clone());
                ui.close();
            }
        }
    });
    chosen
}
