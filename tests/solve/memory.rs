//! What is remembered from solve to solve never shows: after any edits the answer is the one computed anew, to the last bit.

use std::cell::Cell;

use leaklight::building::build;
use leaklight::catalogue::{Build, Catalogue, Layer};
use leaklight::edit::{Edit as Change, Item, Pick, StoreyHead, apply};
use leaklight::scene::{Ground, Override, Scene, Storey, Workmanship, file};
use leaklight::solve::{Answer, Memory, solve, solve_unless, solve_with};
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

/// What another air or another ground leaves as it is, and what it does not: between edits, each by itself, there and back.
#[test]
fn weather_and_grass_are_remembered_as_they_are() {
    let drawn = file::from_text(SCENES[2]).unwrap();
    let mut memory = Memory::default();
    let changes: [fn(&mut Scene); 4] = [
        |scene| scene.air.humidity_percent += 20.0,
        |scene| scene.outdoors.ground = Ground::Soft,
        |scene| scene.air.temperature_c -= 8.0,
        |scene| scene.storeys[0].nodes[1].at[0] += 0.2,
    ];
    let mut scenes = vec![drawn.clone()];
    for change in changes {
        let mut next = scenes[scenes.len() - 1].clone();
        change(&mut next);
        scenes.push(next);
    }
    let back: Vec<Scene> = scenes.iter().rev().cloned().collect();
    for scene in scenes.iter().chain(&back) {
        let (remembered, anew) = both(&mut memory, scene).unwrap();
        assert!(remembered == anew);
    }
}

/// Each solve of an edited scene is overtaken a little later than the one before: it stops, and what it leaves in the memory is sound.
#[test]
fn what_an_overtaken_solve_leaves_is_sound() {
    let catalogue = Catalogue::built_in_ref();
    let mut scene = file::from_text(SCENES[2]).unwrap();
    let mut memory = Memory::default();
    let (mut number, mut gone_on) = (0, 0);
    loop {
        number += 1;
        scene.air.temperature_c += 0.1;
        scene.storeys[0].openings[0].width_m -= 0.001;
        let building = build(&scene, catalogue).unwrap();
        let asked = Cell::new(0);
        let overtaken = || {
            asked.set(asked.get() + 1);
            asked.get() > 9 * number
        };
        let answer = solve_unless(&overtaken, &mut memory, &scene, catalogue, &building);
        gone_on = gone_on.max(asked.get() - 9 * number);
        let anew = written(&solve(&scene, catalogue, &building));
        assert!(written(&solve_with(&mut memory, &scene, catalogue, &building)) == anew);
        if let Some(answer) = answer {
            assert!(written(&answer) == anew);
            break;
        }
    }
    // It asks often, and obeys at once.
    assert!(number > 5 && gone_on == 1, "{number} {gone_on}");
}

/// Solving ever other buildings does not fill the memory: it grows no further once old results are dropped.
#[test]
fn a_memory_stays_small() {
    let catalogue = Catalogue::built_in_ref();
    let mut memory = Memory::default();
    // It is looked through now and then: what counts is how much it holds at most.
    let mut most = [0; 2];
    for number in 0..200 {
        let depth_m = 3.0 + 0.01 * f64::from(number);
        let scene = House { depth_m, partition: "stud-timber-100-board", ..House::default() }.scene();
        let building = build(&scene, catalogue).unwrap();
        let _answer = solve_with(&mut memory, &scene, catalogue, &building);
        let half = &mut most[usize::from(number >= 100)];
        *half = memory.len().max(*half);
    }
    // Houses differ in how many ways count, by a few; a memory that kept all would have doubled.
    assert!(most[0] > 0 && 10 * most[1] <= 11 * most[0], "{most:?}");
}

/// A change of a scene with shells, covers, voids, ducts or several houses, told by numbers, so that it fits whatever scene it meets.
#[derive(Debug, Clone)]
struct Told {
    kind: u8,
    which: usize,
    by: [f64; 2],
    workmanship: Workmanship,
}

fn told() -> impl Strategy<Value = Told> {
    let by = [-0.15..0.15, -0.15..0.15];
    (0u8..18, 0usize..1000, by, prop::sample::select(&Workmanship::ALL))
        .prop_map(|(kind, which, by, workmanship)| Told { kind, which, by, workmanship })
}

