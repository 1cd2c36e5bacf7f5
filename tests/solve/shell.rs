//! A room within a room and cover panels, through geometry and solver.

use leaklight::acoustics::{Air, BAND_COUNT, Bands};
use leaklight::building::{SpaceKind, build};
use leaklight::catalogue::Catalogue;
use leaklight::scene::{Cover, InnerShell, Scene, ShellFace, ShellOpening, Support, Usage, Workmanship, file};
use leaklight::solve::{Answer, construction::reduction};

use super::properties::{House, level, solved};
use crate::building::make::{room, storey};

/// Two dense boards 100 mm before everything, wool in the gap.
fn face(construction: &str, gap_mm: f64, support: Support) -> ShellFace {
    ShellFace {
        construction: construction.into(),
        gap_mm,
        fill: Some(("glass-wool-slab".into(), 50.0)),
        support,
        workmanship: Workmanship::AsDrawn,
    }
}

fn whole() -> InnerShell {
    InnerShell {
        walls: Some(face("leaf-dense-two", 100.0, Support::None)),
        ceiling: Some(face("leaf-dense-two", 100.0, Support::None)),
        floor: Some(face(
            "deck-chipboard-two",
            50.0,
            Support::Rubber { per_m2: 4.0, deflection_mm: 3.0, stiffer: 1.5 },
        )),
        openings: vec![ShellOpening {
            before: "door".into(),
            construction: "door-solid-core-44".into(),
            seal: Some("compression-double".into()),
            undercut_mm: 0.0,
            workmanship: Workmanship::AsDrawn,
        }],
        ..InnerShell::default()
    }
}

/// The house with a shell in the room of the drums.
fn with(shell: Option<InnerShell>) -> Scene {
    let mut scene = House { seal: "compression-double", ..House::default() }.scene();
    scene.storeys[1].rooms[0].inner_shell = shell;
    scene
}

/// By hand: a room 4.5 by 4.2 m to the middle of brick walls of 241 mm and 128 mm (215 and 102 mm with 13 mm of plaster on both sides),
/// 2.75 m high; 130 mm lost on each wall, 130 mm above, 94 mm below.
#[test]
fn the_shell_takes_what_its_gaps_and_layers_take() {
    let (building, answer) = solved(&with(Some(whole())));
    let SpaceKind::Room(body) = &building.spaces[answer.shells[0].space.0].kind else { panic!() };
    let (x, y) = (4.5 - 0.1205 - 0.064, 4.2 - 0.241);
    let shell = &answer.shells[0];
    assert!((shell.area_before_m2 - x * y).abs() < 1e-6, "{}", shell.area_before_m2);
    assert!((shell.area_m2 - (x - 0.26) * (y - 0.26)).abs() < 1e-6, "{}", shell.area_m2);
    assert!((shell.height_m - (2.75 - 0.13 - 0.094)).abs() < 1e-9 && (shell.step_m - 0.094).abs() < 1e-9);
    assert!((shell.volume_before_m3 - x * y * 2.75).abs() < 1e-6);
    assert!((body.volume_m3 - shell.area_m2 * shell.height_m).abs() < 1e-9);
    // 44 mm of chipboard at 760 kg/m³ and 50 mm of wool at 14 below; 30 mm of board at 950 with wool on walls and ceiling, by the old faces.
    let (deck, board) = (0.044 * 760.0 + 0.7, 0.03 * 950.0 + 0.7);
    let by_hand = deck * x * y + board * (x * y + 2.0 * (x + y) * 2.75);
    assert!((shell.on_floor_kg - by_hand).abs() < 0.01 * by_hand, "{} {by_hand}", shell.on_floor_kg);
    assert!(shell.hung_kg.abs() < 1e-9 && shell.faces.len() == 6);
    assert!((shell.wall_kg_m - board * 2.75).abs() < 1e-6);
}

