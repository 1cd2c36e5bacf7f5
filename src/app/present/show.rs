//! The foot of the window while others look: what is said, how loud it is, which view of how many.

use bevy_egui::egui::{self, Align, Button, Context, Key, Layout, Modifiers, RichText, Ui};

use crate::app::panels::Hearing;
use crate::app::theme::{Palette, size};
use crate::output::words;
use crate::scene::SavedView;

/// What is asked while others look.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PresentAnswer {
    /// The view to show, by position, or (the inner nothing) to end.
    pub to: Option<Option<usize>>,
}

/// Draws the foot; keys step on and back, Esc ends.
pub fn present_ui(
    ui: &mut Ui,
    views: &[SavedView],
    at: usize,
    hearing: Option<&Hearing>,
    palette: &Palette,
) -> PresentAnswer {
    let mut answer = PresentAnswer { to: by_key(ui.ctx(), views.len(), at) };
    ui.horizontal(|ui| {
        if let Some(hearing) = hearing {
            ui.vertical(|ui| {
                ui.set_width(190.0);
                ui.label(RichText::new(words::level(hearing.heard.la_db)).size(size::LEVEL).color(palette.ink));
                let word = words::heading(words::audibility_word(hearing.heard.audibility));
                let ink = palette.audibility(hearing.heard.audibility);
                ui.label(RichText::new(word).size(size::SENTENCE).color(ink));
                let note = format!("± {:.0} dB, an estimate", hearing.heard.uncertainty_db);
                ui.label(RichText::new(note).size(size::SMALL).color(palette.soft_ink));
            });
        }
        let wide = (ui.available_width() - 190.0).max(120.0);
        ui.vertical(|ui| {
            ui.set_width(wide);
            let told = views.get(at).map(|view| view.caption.clone()).or_else(|| {
                hearing.map(|hearing| words::listener(&hearing.solved.scene, &hearing.solved.building, hearing.heard))
            });
            let told = told.unwrap_or_default();
            // Long captions are set smaller, so that they stay whole.
            let letters = if told.chars().count() > 220 { size::TEXT + 1.0 } else { size::SENTENCE + 3.0 };
            ui.label(RichText::new(told).size(letters).color(palette.ink));
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let button = |text: &str| Button::new(RichText::new(text).size(size::TEXT));
            if ui.add(button("End")).on_hover_text("Esc").clicked() {
                answer.to = Some(None);
            }
            if views.len() > 1 {
                let last = views.len() - 1;
                if ui.add_enabled(at < last, button("Next")).on_hover_text("Right, or Space").clicked() {
                    answer.to = Some(Some(at + 1));
                }
                if ui.add_enabled(at > 0, button("Back")).on_hover_text("Left").clicked() {
                    answer.to = Some(Some(at - 1));
                }
                ui.label(
                    RichText::new(format!("{} of {}", at + 1, views.len())).size(size::SMALL).color(palette.soft_ink),
                );
            }
        });
    });
    answer
}

fn by_key(context: &Context, views: usize, at: usize) -> Option<Option<usize>> {
    let pressed = |key: Key| context.input_mut(|input: &mut egui::InputState| input.consume_key(Modifiers::NONE, key));
    if pressed(Key::Escape) || pressed(Key::P) {
        return Some(None);
    }
    let on = [Key::ArrowRight, Key::PageDown, Key::Space, Key::Enter].into_iter().any(pressed);
    let back = [Key::ArrowLeft, Key::PageUp, Key::Backspace].into_iter().any(pressed);
    if on && at + 1 < views {
        Some(Some(at + 1))
    } else if back && at > 0 {
        Some(Some(at - 1))
    } else {
        None
    }
}
