//! Diffraction: the paths over and round what stands in a straight line through the open air.

use glam::{DVec2, DVec3};

use super::obstacles::{FLAT_M2, Obstacle};
use crate::acoustics::outdoors::BarrierPath;
use crate::geometry::convex_hull;

/// Edges nearer to each other than this, m, are one. Own guard.
const ONE_EDGE_M: f64 = 0.05;
/// What lies no further than this off a straight line, m, lies on it. Own guard, far above roundoff.
const NEAR_M: f64 = 1e-6;

/// A path from edge to edge of what stands in the way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DiffractionPath {
    /// The edges it bends round, in order: at least one.
    pub edges: Vec<DVec3>,
    /// Its lengths, as ISO 9613-2 counts them.
    pub lengths: BarrierPath,
}

/// The paths past what stands between two points.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DiffractionPaths {
    /// Over the top.
    pub over: Option<DiffractionPath>,
    /// Round the two sides in the plan: to the left, to the right.
    pub round: [Option<DiffractionPath>; 2],
}

/// True when something stands between two points.
pub(super) fn is_blocked(obstacles: &[Obstacle], from: DVec3, to: DVec3) -> bool {
    obstacles.iter().filter(|obstacle| obstacle.is_level_with(from, to)).any(|obstacle| {
        obstacle.chord(from.truncate(), to.truncate()).is_some_and(|chord| obstacle.is_met(from, to, chord))
    })
}

/// The paths past what stands between two points. Nothing where the view is free.
pub(super) fn paths_past(obstacles: &[Obstacle], from: DVec3, to: DVec3) -> Option<DiffractionPaths> {
    let (a, b) = (from.truncate(), to.truncate());
    let (mut crossed, mut passed) = (Vec::new(), Vec::new());
    let mut free = true;
    for obstacle in obstacles.iter().filter(|obstacle| obstacle.is_level_with(from, to)) {
        match obstacle.chord(a, b) {
            Some(chord) => {
                free &= !obstacle.is_met(from, to, chord);
                crossed.push((obstacle, chord));
            }
            None => passed.push(obstacle),
        }
    }
    if free {
        return None;
    }
    // From over a roof sound comes down across its edges: all of what it stands on would have to be gone round, and what that is would go by how
    // rooms make wings.
    let over_a_roof = crossed
        .iter()
        .map(|(obstacle, _)| *obstacle)
        .chain(passed.iter().copied())
        .any(|one| one.holds(a) || one.holds(b));
    let round = if over_a_roof {
        [None, None]
    } else {
        // To the right is to the left on the way back.
        [false, true].map(|back| {
            let [a, b] = if back { [b, a] } else { [a, b] };
            let mut edges = round_left([a, b], crossed.iter().map(|(obstacle, _)| *obstacle), passed.clone());
            if back {
                edges.reverse();
            }
            raised(from, to, &edges)
        })
    };
    // What begins above both ends hides neither from the other, but what goes over the top goes over that as well.
    let high = obstacles.iter().filter(|obstacle| obstacle.heights_m[0] >= from.z.max(to.z));
    crossed.extend(high.filter_map(|obstacle| Some((obstacle, obstacle.chord(a, b)?))));
    Some(DiffractionPaths { over: over(from, to, &crossed), round })
}

impl DiffractionPath {
    /// Nothing without any edge.
    fn along(from: DVec3, to: DVec3, edges: Vec<DVec3>) -> Option<Self> {
        let between_m: f64 = edges.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        let lengths = BarrierPath {
            source_to_edge_m: from.distance(*edges.first()?),
            between_edges_m: if between_m < ONE_EDGE_M { 0.0 } else { between_m },
            edge_to_receiver_m: edges.last()?.distance(to),
            straight_m: from.distance(to),
        };
        Some(Self { edges, lengths })
    }
}

