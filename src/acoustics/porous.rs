//! Porous layers as an equivalent fluid: Delany & Bazley, Miki, limp frame, and the absorption of a layer.
//!
//! Time factor exp(+jωt): the imaginary part of an impedance of compliant kind is negative.

use num_complex::Complex64;

use super::{Air, NotPhysical};

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

/// Zc/(ρ0c0) and k/k0 by Delany & Bazley, from X = ρ0·f/σ (dimensionless).
///
/// Meant for 0.01 < X < 1. Source: Delany & Bazley, Applied Acoustics 3 (1970); coefficients as in Hopkins (2007), eqs. 1.171 and 1.172.
#[must_use]
pub fn delany_bazley(x: f64) -> (Complex64, Complex64) {
    let impedance = Complex64::new(1.0 + 0.0571 * x.powf(-0.754), -0.087 * x.powf(-0.732));
    let wavenumber = Complex64::new(1.0 + 0.0978 * x.powf(-0.700), -0.189 * x.powf(-0.595));
    (impedance, wavenumber)
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

/// Porosity from bulk and fibre density, 1 − ρ_bulk/ρ_fibre. Source: Hopkins, Sound Insulation (2007), eq. 1.160.
#[must_use]
pub fn porosity(bulk_density_kg_m3: f64, fibre_density_kg_m3: f64) -> f64 {
    1.0 - bulk_density_kg_m3 / fibre_density_kg_m3
}

/// Flow resistivity of glass and stone wool from density and fibre diameter, 3.18e-9·ρ^1.53/d², Pa·s/m².
///
/// Source: Bies & Hansen, Applied Acoustics 13 (1980) 357, from memory, unverified; fibres of 6 µm are common in building wool.
#[must_use]
pub fn fibre_flow_resistivity_pa_s_m2(bulk_density_kg_m3: f64, fibre_diameter_m: f64) -> f64 {
    3.18e-9 * bulk_density_kg_m3.powf(1.53) / (fibre_diameter_m * fibre_diameter_m)
}

/// Dynamic stiffness of the enclosed gas per area, p0/(d·φ), N/m³ (isothermal). Source: ISO 9052-1:1989, 8.2.
#[must_use]
pub fn gas_stiffness_n_m3(pressure_pa: f64, thickness_m: f64, porosity: f64) -> f64 {
    pressure_pa / (thickness_m * porosity)
}

/// Absorption coefficient in a diffuse field of a locally reacting surface of normalized impedance `z` (real part above zero).
///
/// Never above 0.951, reached at z = 1.57. Source: Paris's integral in closed form, Mechel, Formulas of Acoustics, 2nd ed., D.5.
#[must_use]
pub fn absorption_locally_reacting(z: Complex64) -> f64 {
    let (r, x, size) = (z.re, z.im, z.norm_sqr());
    // atan(x/(1 + r))/x tends to 1/(1 + r) for a real impedance.
    let angle = if x.abs() < 1e-9 { 1.0 / (1.0 + r) } else { (x / (1.0 + r)).atan() / x };
    8.0 * r / size * (1.0 + (r * r - x * x) / size * angle - r / size * (1.0 + 2.0 * r + size).ln())
}

/// A porous layer on a rigid wall, with or without an air gap behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Absorber {
    thickness_m: f64,
    flow_resistivity_pa_s_m2: f64,
    gap_m: f64,
}

impl Absorber {
    /// Layer thickness m, flow resistivity Pa·s/m², air gap behind it m (zero for none).
    ///
    /// # Errors
    ///
    /// When thickness or resistivity is not above zero, or the gap is negative.
    pub fn new(thickness_m: f64, flow_resistivity_pa_s_m2: f64, gap_m: f64) -> Result<Self, NotPhysical> {
        if !(gap_m.is_finite() && gap_m >= 0.0) {
            return Err(NotPhysical { what: "air gap", value: gap_m, must: "zero or above, in m" });
        }
        Ok(Self {
            thickness_m: NotPhysical::unless_positive("absorber thickness", thickness_m, "above zero, in m")?,
            flow_resistivity_pa_s_m2: NotPhysical::unless_positive(
                "flow resistivity",
                flow_resistivity_pa_s_m2,
                "above zero, in Pa·s/m²",
            )?,
            gap_m,
        })
    }

    /// Surface impedance over ρ0c0 for a trace wavenumber k0·√(1 − cos²), bulk reacting.
    /// Source: layer transfer matrix, Mechel, Formulas of Acoustics, 2nd ed., D.3 and D.4; Cox & D'Antonio, 3rd ed., eq. 2.29.
    #[must_use]
    pub fn surface_impedance_at(&self, cosine: f64, air: &Air, hz: f64) -> Complex64 {
        let k0 = air.wavenumber(hz);
        let trace = k0 * k0 * (1.0 - cosine * cosine);
        let i = Complex64::i();
        let fluid = rigid_frame(self.flow_resistivity_pa_s_m2, air, hz);
        let kz = (fluid.wavenumber * fluid.wavenumber - trace).sqrt();
        let zc = fluid.impedance * fluid.wavenumber / kz;
        let tangent = (kz * self.thickness_m).tan();
        let surface = if self.gap_m > 0.0 && cosine > 0.0 {
            let behind = -i * air.impedance_pa_s_m() / cosine / (k0 * cosine * self.gap_m).tan();
            zc * (behind + i * zc * tangent) / (zc + i * behind * tangent)
        } else {
            -i * zc / tangent
        };
        surface / air.impedance_pa_s_m()
    }

    /// Absorption coefficient for a plane wave at an angle (cosine given) from the normal, bulk reacting, of an endless layer.
    #[must_use]
    pub fn absorption_at(&self, cosine: f64, air: &Air, hz: f64) -> f64 {
        let ratio = self.surface_impedance_at(cosine, air, hz) * cosine;
        1.0 - ((ratio - 1.0) / (ratio + 1.0)).norm_sqr()
    }

    /// Absorption coefficient at normal incidence.
    #[must_use]
    pub fn absorption_normal(&self, air: &Air, hz: f64) -> f64 {
        self.absorption_at(1.0, air, hz)
    }

    /// Absorption coefficient in a diffuse field, ∫ α(θ) sin 2θ dθ from 0 to 90°, layer and gap both bulk reacting.
    #[must_use]
    pub fn absorption_diffuse(&self, air: &Air, hz: f64) -> f64 {
        const STEPS: usize = 400;
        // Midpoints of equal steps of sin²θ, the variable in which the weight is even.
        (0..STEPS)
            .map(|step| {
                let sine_squared = (step as f64 + 0.5) / STEPS as f64;
                self.absorption_at((1.0 - sine_squared).sqrt(), air, hz)
            })
            .sum::<f64>()
            / STEPS as f64
    }
}
