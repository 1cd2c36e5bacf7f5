//! Facts of the trade that the whole chain must show.

use std::path::Path;

use leaklight::acoustics::{BAND_COUNT, Bands, Spectrum};
use leaklight::building::{Building, SpaceKind};
use leaklight::scene::{Contact, ContactForce, Opening, Scene, Touches, file};
use leaklight::solve::{Answer, PathKind};

use super::properties::{House, level, solved};

/// R is that of a laboratory in any season (ISO 12354-1:2017 takes it as measured), as the commands and panels that show an element by itself have it; the
/// rooms' own air absorbs more of the highest notes when it is dry (ISO 9613-2:1996, Table 2, 4 kHz at 15 °C: 88.8 dB/km at 20 %, 26.7 at 80 %).
#[test]
fn the_air_of_the_rooms_changes_the_rooms_alone() {
    let at = |temperature_c, humidity_percent| {
        let mut scene = House::default().scene();
        (scene.air.temperature_c, scene.air.humidity_percent) = (temperature_c, humidity_percent);
        solved(&scene).1
    };
    let (usual, cold, dry) = (at(15.0, 80.0), at(2.0, 80.0), at(15.0, 20.0));
    assert!(usual.elements == cold.elements && usual.elements == dry.elements);
    assert!(usual.spaces[0].mode_count != cold.spaces[0].mode_count);
    let absorbs = |answer: &Answer| answer.spaces[0].absorption_m2[Bands::nearest(4000.0)];
    assert!(absorbs(&dry) > 1.01 * absorbs(&usual), "{} {}", absorbs(&dry), absorbs(&usual));
}

/// A heavier door in a gap of 3 mm hardly helps; closing the gap does (composite of parallel transmissions: Hopkins 2007, 4.3.9).
#[test]
fn closing_the_gap_beats_a_heavier_door() {
    let drawn = House { door: Some("door-hollow-core"), seal: "none", ..House::default() };
    let heavier = House { door: Some("door-front-timber-54"), ..drawn.clone() };
    let sealed = House { seal: "compression-double", door: Some("door-solid-core-44"), ..drawn.clone() };
    let heavy_only = level(&solved(&heavier.scene()).1, "beside");
    let gap_closed = level(&solved(&sealed.scene()).1, "beside");
    assert!(gap_closed < heavy_only - 3.0, "{gap_closed:.1} {heavy_only:.1}");
}

/// Diagonal rooms share no element: all first-order sound goes round junctions (ISO 12354-1:2017, 4.1), or by other rooms and the outdoors.
#[test]
fn diagonal_rooms_hear_round_junctions_and_by_other_rooms_only() {
    let (_, answer) = solved(&House::default().scene());
    let diagonal = answer.listeners.iter().find(|listener| listener.listener.0 == "diagonal").unwrap();
    assert!(diagonal.paths.iter().all(|path| !matches!(path.kind, PathKind::Through | PathKind::Gap)));
    assert!(diagonal.paths.iter().any(|path| path.kind == PathKind::Flanking));
    assert!(diagonal.ratings[0].r_prime_db.is_none() && diagonal.ratings[0].dntw_db.is_some());
}

/// Flanking limits a good wall: a much better partition between rooms on one continuous slab gains far less than its own R
/// (ISO 12354-1:2017, introduction; common experience).
#[test]
fn flanking_limits_what_a_better_wall_gains() {
    let plain = House { door: None, partition: "brick-215-plastered", ..House::default() };
    let better = House { partition: "stud-steel-twin-party", ..plain.clone() };
    let (building, plain) = solved(&plain.scene());
    let (_, better) = solved(&better.scene());
    let at = building.elements.iter().position(|element| element.id == "upper/w6").unwrap();
    let own_gain = f64::from(better.elements[at].rw_db - plain.elements[at].rw_db);
    let gain = level(&plain, "beside") - level(&better, "beside");
    assert!(own_gain > 5.0 && gain < own_gain - 3.0, "wall gains {own_gain}, listener {gain:.1}");
}