/// A slab and a box of boards reach every listener less than the bare room does; where the resonance lies, less or nothing is gained.
#[test]
fn a_whole_shell_outdoes_each_part_of_it() {
    let at = |shell: Option<InnerShell>| level(&solved(&with(shell)).1, "below");
    let bare = at(None);
    let all = at(Some(whole()));
    let floor = at(Some(InnerShell { floor: whole().floor, ..InnerShell::default() }));
    let walls_only = at(Some(InnerShell { floor: None, ceiling: None, ..whole() }));
    assert!(all < floor && all < walls_only && floor < bare && walls_only < bare, "{bare} {floor} {walls_only} {all}");
    // The room below is reached through the floor first, so that no wall helps it much before the floor is dealt with.
    assert!(bare - floor > 5.0 && bare - walls_only < 5.0, "{bare:.1} {floor:.1} {walls_only:.1}");
}

/// The gain of a face is R with it less R without it, as Annex D of ISO 12354-1:2017 defines ΔR: against the laboratory's curves of the
/// catalogue's own lined wall and the bare one.
#[test]
fn a_face_gains_what_the_same_lining_gains_in_the_laboratory() {
    let catalogue = Catalogue::built_in_ref();
    let lined = catalogue.construction("brick-215-lined-frame").unwrap();
    let bare = catalogue.construction("brick-215-plastered").unwrap();
    let mut scene = with(None);
    let (building, _) = solved(&scene);
    let wall = building.elements.iter().find(|element| element.id == "upper/w5").unwrap();
    let r =
        |construction| reduction(catalogue, construction, wall.size_m, &Air::default(), &Bands::exact()).unwrap().r_db;
    let (with, without) = (r(lined), r(bare));
    // The layers of the catalogue's lining: wall, then gap, then boards.
    let leaklight::catalogue::Build::Layers(layers) = &lined.build else { panic!() };
    let (mut boards, mut gap_mm, mut wool) = (vec![], 0.0, None);
    for layer in layers {
        match layer {
            leaklight::catalogue::Layer::Cavity { depth_mm, fill, .. } => {
                (gap_mm, wool) = (*depth_mm, fill.clone());
                boards.clear();
            }
            other => boards.push(other.clone()),
        }
    }
    let mut own = lined.clone();
    own.id = "boards".into();
    own.build = leaklight::catalogue::Build::Layers(boards);
    scene.constructions.push(own);
    let shell_face =
        ShellFace { fill: wool, workmanship: Workmanship::AsDrawn, ..face("boards", gap_mm, Support::None) };
    scene.storeys[1].rooms[0].inner_shell = Some(InnerShell { walls: Some(shell_face), ..InnerShell::default() });
    let (building, answer) = solved(&scene);
    let got = answer.shells[0].faces.iter().find(|face| building.elements[face.element.0].id == "upper/w5").unwrap();
    for band in 0..BAND_COUNT {
        let want_db = with[band] - without[band];
        assert!((got.gain_db[band] - want_db).abs() < 0.5, "{band}: {} {}", got.gain_db[band], want_db);
    }
}

