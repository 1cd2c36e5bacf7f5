//! The way to listeners in the open air, through the real geometry and solver.

use leaklight::acoustics::Bands;
use leaklight::scene::{Ground, Opening, Scene};
use leaklight::solve::Answer;

use super::properties::{House, level, listener, solved};

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
    let ahead = 2.25;
    for (id, at) in [
        ("before", [ahead, -8.0]),
        ("behind", [ahead, house.depth_m + 8.0]),
        ("beside-it", [-8.0, -0.3]),
        ("far", [ahead, -100.0]),
        ("twice-as-far", [ahead, -200.0]),
    ] {
        scene.listeners.push(listener(id, "lower", at));
    }
    scene
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
    let ((_, hard), (_, soft)) = (solved(&hard), solved(&soft));
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