/// One of a list, if there is any.
fn one<T>(all: impl IntoIterator<Item = T>, which: usize) -> Option<T> {
    let all: Vec<T> = all.into_iter().collect();
    let at = which.checked_rem(all.len())?;
    all.into_iter().nth(at)
}

/// What the numbers mean for this scene; nothing when it has none of what they would change.
fn change(told: &Told, scene: &Scene) -> Option<Change> {
    let Told { kind, which, by, workmanship } = told.clone();
    let each = |of: fn(&Storey) -> usize| {
        one(scene.storeys.iter().flat_map(|storey| (0..of(storey)).map(move |at| (storey, at))), which)
    };
    Some(match kind {
        0 | 1 => {
            let (storey, at) = each(|storey| storey.nodes.len())?;
            Change::Move { picks: vec![Pick::Node(storey.id.clone(), storey.nodes[at].id.clone())], by }
        }
        2 => Change::Move { picks: vec![Pick::Listener(one(&scene.listeners, which)?.id.clone())], by },
        3 | 4 => {
            let (storey, at) = each(|storey| storey.walls.len())?;
            let mut wall = storey.walls[at].clone();
            if kind == 3 {
                wall.workmanship = workmanship;
            } else {
                wall.construction = "stud-timber-100-board".into();
            }
            Change::Put(Item::Wall(storey.id.clone(), wall))
        }
        5..=7 => {
            let (storey, at) = each(|storey| storey.openings.len())?;
            let mut opening = storey.openings[at].clone();
            match (kind, &mut opening.cover) {
                (5, _) => opening.width_m += 0.1 * by[0],
                (6, Some(cover)) => {
                    (cover.on, cover.gap_mm) = (which % 3 > 0, 150.0 + 300.0 * by[0]);
                    cover.workmanship = workmanship;
                }
                (6, none) => {
                    let drawn = scene.storeys.iter().flat_map(|storey| &storey.openings);
                    *none = Some(drawn.filter_map(|opening| opening.cover.clone()).next()?);
                }
                _ => opening.workmanship = workmanship,
            }
            Change::Put(Item::Opening(storey.id.clone(), opening))
        }
        8 | 9 => {
            let shelled = |storey: &Storey| storey.rooms.iter().position(|room| room.inner_shell.is_some());
            let (storey, at) = scene.storeys.iter().find_map(|storey| Some((storey, shelled(storey)?)))?;
            let mut room = storey.rooms[at].clone();
            let shell = room.inner_shell.as_mut()?;
            let face = match which % 3 {
                0 => &mut shell.walls,
                1 => &mut shell.ceiling,
                _ => &mut shell.floor,
            };
            match face {
                Some(face) if kind == 8 => (face.gap_mm, face.workmanship) = (100.0 + 200.0 * by[1], workmanship),
                face => *face = None,
            }
            Change::Put(Item::Room(storey.id.clone(), room))
        }
        10 => {
            let (storey, at) = each(|storey| storey.rooms.len())?;
            let mut room = storey.rooms[at].clone();
            room.furniture_m2 += 10.0 * by[0].abs();
            Change::Put(Item::Room(storey.id.clone(), room))
        }
        11 => {
            let mut source = one(&scene.sources, which)?.clone();
            source.level_db += 10.0 * by[0];
            Change::Put(Item::Source(source))
        }
        12 => {
            let (storey, at) = each(|storey| storey.openings.len())?;
            Change::Delete(vec![Pick::Opening(storey.id.clone(), storey.openings[at].id.clone())])
        }
        13 => {
            let (storey, at) = each(|storey| storey.walls.len())?;
            Change::Delete(vec![Pick::Wall(storey.id.clone(), storey.walls[at].id.clone())])
        }
        14 => {
            let mut storey = StoreyHead::of(one(&scene.storeys, which)?);
            storey.height_m += by[0];
            Change::Put(Item::Storey(storey))
        }
        _ => return None,
    })
}

/// Of what is told otherwise than by picks: a duct becomes longer or lined, it becomes warmer or damper, grass grows or is paved over.
fn told_of_the_rest(told: &Told, scene: &Scene) -> Scene {
    let mut scene = scene.clone();
    if told.kind > 15 {
        match told.which % 3 {
            0 => scene.air.temperature_c += 10.0 * told.by[0],
            1 => scene.air.humidity_percent += 50.0 * told.by[0],
            _ => scene.outdoors.ground = if told.by[0] > 0.0 { Ground::Soft } else { Ground::Hard },
        }
        return scene;
    }
    for duct in &mut scene.ducts {
        duct.length_m += told.by[0];
        duct.lining = told.which.is_multiple_of(2).then(|| "mineral-wool-panel-50".into());
    }
    scene
}

