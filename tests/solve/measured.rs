//! A level that was measured of a source instead of an offset.

use leaklight::acoustics::Spectrum;
use leaklight::acoustics::rating::weighting::a_weighted_energy;
use leaklight::catalogue::Catalogue;
use leaklight::scene::{Measured, Scene};
use leaklight::solve::PathKind;

use super::properties::{House, listener, solved};

fn house() -> Scene {
    let mut scene = House::default().scene();
    scene.sources[0].sound = "trumpet".into();
    scene
}

fn measured(la_db: f64, distance_m: Option<f64>, in_room: bool) -> Scene {
    let mut scene = house();
    scene.sources[0].measured = Some(Measured { la_db, distance_m, in_room });
    scene
}

/// A-weighted sound power level of the trumpet, dB.
fn lw_a_db() -> f64 {
    let octaves_db = Catalogue::built_in_ref().sources["trumpet"].lw_octaves_db;
    let thirds = Spectrum::from_fn(|band| 10f64.powf(octaves_db[band / 3] / 10.0) / 3.0);
    10.0 * a_weighted_energy(&thirds).log10()
}

fn levels(scene: &Scene) -> Vec<f64> {
    solved(scene).1.listeners.iter().map(|heard| heard.la_db).collect()
}

/// In the open, by hand: Lp = LW − 10 lg(4π·r²) (r = 1 m: 10.99 dB) + 10 lg(ρ0c0/400) = 0.14 dB for 413 Pa·s/m at 20 °C. Within 0.02 dB of the
/// scene whose offset is the difference.
#[test]
fn a_level_in_the_open_gives_the_power_of_the_free_field() {
    for (la_db, distance_m, area_db) in [(92.0, 1.0, 10.99), (80.0, 4.0, 23.03)] {
        let mut offset = house();
        offset.sources[0].offset_db = la_db + area_db - 0.14 - lw_a_db();
        for (by_hand, found) in levels(&offset).iter().zip(levels(&measured(la_db, Some(distance_m), false))) {
            assert!((by_hand - found).abs() < 0.02, "{la_db} at {distance_m}: {by_hand} {found}");
        }
    }
}

/// What was measured in a room is what somebody hears there: at the same distance the same level, and far off the diffuse field alone. Within 0.3 dB:
/// what leaks out and what neighbours send back are in no measurement's formula.
#[test]
fn a_level_in_the_room_is_heard_in_the_room() {
    let with = |mut scene: Scene| {
        let [x, y] = scene.sources[0].at;
        scene.listeners.push(listener("near", "upper", [x - 1.5, y]));
        scene
    };
    let near = with(measured(92.0, Some(1.5), true));
    let heard = levels(&near);
    assert!((heard.last().unwrap() - 92.0).abs() < 0.3, "{heard:?}");
    let far = with(measured(92.0, None, true));
    let (building, answer) = solved(&far);
    let here = building.sources[0].space;
    let diffuse_db = 10.0 * a_weighted_energy(&answer.spaces[here.0].energy).log10();
    assert!((diffuse_db - 92.0).abs() < 0.3, "{diffuse_db}");
    // Nearer, the direct sound counts too: 10 lg(1 + A/(16π·r²)) with about 5 m² and 1.5 m, 0.2 dB.
    let near_db = answer.listeners.last().unwrap().la_db;
    assert!(near_db > diffuse_db + 0.1, "{near_db} {diffuse_db}");
}

/// Feet follow a measured level as they follow an offset.
#[test]
fn feet_follow_a_measured_level() {
    let struck = |la_db: f64| {
        let mut scene = measured(la_db, Some(1.0), true);
        let sound = &Catalogue::built_in_ref().sources["drum-kit-loud"];
        scene.sources[0].contacts = leaklight::scene::Contact::usual(sound, scene.sources[0].at);
        let answer = solved(&scene).1;
        let below = answer.listeners.iter().find(|heard| heard.listener.0 == "below").unwrap();
        let floor = below.paths.iter().filter(|path| path.kind == PathKind::StructureBorne);
        10.0 * floor.map(|path| path.energy.sum()).sum::<f64>().log10()
    };
    assert!((struck(92.0) - struck(86.0) - 6.0).abs() < 1e-6);
}
