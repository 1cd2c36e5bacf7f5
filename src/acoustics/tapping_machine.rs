//! The standard tapping machine: its force, and what floor and covering make of it.

use super::bands::{Bands, Spectrum};
use super::plate::Plate;
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

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
/// Modulus across the grain of softwood, Pa (from memory, unverified: 0.05 of that along it).
pub const SOFTWOOD_ACROSS_PA: f64 = 0.5e9;
/// Modulus across the grain of oak and other hardwoods, Pa (from memory, unverified).
pub const HARDWOOD_ACROSS_PA: f64 = 1.0e9;

/// Where a hammer strikes: the stiffness of the contact and the mobility of the floor under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HammerContact {
    stiffness_n_m: f64,
    mobility_m_n_s: f64,
}

impl HammerContact {
    /// On a bare plate: K = E·D/(1 − ν²), a flat punch on a half-space, and the mobility of the infinite plate.
    ///
    /// `plate_modulus_pa` is E/(1 − ν²) = ρ·cL² of the surface. Source: Hopkins, Sound Insulation (2007), 3.6.3 (its cut-off of 7 kHz for
    /// concrete follows).
    #[must_use]
    pub fn on_plate(plate_modulus_pa: f64, plate: &Plate) -> Self {
        Self { stiffness_n_m: plate_modulus_pa * FACE_DIAMETER_M, mobility_m_n_s: plate.point_mobility_m_n_s() }
    }

    /// On a soft layer of dynamic Young's modulus (Pa) and thickness (m), on a floor of this point mobility: K = E·S/d, S the hammer's face.
    ///
    /// Source: Vér, JASA 50 (1971) 1043 (from memory, unverified); Cremer, Heckl & Petersson, Structure-Borne Sound (locally reacting covering).
    #[must_use]
    pub fn on_soft_layer(youngs_modulus_pa: f64, thickness_m: f64, mobility_m_n_s: f64) -> Self {
        let face_m2 = PI / 4.0 * FACE_DIAMETER_M * FACE_DIAMETER_M;
        Self { stiffness_n_m: youngs_modulus_pa * face_m2 / thickness_m, mobility_m_n_s }
    }

    /// On boards: K = E⊥·D, E⊥ the modulus through the thickness (Pa: [`CHIPBOARD_ACROSS_PA`] …), for wood gives way under the hammer far
    /// sooner than its bending stiffness tells; `mobility_m_n_s` of the boards, real part. Poisson's ratio across the grain is left out.
    #[must_use]
    pub fn on_boards(across_pa: f64, mobility_m_n_s: f64) -> Self {
        Self { stiffness_n_m: across_pa * FACE_DIAMETER_M, mobility_m_n_s }
    }

    /// f_co = √(K/m)/(2π), Hz: above it the blow is too long and the force falls. Source: Hopkins, Sound Insulation (2007), 3.6.3.
    #[must_use]
    pub fn cut_off_hz(&self) -> f64 {
        (self.stiffness_n_m / HAMMER_KG).sqrt() / TAU
    }

    /// Whether the plate takes the blow without the hammer swinging back: its impedance is below √(K·m)/2.
    ///
    /// Hammer, contact spring and plate (a resistance) in a row; elementary. Source: Hopkins, Sound Insulation (2007), 3.6.3.
    #[must_use]
    pub fn is_over_critical(&self) -> bool {
        2.0 < self.mobility_m_n_s * (self.stiffness_n_m * HAMMER_KG).sqrt()
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

    /// F_tap² per third octave on this contact, N².
    #[must_use]
    pub fn force_squared_n2(&self, bands: &Bands) -> Spectrum {
        Spectrum::from_fn(|band| short_blow_force_squared_n2(bands.width_hz(band)) * self.force_ratio(bands.hz(band)))
    }
}

/// Reduction of the tapping machine by a soft covering, dB: 40 lg(f/f0) above f0 = [`HammerContact::cut_off_hz`], none below.
///
/// Of hammers, small and hard: a foot or a stand with rubber feet is soft already and gains less. Above about 60 dB measured
/// values level off (common practice, no source). Source: Cremer, Heckl & Petersson, Structure-Borne Sound; Vér, JASA 50 (1971) 1043 (from memory, unverified).
#[must_use]
pub fn soft_covering_db(contact: &HammerContact, bands: &Bands) -> Spectrum {
    let f0 = contact.cut_off_hz();
    bands.map(|hz| (40.0 * (hz / f0).log10()).clamp(0.0, 60.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A blow is never worth more than a short one, and a soft layer takes 12 dB an octave above its cut-off (within 0.5 dB).
    #[test]
    fn soft_contacts_fall_by_twelve_decibels_an_octave() {
        let contact = HammerContact::on_soft_layer(1e6, 0.01, 3e-6);
        let ratio_db = |hz: f64| 10.0 * contact.force_ratio(hz).log10();
        let f0 = contact.cut_off_hz();
        assert!(ratio_db(f0 / 4.0) <= 0.0 && ratio_db(f0 / 4.0) > -1.5);
        assert!((ratio_db(8.0 * f0) - ratio_db(16.0 * f0) - 12.0).abs() < 0.5);
    }
}
