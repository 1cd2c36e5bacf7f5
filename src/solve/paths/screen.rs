//! The building as a screen: which rooms stand in a straight way through the open air, and the ways round them.
//!
//! Every room is a prism over its clear outline, from the floor to the ceiling; a loft is one up to the height its storey states, so a
//! pitched roof counts as a box. Outlines are grown by a usual wall, so that no way leads between two rooms through their party wall.

use std::sync::Arc;

use super::super::memory::Look;
use super::changes::{Changes, Holds, Spot, Step, Trace};
use super::ring::{Ring, any_is_met};
use super::sight::Sight;
use super::string::{Corner, Detour, NEAR_M, Point, Point3, detour, flat_distance, inner, wrapped};
use crate::building::{Building, ElementShape, SlabRole, SpaceIndex, SpaceKind};

/// Thickness of the floor under a room that has others below it, m: nothing passes between storeys. Own guess, on the thick side.
const FLOOR_M: f64 = 0.6;
/// What a room's clear outline grows by, m: about an outer wall, at least half of a party wall. Own choice; less than faces lie before it.
pub(super) const WALL_M: f64 = 0.25;

/// A room as a screen.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Prism {
    pub rings: Vec<Ring>,
    pub bottom_m: f64,
    pub top_m: f64,
}

impl Prism {
    /// True when some of it lies between the heights of both ends.
    fn is_level(&self, sight: &Sight) -> bool {
        sight.is_level_with(self.bottom_m, self.top_m)
    }
}

/// Everything that can stand in the way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Screens(pub Arc<[Prism]>);

/// The ways round what stands between two points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::solve) struct Detours {
    /// Over the top.
    pub over: Option<Detour>,
    /// Round the two sides in the plan.
    pub round: [Option<Detour>; 2],
}

impl Detours {
    /// The place of the way over the top among all.
    pub const OVER: usize = 0;

    /// Over the top, to the left, to the right.
    pub fn all(&self) -> [&Option<Detour>; 3] {
        [&self.over, &self.round[0], &self.round[1]]
    }
}

