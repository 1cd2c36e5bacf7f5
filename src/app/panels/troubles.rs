//! What is wrong with the scene, and what a reader of the answer must know.

use bevy_egui::egui::{self, RichText, Ui};

use super::{scrolling, section};
use crate::app::theme::{Palette, size};
use crate::output::{Theme, words};
use crate::scene::{Problem, Severity, Thing};

/// The list of what keeps a scene from being solved.
pub fn troubles_ui(ui: &mut Ui, theme: Theme, troubles: &[Problem]) {
    let palette = Palette::of(theme);
    let severe = troubles.iter().filter(|trouble| trouble.severity == Severity::Error).count();
    let text = troubles.iter().any(|trouble| matches!(trouble.thing, Thing::Text { .. }));
    let heading = match severe {
        _ if text => "This file cannot be read".to_owned(),
        0 => "This scene is odd".to_owned(),
        1 => "One thing keeps this scene from being solved".to_owned(),
        count => format!("{count} things keep this scene from being solved"),
    };
    ui.label(RichText::new(heading).size(size::SENTENCE).color(palette.ink));
    ui.add_space(8.0);
    scrolling(ui, "troubles", |ui| {
        for trouble in troubles {
            trouble_ui(ui, &palette, trouble);
        }
    });
}

/// The same list without heading, as long as it is.
pub fn list_ui(ui: &mut Ui, theme: Theme, troubles: &[Problem]) {
    let palette = Palette::of(theme);
    for trouble in troubles {
        trouble_ui(ui, &palette, trouble);
    }
}

fn trouble_ui(ui: &mut Ui, palette: &Palette, trouble: &Problem) {
    let frame = egui::Frame::new().fill(palette.raised).corner_radius(6).inner_margin(egui::Margin::symmetric(12, 10));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 3.0;
        let ink = if trouble.severity == Severity::Error { palette.alert } else { palette.soft_ink };
        ui.label(RichText::new(words::heading(&place(trouble))).size(size::SMALL).color(ink));
        ui.label(RichText::new(sentence(&trouble.what)).size(size::TEXT).color(palette.ink));
        ui.label(RichText::new(sentence(&trouble.to_do)).size(size::TEXT - 0.5).color(palette.soft_ink));
    });
}

/// Warnings and remarks below the list of paths.
pub fn remarks_ui(ui: &mut Ui, theme: Theme, warnings: &[Problem], notes: &[String]) {
    let palette = Palette::of(theme);
    ui.spacing_mut().item_spacing.y = 5.0;
    if !notes.is_empty() {
        section(ui, &palette, "Good to know");
        for note in notes {
            ui.label(RichText::new(sentence(note)).size(size::SMALL + 0.5).color(palette.soft_ink));
        }
    }
    if !warnings.is_empty() {
        ui.add_space(4.0);
        section(ui, &palette, "Odd in this scene");
        for warning in warnings {
            trouble_ui(ui, &palette, warning);
        }
    }
}

/// Where it is: "storey first, wall w3".
fn place(trouble: &Problem) -> String {
    match &trouble.storey {
        Some(storey) if trouble.thing == Thing::Storey => format!("storey \"{storey}\""),
        Some(storey) => format!("storey \"{storey}\", {}", trouble.thing),
        None => trouble.thing.to_string(),
    }
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let text = words::heading(text.trim());
    if text.is_empty() || text.ends_with(['.', '!', '?']) { text } else { format!("{text}.") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_of_sentences_become_whole_ones() {
        assert_eq!(sentence("make it at least 0.05 m, or delete it"), "Make it at least 0.05 m, or delete it.");
        assert_eq!(sentence("did you mean \"name\"?"), "Did you mean \"name\"?");
        assert_eq!(sentence(""), "");
    }
}
