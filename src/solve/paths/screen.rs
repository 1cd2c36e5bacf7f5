//! The building as a screen: which rooms stand in a straight way through the open air, and the ways round them.
//!
//! Every room is a prism over its clear outline, from the floor to the ceiling; a loft is one up to the height its storey states, so a
//! pitched roof counts as a box. Outlines are grown by a usual wall, so that no way leads between two rooms through their party wall.

use super::super::memory::Look;
use crate::acoustics::outdoors::BarrierPath;
use crate::building::{Building, ElementShape, SlabRole, SpaceIndex, SpaceKind};

type Point = [f64; 2];
type Point3 = [f64; 3];

/// A way that passes less than this through a room, m, touches it only. Own guard against roundoff.
const LEAST_CHORD_M: f64 = 0.05;
/// Edges nearer to each other than this, m, are one. Own guard.
const ONE_EDGE_M: f64 = 0.05;
/// Thickness of the floor under a room that has others below it, m: nothing passes between storeys. Own guess, on the thick side.
const FLOOR_M: f64 = 0.6;
/// What a room's clear outline grows by, m: about an outer wall, at least half of a party wall. Own choice; less than faces lie before it.
pub(super) const WALL_M: f64 = 0.25;
/// Rounds of drawing the way round further rooms that it met. Own guard.
const MOST_ROUNDS: usize = 8;

/// A way round a screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Detour {
    /// True over a roof, false round a corner.
    pub over: bool,
    /// Its lengths, as ISO 9613-2 counts them.
    pub lengths: BarrierPath,
    /// The first edge, seen from the beginning.
    pub first: Point3,
    /// The last edge.
    pub last: Point3,
}

#[derive(Debug, Clone, PartialEq)]
struct Prism {
    rings: Vec<Vec<Point>>,
    bottom_m: f64,
    top_m: f64,
}

/// Everything that can stand in the way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Screens(Vec<Prism>);

/// Rings that stand there now or stood there before, not both.
pub(in crate::solve) struct Changes(Vec<Vec<Point>>);

impl Changes {
    /// True when none of them touches this piece of a way.
    pub fn are_out_of(&self, [a, b]: &Look) -> bool {
        self.0.iter().all(|ring| passes_by(ring, *a, *b))
    }
}

impl Screens {
    /// The rooms of a building.
    pub fn of(building: &Building) -> Self {
        let levels = |at: usize| {
            building.elements.iter().find_map(|element| match &element.shape {
                ElementShape::Wall { storey, level_m, .. } if *storey == at => Some(*level_m),
                _ => None,
            })
        };
        let rooms = building.spaces.iter().enumerate().filter_map(|(at, space)| {
            let SpaceKind::Room(room) = &space.kind else { return None };
            let level_m = levels(room.storey)?;
            let grounded = building.elements.iter().any(|element| {
                element.sides.contains(&SpaceIndex(at))
                    && matches!(element.shape, ElementShape::Slab { role: SlabRole::Ground, .. })
            });
            Some(Prism {
                rings: room.outline.iter().filter(|ring| signed_area(ring) > 0.0).map(|ring| grown(ring)).collect(),
                bottom_m: if grounded { f64::NEG_INFINITY } else { level_m - FLOOR_M },
                top_m: level_m + room.height_m,
            })
        });
        Self(rooms.collect())
    }

    /// What differs from other screens.
    pub fn changes_since(&self, before: &Self) -> Changes {
        let only_in = |one: &Self, other: &Self| {
            let fresh = one.0.iter().filter(|prism| !other.0.contains(prism));
            fresh.flat_map(|prism| prism.rings.clone()).collect::<Vec<_>>()
        };
        Changes([only_in(self, before), only_in(before, self)].concat())
    }

    /// The ways round what stands between two points: over the top, and round both sides in the plan. Nothing where the view is free.
    /// Where it looked is added to `looks`.
    pub fn between(&self, from: Point3, to: Point3, looks: &mut Vec<Look>) -> Option<Vec<Detour>> {
        looks.push([[from[0], from[1]], [to[0], to[1]]]);
        let plan = ([from[0], from[1]], [to[0], to[1]]);
        let met: Vec<(usize, f64, f64)> = self
            .0
            .iter()
            .enumerate()
            .flat_map(|(at, prism)| prism.rings.iter().map(move |ring| (at, ring)))
            .filter_map(|(at, ring)| chord(ring, plan.0, plan.1).map(|(enters, leaves)| (at, enters, leaves)))
            .collect();
        let height = |part: f64| from[2] + part * (to[2] - from[2]);
        let blocked = met.iter().any(|(at, enters, leaves)| {
            let (low, high) = (height(*enters).min(height(*leaves)), height(*enters).max(height(*leaves)));
            low < self.0[*at].top_m && high > self.0[*at].bottom_m
        });
        if !blocked {
            return None;
        }
        let over = self.over(from, to, &met);
        let round = [1.0, -1.0].map(|side| self.round(from, to, &met, side, looks));
        Some(over.into_iter().chain(round.into_iter().flatten()).collect())
    }

