//! A straight line between two points, and what stands in it.

use super::super::memory::Look;
use super::string::{Detour, NEAR_M, Point, Point3, flat_distance};

/// A straight line between two points.
pub(super) struct Sight {
    pub a: Point,
    pub b: Point,
    from_m: f64,
    rise_m: f64,
    low_m: f64,
    pub high_m: f64,
}

impl Sight {
    pub fn new(from: Point3, to: Point3) -> Self {
        Self {
            a: [from[0], from[1]],
            b: [to[0], to[1]],
            from_m: from[2],
            rise_m: to[2] - from[2],
            low_m: from[2].min(to[2]),
            high_m: from[2].max(to[2]),
        }
    }

    /// In the plan.
    pub fn look(&self) -> Look {
        [self.a, self.b]
    }

    /// True when some of what stands between two heights lies between those of both ends.
    pub fn is_level_with(&self, bottom_m: f64, top_m: f64) -> bool {
        bottom_m < self.high_m && top_m > self.low_m
    }

    /// Whether it passes what stands between two heights neither above nor below, between two parts of its length.
    pub fn meets(&self, bottom_m: f64, top_m: f64, enters: f64, leaves: f64) -> bool {
        let (one, other) = (self.from_m + enters * self.rise_m, self.from_m + leaves * self.rise_m);
        bottom_m < one.max(other) && top_m > one.min(other)
    }

    /// Whether a way over the top passes well over a top at some part of the length: no edge of the way can be there. A flat top between its edges may be as
    /// high as they are.
    pub fn passes_over(&self, over: &Detour, part: f64, top_m: f64) -> bool {
        let reach_m = flat_distance(self.a, self.b);
        let [first, last] = [over.first, over.last].map(|edge| [flat_distance(self.a, [edge[0], edge[1]]), edge[2]]);
        let string = [[0.0, self.from_m], first, last, [reach_m, self.from_m + self.rise_m]];
        let height_m = |at_m: f64| {
            let over_it = string.windows(2).find(|leg| leg[0][0] <= at_m && at_m <= leg[1][0] && leg[0][0] < leg[1][0]);
            over_it.map_or(f64::NEG_INFINITY, |leg| {
                let [from, to] = [leg[0], leg[1]];
                from[1] + (at_m - from[0]) / (to[0] - from[0]) * (to[1] - from[1])
            })
        };
        let at_m = part * reach_m;
        let well_under = || top_m < height_m(at_m - NEAR_M).min(height_m(at_m + NEAR_M)) - NEAR_M;
        (at_m > first[0] + NEAR_M && at_m < last[0] - NEAR_M && top_m <= height_m(at_m)) || well_under()
    }
}
