//! What is remembered from building to building never shows: after any edits the building, or what is wrong with it, is the one found anew.

use leaklight::building::{Memory, SpaceKind, build, build_with};
use leaklight::catalogue::{Build, Catalogue, Construction, Layer};
use leaklight::edit::History;
use leaklight::scene::{Scene, Usage, file};
use proptest::prelude::*;

use super::make;
use crate::edit::{Told, change, empty, told, worked};

/// One step of someone at work.
#[derive(Debug, Clone)]
enum Step {
    /// An edit.
    Edit(Told),
    Undo,
    /// Something no edit changes, by numbers.
    Else(u8, usize, f64),
    /// The catalogue is exchanged for one in which a construction of the same name is thicker, or back.
    Catalogue,
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        5 => told().prop_map(Step::Edit),
        1 => Just(Step::Undo),
        4 => (0u8..10, 0usize..1000, 0.0..1.0).prop_map(|(kind, which, by)| Step::Else(kind, which, by)),
        1 => Just(Step::Catalogue),
    ]
}

/// The first sheet of it thicker by some mm.
fn thicker(mut made: Construction, by_mm: f64) -> Construction {
    if let Build::Layers(layers) = &mut made.build
        && let Some(Layer::Sheet { thickness_mm, .. }) =
            layers.iter_mut().find(|layer| matches!(layer, Layer::Sheet { .. }))
    {
        *thickness_mm += by_mm;
    }
    made
}

/// The built-in catalogue with thicker walls of brick and another build under the name of a floor.
fn other_catalogue() -> Catalogue {
    let mut other = Catalogue::built_in_ref().clone();
    for id in ["brick-102-plastered", "brick-215-plastered"] {
        let made = thicker(other.constructions[id].clone(), 20.0);
        other.constructions.insert(id.into(), made);
    }
    let floor = other.constructions["joist-floor-plasterboard"].clone();
    for made in other.constructions.values_mut().filter(|made| made.id.contains("floor")) {
        made.build = floor.build.clone();
    }
    other
}

/// What the numbers mean for this scene.
fn changed(scene: &Scene, kind: u8, which: usize, by: f64) -> Scene {
    let mut scene = scene.clone();
    let storeys = scene.storeys.len();
    let Some(storey) = scene.storeys.get_mut(which % storeys.max(1)) else { return scene };
    fn one<T>(all: &mut [T], which: usize) -> Option<&mut T> {
        let at = which.checked_rem(all.len())?;
        all.get_mut(at)
    }
    match kind {
        // A construction of the scene's own takes the place of the catalogue's.
        0 => {
            let id = one(&mut storey.walls, which).map(|wall| wall.construction.clone());
            if let Some(known) = id.and_then(|id| Catalogue::built_in_ref().constructions.get(&id)) {
                scene.constructions = vec![thicker(known.clone(), 30.0 * by)];
            }
        }
        1 => scene.constructions.clear(),
        2 => scene.storeys.swap(which % storeys, storeys - 1),
        3 => (storey.level_m, storey.height_m) = (3.0 * by - 1.0, storey.height_m + by - 0.5),
        4 => storey.floor.construction = ["joist-floor-plasterboard", "no such thing"][which % 2].into(),
        5 => one(&mut storey.rooms, which).into_iter().for_each(|room| room.name = format!("{by:.1}")),
        6 => one(&mut storey.rooms, which).into_iter().for_each(|room| room.usage = Usage::Cavity),
        7 => one(&mut storey.openings, which).into_iter().for_each(|opening| opening.width_m = 4.0 * by - 0.5),
        8 => one(&mut scene.listeners, which).into_iter().for_each(|listener| listener.at[0] += by),
        _ => one(&mut storey.nodes, which).into_iter().for_each(|node| node.at[1] += 0.3 * by),
    }
    scene
}