/// The shortest path over the tops of what is crossed, in the upright plane of both points.
fn over(from: DVec3, to: DVec3, crossed: &[(&Obstacle, [f64; 2])]) -> Option<DiffractionPath> {
    let reach_m = from.truncate().distance(to.truncate());
    let upright = |part: f64, height_m: f64| DVec2::new(part * reach_m, height_m);
    let tops = crossed.iter().flat_map(|(obstacle, chord)| chord.map(|part| upright(part, obstacle.heights_m[1])));
    let edges = shortest_to_the_left([upright(0.0, from.z), upright(1.0, to.z)], tops);
    let placed = |edge: &DVec2| from.truncate().lerp(to.truncate(), edge.x / reach_m).extend(edge.y);
    DiffractionPath::along(from, to, edges.iter().map(placed).collect())
}

/// A path round corners in the plan, its height following evenly along it.
fn raised(from: DVec3, to: DVec3, corners: &[DVec2]) -> Option<DiffractionPath> {
    let reached = |(run_m, last): &mut (f64, DVec2), at: DVec2| {
        *run_m += last.distance(at);
        *last = at;
        Some((*run_m, at))
    };
    let all = corners.iter().copied().chain([to.truncate()]);
    let run: Vec<(f64, DVec2)> = all.scan((0.0, from.truncate()), reached).collect();
    let (whole_m, _) = run.last()?;
    let edges = run[..corners.len()].iter().map(|(run_m, at)| at.extend(from.z + run_m / whole_m * (to.z - from.z)));
    DiffractionPath::along(from, to, edges.collect())
}

/// The corners of the shortest path in the plan to the left of what is crossed. Obstacles that it meets on its way are gone round as well.
fn round_left<'a>(
    ends: [DVec2; 2],
    crossed: impl Iterator<Item = &'a Obstacle>,
    mut others: Vec<&'a Obstacle>,
) -> Vec<DVec2> {
    let mut corners: Vec<DVec2> = crossed.flat_map(|obstacle| &obstacle.corners).copied().collect();
    // Each time at least one more obstacle is gone round, or it is done.
    loop {
        let edges = shortest_to_the_left(ends, corners.iter().copied());
        let stops: Vec<DVec2> = [&ends[..1], &edges, &ends[1..]].concat();
        let is_met = |obstacle: &&Obstacle| stops.windows(2).any(|pair| obstacle.chord(pair[0], pair[1]).is_some());
        let met: Vec<&Obstacle> = others.extract_if(.., |obstacle| is_met(&*obstacle)).collect();
        if met.is_empty() {
            return edges;
        }
        corners = edges;
        corners.extend(met.iter().flat_map(|obstacle| &obstacle.corners));
    }
}

