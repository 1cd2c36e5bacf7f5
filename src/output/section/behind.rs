//! What closes the rooms behind the cut: walls as a veil of their light, openings as thin frames.

use crate::solve::Surface;

use super::structure::behind;
use super::{Canvas, Form, Part, Shown, Stroke};

impl Canvas<'_> {
    pub(super) fn behind(&mut self) {
        let (unit, quiet, sawn) = (self.unit, self.quiet, self.view.sawn);
        for wall in &sawn.behind {
            let face = Surface::Element(wall.element);
            if let Some(colour) = self.lit(face) {
                self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![wall.patch.ring()], behind(colour));
            }
        }
        for opening in &sawn.windows_behind {
            let (face, gap) =
                (Surface::Opening(opening.element, opening.at), Surface::Gap(opening.element, opening.at));
            let fill = Some(self.lit(face).map_or(quiet.sheet.faded(0.4), |colour| colour.faded(0.42)));
            let edge = self.lit(gap).unwrap_or(quiet.wall_edge.faded(0.6));
            let wide = if self.lit(gap).is_some() { 0.16 } else { 0.07 };
            let stroke = Some(Stroke::full(edge, wide * unit));
            let rings = vec![opening.patch.ring()];
            self.push(Part::Plan, Some(Shown::Surface(face)), Form::Polygon { rings, fill, stroke });
        }
    }
}
