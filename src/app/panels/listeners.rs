//! Whose ears: every listener with their level, so that all neighbours are seen at once.

use bevy_egui::egui::{Align2, CursorIcon, Sense, Ui, Vec2};

use crate::app::command::Command;
use crate::app::theme::{Palette, font, size};
use crate::app::view::{Hearing, at_bands, level_db, level_words};
use crate::app::widgets::tile;
use crate::output::{lettering, words};
use crate::solve::ListenerAnswer;
use crate::solve::removal::audibility;

const HIGH: f32 = 25.0;
const GAP: f32 = 4.0;

pub fn listeners_ui(ui: &mut Ui, hearing: &Hearing) -> Option<Command> {
    let mut asked = None;
    let wide = (ui.available_width() - GAP) / 2.0;
    ui.spacing_mut().item_spacing = Vec2::splat(GAP);
    for pair in hearing.solved.answer.listeners.chunks(2) {
        ui.horizontal(|ui| {
            for heard in pair {
                if name_ui(ui, hearing, heard, wide) {
                    asked = Some(Command::Listen(heard.listener.clone()));
                }
            }
        });
    }
    asked
}

/// One name with its level. True when it was clicked.
fn name_ui(ui: &mut Ui, hearing: &Hearing, heard: &ListenerAnswer, wide: f32) -> bool {
    let palette = Palette::of(hearing.view.theme);
    let chosen = heard.listener == hearing.heard.listener;
    let name = words::heading(&heard.name);
    let (area, response) = ui.allocate_exact_size(Vec2::new(wide, HIGH), Sense::click());
    let bands = hearing.view.bands;
    let (level_db, audibility) = (level_db(heard, bands), audibility(heard, bands));
    let spoken = format!("{name}, {}{}", level_words(level_db, bands), at_bands(bands));
    tile(ui, &palette, &response, area, 5.0, (chosen, &spoken));
    let painter = ui.painter();
    let letters = font(size::SMALL + 0.5);
    let level = format!("{:.0}", level_db.max(0.0));
    let place = area.right_center() - Vec2::new(9.0, 0.0);
    let level = painter.text(place, Align2::RIGHT_CENTER, level, letters.clone(), palette.audibility(audibility));
    let ink = if chosen { palette.ink } else { palette.soft_ink };
    let limit = (level.left() - area.left() - 17.0) / letters.size;
    let place = area.left_center() + Vec2::new(9.0, 0.0);
    painter.text(place, Align2::LEFT_CENTER, lettering::cut(&name, f64::from(limit)), letters, ink);
    let response = response.on_hover_cursor(CursorIcon::PointingHand);
    let clicked = response.clicked();
    response.on_hover_text(format!("{spoken}, {}", words::audibility_word(audibility)));
    clicked
}
