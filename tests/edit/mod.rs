//! Edits: what each does to a plan, and what must hold after any sequence of them.

mod any;
mod ducts;
mod variants;

use leaklight::building::{build, enclosed};
use leaklight::catalogue::Catalogue;
use leaklight::edit::{Edit, History, Item, Pick, apply, beside, copies, nothing_drawn};
use leaklight::scene::{NodeId, Opening, Override, Scene, StoreyId, Workmanship, file};
use leaklight::solve::solve;

pub(super) fn catalogue() -> &'static Catalogue {
    Catalogue::built_in_ref()
}

/// The worked example.
pub(crate) fn worked() -> Scene {
    file::read(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bookshop-terrace.ron")).unwrap()
}

/// A scene with one empty storey, and the storey's id.
pub(crate) fn empty() -> (Scene, StoreyId) {
    let text = "(format: 1, name: \"empty\", storeys: [])";
    let scene = apply(&file::from_text(text).unwrap(), catalogue(), &Edit::AddStorey).unwrap();
    let id = scene.storeys[0].id.clone();
    (scene, id)
}

fn done(scene: &Scene, edit: Edit) -> Scene {
    apply(scene, catalogue(), &edit).unwrap()
}

fn rectangle(storey: &StoreyId, corners: [[f64; 2]; 2], name: &str) -> Edit {
    let construction = "brick-215-plastered".to_owned();
    Edit::Rectangle { storey: storey.clone(), corners, construction, name: name.to_owned() }
}

fn draw(storey: &StoreyId, points: &[[f64; 2]], construction: &str) -> Edit {
    Edit::Draw { storey: storey.clone(), points: points.to_vec(), construction: construction.to_owned() }
}

fn opening(wall: &str, offset_m: f64) -> Opening {
    Opening {
        id: "door".into(),
        name: String::new(),
        wall: wall.into(),
        construction: "door-solid-core-44".into(),
        offset_m,
        width_m: 0.9,
        height_m: 2.0,
        sill_m: 0.0,
        seal: Some("worn".into()),
        undercut_mm: 0.0,
        cover: None,
        workmanship: Workmanship::AsDrawn,
    }
}

/// Where the middle of an opening lies in the plan, m.
fn middle(scene: &Scene, id: &str) -> [f64; 2] {
    let storey = &scene.storeys[0];
    let opening = storey.openings.iter().find(|opening| opening.id.0 == id).unwrap();
    let wall = storey.walls.iter().find(|wall| wall.id == opening.wall).unwrap();
    let at = |id: &NodeId| storey.nodes.iter().find(|node| node.id == *id).unwrap().at;
    let ([x, y], [u, v]) = (at(&wall.from), at(&wall.to));
    let part = (opening.offset_m + 0.5 * opening.width_m) / (u - x).hypot(v - y);
    [x + (u - x) * part, y + (v - y) * part]
}

#[test]
fn a_building_can_be_drawn_from_nothing() {
    let scene = nothing_drawn(catalogue());
    let text = file::to_text(&scene).unwrap();
    assert_eq!(file::from_text(&text).unwrap(), scene);
    let storey = scene.storeys[0].id.clone();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [5.0, 4.0]], "Shed"));
    assert!(build(&scene, catalogue()).is_ok());
}

#[test]
fn a_rectangle_is_a_room() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [5.0, 4.0]], "Practice room"));
    let drawn = &scene.storeys[0];
    assert_eq!((drawn.nodes.len(), drawn.walls.len(), drawn.rooms.len()), (4, 4, 1));
    assert_eq!(drawn.rooms[0].id.0, "practice-room");
    // By hand: 5 by 4 m less half of 241 mm all round.
    let found = enclosed(&scene, catalogue(), 0);
    assert!((found[0].area_m2 - 4.759 * 3.759).abs() < 1e-6, "{}", found[0].area_m2);
}

