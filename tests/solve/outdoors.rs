//! The way to listeners in the open air, through the real geometry and solver.

use leaklight::acoustics::Bands;
use leaklight::building::{Building, ElementIndex, PlacedOpening, SpaceKind, build};
use leaklight::catalogue::{Build, Catalogue, Certainty, Construction, ConstructionKind, Provenance};
use leaklight::scene::{Ground, Node, Opening, Scene, Wall, Workmanship, file};
use leaklight::solve::{Answer, Conditions, LEFT_OUT, PathKind, Surface, solve_under};

use super::properties::{House, level, listener, solved};
use crate::building::make::room;

/// The middle of the window along the street, m.
const AHEAD_M: f64 = 2.25;

/// The house of the other tests with a window to the south (where its garden is), and more listeners round it.
fn with_window() -> Scene {
    let house = House { door: None, ..House::default() };
    let mut scene = house.scene();
    scene.storeys[1].openings.push(Opening {
        id: "window".into(),
        name: String::new(),
        wall: "w0".into(),
        construction: "window-single-4".into(),
        offset_m: 1.5,
        width_m: 1.5,
        height_m: 1.2,
        sill_m: 0.9,
        seal: None,
        undercut_mm: 0.0,
        cover: None,
        workmanship: Default::default(),
    });
    for (id, at) in [
        ("before", [AHEAD_M, -8.0]),
        ("behind", [AHEAD_M, house.depth_m + 8.0]),
        ("beside-it", [-8.0, -0.3]),
        ("far", [AHEAD_M, -100.0]),
        ("twice-as-far", [AHEAD_M, -200.0]),
    ] {
        scene.listeners.push(listener(id, "lower", at));
    }
    scene
}

/// With so much left out at most.
fn solved_leaving_out(left_out: f64, scene: &Scene) -> Answer {
    let catalogue = Catalogue::built_in_ref();
    let building = build(scene, catalogue).unwrap();
    solve_under(scene, catalogue, &building, &Conditions { left_out, ..Conditions::of(scene) })
}

fn band_db(answer: &Answer, id: &str, hz: f64) -> f64 {
    let heard = answer.listeners.iter().find(|heard| heard.listener.0 == id).unwrap();
    10.0 * heard.energy[Bands::nearest(hz)].log10()
}

/// A house hides its own window by 10 to 25 dB: VDI 2571:1976, 3.3, has 20 dB behind a building and 5 dB beside; ISO 9613-2:1996, 7.4,
/// caps one way over a thick screen at 25 dB, and low bands bend round more.
#[test]
fn behind_the_house_it_is_quieter_and_the_low_bands_less_so() {
    let (_, answer) = solved(&with_window());
    let hidden = level(&answer, "before") - level(&answer, "behind");
    assert!((10.0..25.0).contains(&hidden), "{hidden:.1}");
    let of_band = |hz| band_db(&answer, "before", hz) - band_db(&answer, "behind", hz);
    assert!(of_band(50.0) < of_band(1000.0) - 3.0, "{:.1} {:.1}", of_band(50.0), of_band(1000.0));
    let (before, beside) = (level(&answer, "before"), level(&answer, "beside-it"));
    assert!(beside < before - 3.0 && beside > level(&answer, "behind"), "{before:.1} {beside:.1}");
}

/// A point over hard ground: 6 dB for each doubling of the distance (ISO 9613-2:1996, Eq. 7) where air takes next to nothing, and
/// in high bands what air takes on the way beside: at 10 °C and 70 %, 32.8 dB/km at 4 kHz (Table 2; 10 % for its accuracy).
#[test]
fn twice_as_far_is_six_decibels_less() {
    let (_, answer) = solved(&with_window());
    let lost = |hz| band_db(&answer, "far", hz) - band_db(&answer, "twice-as-far", hz);
    assert!((lost(125.0) - 6.02).abs() < 0.3, "{:.2}", lost(125.0));
    assert!((lost(4000.0) - 6.02 - 3.28).abs() < 0.6, "{:.2}", lost(4000.0));
}

