//! What every building has besides, in whole buildings.

use std::path::Path;

use leaklight::catalogue::Catalogue;
use leaklight::scene::validate::validate;
use leaklight::scene::{Residual, Scene, file};
use leaklight::solve::PathKind;

use super::properties::{House, solved};

fn room_within_a_room() -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/room-within-a-room.ron");
    file::from_text(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// No shell is promised more than the best separations in print: means of 65 dB for a test suite of double brick (Plumb, BBC RD 1990/13), 60 to 80 dB for band
/// facilities (UFC 4-171-04AN); own band for a DnT,w: up to 75 dB, and with a shell no less than 50 dB through old joists.
#[test]
fn a_room_within_a_room_is_promised_what_is_found_in_print() {
    let (_, answer) = solved(&room_within_a_room());
    let promised: Vec<i32> =
        answer.listeners.iter().flat_map(|heard| &heard.ratings).filter_map(|from| from.dntw_db).collect();
    assert!(!promised.is_empty());
    assert!(promised.iter().all(|db| (50..=75).contains(db)), "{promised:?}");
}

/// In the ranking of rooms beside, below and diagonal; the answer follows the scene's value; none outdoors.
#[test]
fn it_is_a_path_of_its_own() {
    let mut scene = House::default().scene();
    let share = |scene: &Scene| -> Vec<f64> {
        let (_, answer) = solved(scene);
        let of = |paths: &[leaklight::solve::PathRecord]| {
            paths
                .iter()
                .filter(|path| path.kind == PathKind::Residual && path.via.is_none())
                .map(|path| path.share)
                .sum()
        };
        answer.listeners.iter().map(|heard| of(&heard.paths)).collect()
    };
    let usual = share(&scene);
    assert!(usual.iter().any(|share| *share > 0.0), "{usual:?}");
    scene.residual = Residual { dnt_db: 50.0, proof: String::new() };
    let worse = share(&scene);
    assert!(usual.iter().zip(&worse).all(|(usual, worse)| *usual <= 0.0 || worse > usual), "{usual:?} {worse:?}");
}

/// Where the residual decides, a good band is as unsure as it and the source together (GUM, 5.1.2). Tolerance 0.1 dB: what else is heard.
#[test]
fn who_hears_the_residual_alone_has_its_uncertainty() {
    let mut scene = House { door: None, ..House::default() }.scene();
    scene.residual = Residual { dnt_db: 10.0, proof: String::new() };
    let (_, answer) = solved(&scene);
    let source_db = Catalogue::built_in_ref().sources[&scene.sources[0].sound].uncertainty_db;
    let expected_db = Residual::UNCERTAINTY_DB.hypot(source_db);
    let heard = answer.listeners.iter().find(|heard| heard.listener.0 == "beside").unwrap();
    let bands = &heard.band_uncertainty_db.0[heard.first_confident_band..];
    assert!(bands.iter().all(|db| (db - expected_db).abs() < 0.1), "{bands:?} for {expected_db}");
}

/// Better than usual only with proof; what is usual is left out of the file.
#[test]
fn better_values_need_proof() {
    let mut scene = House::default().scene();
    assert!(!file::to_text(&scene).unwrap().contains("residual"));
    scene.residual.dnt_db = 78.0;
    let said = |scene: &Scene| {
        let problems = validate(scene, Catalogue::built_in_ref());
        problems.iter().any(|problem| problem.to_string().contains("no one builds better than 70 dB without proof"))
    };
    assert!(said(&scene));
    scene.residual.proof = "measured between the two halls by the builder, ISO 16283-1".into();
    assert!(!said(&scene));
    assert_eq!(file::from_text(&file::to_text(&scene).unwrap()).unwrap(), scene);
}