#[test]
fn a_wall_that_ends_on_another_cuts_it_and_makes_two_rooms() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [6.0, 4.0]], "Hall"));
    let scene = done(&scene, draw(&storey, &[[2.0, 0.0], [2.0, 4.0]], "brick-102-plastered"));
    let drawn = &scene.storeys[0];
    assert_eq!((drawn.nodes.len(), drawn.walls.len()), (6, 7));
    let found = enclosed(&scene, catalogue(), 0);
    assert_eq!(found.len(), 2);
    // The marker stays where it was, in the larger part.
    let named = found.iter().find(|space| space.room.is_some()).unwrap();
    assert!(named.holds(drawn.rooms[0].at) && named.area_m2 > 12.0);
}

#[test]
fn crossing_walls_are_cut() {
    let (scene, storey) = empty();
    let scene = done(&scene, draw(&storey, &[[0.0, 1.0], [4.0, 1.0]], "concrete-180"));
    let scene = done(&scene, draw(&storey, &[[2.0, -1.0], [2.0, 3.0]], "concrete-180"));
    assert_eq!((scene.storeys[0].nodes.len(), scene.storeys[0].walls.len()), (5, 4));
}

#[test]
fn openings_stay_where_they_are_when_their_wall_is_cut_and_made_whole_again() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [6.0, 4.0]], "Hall"));
    let wall = scene.storeys[0].walls[0].id.0.clone();
    let scene = done(&scene, Edit::Put(Item::Opening(storey.clone(), opening(&wall, 4.0))));
    let place = middle(&scene, "door");
    let cut = done(&scene, draw(&storey, &[[2.0, 0.0], [2.0, 4.0]], "brick-102-plastered"));
    assert!(middle(&cut, "door").iter().zip(place).all(|(now, was)| (now - was).abs() < 1e-9));
    assert_ne!(cut.storeys[0].openings[0].wall.0, wall);
    let divider = cut.storeys[0].walls.iter().find(|wall| wall.construction == "brick-102-plastered").unwrap();
    let whole = done(&cut, Edit::Delete(vec![Pick::Wall(storey.clone(), divider.id.clone())]));
    assert_eq!((whole.storeys[0].nodes.len(), whole.storeys[0].walls.len()), (4, 4));
    assert!(middle(&whole, "door").iter().zip(place).all(|(now, was)| (now - was).abs() < 1e-9));
}

#[test]
fn a_moved_wall_takes_its_room_along() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [6.0, 4.0]], "Left"));
    let scene = done(&scene, rectangle(&storey, [[6.0, 0.0], [9.0, 4.0]], "Right"));
    let dividing = |scene: &Scene| {
        let storey = &scene.storeys[0];
        let at = |id: &NodeId| storey.nodes.iter().find(|node| node.id == *id).unwrap().at;
        let wall = storey.walls.iter().find(|wall| at(&wall.from)[0] == 6.0 && at(&wall.to)[0] == 6.0).unwrap();
        wall.id.clone()
    };
    // Moved past the marker of the room on its left: the marker is put back into that room.
    let moved = done(&scene, Edit::Move { picks: vec![Pick::Wall(storey, dividing(&scene))], by: [-4.0, 0.0] });
    let found = enclosed(&moved, catalogue(), 0);
    let of = |id: &str| found.iter().find(|space| space.room.as_ref().is_some_and(|room| room.0 == id)).unwrap();
    assert!((of("left").area_m2 - (2.0 - 0.241) * (4.0 - 0.241)).abs() < 1e-6, "{}", of("left").area_m2);
    assert!((of("right").area_m2 - (7.0 - 0.241) * (4.0 - 0.241)).abs() < 1e-6);
}

