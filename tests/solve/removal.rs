//! What stopping something alone would gain, against the same scene solved again with that thing made to pass nothing.

use std::path::Path;

use leaklight::acoustics::BAND_COUNT;
use leaklight::building::{Building, ElementIndex};
use leaklight::scene::{Contact, ContactForce, Override, Scene, Touches, file};
use leaklight::solve::removal::PathSum;
use leaklight::solve::{Answer, PathKind, Stopped, Surface};

use super::properties::{House, level, solved};

fn shipped(name: &str) -> Scene {
    file::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name)).unwrap()
}

fn element(building: &Building, id: &str) -> ElementIndex {
    ElementIndex(building.elements.iter().position(|element| element.id == id).unwrap_or_else(|| panic!("{id}")))
}

/// Level at a listener when something is stopped, dB(A).
fn without(answer: &Answer, listener: &str, stopped: Stopped) -> f64 {
    let heard = answer.listeners.iter().find(|heard| heard.listener.0 == listener).unwrap();
    PathSum::of(heard).without(stopped).level_a_db
}

/// The scene with an element that passes nothing: R of 400 dB in every band, half of which comes off a way round a junction.
fn closed(scene: &Scene, id: &str) -> Answer {
    let mut scene = scene.clone();
    scene.overrides.push(Override::Reduction { element: id.into(), r_db: vec![400.0; BAND_COUNT] });
    solved(&scene).1
}

fn drummed(house: &House) -> Scene {
    let mut scene = house.scene();
    scene.sources[0].contacts.push(Contact {
        name: "pedal".into(),
        at: None,
        touches: Touches::Floor,
        force: ContactForce::Known("bass-drum-pedal".into()),
        offset_db: 0.0,
        mount: None,
    });
    scene
}

/// An element overridden to pass nothing is left out of the sum, within 0.15 dB: what no longer leaves a room stays in it (a few hundredths of a
/// decibel), and a little comes by three rooms or more with the element in their middle, which the list of ways does not show: more of it, up to 0.3 dB, in rooms
/// beyond a landing with doors.
#[test]
fn a_closed_element_is_one_left_out_of_the_sum() {
    let mut scene = shipped("bookshop-terrace.ron");
    scene.sources.iter_mut().for_each(|source| source.contacts.clear());
    let (building, answer) = solved(&scene);
    let cases: [(&str, &[&str], f64); 4] = [
        ("first/party-10-front", &["bed-10", "back-bed-10", "sofa-10"], 5.0),
        ("floor:rehearsal/shop", &["bookseller", "stock"], 3.0),
        ("first/cross-12", &["clerk", "stock"], 1.5),
        ("floor:loft-10-12/rehearsal", &["bed-10", "back-bed-10", "garden-10"], 0.1),
    ];
    for (id, listeners, least_db) in cases {
        let again = closed(&scene, id);
        for listener in listeners {
            let left = without(&answer, listener, Stopped::Passing(Surface::Element(element(&building, id))));
            assert!(level(&answer, listener) - left > least_db, "{id} matters to {listener}: {left:.2}");
            let by_three_rooms_db = if ["back-bed-10", "sofa-10"].contains(listener) { 0.3 } else { 0.15 };
            assert!(
                (left - level(&again, listener)).abs() < by_three_rooms_db,
                "{id} to {listener}: {left:.3}, again {:.3}",
                level(&again, listener)
            );
        }
    }
}