/// Grass takes middle bands far away, and changes nothing indoors (ISO 9613-2:1996, Table 3: nothing at 63 Hz beyond hard ground).
#[test]
fn soft_ground_is_heard_outdoors_alone() {
    let hard = with_window();
    let mut soft = hard.clone();
    soft.outdoors.ground = Ground::Soft;
    // Every way is followed, so that both have the same.
    let (hard, soft) = (solved_leaving_out(0.0, &hard), solved_leaving_out(0.0, &soft));
    assert!(level(&soft, "far") < level(&hard, "far") - 3.0);
    assert!((band_db(&soft, "far", 63.0) - band_db(&hard, "far", 63.0)).abs() < 1e-9);
    assert!((level(&soft, "below") - level(&hard, "below")).abs() < 0.1);
}

/// Shares of all paths are of the whole behind a screen as well.
#[test]
fn shares_outdoors_add_up_to_one() {
    let (_, answer) = solved(&with_window());
    for heard in answer.listeners.iter().filter(|heard| heard.paths[0].via.is_none()) {
        let sum: f64 = heard.paths.iter().map(|path| path.share).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{}: {sum}", heard.name);
    }
}

/// A record says where it was followed in the open. By hand: from 0.3 m before the window's middle straight to who stands before it; to who stands behind the
/// house by bends at its outer edges, 13 cm outside the middle lines of its walls (half of a wall more than a room is grown by), and longer than straight.
#[test]
fn a_record_says_where_it_runs_in_the_open() {
    let (building, answer) = solved(&with_window());
    let window = element(&building, "upper/w0");
    let route = |id: &str| {
        let heard = answer.listeners.iter().find(|heard| heard.listener.0 == id).unwrap();
        let path = heard.paths.iter().find(|path| path.exit == Surface::Opening(ElementIndex(window), 0)).unwrap();
        path.route.clone().unwrap()
    };
    let apart_m = |a: [f64; 3], b: [f64; 3]| (0..3).map(|axis| (a[axis] - b[axis]).powi(2)).sum::<f64>().sqrt();
    let (before, behind) = (route("before"), route("behind"));
    let start = [AHEAD_M, -0.3, 3.0 + 0.9 + 0.6];
    assert!(before.len() == 2 && apart_m(before[0], start) < 1e-9, "{before:?}");
    assert!(apart_m(before[1], [AHEAD_M, -8.0, 1.5]) < 1e-9, "{before:?}");
    let (House { widths_m, depth_m, .. }, last) = (House::default(), behind.len() - 1);
    assert!(last > 1 && apart_m(behind[0], start) < 1e-9, "{behind:?}");
    assert!(apart_m(behind[last], [AHEAD_M, depth_m + 8.0, 1.5]) < 1e-9, "{behind:?}");
    for [x, y, _] in &behind[1..last] {
        let half = [widths_m.iter().sum::<f64>() / 2.0, depth_m / 2.0];
        let out_m = ((x - half[0]).abs() - half[0]).max((y - half[1]).abs() - half[1]);
        assert!((out_m - 0.13).abs() < 0.02, "{behind:?}");
    }
    let length_m: f64 = behind.windows(2).map(|leg| apart_m(leg[0], leg[1])).sum();
    assert!(length_m > apart_m(behind[0], behind[last]) + 0.1, "{length_m}");
}

