//! From a shaking source to structural power, and from there to the airborne paths that already exist.
//!
//! Levels of power in dB re 1 pW. A source is a blocked force with an impedance of its own: F = F_b/(1 + Y·Z_s).

use super::level::sound_power_level_db;
use super::{Air, Bands, Spectrum};
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// Reference area S0, m². Source: EN 12354-5:2009, 3.
const REFERENCE_AREA_M2: f64 = 10.0;
/// Reference absorption area A0, m². Source: EN 12354-5:2009, 3.
const REFERENCE_ABSORPTION_M2: f64 = 10.0;

/// Power a source gives to a floor, W: F_b²·Re(Y)/|1 + Y·Z_s|².
///
/// `blocked_n2` mean-square blocked force, N²; `source_n_s_m` the source's impedance (0 for a force source, jωM for a mass);
/// `floor_m_n_s` the floor's mobility. Source: EN 12354-5:2009, 4 (with v_f = F_b·Y_s).
#[must_use]
pub fn installed_power_w(blocked_n2: f64, source_n_s_m: Complex64, floor_m_n_s: Complex64) -> f64 {
    contact_force_squared_n2(blocked_n2, source_n_s_m, floor_m_n_s) * floor_m_n_s.re
}

/// Mean-square force that reaches a floor which gives way, N²: F_b²/|1 + Y·Z_s|².
#[must_use]
pub fn contact_force_squared_n2(blocked_n2: f64, source_n_s_m: Complex64, floor_m_n_s: Complex64) -> f64 {
    blocked_n2 / (1.0 + floor_m_n_s * source_n_s_m).norm_sqr()
}

/// Impedance of a rigid mass (kg), N·s/m: jωM.
#[must_use]
pub fn mass_impedance_n_s_m(mass_kg: f64, hz: f64) -> Complex64 {
    Complex64::new(0.0, TAU * hz * mass_kg)
}

/// Coupling term D_C, dB: 10 lg(|Y_s + Y_i|²/(|Y_s|·Re Y_i)). Installed power = characteristic power − D_C.
///
/// Source: EN 12354-5:2009, general coupling term.
#[must_use]
pub fn coupling_term_db(source_m_n_s: Complex64, receiver_m_n_s: Complex64) -> f64 {
    10.0 * ((source_m_n_s + receiver_m_n_s).norm_sqr() / (source_m_n_s.norm() * receiver_m_n_s.re)).log10()
}

/// Coupling term of a force source, dB: 10 lg(|Y_s|/Re Y_i), for Y_s far above Y_i. Source: EN 12354-5:2009 Formula (19c).
#[must_use]
pub fn coupling_term_of_force_source_db(source_m_n_s: f64, receiver_m_n_s: f64) -> f64 {
    10.0 * (source_m_n_s / receiver_m_n_s).log10()
}

/// Power level on a low-mobility receiver from that on the reception plate, dB: + 10 lg(Y_i/Y_plate).
/// Source: EN 12354-5:2009 Annex I.3, Table I.8; EN 15657:2018.
#[must_use]
pub fn installed_level_db(lws_plate_db: f64, plate_m_n_s: f64, receiver_m_n_s: f64) -> f64 {
    lws_plate_db + 10.0 * (receiver_m_n_s / plate_m_n_s).log10()
}

/// Characteristic power level from that on a low-mobility reception plate, dB: + 10 lg(Y_s/Y_plate).
/// Source: EN 12354-5:2009 Annex I.3, Table I.8.
#[must_use]
pub fn characteristic_level_db(lws_plate_db: f64, plate_m_n_s: f64, source_m_n_s: f64) -> f64 {
    installed_level_db(lws_plate_db, plate_m_n_s, source_m_n_s)
}

/// Structural power level taken up by a reception plate, dB re 1 pW: ω·η·m'·S·v².
///
/// `velocity_level_db` re 1 nm/s, mean over the plate. Source: EN 15657:2018 Formula (14).
#[must_use]
pub fn reception_plate_level_db(
    velocity_level_db: f64,
    hz: f64,
    mass_kg_m2: f64,
    area_m2: f64,
    total_loss: f64,
) -> f64 {
    let velocity_squared = 1e-18 * 10f64.powf(velocity_level_db / 10.0);
    sound_power_level_db(TAU * hz * total_loss * mass_kg_m2 * area_m2 * velocity_squared)
}

/// Blocked force from the power on a low-mobility plate, mean square, N²: W/Re(Y_plate). Source: EN 15657:2018 Formula (15).
#[must_use]
pub fn blocked_force_squared_n2(lws_plate_db: f64, plate_m_n_s: f64) -> f64 {
    1e-12 * 10f64.powf(lws_plate_db / 10.0) / plate_m_n_s
}

/// Adjustment from structural to airborne excitation D_sa, dB: −10 lg(f²·m'/(ρ0c0·fc·σ)), of a homogeneous element of mass m' (kg/m²),
/// critical frequency fc (Hz), radiation efficiency σ of free waves.
///
/// Structural power less D_sa is the airborne power that, falling on the element, would make it vibrate as much. Source: EN 12354-5:2009,
/// adjustment term; follows from R of the resonant waves (ISO 12354-1:2017 Annex B).
#[must_use]
pub fn structure_to_airborne_db(hz: f64, mass_kg_m2: f64, critical_hz: f64, sigma: f64, air: &Air) -> f64 {
    -10.0 * (hz * hz * mass_kg_m2 / (air.impedance_pa_s_m() * critical_hz * sigma)).log10()
}

