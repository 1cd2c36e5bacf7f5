//! Air ducts between rooms and to the open air.

use leaklight::acoustics::rating::iso717_1::Airborne;
use leaklight::acoustics::{BAND_COUNT, Bands};
use leaklight::building::build;
use leaklight::catalogue::Catalogue;
use leaklight::scene::file::{from_text, to_text};
use leaklight::scene::validate::validate;
use leaklight::scene::{Duct, DuctEnd, DuctSection, Scene};
use leaklight::solve::{Answer, PathKind, Surface};

use super::properties::{House, level, solved};

/// The house of the other tests with concrete all round and no door, and a pipe of 150 mm from room to room of its upper storey.
fn joined(length_m: f64) -> Scene {
    let house = House { partition: "concrete-180", outer: "concrete-180", door: None, ..House::default() };
    let mut scene = house.scene();
    let end = |x: f64| DuctEnd { storey: "upper".into(), at: [x, 2.1], height_m: 2.2 };
    scene.ducts.push(Duct {
        id: "pipe".into(),
        name: "transfer pipe".into(),
        ends: [end(4.2), end(4.8)],
        section: DuctSection::Round(150.0),
        length_m,
        bends: 0,
        lining: None,
        silencer_db: None,
    });
    scene
}

fn by_duct<'a>(answer: &'a Answer, who: &str) -> Vec<&'a leaklight::solve::PathRecord> {
    let heard = answer.listeners.iter().find(|heard| heard.listener.0 == who).unwrap();
    heard.paths.iter().filter(|path| path.kind == PathKind::Duct).collect()
}

/// An open hole of 150 mm alone is worth Dn,e = 10 lg(10/0.0177) = 27.5 dB (τ = 1). Through a short pipe it is that in high bands, within 1 dB
/// from 2 kHz up (0.3 dB is reflected at each mouth at 2 kHz, 0.1 dB lost on the way and in the listener's room), and about that weighted: within 3 dB, since its resonances pass more and its low bands less. Next to the
/// concrete wall the pipe is all that is heard.
#[test]
fn an_open_pipe_limits_the_level_difference() {
    let (building, answer) = solved(&joined(0.3));
    let paths = by_duct(&answer, "beside");
    assert_eq!(paths.len(), 1);
    assert!(paths[0].share > 0.9 && paths[0].entry == Surface::Duct(0) && paths[0].exit == Surface::Duct(0));
    let at = |name: &str| building.spaces.iter().position(|space| space.name == name).unwrap();
    let (loud, quiet) = (&answer.spaces[at("up-left")], &answer.spaces[at("up-right")]);
    let dne_db = leaklight::acoustics::Spectrum::from_fn(|band| {
        // Into the energy of the listener's room goes A·p²/(all losses of that room).
        10.0 * (loud.energy[band] / paths[0].energy[band] * 10.0 / quiet.absorption_m2[band]).log10()
    });
    for band in Bands::nearest(2000.0)..BAND_COUNT {
        assert!((dne_db[band] - 27.5).abs() < 1.0, "{:.0} Hz: {:.1}", Bands::exact().hz(band), dne_db[band]);
    }
    let weighted = Airborne::of_spectrum(&dne_db).rw_db;
    assert!((weighted - 28).abs() <= 3, "{weighted}");
    let closed = {
        let mut scene = joined(0.3);
        scene.ducts.clear();
        scene
    };
    let (_, without) = solved(&closed);
    assert!(level(&answer, "beside") > level(&without, "beside") + 10.0);
}

/// A silencer of 20 dB in every band lowers what comes by the duct by 20 dB where the ends reflect next to nothing.
#[test]
fn lining_and_silencer_close_it() {
    let energy = |change: fn(&mut Duct)| {
        let mut scene = joined(3.0);
        change(&mut scene.ducts[0]);
        by_duct(&solved(&scene).1, "beside")[0].energy
    };
    let bare = energy(|_| {});
    let silenced = energy(|duct| duct.silencer_db = Some([20.0; 8]));
    let band = Bands::nearest(4000.0);
    let got_db = 10.0 * (bare[band] / silenced[band]).log10();
    assert!((got_db - 20.0).abs() < 0.1, "{got_db}");
    let lined = energy(|duct| duct.lining = Some("mineral-wool-panel-50".into()));
    let bent = energy(|duct| duct.bends = 2);
    for hz in [250.0, 1000.0, 4000.0] {
        let band = Bands::nearest(hz);
        assert!(lined[band] < bare[band] / 3.0 && bent[band] <= bare[band]);
    }
}