/// What is set into the front across the street.
struct Front {
    /// Construction of its outer walls.
    walls: &'static str,
    /// Length between the corners, m.
    width_m: f64,
    /// Construction, width and height of what is set into it, m.
    openings: Vec<(&'static str, [f64; 2])>,
}

/// A detached room of one storey, 12 m before the house with the window, looking at it. Its middle is straight ahead of the window.
/// One listens in it ("across") and 2 m before it ("at its front").
fn across_the_street(front: &Front) -> Scene {
    let mut scene = with_window();
    scene.listeners.clear();
    let (left, right) = (AHEAD_M - front.width_m / 2.0, AHEAD_M + front.width_m / 2.0);
    let window = scene.storeys[1].openings.last().unwrap().clone();
    let storey = &mut scene.storeys[0];
    let corners = [[left, -12.0], [right, -12.0], [right, -16.5], [left, -16.5]];
    for (at, corner) in corners.iter().enumerate() {
        storey.nodes.push(Node { id: format!("t{at}").as_str().into(), at: *corner });
        storey.walls.push(Wall {
            id: format!("t{at}").as_str().into(),
            from: format!("t{at}").as_str().into(),
            to: format!("t{}", (at + 1) % 4).as_str().into(),
            construction: front.walls.into(),
            joists_run_on: false,
            stops_at_ceiling: false,
            workmanship: Default::default(),
        });
    }
    let mut offset_m = front.width_m / 2.0 - front.openings.first().map_or(0.0, |(_, size_m)| size_m[0] / 2.0);
    for (number, (construction, size_m)) in front.openings.iter().enumerate() {
        storey.openings.push(Opening {
            id: format!("o{number}").as_str().into(),
            wall: "t0".into(),
            construction: (*construction).into(),
            offset_m,
            width_m: size_m[0],
            height_m: size_m[1],
            ..window.clone()
        });
        offset_m += size_m[0] + 0.1;
    }
    scene.storeys[0].rooms.push(room("across-room", [AHEAD_M, -14.0]));
    scene.listeners.push(listener("across", "lower", [AHEAD_M, -14.0]));
    scene.listeners.push(listener("at its front", "lower", [AHEAD_M, -10.0 + FACE_M]));
    scene
}

/// The middle of the window and of the front across: the street's width and how much higher the window lies, m.
const STREET_M: [f64; 2] = [12.0, 3.0];
/// Half of a wall, about: listeners "2 m before" count from its face, m.
const FACE_M: f64 = 0.12;

fn element(building: &Building, id: &str) -> usize {
    building.elements.iter().position(|element| element.id == id).unwrap()
}

fn space(building: &Building, name: &str) -> usize {
    building.spaces.iter().position(|space| space.name == name).unwrap()
}

/// By hand: p² that the house's front would make at the front across if there were none. EN 12354-4:2000: radiated power from Formula (2) with
/// Cd = −6 dB, then Annex E, and VDI 2571 for the angle. Of wall and window.
fn free_before(building: &Building, answer: &Answer, band: usize) -> f64 {
    let at = element(building, "upper/w0");
    let (front, passed) = (&building.elements[at], &answer.elements[at]);
    let window = &front.openings[0];
    let wall_m2 = (front.area_m2 - window.area_m2()) * 10f64.powf(-passed.r_db[band] / 10.0);
    let [street_m, up_m] = STREET_M;
    let distance_m = street_m.hypot(up_m);
    let parts = [(front.size_m, wall_m2), (window.size_m, passed.opening_tau_m2[0][band])];
    let inside = answer.spaces[space(building, "up-left")].energy[band];
    let ahead = 10f64.powf(-5.0 * (1.0 - street_m / distance_m) / 10.0);
    let spread = |[b, h]: [f64; 2]| {
        4.0 / (std::f64::consts::PI * b * h) * (b / (2.0 * distance_m)).atan() * (h / (2.0 * distance_m)).atan()
    };
    parts.iter().map(|(size_m, tau_m2)| inside * tau_m2 / 4.0 * spread(*size_m) * ahead).sum()
}

/// Level in the room across less what EN 12354-3 has from the free field by hand, dB: L2 = L1,2m − D2m,nT + 10 lg(T/T0), L1,2m = free + 3 dB, and
/// D2m,nT = R' + 10 lg(V/(6·T0·S)) (Formula (13)), R' from τS of the parts of the front (Formula (9)).
fn over_by_hand_db(building: &Building, answer: &Answer, band: usize) -> f64 {
    let at = element(building, "lower/t0");
    let (front, passed) = (&building.elements[at], &answer.elements[at]);
    let room = &answer.spaces[space(building, "across-room")];
    let SpaceKind::Room(body) = &building.spaces[space(building, "across-room")].kind else { unreachable!() };
    let openings_m2: f64 = front.openings.iter().map(PlacedOpening::area_m2).sum();
    let wall_m2 = (front.area_m2 - openings_m2) * 10f64.powf(-passed.r_db[band] / 10.0);
    let tau_m2 = wall_m2 + passed.opening_tau_m2.iter().map(|tau_m2| tau_m2[band]).sum::<f64>();
    let r_prime_db = -10.0 * (tau_m2 / front.area_m2).log10();
    let difference_db = r_prime_db + 10.0 * (body.volume_m3 / (6.0 * 0.5 * front.area_m2)).log10();
    let before_db = 10.0 * free_before(building, answer, band).log10() + 3.0;
    let by_hand_db = before_db - difference_db + 10.0 * (room.reverberation_s[band] / 0.5).log10();
    10.0 * room.energy[band].log10() - by_hand_db
}

/// A room across the street, its window shut, tilted (open along the top and the sides, 10 cm at most) and open: EN 12354-4 to its front and EN 12354-3
/// into it, third octave by third octave. Within 1 dB: for 0.3 m less of street on the way, roofs and side walls, and for 0.18 dB of
/// rounding in Formula (13).
#[test]
fn a_room_across_the_street_hears_through_its_own_front() {
    let mut levels = Vec::new();
    let [wide_m, high_m] = [1.5, 1.2];
    let tilted_m = 0.1 * (wide_m + high_m) / wide_m;
    for (construction, size_m) in
        [("window-single-4", [wide_m, high_m]), ("hole-open", [wide_m, tilted_m]), ("hole-open", [wide_m, high_m])]
    {
        let openings = vec![(construction, size_m)];
        let (building, answer) =
            solved(&across_the_street(&Front { walls: "brick-215-plastered", width_m: 5.0, openings }));
        for band in Bands::nearest(100.0)..=Bands::nearest(2500.0) {
            let over_db = over_by_hand_db(&building, &answer, band);
            assert!(over_db.abs() < 1.0, "{construction} {size_m:?}, band {band}: {over_db:.2}");
        }
        levels.push(level(&answer, "across"));
        let across = answer.listeners.iter().find(|heard| heard.listener.0 == "across").unwrap();
        let by_air: f64 =
            across.paths.iter().filter(|path| path.kind == PathKind::ByOutdoors).map(|path| path.share).sum();
        assert!(by_air > 0.99, "{by_air}");
    }
    // More sound by the open area, less for what it takes from the room: 10 lg of both.
    assert!(levels[1] > levels[0] + 5.0 && levels[2] > levels[1] + 3.0, "{levels:.1?}");
}

/// EN 12354-3:2000 Annex F, Table F.1.3, as the front across the street: R' is printed 24.4, 21.5, 24.9, (35.8, 38.0 from its own partial indices)
/// dB at 125 Hz to 2 kHz, S = 11.3 m², V = 50 m³; within its last digit. Chained with EN 12354-4 it gives the room's level, within 1 dB as above.
#[test]
fn the_front_of_annex_f_across_the_street() {
    const R_DB: [(&str, ConstructionKind, [f64; 5]); 3] = [
        ("f-wall", ConstructionKind::Wall, [41.0, 46.0, 52.0, 58.0, 64.0]),
        ("f-window-2", ConstructionKind::Window, [23.0, 22.0, 30.0, 36.0, 37.0]),
        ("f-window-3", ConstructionKind::Window, [24.0, 27.0, 30.0, 33.0, 30.0]),
    ];
    let mut scene = across_the_street(&Front {
        walls: "f-wall",
        width_m: 11.3 / 2.75 + 0.2,
        openings: vec![("f-window-2", [1.8, 2.5]), ("f-window-3", [0.5, 1.0]), ("f-inlet", [0.3, 1.0])],
    });
    for opening in scene.storeys[0].openings.iter_mut() {
        (opening.sill_m, opening.offset_m) = (0.1, opening.offset_m - 1.0);
    }
    let made = |id: &str, kind, build| Construction {
        id: id.into(),
        name: id.into(),
        kind,
        build,
        provenance: Provenance { source: String::new(), place: String::new(), certainty: Certainty::Invented },
        usual_rw: None,
        price_per_m2: None,
        caution: String::new(),
    };
    for (id, kind, octaves_db) in R_DB {
        let r_db = (0..24).map(|band: usize| octaves_db[(band / 3).clamp(2, 6) - 2]).collect();
        let build = Build::Measured { thickness_mm: 200.0, mass_per_area_kg_m2: 200.0, r_db };
        scene.constructions.push(made(id, kind, build));
    }
    let inlet = Build::NormalisedDifference { dne_octaves_db: [28.0, 28.0, 23.0, 25.0, 38.0, 44.0, 44.0] };
    scene.constructions.push(made("f-inlet", ConstructionKind::Vent, inlet));
    scene.storeys[0].rooms.last_mut().unwrap().volume_m3 = Some(50.0);
    // What is printed was computed from its parts alone.
    scene.storeys[0].walls.iter_mut().for_each(|wall| wall.workmanship = Workmanship::AsDrawn);
    let (building, answer) = solved(&scene);
    let front = element(&building, "lower/t0");
    assert!((building.elements[front].area_m2 - 11.3).abs() < 1e-6);
    for (hz, printed_db) in [(125.0, 24.4), (250.0, 21.5), (500.0, 24.9), (1000.0, 35.8), (2000.0, 38.0)] {
        let band = Bands::nearest(hz);
        let r_prime_db = answer.elements[front].r_composite_db[band];
        assert!((r_prime_db - printed_db).abs() < 0.06, "{hz} Hz: {r_prime_db:.2}, printed {printed_db}");
        let over_db = over_by_hand_db(&building, &answer, band);
        assert!(over_db.abs() < 1.0, "{hz} Hz: {over_db:.2}");
    }
}

/// Before the front across the street one hears what comes straight, and its mirror image: by hand 10 lg(1 + d²/d_m²) louder than without the
/// front, d to the window and d_m to its image (EN 12354-4 Annex E, far away; ISO 9613-2:1996, 7.5). ISO 12354-3 has 3 dB, of a far source.
#[test]
fn before_a_front_its_reflection_is_heard() {
    let front = Front { walls: "brick-215-plastered", width_m: 14.0, openings: vec![] };
    let with = across_the_street(&front);
    let mut without = with.clone();
    let storey = &mut without.storeys[0];
    storey.nodes.retain(|node| !node.id.0.starts_with('t'));
    storey.walls.retain(|wall| !wall.id.0.starts_with('t'));
    storey.rooms.retain(|room| room.id.0 != "across-room");
    without.listeners.retain(|listener| listener.id.0 != "across");
    // The free field of before, and the same from behind the front's plane: 10 m and 14 m away, 3 m higher.
    let gain_db = |scene: &Scene, hz| {
        let (with, without) = (solved(scene).1, solved(&without).1);
        band_db(&with, "at its front", hz) - band_db(&without, "at its front", hz)
    };
    let wanted_db = 10.0 * (1.0 + (9.7f64.powi(2) + 9.0) / (13.7f64.powi(2) + 9.0)).log10();
    for hz in [500.0, 1000.0, 2000.0] {
        let got_db = gain_db(&with, hz);
        assert!((got_db - wanted_db).abs() < 0.3, "{hz} Hz: {got_db:.2} for {wanted_db:.2}");
    }
    // 2.75 m of height are no mirror for 63 Hz.
    assert!(gain_db(&with, 63.0).abs() < 0.01);
    // On the wall twice the pressure.
    let mut on_wall = with.clone();
    on_wall.listeners[1].at[1] = -12.0 + FACE_M + 0.02;
    let mut free = without.clone();
    free.listeners[0].at[1] = on_wall.listeners[1].at[1];
    let at_wall_db =
        band_db(&solved(&on_wall).1, "at its front", 1000.0) - band_db(&solved(&free).1, "at its front", 1000.0);
    assert!((at_wall_db - 6.02).abs() < 0.3, "{at_wall_db:.2}");
}

/// The block across the street sends sound back to the house, and hides what lies behind it. By hand: before the house the image of the window lies
/// 23.5 m away, 3 m higher, the window itself 3 m above; behind the block ISO 9613-2:1996, 7.4, over its far edge (C2 = 20, Eqs. (12) to (18))
/// and round both ends.
#[test]
fn the_front_across_sends_sound_back_and_hides_what_lies_behind() {
    let mut with = across_the_street(&Front { walls: "brick-215-plastered", width_m: 14.0, openings: vec![] });
    let mut without = with_window();
    for scene in [&mut with, &mut without] {
        scene.listeners =
            vec![listener("behind", "lower", [AHEAD_M, -19.0]), listener("own front", "lower", [AHEAD_M, -0.8])];
    }
    let (with, without) = (solved(&with).1, solved(&without).1);
    let change_db = |id: &str, hz| band_db(&with, id, hz) - band_db(&without, id, hz);
    let straight_m = 18.7f64.hypot(3.0);
    let barrier_db = |hz: f64, to_edge_m: f64, edges_m: f64, from_edge_m: f64| {
        let detour_m = to_edge_m + edges_m + from_edge_m - straight_m;
        let wavelength_m = 337.5 / hz;
        let ratio = (5.0 * wavelength_m / edges_m).powi(2);
        let (c3, most_db) = if edges_m > 0.0 { ((1.0 + ratio) / (1.0 / 3.0 + ratio), 25.0) } else { (1.0, 20.0) };
        let k_met = (-(to_edge_m * from_edge_m * straight_m / (2.0 * detour_m)).sqrt() / 2000.0).exp();
        (10.0 * (3.0 + 20.0 / wavelength_m * c3 * detour_m * k_met).log10()).min(most_db)
    };
    for hz in [125.0, 500.0, 2000.0] {
        // Over the far edge, 2.75 m high, where hard ground's 3 dB are lost too; round both ends, 7.13 m aside, in the plan.
        let over_db = barrier_db(hz, 16.33f64.hypot(4.5 - 2.75), 0.0, 2.37f64.hypot(2.75 - 1.5)) + 3.01;
        let round_db = barrier_db(hz, 11.57f64.hypot(7.13), 4.76, 2.37f64.hypot(7.13));
        let by_hand_db = -10.0 * (10f64.powf(-over_db / 10.0) + 2.0 * 10f64.powf(-round_db / 10.0)).log10();
        let hidden_db = -change_db("behind", hz);
        assert!((hidden_db - by_hand_db).abs() < 0.5, "{hz} Hz: {hidden_db:.1}, by hand {by_hand_db:.1}");
    }
    // The window lies almost in the plane of the house, so that it sends its sound down with −5 dB·(1 − cos θ), and straight out with none.
    let below_m = 0.5f64.hypot(3.0);
    let below = 10f64.powf(-0.5 * (1.0 - 0.5 / below_m)) / below_m.powi(2);
    let by_hand_db = 10.0 * (1.0 + 1.0 / (23.0f64.powi(2) + 9.0) / below).log10();
    let back_db = change_db("own front", 2000.0);
    assert!((back_db - by_hand_db).abs() < 0.2 && back_db > 0.0, "{back_db:.2}, by hand {by_hand_db:.2}");
}

/// What is left out of each room and at each listener in every band, as a part of what is there with every way followed.
fn left_out_of(scene: &Scene) -> Vec<f64> {
    let (all, some) = (solved_leaving_out(0.0, scene), solved_leaving_out(LEFT_OUT, scene));
    let spaces = all.spaces.iter().zip(&some.spaces).map(|(all, some)| (all.energy, some.energy));
    let listeners = all.listeners.iter().zip(&some.listeners).map(|(all, some)| (all.energy, some.energy));
    let bands = spaces.chain(listeners).flat_map(|(all, some)| all.0.into_iter().zip(some.0));
    bands.filter(|(all, _)| *all > 0.0).map(|(all, some)| 1.0 - some / all).collect()
}

/// Ways through the open air that are not followed bring no room and no listener more than is said, in the shipped scenes, before fronts across the street
/// (windows shut and open, the one opposite by the open air alone), and for what is struck. A way that is left out takes nothing from where it leads either:
/// no room gets louder by more than that.
#[test]
fn what_is_left_out_is_as_little_as_is_said() {
    const SHIPPED: [&str; 6] = [
        include_str!("../../scenes/bookshop-terrace.ron"),
        include_str!("../../scenes/village-hall.ron"),
        include_str!("../../scenes/music-school.ron"),
        include_str!("../../scenes/room-within-a-room.ron"),
        include_str!("../../scenes/shared-void.ron"),
        include_str!("../../scenes/foam-or-lining.ron"),
    ];
    let fronts = ["window-single-4", "hole-open"].map(|opening| {
        let front = Front { walls: "brick-215-plastered", width_m: 5.0, openings: vec![(opening, [1.5, 1.2])] };
        across_the_street(&front)
    });
    let mut scenes: Vec<Scene> = SHIPPED.iter().map(|text| file::from_text(text).unwrap()).chain(fronts).collect();
    // Struck alone: what sounds in the air is 100 dB less.
    let mut struck = scenes[0].clone();
    for source in &mut struck.sources {
        source.offset_db -= 100.0;
        source.contacts.iter_mut().for_each(|contact| contact.offset_db += 100.0);
    }
    scenes.push(struck);
    let mut any = 0;
    for scene in scenes {
        let parts = left_out_of(&scene);
        let most = parts.iter().fold(0.0_f64, |most, part| most.max(part.abs()));
        assert!(most <= LEFT_OUT, "{}: {most}", scene.name);
        any += usize::from(most > 1e-9);
    }
    assert!(any >= 6, "something was left out in {any} scenes");
}