/// Where a search looked, and room to work in, so that many searches ask for no memory of their own.
#[derive(Debug, Default)]
pub(in crate::solve) struct Search {
    /// How the ways round both sides were found.
    pub traces: [Trace; 2],
    /// Which prisms the straight way meets, and from where to where.
    met: Vec<(usize, f64, f64)>,
    cuts: Vec<f64>,
    /// The prisms with some part between the heights of both ends, and whether the straight way meets them.
    level: Vec<(usize, bool)>,
    standing: Vec<bool>,
    /// Legs of all strings tried, and what they lead from and to.
    tried: Vec<(Look, [Spot; 2])>,
    /// Corners to go round, or tops to go over.
    corners: Vec<Corner>,
    /// Where the string round them runs.
    way: Vec<Corner>,
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
        Changes::between(&before.0, &self.0)
    }

    /// True when something stands between two points.
    pub fn block(&self, from: Point3, to: Point3, search: &mut Search) -> bool {
        let sight = Sight::new(from, to);
        self.0.iter().filter(|prism| prism.is_level(&sight)).any(|prism| {
            prism.rings.iter().any(|ring| {
                let chord = ring.chord(sight.a, sight.b, &mut search.cuts);
                chord.is_some_and(|(enters, leaves)| sight.meets(prism.bottom_m, prism.top_m, enters, leaves))
            })
        })
    }

    /// The ways round what stands between two points. Nothing where the view is free. `search` says how it found those round the sides.
    ///
    /// `known`: the ways as they were found before, and what holds of them, which is not looked for again.
    pub fn between(
        &self,
        from: Point3,
        to: Point3,
        search: &mut Search,
        known: Option<(&Detours, Holds)>,
    ) -> Option<Detours> {
        let sight = Sight::new(from, to);
        search.met.clear();
        search.level.clear();
        let mut free = true;
        for (at, prism) in self.0.iter().enumerate() {
            if !prism.is_level(&sight) {
                continue;
            }
            let before = search.met.len();
            for ring in &prism.rings {
                if let Some((enters, leaves)) = ring.chord(sight.a, sight.b, &mut search.cuts) {
                    search.met.push((at, enters, leaves));
                    free &= !sight.meets(prism.bottom_m, prism.top_m, enters, leaves);
                }
            }
            search.level.push((at, search.met.len() > before));
        }
        if free {
            return None;
        }
        let over = match known {
            Some((ways, Holds { straight: true, .. })) => ways.over,
            _ => {
                // What begins above both ends hides neither from the other, but what goes over the top goes over that as well.
                for (at, prism) in self.0.iter().enumerate().filter(|(_, prism)| prism.bottom_m >= sight.high_m) {
                    for ring in &prism.rings {
                        let chord = ring.chord(sight.a, sight.b, &mut search.cuts);
                        search.met.extend(chord.map(|(enters, leaves)| (at, enters, leaves)));
                    }
                }
                self.over(from, to, search)
            }
        };
        let round = [0, 1].map(|side| match known {
            Some((ways, holds)) if holds.sides[side] => ways.round[side],
            _ => self.round(from, to, side, search),
        });
        Some(Detours { over, round })
    }

    /// The tight string over the tops of what was met, in the upright plane of both points.
    fn over(&self, from: Point3, to: Point3, search: &mut Search) -> Option<Detour> {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let reach = (dx * dx + dy * dy).sqrt();
        search.corners.clear();
        let corner = |part: f64, top_m: f64| Corner {
            turned: [part * reach, top_m],
            at: [from[0] + part * dx, from[1] + part * dy],
            // Tops are told by where they are alone.
            spot: Spot::end(0),
        };
        for (at, enters, leaves) in &search.met {
            let top_m = self.0[*at].top_m;
            // The string lies above the straight way everywhere, and touches nothing well below that.
            let counts = |part: &&f64| top_m > from[2] + **part * (to[2] - from[2]) - NEAR_M;
            search
                .corners
                .extend([enters, leaves].iter().filter(|part| counts(part)).map(|part| corner(**part, top_m)));
        }
        wrapped(&[corner(0.0, from[2]), corner(1.0, to[2])], &search.corners, &mut search.way);
        detour(from, to, inner(&search.way).iter().map(|top| [top.at[0], top.at[1], top.turned[1]]))
    }

    /// The tight string round one side in the plan; heights follow evenly along it. Rooms that it meets on its way are gone round as well.
    fn round(&self, from: Point3, to: Point3, side: usize, search: &mut Search) -> Option<Detour> {
        let (a, b) = ([from[0], from[1]], [to[0], to[1]]);
        let length = flat_distance(a, b);
        let direction = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
        // Along the straight way and off it to the side asked for: the left, or the right.
        let off = [1.0, -1.0][side];
        let turned = |p: &Point| {
            let d = [p[0] - a[0], p[1] - a[1]];
            [d[0] * direction[0] + d[1] * direction[1], off * (direction[0] * d[1] - direction[1] * d[0])]
        };
        let Search { traces, cuts, level, standing, tried, corners, way, .. } = search;
        let Trace { legs, steps } = &mut traces[side];
        tried.clear();
        steps.clear();
        corners.clear();
        let add_corners = |prism: usize, corners: &mut Vec<Corner>| {
            for (ring, outline) in self.0[prism].rings.iter().enumerate() {
                for (corner, at) in outline.points.iter().enumerate() {
                    let turned = turned(at);
                    if turned[1] > 0.0 {
                        corners.push(Corner { turned, at: *at, spot: Spot::corner(prism, ring, corner) });
                    }
                }
            }
        };
        standing.clear();
        standing.extend(level.iter().map(|(_, met)| *met));
        for (at, _) in level.iter().filter(|(_, met)| *met) {
            add_corners(*at, corners);
        }
        let end = |number, along, at| Corner { turned: [along, 0.0], at, spot: Spot::end(number) };
        let ends = [end(0, 0.0, a), end(1, length, b)];
        // Each time round at least one more room is gone round, or it is done.
        loop {
            wrapped(&ends, corners, way);
            // Legs that an earlier string had are known to meet nothing more.
            let before = tried.len();
            for leg in way.windows(2) {
                let look = [leg[0].at, leg[1].at];
                if !tried.iter().any(|(known, _)| *known == look) {
                    tried.push((look, [leg[0].spot, leg[1].spot]));
                }
            }
            // Corners that the string went past lie within it, and within every wider one.
            corners.clear();
            corners.extend_from_slice(inner(way));
            let mut more = false;
            for ((at, _), standing) in level.iter().zip(standing.iter_mut()).filter(|(_, standing)| !**standing) {
                let rings = &self.0[*at].rings;
                if let Some((_, leg)) = tried[before..].iter().find(|(look, _)| any_is_met(rings, look, cuts)) {
                    (*standing, more) = (true, true);
                    steps.push(Step::new(*leg, *at));
                    add_corners(*at, corners);
                }
            }
            if !more {
                break;
            }
        }
        legs.clear();
        legs.extend(way.windows(2).map(|leg| [leg[0].at, leg[1].at]));
        let plan_m: f64 = way.windows(2).map(|leg| flat_distance(leg[0].at, leg[1].at)).sum();
        let (mut run_m, mut last) = (0.0, a);
        let raised = inner(way).iter().map(|Corner { at: p, .. }| {
            run_m += flat_distance(*p, last);
            last = *p;
            [p[0], p[1], from[2] + run_m / plan_m * (to[2] - from[2])]
        });
        detour(from, to, raised)
    }
}

fn signed_area(ring: &[Point]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum::<f64>() / 2.0
}