/// Both ways the same, all shares of the whole, the balance of the rooms that of the paths.
#[test]
fn a_duct_keeps_the_laws() {
    let there = joined(2.0);
    let mut back = there.clone();
    back.sources[0].at = there.listeners[0].at;
    back.listeners[0].at = there.sources[0].at;
    let ((_, one), (_, other)) = (solved(&there), solved(&back));
    let r_prime = |answer: &Answer| answer.listeners[0].ratings[0].r_prime_db.unwrap();
    for band in 0..BAND_COUNT {
        assert!((r_prime(&one)[band] - r_prime(&other)[band]).abs() < 1e-9);
    }
    for heard in &one.listeners {
        let sum: f64 = heard.paths.iter().map(|path| path.share).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{}: {sum}", heard.name);
        if heard.listener.0 != "garden" {
            for band in 0..BAND_COUNT {
                assert!((heard.energy[band] / one.spaces[heard.space.0].energy[band] - 1.0).abs() < 1e-9);
            }
        }
    }
}

/// To the open air it is heard in the garden as a duct; round the corner, in other rooms, by the open air.
#[test]
fn an_extract_is_heard_in_the_garden() {
    let mut scene = joined(1.0);
    scene.ducts[0].ends[0].at = [2.0, 0.5];
    scene.ducts[0].ends[1].at = [2.0, -0.5];
    let (_, answer) = solved(&scene);
    assert_eq!(by_duct(&answer, "garden").len(), 1);
    assert!(by_duct(&answer, "beside").is_empty());
    let mut closed = scene.clone();
    closed.ducts.clear();
    assert!(level(&answer, "garden") > level(&solved(&closed).1, "garden") + 3.0);
}

/// What cannot be is told in a sentence; a duct is written and read as it is.
#[test]
fn bad_ducts_are_told_of() {
    let catalogue = Catalogue::built_in_ref();
    let told = |change: fn(&mut Duct)| {
        let mut scene = joined(1.0);
        change(&mut scene.ducts[0]);
        let mut said: Vec<String> = validate(&scene, catalogue).iter().map(ToString::to_string).collect();
        if said.is_empty() {
            said = build(&scene, catalogue).err().unwrap_or_default().iter().map(ToString::to_string).collect();
        }
        said.join("\n")
    };
    assert_eq!(told(|_| {}), "");
    for (change, sentence) in [
        (
            (|duct| duct.ends[1].at = [4.5, 2.1]) as fn(&mut Duct),
            "storey \"upper\", duct \"pipe\": its second end lies inside a wall, at (4.50, 2.10); move it into a room.",
        ),
        (
            |duct| duct.ends[1].at = [1.0, 2.1],
            "storey \"upper\", duct \"pipe\": both its ends lie in one room; lead it from a room to another, or to the open air.",
        ),
        (
            |duct| duct.ends[0].at = [-9.0, 2.1],
            "storey \"upper\", duct \"pipe\": it is 1.0 m long, and its ends lie 13.8 m apart; make it longer, or move an end.",
        ),
        (|duct| duct.section = DuctSection::Round(0.0), "duct \"pipe\": its diameter is 0 mm; give 10 to 5000 mm."),
        (|duct| duct.length_m = f64::NAN, "duct \"pipe\": its length is not a number; give 0.01 to 500 m."),
        (
            |duct| duct.lining = Some("foam-5O".into()),
            "duct \"pipe\": its lining \"foam-5O\" is not in the catalogue; did you mean \"foam-50\"?",
        ),
        (
            |duct| duct.silencer_db = Some([-1.0; 8]),
            "duct \"pipe\": value 1 of its silencer is -1 (7 more are wrong); give 0 to 100 dB.",
        ),
        (
            |duct| duct.ends[0].storey = "uper".into(),
            "duct \"pipe\": it stands on storey \"uper\", which does not exist; did you mean \"upper\"?",
        ),
    ] {
        assert_eq!(told(change), sentence);
    }
    let mut scene = joined(1.0);
    scene.ducts[0].silencer_db = Some([5.0; 8]);
    let again = from_text(&to_text(&scene).unwrap()).unwrap();
    assert_eq!(again.ducts, scene.ducts);
}
