//! Panel formulas for hand and cross check: mass laws, Sharp's single panel and double wall, the plateau method.
//!
//! The program itself computes layered elements with [`super::layers`]; these are the handbooks' shorter forms of the same thing.

use super::{Air, NotPhysical};

/// Field incidence lies this far under normal incidence in third octaves, dB. Source: Bies, Hansen & Howard, 5th ed. (2017), eq. 7.42.
pub const FIELD_THIRD_OCTAVE_DB: f64 = 5.5;

/// πfm′/(ρ0c0): half the inertia of a sheet over the impedance of air.
fn inertia(mass_kg_m2: f64, air: &Air, hz: f64) -> f64 {
    std::f64::consts::PI * hz * mass_kg_m2 / air.impedance_pa_s_m()
}

/// Sound reduction index of a limp sheet at normal incidence, 10 lg(1 + (πfm′/ρ0c0)²), dB.
/// Source: Bies, Hansen & Howard, 5th ed. (2017), eq. 7.40.
#[must_use]
pub fn mass_law_normal_db(mass_kg_m2: f64, air: &Air, hz: f64) -> f64 {
    10.0 * (1.0 + inertia(mass_kg_m2, air, hz).powi(2)).log10()
}

/// The same in a diffuse field, third octaves, dB: 5.5 dB less. Source: Bies, Hansen & Howard, 5th ed. (2017), eq. 7.42.
#[must_use]
pub fn mass_law_field_db(mass_kg_m2: f64, air: &Air, hz: f64) -> f64 {
    mass_law_normal_db(mass_kg_m2, air, hz) - FIELD_THIRD_OCTAVE_DB
}

/// A single panel as Sharp sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharpPanel {
    mass_kg_m2: f64,
    critical_hz: f64,
    loss_factor: f64,
}

impl SharpPanel {
    /// Mass per area kg/m², critical frequency Hz, total loss factor.
    ///
    /// # Errors
    ///
    /// When one of them is not finite and above zero.
    pub fn new(mass_kg_m2: f64, critical_hz: f64, loss_factor: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            mass_kg_m2: NotPhysical::unless_positive("mass per area", mass_kg_m2, "above zero, in kg/m²")?,
            critical_hz: NotPhysical::unless_positive("critical frequency", critical_hz, "above zero, in Hz")?,
            loss_factor: NotPhysical::unless_positive("loss factor", loss_factor, "above zero")?,
        })
    }

    /// Sound reduction index, third octaves, dB: field mass law below fc/2, damped free waves above fc, a straight line in lg f between.
    /// Source: Sharp (1973), in Bies, Hansen & Howard, 5th ed. (2017), 7.2.4.1.
    #[must_use]
    pub fn reduction_db(&self, air: &Air, hz: f64) -> f64 {
        let above = |hz: f64| {
            20.0 * inertia(self.mass_kg_m2, air, hz).log10()
                + 10.0 * (2.0 * self.loss_factor * hz / (std::f64::consts::PI * self.critical_hz)).log10()
        };
        let half = self.critical_hz / 2.0;
        if hz <= half {
            mass_law_field_db(self.mass_kg_m2, air, hz)
        } else if hz >= self.critical_hz {
            above(hz)
        } else {
            let from = mass_law_field_db(self.mass_kg_m2, air, half);
            from + (above(self.critical_hz) - from) * (hz / half).log2()
        }
    }
}

/// Mass–air–mass resonance of two sheets on the adiabatic air between them, Hz, at normal incidence.
///
/// f0 = (1/2π)√(ρ0c0²(1/m1 + 1/m2)/d), about 60√((1/m1 + 1/m2)/d). A porous fill makes the air isothermal: divide by √1.4 (about 51√…).
/// The factor 1.8 some handbooks put under the root (80√…) is empirical, for a diffuse field, and is not used here.
/// Source: Bies, Hansen & Howard, 5th ed. (2017), eq. 7.62.
#[must_use]
pub fn mass_air_mass_hz(first_kg_m2: f64, second_kg_m2: f64, gap_m: f64, air: &Air) -> f64 {
    let stiffness = air.density_kg_m3() * air.speed_m_s().powi(2) / gap_m;
    (stiffness * (1.0 / first_kg_m2 + 1.0 / second_kg_m2)).sqrt() / std::f64::consts::TAU
}