/// A floor by all that enters it, by air and struck, is the floor overridden to pass nothing and nobody touching it. Within 0.1 dB, as above:
/// what comes up from below and round its edges by its other face is next to nothing.
#[test]
fn a_floor_is_stopped_by_air_and_struck_as_one() {
    let house = House { floor: "joist-floor-plasterboard", door: None, ..House::default() };
    let struck = drummed(&house);
    let (building, answer) = solved(&struck);
    let floor = element(&building, "floor:up-left/low-left");
    let quiet = closed(&house.scene(), "floor:up-left/low-left");
    let left = without(&answer, "below", Stopped::Entering(Surface::Element(floor)));
    assert!(level(&answer, "below") - left > 3.0);
    assert!((left - level(&quiet, "below")).abs() < 0.1, "{left:.3}, again {:.3}", level(&quiet, "below"));
    let by_air = solved(&house.scene()).1;
    for listener in ["below", "beside", "diagonal", "garden"] {
        for stopped in [Stopped::Excited(floor), Stopped::Kind(PathKind::StructureBorne)] {
            let left = without(&answer, listener, stopped);
            // The same sum, in another order.
            assert!(
                (left - level(&by_air, listener)).abs() < 1e-6,
                "{listener}: {left}, again {}",
                level(&by_air, listener)
            );
        }
    }
}

/// A gap closed with mastic, a door bricked up (in a wall that passes nothing itself, so that the bricks in its place pass nothing either), a duct taken
/// away. Within 0.2 dB: mastic leaves a hair, duct mouths no longer absorb.
#[test]
fn openings_gaps_and_ducts_are_stopped_alone() {
    let house = House { seal: "none", partition: "brick-215-plastered", duct: true, ..House::default() };
    let bricked = House { door: None, ..house.clone() };
    let scene = |house: &House, shut: bool| {
        let mut scene = house.scene();
        if shut {
            scene.overrides.push(Override::Reduction { element: "upper/w6".into(), r_db: vec![400.0; BAND_COUNT] });
        }
        scene
    };
    for (name, listener, shut, opening, again) in [
        (
            "gap",
            "beside",
            false,
            Some(Stopped::Gap as fn(ElementIndex, usize) -> Stopped),
            House { seal: "mastic", ..house.clone() },
        ),
        ("door", "beside", true, Some(Stopped::Opening), bricked),
        ("duct", "diagonal", false, None, House { duct: false, ..house.clone() }),
    ] {
        let (building, answer) = solved(&scene(&house, shut));
        let wall = element(&building, "upper/w6");
        let stopped = opening.map_or(Stopped::Kind(PathKind::Duct), |opening| opening(wall, 0));
        let (left, again) = (without(&answer, listener, stopped), level(&solved(&scene(&again, shut)).1, listener));
        assert!(level(&answer, listener) - left > 1.0, "{name}: {left:.2} of {:.2}", level(&answer, listener));
        assert!((left - again).abs() < 0.2, "{name}: {left:.3}, again {again:.3}");
    }
}

/// Of every listener of a shipped scene: gains are never negative, each step of the order lowers the level, and all steps together stop everything
/// but what goes by no face.
#[test]
fn steps_lower_the_level_to_the_last() {
    let answer = solved(&shipped("shared-void.ron")).1;
    for heard in &answer.listeners {
        let ways = PathSum::of(heard);
        assert!(ways.ranked(&ways.source_side()).iter().all(|found| found.gain_db >= 0.0 && found.share >= 0.0));
        let steps = ways.in_turn(&ways.source_side(), usize::MAX);
        let falls = steps.windows(2).all(|pair| pair[1].level_a_db < pair[0].level_a_db);
        assert!(falls && !steps.is_empty(), "{}", heard.name);
        let shares: f64 = steps.iter().map(|step| step.share).sum();
        // What every building has besides goes by no face: it is left when all are stopped.
        let besides =
            heard.paths.iter().filter(|path| path.entry == Surface::Building).map(|path| path.share).sum::<f64>();
        assert!((shares + besides - 1.0).abs() < 1e-9, "{}: {shares} {besides}", heard.name);
        assert_eq!(steps.last().unwrap().gain_db.is_infinite(), besides == 0.0, "{}", heard.name);
        // The first step is the best alone.
        assert_eq!(steps[0], ways.ranked(&ways.source_side())[0]);
    }
}
