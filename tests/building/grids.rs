//! Properties of random buildings: grids of rooms on one to three storeys, some inner walls left out, thicknesses mixed.

use leaklight::building::{Building, SpaceIndex, SpaceKind, build};
use leaklight::scene::{Node, NodeId, Scene, WallId};
use proptest::prelude::*;

use super::make::{Motion, catalogue, scene, storey};

const WALLS: [(&str, f64); 4] = [("thin", 0.1), ("inner", 0.2), ("lined", 0.15), ("outer", 0.365)];

/// One storey: widths and depths of the cells, and for each wall which construction and whether it stands.
#[derive(Debug, Clone)]
struct Grid {
    widths: Vec<f64>,
    depths: Vec<f64>,
    constructions: Vec<usize>,
    left_out: Vec<bool>,
    run_on: Vec<bool>,
}

const MOST: usize = 3;
const EDGES: usize = 2 * MOST * (MOST + 1);

fn grid() -> impl Strategy<Value = Grid> {
    (
        prop::collection::vec(1.5..5.0, 1..=MOST),
        prop::collection::vec(1.5..5.0, 1..=MOST),
        prop::collection::vec(0..WALLS.len(), EDGES),
        prop::collection::vec(prop::bool::weighted(0.25), EDGES),
        prop::collection::vec(any::<bool>(), EDGES),
    )
        .prop_map(|(widths, depths, constructions, left_out, run_on)| Grid {
            widths,
            depths,
            constructions,
            left_out,
            run_on,
        })
}

fn motion() -> impl Strategy<Value = Motion> {
    (0.0..std::f64::consts::TAU, -50.0..50.0, -50.0..50.0, any::<bool>())
        .prop_map(|(turn_rad, x, y, mirrored)| Motion { turn_rad, by_m: [x, y], mirrored })
}

fn stops(lengths: &[f64]) -> Vec<f64> {
    let mut stops = vec![0.0];
    stops.extend(lengths.iter().scan(0.0, |sum, length| {
        *sum += length;
        Some(*sum)
    }));
    stops
}

/// Walls with the grid position of each: (cell edge along x at row j) or (along y at column i). Outer walls always stand.
fn walls(grid: &Grid, all: bool) -> Vec<([f64; 4], &'static str, bool)> {
    let (xs, ys) = (stops(&grid.widths), stops(&grid.depths));
    let (columns, rows) = (grid.widths.len(), grid.depths.len());
    let mut walls = vec![];
    let mut at = 0;
    let mut add = |line: [f64; 4], is_outer: bool| {
        if all || is_outer || !grid.left_out[at] {
            walls.push((line, WALLS[grid.constructions[at]].0, grid.run_on[at]));
        }
        at += 1;
    };
    for (j, &y) in ys.iter().enumerate() {
        for x in xs.windows(2) {
            add([x[0], y, x[1], y], j == 0 || j == rows);
        }
    }
    for (i, &x) in xs.iter().enumerate() {
        for y in ys.windows(2) {
            add([x, y[0], x, y[1]], i == 0 || i == columns);
        }
    }
    walls
}

fn building_of(grids: &[Grid], all: bool) -> Scene {
    let storeys = grids
        .iter()
        .enumerate()
        .map(|(at, grid)| {
            let walls = walls(grid, all);
            let lines: Vec<_> = walls.iter().map(|&(line, construction, _)| (line, construction)).collect();
            let mut made = storey(&format!("s{at}"), 3.0 * at as f64, &lines);
            for (wall, (_, _, run_on)) in made.walls.iter_mut().zip(&walls) {
                wall.joists_run_on = *run_on;
            }
            if at == 1 {
                made.floor.construction = "joists".into();
                made.floor.joist_direction_deg = Some(90.0);
            }
            made
        })
        .collect();
    scene(storeys)
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * a.abs().max(b.abs()).max(1.0)
}

/// A junction in a form that does not depend on where its list of arms starts.
fn described(building: &Building) -> Vec<(Vec<String>, f64)> {
    let mut junctions: Vec<(Vec<String>, f64)> = building
        .junctions
        .iter()
        .map(|junction| {
            let id = |arm: usize| building.elements[junction.arms[arm].element.0].id.clone();
            let mut arms: Vec<String> = (0..junction.arms.len())
                .map(|arm| {
                    let it = &junction.arms[arm];
                    format!("{} > {:?} {}", id(arm), it.straight.map(id), it.continuous)
                })
                .collect();
            arms.sort();
            arms.push(format!("{:?} {}", junction.kind, junction.storey));
            (arms, junction.length_m)
        })
        .collect();
    junctions.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    junctions
}

