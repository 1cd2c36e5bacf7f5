//! The scale the plan is coloured by.

use bevy_egui::egui::epaint::Mesh;
use bevy_egui::egui::{Align2, Pos2, Rect, Sense, Shape, Ui, Vec2, WidgetInfo, WidgetType};

use crate::app::theme::{Palette, color, font, size};
use crate::output::Theme;
use crate::output::palette::LEAK_RANGE_DB;

/// The shares that are labelled, with their decibels below the total.
const MARKS: [(&str, &str, f32); 4] =
    [("0.1 %", "−30 dB", 0.0), ("1 %", "−20", 1.0 / 3.0), ("10 %", "−10", 2.0 / 3.0), ("all", "0", 1.0)];

/// Draws the colour scale under a heading. Its width is that of the space it is given.
pub fn legend_ui(ui: &mut Ui, theme: Theme, heading: &str) {
    debug_assert!((LEAK_RANGE_DB - 30.0).abs() < f64::EPSILON, "the marks are those of a range of 30 dB");
    let palette = Palette::of(theme);
    let (area, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 58.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, heading));
    let painter = ui.painter();
    painter.text(area.left_top(), Align2::LEFT_TOP, heading, font(size::SMALL), palette.soft_ink);
    let bar = Rect::from_min_size(area.left_top() + Vec2::new(0.0, 20.0), Vec2::new(area.width(), 9.0));
    let steps = 48;
    let mut mesh = Mesh::default();
    for step in 0..=steps {
        let along = step as f32 / steps as f32;
        let x = bar.left() + along * bar.width();
        let shade = color(theme.leak_at(f64::from(along)));
        let first = mesh.vertices.len() as u32;
        mesh.colored_vertex(Pos2::new(x, bar.top()), shade);
        mesh.colored_vertex(Pos2::new(x, bar.bottom()), shade);
        if step > 0 {
            mesh.add_triangle(first - 2, first - 1, first);
            mesh.add_triangle(first, first - 1, first + 1);
        }
    }
    painter.add(Shape::mesh(mesh));
    for (share, level, along) in MARKS {
        let x = bar.left() + along * bar.width();
        let align = match along {
            0.0 => Align2::LEFT_TOP,
            1.0 => Align2::RIGHT_TOP,
            _ => Align2::CENTER_TOP,
        };
        painter.text(Pos2::new(x, bar.bottom() + 4.0), align, share, font(size::SMALL), palette.ink);
        painter.text(Pos2::new(x, bar.bottom() + 18.0), align, level, font(size::SMALL - 1.0), palette.soft_ink);
    }
}
