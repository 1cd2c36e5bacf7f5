//! The detailed model, path by path, and the whole building of ISO 12354-1:2017 Annex L.

use super::annex_l::{self, Building, Element, WALLS};
use super::{Case, Outcome};
use leaklight::acoustics::flanking::{FlankingElement, FlankingFactors, absorption_length_m, path_area_m2};
use leaklight::acoustics::heavy::InSitu;
use leaklight::acoustics::junction_node::JunctionNode;
use leaklight::acoustics::lining::{FloatingFloor, floating_floor_db, floating_floor_resonance_hz};

use leaklight::acoustics::{Bands, Spectrum};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "l-elements" => elements(case)?,
        "l4-absorption-length-floor" | "l4-absorption-length-ext1" => {
            annex_l::expect_bands(case)?;
            // From the element data, for the loss factors are printed to three digits: 0.0124 at 5 kHz gives 16.10 m, printed 16.2.
            let element = if case.id().ends_with("floor") { Element::Floor } else { Element::Ext1 };
            let in_situ = Building::new().in_situ(element);
            let printed = annex_l::spectrum(&case.numbers("total_loss_factor"));
            let apart = in_situ.total_loss.zip(&printed, |computed, printed| (computed - printed).abs());
            if annex_l::from_50_hz(&apart).iter().any(|apart| *apart > 1e-4) {
                return Err(format!("total loss {:?}", in_situ.total_loss));
            }
            let air = annex_l::air_of(case);
            let a = absorption_length_m(case.number("area_m2"), &in_situ.total_loss, &Bands::nominal(), &air);
            case.compare("equivalent_absorption_length_m", annex_l::from_50_hz(&a), case.tolerance("m"))?;
        }
        "l4-dv-d1" => {
            annex_l::expect_bands(case)?;
            let [a_i, a_j] =
                ["absorption_length_i_m", "absorption_length_j_m"].map(|key| annex_l::spectrum(&case.numbers(key)));
            // What is left of a path between elements of 1 m² that pass everything.
            let (tau, delta_r_db) = (Spectrum::splat(1.0), Spectrum::ZERO);
            let [i, j] = [a_i, a_j].map(|absorption_length_m| {
                FlankingFactors::of(&FlankingElement { tau, area_m2: 1.0, absorption_length_m, delta_r_db })
            });
            let kij = Spectrum::splat(annex_l::factor(case.number("kij_db")));
            let dv = path_area_m2(&i, &j, case.number("length_m"), &kij).r_db_from_tau();
            case.compare("velocity_level_difference_db", annex_l::from_50_hz(&dv), case.tolerance("db"))?;
        }
        "l4-floating-floor" => {
            annex_l::expect_bands(case)?;
            let gain = floating_floor_db(FloatingFloor::Screed, case.number("f0_hz"), &Bands::nominal());
            case.compare("delta_db", annex_l::from_50_hz(&gain), case.tolerance("db"))?;
        }
        "l1-path-dd" => {
            annex_l::expect_bands(case)?;
            let r_db = annex_l::spectrum(&case.numbers("r_situ_floor_db"));
            let gain_db = annex_l::spectrum(&case.numbers("delta_r_db"));
            let direct_db = r_db.zip(&gain_db, |r, gain| r + gain);
            case.compare("r_ij_db", annex_l::from_50_hz(&direct_db), case.tolerance("db"))?;
        }
        "l1-path-1d" | "l1-path-floor-to-1" | "l1-path-11" => printed_path(case)?,
        "l1-r-prime" => whole_building(case)?,
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn elements(case: &Case) -> Result<(), String> {
    let floating = case.expected("floating_floor");
    let number = |key: &str| floating[key].as_f64().unwrap();
    let f0 = floating_floor_resonance_hz(number("dynamic_stiffness_mn_m3"), number("mass_per_area_kg_m2")).unwrap();
    if (f0 - number("f0_hz")).abs() > case.tolerance("f0_hz") {
        return Err(format!("floating floor f0 {f0}"));
    }
    // The printed data are those the building below is made of; half the last printed digit of fc for the materials' own.
    let building = Building::new();
    for (name, element) in [("floor", Element::Floor), ("ext1", Element::Ext1), ("int2", Element::Int2)] {
        let data = &case.input("elements")[name];
        let printed = annex_l::plate_of(|key| data[key].as_f64().unwrap(), &building.air);
        if printed != building.plate(element) {
            return Err(format!("{name}: the building of the tests has other data"));
        }
        let sides = Building::sides(element);
        if (sides.area_m2() - data["area_m2"].as_f64().unwrap()).abs() > 1e-9 {
            return Err(format!("{name}: area {}", sides.area_m2()));
        }
    }
    // Kij through the nodes, printed to 0.1 dB.
    let kij = |node: &JunctionNode, i, j| node.kij(i, j, &building.bands).unwrap().db[10];
    let (external, internal) = (building.floor_junction(Element::Ext1), building.floor_junction(Element::Int1));
    for (name, computed) in [
        ("floor-ext", kij(&external, 1, 0)),
        ("ext-ext", kij(&external, 0, 2)),
        ("floor-floor", kij(&internal, 1, 3)),
        ("int-int", kij(&internal, 0, 2)),
        ("floor-int", kij(&internal, 1, 2)),
    ] {
        let printed = case.expected("kij_db")[name].as_f64().unwrap();
        if (computed - printed).abs() > 0.05 {
            return Err(format!("Kij {name}: computed {computed:.3}, printed {printed}"));
        }
    }
    Ok(())
}

