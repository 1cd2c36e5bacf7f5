//! Chains of dimensions, in metres, or in feet and inches.

use crate::output::draw::Draw;
use crate::output::drawing::{Lettering, Part, Point};
use crate::output::length;
use crate::output::lettering::width;

use crate::output::page::canvas::{Canvas, View};
use crate::output::page::geometry::{add, scale, sub};

/// A side of the plan: the direction that runs along it, and the one that points away from it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Side {
    pub(crate) run: Point,
    pub(crate) away: Point,
    pub(crate) turned_deg: f64,
}

pub(crate) const BELOW: Side = Side { run: [1.0, 0.0], away: [0.0, -1.0], turned_deg: 0.0 };
pub(crate) const ABOVE: Side = Side { run: [1.0, 0.0], away: [0.0, 1.0], turned_deg: 0.0 };
pub(crate) const LEFT: Side = Side { run: [0.0, 1.0], away: [-1.0, 0.0], turned_deg: 90.0 };
pub(crate) const RIGHT: Side = Side { run: [0.0, 1.0], away: [1.0, 0.0], turned_deg: 90.0 };

impl<V: View> Canvas<'_, V> {
    /// A chain along a side: dimensions from break to break, `level` out along the side's direction away from the drawing, with lines to it from `edge`.
    pub(crate) fn chain(&mut self, side: Side, breaks: &[f64], level: f64, wall_edge: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        let place = |along: f64, out: f64| add(scale(side.run, along), scale(side.away, out));
        let (first, last) = (breaks[0], breaks[breaks.len() - 1]);
        let part = Part::Dimensions;
        let thin = 0.06 * unit;
        let whole = [place(first - 0.5 * unit, level), place(last + 0.5 * unit, level)];
        self.line(part, &whole, quiet.soft_ink, thin);
        let slash = scale(add(side.run, [side.run[1], side.run[0]]), 0.32 * unit);
        for at in breaks {
            let middle = place(*at, level);
            self.line(part, &[place(*at, wall_edge + 0.5 * unit), place(*at, level + 0.5 * unit)], quiet.rule, thin);
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
