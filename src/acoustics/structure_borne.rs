//! From a shaking source to structural power, and from there to the airborne paths that already exist.
//!
//! Levels of power in dB re 1 pW. A source is a blocked force with an impedance of its own: F = F_b/(1 + Y·Z_s).

use super::air::Air;
use super::bands::{Bands, Spectrum};
use super::radiation::{PanelSides, sigma_forced};
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// Reference absorption area A0, m². Source: EN 12354-5:2009, 3.
const REFERENCE_ABSORPTION_M2: f64 = 10.0;

/// Impedance of a rigid mass (kg), N·s/m: jωM.
#[must_use]
pub fn mass_impedance_n_s_m(mass_kg: f64, hz: f64) -> Complex64 {
    Complex64::new(0.0, TAU * hz * mass_kg)
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

/// Radiation efficiency that reciprocity takes for the boards of a light floor: that of forced waves.
///
/// Sound that rises through a floor moves its top in waves that do radiate. Free waves of boards do not: with their σ the level would
/// come out 13 dB too high. Own choice in place of the σ = 1 of Heckl & Rathe.
#[must_use]
pub fn light_floor_sigma(sides: PanelSides, bands: &Bands, air: &Air) -> Spectrum {
    bands.map(|hz| sigma_forced(sides, hz, air))
}

/// Normalised impact level of a floor from its transmission coefficient by reciprocity, dB: 10 lg(4·τ·W/(A0·1 pW)) with W of
/// [`equivalent_incident_power_w`].
///
/// `force_n2`: of the tapping machine on this floor ([`super::tapping_machine`]); `sigma`: radiation efficiency of the face that is struck.
/// For layered floors without a measured Ln; ±5 dB. Against the light reference floor of ISO 717-2, with [`light_floor_sigma`] and the force of hammers
/// on boards, it is within 9 dB a band: 6 to 9 dB low from 100 to 200 Hz, within 2 dB on the mean. Source: Heckl & Rathe, JASA 35 (1963) 1825 (from memory, unverified).
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
    use crate::acoustics::mobility::plate_m_n_s;
    use crate::acoustics::plate::Plate;

    /// Injected power less the adjustment D_sa = −10 lg(f²·m'/(ρ0c0·fc·σ)) of EN 12354-5:2009, and reciprocity, are one (exact for a homogeneous
    /// plate).
    #[test]
    fn the_adjustment_and_reciprocity_agree() {
        let air = Air::default();
        let plate = Plate::new(0.18, 2300.0, 3500.0, 0.006).unwrap();
        for (hz, sigma) in [(50.0, 0.7), (200.0, 1.3), (3150.0, 1.0)] {
            let power_w = 2.0 * plate_m_n_s(plate.bending_stiffness_nm(), plate.mass_kg_m2());
            let heard = hz * hz * plate.mass_kg_m2() / (air.impedance_pa_s_m() * plate.critical_hz(&air) * sigma);
            let adjust_db = -10.0 * heard.log10();
            let by_plate_w = power_w * 10f64.powf(-adjust_db / 10.0);
            let by_reciprocity_w = equivalent_incident_power_w(2.0, sigma, hz, &air);
            assert!((by_plate_w / by_reciprocity_w - 1.0).abs() < 1e-9, "{hz} Hz");
        }
    }
}
