//! What is remembered from solve to solve never shows: after any edits the answer is the one computed anew, to the last bit.

use leaklight::building::build;
use leaklight::catalogue::{Build, Catalogue, Layer};
use leaklight::scene::{Override, Scene, Workmanship, file};
use leaklight::solve::{Answer, Memory, solve, solve_with};
use proptest::prelude::*;

use super::properties::House;

/// One change as someone at the window makes it.
#[derive(Debug, Clone)]
enum Edit {
    MoveNode(usize, [f64; 2]),
    Rebuild(usize, &'static str),
    /// The scene's own construction of one name, its first sheet of another thickness.
    Thicken(f64),
    /// The same name, made of something else.
    Remake(&'static str),
    WidenDoor(f64),
    Spoil(Workmanship),
    Level(f64),
    MoveListener([f64; 2]),
    Warm(f64),
    EdgeLoss(f64),
    Undo,
}

const OWN: &str = "own";

fn edits() -> impl Strategy<Value = Edit> {
    let step = || [-0.2..0.2, -0.2..0.2];
    let names =
        || prop::sample::select(vec!["brick-102-plastered", "stud-timber-100-board", "stud-steel-twin-party", OWN]);
    let faults = vec![Workmanship::AsDrawn, Workmanship::SmallFaults, Workmanship::ShortCircuited];
    prop_oneof![
        (0usize..6, step()).prop_map(|(node, by_m)| Edit::MoveNode(node, by_m)),
        (0usize..7, names()).prop_map(|(wall, name)| Edit::Rebuild(wall, name)),
        (10.0..20.0).prop_map(Edit::Thicken),
        names().prop_map(Edit::Remake),
        (0.6..1.1).prop_map(Edit::WidenDoor),
        prop::sample::select(faults).prop_map(Edit::Spoil),
        (-20.0..20.0).prop_map(Edit::Level),
        step().prop_map(Edit::MoveListener),
        (5.0..30.0).prop_map(Edit::Warm),
        (0.0..3.0).prop_map(Edit::EdgeLoss),
        Just(Edit::Undo),
    ]
}

fn changed(scene: &Scene, before: &Scene, edit: &Edit) -> Scene {
    let mut scene = scene.clone();
    match edit {
        Edit::MoveNode(node, by_m) => {
            // On both storeys, so that walls stay above walls.
            for storey in &mut scene.storeys {
                let node = &mut storey.nodes[*node];
                node.at = [node.at[0] + by_m[0], node.at[1] + by_m[1]];
            }
        }
        Edit::Rebuild(wall, name) => scene.storeys[1].walls[*wall].construction = (*name).into(),
        Edit::Thicken(thick_mm) => {
            if let Build::Layers(layers) = &mut scene.constructions[0].build
                && let Some(Layer::Sheet { thickness_mm, .. }) = layers.first_mut()
            {
                *thickness_mm = *thick_mm;
            }
        }
        Edit::Remake(name) => scene.constructions = vec![own(name)],
        Edit::WidenDoor(width_m) => scene.storeys[1].openings[0].width_m = *width_m,
        Edit::Spoil(workmanship) => scene.storeys[1].walls[6].workmanship = *workmanship,
        Edit::Level(level_db) => scene.sources[0].level_db = *level_db,
        Edit::MoveListener(by_m) => {
            for listener in &mut scene.listeners {
                listener.at = [listener.at[0] + by_m[0], listener.at[1] + by_m[1]];
            }
        }
        Edit::Warm(temperature_c) => scene.air.temperature_c = *temperature_c,
        Edit::EdgeLoss(sum_m) => {
            scene.overrides = vec![Override::EdgeLoss { element: "upper/w0".into(), sum_m: *sum_m }];
        }
        Edit::Undo => scene = before.clone(),
    }
    scene
}

/// The scene's own construction, made as one of the catalogue.
fn own(like: &str) -> leaklight::catalogue::Construction {
    let known = Catalogue::built_in_ref().constructions.get(like);
    let mut made = known.unwrap_or(&Catalogue::built_in_ref().constructions["stud-timber-100-board"]).clone();
    made.id = OWN.into();
    made
}

/// All of an answer, every number to its last digit: two that read alike are alike to the last bit.
fn written(answer: &Answer) -> String {
    format!("{answer:?}")
}

fn both(memory: &mut Memory, scene: &Scene) -> Option<(String, String)> {
    let catalogue = Catalogue::built_in_ref();
    let building = build(scene, catalogue).ok()?;
    let remembered = solve_with(memory, scene, catalogue, &building);
    Some((written(&remembered), written(&solve(scene, catalogue, &building))))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

    #[test]
    fn a_memory_never_shows(all in prop::collection::vec(edits(), 6)) {
        let mut scene = House { partition: "stud-timber-100-board", floor: "joist-floor-plasterboard", ..House::default() }.scene();
        scene.constructions = vec![own("stud-timber-100-board")];
        scene.storeys[0].walls[6].construction = OWN.into();
        let (mut memory, mut before) = (Memory::default(), scene.clone());
        for edit in &all {
            let next = changed(&scene, &before, edit);
            (before, scene) = (scene, next);
            if let Some((remembered, anew)) = both(&mut memory, &scene) {
                prop_assert!(remembered == anew, "{edit:?}");
            }
        }
    }
}

/// The worked example with a treatment put in, changed and taken out again.
#[test]
fn the_worked_example_is_remembered_as_it_is() {
    let drawn = file::from_text(include_str!("../../scenes/bookshop-terrace.ron")).unwrap();
    let mut memory = Memory::default();
    let mut edited = drawn.clone();
    edited.storeys[1].walls[16].construction = "stud-steel-twin-party".into();
    edited.storeys[1].floor.construction = "joist-floor-plasterboard".into();
    let mut moved = edited.clone();
    moved.storeys[1].nodes[7].at[1] += 0.1;
    for scene in [&drawn, &edited, &moved, &drawn] {
        let (remembered, anew) = both(&mut memory, scene).unwrap();
        assert!(remembered == anew);
    }
}

/// Solving ever other buildings does not fill the memory: it grows no further once old results are dropped.
#[test]
fn a_memory_stays_small() {
    let catalogue = Catalogue::built_in_ref();
    let mut memory = Memory::default();
    let mut most = 0;
    for number in 0..200 {
        let depth_m = 3.0 + 0.01 * f64::from(number);
        let scene = House { depth_m, partition: "stud-timber-100-board", ..House::default() }.scene();
        let building = build(&scene, catalogue).unwrap();
        let _answer = solve_with(&mut memory, &scene, catalogue, &building);
        if number == 99 {
            most = memory.len();
        }
    }
    // Houses differ in how many ways count, by a few; a memory that kept all would have doubled.
    assert!(!memory.is_empty() && 10 * memory.len() <= 11 * most, "{} after {most}", memory.len());
}
