//! Structural power, coupling and paths of EN 12354-5 Annex I.3; reception plates; point mobilities.

use super::{Case, Outcome};
use leaklight::acoustics::level::energy_sum_db;
use leaklight::acoustics::mobility::plate_m_n_s;
use leaklight::acoustics::plate::{Plate, longitudinal_speed_m_s};
use leaklight::acoustics::rating::weighting::level_a_of_bands_db;
use leaklight::acoustics::structure_borne as borne;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let n = |key: &str| case.number(key);
    match case.id() {
        "i8-wall-installed" | "i8-floor-installed" => {
            let (plate, receiver) = (n("plate_mobility_m_ns"), n("receiver_mobility_m_ns"));
            let levels: Vec<_> = case
                .numbers("lws_reception_plate_db")
                .iter()
                .map(|lws| borne::installed_level_db(*lws, plate, receiver))
                .collect();
            case.compare("lws_installed_db", &levels, case.tolerance("db"))?;
        }
        "i8-wall-characteristic" | "i8-floor-characteristic" => {
            let (plate, source) = (n("plate_mobility_m_ns"), n("source_mobility_m_ns"));
            let levels: Vec<_> = case
                .numbers("lws_reception_plate_db")
                .iter()
                .map(|lws| borne::characteristic_level_db(*lws, plate, source))
                .collect();
            case.compare("lws_characteristic_db", &levels, case.tolerance("db"))?;
        }
        "i9-dc-wall" | "i9-dc-floor" => {
            let (source, receiver) = (n("source_mobility_m_ns"), n("receiver_mobility_m_ns"));
            let term = borne::coupling_term_of_force_source_db(source, receiver);
            case.compare("coupling_term_db", &[term], case.tolerance("db"))?;
            // The general form, 20 lg(1 + Yi/Ys) more, stays within the 0.2 dB the annex's rounding leaves room for.
            let general = borne::coupling_term_db(source.into(), receiver.into());
            case.compare("coupling_term_db", &[general], 0.25)?;
        }
        id if id.starts_with("i9-path-") => {
            let (power, adjust) = (case.numbers("lws_characteristic_db"), case.numbers("structure_to_airborne_db"));
            let levels: Vec<_> = power
                .iter()
                .zip(adjust)
                .zip(case.numbers("r_ij_db"))
                .map(|((lws, dsa), r_ij)| {
                    borne::path_level_db(*lws, n("coupling_term_db"), dsa, r_ij, n("element_area_m2"))
                })
                .collect();
            case.compare("lns_ij_db", &levels, case.tolerance("db"))?;
        }
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
        "en15657-plate-power" => {
            let level = borne::reception_plate_level_db(
                n("velocity_level_db_re_1nm_s"),
                n("frequency_hz"),
                n("plate_mass_per_area_kg_m2"),
                n("plate_area_m2"),
                n("total_loss_factor"),
            );
            case.compare("lws_db_re_1pw", &[level], case.tolerance("db"))?;
        }
        "en15657-blocked-force" => {
            let force = borne::blocked_force_squared_n2(n("lws_low_mobility_plate_db"), n("plate_mobility_m_ns"));
            // In dB re 1 µN: the square of the reference is 1 pN².
            let level = 10.0 * (force / 1e-12).log10();
            case.compare("blocked_force_level_db_re_1un", &[level], case.tolerance("db"))?;
        }
        id if id.starts_with("plate-mobility-") => {
            let speed = longitudinal_speed_m_s(n("youngs_modulus_pa"), n("density_kg_m3"), n("poisson_ratio")).unwrap();
            let plate = Plate::new(n("thickness_m"), n("density_kg_m3"), speed, 0.01).unwrap();
            let relative = |printed: f64| case.tolerance("relative") * printed;
            case.compare_with("bending_stiffness_nm", &[plate.bending_stiffness_nm()], relative)?;
            let mobility = plate_m_n_s(plate.bending_stiffness_nm(), plate.mass_kg_m2());
            case.compare_with("mobility_m_ns", &[mobility], relative)?;
            let mean_square = n("force_amplitude_n").powi(2) / 2.0;
            let power = borne::installed_power_w(mean_square, 0.0.into(), mobility.into());
            case.compare_with("injected_power_w", &[power], relative)?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}
