//! The switch between looking and drawing, the tools, and the line that says what a click does now.

use bevy_egui::egui::{Label, RichText, Ui};

use super::{Desk, Gesture, Mode, Tool};
use crate::app::theme::{Palette, size};
use crate::output::Theme;

/// Looking or drawing: two words, one of them lit.
pub fn mode_ui(ui: &mut Ui, desk: &mut Desk) {
    ui.horizontal(|ui| {
        for (mode, word, told) in [
            (Mode::Listen, "Listen", "See where sound leaks (M)"),
            (Mode::Draw, "Draw", "Draw and change the building (M)"),
        ] {
            let lit = desk.mode == mode;
            if ui.selectable_label(lit, RichText::new(word).size(size::TEXT)).on_hover_text(told).clicked() {
                desk.mode = mode;
                desk.stop();
            }
        }
    });
}

/// The tools, one below the other.
pub fn toolbox_ui(ui: &mut Ui, desk: &mut Desk) {
    ui.spacing_mut().item_spacing.y = 3.0;
    for tool in Tool::ALL {
        let lit = desk.tool == tool;
        let text = RichText::new(tool.name()).size(size::TEXT);
        let key = super::actions::key_of_tool(tool);
        let wide = ui.available_width();
        let button = bevy_egui::egui::Button::selectable(lit, text)
            .shortcut_text(RichText::new(&key).size(size::SMALL))
            .min_size(bevy_egui::egui::vec2(wide, 27.0));
        if ui.add(button).on_hover_text(format!("{} ({key})", tool.name())).clicked() {
            desk.take(tool);
        }
    }
}

/// What a click does now, and what was said last.
pub fn status_ui(ui: &mut Ui, desk: &Desk, theme: Theme) {
    let palette = Palette::of(theme);
    ui.horizontal(|ui| {
        // What was said last comes before what could be done next.
        let (text, ink) = match (&desk.said, &desk.news) {
            (Some(said), _) => (said.as_str(), palette.alert),
            (None, Some(news)) => (news.as_str(), palette.ink),
            (None, None) => (hint(desk), palette.soft_ink),
        };
        ui.add(Label::new(RichText::new(text).size(size::TEXT).color(ink)).truncate());
    });
}

/// What a click does now.
#[must_use]
pub fn hint(desk: &Desk) -> &'static str {
    match (desk.tool, &desk.gesture) {
        (_, Gesture::Drag { .. }) => "Let go to set it down. Alt holds snapping off, Esc puts it back.",
        (_, Gesture::Stretch { .. }) => "Let go at the new width.",
        (_, Gesture::Box { .. }) => "Everything wholly inside is picked.",
        (Tool::Hand, Gesture::None) if desk.picks.is_empty() => {
            "Click to pick, drag to move, drag over nothing to pick several. The middle button, or Space, moves the plan."
        }
        (Tool::Hand, _) => "Drag to move, Delete to remove, Ctrl+D to copy; what it is made of stands on the right.",
        (Tool::Walls, Gesture::Walls { .. }) => {
            "Click the next corner, or type a length and press Enter. Double-click, Enter or Esc ends."
        }
        (Tool::Walls, _) => "Click where a wall begins: corners, walls and lines catch the pointer.",
        (Tool::Room, Gesture::Room { .. }) => {
            "Click the opposite corner, or type both sides, inside the room (4.2 x 3.1), and press Enter."
        }
        (Tool::Room, _) => "Click or drag from one corner of the room to the opposite one.",
        (Tool::Window, _) => "Click on a wall to set a window into it.",
        (Tool::Door, _) => "Click on a wall to set a door into it.",
        (Tool::Name, _) => "Click into a space to make it a room, and type its name; Enter ends.",
        (Tool::Loud, _) => "Click where it stands.",
        (Tool::Scale, Gesture::Scale { points }) if points.len() == 2 => {
            "Type how far apart the two points are in the building, then press Enter."
        }
        (Tool::Scale, _) => "Click two points of the picture whose distance you know.",
        (Tool::Duct, Gesture::Duct { .. }) => "Click where its other mouth is. Esc gives it up.",
        (Tool::Duct, _) => "Click where one mouth of the duct is: in a room, or outdoors.",
        (Tool::Ears, _) => "Click where somebody listens: in a room, or outdoors.",
    }
}