const SCENES: [&str; 4] = [
    include_str!("../../scenes/room-within-a-room.ron"),
    include_str!("../../scenes/shared-void.ron"),
    include_str!("../../scenes/village-hall.ron"),
    include_str!("../../scenes/bookshop-terrace.ron"),
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 9, ..ProptestConfig::default() })]

    /// Shells, covers, platforms, voids, ducts and façades that mirror each other; every third edit is taken back.
    #[test]
    fn nor_does_it_in_any_scene(which in 0usize..4, all in prop::collection::vec(told(), 8)) {
        let mut memory = Memory::default();
        let mut scene = file::from_text(SCENES[which]).unwrap();
        let mut before = scene.clone();
        for (number, told) in all.iter().enumerate() {
            let next = match change(told, &scene) {
                _ if number % 3 == 2 => before.clone(),
                Some(change) => apply(&scene, Catalogue::built_in_ref(), &change).unwrap_or_else(|_| scene.clone()),
                None => told_of_the_rest(told, &scene),
            };
            (before, scene) = (scene, next);
            if let Some((remembered, anew)) = both(&mut memory, &scene) {
                prop_assert!(remembered == anew, "{told:?}");
            }
        }
    }
}

/// Each scene as it is, then with a house across the street that mirrors it, then with that house elsewhere, then as it was.
#[test]
fn a_mirror_is_remembered_with_all_it_mirrors() {
    let catalogue = Catalogue::built_in_ref();
    for text in SCENES {
        let drawn = file::from_text(text).unwrap();
        let storey = &drawn.storeys[0];
        let least = |axis: usize| storey.nodes.iter().map(|node| node.at[axis]).fold(f64::INFINITY, f64::min);
        let (x, y) = (least(0), least(1) - 5.0);
        let opposite = Change::Rectangle {
            storey: storey.id.clone(),
            corners: [[x, y - 3.0], [x + 9.0, y]],
            construction: "brick-215-plastered".into(),
            name: "Opposite".into(),
        };
        let faced = apply(&drawn, catalogue, &opposite).unwrap();
        let is_new = |id| storey.nodes.iter().all(|node| node.id != id);
        let corners = faced.storeys[0].nodes.iter().map(|node| node.id.clone()).filter(|id| is_new(id.clone()));
        let picks = corners.map(|id| Pick::Node(storey.id.clone(), id)).collect();
        let nearer = apply(&faced, catalogue, &Change::Move { picks, by: [0.0, 0.75] }).unwrap();
        let mut memory = Memory::default();
        let mut all = vec![];
        for scene in [&drawn, &faced, &nearer, &drawn] {
            let (remembered, anew) = both(&mut memory, scene).unwrap();
            assert!(remembered == anew);
            all.push(anew);
        }
        assert!(all[0] != all[1] && all[1] != all[2] && all[0] == all[3]);
    }
}

/// Each scene with its rooms in another order, then its walls, then with its highest storey taken away, and each time as it was: spaces, elements and junctions
/// have other numbers, and what is known of them belongs to others of that number.
#[test]
fn what_is_known_goes_by_no_number() {
    let catalogue = Catalogue::built_in_ref();
    for text in SCENES {
        let drawn = file::from_text(text).unwrap();
        let (mut rooms, mut walls) = (drawn.clone(), drawn.clone());
        rooms.storeys.iter_mut().for_each(|storey| storey.rooms.reverse());
        walls.storeys.iter_mut().for_each(|storey| storey.walls.reverse());
        let highest = Change::RemoveStorey(drawn.storeys.last().unwrap().id.clone());
        let lower = apply(&drawn, catalogue, &highest).unwrap_or_else(|_| rooms.clone());
        let mut memory = Memory::default();
        for scene in [&drawn, &rooms, &drawn, &walls, &rooms, &lower, &drawn] {
            let Some((remembered, anew)) = both(&mut memory, scene) else { continue };
            assert!(remembered == anew, "{}", drawn.name);
        }
    }
}