fn printed_path(case: &Case) -> Result<(), String> {
    annex_l::expect_bands(case)?;
    let (bands, air) = (Bands::nominal(), annex_l::air_of(case));
    let read = |key: &str| annex_l::spectrum(&case.numbers(key));
    let flanking = |r_key: &str, eta_key: &str, area_m2: f64, delta_r_db: Spectrum| FlankingElement {
        tau: read(r_key).tau_from_r_db(),
        area_m2,
        absorption_length_m: absorption_length_m(area_m2, &read(eta_key), &bands, &air),
        delta_r_db,
    };
    let separating_m2 = case.number("separating_area_m2");
    let wall =
        flanking("r_situ_flanking_db", "total_loss_factor_flanking", case.number("flanking_area_m2"), Spectrum::ZERO);
    let floor = |lining| flanking("r_situ_floor_db", "total_loss_factor_floor", separating_m2, lining);
    let (i, j) = match case.text("path") {
        "1d" => (wall, floor(Spectrum::ZERO)),
        "D1" => (floor(read("delta_r_source_floor_db")), wall),
        "11" => (wall, wall),
        other => return Err(format!("unknown path {other}")),
    };
    let kij = Spectrum::splat(annex_l::factor(case.number("kij_db")));
    let path_m2 =
        path_area_m2(&FlankingFactors::of(&i), &FlankingFactors::of(&j), case.number("junction_length_m"), &kij);
    let r_db = path_m2.map(|area_m2| 10.0 * (separating_m2 / area_m2).log10());
    case.compare("r_ij_db", annex_l::from_50_hz(&r_db), case.tolerance("db"))
}

/// All thirteen paths from plates, junctions and edge losses: nothing printed enters but the element data.
fn whole_building(case: &Case) -> Result<(), String> {
    annex_l::expect_bands(case)?;
    let building = Building::new();
    let flanking = |element: &InSitu, lining: Spectrum| FlankingElement {
        tau: element.tau,
        area_m2: element.area_m2,
        absorption_length_m: element.absorption_length_m,
        delta_r_db: lining,
    };
    let f0 = floating_floor_resonance_hz(8.0, 73.5).unwrap();
    let floating = floating_floor_db(FloatingFloor::Screed, f0, &building.bands);
    let floor = building.in_situ(Element::Floor);
    let (upper, lower) = (flanking(&floor, floating), flanking(&floor, Spectrum::ZERO));
    let separating_m2 = floor.area_m2;
    let direct = floor.tau.zip(&floating, |tau, gain| separating_m2 * tau * 10f64.powf(-gain / 10.0));
    let (mut total, mut paths) = (direct, 1);
    for wall in WALLS {
        let node = building.floor_junction(wall);
        let in_situ = flanking(&building.in_situ(wall), Spectrum::ZERO);
        // The source room is above: its wall is arm 2, that of the receiving room arm 0, the floor arm 1.
        for (i, from, j, to) in [(&upper, 1, &in_situ, 0), (&in_situ, 2, &lower, 1), (&in_situ, 2, &in_situ, 0)] {
            let kij = node.kij(from, to, &building.bands).unwrap();
            let (i, j, kij) = (FlankingFactors::of(i), FlankingFactors::of(j), kij.db.map(annex_l::factor));
            total = total.zip(&path_area_m2(&i, &j, Building::length_m(wall), &kij), |sum, path| sum + path);
            paths += 1;
        }
    }
    if paths != case.input("number_of_paths").as_i64().unwrap() {
        return Err(format!("{paths} paths"));
    }
    let r_db = total.map(|area_m2| 10.0 * (separating_m2 / area_m2).log10());
    case.compare("r_prime_db", annex_l::from_50_hz(&r_db), case.tolerance("db"))
}
