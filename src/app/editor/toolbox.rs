//! The switch between looking and drawing, the tools, and the line that says what a click does now.

use bevy_egui::egui::{Button, Label, RichText, Ui, vec2};

use crate::app::command::{Command, entry};
use crate::app::editor::state::{Editor, Gesture, Mode, Tool};
use crate::app::theme::{Palette, size};
use crate::app::widgets::{on_click, status_ink, words};
use crate::output::Theme;

pub fn mode_ui(ui: &mut Ui, editor: &Editor) -> Option<Command> {
    let mut asked = None;
    for (mode, word, tip) in [
        (Mode::Listen, "Listen", "See where sound leaks (M)"),
        (Mode::Draw, "Draw", "Draw and change the building (M)"),
    ] {
        let label = ui.selectable_label(editor.mode == mode, word).on_hover_text(tip);
        on_click(&mut asked, &label, Command::Mode(mode));
    }
    asked
}

pub fn toolbox_ui(ui: &mut Ui, editor: &Editor) -> Option<Command> {
    ui.spacing_mut().item_spacing.y = 3.0;
    let mut asked = None;
    for tool in Tool::ALL {
        let entry = entry(&Command::Tool(tool));
        let key = entry.key_name();
        let button = Button::selectable(editor.tool == tool, entry.button)
            .shortcut_text(RichText::new(&key).size(size::SMALL))
            .min_size(vec2(ui.available_width(), 27.0));
        let button = ui.add(button).on_hover_text(format!("{} ({key})", entry.button));
        on_click(&mut asked, &button, entry.command.clone());
    }
    asked
}

/// What a click does now, and what was done or refused last.
pub fn status_ui(ui: &mut Ui, editor: &Editor, theme: Theme) {
    let palette = Palette::of(theme);
    ui.horizontal(|ui| {
        // What was said last comes before what could be done next.
        let (text, ink) = match &editor.status {
            Some(status) => (status.text(), status_ink(status, &palette)),
            None => (hint(editor), palette.soft_ink),
        };
        ui.add(Label::new(words(text, size::TEXT, ink)).truncate());
    });
}

pub fn hint(editor: &Editor) -> &'static str {
    match (editor.tool, &editor.gesture) {
        (_, Gesture::Drag { .. }) => "Let go to set it down. Alt holds snapping off, Esc puts it back.",
        (_, Gesture::Stretch { .. }) => "Let go at the new width.",
        (_, Gesture::Box(_)) => "Everything wholly inside is picked.",
        (Tool::Hand, Gesture::None) if editor.picks.is_empty() => {
            "Click to pick, drag to move, drag over nothing to pick several. The middle button, or Space, moves the plan."
        }
        (Tool::Hand, _) => "Drag to move, Delete to remove, Ctrl+D to copy; what it is made of stands on the right.",
        (Tool::Walls, Gesture::Walls(_)) => {
            "Click the next corner, or type a length, from the middle of one wall to that of the other, and press Enter. Double-click, Enter or Esc ends."
        }
        (Tool::Walls, _) => "Click where a wall begins: corners, walls and lines catch the pointer.",
        (Tool::Room, Gesture::Room(_)) => {
            "Click the opposite corner, or type both sides, inside the room (4.2 x 3.1), and press Enter."
        }
        (Tool::Room, _) => "Click or drag from one corner of the room to the opposite one.",
        (Tool::Window, _) => "Click on a wall to set a window into it.",
        (Tool::Door, _) => "Click on a wall to set a door into it.",
        (Tool::Name, _) => "Click into a space to make it a room, and type its name; Enter ends.",
        (Tool::Loud, _) => "Click where it stands.",
        (Tool::Scale, Gesture::Scale(points)) if points.len() == 2 => {
            "Type how far apart the two points are in the building, then press Enter."
        }
        (Tool::Scale, _) => "Click two points of the picture whose distance you know.",
        (Tool::Duct, Gesture::Duct(..)) => "Click where its other mouth is. Esc gives it up.",
        (Tool::Duct, _) => "Click where one mouth of the duct is: in a room, or outdoors.",
        (Tool::Ears, _) => "Click where somebody listens: in a room, or outdoors.",
    }
}
