//! Walls: bands of their real thickness, lit where they leak.

use crate::building::ElementIndex;
use crate::solve::Surface;

use super::geometry::{WallBand, band, clear_line, wall_outline};
use super::{Canvas, Form, Part, Shown, Stroke, View, sheet};

/// The glow beyond a lit wall: how far it reaches in letters, and the layers it is laid on in, each as strong.
const GLOW_REACH: f64 = 3.2;
const GLOW_LAYERS: u32 = 14;
const GLOW_OPACITY: f64 = 0.036;

impl Canvas<'_> {
    pub(super) fn walls(&mut self, walls: &[(ElementIndex, WallBand)], bands: &[WallBand]) {
        let (unit, quiet) = (self.unit, self.quiet);
        let outline = wall_outline(bands);
        let clear: Vec<[[f64; 2]; 2]> = bands.iter().map(|wall| clear_line(*wall, bands)).collect();
        for ((element, wall), line) in walls.iter().zip(&clear) {
            self.shine(Surface::Element(*element), *line, wall.thickness_m, 1.0);
        }
        for rings in &outline {
            self.polygon(Part::Plan, None, rings.clone(), quiet.wall);
        }
        // The weakest first, so that a bright wall is not cut by its neighbour.
        let mut order: Vec<usize> = (0..walls.len()).collect();
        let strength = |at: usize| self.glow.strength(Surface::Element(walls[at].0));
        order.sort_by(|a, b| strength(*a).total_cmp(&strength(*b)));
        for at in order {
            let (element, wall) = walls[at];
            let face = Surface::Element(element);
            let fill = self.lit(face).unwrap_or(quiet.wall);
            self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![band(clear[at], wall.thickness_m)], fill);
        }
        for rings in outline {
            let stroke = Some(Stroke::full(quiet.wall_edge, 0.09 * unit));
            self.push(Part::Plan, None, Form::Polygon { rings, fill: None, stroke });
        }
    }
}

impl<V: View> sheet::Canvas<'_, V> {
    /// Light round a leak, as much as it shines: on dark sheets only.
    pub(in crate::output) fn shine(&mut self, face: Surface, line: [[f64; 2]; 2], thickness_m: f64, strength: f64) {
        let Some(colour) = self.lit(face) else { return };
        if !self.look.theme.is_dark() {
            return;
        }
        let bright = strength * self.glow.strength(face);
        if bright <= 0.02 {
            return;
        }
        for layer in 1..=GLOW_LAYERS {
            // Closer together near the wall, so that the light falls off as it does from a crack.
            let reach = GLOW_REACH * (f64::from(layer) / f64::from(GLOW_LAYERS)).powf(1.6);
            let width_m = thickness_m + 2.0 * reach * self.unit * bright.sqrt();
            self.line(Part::Plan, &line, colour.faded(GLOW_OPACITY * (0.4 + 0.6 * bright)), width_m);
        }
    }
}
