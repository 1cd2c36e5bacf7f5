//! Whose ears: every listener with their level, so that all neighbours are seen at once.

use bevy_egui::egui::{Align2, CursorIcon, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, WidgetType};

use crate::app::command::Command;
use crate::app::hearing::Hearing;
use crate::app::theme::{Palette, font, size};
use crate::output::{lettering, words};
use crate::solve::ListenerAnswer;

/// Height of one name, logical pixels.
const HIGH: f32 = 25.0;
const GAP: f32 = 4.0;

/// Draws the names in two columns; returns the one asked for.
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
    let told = format!("{name}, {}", words::level(heard.la_db));
    response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen, &told));
    let painter = ui.painter();
    let fill = if chosen || response.hovered() { palette.hovered } else { palette.raised };
    let edge = if chosen { palette.listener } else { fill };
    painter.rect(area, 5.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
    let letters = font(size::SMALL + 0.5);
    let level = format!("{:.0}", heard.la_db.max(0.0));
    let place = area.right_center() - Vec2::new(9.0, 0.0);
    let level = painter.text(place, Align2::RIGHT_CENTER, level, letters.clone(), palette.audibility(heard.audibility));
    let ink = if chosen { palette.ink } else { palette.soft_ink };
    let limit = (level.left() - area.left() - 17.0) / letters.size;
    let place = area.left_center() + Vec2::new(9.0, 0.0);
    painter.text(place, Align2::LEFT_CENTER, lettering::cut(&name, f64::from(limit)), letters, ink);
    let response = response.on_hover_cursor(CursorIcon::PointingHand);
    let clicked = response.clicked();
    response.on_hover_text(format!("{told}, {}", words::audibility_word(heard.audibility)));
    clicked
}
