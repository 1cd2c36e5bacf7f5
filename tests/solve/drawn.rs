//! A building is the same however it was drawn: turned, mirrored, in another order, its walls from either end.

use leaklight::acoustics::BAND_COUNT;
use leaklight::building::build;
use leaklight::catalogue::{Build, Catalogue, Construction, Layer};
use leaklight::scene::{NodeId, Opening, Scene, Storey, WallId, file, validate::validate};
use leaklight::solve::{Answer, Conditions, solve_under};
use proptest::prelude::*;

use super::properties::{level, listener, source};
use crate::building::make::{Motion, room, scene, storey};

/// The largest difference in any band at any listener, dB: what is shown of a level, and what [`leaklight::solve::LEFT_OUT`] stands for.
const ALIKE_DB: f64 = 0.01;
/// How many lines of walls each way, and so many rooms less one.
const LINES: usize = 4;
/// Walls that are the same from both sides.
const EVEN: [&str; 4] =
    ["block-dense-215-plastered", "party-block-cavity", "brick-102-plastered", "stud-timber-100-board"];
/// Walls that are not.
const UNEVEN: [&str; 2] = ["brick-cavity-255", "brick-215-plastered-inside"];

/// The answer with every way followed: which weak ones may be left out is a choice, and each choice within [`ALIKE_DB`] of this.
fn answer(scene: &Scene) -> Answer {
    let catalogue = Catalogue::built_in_ref();
    let building = build(scene, catalogue).unwrap_or_else(|problems| panic!("{problems:?}"));
    solve_under(scene, catalogue, &building, &Conditions { left_out: 0.0, ..Conditions::of(scene) })
}

/// The first listener and band that differ, if any do.
fn difference(one: &Answer, other: &Answer) -> Option<String> {
    assert_eq!(one.listeners.len(), other.listeners.len());
    one.listeners.iter().find_map(|here| {
        let there = other.listeners.iter().find(|there| there.listener == here.listener)?;
        let off_db = |band: usize| 10.0 * (there.energy[band] / here.energy[band]).log10();
        let alike = |band: usize| off_db(band).abs() <= ALIKE_DB;
        let band = (0..BAND_COUNT).find(|band| !alike(*band))?;
        Some(format!("{} differs by {:.3} dB in band {band}", here.name, off_db(band)))
    })
}

fn read(text: &str) -> Scene {
    file::from_text(text).unwrap()
}

/// Cavity walls on two sides of a room meet at a right angle, and one was drawn from its other end. Single walls run on round their outside, from A to C:
/// 58 dB(A) both times. The sign of the walls' directions once decided whether that way was there, and cost 21 dB.
#[test]
fn two_cavity_walls_round_a_corner_part_no_rooms_that_single_walls_join() {
    let one = answer(&read(include_str!("drawn/cavity-walls-round-a-corner.ron")));
    let other = answer(&read(include_str!("drawn/cavity-walls-round-a-corner-flipped.ron")));
    assert_eq!(difference(&one, &other), None);
    assert!((level(&one, "l") - level(&other, "l")).abs() < ALIKE_DB);
    let round = one.listeners[0].paths.iter().filter(|path| path.junction.is_some());
    assert!(round.map(|path| path.share).sum::<f64>() > 0.5, "most comes round the corner");
}

/// Buildings whose bands once differed by up to 2.6 dB: rooms became obstacles, walls façades, in the order they came, and roofs sounded from a mean of corners.
#[test]
fn turned_mirrored_and_in_another_order_they_sound_the_same() {
    for (name, one, other) in [
        ("mirrored", include_str!("drawn/three-storeys.ron"), include_str!("drawn/three-storeys-mirrored.ron")),
        ("turned", include_str!("drawn/three-rooms.ron"), include_str!("drawn/three-rooms-turned.ron")),
        (
            "in another order",
            include_str!("drawn/five-rooms.ron"),
            include_str!("drawn/five-rooms-in-another-order.ron"),
        ),
    ] {
        assert_eq!(difference(&answer(&read(one)), &answer(&read(other))), None, "{name}");
    }
}

/// Two walls in one line, 3.6 m apart, turned by 37°: roundoff once put their ends on different sides of each other's line, and they "crossed".
#[test]
fn walls_in_one_line_do_not_cross_when_turned() {
    let scene = read(include_str!("drawn/walls-in-one-line-turned.ron"));
    let problems = validate(&scene, Catalogue::built_in_ref());
    assert!(problems.iter().all(|problem| !problem.what.contains("crosses")), "{problems:?}");
    assert!(!answer(&scene).listeners.is_empty());
}

