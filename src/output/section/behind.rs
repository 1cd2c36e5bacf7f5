//! What closes the rooms behind the cut: walls as a veil of their light, openings as thin frames.

use crate::solve::Surface;

use super::{Canvas, Form, Part, Shown, Stroke};

impl Canvas<'_> {
    pub(super) fn behind(&mut self) {
        let (unit, quiet, sawn) = (self.unit, self.quiet, self.view.sawn);
        for wall in &sawn.behind {
            let face = Surface::Element(wall.element);
            if let Some(colour) = self.lit(face) {
                let veil = colour.faded(veil(self.glow.position(face).unwrap_or(0.0)));
                self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![wall.patch.ring()], veil);
            }
        }
        for opening in &sawn.windows_behind {
            let (face, gap) =
                (Surface::Opening(opening.element, opening.at), Surface::Gap(opening.element, opening.at));
            let fill = Some(self.lit(face).map_or(quiet.sheet.faded(0.4), |colour| colour.faded(0.42)));
            let edge = self.lit(gap).unwrap_or(quiet.wall_edge.faded(FRAME));
            let wide = if self.lit(gap).is_some() { 0.16 } else { 0.07 };
            let stroke = Some(Stroke::full(edge, wide * unit));
            let rings = vec![opening.patch.ring()];
            self.push(Part::Plan, Some(Shown::Surface(face)), Form::Polygon { rings, fill, stroke });
            // Names keep off what is lit.
            if self.lit(face).is_some() {
                self.taken.push(opening.patch);
            }
        }
    }
}

/// Strength of the frame of an opening behind the cut that passes nothing.
pub(super) const FRAME: f64 = 0.45;

/// Strength of the veil of a wall behind the cut: the higher it stands on the legend, the thicker.
pub(super) fn veil(position: f64) -> f64 {
    0.05 + 0.15 * position.clamp(0.0, 1.0)
}
