//! What is picked, and what it is made of.

use bevy_egui::egui::{RichText, Ui};

use crate::app::desk::Desk;
use crate::app::solving::CurrentAnswer;
use crate::app::theme::{Palette, size};
use crate::app::view::View;
use crate::edit::Edit;
use crate::scene::Scene;

/// The inspector: what is picked, to be read and changed. Returns the edits of this frame, one step.
pub fn inspector_ui(
    ui: &mut Ui,
    desk: &mut Desk,
    _scene: &Scene,
    _storey: usize,
    _current: &CurrentAnswer,
    view: &View,
) -> Vec<Edit> {
    let palette = Palette::of(view.theme);
    let text = if desk.picks.is_empty() { "Nothing is picked." } else { "Picked." };
    ui.label(RichText::new(text).size(size::TEXT).color(palette.soft_ink));
    vec![]
}
