//! Air ducts: what each edit does to their mouths and their run.

use leaklight::building::build;
use leaklight::edit::ducts::{new_duct, straight_m};
use leaklight::edit::{Edit, Item, Pick};
use leaklight::scene::{Duct, DuctEnd, Scene, problem::any_error, validate::validate};

use super::{catalogue, done, empty, rectangle};

/// Two rooms side by side, 4 m by 4 m, with a duct from one to the other: mouths 4 m apart.
fn joined() -> Scene {
    let (scene, storey) = empty();
    let scene = done(&scene, rectangle(&storey, [[0.0, 0.0], [4.0, 4.0]], "Left"));
    let scene = done(&scene, rectangle(&storey, [[4.0, 0.0], [8.0, 4.0]], "Right"));
    let duct = new_duct(&scene, (storey.clone(), [2.0, 2.0]), (storey, [6.0, 2.0]));
    done(&scene, Edit::Put(Item::Duct(duct)))
}

fn duct(scene: &Scene) -> &Duct {
    &scene.ducts[0]
}

fn mouth(scene: &Scene, end: usize) -> Pick {
    Pick::Mouth(duct(scene).id.clone(), end)
}

fn whole(scene: &Scene) -> Pick {
    Pick::Duct(duct(scene).id.clone())
}

#[test]
fn a_new_duct_joins_two_rooms_and_is_sound() {
    let scene = joined();
    assert_eq!(duct(&scene).length_m, 4.0);
    assert!(!any_error(&validate(&scene, catalogue())));
    let building = build(&scene, catalogue()).unwrap();
    let ends = building.ducts[0].ends.each_ref().map(|end| building.spaces[end.space.0].name.clone());
    assert_eq!(ends, ["Left", "Right"]);
    // A second one is called otherwise.
    let storey = scene.storeys[0].id.clone();
    let second = new_duct(&scene, (storey.clone(), [1.0, 1.0]), (storey, [7.0, 1.0]));
    assert_ne!(second.id, duct(&scene).id);
}

/// By hand: mouths 2.2 m above floors 3 m apart, 3 m aside in one direction and 4 m in the other: √(9 + 9 + 16) m.
#[test]
fn the_straight_way_counts_the_storeys() {
    let mut scene = done(&joined(), Edit::AddStorey);
    (scene.storeys[0].level_m, scene.storeys[1].level_m) = (0.0, 3.0);
    let end = |storey: usize, at| DuctEnd { storey: scene.storeys[storey].id.clone(), at, height_m: 2.2 };
    let way_m = straight_m(&scene, &[end(0, [0.0, 0.0]), end(1, [3.0, 4.0])]);
    assert!((way_m - 34f64.sqrt()).abs() < 1e-12, "{way_m}");
}

#[test]
fn a_moved_mouth_takes_its_part_of_the_run_along() {
    let scene = joined();
    // 0.5 m more than the straight way: a bend or two.
    let longer = Duct { length_m: 4.5, bends: 2, ..duct(&scene).clone() };
    let scene = done(&scene, Edit::Put(Item::Duct(longer)));
    let moved = done(&scene, Edit::Move { picks: vec![mouth(&scene, 1)], by: [1.0, 0.0] });
    assert_eq!(duct(&moved).ends[0], duct(&scene).ends[0]);
    assert_eq!(duct(&moved).ends[1].at, [7.0, 2.0]);
    assert!((duct(&moved).length_m - 5.5).abs() < 1e-9, "{}", duct(&moved).length_m);
    let back = done(&moved, Edit::Move { picks: vec![mouth(&scene, 1)], by: [-1.0, 0.0] });
    assert!((duct(&back).length_m - 4.5).abs() < 1e-9);
    // Never shorter than the way.
    let short = Duct { length_m: 4.0, ..duct(&scene).clone() };
    let scene = done(&scene, Edit::Put(Item::Duct(short)));
    let moved = done(&scene, Edit::Move { picks: vec![mouth(&scene, 0)], by: [0.0, 1.0] });
    assert!(duct(&moved).length_m >= 17f64.sqrt(), "{}", duct(&moved).length_m);
}

#[test]
fn a_whole_duct_is_moved_copied_and_turned_over_with_its_run_as_it_is() {
    let scene = joined();
    let moved = done(&scene, Edit::Move { picks: vec![whole(&scene)], by: [0.5, -1.0] });
    assert_eq!(duct(&moved).ends.each_ref().map(|end| end.at), [[2.5, 1.0], [6.5, 1.0]]);
    assert_eq!(duct(&moved).length_m, 4.0);
    let copied = done(&scene, Edit::Duplicate { picks: vec![whole(&scene)], by: [0.0, 1.0] });
    assert_eq!(copied.ducts.len(), 2);
    assert_ne!(copied.ducts[0].id, copied.ducts[1].id);
    assert_eq!(copied.ducts[1].ends[0].at, [2.0, 3.0]);
    let turned = done(&scene, Edit::Mirror { picks: vec![whole(&scene)], sideways: true });
    assert_eq!(duct(&turned).ends.each_ref().map(|end| end.at), [[6.0, 2.0], [2.0, 2.0]]);
    assert_eq!(duct(&turned).length_m, 4.0);
}

#[test]
fn deleting_a_mouth_deletes_the_duct() {
    let scene = joined();
    for pick in [whole(&scene), mouth(&scene, 0), mouth(&scene, 1)] {
        assert!(done(&scene, Edit::Delete(vec![pick])).ducts.is_empty());
    }
}