fn alike(a: &Building, b: &Building) -> Result<(), TestCaseError> {
    prop_assert_eq!(a.elements.len(), b.elements.len());
    for (x, y) in a.elements.iter().zip(b.elements.iter()) {
        prop_assert_eq!((&x.id, x.sides, &x.construction), (&y.id, y.sides, &y.construction));
        prop_assert!(same(x.area_m2, y.area_m2), "{}: {} {}", x.id, x.area_m2, y.area_m2);
        prop_assert!(
            same(x.size_m[0], y.size_m[0]) || (x.size_m[0] - y.size_m[0]).abs() < 1e-4,
            "{}: {:?} {:?}",
            x.id,
            x.size_m,
            y.size_m
        );
    }
    for (x, y) in a.spaces.iter().zip(b.spaces.iter()) {
        prop_assert_eq!(&x.name, &y.name);
        if let (SpaceKind::Room(x), SpaceKind::Room(y)) = (&x.kind, &y.kind) {
            prop_assert!(same(x.area_m2, y.area_m2) && same(x.perimeter_m, y.perimeter_m));
        }
    }
    let (a, b) = (described(a), described(b));
    let only = |a: &[(Vec<String>, f64)], b: &[(Vec<String>, f64)]| -> Vec<(Vec<String>, f64)> {
        let known: Vec<&Vec<String>> = b.iter().map(|junction| &junction.0).collect();
        let times = |list: &[&Vec<String>], arms: &Vec<String>| list.iter().filter(|other| **other == arms).count();
        let own: Vec<&Vec<String>> = a.iter().map(|junction| &junction.0).collect();
        a.iter().filter(|junction| times(&known, &junction.0) != times(&own, &junction.0)).cloned().collect()
    };
    let (only_a, only_b) = (only(&a, &b), only(&b, &a));
    prop_assert!(only_a.is_empty() && only_b.is_empty(), "only one has {:?}, only the other {:?}", only_a, only_b);
    for (x, y) in a.iter().zip(&b) {
        prop_assert!(same(x.1, y.1), "{:?}: {} {}", x.0, x.1, y.1);
    }
    Ok(())
}