fn holds(start: Scene, steps: &[Step]) -> Result<(), TestCaseError> {
    let catalogues = [Catalogue::built_in_ref().clone(), other_catalogue()];
    let mut which = 0;
    let mut memory = Memory::default();
    let mut history = History::new(start);
    // What no edit changes stays until the next edit takes up the drawing again.
    let mut shown = (**history.scene()).clone();
    for step in steps {
        match step {
            Step::Edit(told) => {
                if let Some(edit) = change(told, history.scene()) {
                    let _refused = history.edit(&catalogues[which], &edit);
                }
                shown = (**history.scene()).clone();
            }
            Step::Undo => {
                history.undo();
                shown = (**history.scene()).clone();
            }
            Step::Else(kind, at, by) => shown = changed(&shown, *kind, *at, *by),
            Step::Catalogue => which = 1 - which,
        }
        let anew = build(&shown, &catalogues[which]);
        prop_assert_eq!(build_with(&mut memory, &shown, &catalogues[which]), anew, "{:?}", step);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_memory_never_shows_from_the_worked_example(steps in prop::collection::vec(step(), 1..16)) {
        holds(worked(), &steps)?;
    }

    #[test]
    fn nor_from_nothing(steps in prop::collection::vec(step(), 1..25)) {
        holds(empty().0, &steps)?;
    }

    /// Inner shells and covers; rooms that become gaps of a shell are read as drawn ones.
    #[test]
    fn nor_in_a_room_within_a_room(steps in prop::collection::vec(step(), 1..16)) {
        holds(file::from_text(include_str!("../../scenes/room-within-a-room.ron")).unwrap(), &steps)?;
    }
}

/// Constructions are known by what they are: a heavier or thicker one of the same name makes another building at once.
#[test]
fn one_name_may_stand_for_another_build() {
    let walls = [
        ([0.0, 0.0, 8.0, 0.0], "outer"),
        ([8.0, 0.0, 8.0, 4.0], "outer"),
        ([8.0, 4.0, 0.0, 4.0], "outer"),
        ([0.0, 4.0, 0.0, 0.0], "outer"),
        ([4.0, 0.0, 4.0, 4.0], "inner"),
    ];
    let scene = make::scene(vec![make::storey("lower", 0.0, &walls), make::storey("upper", 3.0, &walls)]);
    let drawn = make::catalogue();
    let mut thick = drawn.clone();
    thick.constructions.insert("inner".into(), thicker(drawn.constructions["inner"].clone(), 100.0));
    // As thick as before, but too light to run through from storey to storey.
    let mut light = drawn.clone();
    light.materials.get_mut("stone").unwrap().density_kg_m3 = 300.0;
    let mut memory = Memory::default();
    let mut found = vec![];
    for catalogue in [&drawn, &thick, &light, &drawn] {
        let building = build_with(&mut memory, &scene, catalogue).unwrap();
        assert_eq!(building, build(&scene, catalogue).unwrap());
        found.push(building);
    }
    assert!(found[0] != found[1] && found[0] != found[2] && found[0] == found[3]);
    // Half of 8 m, less half an outer wall of 365 mm, less half an inner one of 200 or 300 mm; by 4 m less an outer wall.
    for (building, half_inner_m) in [(&found[0], 0.1), (&found[1], 0.15)] {
        let SpaceKind::Room(room) = &building.spaces[0].kind else { panic!("no room") };
        assert!((room.area_m2 - (4.0 - 0.1825 - half_inner_m) * (4.0 - 0.365)).abs() < 1e-6, "{}", room.area_m2);
    }
}

/// Whether minus zero is written or zero, the same is built: equal scenes have equal buildings.
#[test]
fn minus_zero_is_zero() {
    let walls = |zero: f64| {
        let corners = [[zero, zero], [5.0, zero], [5.0, 4.0], [zero, 4.0], [zero, zero]];
        corners.windows(2).map(|ends| ([ends[0][0], ends[0][1], ends[1][0], ends[1][1]], "inner")).collect::<Vec<_>>()
    };
    let [one, other] = [0.0, -0.0].map(|zero| make::scene(vec![make::storey("only", 0.0, &walls(zero))]));
    assert_eq!(one, other);
    let [one, other] = [one, other].map(|scene| format!("{:?}", build(&scene, &make::catalogue()).unwrap()));
    assert_eq!(one, other);
}

/// Whoever only plays louder or walks about finds the building in the memory, with nothing new in it.
#[test]
fn what_does_not_move_walls_builds_nothing() {
    let mut scene = worked();
    let mut memory = Memory::default();
    let catalogue = Catalogue::built_in_ref();
    build_with(&mut memory, &scene, catalogue).unwrap();
    let kept = memory.len();
    scene.sources[0].level_db += 3.0;
    scene.listeners[0].at[0] += 0.1;
    build_with(&mut memory, &scene, catalogue).unwrap();
    assert_eq!(memory.len(), kept);
    // A floor changes what is known of the whole, and no outline.
    scene.storeys[1].floor.construction = "joist-floor-plasterboard".into();
    build_with(&mut memory, &scene, catalogue).unwrap();
    assert_eq!(memory.len(), kept + 1);
}

/// As the window does: the memory goes to whichever thread builds next.
#[test]
fn a_memory_may_be_lent_to_another_thread() {
    let mut memory = Memory::default();
    let here = build_with(&mut memory, &worked(), Catalogue::built_in_ref());
    let there = std::thread::spawn(move || build_with(&mut memory, &worked(), Catalogue::built_in_ref()));
    assert_eq!(there.join().unwrap(), here);
}

/// Ever other buildings do not fill the memory.
#[test]
fn a_memory_of_buildings_stays_small() {
    let mut memory = Memory::default();
    let mut most = 0;
    for number in 0..120 {
        let mut scene = worked();
        scene.storeys[1].nodes[7].at[1] += 0.001 * f64::from(number);
        build_with(&mut memory, &scene, Catalogue::built_in_ref()).unwrap();
        if number == 59 {
            most = memory.len();
        }
    }
    assert!(!memory.is_empty() && memory.len() <= most, "{} after {most}", memory.len());
}
