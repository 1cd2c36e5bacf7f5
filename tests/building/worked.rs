//! Buildings small enough to work out by hand.

use leaklight::building::{Building, Element, JunctionKind, SpaceKind, build};
use leaklight::scene::{Opening, Scene, Workmanship};

use super::make::{catalogue, room, scene, storey};

fn element<'a>(building: &'a Building, id: &str) -> &'a Element {
    let ids: Vec<&str> = building.elements.iter().map(|element| element.id.as_str()).collect();
    building.elements.iter().find(|element| element.id == id).unwrap_or_else(|| panic!("no {id} in {ids:?}"))
}

fn near(value: f64, wanted: f64) -> bool {
    (value - wanted).abs() < 1e-9 * wanted.abs().max(1.0)
}

/// Two rooms one above the other, 5 x 4 x 2.75 m clear; two outer walls of 365 mm, two inner ones of 200 mm, slab of 220 mm.
fn two_rooms_over_each_other() -> Scene {
    let (w, s, e, n) = (-0.1825, -0.1825, 5.1, 4.1);
    let walls = [([w, s, w, n], "outer"), ([w, s, e, s], "outer"), ([e, s, e, n], "inner"), ([w, n, e, n], "inner")];
    let mut storeys = vec![storey("lower", 0.0, &walls), storey("upper", 2.97, &walls)];
    storeys[0].rooms.push(room("receiving", [2.0, 2.0]));
    storeys[1].rooms.push(room("sending", [2.0, 2.0]));
    scene(storeys)
}

/// ISO 12354-1:2017 Annex L, element data (printed p. 78): floor 20.0 m² of 5.0 by 4.0 m, walls 11.0 and 13.75 m²,
/// junctions 4.0 and 5.0 m long. Tolerance: rounding of the overlay, far below the last printed digit.
#[test]
fn annex_l_of_iso_12354_1_has_the_printed_areas_and_lengths() {
    let building = build(&two_rooms_over_each_other(), &catalogue()).unwrap();
    let floor = element(&building, "floor:sending/receiving");
    assert!(near(floor.area_m2, 20.0) && near(floor.size_m[0], 5.0) && near(floor.size_m[1], 4.0), "{floor:?}");
    for storey in ["lower", "upper"] {
        for (wall, sides, area) in [
            ("w0", [4.0, 2.75], 11.0),
            ("w1", [5.0, 2.75], 13.75),
            ("w2", [4.0, 2.75], 11.0),
            ("w3", [5.0, 2.75], 13.75),
        ] {
            let wall = element(&building, &format!("{storey}/{wall}"));
            assert!(near(wall.area_m2, area) && near(wall.size_m[0], sides[0]) && near(wall.size_m[1], sides[1]));
        }
    }
    let floor_at = building.elements.iter().position(|element| element.role_is_floor()).unwrap();
    let mut lengths: Vec<(String, f64)> = vec![];
    for junction in building.junctions.iter() {
        if !junction.arms.iter().any(|arm| arm.element.0 == floor_at) {
            continue;
        }
        assert_eq!(junction.kind, JunctionKind::Horizontal);
        assert_eq!(junction.arms.len(), 3, "a T of wall above, wall below and floor");
        let wall = &junction.arms[0];
        assert_eq!((wall.straight, wall.continuous), (Some(1), true));
        assert_eq!(junction.arms[2].straight, None);
        lengths.push((building.elements[wall.element.0].id.clone(), junction.length_m));
    }
    lengths.sort_by(|a, b| a.0.cmp(&b.0));
    let wanted = [("upper/w0", 4.0), ("upper/w1", 5.0), ("upper/w2", 4.0), ("upper/w3", 5.0)];
    assert_eq!(lengths.len(), 4);
    for ((id, length), (wanted_id, wanted)) in lengths.iter().zip(wanted) {
        assert!(id == wanted_id && near(*length, wanted), "{id} {length}");
    }
    // 4 corners on each of 2 storeys, 4 edges at floor, ground and roof.
    assert_eq!(building.junctions.len(), 8 + 12);
    let SpaceKind::Room(sending) = &building.spaces[1].kind else { panic!("not a room") };
    assert!(near(sending.area_m2, 20.0) && near(sending.perimeter_m, 18.0) && near(sending.volume_m3, 55.0));
}