fn rooms(building: &Building) -> Vec<(SpaceIndex, f64, f64, usize)> {
    building
        .spaces
        .iter()
        .enumerate()
        .filter_map(|(at, space)| match &space.kind {
            SpaceKind::Room(room) => Some((SpaceIndex(at), room.area_m2, room.perimeter_m, room.storey)),
            _ => None,
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// With all walls standing, every cell is what is left between the faces of its four walls.
    #[test]
    fn cells_have_the_area_and_perimeter_between_their_walls(grid in grid()) {
        let building = build(&building_of(std::slice::from_ref(&grid), true), &catalogue()).unwrap();
        let (columns, rows_count) = (grid.widths.len(), grid.depths.len());
        let thickness = |edge: usize| WALLS[grid.constructions[edge]].1;
        let mut wanted = vec![];
        for j in 0..rows_count {
            for i in 0..columns {
                let upright = columns * (rows_count + 1);
                let (south, north) = (thickness(j * columns + i), thickness((j + 1) * columns + i));
                let (west, east) = (thickness(upright + i * rows_count + j), thickness(upright + (i + 1) * rows_count + j));
                let (width, depth) = (grid.widths[i] - 0.5 * (west + east), grid.depths[j] - 0.5 * (south + north));
                wanted.push((width * depth, 2.0 * (width + depth)));
            }
        }
        let mut found: Vec<(f64, f64)> = rooms(&building).into_iter().map(|(_, area, perimeter, _)| (area, perimeter)).collect();
        wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        prop_assert_eq!(found.len(), wanted.len());
        for (found, wanted) in found.iter().zip(&wanted) {
            prop_assert!(same(found.0, wanted.0) && same(found.1, wanted.1), "{:?} {:?}", found, wanted);
        }
    }

    /// A row of rooms: the walls of each room are as long together as its clear outline, and rooms and walls cover the house.
    #[test]
    fn in_a_row_of_rooms_walls_sum_to_the_perimeter(widths in prop::collection::vec(1.5..5.0, 1..5), depth in 2.0..6.0, outer in 0..4usize, inner in prop::collection::vec(0..4usize, 4)) {
        let xs = stops(&widths);
        let mut lines = vec![];
        for x in xs.windows(2) {
            lines.push(([x[0], 0.0, x[1], 0.0], WALLS[outer].0));
            lines.push(([x[0], depth, x[1], depth], WALLS[outer].0));
        }
        let mut covered = 0.0;
        for (at, &x) in xs.iter().enumerate() {
            let is_end = at == 0 || at == widths.len();
            let wall = WALLS[if is_end { outer } else { inner[at % 4] }];
            lines.push(([x, 0.0, x, depth], wall.0));
            covered += if is_end { 0.0 } else { wall.1 * (depth - WALLS[outer].1) };
        }
        let building = build(&scene(vec![storey("row", 0.0, &lines)]), &catalogue()).unwrap();
        let mut clear = 0.0;
        for (space, area, perimeter, _) in rooms(&building) {
            let walls: f64 = building.facing(space).map(|at| &building.elements[at.0])
                .filter(|element| element.id.starts_with("row/")).map(|element| element.area_m2 / 2.75).sum();
            prop_assert!(same(walls, perimeter), "{} {}", walls, perimeter);
            clear += area;
        }
        let (length, thick) = (xs[widths.len()], WALLS[outer].1);
        prop_assert!(same(clear + covered, (length - thick) * (depth - thick)));
    }

    /// Floors, ground and soffits of a room sum to its clear area; what lies over a room covers it up to the thickness of walls.
    #[test]
    fn slabs_sum_to_the_rooms_they_carry(grids in prop::collection::vec(grid(), 1..=3)) {
        let made = building_of(&grids, false);
        let building = build(&made, &catalogue()).unwrap();
        for (space, area, perimeter, storey) in rooms(&building) {
            let below: f64 = building.elements.iter().filter(|e| e.id.contains(':') && e.sides[0] == space).map(|e| e.area_m2).sum();
            prop_assert!(same(below, area), "{} {}", below, area);
            let above: f64 = building.elements.iter().filter(|e| e.id.contains(':') && e.sides[1] == space).map(|e| e.area_m2).sum();
            let lengths: f64 = grids.get(storey + 1).map_or(0.0, |grid| {
                walls(grid, false).iter().map(|([x, y, u, v], ..)| (u - x).hypot(v - y)).sum()
            });
            prop_assert!((above - area).abs() <= 0.365 * (lengths + perimeter), "{} {}", above, area);
        }
        for element in building.elements.iter() {
            prop_assert!(same(element.size_m[0] * element.size_m[1], element.area_m2) && element.size_m[0] >= element.size_m[1]);
            prop_assert!(element.sides[0] != element.sides[1]);
        }
        let mut ids: Vec<&str> = building.elements.iter().map(|element| element.id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        prop_assert_eq!(ids.len(), building.elements.len());
        for junction in building.junctions.iter() {
            for (at, arm) in junction.arms.iter().enumerate() {
                prop_assert!(arm.straight.is_none_or(|other| junction.arms[other].straight == Some(at)));
            }
        }
    }

    #[test]
    fn a_moved_turned_or_mirrored_building_is_the_same(grids in prop::collection::vec(grid(), 1..=3), motion in motion()) {
        let made = building_of(&grids, false);
        let catalogue = catalogue();
        alike(&build(&made, &catalogue).unwrap(), &build(&motion.scene(&made), &catalogue).unwrap())?;
    }

    #[test]
    fn a_wall_cut_in_two_is_the_same_wall(grids in prop::collection::vec(grid(), 1..=3), storey in 0..3usize, wall in 0..EDGES, at in 0.05..0.95f64) {
        let made = building_of(&grids, false);
        let mut cut = made.clone();
        let storey = storey % grids.len();
        let storey = &mut cut.storeys[storey];
        let wall = wall % storey.walls.len();
        let place = |id: &NodeId| storey.nodes.iter().find(|node| node.id == *id).unwrap().at;
        let (from, to) = (place(&storey.walls[wall].from), place(&storey.walls[wall].to));
        let between = [from[0] + at * (to[0] - from[0]), from[1] + at * (to[1] - from[1])];
        storey.nodes.push(Node { id: "cut".into(), at: between });
        let mut second = storey.walls[wall].clone();
        second.id = WallId("second".into());
        second.from = "cut".into();
        storey.walls[wall].to = "cut".into();
        storey.walls.push(second);
        let catalogue = catalogue();
        alike(&build(&made, &catalogue).unwrap(), &build(&cut, &catalogue).unwrap())?;
    }

    /// Whatever is drawn, there is an answer or a list of problems.
    #[test]
    fn scribbles_do_not_panic(lines in prop::collection::vec((0..6i32, 0..6i32, 0..6i32, 0..6i32, 0..4usize), 0..20), jitter in 0.0..0.02f64, odd in 0..6usize) {
        let mut lines: Vec<([f64; 4], &str)> = lines.iter().enumerate().map(|(at, &(x, y, u, v, wall))| {
            let j = jitter * (at % 3) as f64;
            ([x as f64 + j, y as f64, u as f64, v as f64 - j], WALLS[wall].0)
        }).collect();
        match odd {
            0 => lines.push(([f64::NAN, 0.0, 1.0, 1.0], "thin")),
            1 => lines.push(([f64::INFINITY, 0.0, 1e300, 1.0], "thin")),
            2 => lines.push(([0.0, 0.0, 1.0, 1.0], "unknown")),
            _ => {}
        }
        let upper = lines.iter().map(|&([x, y, u, v], c)| ([y, x, v, u], c)).collect::<Vec<_>>();
        let made = scene(vec![storey("lower", 0.0, &lines), storey("upper", 3.0, &upper)]);
        if let Err(problems) = build(&made, &catalogue()) {
            prop_assert!(!problems.is_empty());
        }
    }
}

#[test]
fn an_empty_scene_is_the_outdoors_and_the_ground() {
    assert_eq!(build(&scene(vec![]), &catalogue()).unwrap().spaces.len(), 2);
}
