//! The scale the plan is coloured by, and a length to compare with.

use bevy_egui::egui::epaint::Mesh;
use bevy_egui::egui::{Align2, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, WidgetType};

use crate::app::theme::{Palette, color, font, size};
use crate::app::viewer::frame::Frame;
use crate::app::widgets::explain;
use crate::output::Glow;
use crate::output::length::{Units, round_step, unit};

/// Draws the colour scale under a heading, with a note below it where its marks have none. Its width is that of the space it is given.
pub fn legend_ui(ui: &mut Ui, glow: &Glow, heading: &str, note: &str) {
    let palette = Palette::of(glow.theme());
    let (area, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 58.0), Sense::hover());
    let said = if note.is_empty() { heading.to_owned() } else { format!("{heading}, {note}") };
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, &said));
    explain(response, heading);
    let painter = ui.painter();
    painter.text(area.left_top(), Align2::LEFT_TOP, heading, font(size::SMALL), palette.soft_ink);
    let bar = Rect::from_min_size(area.left_top() + Vec2::new(0.0, 20.0), Vec2::new(area.width(), 9.0));
    let steps = 80;
    let mut mesh = Mesh::default();
    for step in 0..=steps {
        let along = step as f32 / steps as f32;
        let x = bar.left() + along * bar.width();
        let shade = color(glow.colour_at(f64::from(along)));
        let first = mesh.vertices.len() as u32;
        mesh.colored_vertex(Pos2::new(x, bar.top()), shade);
        mesh.colored_vertex(Pos2::new(x, bar.bottom()), shade);
        if step > 0 {
            mesh.add_triangle(first - 2, first - 1, first);
            mesh.add_triangle(first, first - 1, first + 1);
        }
    }
    painter.add(Shape::mesh(mesh));
    let marks = glow.marks();
    if marks.iter().all(|mark| mark.note.is_empty()) {
        let place = bar.left_bottom() + Vec2::new(0.0, 18.0);
        painter.text(place, Align2::LEFT_TOP, note, font(size::SMALL - 1.0), palette.soft_ink);
    }
    for mark in marks {
        let along = mark.position as f32;
        let x = bar.left() + along * bar.width();
        // The outermost are kept within the bar.
        let align = if along < 0.03 {
            Align2::LEFT_TOP
        } else if along > 0.97 {
            Align2::RIGHT_TOP
        } else {
            Align2::CENTER_TOP
        };
        painter.text(Pos2::new(x, bar.bottom() + 4.0), align, &mark.label, font(size::SMALL), palette.ink);
        let small = font(size::SMALL - 1.0);
        painter.text(Pos2::new(x, bar.bottom() + 18.0), align, &mark.note, small, palette.soft_ink);
    }
}

/// The longest a scale may be, logical pixels.
const LONGEST: f64 = 150.0;

/// Paints a length to compare with, its right end at `end`.
pub fn scale_bar(painter: &Painter, palette: &Palette, frame: &Frame, units: Units, end: Pos2) {
    let (length_m, number) = round_step(LONGEST / frame.px_per_m, units);
    let begin = end - Vec2::new((length_m * frame.px_per_m) as f32, 0.0);
    let stroke = Stroke::new(1.5, palette.soft_ink);
    painter.line_segment([begin, end], stroke);
    for tip in [begin, end] {
        painter.line_segment([tip - Vec2::new(0.0, 4.0), tip + Vec2::new(0.0, 4.0)], stroke);
    }
    let text = format!("{number} {}", unit(units));
    let place = begin.lerp(end, 0.5) - Vec2::new(0.0, 5.0);
    painter.text(place, Align2::CENTER_BOTTOM, text, font(size::SMALL), palette.soft_ink);
}
