//! Dimensions: the whole storey, and each run of its outer walls.

use crate::building::ElementIndex;
use crate::output::page::chain::{ABOVE, BELOW, LEFT, RIGHT, Side};
use crate::output::page::geometry::{Patch, WallBand, along, cross, dot, left, scale};
use crate::output::plan::Canvas;

impl Canvas<'_> {
    pub(super) fn dimensions(&mut self, walls: &[(ElementIndex, WallBand)]) {
        let drawn = self.frame;
        for (first, second) in [(BELOW, ABOVE), (LEFT, RIGHT)] {
            let (near, far) = (self.breaks(walls, first), self.breaks(walls, second));
            self.side(first, &near, true, drawn);
            let same = near.len() == far.len() && near.iter().zip(&far).all(|(a, b)| (a - b).abs() < 0.03);
            if !same && far.len() > 2 {
                self.side(second, &far, false, drawn);
            }
        }
    }

    /// Where the outer walls of a side begin and end, along it, with the outer faces as ends.
    fn breaks(&self, walls: &[(ElementIndex, WallBand)], side: Side) -> Vec<f64> {
        let outdoors = self.building.outdoors();
        let (low, high) = (dot(self.extent.min, side.run), dot(self.extent.max, side.run));
        let mut at = vec![low, high];
        for (element, wall) in walls {
            let sides = self.building.elements[element.0].sides;
            let direction = along(wall.line);
            let out = match sides.iter().position(|space| *space == outdoors) {
                Some(0) => left(direction),
                Some(_) => scale(left(direction), -1.0),
                None => continue,
            };
            if dot(out, side.away) > 0.7 && cross(direction, side.run).abs() < 0.02 {
                at.extend(wall.line.iter().map(|end| dot(*end, side.run)));
            }
        }
        at.sort_by(f64::total_cmp);
        // Ends of the outer walls lie half a thickness inside the outer faces: those are the same break.
        let corner = 0.35_f64.min(0.05 * (high - low).max(1.0));
        at.retain(|place| *place <= low || *place >= high || (place - low > corner && high - place > corner));
        at.dedup_by(|a, b| (*a - *b).abs() < 0.03);
        at
    }

    fn side(&mut self, side: Side, breaks: &[f64], overall: bool, drawn: Patch) {
        let unit = self.unit;
        // Beyond whatever has been drawn on that side.
        let edge = |patch: &Patch| {
            if side.away[0] + side.away[1] > 0.0 { dot(patch.max, side.away) } else { dot(patch.min, side.away) }
        };
        let wall_edge = edge(&self.extent);
        let mut level = edge(&drawn) + 2.0 * unit;
        if breaks.len() > 2 {
            self.chain(side, breaks, level, wall_edge);
            level += 2.2 * unit;
        }
        if overall {
            self.chain(side, &[breaks[0], breaks[breaks.len() - 1]], level, wall_edge);
        }
    }
}