/// A counter-clockwise ring with all sides moved outward by [`WALL_M`].
pub(super) fn grown(ring: &[Point]) -> Vec<Point> {
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

#[cfg(test)]
mod tests {
    use super::super::changes::Looked;
    use super::*;

    fn house() -> Screens {
        let ring = vec![[0.0, 0.0], [8.0, 0.0], [8.0, 6.0], [0.0, 6.0]];
        Screens(Arc::new([Prism { rings: vec![Ring::new(ring)], bottom_m: f64::NEG_INFINITY, top_m: 5.0 }]))
    }

    #[test]
    fn what_lies_before_the_house_is_in_free_view() {
        assert_eq!(house().between([4.0, -0.2, 1.5], [4.0, -20.0, 1.5], &mut Search::default(), None), None);
        // Along a wall and over the roof.
        assert_eq!(house().between([4.0, -0.2, 1.5], [30.0, -0.2, 1.5], &mut Search::default(), None), None);
        assert_eq!(house().between([4.0, -10.0, 9.0], [4.0, 20.0, 9.0], &mut Search::default(), None), None);
    }

    /// Straight through a house of 8 m × 6 m × 5 m: lengths by hand.
    #[test]
    fn behind_it_the_ways_are_over_and_round_both_sides() {
        let ways = house().between([4.0, -3.0, 2.0], [4.0, 10.0, 2.0], &mut Search::default(), None).unwrap();
        let near = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-9, "{got} for {wanted}");
        let over = ways.over.unwrap().lengths;
        near(over.source_to_edge_m, 18f64.sqrt());
        near(over.between_edges_m, 6.0);
        near(over.edge_to_receiver_m, 5.0);
        for way in ways.round.map(Option::unwrap) {
            near(way.lengths.source_to_edge_m, 5.0);
            near(way.lengths.between_edges_m, 6.0);
            near(way.lengths.edge_to_receiver_m, 32f64.sqrt());
        }
    }

    /// From one wall right up, over the roof, and down the other wall: 4 m, 6 m and 4 m.
    #[test]
    fn at_the_walls_the_way_over_ends_where_it_should() {
        let ways = house().between([4.0, 0.0, 1.0], [4.0, 6.0, 1.0], &mut Search::default(), None).unwrap();
        let over = ways.over.unwrap().lengths;
        assert_eq!([over.source_to_edge_m, over.between_edges_m, over.edge_to_receiver_m], [4.0, 6.0, 4.0]);
    }

    /// From one wall to the next round one corner; the other way takes the three others.
    #[test]
    fn round_one_corner_there_is_one_edge() {
        let ways = house().between([7.0, -1.0, 2.0], [9.0, 1.0, 2.0], &mut Search::default(), None);
        assert_eq!(ways, None);
        let ways = house().between([6.0, -0.5, 2.0], [8.5, 3.0, 2.0], &mut Search::default(), None).unwrap();
        let edges: Vec<f64> = ways.round.iter().flatten().map(|way| way.lengths.between_edges_m).collect();
        assert!((edges[0] + edges[1] - 14.0).abs() < 1e-9, "{edges:?}");
        assert!(edges.len() == 2 && edges.contains(&0.0), "{edges:?}");
    }

    /// Rooms of 8 m × 6 m beside each other with a wall of 0.2 m between them: no way leads through that wall.
    #[test]
    fn the_room_next_door_is_gone_round_too() {
        let corners = &house().0[0].rings[0].points;
        let beside: Vec<Point> = corners.iter().map(|p| [p[0] + 8.2, p[1]]).collect();
        let screens = Screens(Arc::from([corners, &beside].map(|corners| Prism {
            rings: vec![Ring::new(grown(corners))],
            bottom_m: f64::NEG_INFINITY,
            top_m: 5.0,
        })));
        assert_eq!(screens.0[0].rings[0].points[0], [-WALL_M, -WALL_M]);
        let ways = screens.between([4.0, -3.0, 2.0], [4.0, 10.0, 2.0], &mut Search::default(), None).unwrap();
        let ends: Vec<f64> = ways.round.iter().flatten().map(|way| way.first[0]).collect();
        let near = |wanted: f64| ends.iter().any(|x_m| (x_m - wanted).abs() < 1e-9);
        assert!(near(16.2 + WALL_M) && near(-WALL_M), "{ends:?}");
    }

    /// A row of three rooms; the one in the middle goes, and there is a way between the others.
    #[test]
    fn a_gap_in_a_row_opens_a_way() {
        let row = |left_m: &[f64]| {
            let room = |left: f64| vec![[left, 0.0], [left + 4.0, 0.0], [left + 4.0, 6.0], [left, 6.0]];
            let prisms = left_m.iter().map(|left| Prism {
                rings: vec![Ring::new(grown(&room(*left)))],
                bottom_m: f64::NEG_INFINITY,
                top_m: 3.0,
            });
            Screens(prisms.collect())
        };
        let (before, after) = (row(&[0.0, 4.2, 8.4]), row(&[0.0, 8.4]));
        let (from, to) = ([2.0, -0.3, 1.5], [2.0, 6.3, 1.5]);
        let mut search = Search::default();
        let old = before.between(from, to, &mut search, None).unwrap();
        let looked = Looked { ends: [from, to], ways: Some(&old), traces: &mut search.traces };
        let holds = after.changes_since(&before).leave(looked);
        let new = after.between(from, to, &mut Search::default(), None).unwrap();
        assert!(old.round[0] == new.round[0] && old.round[1] != new.round[1]);
        assert_eq!(holds, Holds { straight: true, sides: [true, false] });
    }
}
