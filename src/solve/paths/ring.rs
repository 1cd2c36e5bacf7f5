//! An outline in the plan, and what a straight way does to it.

use super::super::memory::Look;
use super::string::Point;

/// A way that passes less than this through a ring, m, touches it only. Own guard against roundoff.
const LEAST_CHORD_M: f64 = 0.05;

/// What comes nearer than this, m, may touch. Own guard, far above roundoff.
const NEAR_M: f64 = 1e-6;
/// Ways nearer than this to a side, m, run along it and not through it. Own guard against roundoff.
const ALONG_M: f64 = 1e-9;

/// A closed outline with the box round it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ring {
    /// Its corners in order.
    pub points: Vec<Point>,
    low: Point,
    high: Point,
    /// For an outline without inward corners its sides as half planes: inward unit normal, and what a point's product with it exceeds.
    half_planes: Option<Vec<[f64; 3]>>,
}

impl Ring {
    /// Of corners.
    pub fn new(points: Vec<Point>) -> Self {
        let least = |axis: usize| points.iter().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
        let most = |axis: usize| points.iter().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
        let (low, high) = ([0, 1].map(least), [0, 1].map(most));
        let half_planes = half_planes(&points);
        Self { points, low, high, half_planes }
    }

    /// Its sides.
    fn sides(&self) -> impl Iterator<Item = (&Point, &Point)> {
        let next = self.points.iter().skip(1).chain(self.points.first());
        self.points.iter().zip(next)
    }

    /// True when the box round it and that round a straight way have nothing in common: most have not.
    #[inline]
    pub fn is_far_from(&self, a: Point, b: Point) -> bool {
        // Without a branch for each side.
        let apart = |axis: usize| (a[axis].max(b[axis]) < self.low[axis]) | (a[axis].min(b[axis]) > self.high[axis]);
        apart(0) | apart(1)
    }

    /// True when the boxes round both have nothing in common.
    pub fn is_apart_from(&self, other: &Self) -> bool {
        self.is_far_from(other.low, other.high)
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
        let near = NEAR_M * squared.sqrt();
        off[0] > near || off[1] < -near || along[0] > squared + near || along[1] < -near
    }

    /// True when it lies wholly to one side of the line through two points.
    pub fn lies_off(&self, a: Point, b: Point) -> bool {
        let d = [b[0] - a[0], b[1] - a[1]];
        let near = NEAR_M * (d[0] * d[0] + d[1] * d[1]).sqrt();
        let mut across = self.points.iter().map(|p| d[0] * (p[1] - a[1]) - d[1] * (p[0] - a[0]));
        across.clone().all(|off| off > near) || across.all(|off| off < -near)
    }

    /// What its sides sweep over when its corners move to those of another outline of as many. A side that stays on its line, to the last bit, sweeps but
    /// over what its ends do.
    pub fn strips_to(&self, other: &Self) -> Vec<Self> {
        let count = self.points.len();
        let stays = |at: usize| match (&self.half_planes, &other.half_planes) {
            (Some(old), Some(new)) => old.len() == count && new.len() == count && old[at] == new[at],
            _ => false,
        };
        let mut strips = Vec::new();
        for at in 0..count {
            let next = (at + 1) % count;
            let (old, new) = ([self.points[at], self.points[next]], [other.points[at], other.points[next]]);
            if old == new {
                continue;
            }
            if stays(at) {
                let moved = [0, 1].into_iter().filter(|end| old[*end] != new[*end]);
                strips.extend(moved.map(|end| Self::new(vec![old[end], new[end]])));
            } else {
                strips.push(Self::new([old, new].concat()));
            }
        }
        strips
    }

    /// Where a straight way enters and leaves it for good, as parts of its length; nothing when it only touches. `cuts` is room to work in.
    #[inline]
    pub fn chord(&self, a: Point, b: Point, cuts: &mut Vec<f64>) -> Option<(f64, f64)> {
        if self.is_far_from(a, b) { None } else { self.chord_nearby(a, b, cuts) }
    }

    /// Whether a straight way passes through it. `cuts` is room to work in.
    #[inline]
    pub fn is_met(&self, [a, b]: &Look, cuts: &mut Vec<f64>) -> bool {
        self.chord(*a, *b, cuts).is_some()
    }

    fn chord_nearby(&self, a: Point, b: Point, cuts: &mut Vec<f64>) -> Option<(f64, f64)> {
        match &self.half_planes {
            Some(half_planes) => clipped(half_planes, a, b),
            None => self.chord_by_cuts(a, b, cuts),
        }
    }