/// Normalised level of one structure-borne path, dB: LWs,c − D_C − D_sa − R_ij − 10 lg(S_i/S0) − 10 lg(A0/4).
/// Source: EN 12354-5:2009 Formula (18a).
#[must_use]
pub fn path_level_db(
    lws_characteristic_db: f64,
    coupling_term_db: f64,
    structure_to_airborne_db: f64,
    r_ij_db: f64,
    element_area_m2: f64,
) -> f64 {
    lws_characteristic_db
        - coupling_term_db
        - structure_to_airborne_db
        - r_ij_db
        - 10.0 * (element_area_m2 / REFERENCE_AREA_M2).log10()
        - 10.0 * (REFERENCE_ABSORPTION_M2 / 4.0).log10()
}

/// Airborne power that, falling on the floor, would send on as much sound as a contact force does, W: F²·k²/(16π·ρ0c0·σ).
///
/// `contact_n2`: mean-square force that reaches the floor, N²; `sigma`: radiation efficiency of the face that is struck. With it every
/// airborne path that enters by the floor becomes a path of the contact: multiply by τ of the bare floor (resonant part) for what goes
/// straight through, by its path area over its own area for what goes round a junction.
///
/// Holds by reciprocity for any floor, heavy or layered, at a point whose mobility is that of the struck face as an infinite plate;
/// elsewhere (over a joist) multiply by Re Y/Re Y_plate. For a homogeneous plate it is the same as installed power less D_sa, exactly.
/// Source: Heckl & Rathe, JASA 35 (1963) 1825 (from memory, unverified; for σ = 1 and the tapping machine: Ln + R = 38 + 30 lg f in thirds).
#[must_use]
pub fn equivalent_incident_power_w(contact_n2: f64, sigma: f64, hz: f64, air: &Air) -> f64 {
    contact_n2 * air.wavenumber(hz).powi(2) / (16.0 * PI * air.impedance_pa_s_m() * sigma)
}

/// Normalised impact level of a floor from its transmission coefficient by reciprocity, dB: 10 lg(4·τ·W/(A0·1 pW)) with W of
/// [`equivalent_incident_power_w`].
///
/// `force_n2`: of the tapping machine on this floor ([`super::tapping_machine`]); `sigma`: radiation efficiency of the face that is struck.
/// For layered floors without a measured Ln; ±5 dB. Source: Heckl & Rathe, JASA 35 (1963) 1825 (from memory, unverified).
#[must_use]
pub fn ln_by_reciprocity_db(
    tau: &Spectrum,
    force_n2: &Spectrum,
    sigma: &Spectrum,
    bands: &Bands,
    air: &Air,
) -> Spectrum {
    Spectrum::from_fn(|band| {
        let power_w = tau[band] * equivalent_incident_power_w(force_n2[band], sigma[band], bands.hz(band), air);
        10.0 * (power_w * 4.0 / REFERENCE_ABSORPTION_M2 / 1e-12).log10()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::plate::Plate;

    /// Two ways to one power: injected power less D_sa, and reciprocity (exact for a homogeneous plate).
    #[test]
    fn the_adjustment_and_reciprocity_agree() {
        let air = Air::default();
        let plate = Plate::new(0.18, 2300.0, 3500.0, 0.006).unwrap();
        for (hz, sigma) in [(50.0, 0.7), (200.0, 1.3), (3150.0, 1.0)] {
            let power_w = installed_power_w(2.0, Complex64::ZERO, plate.point_mobility_m_n_s().into());
            let adjust_db = structure_to_airborne_db(hz, plate.mass_kg_m2(), plate.critical_hz(&air), sigma, &air);
            let by_plate_w = power_w * 10f64.powf(-adjust_db / 10.0);
            let by_reciprocity_w = equivalent_incident_power_w(2.0, sigma, hz, &air);
            assert!((by_plate_w / by_reciprocity_w - 1.0).abs() < 1e-9, "{hz} Hz");
        }
    }

    /// The general coupling term never lies below the least one, 10 lg 2 at conjugate sizes, and nears the force source's far off.
    #[test]
    fn the_coupling_term_nears_the_force_source() {
        let general_db = coupling_term_db(1e-3.into(), 1e-6.into());
        assert!((general_db - coupling_term_of_force_source_db(1e-3, 1e-6)).abs() < 0.01);
        assert!((coupling_term_db(1e-3.into(), 1e-3.into()) - 10.0 * 4f64.log10()).abs() < 1e-9);
    }

    /// What D_C says is what the impedances say (exact): a source of blocked force F_b and mobility Y_s has v_f = F_b·Y_s.
    #[test]
    fn installed_power_is_characteristic_power_less_the_coupling_term() {
        let (source, floor) = (Complex64::new(2e-4, -3e-4), Complex64::new(5e-5, 1e-5));
        let characteristic_w = 4.0 * source.norm_sqr() / source.norm();
        let by_term_w = characteristic_w * 10f64.powf(-coupling_term_db(source, floor) / 10.0);
        assert!((installed_power_w(4.0, 1.0 / source, floor) / by_term_w - 1.0).abs() < 1e-12);
    }
}
