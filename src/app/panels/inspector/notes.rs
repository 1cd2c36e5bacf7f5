//! Small lines of text: facts, hints, cautions.

use bevy_egui::egui::{RichText, Ui};

use crate::app::theme::{Palette, size};
use crate::output::words::heading;

/// A fact that is computed, a hint.
pub(super) fn fact(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.label(RichText::new(text).size(size::SMALL + 0.5).color(palette.soft_ink));
}

/// A caution, or anything else that asks for attention.
pub(super) fn alert(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.label(RichText::new(text).size(size::SMALL + 0.5).color(palette.alert));
}

/// What is wrong, as a sentence.
pub(super) fn wrong(ui: &mut Ui, palette: &Palette, why: &str) {
    alert(ui, palette, &format!("{}.", heading(why)));
}
