//! Sound through shared lofts and voids.

use leaklight::acoustics::{BAND_COUNT, Bands};
use leaklight::building::build;
use leaklight::catalogue::Catalogue;
use leaklight::scene::validate::validate;
use leaklight::scene::{Scene, Severity, Usage};
use leaklight::solve::{Answer, PathKind};

use super::properties::{level, listener, solved, source};
use crate::building::make::{room, scene, storey};

/// Two rooms of 4 m by 4 m side by side, a heavy wall between them, and over both a void of a stated height under a concrete roof.
/// `carried_up`: the wall between the rooms goes on to the roof.
fn two_under_one(height_m: f64, ceiling: &str, carried_up: bool) -> Scene {
    let outer = "brick-215-plastered";
    let wall = |line| (line, outer);
    let mut walls = vec![
        wall([0.0, 0.0, 4.0, 0.0]),
        wall([4.0, 0.0, 8.0, 0.0]),
        wall([8.0, 0.0, 8.0, 4.0]),
        wall([8.0, 4.0, 4.0, 4.0]),
        wall([4.0, 4.0, 0.0, 4.0]),
        wall([0.0, 4.0, 0.0, 0.0]),
        wall([4.0, 0.0, 4.0, 4.0]),
    ];
    let mut rooms = storey("rooms", 0.0, &walls);
    rooms.floor.construction = "concrete-slab-180".into();
    rooms.rooms = vec![room("loud", [2.0, 2.0]), room("quiet", [6.0, 2.0])];
    if !carried_up {
        walls.pop();
    }
    let mut above = storey("above", 2.85, &walls);
    above.height_m = height_m;
    above.floor.construction = ceiling.into();
    above.rooms = vec![room("void", [2.0, 2.0])];
    if carried_up {
        above.rooms.push(room("other-void", [6.0, 2.0]));
    }
    for marker in &mut above.rooms {
        marker.usage = Usage::Void;
    }
    let mut storeys = vec![rooms, above];
    for storey in &mut storeys {
        storey.ground = "ground-concrete".into();
        storey.roof = "flat-roof-concrete".into();
    }
    let mut made = scene(storeys);
    made.sources.push(source("rooms", [2.0, 2.0]));
    made.listeners.push(listener("ear", "rooms", [6.0, 2.0]));
    made
}

fn share(answer: &Answer, kind: PathKind) -> f64 {
    answer.listeners[0].paths.iter().filter(|path| path.kind == kind).map(|path| path.share).sum()
}

/// Common practice, no source: a wall that stops at a light ceiling under a shared void is undone by the void; carried up to the roof it
/// is not. What the void passes is told as such.
#[test]
fn a_wall_that_stops_at_a_light_ceiling_is_undone_by_the_void() {
    for height_m in [0.3, 1.2] {
        let shared = solved(&two_under_one(height_m, "loft-ceiling-plasterboard", false)).1;
        let divided = solved(&two_under_one(height_m, "loft-ceiling-plasterboard", true)).1;
        let gained_db = level(&shared, "ear") - level(&divided, "ear");
        assert!(gained_db > 3.0, "{height_m} m: {gained_db:.1} dB");
        assert!(share(&shared, PathKind::ByVoid) > 0.5, "{}", share(&shared, PathKind::ByVoid));
        assert!(share(&divided, PathKind::ByVoid) < share(&shared, PathKind::ByVoid) / 4.0);
        assert!(share(&shared, PathKind::ByRoom) < 1e-9);
        let via = shared.listeners[0].paths.iter().find(|path| path.kind == PathKind::ByVoid).unwrap();
        assert!(via.entry.element().is_some() && via.exit.element().is_some() && via.via.is_some());
    }
}

/// EN 12354-1:2000, Annex F, and Mariner (1959), both from memory: Dn,s = R_A + R_B + 10 lg(A_v·A0/(S_A·S_B)), A0 = 10 m², for the way through
/// both ceilings, A_v with what the void gives back by the ceilings (light ones take as much as the bare void does at 100 Hz). Within 1 dB from
/// 100 Hz up: a little comes in and goes out by junctions and the outer walls, which the formula leaves out.
#[test]
fn the_way_through_two_ceilings_is_that_of_the_formula() {
    let (building, answer) = solved(&two_under_one(0.5, "loft-ceiling-plasterboard", false));
    let at = |name: &str| building.spaces.iter().position(|space| space.name == name).unwrap();
    let ceiling = |below: &str| {
        let id = format!("floor:void/{below}");
        let at = building.elements.iter().position(|element| element.id == id).unwrap();
        (answer.elements[at].r_composite_db, building.elements[at].area_m2)
    };
    let ((r_a, s_a), (r_b, s_b)) = (ceiling("loud"), ceiling("quiet"));
    let (loud, quiet, void) = (&answer.spaces[at("loud")], &answer.spaces[at("quiet")], &answer.spaces[at("void")]);
    for band in 6..BAND_COUNT {
        let back_m2 = s_a * 10f64.powf(-r_a[band] / 10.0) + s_b * 10f64.powf(-r_b[band] / 10.0);
        let void_m2 = void.absorption_m2[band] + back_m2;
        let want_db = r_a[band] + r_b[band] + 10.0 * (void_m2 * 10.0 / (s_a * s_b)).log10();
        let through: f64 = answer.listeners[0]
            .paths
            .iter()
            .filter(|path| path.kind == PathKind::ByVoid)
            .map(|path| path.energy[band])
            .sum();
        let got_db = 10.0 * (loud.energy[band] / through * 10.0 / quiet.absorption_m2[band]).log10();
        let hz = Bands::exact().hz(band);
        assert!((got_db - want_db).abs() < 1.0, "{hz:.0} Hz: {got_db:.2} for {want_db:.2}");
    }
}

