//! The foot of the window while others look: what is said, how loud it is, which view of how many.

use bevy_egui::egui::{Button, Ui};

use crate::app::command::Command;
use crate::app::theme::{Palette, size};
use crate::app::view::{Hearing, level_db, level_words};
use crate::app::widgets::{at_right, label, on_click};
use crate::output::words;
use crate::scene::SavedView;
use crate::solve::BandChoice;
use crate::solve::removal::audibility;

pub fn caption_ui(
    ui: &mut Ui,
    views: &[SavedView],
    at: usize,
    hearing: Option<&Hearing>,
    palette: &Palette,
) -> Option<Command> {
    let mut asked = None;
    ui.horizontal(|ui| {
        if let Some(hearing) = hearing {
            ui.vertical(|ui| {
                ui.set_width(190.0);
                let (heard, bands) = (hearing.heard, hearing.view.bands);
                label(ui, level_words(level_db(heard, bands), bands), size::LEVEL, palette.ink);
                let audibility = audibility(heard, bands);
                let word = words::heading(words::audibility_word(audibility));
                label(ui, word, size::SENTENCE, palette.audibility(audibility));
                let note = match bands {
                    BandChoice::AWeighted => format!("± {:.0} dB, an estimate", heard.uncertainty_db),
                    BandChoice::Range(..) => format!("at {}, an estimate", bands.label()),
                };
                label(ui, note, size::SMALL, palette.soft_ink);
            });
        }
        let wide = (ui.available_width() - 190.0).max(120.0);
        ui.vertical(|ui| {
            ui.set_width(wide);
            let caption = views.get(at).map(|view| view.caption.clone()).or_else(|| {
                let (scene, building) = (&hearing?.solved.scene, &hearing?.solved.building);
                let said = words::lines(scene, building, hearing?.heard, hearing?.view.bands);
                Some(format!("{} {}", said.heard, said.by))
            });
            let caption = caption.unwrap_or_default();
            // Long captions are set smaller, so that they stay whole.
            let letters = if caption.chars().count() > 220 { size::TEXT + 1.0 } else { size::SENTENCE + 3.0 };
            label(ui, caption, letters, palette.ink);
        });
        at_right(ui, |ui| {
            on_click(&mut asked, &ui.button("End").on_hover_text("Esc"), Command::Present(None));
            if views.len() > 1 {
                for (can, word, key, on) in
                    [(at + 1 < views.len(), "Next", "Right, or Space", true), (at > 0, "Back", "Left", false)]
                {
                    let step = ui.add_enabled(can, Button::new(word)).on_hover_text(key);
                    on_click(&mut asked, &step, Command::StepView(on));
                }
                label(ui, format!("{} of {}", at + 1, views.len()), size::SMALL, palette.soft_ink);
            }
        });
    });
    asked
}
