//! An outline in the plan, and what a straight way does to it.

type Point = [f64; 2];

/// A way that passes less than this through a ring, m, touches it only. Own guard against roundoff.
const LEAST_CHORD_M: f64 = 0.05;

/// A closed outline with the box round it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ring {
    /// Its corners in order.
    pub points: Vec<Point>,
    low: Point,
    high: Point,
}

impl Ring {
    /// Of corners.
    pub fn new(points: Vec<Point>) -> Self {
        let least = |axis: usize| points.iter().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
        let most = |axis: usize| points.iter().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
        let (low, high) = ([0, 1].map(least), [0, 1].map(most));
        Self { points, low, high }
    }

    /// Its sides.
    fn sides(&self) -> impl Iterator<Item = (&Point, &Point)> {
        let next = self.points.iter().skip(1).chain(self.points.first());
        self.points.iter().zip(next)
    }

    /// True when the box round it and that round a straight way have nothing in common: most have not.
    fn is_far_from(&self, a: Point, b: Point) -> bool {
        let apart = |axis: usize| a[axis].max(b[axis]) < self.low[axis] || a[axis].min(b[axis]) > self.high[axis];
        apart(0) || apart(1)
    }

    /// True when it lies wholly to one side of a straight way, or beyond its ends, and needs no cuts.
    pub fn is_passed_by(&self, a: Point, b: Point) -> bool {
        if self.is_far_from(a, b) {
            return true;
        }
        let d = [b[0] - a[0], b[1] - a[1]];
        let squared = d[0] * d[0] + d[1] * d[1];
        let (mut off, mut along) = ([f64::INFINITY, f64::NEG_INFINITY], [f64::INFINITY, f64::NEG_INFINITY]);
        for p in &self.points {
            let w = [p[0] - a[0], p[1] - a[1]];
            let (across, ahead) = (d[0] * w[1] - d[1] * w[0], d[0] * w[0] + d[1] * w[1]);
            off = [off[0].min(across), off[1].max(across)];
            along = [along[0].min(ahead), along[1].max(ahead)];
        }
        // Ring and way may touch: what barely does is left to the cuts.
        let near = 1e-6 * squared.sqrt();
        off[0] > near || off[1] < -near || along[0] > squared + near || along[1] < -near
    }

    /// Where a straight way enters and leaves it for good, as parts of its length; nothing when it only touches. `cuts` is room to work in.
    pub fn chord(&self, a: Point, b: Point, cuts: &mut Vec<f64>) -> Option<(f64, f64)> {
        if self.is_passed_by(a, b) {
            return None;
        }
        let d = [b[0] - a[0], b[1] - a[1]];
        let length = d[0].hypot(d[1]);
        cuts.clear();
        cuts.extend([0.0, 1.0]);
        for (p, q) in self.sides() {
            let e = [q[0] - p[0], q[1] - p[1]];
            let det = d[0] * e[1] - d[1] * e[0];
            if det.abs() < 1e-12 {
                continue;
            }
            let w = [p[0] - a[0], p[1] - a[1]];
            let (along, on) = ((w[0] * e[1] - w[1] * e[0]) / det, (w[0] * d[1] - w[1] * d[0]) / det);
            if (0.0..=1.0).contains(&along) && (-1e-9..=1.0 + 1e-9).contains(&on) {
                cuts.push(along);
            }
        }
        cuts.sort_unstable_by(f64::total_cmp);
        let inside = cuts.windows(2).filter(|pair| {
            let middle = f64::midpoint(pair[0], pair[1]);
            (pair[1] - pair[0]) * length > LEAST_CHORD_M / 10.0
                && self.contains([a[0] + middle * d[0], a[1] + middle * d[1]])
        });
        let (mut within, mut ends) = (0.0, None);
        for pair in inside {
            within += (pair[1] - pair[0]) * length;
            ends = Some((ends.map_or(pair[0], |(enters, _)| enters), pair[1]));
        }
        ends.filter(|_| within > LEAST_CHORD_M)
    }

    fn contains(&self, point: Point) -> bool {
        let mut inside = false;
        for (p, q) in self.sides() {
            let crosses = (p[1] > point[1]) != (q[1] > point[1]);
            if crosses && point[0] < p[0] + (point[1] - p[1]) / (q[1] - p[1]) * (q[0] - p[0]) {
                inside = !inside;
            }
        }
        inside
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An L of 4 m by 4 m with arms of 1 m: ways through one arm, both arms, just outside it, and past its box.
    #[test]
    fn a_way_through_both_arms_enters_once_and_leaves_once() {
        let ell = Ring::new(vec![[0.0, 0.0], [4.0, 0.0], [4.0, 1.0], [1.0, 1.0], [1.0, 4.0], [0.0, 4.0]]);
        let chord = |a, b| ell.chord(a, b, &mut Vec::new());
        assert_eq!(chord([-1.0, 2.0], [3.0, 2.0]), Some((0.25, 0.5)));
        let (enters, leaves) = chord([-1.0, 4.0], [4.0, -1.0]).unwrap();
        assert!((enters - 0.2).abs() < 1e-12 && (leaves - 0.8).abs() < 1e-12, "{enters} {leaves}");
        assert_eq!(chord([-1.0, -0.001], [5.0, -0.001]), None);
        assert_eq!(chord([2.0, 2.0], [4.0, 2.0]), None);
        assert!(ell.is_passed_by([5.0, 0.0], [9.0, 4.0]) && !ell.is_passed_by([0.5, 0.5], [9.0, 9.0]));
    }
}
