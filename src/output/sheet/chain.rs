//! Chains of dimensions, in metres, or in feet and inches.

use crate::output::length;
use crate::output::lettering::width;

use super::geometry::{add, scale, sub};
use super::{Canvas, Lettering, Part, Point, View};

/// A side of the plan: the direction that runs along it, and the one that points away from it.
#[derive(Debug, Clone, Copy)]
pub(in crate::output) struct Side {
    pub(in crate::output) run: Point,
    pub(in crate::output) away: Point,
    pub(in crate::output) turned_deg: f64,
}

pub(in crate::output) const BELOW: Side = Side { run: [1.0, 0.0], away: [0.0, -1.0], turned_deg: 0.0 };
pub(in crate::output) const ABOVE: Side = Side { run: [1.0, 0.0], away: [0.0, 1.0], turned_deg: 0.0 };
pub(in crate::output) const LEFT: Side = Side { run: [0.0, 1.0], away: [-1.0, 0.0], turned_deg: 90.0 };
pub(in crate::output) const RIGHT: Side = Side { run: [0.0, 1.0], away: [1.0, 0.0], turned_deg: 90.0 };

impl<V: View> Canvas<'_, V> {
    /// A chain along a side: dimensions from break to break, `level` out along the side's direction away from the drawing, with lines to it from `edge`.
    pub(in crate::output) fn chain(&mut self, side: Side, breaks: &[f64], level: f64, wall_edge: f64) {
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
            let text = length::dimension(run[1] - run[0], self.look.units);
            let mut size_m = 0.85 * unit;
            let room = run[1] - run[0] - 0.5 * unit;
            let wide = width(&text);
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
