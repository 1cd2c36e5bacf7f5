//! Dimensions in metres: the whole storey, and each run of its outer walls.

use crate::building::ElementIndex;

use super::geometry::{WallBand, add, along, cross, dot, left, scale, sub};
use super::{Canvas, Lettering, Part, Patch, Point};

/// A side of the plan: the direction that runs along it, and the one that points away from it.
#[derive(Debug, Clone, Copy)]
struct Side {
    run: Point,
    away: Point,
    turned_deg: f64,
}

const BELOW: Side = Side { run: [1.0, 0.0], away: [0.0, -1.0], turned_deg: 0.0 };
const ABOVE: Side = Side { run: [1.0, 0.0], away: [0.0, 1.0], turned_deg: 0.0 };
const LEFT: Side = Side { run: [0.0, 1.0], away: [-1.0, 0.0], turned_deg: 90.0 };
const RIGHT: Side = Side { run: [0.0, 1.0], away: [1.0, 0.0], turned_deg: 90.0 };

impl Canvas<'_> {
    pub(super) fn dimensions(&mut self, walls: &[(ElementIndex, WallBand)]) {
        let drawn = self.frame;
        let mut shown: Vec<Vec<f64>> = Vec::new();
        for (first, second) in [(BELOW, ABOVE), (LEFT, RIGHT)] {
            let (near, far) = (self.breaks(walls, first), self.breaks(walls, second));
            self.side(first, &near, true, drawn);
            shown.push(near.clone());
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

    fn chain(&mut self, side: Side, breaks: &[f64], level: f64, wall_edge: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        let place = |along: f64, out: f64| add(scale(side.run, along), scale(side.away, out));
        let (first, last) = (breaks[0], breaks[breaks.len() - 1]);
        let part = Part::Dimensions;
        self.line(
            part,
            &[place(first - 0.5 * unit, level), place(last + 0.5 * unit, level)],
            quiet.soft_ink,
            0.06 * unit,
        );
        for at in breaks {
            self.line(
                part,
                &[place(*at, wall_edge + 0.5 * unit), place(*at, level + 0.5 * unit)],
                quiet.rule,
                0.06 * unit,
            );
            let slash = scale(add(side.run, [side.run[1], side.run[0]]), 0.32 * unit);
            let slash = if side.turned_deg > 0.0 { [slash[0], slash[1]] } else { slash };
            let middle = place(*at, level);
            self.line(part, &[sub(middle, slash), add(middle, slash)], quiet.ink, 0.12 * unit);
        }
        // Text reads from below or from the right; it lies on the outer side of the lower chains, over the upper ones.
        let above = if side.turned_deg > 0.0 { [-1.0, 0.0] } else { [0.0, 1.0] };
        for run in breaks.windows(2) {
            let text = format!("{:.2}", run[1] - run[0]);
            let mut size_m = 0.85 * unit;
            let room = run[1] - run[0] - 0.5 * unit;
            let wide = crate::output::lettering::width(&text);
            if wide * size_m > room {
                size_m = (room / wide).max(0.6 * unit);
            }
            if wide * size_m > room + 0.5 * unit {
                continue;
            }
            let at = add(place((run[0] + run[1]) / 2.0, level), scale(above, 0.75 * unit));
            let style = Lettering { rotation_deg: side.turned_deg, ..Lettering::new(size_m, quiet.soft_ink).middle() };
            self.text(part, at, &text, style);
        }
        for at in [first, last] {
            self.frame.include(place(at, level + 1.5 * unit));
        }
    }
}