    /// The tight string over the tops, in the upright plane of both points.
    fn over(&self, from: Point3, to: Point3, met: &[(usize, f64, f64)]) -> Option<Detour> {
        let reach = (to[0] - from[0]).hypot(to[1] - from[1]);
        let tops = met.iter().flat_map(|(at, enters, leaves)| {
            let top_m = self.0[*at].top_m;
            [[enters * reach, top_m], [leaves * reach, top_m]]
        });
        let string = tight([0.0, from[2]], [reach, to[2]], tops);
        let place = |p: Point| {
            let part = p[0] / reach;
            [from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1]), p[1]]
        };
        detour(true, from, to, &string.into_iter().map(place).collect::<Vec<_>>())
    }

    /// The tight string round one side in the plan; heights follow evenly along it. Rooms that it meets on its way are gone round as well.
    fn round(
        &self,
        from: Point3,
        to: Point3,
        met: &[(usize, f64, f64)],
        side: f64,
        looks: &mut Vec<Look>,
    ) -> Option<Detour> {
        let (a, b) = ([from[0], from[1]], [to[0], to[1]]);
        let (low, high) = (from[2].min(to[2]), from[2].max(to[2]));
        let stands = |prism: &Prism| prism.bottom_m < high && prism.top_m > low;
        let length = (b[0] - a[0]).hypot(b[1] - a[1]);
        let direction = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
        // Along the straight way and off it to the side asked for.
        let turned = |p: &Point| {
            let d = [p[0] - a[0], p[1] - a[1]];
            [d[0] * direction[0] + d[1] * direction[1], side * (direction[0] * d[1] - direction[1] * d[0])]
        };
        let back = |p: Point| {
            let off = side * p[1];
            [a[0] + p[0] * direction[0] - off * direction[1], a[1] + p[0] * direction[1] + off * direction[0]]
        };
        let mut standing: Vec<bool> = vec![false; self.0.len()];
        for (at, ..) in met {
            standing[*at] = stands(&self.0[*at]);
        }
        let mut string = Vec::new();
        for _ in 0..MOST_ROUNDS {
            let corners = self
                .0
                .iter()
                .zip(&standing)
                .filter(|(_, standing)| **standing)
                .flat_map(|(prism, _)| prism.rings.iter().flatten())
                .map(turned)
                .filter(|p| p[1] > 0.0);
            string = round_hull(length, corners).into_iter().map(back).collect::<Vec<Point>>();
            let way: Vec<Point> = std::iter::once(a).chain(string.iter().copied()).chain([b]).collect();
            looks.extend(way.windows(2).map(|leg| [leg[0], leg[1]]));
            let mut more = false;
            for (prism, standing) in self.0.iter().zip(&mut standing).filter(|(prism, _)| stands(prism)) {
                let meets = |ring: &Vec<Point>| way.windows(2).any(|leg| chord(ring, leg[0], leg[1]).is_some());
                if !*standing && prism.rings.iter().any(meets) {
                    (*standing, more) = (true, true);
                }
            }
            if !more {
                break;
            }
        }
        let plan_m: f64 = std::iter::once(a)
            .chain(string.iter().copied())
            .chain([b])
            .collect::<Vec<_>>()
            .windows(2)
            .map(|leg| (leg[1][0] - leg[0][0]).hypot(leg[1][1] - leg[0][1]))
            .sum();
        let (mut run_m, mut last) = (0.0, a);
        let raised: Vec<Point3> = string
            .iter()
            .map(|p| {
                run_m += (p[0] - last[0]).hypot(p[1] - last[1]);
                last = *p;
                [p[0], p[1], from[2] + run_m / plan_m * (to[2] - from[2])]
            })
            .collect();
        detour(false, from, to, &raised)
    }
}

