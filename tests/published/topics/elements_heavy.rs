//! Heavy elements: critical frequency, radiation, loss, transmission and impact level in situ.

use super::annex_l;
use super::{Case, Outcome};
use leaklight::acoustics::heavy::{laboratory_loss, plate_transmission};
use leaklight::acoustics::plate::{Plate, longitudinal_speed_m_s};
use leaklight::acoustics::radiation::{PanelSides, sigma_forced, sigma_free};
use leaklight::acoustics::{Air, Bands, edge_loss};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let id = case.id();
    if id.starts_with("hopkins-a2-") {
        thickness_times_critical_frequency(case)?;
    } else if id.starts_with("l2-sigma-forced") {
        let (sides, air) = (sides(case), annex_l::air_of(case));
        let computed: Vec<f64> = case.numbers("bands_hz").iter().map(|hz| sigma_forced(sides, *hz, &air)).collect();
        case.compare("sigma_forced", &computed, case.tolerance("sigma"))?;
    } else if id.starts_with("l2-sigma") {
        let (sides, air) = (sides(case), annex_l::air_of(case));
        let fc = case.number("critical_frequency_hz");
        let computed: Vec<f64> = case.numbers("bands_hz").iter().map(|hz| sigma_free(sides, fc, *hz, &air)).collect();
        case.compare("sigma", &computed, case.tolerance("sigma"))?;
    } else {
        match id {
            "l3-eta-floor" | "l3-eta-ext1" => total_loss(case)?,
            "l3-r-situ-floor" | "l3-r-situ-ext1" => r_in_situ(case)?,
            "c4-edge-sums-floor-ext1" => edge_sums(case)?,
            "g3-ln-situ-floor" => ln_in_situ(case)?,
            "hopkins-glass-fc" => glass(case)?,
            "hopkins-sigma-2" => radiation_by_hopkins(case)?,
            "iso12354-1-lab-loss" => laboratory(case)?,
            _ => return Ok(Outcome::Waits("no check for this case yet")),
        }
    }
    Ok(Outcome::Passes)
}

fn sides(case: &Case) -> PanelSides {
    PanelSides::new(case.number("length1_m"), case.number("length2_m")).unwrap()
}

fn thickness_times_critical_frequency(case: &Case) -> Result<(), String> {
    // h·fc depends on neither density nor thickness; where the table gives no density any will do.
    let density = case.input("density_kg_m3").as_f64().unwrap_or(1000.0);
    let air = Air::stated(1.21, case.number("speed_of_sound_m_s")).unwrap();
    let plate = Plate::new(0.1, density, case.number("quasi_longitudinal_speed_m_s"), 0.01).unwrap();
    let computed = 0.1 * plate.critical_hz(&air);
    case.compare("thickness_times_critical_frequency_m_hz", &[computed], case.tolerance("m_hz"))
}

fn total_loss(case: &Case) -> Result<(), String> {
    annex_l::expect_bands(case)?;
    let (bands, air, sides) = (Bands::nominal(), annex_l::air_of(case), sides(case));
    let plate = annex_l::plate_of(|key| case.number(key), &air);
    let fc = plate.critical_hz(&air);
    let sigma = bands.map(|hz| sigma_free(sides, fc, hz, &air));
    let edges = leaklight::acoustics::Spectrum::splat(case.number("sum_edge_length_times_alpha_m"));
    let eta = edge_loss::total_loss(&plate, sides, &sigma, &edges, &bands, &air);
    case.compare("total_loss_factor", annex_l::from_50_hz(&eta), case.tolerance("abs"))
}

fn r_in_situ(case: &Case) -> Result<(), String> {
    annex_l::expect_bands(case)?;
    let (bands, air, sides) = (Bands::nominal(), annex_l::air_of(case), sides(case));
    let plate = annex_l::plate_of(|key| case.number(key), &air);
    let eta = annex_l::spectrum(&case.numbers("total_loss_factor"));
    let r_db = plate_transmission(&plate, sides, &eta, &bands, &air).r_db_from_tau();
    case.compare("r_situ_db", annex_l::from_50_hz(&r_db), case.tolerance("db"))
}

fn edge_sums(case: &Case) -> Result<(), String> {
    let building = annex_l::Building::new();
    let sum = |element: annex_l::Element| building.edge_sum_m(element)[10];
    case.compare("floor_m", &[sum(annex_l::Element::Floor)], case.tolerance("m"))?;
    case.compare("ext1_m", &[sum(annex_l::Element::Ext1)], case.tolerance("m"))
}

fn ln_in_situ(case: &Case) -> Result<(), String> {
    annex_l::expect_bands(case)?;
    let eta = annex_l::spectrum(&case.numbers("total_loss_factor"));
    let sigma = annex_l::spectrum(&case.numbers("sigma"));
    let ln_db = annex_l::annex_b_ln_db(case.number("mass_per_area_kg_m2"), &eta, &sigma);
    case.compare("ln_situ_db", annex_l::from_50_hz(&ln_db), case.tolerance("db"))
}

fn glass(case: &Case) -> Result<(), String> {
    let density = case.number("density_kg_m3");
    let speed =
        longitudinal_speed_m_s(case.number("youngs_modulus_pa"), density, case.number("poisson_ratio")).unwrap();
    let air = Air::stated(1.21, case.number("speed_of_sound_m_s")).unwrap();
    let plate = Plate::new(case.number("thickness_m"), density, speed, 0.01).unwrap();
    let relative = case.tolerance("relative");
    case.compare_with("critical_frequency_hz", &[plate.critical_hz(&air)], |printed| relative * printed)
}

/// The handbook's value is by its method no. 1; the tolerance is said to cover Annex B too.
fn radiation_by_hopkins(case: &Case) -> Result<(), String> {
    let speed = case.input("speed_of_sound_m_s").as_f64().unwrap_or(343.0);
    let air = Air::stated(1.21, speed).unwrap();
    let (fc, relative) = (case.number("critical_frequency_hz"), case.tolerance("relative"));
    let computed: Vec<f64> =
        case.numbers("frequencies_hz").iter().map(|hz| sigma_free(sides(case), fc, *hz, &air)).collect();
    case.compare_with("sigma", &computed, |printed| relative * printed)
}

fn laboratory(case: &Case) -> Result<(), String> {
    let loss = case.number("internal_loss_factor");
    // Any plate of the stated mass: the laboratory's line knows mass and internal loss only.
    let plate = Plate::new(0.2, case.number("mass_per_area_kg_m2") / 0.2, 3800.0, loss).unwrap();
    let eta = laboratory_loss(&plate, &Bands::nominal());
    let computed: Vec<f64> = case.numbers("frequencies_hz").iter().map(|hz| eta[Bands::nearest(*hz)]).collect();
    let relative = case.tolerance("relative");
    case.compare_with("total_loss_factor", &computed, |printed| relative * printed)
}