#[test]
fn deleting_a_wall_between_two_rooms_leaves_one_marker() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [6.0, 4.0]], "Large"));
    let scene = done(&scene, rectangle(&storey, [[6.0, 0.0], [8.0, 4.0]], "Small"));
    let wall = scene.storeys[0].walls.iter().find(|wall| {
        let at = |id: &NodeId| scene.storeys[0].nodes.iter().find(|node| node.id == *id).unwrap().at;
        at(&wall.from)[0] == 6.0 && at(&wall.to)[0] == 6.0
    });
    let scene = done(&scene, Edit::Delete(vec![Pick::Wall(storey, wall.unwrap().id.clone())]));
    let names: Vec<_> = scene.storeys[0].rooms.iter().map(|room| room.name.as_str()).collect();
    assert_eq!(names, ["Large"]);
    assert!(build(&scene, catalogue()).is_ok());
}

/// What is known better of a wall goes with it, and comes back with it: a scene that speaks of what is not there would be refused.
#[test]
fn overrides_go_with_what_they_are_of() {
    let (scene, storey) = empty();
    let mut scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [8.0, 4.0]], "hall"));
    scene = done(&scene, draw(&storey, &[[4.0, 0.0], [4.0, 4.0]], "brick-102-plastered"));
    let building = build(&scene, catalogue()).unwrap();
    scene.overrides = building
        .elements
        .iter()
        // A space without a marker has no name of its own to be told by.
        .filter(|element| !element.id.contains("unnamed"))
        .map(|element| Override::EdgeLoss { element: element.id.clone(), sum_m: 1.0 })
        .collect();
    assert!(build(&scene, catalogue()).is_ok());
    let divider =
        scene.storeys[0].walls.iter().find(|wall| wall.construction == "brick-102-plastered").unwrap().clone();
    let open = done(&scene, Edit::Delete(vec![Pick::Wall(storey.clone(), divider.id.clone())]));
    assert!(!open.overrides.is_empty() && open.overrides.len() < scene.overrides.len());
    build(&open, catalogue()).unwrap_or_else(|problems| panic!("{problems:?}"));
    // One that never was is no matter of an edit, and stays to be put right.
    scene.overrides.push(Override::EdgeLoss { element: "ghost".into(), sum_m: 1.0 });
    let open = done(&scene, Edit::Delete(vec![Pick::Wall(storey, divider.id.clone())]));
    assert!(open.overrides.contains(scene.overrides.last().unwrap()));
    assert!(build(&open, catalogue()).is_err());
}

#[test]
fn a_room_that_is_opened_leaves_its_neighbour_alone() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [6.0, 4.0]], "Large"));
    let scene = done(&scene, rectangle(&storey, [[6.0, 0.0], [8.0, 4.0]], "Small"));
    let drawn = &scene.storeys[0];
    let x = |id: &NodeId| drawn.nodes.iter().find(|node| node.id == *id).unwrap().at[0];
    let outer = drawn.walls.iter().find(|wall| x(&wall.from) == 0.0 && x(&wall.to) == 0.0).unwrap();
    let open = done(&scene, Edit::Delete(vec![Pick::Wall(storey.clone(), outer.id.clone())]));
    assert_eq!(open.storeys[0].rooms, drawn.rooms);
    let found = enclosed(&open, catalogue(), 0);
    assert!(matches!(&found[..], [only] if only.room.as_ref().is_some_and(|room| room.0 == "small")), "{found:?}");
    // Closed again, both have what they had.
    let closed = done(&open, draw(&storey, &[[0.0, 0.0], [0.0, 4.0]], &outer.construction));
    assert_eq!(closed.storeys[0].rooms, drawn.rooms);
    assert!(build(&closed, catalogue()).is_ok());
}