/// Frequency from which a cavity no longer acts as a spring, c0/(2πd), Hz. Source: Bies, Hansen & Howard, 5th ed. (2017), 7.2.6.
#[must_use]
pub fn limiting_hz(gap_m: f64, air: &Air) -> f64 {
    air.speed_m_s() / (std::f64::consts::TAU * gap_m)
}

/// Sound reduction index of two limp leaves without bridges and with absorption in the cavity, third octaves, dB.
///
/// Below f0 the mass law of both, above R1 + R2 + 20 lg(2k0d), from the limiting frequency on R1 + R2 + 6 dB. Coincidence is left out.
/// Source: Sharp (1973), in Bies, Hansen & Howard, 5th ed. (2017), eq. 7.64.
#[must_use]
pub fn double_wall_db(first_kg_m2: f64, second_kg_m2: f64, gap_m: f64, air: &Air, hz: f64) -> f64 {
    if hz <= mass_air_mass_hz(first_kg_m2, second_kg_m2, gap_m, air) {
        return mass_law_field_db(first_kg_m2 + second_kg_m2, air, hz);
    }
    let both = mass_law_field_db(first_kg_m2, air, hz) + mass_law_field_db(second_kg_m2, air, hz);
    if hz < limiting_hz(gap_m, air) { both + 20.0 * (2.0 * air.wavenumber(hz) * gap_m).log10() } else { both + 6.0 }
}

/// Resonance of a sheet before a shallow closed cavity, Hz: air as an adiabatic or, with a porous fill, an isothermal spring.
/// Source: Cox & D'Antonio, Acoustic Absorbers and Diffusers, 3rd ed. (2017), eqs. 7.9 and 7.10.
#[must_use]
pub fn membrane_resonance_hz(mass_kg_m2: f64, cavity_m: f64, isothermal: bool, air: &Air) -> f64 {
    let speed = if isothermal { air.speed_m_s() / 1.4_f64.sqrt() } else { air.speed_m_s() };
    speed * (air.density_kg_m3() / (mass_kg_m2 * cavity_m)).sqrt() / std::f64::consts::TAU
}

/// A material of the plateau method.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateauMaterial {
    /// Name in the table.
    pub name: &'static str,
    /// Mass per area for each millimetre, kg/m².
    pub mass_per_mm_kg_m2: f64,
    /// Height of the plateau, dB.
    pub plateau_db: f64,
    /// Its upper over its lower frequency.
    pub frequency_ratio: f64,
}

/// Source: Norton & Karczub, Fundamentals of Noise and Vibration Analysis for Engineers, 2nd ed. (2003), Table 3.1.
pub const PLATEAU_MATERIALS: [PlateauMaterial; 5] = [
    PlateauMaterial { name: "brick", mass_per_mm_kg_m2: 2.1, plateau_db: 37.0, frequency_ratio: 4.5 },
    PlateauMaterial { name: "concrete", mass_per_mm_kg_m2: 2.28, plateau_db: 38.0, frequency_ratio: 4.5 },
    PlateauMaterial { name: "glass", mass_per_mm_kg_m2: 2.47, plateau_db: 27.0, frequency_ratio: 10.0 },
    PlateauMaterial { name: "plaster", mass_per_mm_kg_m2: 1.71, plateau_db: 30.0, frequency_ratio: 8.0 },
    PlateauMaterial { name: "steel", mass_per_mm_kg_m2: 7.6, plateau_db: 40.0, frequency_ratio: 11.0 },
];

impl PlateauMaterial {
    /// Sound reduction index by the plateau method, dB: field mass law (5 dB under normal incidence), plateau, then 10 dB an octave.
    /// Source: Norton & Karczub, 2nd ed. (2003), 3.9.
    #[must_use]
    pub fn reduction_db(&self, mass_kg_m2: f64, air: &Air, hz: f64) -> f64 {
        let field = 20.0 * inertia(mass_kg_m2, air, hz).log10() - 5.0;
        // The mass law rises 6 dB an octave: where it meets the plateau.
        let lower_hz = hz * 10f64.powf((self.plateau_db - field) / 20.0);
        let upper_hz = lower_hz * self.frequency_ratio;
        if hz <= lower_hz {
            field
        } else if hz <= upper_hz {
            self.plateau_db
        } else {
            self.plateau_db + 10.0 * (hz / upper_hz).log2()
        }
    }
}
