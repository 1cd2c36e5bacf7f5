//! What is said of a plan is the same at whatever angle it stands: sound plans are refused at none, faults are found at all.

use leaklight::building::{Building, build};
use leaklight::catalogue::Catalogue;
use leaklight::scene::validate::validate;
use leaklight::scene::{Scene, Severity};
use proptest::prelude::*;

use super::make::{self, Motion, room, scene, storey};

/// Steps of the grid to the right and up, and how many times 5 mm off it.
type End = (i32, i32, i32, i32);

/// Areas are alike up to this, m²: the overlay of outlines rounds points to a raster, and a house has edges of some tens of metres.
const ALIKE_M2: f64 = 1e-4;

/// With the plain finishes of rooms.
fn catalogue() -> Catalogue {
    Catalogue { finishes: Catalogue::built_in_ref().finishes.clone(), ..make::catalogue() }
}

/// Walls between points of a coarse grid, moved by some multiples of 5 mm: so that corners touch, lie in line, nearly touch, and lie just as
/// far from one another as the limits are, which is where roundoff would decide.
fn any_plan() -> impl Strategy<Value = Scene> {
    let off = || prop_oneof![4 => Just(0_i32), 1 => -11..11_i32];
    let point = || (0..4_i32, 0..4_i32, off(), off());
    let at = |(x, y, right, up): End| {
        // From whole millimetres, as files have it.
        [x * 1200 + right * 5, y * 1200 + up * 5].map(|mm| f64::from(mm) / 1000.0)
    };
    let kind = prop::sample::select(vec!["thin", "inner", "outer", "lined"]);
    prop::collection::vec((point(), point(), kind), 3..12).prop_map(move |walls| {
        let ends = |(from, to, kind): (End, End, &'static str)| {
            let ([x, y], [u, v]) = (at(from), at(to));
            ([x, y, u, v], kind)
        };
        let walls: Vec<_> = walls.into_iter().map(ends).filter(|([x, y, u, v], _)| (x, y) != (u, v)).collect();
        let mut storey = storey("s", 0.0, &walls);
        storey.rooms.push(room("r", [0.6113, 0.5719]));
        scene(vec![storey])
    })
}

/// Houses on a grid of 5 mm, all rooms closed: nothing of them is wrong.
fn any_house() -> impl Strategy<Value = Scene> {
    let steps = || prop::collection::vec(1200..5000_i32, 2..5);
    let kind = prop::sample::select(vec!["thin", "inner", "outer", "lined"]);
    (steps(), steps(), prop::collection::vec(kind, 80)).prop_map(|(across, up, kinds)| {
        let lines = [across, up].map(|steps| {
            let ends = steps.iter().scan(0, |end, step| {
                *end += step / 5 * 5;
                Some(f64::from(*end) / 1000.0)
            });
            std::iter::once(0.0).chain(ends).collect::<Vec<f64>>()
        });
        let mut walls = vec![];
        for (x, left) in lines[0].iter().enumerate() {
            for (y, low) in lines[1].iter().enumerate() {
                if let Some(right) = lines[0].get(x + 1) {
                    walls.push(([*left, *low, *right, *low], kinds[walls.len() % 80]));
                }
                if let Some(high) = lines[1].get(y + 1) {
                    walls.push(([*left, *low, *left, *high], kinds[walls.len() % 80]));
                }
            }
        }
        let mut storey = storey("s", 0.0, &walls);
        for (x, right) in lines[0].windows(2).enumerate() {
            for (y, high) in lines[1].windows(2).enumerate() {
                let middle = [f64::midpoint(right[0], right[1]), f64::midpoint(high[0], high[1])];
                storey.rooms.push(room(&format!("r{x}-{y}"), middle));
            }
        }
        scene(vec![storey])
    })
}

/// What is said, without the coordinates, which turn.
fn said(scene: &Scene) -> Vec<String> {
    let short = |what: &str| what.split(" at (").next().unwrap_or_default().to_owned();
    let problems = validate(scene, &catalogue());
    let mut said: Vec<String> = problems
        .iter()
        .map(|problem| format!("{} {}: {}", problem.severity, problem.thing, short(&problem.what)))
        .collect();
    said.sort();
    said
}

/// Elements by their ids, and their areas.
fn areas(building: &Building) -> Vec<(String, f64)> {
    let mut areas: Vec<_> = building.elements.iter().map(|element| (element.id.clone(), element.area_m2)).collect();
    areas.sort_by(|a, b| a.0.cmp(&b.0));
    areas
}

fn turns() -> impl Strategy<Value = Motion> {
    let turn = prop_oneof![
        3 => 0.0..std::f64::consts::TAU,
        1 => prop::sample::select(vec![37.0_f64, 45.0, 90.0, 180.0, 270.0, 30.0, 1e-6]).prop_map(f64::to_radians),
    ];
    (turn, [-300.0..300.0, -300.0..300.0]).prop_map(|(turn_rad, by_m)| Motion { turn_rad, by_m, mirrored: false })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_same_is_said_of_a_plan_at_any_angle(plan in any_plan(), turn in turns()) {
        let turned = turn.scene(&plan);
        prop_assert_eq!(said(&plan), said(&turned));
        let (straight, turned) = (build(&plan, &catalogue()), build(&turned, &catalogue()));
        prop_assert_eq!(straight.is_ok(), turned.is_ok(), "{:?} {:?}", straight.err(), turned.err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_sound_house_is_refused_at_no_angle(house in any_house(), turn in turns()) {
        let turned = turn.scene(&house);
        for scene in [&house, &turned] {
            let errors: Vec<_> =
                validate(scene, &catalogue()).into_iter().filter(|problem| problem.severity == Severity::Error).collect();
            prop_assert!(errors.is_empty(), "{errors:?}");
        }
        let (straight, turned) = (build(&house, &catalogue()), build(&turned, &catalogue()));
        let built = |building: Result<Building, _>| building.map_err(|why| TestCaseError::fail(format!("{why:?}")));
        let (straight, turned) = (areas(&built(straight)?), areas(&built(turned)?));
        prop_assert_eq!(straight.len(), turned.len());
        for ((id, m2), (other, other_m2)) in straight.iter().zip(&turned) {
            prop_assert!(id == other && (m2 - other_m2).abs() < ALIKE_M2, "{id} {m2}, {other} {other_m2}");
        }
    }
}
