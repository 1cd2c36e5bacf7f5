//! The building as a screen: which rooms stand in a straight way through the open air, and the ways round them.
//!
//! Every room is a prism over its clear outline, from the floor to the ceiling; a loft is one up to the height its storey states, so a
//! pitched roof counts as a box. Outlines are grown by a usual wall, so that no way leads between two rooms through their party wall.

use super::super::memory::Look;
use super::ring::Ring;
use crate::acoustics::outdoors::BarrierPath;
use crate::building::{Building, ElementShape, SlabRole, SpaceIndex, SpaceKind};

type Point = [f64; 2];
type Point3 = [f64; 3];

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
    rings: Vec<Ring>,
    bottom_m: f64,
    top_m: f64,
}

impl Prism {
    /// True when some of it lies between two heights.
    fn stands_between(&self, low_m: f64, high_m: f64) -> bool {
        self.bottom_m < high_m && self.top_m > low_m
    }
}

/// Everything that can stand in the way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Screens(Vec<Prism>);

/// Rings that stand there now or stood there before, not both.
pub(in crate::solve) struct Changes(Vec<Ring>);

impl Changes {
    /// True when none of them touches this piece of a way.
    pub fn are_out_of(&self, [a, b]: &Look) -> bool {
        self.0.iter().all(|ring| ring.is_passed_by(*a, *b))
    }
}

/// The ways round what stands between two points: over the top, and round the two sides in the plan.
pub(super) type Detours = [Option<Detour>; 3];

/// Where a search looked, and room to work in, so that many searches ask for no memory of their own.
#[derive(Debug, Default)]
pub(in crate::solve) struct Search {
    /// The pieces of the plan along which was looked for what stands in the way.
    pub looks: Vec<Look>,
    /// Which prisms the straight way meets, and from where to where.
    met: Vec<(usize, f64, f64)>,
    cuts: Vec<f64>,
    standing: Vec<bool>,
    /// Points to go round, each with what they are sorted by.
    corners: Vec<(f64, Point)>,
    string: Vec<Point>,
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
            let outer = room.outline.iter().filter(|ring| signed_area(ring) > 0.0);
            Some(Prism {
                rings: outer.map(|ring| Ring::new(grown(ring))).collect(),
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

    /// True when something stands between two points.
    pub fn block(&self, from: Point3, to: Point3, search: &mut Search) -> bool {
        let (a, b) = ([from[0], from[1]], [to[0], to[1]]);
        search.met.clear();
        for (at, prism) in self.0.iter().enumerate() {
            for ring in &prism.rings {
                search.met.extend(ring.chord(a, b, &mut search.cuts).map(|(enters, leaves)| (at, enters, leaves)));
            }
        }
        let height = |part: f64| from[2] + part * (to[2] - from[2]);
        search.met.iter().any(|(at, enters, leaves)| {
            let (low, high) = (height(*enters).min(height(*leaves)), height(*enters).max(height(*leaves)));
            self.0[*at].stands_between(low, high)
        })
    }

    /// The ways round what stands between two points. Nothing where the view is free. Where it looked is added to the looks of `search`.
    pub fn between(&self, from: Point3, to: Point3, search: &mut Search) -> Option<Detours> {
        search.looks.push([[from[0], from[1]], [to[0], to[1]]]);
        if !self.block(from, to, search) {
            return None;
        }
        Some([self.over(from, to, search), self.round(from, to, 1.0, search), self.round(from, to, -1.0, search)])
    }

    /// The tight string over the tops of what was met, in the upright plane of both points.
    fn over(&self, from: Point3, to: Point3, search: &mut Search) -> Option<Detour> {
        let reach = (to[0] - from[0]).hypot(to[1] - from[1]);
        search.corners.clear();
        for (at, enters, leaves) in &search.met {
            let top_m = self.0[*at].top_m;
            search.corners.extend([enters, leaves].map(|part| (part * reach, [part * reach, top_m])));
        }
        tight([0.0, from[2]], [reach, to[2]], &mut search.corners, &mut search.string);
        let place = |p: &Point| {
            let part = p[0] / reach;
            [from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1]), p[1]]
        };
        detour(true, from, to, inner(&search.string).iter().map(place))
    }

