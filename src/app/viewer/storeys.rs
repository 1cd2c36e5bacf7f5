//! The storeys as they stand: the highest on top. Marks say where it is loud and where one listens.

use bevy_egui::egui::{Align2, CursorIcon, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, WidgetType};

use crate::app::command::Command;
use crate::app::theme::{Palette, color, font, size};
use crate::app::view::View;
use crate::output::{lettering, words};
use crate::project::Solved;

/// Size of one storey's slab, logical pixels.
const SLAB: Vec2 = Vec2::new(136.0, 28.0);

/// Height of a stack of so many storeys, logical pixels.
pub fn stack_height(storeys: usize) -> f32 {
    storeys as f32 * (SLAB.y + 2.0)
}

pub fn storeys_ui(ui: &mut Ui, solved: &Solved, view: &View) -> Option<Command> {
    let palette = Palette::of(view.theme);
    let chosen = view.storey_at(solved);
    let listener = view.listener_at(solved).and_then(|at| solved.building.listeners.get(at));
    let mut asked = None;
    ui.spacing_mut().item_spacing.y = 2.0;
    for (at, storey) in solved.scene.storeys.iter().enumerate().rev() {
        let (area, response) = ui.allocate_exact_size(SLAB, Sense::click());
        let name = words::heading(&storey.name);
        response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen == Some(at), &name));
        let fill = match (chosen == Some(at), response.hovered()) {
            (true, _) => palette.hovered,
            (false, true) => palette.raised,
            (false, false) => palette.panel,
        };
        let edge = if chosen == Some(at) { palette.listener } else { palette.rule };
        let painter = ui.painter();
        painter.rect(area, 4.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
        let ink = if chosen == Some(at) { palette.ink } else { palette.soft_ink };
        let limit = (SLAB.x - 52.0) / size::TEXT;
        let label = lettering::cut(&name, f64::from(limit));
        painter.text(area.left_center() + Vec2::new(10.0, 0.0), Align2::LEFT_CENTER, label, font(size::TEXT), ink);
        let mut mark = area.right_center() - Vec2::new(13.0, 0.0);
        if listener.is_some_and(|placed| placed.storey == at) {
            painter.circle_filled(mark, 4.0, palette.listener);
            mark.x -= 14.0;
        }
        if solved.building.sources.iter().any(|source| source.storey == at) {
            let source = color(view.theme.quiet().source);
            painter.circle_filled(mark, 2.2, source);
            painter.circle_stroke(mark, 5.0, Stroke::new(1.2, source));
        }
        if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
            asked = Some(Command::Storey(storey.id.clone()));
        }
    }
    asked
}
