//! Modes and confidence of whole buildings.

use leaklight::acoustics::BAND_COUNT;
use leaklight::acoustics::bands::{INDEX_50_HZ, NOMINAL_HZ};
use leaklight::building::SpaceKind;
use leaklight::scene::file;
use leaklight::solve::{Answer, SpaceAnswer};
use proptest::prelude::*;

use super::properties::{House, solved};
use crate::building::make::{room, scene, storey};

/// The upper left room of a house, in which the drums play.
fn loud_room(answer: &Answer) -> &SpaceAnswer {
    answer.spaces.iter().find(|space| space.has_source).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    /// A larger room of the same make is diffuse from a lower frequency on (2000·√(T/V), Kuttruff, Room Acoustics, eq. 3.44) and has
    /// more modes in the bands where they are many.
    #[test]
    fn more_volume_lowers_the_schroeder_frequency(width_m in 2.6..4.0f64, depth_m in 2.6..4.5f64, more in 1.1..1.6f64) {
        let small = House { widths_m: [width_m, 3.0], depth_m, door: None, ..House::default() };
        let large = House { widths_m: [width_m * more, 3.0], ..small.clone() };
        let (small, large) = (solved(&small.scene()).1, solved(&large.scene()).1);
        let (a, b) = (loud_room(&small), loud_room(&large));
        prop_assert!(b.schroeder_hz < a.schroeder_hz);
        prop_assert!((15..BAND_COUNT).all(|band| b.mode_count[band] > a.mode_count[band]));
        for listener in ["beside", "below", "garden"] {
            let first = |answer: &Answer| {
                answer.listeners.iter().find(|heard| heard.listener.0 == listener).unwrap().first_confident_band
            };
            prop_assert!(first(&large) <= first(&small), "{listener}");
        }
    }
}

/// Whatever the scene: below 50 Hz nothing is sure, no band is surer than ISO 12999-1:2020 Table 2 (1.8 to 6.8 dB), and those below the
/// Schroeder frequency of the listener's room are no surer than 6 dB.
#[test]
fn low_bands_are_marked_and_wider() {
    for text in [include_str!("../../scenes/bookshop-terrace.ron"), include_str!("../../scenes/music-school.ron")] {
        let (_, answer) = solved(&file::from_text(text).unwrap());
        for heard in &answer.listeners {
            let first = heard.first_confident_band;
            assert!((INDEX_50_HZ..BAND_COUNT).contains(&first), "{}: {first}", heard.name);
            // The room of the listener always counts, that of a source where it is heard.
            let schroeder_hz = answer.spaces[heard.space.0].schroeder_hz;
            assert!(NOMINAL_HZ[first] > 0.97 * schroeder_hz, "{}: {first} {schroeder_hz}", heard.name);
            let u = &heard.band_uncertainty_db;
            assert!((0..BAND_COUNT).all(|band| u[band] >= 1.8 && u[band] < 15.0), "{}: {u:?}", heard.name);
            assert!(u[INDEX_50_HZ] >= 6.8 && (0..first).all(|band| u[band] >= 6.0), "{}: {u:?}", heard.name);
            // A sum over bands is no less sure than the least sure of them.
            let most_db = u.iter().copied().fold(0.0, f64::max);
            assert!((1.8..=most_db).contains(&heard.uncertainty_db), "{}: {}", heard.name, heard.uncertainty_db);
        }
    }
}

/// The worked example. Schroeder frequencies of furnished rooms of 30 to 60 m³ lie at 100 to 300 Hz (T of 0.3 to 0.9 s in
/// 2000·√(T/V)); the lowest mode is half a wave along the longer side: 343.2 m/s at 20 °C (ISO 9613-1) over twice that side.
#[test]
fn the_worked_example_is_plausible() {
    let scene = file::from_text(include_str!("../../scenes/bookshop-terrace.ron")).unwrap();
    let (building, answer) = solved(&scene);
    let mut boxes = 0;
    for (space, solved) in building.spaces.iter().zip(&answer.spaces) {
        let SpaceKind::Room(room) = &space.kind else {
            assert!(solved.single_modes.is_empty() && solved.mode_count.sum() == 0.0);
            continue;
        };
        println!(
            "{:<34} {:>6.1} m³ {:>4.0} Hz  modes {:?}  {:?}",
            space.name,
            room.volume_m3,
            solved.schroeder_hz,
            solved.mode_count.0[..12].iter().map(|n| n.round()).collect::<Vec<_>>(),
            solved.single_modes.iter().map(|mode| mode.hz.round()).collect::<Vec<_>>()
        );
        assert!((60.0..600.0).contains(&solved.schroeder_hz), "{}: {}", space.name, solved.schroeder_hz);
        let listed = &solved.single_modes;
        assert!(listed.len() <= 25 && listed.windows(2).all(|pair| pair[0].hz <= pair[1].hz + 1e-9));
        let Some(lowest) = listed.first() else { continue };
        boxes += 1;
        let [mut xs, mut ys] = [0, 1].map(|axis| room.outline[0].iter().map(|at| at[axis]).collect::<Vec<f64>>());
        let longest = [&mut xs, &mut ys]
            .map(|places| {
                places.sort_by(f64::total_cmp);
                places[places.len() - 1] - places[0]
            })
            .into_iter()
            .fold(room.height_m, f64::max);
        // The scene may be cooler or warmer than 20 °C by a few degrees, 0.2 % a degree.
        assert!((lowest.hz / (343.2 / (2.0 * longest)) - 1.0).abs() < 0.02, "{}: {lowest:?} {longest}", space.name);
        // No box rings in the 25 Hz band that is shorter than 6.1 m (343.2/(2·28.1 Hz)).
        assert!(longest > 6.1 || solved.mode_count[0] == 0.0, "{}", space.name);
    }
    assert!(boxes >= 4, "only {boxes} boxes");
    for heard in &answer.listeners {
        println!("{}: {} {:?}", heard.name, NOMINAL_HZ[heard.first_confident_band], heard.band_uncertainty_db.0);
    }
}

/// A room that is an L has no list of modes, but a count, in the mean.
#[test]
fn an_l_shaped_room_has_a_count_alone() {
    let wall = "brick-215-plastered";
    let walls = [
        ([0.0, 0.0, 6.0, 0.0], wall),
        ([6.0, 0.0, 6.0, 3.0], wall),
        ([6.0, 3.0, 3.0, 3.0], wall),
        ([3.0, 3.0, 3.0, 6.0], wall),
        ([3.0, 6.0, 0.0, 6.0], wall),
        ([0.0, 6.0, 0.0, 0.0], wall),
    ];
    let mut ground = storey("ground", 0.0, &walls);
    ground.ground = "ground-concrete".into();
    ground.roof = "flat-roof-concrete".into();
    ground.rooms.push(room("ell", [1.5, 1.5]));
    let (building, answer) = solved(&scene(vec![ground]));
    let at = building.spaces.iter().position(|space| matches!(space.kind, SpaceKind::Room(_))).unwrap();
    let solved = &answer.spaces[at];
    assert!(solved.single_modes.is_empty());
    assert!((0..BAND_COUNT).all(|band| solved.mode_count[band] > 0.0));
    assert!((1..BAND_COUNT).all(|band| solved.mode_count[band] > solved.mode_count[band - 1]));
}