/// A house of right angles.
#[derive(Debug, Clone)]
struct Plan {
    /// Distances of the lines each way, m.
    steps_m: [Vec<f64>; 2],
    /// Whether they are drawn on half metres, so that much is in line and even.
    on_grid: bool,
    /// By storey: which rooms there are not, what each wall is made of, whether it has a window.
    storeys: Vec<(Vec<bool>, Vec<usize>, Vec<bool>)>,
    /// Outdoors, m from the first corner.
    ears: Vec<[f64; 2]>,
}

fn plans() -> impl Strategy<Value = Plan> {
    let step_m = || prop::collection::vec(2.5..5.5, LINES - 1);
    let walls = 2 * LINES * (LINES - 1);
    let storey = (
        prop::collection::vec(prop::bool::weighted(0.4), (LINES - 1) * (LINES - 1)),
        prop::collection::vec(0..EVEN.len() + UNEVEN.len(), walls),
        prop::collection::vec(prop::bool::weighted(0.3), walls),
    );
    let ears = prop::collection::vec([-12.0..-1.0, -8.0..20.0], 2);
    (step_m(), step_m(), any::<bool>(), prop::collection::vec(storey, 1..3), ears)
        .prop_map(|(x, y, on_grid, storeys, ears)| Plan { steps_m: [x, y], on_grid, storeys, ears })
}

impl Plan {
    fn scene(&self) -> Scene {
        let drawn = |m: f64| if self.on_grid { (2.0 * m).round() / 2.0 } else { m };
        let lines = self.steps_m.clone().map(|steps| {
            let ends = steps.iter().scan(0.0, |end, step| {
                *end += drawn(*step);
                Some(*end)
            });
            std::iter::once(0.0).chain(ends).collect::<Vec<f64>>()
        });
        let names: Vec<&str> = EVEN.iter().chain(&UNEVEN).copied().collect();
        let mut storeys = vec![];
        for (number, (absent, made, glazed)) in self.storeys.iter().enumerate() {
            // The first two rooms always are: one is loud, one listens.
            let is_room = |x: usize, y: usize| {
                let at = x * (LINES - 1) + y;
                x < LINES - 1 && y < LINES - 1 && (at < 2 || !absent[at])
            };
            let (mut walls, mut windows) = (vec![], vec![]);
            let mut next = 0;
            for x in 0..LINES {
                for y in 0..LINES {
                    for [dx, dy] in [[1, 0], [0, 1]] {
                        let [u, v] = [x + dx, y + dy];
                        if u >= LINES || v >= LINES {
                            continue;
                        }
                        next += 1;
                        // Rooms right above and below, or right and left.
                        let beside = x >= dy && y >= dx && is_room(x - dy, y - dx);
                        if is_room(x, y) || beside {
                            windows.push(glazed[next - 1]);
                            walls.push(([lines[0][x], lines[1][y], lines[0][u], lines[1][v]], names[made[next - 1]]));
                        }
                    }
                }
            }
            let mut storey = storey(&format!("s{number}"), 3.0 * number as f64, &walls);
            storey.floor.construction = "concrete-slab-180".into();
            storey.ground = "ground-concrete".into();
            storey.roof = "flat-roof-concrete".into();
            for (x, y) in
                (0..LINES - 1).flat_map(|x| (0..LINES - 1).map(move |y| (x, y))).filter(|(x, y)| is_room(*x, *y))
            {
                let at = [(lines[0][x] + lines[0][x + 1]) / 2.0, (lines[1][y] + lines[1][y + 1]) / 2.0];
                storey.rooms.push(room(&format!("r{number}-{x}-{y}"), at));
            }
            let glazed = storey.walls.iter().zip(windows).filter(|(_, glazed)| *glazed);
            storey.openings = glazed.map(|(wall, _)| window(wall.id.clone())).collect();
            storeys.push(storey);
        }
        let mut scene = scene(storeys);
        let at = |storey: usize, number: usize| scene.storeys[storey].rooms[number].at;
        let indoors = (0..scene.storeys.len()).flat_map(|storey| [0, 1].map(|number| (storey, at(storey, number))));
        let places: Vec<_> = indoors.skip(1).chain(self.ears.iter().map(|ears| (0, *ears))).collect();
        let loud = at(0, 0);
        scene.sources.push(source("s0", loud));
        scene.listeners.extend(
            places
                .iter()
                .enumerate()
                .map(|(number, (storey, at))| listener(&format!("l{number}"), &format!("s{storey}"), *at)),
        );
        for uneven in UNEVEN {
            let made = &Catalogue::built_in_ref().constructions[uneven];
            scene.constructions.push(turned(made));
        }
        scene
    }
}

