//! Whatever of the catalogue a job could buy has a good, or is listed with its price unknown: nothing is free in silence.

use leaklight::build_list::BuildList;
use leaklight::catalogue::goods::Serves;
use leaklight::catalogue::{Catalogue, ConstructionKind};
use leaklight::scene::{Scene, ShellFace, Support};

use super::{list, room};

/// Both rooms of a house too small to take long.
const TWO: &str = include_str!("../scenes/two_rooms.ron");

fn listed(what: &str, change: impl FnOnce(&mut Scene)) -> BuildList {
    let list = list(TWO, change);
    // A build that only leaves something away buys nothing, and says what goes.
    assert!(!list.jobs.is_empty() || !list.taken_out.is_empty(), "nothing is bought for {what}");
    for line in list.jobs.iter().flat_map(|job| &job.goods) {
        assert!(!line.name.is_empty() && line.needed > 0.0, "{what}: {line:?}");
        if let Some([low, likely, high]) = line.cost {
            assert!(0.0 < low && low <= likely && likely <= high, "{what} is free: {line:?}");
        }
    }
    let unpriced = list.jobs.iter().flat_map(|job| &job.goods).filter(|line| line.cost.is_none()).count();
    assert_eq!(unpriced, list.cost.unpriced, "{what}");
    list
}

fn opening(scene: &mut Scene, at: usize, construction: &str) {
    construction.clone_into(&mut scene.storeys[0].openings[at].construction);
}

#[test]
fn every_door_window_and_vent_has_a_price_or_none() {
    for (id, built) in &Catalogue::built_in_ref().constructions {
        let at = match built.kind {
            ConstructionKind::Window => 0,
            ConstructionKind::Door => 1,
            ConstructionKind::Vent => 2,
            _ => continue,
        };
        let stands = ["window-single-4", "door-panelled-timber", "vent-open-100"][at];
        if id != stands {
            listed(id, |scene| opening(scene, at, id));
        }
    }
}

#[test]
fn every_wall_and_floor_has_a_price_or_none() {
    for (id, built) in &Catalogue::built_in_ref().constructions {
        match built.kind {
            ConstructionKind::Wall if id != "brick-102-plastered" => {
                listed(id, |scene| id.clone_into(&mut scene.storeys[0].walls[6].construction));
            }
            ConstructionKind::Floor if id != "joist-floor-plasterboard" => {
                listed(id, |scene| id.clone_into(&mut scene.storeys[1].floor.construction));
            }
            _ => {}
        }
    }
}

#[test]
fn every_leaf_on_every_support_has_a_price_or_none() {
    let supports = [
        Support::None,
        Support::Hangers { per_m2: 1.5 },
        Support::Clips { spacing_mm: 600.0 },
        Support::Springs { per_m2: 2.0, deflection_mm: 10.0 },
        Support::Rubber { per_m2: 6.25, deflection_mm: 2.5, stiffer: 1.5 },
    ];
    for (id, built) in &Catalogue::built_in_ref().constructions {
        if built.kind != ConstructionKind::Leaf {
            continue;
        }
        for support in supports {
            let face = ShellFace {
                construction: id.clone(),
                gap_mm: 100.0,
                fill: Some(("stone-wool-slab-45".into(), 50.0)),
                support,
                workmanship: Default::default(),
            };
            let list = listed(id, |scene| {
                let shell = room(scene, "left").inner_shell.get_or_insert_default();
                (shell.walls, shell.floor, shell.ceiling) = (Some(face.clone()), Some(face.clone()), Some(face));
            });
            assert!(list.jobs.len() >= 6, "{id}: {}", list.jobs.len());
        }
    }
}

#[test]
fn every_seal_and_finish_has_a_price_or_none() {
    let catalogue = Catalogue::built_in_ref();
    let seals = catalogue.seals.values().filter(|seal| seal.gap_mm < catalogue.seals["none"].gap_mm);
    for seal in seals {
        let list = listed(&seal.id, |scene| scene.storeys[0].openings[1].seal = Some(seal.id.clone()));
        assert_eq!(list.cost.unpriced, 0, "{} has no good", seal.id);
    }
    for id in catalogue.finishes.keys() {
        let list = listed(id, |scene| room(scene, "left").finishes.extra = vec![(id.clone(), 3.0)]);
        let sold = catalogue.goods.values().any(|good| good.serves(&Serves::Finish(id.clone())));
        assert_eq!(list.cost.unpriced == 0, sold, "{id}");
    }
}

/// A second pane before a window that stays, a second door in a lobby: only the second is bought.
#[test]
fn what_stays_is_not_bought_again() {
    let list = listed("a second pane", |scene| opening(scene, 0, "window-secondary-4-100-6"));
    let names: Vec<&str> = list.jobs[0].goods.iter().map(|line| line.name.as_str()).collect();
    assert_eq!(names[0], "single window, 6 mm", "{names:?}");
    assert!(list.taken_out.is_empty(), "{:?}", list.taken_out);
    // Boards laid on a floor that stays: no joists, nothing thrown away.
    let list = listed("a filled floor", |scene| {
        "joist-floor-plasterboard-filled".clone_into(&mut scene.storeys[1].floor.construction)
    });
    let goods: Vec<&str> =
        list.jobs.iter().flat_map(|job| &job.goods).filter_map(|line| line.good.as_deref()).collect();
    assert!(goods.iter().all(|good| !good.starts_with("joist-")), "{goods:?}");
    assert!(goods.iter().any(|good| good.starts_with("glass-roll") || good.starts_with("glass-slab")), "{goods:?}");
}

/// A wall drawn through a room splits the walls it meets, and their names; what is bought is the new wall alone.
#[test]
fn a_new_wall_is_bought_and_the_old_ones_are_not() {
    use leaklight::scene::{Node, NodeId, Wall, WallId};
    let list = listed("a new wall", |scene| {
        let low = &mut scene.storeys[0];
        let node = |id: &str, at| Node { id: NodeId(id.into()), at };
        low.nodes.extend([node("g", [6.0, 0.0]), node("h", [6.0, 3.0])]);
        let wall = |id: &str, from: &str, to: &str, construction: &str| Wall {
            id: WallId(id.into()),
            from: NodeId(from.into()),
            to: NodeId(to.into()),
            construction: construction.into(),
            joists_run_on: false,
            stops_at_ceiling: false,
            workmanship: Default::default(),
        };
        low.walls.retain(|wall| !["w2", "w4"].contains(&wall.id.0.as_str()));
        low.walls.extend([
            wall("w2", "g", "b", "brick-215-plastered"),
            wall("w2b", "c", "g", "brick-215-plastered"),
            wall("w4", "h", "d", "brick-215-plastered"),
            wall("w4b", "e", "h", "brick-215-plastered"),
            wall("new", "g", "h", "stud-timber-100-board-filled"),
        ]);
        room(scene, "right").at = [5.0, 1.0];
        scene.listeners[0].at = [5.0, 1.0];
    });
    assert_eq!(list.jobs.len(), 1, "{:#?}", list.jobs);
    let goods: Vec<&str> = list.jobs[0].goods.iter().filter_map(|line| line.good.as_deref()).collect();
    assert!(goods.contains(&"stud-45-70") && goods.contains(&"plasterboard-12"), "{goods:?}");
    assert!(list.taken_out.is_empty(), "{:?}", list.taken_out);
}
