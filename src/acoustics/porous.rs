//! Porous layers as an equivalent fluid: Miki, limp frame.
//!
//! Time factor exp(+jωt): the imaginary part of an impedance of compliant kind is negative.

use num_complex::Complex64;

use super::air::Air;

/// A fluid as a wave sees it: complex wavenumber and characteristic impedance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fluid {
    /// Wavenumber k, 1/m; the imaginary part is negative (a wave decays as it travels).
    pub wavenumber: Complex64,
    /// Characteristic impedance Zc, Pa·s/m.
    pub impedance: Complex64,
}

impl Fluid {
    /// Free air at `hz`.
    #[must_use]
    pub fn air(air: &Air, hz: f64) -> Self {
        Self { wavenumber: air.wavenumber(hz).into(), impedance: air.impedance_pa_s_m().into() }
    }

    /// Effective density Zc·k/ω, kg/m³.
    #[must_use]
    pub fn density(&self, hz: f64) -> Complex64 {
        self.impedance * self.wavenumber / (std::f64::consts::TAU * hz)
    }

    /// Effective bulk modulus Zc·ω/k, Pa.
    #[must_use]
    pub fn bulk_modulus(&self, hz: f64) -> Complex64 {
        self.impedance * (std::f64::consts::TAU * hz) / self.wavenumber
    }
}

/// Zc/(ρ0c0) and k/k0 by Miki, from f/σ in m³/kg (Hz per Pa·s/m²).
///
/// Stays physical below the range of the measurements (0.01 to 1), where Delany & Bazley's form does not.
/// Source: Miki, Journal of the Acoustical Society of Japan (E) 11 (1990), eqs. 30 to 34.
#[must_use]
pub fn miki(f_over_sigma: f64) -> (Complex64, Complex64) {
    let (a, b) = (f_over_sigma.powf(-0.632), f_over_sigma.powf(-0.618));
    (Complex64::new(1.0 + 0.070 * a, -0.107 * a), Complex64::new(1.0 + 0.109 * b, -0.160 * b))
}

/// A porous layer of flow resistivity `flow_resistivity_pa_s_m2` with an immovable frame, by [`miki`].
#[must_use]
pub fn rigid_frame(flow_resistivity_pa_s_m2: f64, air: &Air, hz: f64) -> Fluid {
    let (impedance, wavenumber) = miki(hz / flow_resistivity_pa_s_m2);
    Fluid { wavenumber: wavenumber * air.wavenumber(hz), impedance: impedance * air.impedance_pa_s_m() }
}

/// A porous layer whose limp frame is carried along by the air, which bounds the effective density at low frequencies.
///
/// ρ_limp = (ρ̃·M − ρ0²)/(M + ρ̃ − 2ρ0), M = ρ_bulk + ρ0 (porosity near one), with ρ̃ and the bulk modulus of [`rigid_frame`].
/// Source: Panneton, Journal of the Acoustical Society of America 122 (2007), EL217; Allard & Atalla, 2nd ed. (2009), ch. 11.
#[must_use]
pub fn limp_frame(flow_resistivity_pa_s_m2: f64, bulk_density_kg_m3: f64, air: &Air, hz: f64) -> Fluid {
    let rigid = rigid_frame(flow_resistivity_pa_s_m2, air, hz);
    let (density, bulk) = (rigid.density(hz), rigid.bulk_modulus(hz));
    let rho0 = air.density_kg_m3();
    let total = bulk_density_kg_m3 + rho0;
    let limp = (density * total - rho0 * rho0) / (density + (total - 2.0 * rho0));
    let slowness = root(limp / bulk);
    // The root with a decaying wave.
    let slowness = if slowness.im > 0.0 { -slowness } else { slowness };
    Fluid { wavenumber: slowness * (std::f64::consts::TAU * hz), impedance: bulk * slowness }
}

/// Square root with a non-negative real part, without going through polar form.
fn root(z: Complex64) -> Complex64 {
    let norm = z.norm_sqr().sqrt();
    let re = ((norm + z.re) * 0.5).max(0.0).sqrt();
    let im = ((norm - z.re) * 0.5).max(0.0).sqrt();
    Complex64::new(re, if z.im < 0.0 { -im } else { im })
}
