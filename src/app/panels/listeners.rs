//! Whose ears: every listener with their level, so that all neighbours are seen at once.

use bevy_egui::egui::{Align2, CursorIcon, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, WidgetType};

use super::Hearing;
use crate::app::theme::{Palette, font, size};
use crate::app::view::Ask;
use crate::output::{lettering, words};

/// Height of one name, logical pixels.
const HIGH: f32 = 24.0;
/// The widest name, letters.
const WIDEST: f64 = 16.0;

/// Draws the names in rows; returns the one asked for.
pub fn listeners_ui(ui: &mut Ui, hearing: &Hearing) -> Option<Ask> {
    let palette = Palette::of(hearing.view.theme);
    let mut asked = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::new(5.0, 5.0);
        for heard in &hearing.solved.answer.listeners {
            let chosen = heard.listener == hearing.heard.listener;
            let name = words::heading(&heard.name);
            let painter = ui.painter().clone();
            let ink = if chosen { palette.ink } else { palette.soft_ink };
            let shown = painter.layout_no_wrap(lettering::cut(&name, WIDEST), font(size::SMALL + 0.5), ink);
            let level = format!("{:.0}", heard.la_db.max(0.0));
            let level = painter.layout_no_wrap(level, font(size::SMALL + 0.5), palette.audibility(heard.audibility));
            let wide = shown.size().x + level.size().x + 23.0;
            let (area, response) = ui.allocate_exact_size(Vec2::new(wide, HIGH), Sense::click());
            let told = format!("{name}, {}", words::level(heard.la_db));
            response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen, &told));
            let fill = if chosen || response.hovered() { palette.hovered } else { palette.raised };
            let edge = if chosen { palette.listener } else { fill };
            painter.rect(area, 12.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
            let left = Align2::LEFT_CENTER.align_size_within_rect(shown.size(), area).translate(Vec2::new(9.0, 0.0));
            painter.galley(left.min, shown, ink);
            let right = Align2::RIGHT_CENTER.align_size_within_rect(level.size(), area).translate(Vec2::new(-9.0, 0.0));
            painter.galley(right.min, level, ink);
            let response = response.on_hover_cursor(CursorIcon::PointingHand);
            if response.clicked() {
                asked = Some(Ask::Listen(heard.listener.clone()));
            }
            response.on_hover_text(format!("{told}, {}", words::audibility_word(heard.audibility)));
        }
    });
    asked
}