    /// The same for any outline: between which of all the places where the way cuts a side it is inside.
    fn chord_by_cuts(&self, a: Point, b: Point, cuts: &mut Vec<f64>) -> Option<(f64, f64)> {
        if self.is_passed_by(a, b) {
            return None;
        }
        let d = [b[0] - a[0], b[1] - a[1]];
        let length = (d[0] * d[0] + d[1] * d[1]).sqrt();
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

/// The sides of a counter-clockwise outline as half planes; nothing where one of its corners points inward.
fn half_planes(points: &[Point]) -> Option<Vec<[f64; 3]>> {
    let count = points.len();
    let side = |at: usize| {
        let (p, q) = (points[at % count], points[(at + 1) % count]);
        [q[0] - p[0], q[1] - p[1]]
    };
    let turns_left = |at: usize| {
        let (one, two) = (side(at), side(at + 1));
        one[0] * two[1] - one[1] * two[0] >= 0.0
    };
    // All turns to the left and once round: a star turns left as well.
    let turn = |at: usize| {
        let (one, two) = (side(at), side(at + 1));
        (one[0] * two[1] - one[1] * two[0]).atan2(one[0] * two[0] + one[1] * two[1])
    };
    if count < 3 || !(0..count).all(turns_left) || (0..count).map(turn).sum::<f64>() > 7.0 {
        return None;
    }
    let planes = (0..count).filter_map(|at| {
        let (p, [dx, dy]) = (points[at], side(at));
        let length = (dx * dx + dy * dy).sqrt();
        (length > ALONG_M).then(|| {
            let normal = [-dy / length, dx / length];
            [normal[0], normal[1], normal[0] * p[0] + normal[1] * p[1]]
        })
    });
    Some(planes.collect())
}

/// The part of a straight way within all half planes, as parts of its length; nothing when that is no more than touching.
fn clipped(half_planes: &[[f64; 3]], a: Point, b: Point) -> Option<(f64, f64)> {
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for [x, y, least] in half_planes {
        let (at_a, at_b) = (x * a[0] + y * a[1] - least, x * b[0] + y * b[1] - least);
        match (at_a > ALONG_M, at_b > ALONG_M) {
            (true, true) => {}
            (false, false) => return None,
            (false, true) => enters = enters.max(at_a / (at_a - at_b)),
            (true, false) => leaves = leaves.min(at_a / (at_a - at_b)),
        }
    }
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let part = leaves - enters;
    (part > 0.0 && part * part * (dx * dx + dy * dy) > LEAST_CHORD_M * LEAST_CHORD_M).then_some((enters, leaves))
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

    /// Every chord through a convex outline is the same by half planes and by cuts: a lattice of ways through a lopsided pentagon.
    #[test]
    fn half_planes_and_cuts_find_the_same_chords() {
        let five = Ring::new(vec![[0.0, 0.0], [5.0, 0.5], [6.0, 3.0], [2.5, 4.0], [-0.5, 2.0]]);
        assert!(five.half_planes.is_some());
        let places: Vec<Point> =
            (0..64).map(|n| [f64::from(n % 8) * 1.13 - 1.5, f64::from(n / 8) * 0.87 - 1.2]).collect();
        let mut found = 0;
        for (a, b) in places.iter().flat_map(|a| places.iter().map(move |b| (*a, *b))) {
            let (fast, slow) = (five.chord(a, b, &mut Vec::new()), five.chord_by_cuts(a, b, &mut Vec::new()));
            match (fast, slow) {
                (Some(fast), Some(slow)) => {
                    assert!((fast.0 - slow.0).abs() < 1e-8 && (fast.1 - slow.1).abs() < 1e-8, "{fast:?} {slow:?}");
                    found += 1;
                }
                (None, None) => {}
                _ => panic!("{a:?} to {b:?}: {fast:?} by half planes, {slow:?} by cuts"),
            }
        }
        assert!(found > 1000, "{found}");
    }

    /// An inward corner, or a star that winds round twice, is left to the cuts.
    #[test]
    fn only_convex_outlines_are_half_planes() {
        let ell = Ring::new(vec![[0.0, 0.0], [4.0, 0.0], [4.0, 1.0], [1.0, 1.0], [1.0, 4.0], [0.0, 4.0]]);
        assert!(ell.half_planes.is_none());
        let star = |n: u32| (f64::from(n) * 0.8 * std::f64::consts::PI).sin_cos();
        assert!(Ring::new((0..5).map(star).map(|(y, x)| [x, y]).collect()).half_planes.is_none());
    }
}