fn detour(over: bool, from: Point3, to: Point3, edges: &[Point3]) -> Option<Detour> {
    let (first, last) = (*edges.first()?, *edges.last()?);
    let between_m: f64 = edges.windows(2).map(|leg| distance(leg[0], leg[1])).sum();
    let lengths = BarrierPath {
        source_to_edge_m: distance(from, first),
        between_edges_m: if between_m < ONE_EDGE_M { 0.0 } else { between_m },
        edge_to_receiver_m: distance(last, to),
        straight_m: distance(from, to),
    };
    Some(Detour { over, lengths, first, last })
}

fn distance(a: Point3, b: Point3) -> f64 {
    [0, 1, 2].iter().map(|axis| (a[*axis] - b[*axis]).powi(2)).sum::<f64>().sqrt()
}

fn cross(o: Point, a: Point, b: Point) -> f64 {
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}

fn signed_area(ring: &[Point]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum::<f64>() / 2.0
}

/// A counter-clockwise ring with all sides moved outward by [`WALL_M`].
fn grown(ring: &[Point]) -> Vec<Point> {
    let outward = |p: Point, q: Point| {
        let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
        let length = dx.hypot(dy).max(1e-9);
        [dy / length, -dx / length]
    };
    let count = ring.len();
    let corners = (0..count).map(|at| {
        let (before, here, after) = (ring[(at + count - 1) % count], ring[at], ring[(at + 1) % count]);
        let (one, two) = (outward(before, here), outward(here, after));
        // Sharp spikes grow no further than a right angle's corner.
        let scale = WALL_M / (1.0 + one[0] * two[0] + one[1] * two[1]).max(1.0);
        [here[0] + scale * (one[0] + two[0]), here[1] + scale * (one[1] + two[1])]
    });
    corners.collect()
}

/// Upper tight string from `a` to `b` (to the right of it) over points between them, without its ends.
fn tight(a: Point, b: Point, points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut sorted: Vec<Point> = points.collect();
    sorted.sort_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
    sorted.push(b);
    let mut string = vec![a];
    for p in sorted {
        while let [.., o, last] = string[..]
            && cross(o, last, p) >= -1e-9
        {
            string.pop();
        }
        string.push(p);
    }
    string[1..string.len() - 1].to_vec()
}

/// Convex way from (0, 0) to (length, 0) round points above the axis, which may lie behind either end; without its ends.
fn round_hull(length: f64, points: impl Iterator<Item = Point>) -> Vec<Point> {
    let (start, end) = ([0.0, 0.0], [length, 0.0]);
    let mut all: Vec<Point> = points.collect();
    // By the angle at the start, from straight back to straight ahead; the nearer first.
    let cotangent = |p: &Point| p[0] / p[1];
    all.sort_by(|p, q| cotangent(p).total_cmp(&cotangent(q)).then(p[1].total_cmp(&q[1])));
    all.push(end);
    let mut string = vec![start];
    for p in all {
        while let [.., o, last] = string[..]
            && cross(o, last, p) >= -1e-9
        {
            string.pop();
        }
        string.push(p);
    }
    string[1..string.len() - 1].to_vec()
}

/// True when a ring lies wholly to one side of a straight way, or beyond its ends: most do, and need no cuts.
fn passes_by(ring: &[Point], a: Point, b: Point) -> bool {
    let d = [b[0] - a[0], b[1] - a[1]];
    let squared = d[0] * d[0] + d[1] * d[1];
    let (mut off, mut along) = ([f64::INFINITY, f64::NEG_INFINITY], [f64::INFINITY, f64::NEG_INFINITY]);
    for p in ring {
        let w = [p[0] - a[0], p[1] - a[1]];
        let (across, ahead) = (d[0] * w[1] - d[1] * w[0], d[0] * w[0] + d[1] * w[1]);
        off = [off[0].min(across), off[1].max(across)];
        along = [along[0].min(ahead), along[1].max(ahead)];
    }
    // Ring and way may touch: what barely does is left to the cuts.
    let near = 1e-6 * squared.sqrt();
    off[0] > near || off[1] < -near || along[0] > squared + near || along[1] < -near
}

