//! What every builder of quiet rooms knows, with the catalogue's own materials.

use leaklight::acoustics::bridges::Connection;
use leaklight::acoustics::layers::{Cavity, Fill, Leaf, Sheet, Stack};
use leaklight::acoustics::rating::iso717_1;
use leaklight::acoustics::{Air, Bands, Spectrum};
use leaklight::catalogue::{Build, Catalogue, Construction, ConstructionKind, Layer, Provenance, Standing};
use leaklight::catalogue::Bridge;
use leaklight::solve::construction::reduction;

/// R of a build, dB.
fn r_db(kind: ConstructionKind, layers: Vec<Layer>, size_m: [f64; 2]) -> Spectrum {
    let construction = Construction {
        id: "made".into(),
        name: "made".into(),
        kind,
        build: Build::Layers(layers),
        provenance: Provenance { source: String::new(), place: String::new(), standing: Standing::Invented },
        price_per_m2: None,
        caution: String::new(),
    };
    reduction(Catalogue::built_in_ref(), &construction, size_m, &Air::default(), &Bands::exact()).unwrap().r_db
}

fn sheet(material: &str, thickness_mm: f64) -> Layer {
    Layer::Sheet { material: material.into(), thickness_mm, bonded: false }
}

fn gap(depth_mm: f64, bridge: Bridge) -> Layer {
    Layer::Cavity { depth_mm, fill: None, bridge }
}

fn at(hz: f64) -> usize {
    Bands::nearest(hz)
}

fn mean_db(r_db: &Spectrum, from_hz: f64, to_hz: f64) -> f64 {
    let bands = &r_db.0[at(from_hz)..=at(to_hz)];
    bands.iter().sum::<f64>() / bands.len() as f64
}

/// Twelve millimetres of glass: two sealed units of 3-12-3 with 200 mm between them, or two panes of 6 mm, beat one triple unit 4-12-4-12-4 in
/// low and mid bands (common practice, no source). The mean from 100 to 315 Hz by 5 dB, from 400 to 1250 Hz by 5 dB.
#[test]
fn a_wide_gap_beats_a_triple_unit_of_the_same_glass() {
    let window = |layers| r_db(ConstructionKind::Window, layers, [1.25, 1.5]);
    let triple = window(vec![
        sheet("glass", 4.0),
        gap(12.0, Bridge::SealedUnitSpacer),
        sheet("glass", 4.0),
        gap(12.0, Bridge::SealedUnitSpacer),
        sheet("glass", 4.0),
    ]);
    let unit = || [sheet("glass", 3.0), gap(12.0, Bridge::SealedUnitSpacer), sheet("glass", 3.0)];
    let units: Vec<Layer> = unit().into_iter().chain([gap(200.0, Bridge::CommonReveal)]).chain(unit()).collect();
    let panes = vec![sheet("glass", 6.0), gap(200.0, Bridge::CommonReveal), sheet("glass", 6.0)];
    for (name, apart) in [("two units", window(units)), ("two panes", window(panes))] {
        let (low, mid) = (
            mean_db(&apart, 100.0, 315.0) - mean_db(&triple, 100.0, 315.0),
            mean_db(&apart, 400.0, 1250.0) - mean_db(&triple, 400.0, 1250.0),
        );
        println!("{name}: low {low:.1}, mid {mid:.1} dB better; {:.1?}", apart.zip(&triple, |a, b| a - b).0);
        assert!(low > 5.0 && mid > 5.0, "{name}: low {low:.1}, mid {mid:.1}");
    }
}

/// Boards of one thickness: the denser, the better (common practice, no source). A single board by 20 lg of the masses, half a decibel at
/// most less (mass law), from 100 Hz to 1 kHz, well under the critical frequencies; a stud partition in Rw.
#[test]
fn denser_boards_of_equal_thickness_insulate_better() {
    let boards = ["plasterboard-light", "plasterboard", "plasterboard-dense", "gypsum-fibreboard"];
    let single = boards.map(|board| r_db(ConstructionKind::Wall, vec![sheet(board, 12.5)], [4.0, 2.5]));
    let partition = boards.map(|board| {
        let fill = Some(("glass-wool-slab".into(), 50.0));
        let studs = Layer::Cavity { depth_mm: 70.0, fill, bridge: Bridge::LightSteelStuds { spacing_mm: 600.0 } };
        let r_db = r_db(ConstructionKind::Wall, vec![sheet(board, 12.5), studs, sheet(board, 12.5)], [4.0, 2.5]);
        mean_db(&r_db, 100.0, 1000.0)
    });
    let density = boards.map(|board| Catalogue::built_in_ref().materials[board].density_kg_m3);
    for (light, dense) in [(0, 1), (1, 2), (2, 3)] {
        let by_mass = 20.0 * (density[dense] / density[light]).log10();
        for band in at(100.0)..=at(1000.0) {
            let gain = single[dense][band] - single[light][band];
            assert!(gain > by_mass - 0.5, "{}: band {band}: {gain:.2} for {by_mass:.2}", boards[dense]);
        }
        assert!(partition[dense] > partition[light], "{}: {partition:.1?}", boards[dense]);
    }
}

/// Foam stuck on a wall adds no mass to speak of (common practice, no source): 50 mm of the light open-cell foam of the catalogue (11 kg/m³)
/// change R by less than 1 dB. Twice over: as mass on the wall, in every band; and as a porous layer with nothing but a film of
/// a gram on it. The porous layer loses sound by friction where it is thick for the wave, so that up to 1 kHz and Rw are asked there.
#[test]
fn a_light_foam_lining_hardly_changes_a_wall() {
    let plate = |thickness_m, density, speed| Sheet::plate(thickness_m, density, speed, 0.2, 0.015).unwrap();
    for (name, wall) in [("brick", plate(0.102, 1750.0, 2500.0)), ("board", plate(0.0125, 860.0, 1800.0))] {
        let r = |stack: Stack| stack.transmission((4.0, 2.5), &Air::default(), &Bands::exact()).r_db_from_tau();
        let bare = r(Stack::single(Leaf::single(wall)));
        let as_mass = r(Stack::single(
            Leaf::new(&[wall, Sheet::limp(0.05, 11.0).unwrap()], leaklight::acoustics::layers::Joint::Screwed).unwrap(),
        ));
        let foam = Cavity::new(0.05, Some(Fill::new(0.05, 6600.0, 11.0).unwrap()), Connection::Free).unwrap();
        let film = Leaf::single(Sheet::limp(1e-5, 100.0).unwrap());
        let as_porous = r(Stack::new(vec![Leaf::single(wall), film], vec![foam]).unwrap());
        let rw = |r_db: &Spectrum| iso717_1::rate(r_db).rw;
        println!("{name}: {:.1?}", as_porous.zip(&bare, |a, b| a - b).0);
        for band in 0..24 {
            assert!((as_mass[band] - bare[band]).abs() < 1.0, "{name}, band {band}");
            let change = as_porous[band] - bare[band];
            assert!(band > at(1000.0) || change.abs() < 1.0, "{name}, band {band}: {change:.2}");
        }
        assert!((rw(&as_porous) - rw(&bare)).abs() <= 1, "{name}");
    }
}