/// The pair of rooms of scenes/foam-or-lining.ron with this much foam, and with the lining or without; only `drums` play.
fn pair(drums: &str, foam: bool, lining: bool) -> (Building, Answer) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/foam-or-lining.ron");
    let mut scene: Scene = file::read(&path).unwrap();
    for source in &mut scene.sources {
        source.playing = source.id.0 == drums;
    }
    let storey = &mut scene.storeys[0];
    if !foam {
        storey.rooms.iter_mut().for_each(|room| room.finishes.extra.clear());
    }
    if !lining {
        let party = storey.walls.iter_mut().find(|wall| wall.id.0 == "lining-party").unwrap();
        party.construction = "brick-102-plastered".into();
    }
    solved(&scene)
}

/// How much lower the second is, dB.
fn fall_db(before: &Spectrum, after: &Spectrum) -> Spectrum {
    before.zip(after, |before, after| 10.0 * (before / after).log10())
}

fn space<'a>((building, answer): &'a (Building, Answer), name: &str) -> &'a leaklight::solve::SpaceAnswer {
    &answer.spaces[building.spaces.iter().position(|space| space.name == name).unwrap()]
}

/// Foam lowers the room it hangs in by 10 lg(A2/A1), the level of a diffuse field being 4W/A (Kuttruff, Room Acoustics, 5.1), and
/// the neighbour by as much, since R is a property of the wall (ISO 12354-1:2017, 3.1). Within 0.1 dB: what the neighbour gives back.
/// A2 − A1 by hand from the printed coefficients (Vorländer 2008, foam wedges, plasterboard ceiling, carpet on felt; Bies 2017, plaster on brick):
/// the sum of areas times coefficients, by Eyring where their mean passes 0.2 (Kuttruff, 5.1). Within 1 %: the air's part.
#[test]
fn foam_lowers_both_rooms_by_what_it_adds_to_the_absorption() {
    let (bare, foam) = (pair("foam-drums", false, true), pair("foam-drums", true, true));
    let (room, next_door) = ("practice room with foam", "neighbour of the foam");
    let (a1, a2) = (space(&bare, room).absorption_m2, space(&foam, room).absorption_m2);
    let (floor_m2, walls_m2) = bare
        .0
        .spaces
        .iter()
        .find_map(|space| match &space.kind {
            SpaceKind::Room(body) if space.name == room => Some((body.area_m2, body.perimeter_m * body.height_m)),
            _ => None,
        })
        .unwrap();
    let surface_m2 = 2.0 * floor_m2 + walls_m2;
    // Hz; coefficients of foam, walls, floor, ceiling.
    for (hz, foam, plaster, carpet, ceiling) in [
        (125.0, 0.12, 0.013, 0.08, 0.2),
        (500.0, 0.83, 0.02, 0.3, 0.1),
        (1000.0, 0.97, 0.03, 0.6, 0.08),
        (4000.0, 0.95, 0.05, 0.8, 0.02),
    ] {
        let before = floor_m2 * (carpet + ceiling) + walls_m2 * plaster;
        let area_m2 = |sum_m2: f64| match sum_m2 / surface_m2 {
            mean if mean > 0.2 => -surface_m2 * (1.0 - mean).ln(),
            _ => sum_m2,
        };
        let by_hand = area_m2(before + 24.0 * (foam - plaster)) - area_m2(before);
        let band = Bands::nearest(hz);
        let added = a2[band] - a1[band];
        assert!((added / by_hand - 1.0).abs() < 0.01, "{hz} Hz: {added:.2} m², by hand {by_hand:.2}");
    }
    let room_db = fall_db(&space(&bare, room).energy, &space(&foam, room).energy);
    let neighbour_db = fall_db(&space(&bare, next_door).energy, &space(&foam, next_door).energy);
    for band in 0..BAND_COUNT {
        let wanted = 10.0 * (a2[band] / a1[band]).log10();
        assert!((room_db[band] - wanted).abs() < 0.1, "band {band}: room {:.2} for {wanted:.2}", room_db[band]);
        assert!((neighbour_db[band] - wanted).abs() < 0.1, "band {band}: {:.2} for {wanted:.2}", neighbour_db[band]);
    }
    let party = foam.0.elements.iter().position(|element| element.id == "ground/foam-party").unwrap();
    assert_eq!(bare.1.elements[party].r_db, foam.1.elements[party].r_db);
    // In the bass, where music gets through walls, next to nothing (common practice, no source).
    for band in Bands::nearest(25.0)..=Bands::nearest(125.0) {
        assert!(neighbour_db[band] < 2.0, "band {band}: {:.2}", neighbour_db[band]);
    }
    let gain = level(&bare.1, "foam-bed") - level(&foam.1, "foam-bed");
    println!("foam: the bed next door gains {gain:.1} dB(A)");
    assert!(gain < 4.0, "{gain:.1}");
}

