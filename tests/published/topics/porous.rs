//! Porous materials.

use super::{Case, Outcome};
use leaklight::acoustics::Air;
use leaklight::acoustics::porous::{self, Absorber};
use leaklight::acoustics::porous_data::{DYNAMIC_MODULI_MPA, RIGID_FRAMES};
use leaklight::acoustics::simple_panels::membrane_resonance_hz;
use num_complex::Complex64;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let id = case.id();
    match id {
        _ if id.starts_with("delany-bazley") => pair(case, porous::delany_bazley(case.number("rho0_f_over_sigma")))?,
        _ if id.starts_with("miki") => pair(case, porous::miki(case.number("f_over_sigma")))?,
        _ if id.starts_with("layer-") => layer(case)?,
        _ if id.starts_with("allard-") => allard(case)?,
        _ if id.starts_with("vigran-") => {
            let name = case.text("material");
            let (_, range) =
                DYNAMIC_MODULI_MPA.iter().find(|(of, _)| *of == name).ok_or("material is not in the table")?;
            case.compare("dynamic_modulus_mpa_range", range, 1e-9)?;
        }
        "max-statistical-absorption" => {
            // Steps of 0.001 in a real impedance; a reactance only lowers it (checked coarsely).
            let best = |x: f64| {
                (1..4000)
                    .map(|n| porous::absorption_locally_reacting(Complex64::new(f64::from(n) / 1000.0, x)))
                    .fold(0.0, f64::max)
            };
            if best(0.5) > best(0.0) {
                return Err("a reactance raises the greatest absorption".into());
            }
            case.compare("alpha_diffuse_max", &[best(0.0)], case.tolerance("abs"))?;
        }
        "rockwool-porosity-31" => {
            let phi = porous::porosity(case.number("bulk_density_kg_m3"), case.number("fibre_density_kg_m3"));
            case.compare("porosity", &[phi], case.tolerance("abs"))?;
        }
        "gas-stiffness" => {
            let s = porous::gas_stiffness_n_m3(
                case.number("pressure_pa"),
                case.number("thickness_mm") / 1000.0,
                case.number("porosity"),
            );
            case.compare_with("gas_stiffness_mn_m3", &[s / 1e6], |printed| printed * case.tolerance("relative"))?;
        }
        "membrane-resonance" => {
            let air = air(case);
            let (mass, depth) = (case.number("surface_density_kg_m2"), case.number("cavity_depth_m"));
            case.compare("f0_adiabatic_hz", &[membrane_resonance_hz(mass, depth, false, &air)], case.tolerance("hz"))?;
            case.compare("f0_isothermal_hz", &[membrane_resonance_hz(mass, depth, true, &air)], case.tolerance("hz"))?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn air(case: &Case) -> Air {
    Air::stated(case.number("air_density_kg_m3"), case.number("speed_of_sound_m_s")).unwrap()
}

fn pair(case: &Case, (zc, k): (Complex64, Complex64)) -> Result<(), String> {
    let relative = case.tolerance("relative");
    case.compare_with("zc_over_rho0c0", &[zc.re, zc.im], |printed| printed.abs() * relative)?;
    case.compare_with("k_over_k0", &[k.re, k.im], |printed| printed.abs() * relative)
}

fn layer(case: &Case) -> Result<(), String> {
    let air = air(case);
    let layer = Absorber::new(
        case.number("thickness_m"),
        case.number("flow_resistivity_pa_s_m2"),
        case.number("air_gap_behind_m"),
    )
    .map_err(|error| error.to_string())?;
    let at =
        |value: &dyn Fn(f64) -> f64| -> Vec<f64> { case.numbers("frequencies_hz").into_iter().map(value).collect() };
    let tolerance = case.tolerance("abs");
    case.compare("absorption_normal_incidence", &at(&|hz| layer.absorption_normal(&air, hz)), tolerance)?;
    case.compare("absorption_diffuse_bulk_reacting", &at(&|hz| layer.absorption_diffuse(&air, hz)), tolerance)
}

/// The material is looked up by name and table: the table number stands in the case's source.
fn allard(case: &Case) -> Result<(), String> {
    let (name, source) = (case.text("material"), case.source());
    let row = RIGID_FRAMES
        .iter()
        .find(|row| row.name == name && source.contains(row.table))
        .ok_or("material is not in the table")?;
    for (key, value) in [
        ("flow_resistivity_n_s_m4", row.flow_resistivity_pa_s_m2),
        ("porosity", row.porosity),
        ("tortuosity", row.tortuosity),
        ("viscous_length_um", row.viscous_length_um),
        ("thermal_length_um", row.thermal_length_um),
    ] {
        case.compare(key, &[value], 1e-9)?;
    }
    Ok(())
}
