//! What the listener hears: the level, large, and the plain sentence.

use bevy_egui::egui::{RichText, Ui};

use super::Hearing;
use crate::app::theme::{Palette, size};
use crate::output::words;

/// Draws level and sentence.
pub fn heard_ui(ui: &mut Ui, hearing: &Hearing) {
    let palette = Palette::of(hearing.view.theme);
    let heard = hearing.heard;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        ui.label(RichText::new(words::level(heard.la_db)).size(size::LEVEL).color(palette.ink));
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.add_space(7.0);
            let word = words::heading(words::audibility_word(heard.audibility));
            ui.label(RichText::new(word).size(size::TEXT).color(palette.audibility(heard.audibility)));
            let note = format!("± {:.0} dB, an estimate", heard.uncertainty_db);
            ui.label(RichText::new(note).size(size::SMALL).color(palette.soft_ink));
        });
    });
    let told = words::listener(&hearing.solved.scene, &hearing.solved.building, heard);
    let (first, rest) = first_sentence(&told);
    ui.spacing_mut().item_spacing.y = 4.0;
    ui.label(RichText::new(first).size(size::SENTENCE).color(palette.ink));
    if !rest.is_empty() {
        ui.label(RichText::new(rest).size(size::TEXT - 0.5).color(palette.soft_ink));
    }
}

/// The sentence that matters most, and what follows it. It ends where its uncertainty is closed, or with the text.
fn first_sentence(told: &str) -> (&str, &str) {
    told.find(" dB). ").map_or((told, ""), |at| {
        let (first, rest) = told.split_at(at + " dB).".len());
        (first, rest.trim_start())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_sentence_ends_with_its_uncertainty_not_within_a_name() {
        let told = "Mr. Shaw's flat: the drum kit can be heard clearly, about 52 dB(A) (± 5 dB). 61 % comes through the floor.";
        let (first, rest) = first_sentence(told);
        assert!(first.ends_with("(± 5 dB)."));
        assert_eq!(rest, "61 % comes through the floor.");
        assert_eq!(first_sentence("Hall: nothing is playing."), ("Hall: nothing is playing.", ""));
    }
}