/// The same inner walls, once as a shell and once drawn as walls 100 mm before the old ones, give the same answer within 1 dB in every band at every
/// listener: the difference is that of reading a gap from the plan and of which area is taken.
#[test]
fn drawn_inner_walls_and_the_object_agree() {
    let (a, b, d) = (4.5, 3.6, 4.2);
    let object = {
        let mut scene =
            with(Some(InnerShell { floor: whole().floor, ceiling: whole().ceiling, ..InnerShell::default() }));
        scene.storeys[1].rooms[0].inner_shell.as_mut().unwrap().walls = whole().walls;
        scene.storeys[1].rooms[0].inner_shell.as_mut().unwrap().openings = whole().openings;
        scene
    };
    let drawn = {
        let mut scene =
            with(Some(InnerShell { floor: whole().floor, ceiling: whole().ceiling, ..InnerShell::default() }));
        let (left, right, low, high) = (0.1205 + 0.115, a - 0.064 - 0.115, 0.1205 + 0.115, d - 0.1205 - 0.115);
        let outer = [
            ([0.0, 0.0, a, 0.0], "brick-215-plastered"),
            ([a, 0.0, a + b, 0.0], "brick-215-plastered"),
            ([a + b, 0.0, a + b, d], "brick-215-plastered"),
            ([a + b, d, a, d], "brick-215-plastered"),
            ([a, d, 0.0, d], "brick-215-plastered"),
            ([0.0, d, 0.0, 0.0], "brick-215-plastered"),
            ([a, 0.0, a, d], "brick-102-plastered"),
            // The inner walls, two of them drawn backwards.
            ([left, low, right, low], "leaf-dense-two"),
            ([right, high, right, low], "leaf-dense-two"),
            ([right, high, left, high], "leaf-dense-two"),
            ([left, low, left, high], "leaf-dense-two"),
        ];
        let fresh = storey("upper", 3.0, &outer);
        let upper = &mut scene.storeys[1];
        (upper.nodes, upper.walls) = (fresh.nodes, fresh.walls);
        let mut gap = room("gap", [0.18, d / 2.0]);
        gap.usage = Usage::Cavity;
        gap.fill = Some(("glass-wool-slab".into(), 50.0));
        upper.rooms.push(gap);
        let mut door = upper.openings[0].clone();
        (door.id, door.wall, door.offset_m) = ("inner-door".into(), "w8".into(), high - 1.9);
        upper.openings.push(door);
        scene
    };
    let ((_, one), (building, other)) = (solved(&object), solved(&drawn));
    assert!(building.spaces.iter().all(|space| space.name != "gap"));
    for (one, other) in one.listeners.iter().zip(&other.listeners) {
        for band in 0..BAND_COUNT {
            let apart_db = 10.0 * (one.energy[band] / other.energy[band]).log10();
            assert!(apart_db.abs() < 1.0, "{} band {band}: {apart_db:.2} dB apart", one.name);
        }
    }
    assert!((one.shells[0].area_m2 - other.shells[0].area_m2).abs() < 1e-3);
}

/// A shell that touches is worth less: brackets instead of nothing, and less still short-circuited.
#[test]
fn supports_and_faults_cost() {
    let at = |support: Support, workmanship: Workmanship| {
        let walls = Some(ShellFace { workmanship, ..face("leaf-dense-two", 100.0, support) });
        level(&solved(&with(Some(InnerShell { walls, ..whole() }))).1, "beside")
    };
    let free = at(Support::None, Workmanship::AsDrawn);
    let brackets = at(Support::Hangers { per_m2: 2.0 }, Workmanship::AsDrawn);
    let clips = at(Support::Clips { spacing_mm: 600.0 }, Workmanship::AsDrawn);
    let faults = at(Support::None, Workmanship::SmallFaults);
    let spoilt = at(Support::None, Workmanship::ShortCircuited);
    assert!(
        free <= clips + 0.1 && free < brackets && free < faults && faults < spoilt,
        "{free} {clips} {brackets} {faults} {spoilt}"
    );
}

/// A wall with a window to the garden, and a cover before it.
fn window(cover: Option<Cover>, open: bool) -> Answer {
    let mut scene = House { door: None, ..House::default() }.scene();
    scene.storeys[1].openings.push(leaklight::scene::Opening {
        id: "window".into(),
        name: "window".into(),
        wall: "w0".into(),
        construction: if open { "hole-open" } else { "window-single-4" }.into(),
        offset_m: 1.2,
        width_m: 1.2,
        height_m: 1.2,
        sill_m: 0.9,
        seal: (!open).then(|| "worn".into()),
        undercut_mm: 0.0,
        cover,
        workmanship: Workmanship::AsDrawn,
    });
    solved(&scene).1
}

