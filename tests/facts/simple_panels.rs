//! The handbooks' short forms of what layered elements are computed with: an independent check.

use leaklight::acoustics::Air;

/// Sound reduction index of a limp sheet at normal incidence, 10 lg(1 + (πfm′/ρ0c0)²), dB.
/// Source: Bies, Hansen & Howard, 5th ed. (2017), eq. 7.40.
pub(crate) fn mass_law_normal_db(mass_kg_m2: f64, air: &Air, hz: f64) -> f64 {
    10.0 * (1.0 + (std::f64::consts::PI * hz * mass_kg_m2 / air.impedance_pa_s_m()).powi(2)).log10()
}

/// The same in a diffuse field, third octaves, dB: 5.5 dB less. Source: Bies, Hansen & Howard, 5th ed. (2017), eq. 7.42.
pub(crate) fn mass_law_field_db(mass_kg_m2: f64, air: &Air, hz: f64) -> f64 {
    mass_law_normal_db(mass_kg_m2, air, hz) - 5.5
}

/// Mass–air–mass resonance of two sheets on the adiabatic air between them, Hz, at normal incidence:
/// (1/2π)√(ρ0c0²(1/m1 + 1/m2)/d). Source: Bies, Hansen & Howard, 5th ed. (2017), eq. 7.62.
pub(crate) fn mass_air_mass_hz(first_kg_m2: f64, second_kg_m2: f64, gap_m: f64, air: &Air) -> f64 {
    let stiffness = air.density_kg_m3() * air.speed_m_s().powi(2) / gap_m;
    (stiffness * (1.0 / first_kg_m2 + 1.0 / second_kg_m2)).sqrt() / std::f64::consts::TAU
}
