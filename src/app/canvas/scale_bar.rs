//! A length to compare with, whatever the scale.

use bevy_egui::egui::{Align2, Painter, Pos2, Stroke, Vec2};

use super::Frame;
use crate::app::theme::{Palette, font, size};

/// Lengths it may show, m.
const LENGTHS_M: [f64; 11] = [0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
/// The longest it may be, logical pixels.
const LONGEST: f64 = 150.0;

/// The longest round length that is no longer than [`LONGEST`], m.
fn length_m(px_per_m: f64) -> f64 {
    LENGTHS_M.into_iter().rev().find(|length| length * px_per_m <= LONGEST).unwrap_or(LENGTHS_M[0])
}

/// Paints it with its right end at `end`.
pub(super) fn paint(painter: &Painter, palette: &Palette, frame: &Frame, end: Pos2) {
    let length = length_m(frame.px_per_m);
    let begin = end - Vec2::new((length * frame.px_per_m) as f32, 0.0);
    let stroke = Stroke::new(1.5, palette.soft_ink);
    painter.line_segment([begin, end], stroke);
    for tip in [begin, end] {
        painter.line_segment([tip - Vec2::new(0.0, 4.0), tip + Vec2::new(0.0, 4.0)], stroke);
    }
    let text = format!("{length} m");
    painter.text(
        begin.lerp(end, 0.5) - Vec2::new(0.0, 5.0),
        Align2::CENTER_BOTTOM,
        text,
        font(size::SMALL),
        palette.soft_ink,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_is_as_long_as_it_may_be() {
        assert_eq!(length_m(50.0), 2.0);
        assert_eq!(length_m(150.0), 1.0);
        assert_eq!(length_m(149.0), 1.0);
        assert_eq!(length_m(151.0), 0.5);
        assert_eq!(length_m(2.0), 50.0);
    }
}
