//! Tight strings round corners: what a way round a screen is, and how long.

use super::super::memory::Look;
use super::trace::Spot;
use crate::acoustics::outdoors::BarrierPath;

pub(super) type Point = [f64; 2];
pub(super) type Point3 = [f64; 3];

/// Edges nearer to each other than this, m, are one. Own guard.
const ONE_EDGE_M: f64 = 0.05;
/// Edges nearer to each other than this, m, may be the same, and tops to a way over them. Own guard, far above roundoff.
pub(super) const NEAR_M: f64 = 1e-6;

/// A way round a screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::solve) struct Detour {
    /// Its lengths, as ISO 9613-2 counts them.
    pub lengths: BarrierPath,
    /// The first edge, seen from the beginning.
    pub first: Point3,
    /// The last edge.
    pub last: Point3,
}

/// A corner in the plan: which, where it is, and how far along a straight way and off it, or how high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Corner {
    pub turned: Point,
    pub at: Point,
    pub spot: Spot,
}

/// The way along a string from edge to edge; nothing without any edge.
pub(super) fn detour(from: Point3, to: Point3, mut edges: impl Iterator<Item = Point3>) -> Option<Detour> {
    let first = edges.next()?;
    let (mut last, mut between_m) = (first, 0.0);
    for edge in edges {
        between_m += distance(last, edge);
        last = edge;
    }
    let lengths = BarrierPath {
        source_to_edge_m: distance(from, first),
        between_edges_m: if between_m < ONE_EDGE_M { 0.0 } else { between_m },
        edge_to_receiver_m: distance(last, to),
        straight_m: distance(from, to),
    };
    Some(Detour { lengths, first, last })
}

/// A string without its ends.
pub(super) fn inner<T>(string: &[T]) -> &[T] {
    &string[1..string.len() - 1]
}

/// Twice the area, m², of a triangle of three corners that count as lying on one line. Own guard against roundoff.
const FLAT_M2: f64 = 1e-9;

/// Tight string between two ends round what lies to the left of the straight way, ends included: the hull of it all on that side. It is wrapped from
/// corner to corner, which are few.
pub(super) fn wrapped(ends: &[Corner; 2], corners: &[Corner], string: &mut Vec<Corner>) {
    let [mut here, end] = *ends;
    string.clear();
    for _ in 0..=corners.len() {
        string.push(here);
        let mut next: Option<&Corner> = None;
        for corner in corners {
            let to = next.map_or(end.turned, |next| next.turned);
            let outside = cross(here.turned, to, corner.turned);
            // Of corners on one line the farthest, of those at one place none; nothing beyond the end.
            let farther =
                || next.is_some() && squared_distance(here.turned, corner.turned) > squared_distance(here.turned, to);
            if outside > FLAT_M2 || (outside > -FLAT_M2 && farther()) {
                next = Some(corner);
            }
        }
        let Some(next) = next else { break };
        here = *next;
    }
    string.push(end);
}

/// Whether a corner lies on a leg, and not at its ends: one that a string passes without a turn.
pub(super) fn is_within(leg: &Look, corner: Point) -> bool {
    let [p, q] = *leg;
    let along = (corner[0] - p[0]) * (q[0] - p[0]) + (corner[1] - p[1]) * (q[1] - p[1]);
    let near = NEAR_M * flat_distance(p, q);
    cross(p, q, corner).abs() < FLAT_M2 && along > near && along < squared_distance(p, q) - near
}

pub(super) fn distance(a: Point3, b: Point3) -> f64 {
    [0, 1, 2].iter().map(|axis| (a[*axis] - b[*axis]).powi(2)).sum::<f64>().sqrt()
}

pub(super) fn flat_distance(a: Point, b: Point) -> f64 {
    squared_distance(a, b).sqrt()
}

fn squared_distance(a: Point, b: Point) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    dx * dx + dy * dy
}

fn cross(o: Point, a: Point, b: Point) -> f64 {
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}
