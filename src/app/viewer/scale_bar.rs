//! A length to compare with, whatever the scale.

use bevy_egui::egui::{Align2, Painter, Pos2, Stroke, Vec2};

use crate::app::theme::{Palette, font, size};
use crate::app::viewer::frame::Frame;
use crate::output::length::{Units, round_step, unit};

/// The longest it may be, logical pixels.
const LONGEST: f64 = 150.0;

/// Paints it with its right end at `end`.
pub fn scale_bar(painter: &Painter, palette: &Palette, frame: &Frame, units: Units, end: Pos2) {
    let (length_m, told) = round_step(LONGEST / frame.px_per_m, units);
    let begin = end - Vec2::new((length_m * frame.px_per_m) as f32, 0.0);
    let stroke = Stroke::new(1.5, palette.soft_ink);
    painter.line_segment([begin, end], stroke);
    for tip in [begin, end] {
        painter.line_segment([tip - Vec2::new(0.0, 4.0), tip + Vec2::new(0.0, 4.0)], stroke);
    }
    let text = format!("{told} {}", unit(units));
    painter.text(
        begin.lerp(end, 0.5) - Vec2::new(0.0, 5.0),
        Align2::CENTER_BOTTOM,
        text,
        font(size::SMALL),
        palette.soft_ink,
    );
}