trait Role {
    fn role_is_floor(&self) -> bool;
}

impl Role for Element {
    fn role_is_floor(&self) -> bool {
        self.id.starts_with("floor:")
    }
}

/// Two rooms side by side, 4 and 3 m wide and 5 m deep between middle lines.
fn two_rooms_side_by_side() -> Vec<([f64; 4], &'static str)> {
    vec![
        ([0.0, 0.0, 4.0, 0.0], "outer"),
        ([4.0, 0.0, 7.0, 0.0], "outer"),
        ([7.0, 0.0, 7.0, 5.0], "outer"),
        ([7.0, 5.0, 4.0, 5.0], "outer"),
        ([4.0, 5.0, 0.0, 5.0], "outer"),
        ([0.0, 5.0, 0.0, 0.0], "outer"),
        ([4.0, 0.0, 4.0, 5.0], "inner"),
    ]
}

#[test]
fn a_partition_meets_the_facade_in_a_t_whose_facade_runs_on() {
    let building = build(&scene(vec![storey("only", 0.0, &two_rooms_side_by_side())]), &catalogue()).unwrap();
    let ts: Vec<_> = building
        .junctions
        .iter()
        .filter(|junction| junction.kind == JunctionKind::Vertical && junction.arms.len() == 3)
        .collect();
    assert_eq!(ts.len(), 2);
    for junction in ts {
        for arm in &junction.arms {
            let is_partition = building.elements[arm.element.0].construction == "inner";
            assert_eq!((arm.straight.is_none(), arm.continuous), (is_partition, !is_partition));
        }
    }
    // Clear depth 5 m less two half outer walls.
    assert!(near(element(&building, "only/w6").area_m2, (5.0 - 0.365) * 2.75));
    assert!(near(element(&building, "only/w0").area_m2, (4.0 - 0.1825 - 0.1) * 2.75));
}

#[test]
fn joists_run_on_through_a_party_wall_only_when_it_says_so() {
    for (says_so, direction, runs_on) in [
        (false, None, false),
        (true, None, true),
        (true, Some(0.0), true),
        // Joists along the wall cannot run on through it, whatever it says.
        (true, Some(90.0), false),
    ] {
        let mut storeys =
            vec![storey("lower", 0.0, &two_rooms_side_by_side()), storey("upper", 3.0, &two_rooms_side_by_side())];
        storeys[1].floor.construction = "joists".into();
        storeys[1].floor.joist_direction_deg = direction;
        storeys[0].walls[6].joists_run_on = says_so;
        let building = build(&scene(storeys), &catalogue()).unwrap();
        let cross = building
            .junctions
            .iter()
            .find(|junction| junction.kind == JunctionKind::Horizontal && junction.arms.len() == 4)
            .expect("the partition stands over itself, with a floor on both sides");
        assert!(cross.arms[0].continuous && cross.arms[1].continuous);
        assert_eq!([cross.arms[2].straight, cross.arms[3].straight], [Some(3), Some(2)]);
        assert_eq!(cross.arms[2].continuous, runs_on);
        assert!(near(cross.length_m, 5.0 - 0.365));
    }
}

#[test]
fn a_slab_over_a_partition_of_the_lower_storey_only_is_a_t_from_below() {
    let upper: Vec<_> = two_rooms_side_by_side().into_iter().take(6).collect();
    let storeys = vec![storey("lower", 0.0, &two_rooms_side_by_side()), storey("upper", 3.0, &upper)];
    let building = build(&scene(storeys), &catalogue()).unwrap();
    let partition = building.elements.iter().position(|element| element.id == "lower/w6").unwrap();
    let over = building
        .junctions
        .iter()
        .find(|junction| {
            junction.kind == JunctionKind::Horizontal && junction.storey == 1 && junction.arms[0].element.0 == partition
        })
        .unwrap();
    assert_eq!(over.arms.len(), 3);
    assert!(over.arms[1].continuous && over.arms[1].straight == Some(2));
    // The facade pieces of the upper storey, where no partition meets them, are joined.
    assert_eq!(building.elements.iter().filter(|element| element.id.starts_with("upper/")).count(), 4);
    // The joined facade is cut again where the slab below changes.
    let lengths: Vec<f64> = building
        .junctions
        .iter()
        .filter(|junction| {
            junction.kind == JunctionKind::Horizontal && junction.storey == 1 && junction.arms.len() == 3
        })
        .map(|junction| junction.length_m)
        .collect();
    assert_eq!(lengths.len(), 7);
    assert!(near(lengths.iter().sum::<f64>(), 2.0 * (7.0 - 0.365) + 3.0 * (5.0 - 0.365)), "{lengths:?}");
}