    /// The tight string round one side in the plan; heights follow evenly along it. Rooms that it meets on its way are gone round as well.
    fn round(&self, from: Point3, to: Point3, side: f64, search: &mut Search) -> Option<Detour> {
        let (a, b) = ([from[0], from[1]], [to[0], to[1]]);
        let (low, high) = (from[2].min(to[2]), from[2].max(to[2]));
        let length = (b[0] - a[0]).hypot(b[1] - a[1]);
        let direction = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
        // Along the straight way and off it to the side asked for.
        let turned = |p: &Point| {
            let d = [p[0] - a[0], p[1] - a[1]];
            [d[0] * direction[0] + d[1] * direction[1], side * (direction[0] * d[1] - direction[1] * d[0])]
        };
        let back = |p: &Point| {
            let off = side * p[1];
            [a[0] + p[0] * direction[0] - off * direction[1], a[1] + p[0] * direction[1] + off * direction[0]]
        };
        let Search { looks, met, cuts, standing, corners, string: way } = search;
        standing.clear();
        standing.resize(self.0.len(), false);
        corners.clear();
        let add_corners = |prism: &Prism, corners: &mut Vec<(f64, Point)>| {
            let points = prism.rings.iter().flat_map(|ring| &ring.points).map(turned).filter(|p| p[1] > 0.0);
            // By the angle at the start, from straight back to straight ahead.
            corners.extend(points.map(|p| (p[0] / p[1], p)));
        };
        for (at, ..) in met.iter() {
            let prism = &self.0[*at];
            if !standing[*at] && prism.stands_between(low, high) {
                standing[*at] = true;
                add_corners(prism, corners);
            }
        }
        for _ in 0..MOST_ROUNDS {
            tight([0.0, 0.0], [length, 0.0], corners, way);
            let last = way.len() - 1;
            for p in &mut way[1..last] {
                *p = back(p);
            }
            (way[0], way[last]) = (a, b);
            looks.extend(way.windows(2).map(|leg| [leg[0], leg[1]]));
            let mut more = false;
            for (prism, standing) in self.0.iter().zip(standing.iter_mut()) {
                if *standing || !prism.stands_between(low, high) {
                    continue;
                }
                let mut meets = |ring: &Ring| way.windows(2).any(|leg| ring.chord(leg[0], leg[1], cuts).is_some());
                if prism.rings.iter().any(&mut meets) {
                    (*standing, more) = (true, true);
                    add_corners(prism, corners);
                }
            }
            if !more {
                break;
            }
        }
        let plan_m: f64 = way.windows(2).map(|leg| (leg[1][0] - leg[0][0]).hypot(leg[1][1] - leg[0][1])).sum();
        let (mut run_m, mut last) = (0.0, a);
        let raised = inner(way).iter().map(|p| {
            run_m += (p[0] - last[0]).hypot(p[1] - last[1]);
            last = *p;
            [p[0], p[1], from[2] + run_m / plan_m * (to[2] - from[2])]
        });
        detour(false, from, to, raised)
    }
}

