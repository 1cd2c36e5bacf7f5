//! The sum of the paths of EN 12354-5 Annex I.3; point mobilities.

use super::{Case, Outcome};
use leaklight::acoustics::level::energy_sum_db;
use leaklight::acoustics::mobility::plate_m_n_s;
use leaklight::acoustics::plate::{Plate, longitudinal_speed_m_s};
use leaklight::acoustics::rating::weighting::level_a_of_bands_db;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let n = |key: &str| case.number(key);
    match case.id() {
        "i9-total" => {
            let paths = case.input("paths_db").as_object().ok_or("no paths")?;
            let bands_hz = case.numbers("bands_hz");
            let level = |path: &serde_json::Value, band: usize| path[band].as_f64().unwrap_or(f64::NAN);
            let total: Vec<_> = (0..bands_hz.len())
                .map(|band| energy_sum_db(&paths.values().map(|path| level(path, band)).collect::<Vec<_>>()))
                .collect();
            case.compare("lns_db", &total, case.tolerance("db"))?;
            let weighted: Vec<_> = bands_hz.into_iter().zip(total).collect();
            case.compare("lns_a_db", &[level_a_of_bands_db(&weighted)], case.tolerance("lns_a_db"))?;
        }
        id if id.starts_with("plate-mobility-") => {
            let speed = longitudinal_speed_m_s(n("youngs_modulus_pa"), n("density_kg_m3"), n("poisson_ratio")).unwrap();
            let plate = Plate::new(n("thickness_m"), n("density_kg_m3"), speed, 0.01).unwrap();
            let relative = |printed: f64| case.tolerance("relative") * printed;
            case.compare_with("bending_stiffness_nm", &[plate.bending_stiffness_nm()], relative)?;
            let mobility = plate_m_n_s(plate.bending_stiffness_nm(), plate.mass_kg_m2());
            case.compare_with("mobility_m_ns", &[mobility], relative)?;
            let mean_square = n("force_amplitude_n").powi(2) / 2.0;
            // A force source: its force is the same on any plate.
            let power = mean_square * mobility;
            case.compare_with("injected_power_w", &[power], relative)?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}