fn cover(gap_mm: f64, seal: &str, pieces: [u32; 2]) -> Cover {
    Cover {
        room: None,
        construction: "panel-mdf-18".into(),
        gap_mm,
        reveal: Some(("stone-wool-slab-45".into(), 50.0)),
        overlap_mm: 50.0,
        seal: Some(seal.into()),
        pieces,
        joint_seal: Some("compression-single".into()),
        on: true,
        workmanship: Workmanship::AsDrawn,
    }
}

/// The window's cover helps the garden, a missing seal spoils it, joints cost a little, and a board close to the pane is worse in the bass than
/// none (mass on an air spring: Bies, Hansen & Howard 2017, 7.2.6).
#[test]
fn a_cover_is_as_good_as_its_gap_and_seal() {
    let garden = |cover| level(&window(cover, false), "garden");
    let bare = garden(None);
    let good = garden(Some(cover(150.0, "compression-double", [1, 1])));
    let split = garden(Some(cover(150.0, "compression-double", [2, 2])));
    let loose = garden(Some(cover(150.0, "none", [1, 1])));
    let off = garden(Some(Cover { on: false, ..cover(150.0, "compression-double", [1, 1]) }));
    assert!(bare - good > 6.0 && good <= split && split < loose && loose < bare, "{bare} {good} {split} {loose}");
    assert!((off - bare).abs() < 1e-9);
    let bare_reveal = Cover { reveal: None, ..cover(20.0, "compression-double", [1, 1]) };
    let shallow = window(Some(bare_reveal), false);
    // From 100 Hz up: what a small pane does below 50 Hz is uncertain whatever stands before it.
    let worst_db = shallow.covers[0].gain_db.iter().skip(6).copied().fold(f64::INFINITY, f64::min);
    assert!(worst_db < -1.0 && shallow.covers[0].resonance_hz > 80.0, "{worst_db}");
}

/// By hand: 1.3 m by 1.3 m of fibreboard 18 mm at 760 kg/m³ is 23.1 kg in one piece, 5.8 kg in four.
#[test]
fn a_cover_is_weighed_piece_by_piece() {
    let one = &window(Some(cover(150.0, "brush", [1, 1])), false).covers[0];
    assert!((one.piece_kg - 1.69 * 0.018 * 760.0).abs() < 1e-6 && one.may_be_escape, "{}", one.piece_kg);
    let four = &window(Some(cover(150.0, "brush", [2, 2])), false).covers[0];
    assert!((4.0 * four.piece_kg - one.piece_kg).abs() < 1e-9);
}

/// A cover over an open hole is what is left in it: R of the board alone.
#[test]
fn a_cover_over_a_hole_is_the_board() {
    let open = level(&window(None, true), "garden");
    let closed = window(Some(cover(100.0, "mastic", [1, 1])), true);
    assert!(open - level(&closed, "garden") > 15.0);
}

/// What a scene with shell and cover says in RON comes back the same.
#[test]
fn shells_and_covers_survive_the_file() {
    let mut scene = with(Some(whole()));
    scene.storeys[1].openings[0].cover = Some(cover(120.0, "brush", [2, 1]));
    let path = std::env::temp_dir().join(format!("leaklight-shell-{}.ron", std::process::id()));
    file::write(&path, &scene, true).unwrap();
    let back: Scene = file::read(&path).unwrap();
    std::fs::remove_file(&path).unwrap();
    assert_eq!(back, scene);
}

/// Too thick a shell is refused in words, not with a panic.
#[test]
fn a_shell_that_fills_the_room_is_refused() {
    let mut shell = whole();
    shell.walls.as_mut().unwrap().gap_mm = 2500.0;
    let problems = build(&with(Some(shell)), Catalogue::built_in_ref()).unwrap_err();
    assert!(problems.iter().any(|problem| problem.to_string().contains("leaves nothing")), "{problems:?}");
}
