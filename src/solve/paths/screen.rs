//! The building as a screen: what stands in a straight way through the open air, and the ways round it.

use std::sync::Arc;

use super::super::memory::Look;
use super::changes::{Changes, Holds};
use super::prism::{Level, Prism};
use super::sight::Sight;
use super::string::{Corner, Detour, NEAR_M, Point, Point3, detour, flat_distance, inner, wrapped};
use super::trace::{Spot, Step, Trace};
use crate::building::Building;

/// Everything that can stand in the way.
#[derive(Debug, Clone)]
pub(super) struct Screens {
    pub prisms: Arc<[Prism]>,
    /// The rooms these are put together from.
    levels: Arc<[Level]>,
}

impl PartialEq for Screens {
    /// Whether the same stands in the way, of whatever rooms.
    fn eq(&self, other: &Self) -> bool {
        self.prisms == other.prisms
    }
}

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

#[cfg(test)]
impl From<Vec<Prism>> for Screens {
    fn from(prisms: Vec<Prism>) -> Self {
        Self { prisms: prisms.into(), levels: Arc::new([]) }
    }
}

impl Screens {
    /// The houses of a building. What was put together `before` is taken over.
    pub fn of(building: &Building, before: Option<&Self>) -> Self {
        let levels = Level::all_of(building, before.map_or(&[], |before| &before.levels));
        let prisms = levels.iter().flat_map(Level::prisms).cloned().collect();
        Self { prisms, levels }
    }

    /// What differs from other screens.
    pub fn changes_since(&self, before: &Self) -> Changes {
        Changes::between(&before.prisms, &self.prisms)
    }