/// The corners of the shortest path from one end to another round all corners to the left of the straight line: the convex hull of both.
fn shortest_to_the_left([a, b]: [DVec2; 2], corners: impl Iterator<Item = DVec2>) -> Vec<DVec2> {
    let along = (b - a).normalize_or_zero();
    let mut points = vec![a, b];
    points.extend(corners.filter(|corner| along.perp_dot(*corner - a) > NEAR_M));
    let mut hull = convex_hull(points, FLAT_M2);
    // Counter-clockwise from the far end back to the near one.
    let Some(far) = hull.iter().position(|point| *point == b) else { return Vec::new() };
    hull.rotate_left(far);
    hull.truncate(hull.iter().position(|point| *point == a).unwrap_or(0).max(1));
    hull.remove(0);
    hull.reverse();
    hull
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::obstacles::WALL_M;
    use super::super::tests::scenes;
    use super::*;

    const GROUNDED_M: [f64; 2] = [f64::NEG_INFINITY, 5.0];

    /// Clear outline of a room.
    fn room(low: [f64; 2], high: [f64; 2]) -> Vec<[f64; 2]> {
        vec![low, [high[0], low[1]], high, [low[0], high[1]]]
    }

    /// 8 m × 6 m with its walls, 5 m high.
    fn house() -> Vec<Obstacle> {
        Obstacle::over(&[room([WALL_M, WALL_M], [8.0 - WALL_M, 6.0 - WALL_M])], GROUNDED_M)
    }

    fn past(obstacles: &[Obstacle], from: [f64; 3], to: [f64; 3]) -> Option<DiffractionPaths> {
        paths_past(obstacles, from.into(), to.into())
    }

    #[test]
    fn what_lies_before_the_house_is_in_free_view() {
        assert_eq!(past(&house(), [4.0, -0.2, 1.5], [4.0, -20.0, 1.5]), None);
        // Along a wall and over the roof.
        assert_eq!(past(&house(), [4.0, -0.2, 1.5], [30.0, -0.2, 1.5]), None);
        assert_eq!(past(&house(), [4.0, -10.0, 9.0], [4.0, 20.0, 9.0]), None);
    }

    /// Straight through a house of 8 m × 6 m × 5 m: lengths by hand.
    #[test]
    fn behind_it_the_paths_are_over_and_round_both_sides() {
        let paths = past(&house(), [4.0, -3.0, 2.0], [4.0, 10.0, 2.0]).unwrap();
        let near = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-9, "{got} for {wanted}");
        let over = paths.over.unwrap().lengths;
        near(over.source_to_edge_m, 18f64.sqrt());
        near(over.between_edges_m, 6.0);
        near(over.edge_to_receiver_m, 5.0);
        for path in paths.round.map(Option::unwrap) {
            near(path.lengths.source_to_edge_m, 5.0);
            near(path.lengths.between_edges_m, 6.0);
            near(path.lengths.edge_to_receiver_m, 32f64.sqrt());
        }
    }

    /// From one wall right up, over the roof, and down the other wall: 4 m, 6 m and 4 m.
    #[test]
    fn at_the_walls_the_path_over_ends_where_it_should() {
        let paths = past(&house(), [4.0, 0.0, 1.0], [4.0, 6.0, 1.0]).unwrap();
        let over = paths.over.unwrap().lengths;
        let lengths = [over.source_to_edge_m, over.between_edges_m, over.edge_to_receiver_m];
        assert!(lengths.iter().zip([4.0, 6.0, 4.0]).all(|(got, wanted)| (got - wanted).abs() < 1e-9), "{lengths:?}");
    }

    /// From one wall to the next round one corner; the other way takes the three others.
    #[test]
    fn round_one_corner_there_is_one_edge() {
        let paths = past(&house(), [7.0, -1.0, 2.0], [9.0, 1.0, 2.0]);
        assert_eq!(paths, None);
        let paths = past(&house(), [6.0, -0.5, 2.0], [8.5, 3.0, 2.0]).unwrap();
        let edges: Vec<f64> = paths.round.iter().flatten().map(|path| path.lengths.between_edges_m).collect();
        assert!((edges[0] + edges[1] - 14.0).abs() < 1e-9, "{edges:?}");
        assert!(edges.len() == 2 && edges.contains(&0.0), "{edges:?}");
    }

    /// Rooms of 8 m × 6 m beside each other with a wall of 0.2 m between them: no path leads through that wall, whether they count as one house or two.
    #[test]
    fn the_room_next_door_is_gone_round_too() {
        let [left, right] = [0.0, 8.2].map(|x| room([x, 0.0], [x + 8.0, 6.0]));
        let one = Obstacle::over(&[left.clone(), right.clone()], GROUNDED_M);
        let two: Vec<Obstacle> =
            [left, right].iter().flat_map(|room| Obstacle::over(std::slice::from_ref(room), GROUNDED_M)).collect();
        for obstacles in [one, two] {
            let paths = past(&obstacles, [4.0, -3.0, 2.0], [4.0, 10.0, 2.0]).unwrap();
            let ends: Vec<f64> = paths.round.iter().flatten().map(|path| path.edges[0].x).collect();
            let near = |wanted: f64| ends.iter().any(|x_m| (x_m - wanted).abs() < 1e-6);
            assert!(near(16.2 + WALL_M) && near(-WALL_M), "{ends:?}");
        }
    }

    /// An L of two wings, 10 m long and 2 m deep. From within it to behind the end of one wing, 1 m past it, the short path round that end does not lead round
    /// the other wing: from (4, 4) by (10.25, 2.25) to (12, 1).
    #[test]
    fn wings_are_gone_round_by_themselves() {
        let wings = [room([0.0, 0.0], [10.0, 2.0]), room([0.0, 2.1], [2.0, 12.1])];
        let obstacles = Obstacle::over(&wings, GROUNDED_M);
        let paths = past(&obstacles, [4.0, 4.0, 1.5], [12.0, 1.0, 1.5]).unwrap();
        let lengths: Vec<f64> = paths.round.iter().flatten().map(|path| path.lengths.source_to_edge_m).collect();
        let short = 6.25f64.hypot(1.75);
        assert!(lengths.iter().any(|m| (m - short).abs() < 1e-6), "{lengths:?} for {short}");
    }

    /// The terrace of the worked example has three storeys of six, seven and two rooms, each as deep and as long as the others: three obstacles.
    #[test]
    fn a_storey_of_the_terrace_is_one_house() {
        let (_, building, ..) = scenes().next().unwrap();
        assert_eq!(Obstacle::all_of(&building).len(), 3);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

        /// Two storeys of five rooms, taken for one house or for its rooms: from anywhere outside to anywhere the same views are free, and the paths are as long.
        #[test]
        fn a_house_is_as_all_its_rooms(
            party_m in 2.5..5.5,
            ends in prop::collection::vec(([-6.0..6.0, -6.0..6.0, 0.5..8.0], [-6.0..6.0, -6.0..6.0, 0.5..8.0]), 40),
        ) {
            let rooms = [
                room([0.0, 0.0], [party_m, 4.0]),
                room([party_m + 0.1, 0.0], [8.0, 4.0]),
                room([0.0, 4.2], [2.0, 7.0]),
                room([2.1, 4.2], [5.0, 7.0]),
                room([5.1, 4.2], [8.0, 7.0]),
            ];
            let heights_m = [[f64::NEG_INFINITY, 2.6], [2.2, 5.4]];
            let house: Vec<Obstacle> = heights_m.iter().flat_map(|heights_m| Obstacle::over(&rooms, *heights_m)).collect();
            let each = rooms.iter().flat_map(|room| heights_m.map(|heights_m| Obstacle::over(std::slice::from_ref(room), heights_m)));
            let each: Vec<Obstacle> = each.flatten().collect();
            prop_assert!(house.len() == 2 && each.len() == 10);
            // Each end lies before one of the walls, at least 0.3 m off.
            let placed = |[x, y, z]: [f64; 3]| {
                let beyond = |m: f64, far_m: f64| if m < 0.0 { m - 0.3 } else { m + far_m + 0.3 };
                if x.abs() > y.abs() { [beyond(x, 8.0), 3.5 + y, z] } else { [4.0 + x, beyond(y, 7.0), z] }
            };
            for (from, to) in ends.into_iter().map(|(from, to)| (placed(from), placed(to))) {
                let [one, other] = [&house, &each].map(|all| past(all, from, to));
                prop_assert_eq!(one.is_some(), other.is_some(), "{:?} to {:?}", from, to);
                let (Some(one), Some(other)) = (one, other) else { continue };
                let all = |paths: DiffractionPaths| [&paths.round[..], &[paths.over]].concat();
                for (one, other) in all(one).into_iter().zip(all(other)) {
                    let total = |path: Option<DiffractionPath>| path.map(|path| {
                        path.lengths.source_to_edge_m + path.lengths.between_edges_m + path.lengths.edge_to_receiver_m
                    });
                    let (one, other) = (total(one), total(other));
                    let alike = one.zip(other).map_or(one == other, |(one, other)| (one - other).abs() < 1e-5);
                    prop_assert!(alike, "{:?} to {:?}: {:?} and {:?} m", from, to, one, other);
                }
            }
        }
    }
}