/// The lining for the same money does the opposite (common practice, no source): its own room stays as loud within 0.3 dB (what it
/// absorbs differs by the wall it hides, and the room is some centimetres smaller), the neighbour hears 9 dB(A) less or better, that is more
/// than twice the decibels of the foam; 5 dB in every band from 125 Hz to 1 kHz.
#[test]
fn a_lining_of_the_same_price_leaves_its_room_and_quiets_the_neighbour() {
    let (bare, lined) = (pair("lining-drums", false, false), pair("lining-drums", false, true));
    let room_db =
        fall_db(&space(&bare, "practice room with lining").energy, &space(&lined, "practice room with lining").energy);
    assert!(room_db.iter().all(|db| db.abs() < 0.3), "{room_db:.2?}");
    let next_door = "neighbour of the lining";
    let neighbour_db = fall_db(&space(&bare, next_door).energy, &space(&lined, next_door).energy);
    for band in Bands::nearest(125.0)..=Bands::nearest(1000.0) {
        assert!(neighbour_db[band] > 5.0, "band {band}: {neighbour_db:.1?}");
    }
    let gain = level(&bare.1, "lining-bed") - level(&lined.1, "lining-bed");
    println!("lining: the bed next door gains {gain:.1} dB(A); by band {neighbour_db:.1?}");
    assert!(gain > 9.0, "{gain:.1}");
    let foam =
        level(&pair("foam-drums", false, true).1, "foam-bed") - level(&pair("foam-drums", true, true).1, "foam-bed");
    assert!(gain > 2.0 * foam, "lining {gain:.1}, foam {foam:.1}");
}

/// Under a kit on a timber floor a decoupled floor outdoes a better window (common practice, no source): a ceiling on joists of its own, or
/// a floating floor with a resilient ceiling, against secondary panes in both rooms. By 5 dB(A) at least.
#[test]
fn under_a_timber_floor_a_decoupled_floor_outdoes_a_better_window() {
    let below = |floor: &'static str, window: &str| {
        let mut scene = House { floor, ..House::default() }.scene();
        scene.sources[0].contacts.push(Contact {
            name: "pedal".into(),
            at: None,
            touches: Touches::Floor,
            force: ContactForce::Known("bass-drum-pedal".into()),
            offset_db: 0.0,
            mount: None,
        });
        for storey in &mut scene.storeys {
            storey.floor.joist_direction_deg = Some(0.0);
            storey.openings.push(Opening {
                id: "window".into(),
                name: String::new(),
                wall: "w0".into(),
                construction: window.into(),
                offset_m: 1.5,
                width_m: 1.4,
                height_m: 1.4,
                sill_m: 0.9,
                seal: Some("compression-single".into()),
                undercut_mm: 0.0,
                cover: None,
                workmanship: Default::default(),
            });
        }
        level(&solved(&scene).1, "below")
    };
    let drawn = below("joist-floor-plasterboard", "window-single-4");
    let by_window = drawn - below("joist-floor-plasterboard", "window-secondary-4-200-6");
    for floor in ["joist-floor-independent-ceiling", "joist-floor-dry-floating"] {
        let by_floor = drawn - below(floor, "window-single-4");
        println!("{floor}: {by_floor:.1} dB(A), the better window {by_window:.1}");
        assert!(by_floor > by_window + 4.0, "{floor}: {by_floor:.1}, the window {by_window:.1}");
    }
}