#[test]
fn a_wall_some_centimetres_off_still_stands_on_the_one_below() {
    let walls = two_rooms_side_by_side();
    let mut upper = walls.clone();
    for (line, _) in &mut upper {
        for x in [0, 2] {
            if line[x] == 4.0 {
                line[x] = 4.03;
            }
        }
    }
    let building =
        build(&scene(vec![storey("lower", 0.0, &walls), storey("upper", 3.0, &upper)]), &catalogue()).unwrap();
    let floors: Vec<_> = building.elements.iter().filter(|element| element.role_is_floor()).collect();
    assert_eq!(floors.len(), 2, "no third floor element from the strip between the two partitions");
    assert_eq!(
        building.junctions.iter().filter(|j| j.kind == JunctionKind::Horizontal && j.arms.len() == 4).count(),
        1
    );
}

#[test]
fn a_room_that_stands_out_has_a_soffit_and_a_room_below_a_roof() {
    let below = [
        ([0.0, 0.0, 4.0, 0.0], "inner"),
        ([4.0, 0.0, 4.0, 4.0], "inner"),
        ([4.0, 4.0, 0.0, 4.0], "inner"),
        ([0.0, 4.0, 0.0, 0.0], "inner"),
    ];
    let above: Vec<_> = below.iter().map(|&([x, y, u, v], c)| ([x + 1.0, y, u + 1.0, v], c)).collect();
    let mut storeys = vec![storey("lower", 0.0, &below), storey("upper", 3.0, &above)];
    storeys[0].rooms.push(room("shop", [2.0, 2.0]));
    storeys[1].rooms.push(room("studio", [2.0, 2.0]));
    let building = build(&scene(storeys), &catalogue()).unwrap();
    // The studio is clear from x = 1.1 to 4.9, y = 0.1 to 3.9; the middle line of the shop's wall is at x = 4.
    assert!(near(element(&building, "floor:studio/shop").area_m2, 2.9 * 3.8));
    assert!(near(element(&building, "soffit:studio").area_m2, 0.9 * 3.8));
    assert!(near(element(&building, "roof:shop").area_m2, 0.9 * 3.8));
    assert!(near(element(&building, "ground:shop").area_m2, 3.8 * 3.8));
    // The studio's wall over the shop: floor on one side, the shop's roof on the other.
    let ids = |junction: &leaklight::building::Junction| -> Vec<String> {
        junction.arms.iter().map(|arm| building.elements[arm.element.0].id.clone()).collect()
    };
    let over: Vec<_> =
        building.junctions.iter().map(ids).filter(|ids| ids[0] == "upper/w3" && ids.len() == 3).collect();
    assert!(
        over.iter().any(|ids| ids[1..].contains(&"roof:shop".into()) && ids[1..].contains(&"floor:studio/shop".into())),
        "{over:?}"
    );
}

#[test]
fn an_opening_lands_in_its_wall() {
    let mut storeys = vec![storey("only", 0.0, &two_rooms_side_by_side())];
    storeys[0].openings.push(Opening {
        id: "d1".into(),
        name: String::new(),
        wall: "w6".into(),
        construction: "door".into(),
        offset_m: 1.0,
        width_m: 0.9,
        height_m: 2.0,
        sill_m: 0.0,
        seal: None,
        undercut_mm: 0.0,
        cover: None,
        workmanship: Workmanship::AsDrawn,
    });
    let building = build(&scene(storeys.clone()), &catalogue()).unwrap();
    let door = &element(&building, "only/w6").openings[0];
    assert!(near(door.at[0], 4.0) && near(door.at[1], 1.45) && door.name == "door");
    storeys[0].openings[0].height_m = 20.0;
    let problems = build(&scene(storeys), &catalogue()).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
}

#[test]
fn markers_in_no_space_or_two_in_one_are_refused_together() {
    let mut storeys = vec![storey("only", 0.0, &two_rooms_side_by_side())];
    storeys[0].rooms = vec![room("a", [1.0, 1.0]), room("b", [2.0, 2.0]), room("c", [20.0, 2.0])];
    assert_eq!(build(&scene(storeys), &catalogue()).unwrap_err().len(), 2);
}