    /// True when something stands between two points.
    pub fn block(&self, from: Point3, to: Point3, search: &mut Search) -> bool {
        let sight = Sight::new(from, to);
        self.prisms.iter().filter(|prism| prism.is_level(&sight)).any(|prism| {
            let chord = prism.ring.chord(sight.a, sight.b, &mut search.cuts);
            chord.is_some_and(|(enters, leaves)| sight.meets(prism.bottom_m, prism.top_m, enters, leaves))
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
        for (at, prism) in self.prisms.iter().enumerate() {
            if !prism.is_level(&sight) {
                continue;
            }
            let chord = prism.ring.chord(sight.a, sight.b, &mut search.cuts);
            if let Some((enters, leaves)) = chord {
                search.met.push((at, enters, leaves));
                free &= !sight.meets(prism.bottom_m, prism.top_m, enters, leaves);
            }
            search.level.push((at, chord.is_some()));
        }
        if free {
            return None;
        }
        // From over a roof sound comes down across its edges: all of what it stands on would have to be gone round, and what that is would go by how
        // rooms make wings.
        let over_a_roof = search.met.iter().any(|(_, enters, leaves)| *enters <= 0.0 || *leaves >= 1.0);
        let over = match known {
            Some((ways, Holds { straight: true, .. })) => ways.over,
            _ => {
                // What begins above both ends hides neither from the other, but what goes over the top goes over that as well.
                for (at, prism) in self.prisms.iter().enumerate().filter(|(_, prism)| prism.bottom_m >= sight.high_m) {
                    let chord = prism.ring.chord(sight.a, sight.b, &mut search.cuts);
                    search.met.extend(chord.map(|(enters, leaves)| (at, enters, leaves)));
                }
                self.over(from, to, search)
            }
        };
        let round = [0, 1].map(|side| match known {
            _ if over_a_roof => {
                search.traces[side] = Trace::default();
                None
            }
            Some((ways, holds)) if holds.sides[side] && ways.round[side].is_some() => ways.round[side],
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
            let top_m = self.prisms[*at].top_m;
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
            for (corner, at) in self.prisms[prism].ring.points.iter().enumerate() {
                let turned = turned(at);
                if turned[1] > 0.0 {
                    corners.push(Corner { turned, at: *at, spot: Spot::corner(prism, corner) });
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
                let ring = &self.prisms[*at].ring;
                if let Some((_, leg)) = tried[before..].iter().find(|(look, _)| ring.is_met(look, cuts)) {
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::changes::Looked;
    use super::super::facades::tests::scenes;
    use super::super::prism::{WALL_M, standing};
    use super::super::ring::Ring;
    use super::*;

    fn house() -> Screens {
        let ring = vec![[0.0, 0.0], [8.0, 0.0], [8.0, 6.0], [0.0, 6.0]];
        Screens::from(vec![Prism { ring: Ring::new(ring), bottom_m: f64::NEG_INFINITY, top_m: 5.0 }])
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

    /// Rooms of 8 m × 6 m beside each other with a wall of 0.2 m between them: no way leads through that wall, whether they count as one house or two.
    #[test]
    fn the_room_next_door_is_gone_round_too() {
        let heights_m = [f64::NEG_INFINITY, 5.0];
        let room = house().prisms[0].ring.points.clone();
        let beside: Vec<Point> = room.iter().map(|p| [p[0] + 8.2, p[1]]).collect();
        let one = standing(&[room.clone(), beside.clone()], heights_m);
        let two = [room, beside].into_iter().flat_map(|room| standing(&[room], heights_m)).collect();
        for prisms in [one, two] {
            let screens = Screens::from(prisms);
            let ways = screens.between([4.0, -3.0, 2.0], [4.0, 10.0, 2.0], &mut Search::default(), None).unwrap();
            let ends: Vec<f64> = ways.round.iter().flatten().map(|way| way.first[0]).collect();
            let near = |wanted: f64| ends.iter().any(|x_m| (x_m - wanted).abs() < 1e-9);
            assert!(near(16.2 + WALL_M) && near(-WALL_M), "{ends:?}");
        }
    }

    /// An L of two wings, 10 m long and 2 m deep. From within it to behind the end of one wing, 1 m past it, the short way round that end does not lead round
    /// the other wing: from (4, 4) by (10.25, 2.25) to (12, 1).
    #[test]
    fn wings_are_gone_round_by_themselves() {
        let wing = |high: Point| vec![[0.0, 0.0], [high[0], 0.0], high, [0.0, high[1]]];
        let wings = [wing([10.0, 2.0]), wing([2.0, 10.0]).into_iter().map(|[x, y]| [x, y + 2.1]).collect()];
        let screens = Screens::from(standing(&wings, [f64::NEG_INFINITY, 5.0]));
        let ways = screens.between([4.0, 4.0, 1.5], [12.0, 1.0, 1.5], &mut Search::default(), None).unwrap();
        let lengths: Vec<f64> = ways.round.iter().flatten().map(|way| way.lengths.source_to_edge_m).collect();
        let short = 6.25f64.hypot(1.75);
        assert!(lengths.iter().any(|m| (m - short).abs() < 1e-6), "{lengths:?} for {short}");
    }

    /// The terrace of the worked example has three storeys of six, seven and two rooms, each as deep and as long as the others: three prisms.
    #[test]
    fn a_storey_of_the_terrace_is_one_house() {
        let (_, building, ..) = scenes().next().unwrap();
        assert_eq!(Screens::of(&building, None).prisms.len(), 3);
    }

    /// A row of three rooms; the one in the middle goes, and there is a way between the others.
    #[test]
    fn a_gap_in_a_row_opens_a_way() {
        let row = |left_m: &[f64]| {
            let room = |left: f64| vec![[left, 0.0], [left + 4.0, 0.0], [left + 4.0, 6.0], [left, 6.0]];
            let prisms = left_m.iter().flat_map(|left| standing(&[room(*left)], [f64::NEG_INFINITY, 3.0]));
            Screens::from(prisms.collect::<Vec<_>>())
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

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

        /// Two storeys of five rooms, taken for one house or for its rooms: from anywhere outside to anywhere the same views are free, and the ways are as long.
        #[test]
        fn a_house_is_as_all_its_rooms(
            party_m in 2.5..5.5,
            ends in prop::collection::vec(([-6.0..6.0, -6.0..6.0, 0.5..8.0], [-6.0..6.0, -6.0..6.0, 0.5..8.0]), 40),
        ) {
            let room = |low: Point, high: Point| vec![low, [high[0], low[1]], high, [low[0], high[1]]];
            let rooms = [
                room([0.0, 0.0], [party_m, 4.0]),
                room([party_m + 0.1, 0.0], [8.0, 4.0]),
                room([0.0, 4.2], [2.0, 7.0]),
                room([2.1, 4.2], [5.0, 7.0]),
                room([5.1, 4.2], [8.0, 7.0]),
            ];
            let heights_m = [[f64::NEG_INFINITY, 2.6], [2.2, 5.4]];
            let house = Screens::from(heights_m.iter().flat_map(|heights_m| standing(&rooms, *heights_m)).collect::<Vec<_>>());
            let each = rooms.iter().flat_map(|room| heights_m.map(|heights_m| standing(std::slice::from_ref(room), heights_m)));
            let each = Screens::from(each.flatten().collect::<Vec<_>>());
            prop_assert!(house.prisms.len() == 2 && each.prisms.len() == 10);
            // Each end lies before one of the walls, at least 0.3 m off.
            let placed = |[x, y, z]: [f64; 3]| {
                let beyond = |m: f64, far_m: f64| if m < 0.0 { m - 0.3 } else { m + far_m + 0.3 };
                if x.abs() > y.abs() { [beyond(x, 8.0), 3.5 + y, z] } else { [4.0 + x, beyond(y, 7.0), z] }
            };
            for (from, to) in ends.into_iter().map(|(from, to)| (placed(from), placed(to))) {
                let [one, other] = [&house, &each].map(|all| all.between(from, to, &mut Search::default(), None));
                prop_assert_eq!(one.is_some(), other.is_some(), "{:?} to {:?}", from, to);
                let (Some(one), Some(other)) = (one, other) else { continue };
                for (one, other) in one.all().into_iter().zip(other.all()) {
                    let total = |way: &Option<Detour>| way.map(|way| {
                        way.lengths.source_to_edge_m + way.lengths.between_edges_m + way.lengths.edge_to_receiver_m
                    });
                    let (one, other) = (total(one), total(other));
                    let alike = one.zip(other).map_or(one == other, |(one, other)| (one - other).abs() < 1e-5);
                    prop_assert!(alike, "{:?} to {:?}: {:?} and {:?} m", from, to, one, other);
                }
            }
        }
    }
}