fn detour(over: bool, from: Point3, to: Point3, mut edges: impl Iterator<Item = Point3>) -> Option<Detour> {
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

/// A string without its ends.
fn inner(string: &[Point]) -> &[Point] {
    &string[1..string.len() - 1]
}

/// Tight string from `start` to `end` over points above both or their axis, ends included. The points come with what orders them along it: the
/// distance, or for points that may lie behind either end the cotangent of their angle at the start; of equal ones the lower goes first.
fn tight(start: Point, end: Point, points: &mut [(f64, Point)], string: &mut Vec<Point>) {
    points.sort_unstable_by(|p, q| p.0.total_cmp(&q.0).then(p.1[1].total_cmp(&q.1[1])));
    string.clear();
    string.push(start);
    for p in points.iter().map(|(_, p)| *p).chain([end]) {
        while let [.., o, last] = string[..]
            && cross(o, last, p) >= -1e-9
        {
            string.pop();
        }
        string.push(p);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn house() -> Screens {
        let ring = vec![[0.0, 0.0], [8.0, 0.0], [8.0, 6.0], [0.0, 6.0]];
        Screens(vec![Prism { rings: vec![Ring::new(ring)], bottom_m: f64::NEG_INFINITY, top_m: 5.0 }])
    }

    #[test]
    fn what_lies_before_the_house_is_in_free_view() {
        assert_eq!(house().between([4.0, -0.2, 1.5], [4.0, -20.0, 1.5], &mut Search::default()), None);
        // Along a wall and over the roof.
        assert_eq!(house().between([4.0, -0.2, 1.5], [30.0, -0.2, 1.5], &mut Search::default()), None);
        assert_eq!(house().between([4.0, -10.0, 9.0], [4.0, 20.0, 9.0], &mut Search::default()), None);
    }

    /// Straight through a house of 8 m × 6 m × 5 m: lengths by hand.
    #[test]
    fn behind_it_the_ways_are_over_and_round_both_sides() {
        let ways = house().between([4.0, -3.0, 2.0], [4.0, 10.0, 2.0], &mut Search::default()).unwrap();
        let near = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-9, "{got} for {wanted}");
        assert_eq!(ways.iter().flatten().map(|way| way.over).collect::<Vec<_>>(), [true, false, false]);
        near(ways[0].unwrap().lengths.source_to_edge_m, 18f64.sqrt());
        near(ways[0].unwrap().lengths.between_edges_m, 6.0);
        near(ways[0].unwrap().lengths.edge_to_receiver_m, 5.0);
        for way in ways[1..].iter().flatten() {
            near(way.lengths.source_to_edge_m, 5.0);
            near(way.lengths.between_edges_m, 6.0);
            near(way.lengths.edge_to_receiver_m, 32f64.sqrt());
        }
    }

    /// From one wall to the next round one corner; the other way takes the three others.
    #[test]
    fn round_one_corner_there_is_one_edge() {
        let ways = house().between([7.0, -1.0, 2.0], [9.0, 1.0, 2.0], &mut Search::default());
        assert_eq!(ways, None);
        let ways = house().between([6.0, -0.5, 2.0], [8.5, 3.0, 2.0], &mut Search::default()).unwrap();
        let edges: Vec<f64> =
            ways.iter().flatten().filter(|way| !way.over).map(|way| way.lengths.between_edges_m).collect();
        assert!((edges[0] + edges[1] - 14.0).abs() < 1e-9, "{edges:?}");
        assert!(edges.len() == 2 && edges.contains(&0.0), "{edges:?}");
    }

    /// Rooms of 8 m × 6 m beside each other with a wall of 0.2 m between them: no way leads through that wall.
    #[test]
    fn the_room_next_door_is_gone_round_too() {
        let mut screens = house();
        let beside: Vec<Point> = screens.0[0].rings[0].points.iter().map(|p| [p[0] + 8.2, p[1]]).collect();
        screens.0.push(Prism { rings: vec![Ring::new(beside)], bottom_m: f64::NEG_INFINITY, top_m: 5.0 });
        for prism in &mut screens.0 {
            prism.rings = prism.rings.iter().map(|ring| Ring::new(grown(&ring.points))).collect();
        }
        assert_eq!(screens.0[0].rings[0].points[0], [-WALL_M, -WALL_M]);
        let ways = screens.between([4.0, -3.0, 2.0], [4.0, 10.0, 2.0], &mut Search::default()).unwrap();
        let ends: Vec<f64> = ways.iter().flatten().filter(|way| !way.over).map(|way| way.first[0]).collect();
        let near = |wanted: f64| ends.iter().any(|x_m| (x_m - wanted).abs() < 1e-9);
        assert!(near(16.2 + WALL_M) && near(-WALL_M), "{ends:?}");
    }
}