fn window(wall: WallId) -> Opening {
    Opening {
        id: format!("window-{}", wall.0).as_str().into(),
        name: String::new(),
        wall,
        construction: "window-single-4".into(),
        offset_m: 0.6,
        width_m: 1.0,
        height_m: 1.1,
        sill_m: 0.8,
        seal: None,
        undercut_mm: 0.0,
        cover: None,
        workmanship: Default::default(),
    }
}

/// The same wall as it is told of from its other face, by another name.
fn turned(made: &Construction) -> Construction {
    let Build::Layers(layers) = &made.build else { panic!("{} has layers", made.id) };
    // A sheet is bonded to the one told before it.
    let bonded_to_next = |at: usize| matches!(layers.get(at + 1), Some(Layer::Sheet { bonded: true, .. }));
    let back = layers.iter().enumerate().rev().map(|(at, layer)| match layer.clone() {
        Layer::Sheet { material, thickness_mm, .. } => {
            Layer::Sheet { material, thickness_mm, bonded: bonded_to_next(at) }
        }
        other => other,
    });
    Construction { id: format!("{}-turned", made.id), build: Build::Layers(back.collect()), ..made.clone() }
}

/// A number from 0 to 1 for the n-th thing: any order, and the same each time.
fn chance(seed: u64, n: usize) -> f64 {
    let mixed = (seed ^ (n as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15)).wrapping_mul(0xD6E8_FEB8_6659_FD93);
    (mixed >> 11) as f64 / (1u64 << 53) as f64
}

fn shuffle<T>(all: &mut Vec<T>, seed: u64) {
    let mut keyed: Vec<(f64, T)> = all.drain(..).enumerate().map(|(n, one)| (chance(seed, n), one)).collect();
    keyed.sort_by(|one, other| one.0.total_cmp(&other.0));
    all.extend(keyed.into_iter().map(|(_, one)| one));
}

/// Some of its walls from the other end, everything in another order. Walls with two different faces are turned line by line: half a wall under another name is
/// another wall.
fn drawn_otherwise(storey: &mut Storey, seed: u64) {
    let at = |id: &NodeId| storey.nodes.iter().find(|node| node.id == *id).unwrap().at;
    for (n, wall) in storey.walls.iter_mut().enumerate() {
        let ([x, y], [u, v]) = (at(&wall.from), at(&wall.to));
        let uneven = UNEVEN.contains(&wall.construction.as_str());
        // A number for the line it lies in.
        let line = if x == u { 1000 + (8.0 * x) as usize } else { 2000 + (8.0 * y) as usize };
        if chance(seed, if uneven { line } else { n }) < 0.5 {
            std::mem::swap(&mut wall.from, &mut wall.to);
            if uneven {
                wall.construction = format!("{}-turned", wall.construction);
            }
            for opening in storey.openings.iter_mut().filter(|opening| opening.wall == wall.id) {
                opening.offset_m = (u - x).hypot(v - y) - opening.offset_m - opening.width_m;
            }
        }
    }
    shuffle(&mut storey.nodes, seed ^ 1);
    shuffle(&mut storey.walls, seed ^ 2);
    shuffle(&mut storey.rooms, seed ^ 3);
    shuffle(&mut storey.openings, seed ^ 4);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// Any house of right angles with cavity walls, windows and one or two storeys, drawn in any other way, and refused in none.
    #[test]
    fn a_building_is_the_same_however_it_was_drawn(
        plan in plans(),
        turn_rad in prop_oneof![Just(0.0), 0.0..std::f64::consts::TAU],
        mirrored: bool,
        seed: u64,
    ) {
        let scene = plan.scene();
        let mut other = scene.clone();
        for storey in &mut other.storeys {
            drawn_otherwise(storey, seed);
        }
        shuffle(&mut other.listeners, seed);
        let other = Motion { turn_rad, by_m: [3.0, -7.0], mirrored }.scene(&other);
        prop_assert_eq!(difference(&answer(&scene), &answer(&other)), None);
    }
}