/// A room between others is copied beside the house, whole, and its copy is told from it.
#[test]
fn a_copied_room_stands_free_and_is_what_is_picked_next() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [6.0, 4.0]], "Left"));
    let own: Vec<Pick> = {
        let drawn = &scene.storeys[0];
        let walls = drawn.walls.iter().map(|wall| Pick::Wall(storey.clone(), wall.id.clone()));
        walls.chain([Pick::Room(storey.clone(), drawn.rooms[0].id.clone())]).collect()
    };
    let scene = done(&scene, rectangle(&storey, [[6.0, 0.0], [9.0, 4.0]], "Right"));
    let by = beside(&scene, &own);
    assert_eq!(by, [10.0, 0.0]);
    let after = done(&scene, Edit::Duplicate { picks: own.clone(), by });
    let built = build(&after, catalogue()).unwrap();
    let area = |name: &str| built.spaces.iter().filter(move |space| space.name == name).count();
    assert_eq!((area("Left"), area("Right")), (2, 1));
    let fresh = copies(&scene, &after, &own);
    assert_eq!(fresh.len(), 5);
    assert!(fresh.iter().all(|pick| !own.contains(pick)));
}

/// A copied window finds room beside those that are there, on the nearer side, until none is left.
#[test]
fn a_copied_opening_takes_no_others_place() {
    let (scene, storey) = empty();
    let scene = done(&scene, draw(&storey, &[[0.0, 0.0], [5.0, 0.0]], "brick-102-plastered"));
    let wall = scene.storeys[0].walls[0].id.0.clone();
    let mut scene = done(&scene, Edit::Put(Item::Opening(storey.clone(), opening(&wall, 1.2))));
    let width_m = scene.storeys[0].openings[0].width_m;
    let picks = vec![Pick::Opening(storey.clone(), scene.storeys[0].openings[0].id.clone())];
    let mut count = 1;
    while let Ok(after) = apply(&scene, catalogue(), &Edit::Duplicate { picks: picks.clone(), by: [0.5, -0.5] }) {
        scene = after;
        count += 1;
        let mut from_m: Vec<f64> = scene.storeys[0].openings.iter().map(|opening| opening.offset_m).collect();
        from_m.sort_by(f64::total_cmp);
        assert!(from_m.windows(2).all(|pair| pair[1] - pair[0] >= width_m - 1e-9), "{from_m:?}");
        assert!(from_m[0] >= 0.0 && from_m[from_m.len() - 1] + width_m <= 5.0 + 1e-9);
    }
    assert!(count >= 4, "{count} of {width_m} m");
}

#[test]
fn a_storey_made_higher_lifts_those_above() {
    let scene = worked();
    let mut head = scene.storeys[0].clone();
    head.height_m += 0.3;
    let after = done(&scene, Edit::Put(Item::Storey(head)));
    let levels = |scene: &Scene| scene.storeys.iter().map(|storey| storey.level_m).collect::<Vec<_>>();
    let lifted: Vec<f64> = levels(&after).iter().zip(levels(&scene)).map(|(now, was)| now - was).collect();
    assert!(lifted[0] == 0.0 && lifted[1..].iter().all(|m| (m - 0.3).abs() < 1e-12), "{lifted:?}");
    assert!(build(&after, catalogue()).is_ok());
}

#[test]
fn a_wall_gets_the_length_asked_for() {
    let (scene, storey) = empty();
    let scene = done(&scene, draw(&storey, &[[0.0, 0.0], [3.0, 4.0]], "concrete-180"));
    let wall = scene.storeys[0].walls[0].id.clone();
    let scene = done(&scene, Edit::Length { storey: storey.clone(), wall: wall.clone(), length_m: 7.5, second: true });
    assert!(
        scene.storeys[0].nodes.iter().any(|node| (node.at[0] - 4.5).abs() < 1e-9 && (node.at[1] - 6.0).abs() < 1e-9)
    );
    let refused = apply(&scene, catalogue(), &Edit::Length { storey, wall, length_m: f64::NAN, second: true });
    assert!(refused.is_err());
}

