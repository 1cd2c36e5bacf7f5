//! Any sequence of edits: undoing all of it gives the scene it began with, and every scene on the way validates or says why not.

use leaklight::building::build;
use leaklight::edit::ducts::new_duct;
use leaklight::edit::{Edit, History, Item, Pick};
use leaklight::scene::{Scene, problem::any_error, validate::validate};
use proptest::prelude::*;

use super::{catalogue, empty, opening, worked};

/// An edit told by numbers, so that it fits whatever scene it meets.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    kind: u8,
    which: usize,
    other: usize,
    at: [f64; 2],
    to: [f64; 2],
}

pub(crate) fn told() -> impl Strategy<Value = Told> {
    let place = || {
        prop_oneof![
            // Round numbers make corners and walls meet.
            (-3i32..12, -3i32..12).prop_map(|(x, y)| [f64::from(x), f64::from(y)]),
            (-4.0..14.0, -4.0..14.0).prop_map(|(x, y)| [x, y]),
        ]
    };
    (0u8..18, 0usize..1000, 0usize..1000, place(), place()).prop_map(|(kind, which, other, at, to)| Told {
        kind,
        which,
        other,
        at,
        to,
    })
}

/// What the numbers mean for this scene; nothing when it has none of what they would change.
pub(crate) fn edit(told: &Told, scene: &Scene) -> Option<Edit> {
    let storey = &scene.storeys[told.which % scene.storeys.len()];
    let id = storey.id.clone();
    let walls: Vec<Pick> = storey.walls.iter().map(|wall| Pick::Wall(id.clone(), wall.id.clone())).collect();
    let mut all = walls.clone();
    all.extend(storey.nodes.iter().map(|node| Pick::Node(id.clone(), node.id.clone())));
    all.extend(storey.openings.iter().map(|opening| Pick::Opening(id.clone(), opening.id.clone())));
    all.extend(storey.rooms.iter().map(|room| Pick::Room(id.clone(), room.id.clone())));
    all.extend(scene.sources.iter().map(|source| Pick::Source(source.id.clone())));
    all.extend(scene.ducts.iter().map(|duct| Pick::Duct(duct.id.clone())));
    all.extend(scene.ducts.iter().map(|duct| Pick::Mouth(duct.id.clone(), told.other % 2)));
    all.extend(scene.listeners.iter().map(|listener| Pick::Listener(listener.id.clone())));
    let pick = |at: usize| (!all.is_empty()).then(|| all[at % all.len()].clone());
    let picks: Vec<Pick> = [pick(told.which), pick(told.other)].into_iter().flatten().collect();
    let by = [0.25 * told.to[0], 0.25 * told.to[1]];
    Some(match told.kind {
        0 | 1 => Edit::Draw { storey: id, points: vec![told.at, told.to], construction: "brick-102-plastered".into() },
        2 => Edit::Draw {
            storey: id,
            points: vec![told.at, told.to, [told.to[0], told.at[1]], told.at],
            construction: "stud-timber-100-board".into(),
        },
        3 | 4 => Edit::Rectangle {
            storey: id,
            corners: [told.at, told.to],
            construction: "brick-215-plastered".into(),
            name: format!("Room {}", told.other),
        },
        5 | 6 => Edit::Move { picks, by },
        7 => Edit::Delete(picks),
        8 => Edit::Duplicate { picks, by },
        9 => Edit::Mirror { picks, sideways: told.other.is_multiple_of(2) },
        10 if scene.storeys.len() < 4 => Edit::CopyUp(id),
        10 => Edit::RemoveStorey(id),
        11 if scene.storeys.len() < 4 => Edit::AddStorey,
        11 | 12 => {
            let Pick::Wall(_, wall) = walls.get(told.which % walls.len().max(1))?.clone() else { return None };
            Edit::Length { storey: id, wall, length_m: 0.5 + told.at[0].abs(), second: told.other.is_multiple_of(2) }
        }
        13 | 14 => {
            let Pick::Wall(_, wall) = walls.get(told.other % walls.len().max(1))?.clone() else { return None };
            let mut opening = opening(&wall.0, told.at[0].abs());
            opening.id = format!("opening-{}", told.which % 7).as_str().into();
            Edit::Put(Item::Opening(id, opening))
        }
        15 => Edit::Put(Item::Duct(new_duct(scene, (id.clone(), told.at), (id, told.to)))),
        _ => {
            let mut room = storey.rooms.get(told.other % storey.rooms.len().max(1))?.clone();
            room.at = told.to;
            Edit::Put(Item::Room(id, room))
        }
    })
}

fn any_sequence_holds(start: Scene, sequence: &[Told]) {
    let mut history = History::new(start.clone());
    for told in sequence {
        let Some(edit) = edit(told, history.scene()) else { continue };
        // Refused edits change nothing.
        let before = history.scene().clone();
        if history.edit(catalogue(), &[edit]).is_err() {
            assert_eq!(*history.scene(), before);
        }
        let problems = validate(history.scene(), catalogue());
        if !any_error(&problems)
            && let Err(why) = build(history.scene(), catalogue())
        {
            assert!(!why.is_empty());
        }
    }
    let after = history.scene().clone();
    let mut steps = 0;
    while history.undo().is_some() {
        steps += 1;
    }
    assert_eq!(**history.scene(), start, "after {steps} steps undone");
    while history.redo().is_some() {}
    assert_eq!(*history.scene(), after);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn from_nothing(sequence in prop::collection::vec(told(), 1..25)) {
        any_sequence_holds(empty().0, &sequence);
    }

    #[test]
    fn from_the_worked_example(sequence in prop::collection::vec(told(), 1..12)) {
        any_sequence_holds(worked(), &sequence);
    }
}
