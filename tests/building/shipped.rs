//! The scenes that come with the program, as buildings.

use std::path::Path;

use leaklight::building::{Building, Element, JunctionKind, SpaceIndex, SpaceKind, build};
use leaklight::catalogue::Catalogue;

fn shipped(name: &str) -> Building {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name);
    let scene = leaklight::scene::file::read(&path).unwrap();
    build(&scene, Catalogue::built_in_ref()).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"))
}

fn element<'a>(building: &'a Building, id: &str) -> &'a Element {
    building.elements.iter().find(|element| element.id == id).unwrap_or_else(|| panic!("no {id}"))
}

fn name(building: &Building, space: SpaceIndex) -> &str {
    &building.spaces[space.0].name
}

#[test]
fn in_the_terrace_one_loft_lies_over_both_houses() {
    let building = shipped("bookshop-terrace.ron");
    let rooms = building.spaces.iter().filter(|space| matches!(space.kind, SpaceKind::Room(_))).count();
    assert_eq!((rooms, building.spaces.len()), (15, 17));
    assert!(building.spaces.iter().all(|space| !space.name.starts_with("unnamed")));
    let loft = "loft over no. 10 and no. 12";
    for below in ["rehearsal", "bedroom-10", "office", "back-bedroom-10", "landing"] {
        let ceiling = element(&building, &format!("floor:loft-10-12/{below}"));
        assert_eq!(name(&building, ceiling.sides[0]), loft);
    }
    let party = element(&building, "first/party-10-front");
    assert_eq!(party.sides.map(|side| name(&building, side)), ["bedroom, no. 10", "rehearsal room"]);
    // The party wall stops at the ceiling: no wall stands on it, and the ceilings meet over it.
    let on_it = building
        .junctions
        .iter()
        .filter(|junction| junction.kind == JunctionKind::Horizontal && junction.storey == 2)
        .find(|junction| building.elements[junction.arms[0].element.0].id == "first/party-10-front")
        .unwrap();
    let ids: Vec<&str> = on_it.arms.iter().map(|arm| building.elements[arm.element.0].id.as_str()).collect();
    assert_eq!(ids, ["first/party-10-front", "floor:loft-10-12/bedroom-10", "floor:loft-10-12/rehearsal"]);
}

#[test]
fn in_the_terrace_doors_windows_and_people_are_where_they_are_drawn() {
    let building = shipped("bookshop-terrace.ron");
    let openings = |id: &str| -> Vec<&str> {
        element(&building, id).openings.iter().map(|opening| opening.opening.0.as_str()).collect()
    };
    assert_eq!(openings("first/street-rehearsal"), ["sash-1", "sash-2", "air-brick"]);
    assert_eq!(openings("first/landing-rehearsal"), ["rehearsal-door"]);
    assert_eq!(name(&building, building.sources[0].space), "rehearsal room");
    let heard_in: Vec<&str> = building.listeners.iter().map(|listener| name(&building, listener.space)).collect();
    assert_eq!(heard_in.iter().filter(|place| **place == "outdoors").count(), 2);
    assert_eq!(heard_in[0], "bedroom, no. 10");
}

/// The landing wall carries the floor joists over the hall (they run along x); the ceiling joists along it cannot run on.
#[test]
fn in_the_terrace_joists_run_on_where_they_cross_the_landing_wall() {
    let building = shipped("bookshop-terrace.ron");
    let runs_on = |storey: usize, pair: [&str; 2]| {
        let ids = pair.map(|id| building.elements.iter().position(|element| element.id == id).unwrap());
        let junction = building.junctions.iter().find(|junction| {
            junction.storey == storey && ids.iter().all(|id| junction.arms.iter().any(|arm| arm.element.0 == *id))
        });
        junction.unwrap().arms.iter().find(|arm| arm.element.0 == ids[0]).unwrap().continuous
    };
    assert!(runs_on(1, ["floor:rehearsal/shop", "floor:landing/hall"]));
    assert!(!runs_on(2, ["floor:loft-10-12/rehearsal", "floor:loft-10-12/landing"]));
    assert!(runs_on(2, ["floor:loft-10-12/rehearsal", "floor:loft-10-12/office"]));
    assert!(!runs_on(2, ["floor:loft-10-12/rehearsal", "floor:loft-10-12/bedroom-10"]));
    assert!(!runs_on(0, ["ground:shop", "ground:front-room-10"]));
}

#[test]
fn in_the_school_the_slab_runs_on_under_the_floating_floor_and_half_of_it_is_roofed() {
    let building = shipped("music-school.ron");
    assert_eq!(building.spaces.len(), 19 + 2);
    for roofed in ["ensemble-room", "corridor", "stairs", "study"] {
        element(&building, &format!("roof:{roofed}"));
    }
    assert!(building.elements.iter().all(|element| element.id != "roof:drum-room"));
    let at = |id: &str| building.elements.iter().position(|element| element.id == id).unwrap();
    let (floating, bare) = (at("floor:drum-room/classroom"), at("floor:brass-room/classroom"));
    let junction = building
        .junctions
        .iter()
        .find(|junction| [floating, bare].iter().all(|id| junction.arms.iter().any(|arm| arm.element.0 == *id)))
        .unwrap();
    let arm = junction.arms.iter().find(|arm| arm.element.0 == floating).unwrap();
    assert!(arm.continuous && junction.arms[arm.straight.unwrap()].element.0 == bare);
}

/// Two buildings of one scene stand apart, with the lane between them; the roof of the hall is its ceiling, the cottage has a loft.
#[test]
fn at_the_hall_the_cottage_stands_apart() {
    let building = shipped("village-hall.ron");
    let rooms = building.spaces.iter().filter(|space| matches!(space.kind, SpaceKind::Room(_))).count();
    assert_eq!((rooms, building.spaces.len()), (8, 10));
    assert!(building.spaces.iter().all(|space| !space.name.starts_with("unnamed")));
    for (id, inside) in
        [("ground/lane-store", "store behind the stage"), ("ground/lane-bedroom", "bedroom of the cottage")]
    {
        let sides = element(&building, id).sides.map(|side| name(&building, side));
        assert!(sides.contains(&"outdoors") && sides.contains(&inside), "{id}: {sides:?}");
    }
    element(&building, "roof:hall");
    element(&building, "floor:cottage-loft/bedroom");
    assert_eq!(name(&building, building.sources[0].space), "hall");
    let outdoors = building.listeners.iter().filter(|listener| name(&building, listener.space) == "outdoors").count();
    assert_eq!((outdoors, building.listeners.len()), (4, 8));
}

/// Equal rooms in equal pairs: the two differ in nothing but what is bought.
#[test]
fn foam_and_lining_begin_with_equal_rooms() {
    let building = shipped("foam-or-lining.ron");
    let volume = |id: &str| {
        building.spaces.iter().find_map(|space| match &space.kind {
            SpaceKind::Room(room) if room.room.0 == id => Some(room.volume_m3),
            _ => None,
        })
    };
    for (foam, lining) in [("foam-room", "lining-room"), ("foam-neighbour", "lining-neighbour")] {
        let apart = volume(foam).unwrap() / volume(lining).unwrap() - 1.0;
        // The lining takes some centimetres of the rooms.
        assert!(apart.abs() < 0.05, "{foam}: {apart:.3}");
    }
    let ids = |id: &str| element(&building, id).sides.map(|side| name(&building, side));
    // Layers count from the left: the lining, listed last, lies in the practice room.
    assert_eq!(ids("ground/lining-party"), ["neighbour of the lining", "practice room with lining"]);
}
