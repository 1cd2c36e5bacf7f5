//! The foot of the window while others look: what is said, how loud it is, which view of how many.

use std::sync::Arc;

use bevy_egui::egui::{Button, Galley, Label, Ui};

use crate::app::command::Command;
use crate::app::theme::{Palette, font, size};
use crate::app::view::{Hearing, level_db, level_words};
use crate::app::widgets::{at_right, label, on_click};
use crate::output::words;
use crate::scene::SavedView;
use crate::solve::BandChoice;
use crate::solve::removal::audibility;

/// What is said: what was kept with the view, else the listener's sentence.
pub fn caption(views: &[SavedView], at: usize, hearing: Option<&Hearing>) -> String {
    let kept = views.get(at).map(|view| view.caption.clone());
    let made = || {
        let solved = hearing?.solved;
        Some(words::lines(&solved.scene, &solved.building, hearing?.heard, hearing?.view.bands).heard)
    };
    kept.or_else(made).unwrap_or_default()
}

/// What is free on either side, logical pixels.
const SIDE: f32 = 18.0;
/// Width of the level, and of the buttons with and without others to step to, logical pixels.
const LEVEL: f32 = 112.0;
const STEPS: f32 = 216.0;
const END: f32 = 60.0;

/// Lays out what is said beside the level and the buttons: on one line in the largest letters that allow it; on several where it is too long for any.
pub fn laid_out(ui: &Ui, caption: &str, views: usize, palette: &Palette) -> Arc<Galley> {
    let wide = (ui.available_width() - 2.0 * SIDE - LEVEL - if views > 1 { STEPS } else { END }).max(120.0);
    let sizes = [size::SENTENCE + 3.0, size::SENTENCE, size::TEXT + 1.0, size::TEXT];
    let line = sizes.iter().map(|letters| ui.painter().layout_no_wrap(caption.to_owned(), font(*letters), palette.ink));
    let fits = line.into_iter().find(|line| line.size().x <= wide);
    fits.unwrap_or_else(|| ui.painter().layout(caption.to_owned(), font(size::TEXT), palette.ink, wide))
}

/// The foot: the level, what is said of it, and the buttons.
pub fn caption_ui(
    ui: &mut Ui,
    caption: Arc<Galley>,
    (at, views): (usize, usize),
    hearing: Option<&Hearing>,
    palette: &Palette,
) -> Option<Command> {
    let mut asked = None;
    ui.horizontal_centered(|ui| {
        if let Some(hearing) = hearing {
            let (heard, bands) = (hearing.heard, hearing.view.bands);
            let audibility = audibility(heard, bands);
            let said = level_words(level_db(heard, bands), bands);
            let level = label(ui, said, size::SENTENCE + 4.0, palette.audibility(audibility));
            let word = words::heading(words::audibility_word(audibility));
            level.on_hover_text(match bands {
                BandChoice::AWeighted => format!("{word}, ± {:.0} dB, an estimate", heard.uncertainty_db),
                BandChoice::Range(..) => format!("{word} at {}, an estimate", bands.label()),
            });
        }
        ui.add(Label::new(caption));
        at_right(ui, |ui| {
            on_click(&mut asked, &ui.button("End").on_hover_text("Esc"), Command::Present(None));
            if views > 1 {
                for (can, word, key, on) in
                    [(at + 1 < views, "Next", "Right, or Space", true), (at > 0, "Back", "Left", false)]
                {
                    let step = ui.add_enabled(can, Button::new(word)).on_hover_text(key);
                    on_click(&mut asked, &step, Command::StepView(on));
                }
                label(ui, format!("{} of {views}", at + 1), size::SMALL, palette.soft_ink);
            }
        });
    });
    asked
}