#[test]
fn an_island_and_a_free_standing_wall_take_their_ground_from_the_room_round_them() {
    let mut walls = vec![
        ([0.0, 0.0, 9.0, 0.0], "inner"),
        ([9.0, 0.0, 9.0, 9.0], "inner"),
        ([9.0, 9.0, 0.0, 9.0], "inner"),
        ([0.0, 9.0, 0.0, 0.0], "inner"),
        ([3.0, 3.0, 6.0, 3.0], "thin"),
        ([6.0, 3.0, 6.0, 6.0], "thin"),
        ([6.0, 6.0, 3.0, 6.0], "thin"),
        ([3.0, 6.0, 3.0, 3.0], "thin"),
    ];
    walls.push(([1.0, 8.0, 3.0, 8.0], "thin"));
    let mut only = storey("only", 0.0, &walls);
    only.rooms = vec![room("hall", [1.0, 1.0]), room("core", [4.0, 4.0])];
    let building = build(&scene(vec![only]), &catalogue()).unwrap();
    let rooms: Vec<f64> = building
        .spaces
        .iter()
        .filter_map(|space| if let SpaceKind::Room(room) = &space.kind { Some(room.area_m2) } else { None })
        .collect();
    assert!(near(rooms[0], 8.8 * 8.8 - 3.1 * 3.1 - 2.0 * 0.1) && near(rooms[1], 2.9 * 2.9), "{rooms:?}");
    // 4 outer walls, 4 of the core (clear on its inside), 2 grounds, 2 roofs; the free-standing wall is none.
    assert_eq!(building.elements.len(), 12);
    assert!(near(element(&building, "only/w4").area_m2, 2.9 * 2.75));
}

/// A hexagon with sides of 3 m: what is left between walls of 200 mm is a hexagon with an apothem shorter by 0.1 m.
#[test]
fn corners_that_are_not_square_are_cut_where_the_faces_meet() {
    let corner = |at: usize| {
        let angle = (at as f64 * 60.0).to_radians();
        [3.0 * angle.cos(), 3.0 * angle.sin()]
    };
    let corners: Vec<[f64; 2]> = (0..6).map(corner).collect();
    let walls: Vec<_> = (0..6)
        .map(|at| {
            let ([x, y], [u, v]) = (corners[at], corners[(at + 1) % 6]);
            ([x, y, u, v], "inner")
        })
        .collect();
    let building = build(&scene(vec![storey("only", 0.0, &walls)]), &catalogue()).unwrap();
    let apothem = 3.0 * 3_f64.sqrt() / 2.0 - 0.1;
    let SpaceKind::Room(room) = &building.spaces[0].kind else { panic!("not a room") };
    assert!(near(room.area_m2, 2.0 * 3_f64.sqrt() * apothem * apothem), "{}", room.area_m2);
    assert!(near(room.perimeter_m, 6.0 * 2.0 / 3_f64.sqrt() * apothem));
    assert!(near(element(&building, "only/w0").area_m2, 2.0 / 3_f64.sqrt() * apothem * 2.75));
    assert!(building.junctions.iter().all(|junction| junction.arms.iter().all(|arm| arm.straight.is_none())));
}

/// An L of 6 x 6 m less 3 x 3 m between middle lines, walls of 200 mm: the outside of the inward corner is covered too.
#[test]
fn the_inward_corner_of_an_l_is_covered_by_its_walls() {
    let corners = [[0.0, 0.0], [6.0, 0.0], [6.0, 3.0], [3.0, 3.0], [3.0, 6.0], [0.0, 6.0]];
    let walls: Vec<_> = (0..6)
        .map(|at| {
            let ([x, y], [u, v]): ([f64; 2], [f64; 2]) = (corners[at], corners[(at + 1) % 6]);
            ([x, y, u, v], "inner")
        })
        .collect();
    let building = build(&scene(vec![storey("only", 0.0, &walls)]), &catalogue()).unwrap();
    let SpaceKind::Room(room) = &building.spaces[0].kind else { panic!("not a room") };
    assert!(near(room.area_m2, 5.8 * 5.8 - 9.0) && near(room.perimeter_m, 4.0 * 5.8), "{room:?}");
}
