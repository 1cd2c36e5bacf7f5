//! Dimensions: the whole storey, and each room along its outer walls, as it is inside: from face to face of the walls.

use crate::building::ElementIndex;
use crate::output::drawing::Point;
use crate::output::page::chain::{ABOVE, BELOW, LEFT, RIGHT, Side};
use crate::output::page::geometry::{Patch, WallBand, along, cross, dot, left, scale, sub};
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

    /// Where the outer walls of a side begin and end, along it: both faces of the walls that meet them there, with the outer faces as ends.
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
                for end in wall.line {
                    let (middle, half) = (dot(end, side.run), half_across(walls, end, side));
                    at.extend([middle - half, middle + half].map(|face| face.clamp(low, high)));
                }
            }
        }
        at.sort_by(f64::total_cmp);
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

/// Half the thickness of the walls that stand across a side at a point, m; nothing where there is none.
fn half_across(walls: &[(ElementIndex, WallBand)], at: Point, side: Side) -> f64 {
    let meets = |wall: &WallBand| {
        let direction = along(wall.line);
        let from = sub(at, wall.line[0]);
        let reach = dot(from, direction);
        let long = dot(sub(wall.line[1], wall.line[0]), direction);
        cross(direction, side.away).abs() < 0.02
            && cross(direction, from).abs() < 0.03
            && reach > -0.03
            && reach < long + 0.03
    };
    walls.iter().map(|(_, wall)| wall).filter(|wall| meets(wall)).map(|wall| 0.5 * wall.thickness_m).fold(0.0, f64::max)
}