/// A quilt in the void lowers what passes it by about the ratio of its absorption areas (the same formula), and all of a low void stays finite.
#[test]
fn a_quilt_in_the_void_helps_by_its_absorption() {
    for height_m in [0.1, 0.3, 0.6] {
        let bare = two_under_one(height_m, "loft-ceiling-plasterboard", false);
        let mut quilted = bare.clone();
        quilted.storeys[1].rooms[0].finishes.floor = "glass-wool-100-exposed".into();
        let problems = validate(&quilted, Catalogue::built_in_ref());
        assert!(problems.iter().all(|problem| problem.severity != Severity::Error), "{problems:?}");
        let ((building, bare), (_, quilted)) = (solved(&bare), solved(&quilted));
        let void = building.spaces.iter().position(|space| space.name == "void").unwrap();
        let band = Bands::nearest(500.0);
        let through = |answer: &Answer| -> f64 {
            let ways = answer.listeners[0].paths.iter().filter(|path| path.kind == PathKind::ByVoid);
            ways.map(|path| path.energy[band]).sum()
        };
        let got_db = 10.0 * (through(&bare) / through(&quilted)).log10();
        let ratio = quilted.spaces[void].absorption_m2[band] / bare.spaces[void].absorption_m2[band];
        assert!(
            (got_db - 10.0 * ratio.log10()).abs() < 0.7,
            "{height_m} m: {got_db:.2} for {:.2}",
            10.0 * ratio.log10()
        );
        assert!(got_db > 5.0);
        for answer in [&bare, &quilted] {
            for band in 0..BAND_COUNT {
                assert!(
                    answer.spaces[void].energy[band].is_finite() && answer.spaces[void].reverberation_s[band] > 0.0
                );
            }
            let sum: f64 = answer.listeners[0].paths.iter().map(|path| path.share).sum();
            assert!((sum - 1.0).abs() < 1e-9);
            assert!(answer.notes.iter().any(|note| note.starts_with("Void is") && note.contains("even field")));
        }
    }
}

/// A void takes bare finishes unless it is given others, and no one listens in it.
#[test]
fn no_one_stays_in_a_void() {
    let mut made = two_under_one(0.3, "loft-ceiling-plasterboard", false);
    assert_eq!(made.storeys[1].rooms[0].surfaces().walls, "brick-bare");
    made.storeys[1].rooms[0].finishes.floor = "glass-wool-100-exposed".into();
    let quilted = made.storeys[1].rooms[0].surfaces();
    assert_eq!((quilted.floor.as_str(), quilted.ceiling.as_str()), ("glass-wool-100-exposed", "wood-floor-joists"));
    assert_eq!(made.storeys[0].rooms[0].surfaces(), made.storeys[0].rooms[0].finishes);
    made.listeners[0].storey = "above".into();
    let problems = build(&made, Catalogue::built_in_ref()).unwrap_err();
    assert_eq!(
        problems[0].to_string(),
        "storey \"above\", listener \"ear\": it lies in a void, where no one stays; move the listener into a room, or change what the void is used for."
    );
    made.storeys[1].rooms[0].usage = Usage::Loft;
    assert!(build(&made, Catalogue::built_in_ref()).is_ok());
    made.storeys[1].height_m = 0.02;
    assert!(validate(&made, Catalogue::built_in_ref()).iter().any(|problem| problem.what == "its height is 0.02 m"));
}

/// A wall may stop under nothing that is drawn: then nothing passes over it, and that is told.
#[test]
fn a_wall_that_stops_below_nothing_is_told_of() {
    let mut made = two_under_one(0.3, "loft-ceiling-plasterboard", false);
    made.storeys[0].walls[6].stops_at_ceiling = true;
    let said = |made: &Scene| {
        let problems = validate(made, Catalogue::built_in_ref());
        problems.iter().any(|problem| problem.what.starts_with("it is said to stop at the ceiling"))
    };
    assert!(!said(&made));
    made.storeys.pop();
    assert!(said(&made));
}
