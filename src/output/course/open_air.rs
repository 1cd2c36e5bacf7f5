//! Round the building in the open: straight where nothing stands in the way, else along its rim by the shorter side.

use crate::building::{Building, ElementShape};
use crate::geometry::convex_hull;

use super::{Point3, distance};

/// How far from the building's rim a course keeps, m. Own choice, for pictures only.
const OFF_M: f64 = 0.7;

/// What lies over and under an outer wall is in the way too, m. Own choice, for pictures only.
const SLAB_M: f64 = 0.5;

/// An outer wall, as something that stands in the way.
#[derive(Debug, Clone, Copy)]
struct Screen {
    line: [[f64; 2]; 2],
    foot_m: f64,
    top_m: f64,
}

/// What stands in the open, and the way round it.
#[derive(Debug, Clone)]
pub(super) struct OpenAir {
    screens: Vec<Screen>,
    /// The convex rim of all of it, counter-clockwise, a little off it.
    rim: Vec<[f64; 2]>,
}

impl OpenAir {
    pub(super) fn round(building: &Building) -> Self {
        let outdoors = building.outdoors();
        let screens: Vec<Screen> = building
            .elements
            .iter()
            .filter(|element| element.sides.contains(&outdoors))
            .filter_map(|element| match element.shape {
                ElementShape::Wall { line, level_m, height_m, .. } => {
                    Some(Screen { line, foot_m: level_m - SLAB_M, top_m: level_m + height_m + SLAB_M })
                }
                ElementShape::Slab { .. } => None,
            })
            .collect();
        let corners = screens.iter().flat_map(|screen| screen.line);
        // Each corner as a small square, so that the rim keeps off the building everywhere.
        let off = corners.flat_map(|[x, y]| {
            [[-OFF_M, -OFF_M], [OFF_M, -OFF_M], [OFF_M, OFF_M], [-OFF_M, OFF_M]].map(|[dx, dy]| [x + dx, y + dy])
        });
        Self { rim: convex_hull(off.map(Into::into).collect()).into_iter().map(Into::into).collect(), screens }
    }

    /// The corners of a way from one point to another.
    pub(super) fn between(&self, from: Point3, to: Point3) -> Vec<Point3> {
        if self.is_clear(from, to) || self.rim.len() < 3 {
            return vec![];
        }
        let (a, b) = (self.beside(from), self.beside(to));
        let mut backwards = self.along_rim(b, a);
        backwards.reverse();
        let mut best: Vec<Point3> = vec![];
        let mut least_m = f64::INFINITY;
        for way in [self.along_rim(a, b), backwards] {
            let flat: Vec<[f64; 2]> = std::iter::once(self.on_rim(a)).chain(way).chain([self.on_rim(b)]).collect();
            let count = flat.len() as f64 + 1.0;
            let last = flat.len() - 1;
            let raised = flat.iter().enumerate().map(|(at, [x, y])| {
                let part = (at as f64 + 1.0) / count;
                // From a roof it first gets clear of the eaves.
                let z = match at {
                    0 if self.is_over(from) => from[2],
                    at if at == last && self.is_over(to) => to[2],
                    _ => from[2] + part * (to[2] - from[2]),
                };
                [*x, *y, z]
            });
            let corners = self.shortened(from, raised.collect(), to);
            let whole: Vec<Point3> = std::iter::once(from).chain(corners.iter().copied()).chain([to]).collect();
            let length_m = whole.windows(2).map(|leg| distance(leg[0], leg[1])).sum();
            if length_m < least_m {
                (least_m, best) = (length_m, corners);
            }
        }
        best
    }

    /// Leaves out corners that need not be gone to.
    fn shortened(&self, from: Point3, corners: Vec<Point3>, to: Point3) -> Vec<Point3> {
        let all: Vec<Point3> = std::iter::once(from).chain(corners).chain([to]).collect();
        let (mut at, mut kept) = (0, vec![]);
        while at + 1 < all.len() {
            let next = (at + 1..all.len()).rev().find(|other| self.is_clear(all[at], all[*other])).unwrap_or(at + 1);
            if next + 1 < all.len() {
                kept.push(all[next]);
            }
            at = next;
        }
        kept
    }

    /// True within the rim: over a roof.
    fn is_over(&self, [x, y, _]: Point3) -> bool {
        let sides = self.rim.iter().zip(self.rim.iter().cycle().skip(1));
        sides.into_iter().all(|(p, q)| (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]) > 0.0)
    }

    fn is_clear(&self, from: Point3, to: Point3) -> bool {
        self.screens.iter().all(|screen| {
            crossing([from[0], from[1]], [to[0], to[1]], screen.line).is_none_or(|part| {
                let z = from[2] + part * (to[2] - from[2]);
                z < screen.foot_m || z > screen.top_m
            })
        })
    }

    /// The side of the rim nearest to a point (position of its first corner), and where on it, 0 to 1.
    fn beside(&self, point: Point3) -> (usize, f64) {
        let mut best = (0, 0.0);
        let mut least = f64::INFINITY;
        for at in 0..self.rim.len() {
            let part = super::along(point, self.rim[at], self.rim[(at + 1) % self.rim.len()]);
            let [x, y] = self.on_rim((at, part));
            let off = (x - point[0]).hypot(y - point[1]);
            if off < least {
                (least, best) = (off, (at, part));
            }
        }
        best
    }

    fn on_rim(&self, (side, part): (usize, f64)) -> [f64; 2] {
        let (p, q) = (self.rim[side], self.rim[(side + 1) % self.rim.len()]);
        [p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1])]
    }

    /// The corners met counter-clockwise from a point of one side to a point of another.
    fn along_rim(&self, (from, start): (usize, f64), (to, end): (usize, f64)) -> Vec<[f64; 2]> {
        let count = self.rim.len();
        let mut steps = (to + count - from) % count;
        if steps == 0 && end < start {
            steps = count;
        }
        (1..=steps).map(|step| self.rim[(from + step) % count]).collect()
    }
}

/// Where along a leg it crosses a line, 0 to 1; nothing where it does not.
fn crossing(from: [f64; 2], to: [f64; 2], [p, q]: [[f64; 2]; 2]) -> Option<f64> {
    let (d, e) = ([to[0] - from[0], to[1] - from[1]], [q[0] - p[0], q[1] - p[1]]);
    let across = d[0] * e[1] - d[1] * e[0];
    if across.abs() < 1e-12 {
        return None;
    }
    let w = [p[0] - from[0], p[1] - from[1]];
    let part = (w[0] * e[1] - w[1] * e[0]) / across;
    let other = (w[0] * d[1] - w[1] * d[0]) / across;
    ((0.0..=1.0).contains(&part) && (0.0..=1.0).contains(&other)).then_some(part)
}