#[test]
fn a_storey_copied_upwards_stands_on_the_one_below() {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [6.0, 4.0]], "Flat"));
    let scene = done(&scene, Edit::CopyUp(storey));
    assert_eq!(scene.storeys.len(), 2);
    let building = build(&scene, catalogue()).unwrap();
    let floor = building.elements.iter().find(|element| element.id.starts_with("floor:")).unwrap();
    assert!((floor.area_m2 - 5.759 * 3.759).abs() < 1e-6, "{}", floor.area_m2);
}

/// A house mirrored about itself and moved away gives every listener the same level: the building is the same.
#[test]
fn a_house_turned_over_sounds_the_same() {
    let scene = worked();
    let picks: Vec<Pick> = scene
        .storeys
        .iter()
        .flat_map(|storey| {
            let walls = storey.walls.iter().map(|wall| Pick::Wall(storey.id.clone(), wall.id.clone()));
            walls.chain(storey.rooms.iter().map(|room| Pick::Room(storey.id.clone(), room.id.clone())))
        })
        .chain(scene.sources.iter().map(|source| Pick::Source(source.id.clone())))
        .chain(scene.listeners.iter().map(|listener| Pick::Listener(listener.id.clone())))
        .collect();
    let turned = done(&scene, Edit::Mirror { picks: picks.clone(), sideways: true });
    let moved = done(&turned, Edit::Move { picks, by: [3.0, -2.0] });
    let levels = |scene: &Scene| {
        let building = build(scene, catalogue()).unwrap();
        solve(scene, catalogue(), &building).listeners.iter().map(|heard| heard.la_db).collect::<Vec<_>>()
    };
    // Joists lie the way they lay: only those across the mirror's line would turn, and these run along or across it.
    for (was, now) in levels(&scene).iter().zip(levels(&moved)) {
        assert!((was - now).abs() < 0.01, "{was} {now}");
    }
}

#[test]
fn an_opening_is_pushed_no_further_than_its_wall() {
    let (scene, storey) = empty();
    let scene = done(&scene, draw(&storey, &[[0.0, 0.0], [3.0, 0.0]], "concrete-180"));
    let wall = scene.storeys[0].walls[0].id.0.clone();
    let scene = done(&scene, Edit::Put(Item::Opening(storey.clone(), opening(&wall, 1.0))));
    let far = done(&scene, Edit::Move { picks: vec![Pick::Opening(storey, "door".into())], by: [9.0, 2.0] });
    assert!((far.storeys[0].openings[0].offset_m - 2.1).abs() < 1e-9);
}

#[test]
fn what_is_undone_can_be_done_again_until_something_else_is_done() {
    let (scene, storey) = empty();
    let mut history = History::new(scene.clone());
    assert!(history.edit(catalogue(), &[rectangle(&storey, [[0.0, 0.0], [5.0, 4.0]], "A")]).unwrap());
    let drawn = history.scene().clone();
    assert_eq!(history.undo().as_deref(), Some("draw A"));
    assert_eq!(**history.scene(), scene);
    assert!(history.redo().is_some() && *history.scene() == drawn);
    history.undo();
    history.edit(catalogue(), &[rectangle(&storey, [[0.0, 0.0], [3.0, 3.0]], "B")]).unwrap();
    assert!(history.redo().is_none());
    // Putting in what is there already is no step.
    let room = history.scene().storeys[0].rooms[0].clone();
    let steps = history.done().len();
    assert!(!history.edit(catalogue(), &[Edit::Put(Item::Room(storey, room))]).unwrap());
    assert_eq!(history.done().len(), steps);
}

#[test]
fn what_is_not_there_is_refused_in_words() {
    let (scene, storey) = empty();
    let refused = apply(&scene, catalogue(), &Edit::Put(Item::Opening(storey, opening("nowhere", 0.0)))).unwrap_err();
    assert!(refused.to_string().contains("no wall \"nowhere\""));
    let refused = apply(&scene, catalogue(), &Edit::CopyUp("attic".into())).unwrap_err();
    assert!(refused.to_string().contains("no storey \"attic\""));
}
