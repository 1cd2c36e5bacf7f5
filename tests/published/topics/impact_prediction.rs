//! Impact levels: the detailed model, the tapping machine, floating floors, impact insulation classes of floors.

use super::annex_l::{self, Building, Element, WALLS};
use super::iic_floors;
use super::{Case, Outcome};
use leaklight::acoustics::flanking::{FlankingElement, FlankingFactors, absorption_length_m, path_area_m2};
use leaklight::acoustics::heavy::InSitu;
use leaklight::acoustics::lining::{FloatingFloor, floating_floor_db, floating_floor_resonance_hz};
use leaklight::acoustics::tapping_machine;
use leaklight::acoustics::{Bands, Spectrum, bands};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let n = |key: &str| case.number(key);
    match case.id() {
        "g4-direct" => {
            annex_l::expect_bands(case)?;
            let read = |key: &str| annex_l::spectrum(&case.numbers(key));
            let direct = read("ln_situ_db").zip(&read("delta_l_db"), |ln, gain| ln - gain);
            case.compare("ln_dd_db", annex_l::from_50_hz(&direct), case.tolerance("db"))?;
        }
        "g1-df1" => printed_path(case)?,
        "g1-total" => whole_building(case)?,
        "tapping-velocity" => {
            let given = (n("hammer_mass_kg"), n("fall_height_m"));
            if given != (tapping_machine::HAMMER_KG, tapping_machine::FALL_M) {
                return Err(format!("another hammer: {given:?}"));
            }
            case.compare("impact_velocity_m_s", &[tapping_machine::impact_velocity_m_s()], case.tolerance("m_s"))?;
        }
        "tapping-short-pulse-force" => {
            let force = tapping_machine::short_blow_force_squared_n2(n("bandwidth_hz"));
            case.compare_with("mean_square_force_n2", &[force], |printed| case.tolerance("relative") * printed)?;
        }
        "floating-floor-f0-annex" => {
            let f0 = floating_floor_resonance_hz(n("dynamic_stiffness_mn_m3"), n("mass_per_area_kg_m2")).unwrap();
            case.compare("f0_hz", &[f0], case.tolerance("hz"))?;
        }
        id if id.starts_with("hopkins-a3-") => {
            let stiffness = case.expected("dynamic_stiffness_mn_m3").as_f64().unwrap();
            let f0 = floating_floor_resonance_hz(stiffness, n("screed_mass_kg_m2")).unwrap();
            case.compare("f0_hz", &[f0], case.tolerance("f0_hz"))?;
        }
        id if id.starts_with("harris-iic-") => return iic_floors::check(case),
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

/// One path from printed values alone.
fn printed_path(case: &Case) -> Result<(), String> {
    annex_l::expect_bands(case)?;
    let (bands, air) = (Bands::nominal(), annex_l::air_of(case));
    let read = |key: &str| annex_l::spectrum(&case.numbers(key));
    let flanking = |which: &str| {
        let area_m2 = case.number(&format!("area_{which}_m2"));
        let loss = read(&format!("total_loss_factor_{which}"));
        FlankingElement {
            tau: read(&format!("r_situ_{which}_db")).tau_from_r_db(),
            area_m2,
            absorption_length_m: absorption_length_m(area_m2, &loss, &bands, &air),
            delta_r_db: Spectrum::ZERO,
        }
    };
    let (floor, wall) = (flanking("floor"), flanking("flanking"));
    let kij = Spectrum::splat(annex_l::factor(case.number("kij_db")));
    let [i, j] = [&floor, &wall].map(FlankingFactors::of);
    let covered_db = read("ln_situ_db").zip(&read("delta_l_db"), |ln, gain| ln - gain);
    let level = annex_l::round_db(&covered_db, &floor, &path_area_m2(&i, &j, case.number("junction_length_m"), &kij));
    case.compare("ln_df_db", annex_l::from_50_hz(&level), case.tolerance("db"))
}

/// Floor and all four walls from plates, junctions and edge losses: nothing printed enters but the element data.
fn whole_building(case: &Case) -> Result<(), String> {
    let level = annex_l_l_prime_n_db();
    let printed_hz = case.numbers("bands_hz");
    if printed_hz != bands::NOMINAL_HZ[bands::INDEX_100_HZ..] {
        return Err(format!("bands {printed_hz:?}"));
    }
    case.compare("l_prime_n_db", &level.0[bands::INDEX_100_HZ..], case.tolerance("db"))
}

fn annex_l_l_prime_n_db() -> Spectrum {
    let building = Building::new();
    let flanking = |element: &InSitu| FlankingElement {
        tau: element.tau,
        area_m2: element.area_m2,
        absorption_length_m: element.absorption_length_m,
        delta_r_db: Spectrum::ZERO,
    };
    let floor = building.in_situ(Element::Floor);
    let mass_kg_m2 = building.plate(Element::Floor).mass_kg_m2();
    let ln_db = annex_l::annex_b_ln_db(mass_kg_m2, &floor.total_loss, &floor.sigma);
    let f0 = floating_floor_resonance_hz(8.0, 73.5).unwrap();
    let covering = floating_floor_db(FloatingFloor::Screed, f0, &building.bands);
    let ln_db = ln_db.zip(&covering, |ln, gain| ln - gain);
    let mut energy = ln_db.energy_from_db();
    for wall in WALLS {
        let (i, j) = (flanking(&floor), flanking(&building.in_situ(wall)));
        let kij = building.floor_junction(wall).kij(1, 0, &building.bands).unwrap();
        let length_m = Building::length_m(wall);
        let path_m2 =
            path_area_m2(&FlankingFactors::of(&i), &FlankingFactors::of(&j), length_m, &kij.db.map(annex_l::factor));
        let path_db = annex_l::round_db(&ln_db, &i, &path_m2);
        energy = energy.zip(&path_db.energy_from_db(), |sum, path| sum + path);
    }
    energy.to_db()
}
