//! The standard tapping machine: its force, and what floor and covering make of it.

use super::bands::{Bands, Spectrum};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Mass of a hammer, kg. Source: ISO 10140-5.
pub const HAMMER_KG: f64 = 0.5;
/// Height it falls from, m. Source: ISO 10140-5.
pub const FALL_M: f64 = 0.04;
/// Blows a second of the five hammers together. Source: ISO 10140-5.
pub const BLOWS_PER_S: f64 = 10.0;
/// Diameter of the striking face, m. Source: ISO 10140-5.
pub const FACE_DIAMETER_M: f64 = 0.03;
/// Standard gravity, m/s². Source: ISO 80000-3.
const GRAVITY_M_S2: f64 = 9.806_65;

/// Velocity at impact √(2gh), m/s: 0.886. Source: Hopkins, Sound Insulation (2007), 3.6.3.
#[must_use]
pub fn impact_velocity_m_s() -> f64 {
    (2.0 * GRAVITY_M_S2 * FALL_M).sqrt()
}

/// Mean-square force within `bandwidth_hz`, N², as long as the blow is short: 2·fi·(m·v0)²·Δf, one-sided.
///
/// A hammer that stays put: one that rebounds fully brings 6 dB more. Source: Hopkins, Sound Insulation (2007), Eqs. 3.90 to 3.92;
/// Cremer, Heckl & Petersson, Structure-Borne Sound.
#[must_use]
pub fn short_blow_force_squared_n2(bandwidth_hz: f64) -> f64 {
    2.0 * BLOWS_PER_S * (HAMMER_KG * impact_velocity_m_s()).powi(2) * bandwidth_hz
}

/// F_tap² per third octave on a hard heavy floor, N²: 3.92·Δf.
#[must_use]
pub fn force_squared_n2(bands: &Bands) -> Spectrum {
    Spectrum::from_fn(|band| short_blow_force_squared_n2(bands.width_hz(band)))
}

/// Modulus through the thickness of chipboard and other particle boards, Pa (from memory, unverified).
pub const CHIPBOARD_ACROSS_PA: f64 = 0.25e9;

/// Where a hammer strikes: the stiffness of the contact and the mobility of the floor under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HammerContact {
    stiffness_n_m: f64,
    mobility_m_n_s: f64,
}

impl HammerContact {
    /// On boards: K = E⊥·D, E⊥ the modulus through the thickness (Pa: [`CHIPBOARD_ACROSS_PA`] …), for wood gives way under the hammer far
    /// sooner than its bending stiffness tells; `mobility_m_n_s` of the boards, real part. Poisson's ratio across the grain is left out.
    #[must_use]
    pub fn on_boards(across_pa: f64, mobility_m_n_s: f64) -> Self {
        Self { stiffness_n_m: across_pa * FACE_DIAMETER_M, mobility_m_n_s }
    }

    /// Mean-square force over that of a short blow at `hz`: 1/|1 + jωmY − ω²m/K|², never above 1.
    ///
    /// The transform of the force of mass, spring and resistance in a row, contact held. Where the contact would swing, the hammer
    /// leaves the floor instead, and the peak of the formula at f_co does not exist: hence the bound (own guard).
    #[must_use]
    pub fn force_ratio(&self, hz: f64) -> f64 {
        let omega = TAU * hz;
        let inertia = 1.0 - omega * omega * HAMMER_KG / self.stiffness_n_m;
        1.0 / Complex64::new(inertia, omega * HAMMER_KG * self.mobility_m_n_s).norm_sqr().max(1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A blow is never worth more than a short one, and a soft layer takes 12 dB an octave above its cut-off (within 0.5 dB).
    #[test]
    fn soft_contacts_fall_by_twelve_decibels_an_octave() {
        let contact = HammerContact { stiffness_n_m: 7e4, mobility_m_n_s: 3e-6 };
        let ratio_db = |hz: f64| 10.0 * contact.force_ratio(hz).log10();
        let f0 = (contact.stiffness_n_m / HAMMER_KG).sqrt() / TAU;
        assert!(ratio_db(f0 / 4.0) <= 0.0 && ratio_db(f0 / 4.0) > -1.5);
        assert!((ratio_db(8.0 * f0) - ratio_db(16.0 * f0) - 12.0).abs() < 0.5);
    }
}