/// Where a straight way enters and leaves a ring for good, as parts of its length; nothing when it only touches.
fn chord(ring: &[Point], a: Point, b: Point) -> Option<(f64, f64)> {
    let d = [b[0] - a[0], b[1] - a[1]];
    if passes_by(ring, a, b) {
        return None;
    }
    let length = d[0].hypot(d[1]);
    let mut cuts = vec![0.0, 1.0];
    for (p, q) in ring.iter().zip(ring.iter().cycle().skip(1)) {
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
    cuts.sort_by(f64::total_cmp);
    let inside = cuts.windows(2).filter(|pair| {
        let middle = f64::midpoint(pair[0], pair[1]);
        (pair[1] - pair[0]) * length > LEAST_CHORD_M / 10.0
            && contains(ring, [a[0] + middle * d[0], a[1] + middle * d[1]])
    });
    let (mut within, mut ends) = (0.0, None);
    for pair in inside {
        within += (pair[1] - pair[0]) * length;
        ends = Some((ends.map_or(pair[0], |(enters, _)| enters), pair[1]));
    }
    ends.filter(|_| within > LEAST_CHORD_M)
}

fn contains(ring: &[Point], point: Point) -> bool {
    let mut inside = false;
    for (p, q) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        if (p[1] > point[1]) != (q[1] > point[1]) && point[0] < p[0] + (point[1] - p[1]) / (q[1] - p[1]) * (q[0] - p[0])
        {
            inside = !inside;
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    fn house() -> Screens {
        let ring = vec![[0.0, 0.0], [8.0, 0.0], [8.0, 6.0], [0.0, 6.0]];
        Screens(vec![Prism { rings: vec![ring], bottom_m: f64::NEG_INFINITY, top_m: 5.0 }])
    }

    #[test]
    fn what_lies_before_the_house_is_in_free_view() {
        assert_eq!(house().between([4.0, -0.2, 1.5], [4.0, -20.0, 1.5], &mut Vec::new()), None);
        // Along a wall and over the roof.
        assert_eq!(house().between([4.0, -0.2, 1.5], [30.0, -0.2, 1.5], &mut Vec::new()), None);
        assert_eq!(house().between([4.0, -10.0, 9.0], [4.0, 20.0, 9.0], &mut Vec::new()), None);
    }

    /// Straight through a house of 8 m × 6 m × 5 m: lengths by hand.
    #[test]
    fn behind_it_the_ways_are_over_and_round_both_sides() {
        let ways = house().between([4.0, -3.0, 2.0], [4.0, 10.0, 2.0], &mut Vec::new()).unwrap();
        let near = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-9, "{got} for {wanted}");
        assert_eq!(ways.iter().map(|way| way.over).collect::<Vec<_>>(), [true, false, false]);
        near(ways[0].lengths.source_to_edge_m, 18f64.sqrt());
        near(ways[0].lengths.between_edges_m, 6.0);
        near(ways[0].lengths.edge_to_receiver_m, 5.0);
        for way in &ways[1..] {
            near(way.lengths.source_to_edge_m, 5.0);
            near(way.lengths.between_edges_m, 6.0);
            near(way.lengths.edge_to_receiver_m, 32f64.sqrt());
        }
    }

    /// From one wall to the next round one corner; the other way takes the three others.
    #[test]
    fn round_one_corner_there_is_one_edge() {
        let ways = house().between([7.0, -1.0, 2.0], [9.0, 1.0, 2.0], &mut Vec::new());
        assert_eq!(ways, None);
        let ways = house().between([6.0, -0.5, 2.0], [8.5, 3.0, 2.0], &mut Vec::new()).unwrap();
        let edges: Vec<f64> = ways.iter().filter(|way| !way.over).map(|way| way.lengths.between_edges_m).collect();
        assert!((edges[0] + edges[1] - 14.0).abs() < 1e-9, "{edges:?}");
        assert!(edges.len() == 2 && edges.contains(&0.0), "{edges:?}");
    }

    /// Rooms of 8 m × 6 m beside each other with a wall of 0.2 m between them: no way leads through that wall.
    #[test]
    fn the_room_next_door_is_gone_round_too() {
        let mut screens = house();
        let beside: Vec<Point> = screens.0[0].rings[0].iter().map(|p| [p[0] + 8.2, p[1]]).collect();
        screens.0.push(Prism { rings: vec![beside], bottom_m: f64::NEG_INFINITY, top_m: 5.0 });
        for prism in &mut screens.0 {
            prism.rings = prism.rings.iter().map(|ring| grown(ring)).collect();
        }
        assert_eq!(screens.0[0].rings[0][0], [-WALL_M, -WALL_M]);
        let ways = screens.between([4.0, -3.0, 2.0], [4.0, 10.0, 2.0], &mut Vec::new()).unwrap();
        let ends: Vec<f64> = ways.iter().filter(|way| !way.over).map(|way| way.first[0]).collect();
        let near = |wanted: f64| ends.iter().any(|x_m| (x_m - wanted).abs() < 1e-9);
        assert!(near(16.2 + WALL_M) && near(-WALL_M), "{ends:?}");
    }
}
