//! A patch of absorber, as a reverberation chamber sees it: its edges bend sound in, so it takes up more than its area.

use num_complex::Complex64;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::porous::Absorber;
use super::{Air, NotPhysical};

/// Angles of incidence the diffuse field is made of.
const ANGLES: usize = 48;
/// Steps in each wavelength of the integral over distances on the patch.
const STEPS_PER_WAVELENGTH: f64 = 24.0;
/// The fewest steps of that integral.
const FEWEST_STEPS: f64 = 400.0;

/// A rectangle of absorber lying flush in a hard surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    long_m: f64,
    short_m: f64,
}

impl Patch {
    /// A rectangle of two sides, m.
    ///
    /// # Errors
    ///
    /// When a side is not finite and above zero.
    pub fn new(sides_m: [f64; 2]) -> Result<Self, NotPhysical> {
        for side in sides_m {
            NotPhysical::unless_positive("side of the absorber", side, "above zero, in m")?;
        }
        Ok(Self { long_m: sides_m[0].max(sides_m[1]), short_m: sides_m[0].min(sides_m[1]) })
    }

    /// The patch of a chamber test: 3.6 m by 3.0 m, in the range of ISO 354:2003, 6.2.1 (10 m² to 12 m²).
    #[must_use]
    pub fn of_chamber() -> Self {
        Self { long_m: 3.6, short_m: 3.0 }
    }

    /// Absorption coefficient of a porous layer of this size in a diffuse field; may exceed 1 (edge effect).
    ///
    /// α = 2∫ 4 Re Z/|Z + Zr|² sin θ dθ, with Z the impedance of the layer and Zr that of the field radiated by the patch, both
    /// over ρ0c0. For an endless patch Zr is 1/cos θ and this is [`Absorber::absorption_diffuse`]. The sides of a layer that lies
    /// on the floor rather than in it, and a chamber that is not diffuse, are left out: in the octaves 125 and 250 Hz thick
    /// blankets come out too high by up to 0.4.
    /// Source: Thomasson, Acustica 44 (1980) 265 (from memory, unverified; checked against handbook values).
    #[must_use]
    pub fn absorption_diffuse(&self, absorber: &Absorber, air: &Air, hz: f64) -> f64 {
        let step = FRAC_PI_2 / ANGLES as f64;
        let radiation = Radiation::new(self, air.wavenumber(hz));
        let at_angle = |angle: usize| {
            let (sine, cosine) = ((angle as f64 + 0.5) * step).sin_cos();
            let surface = absorber.surface_impedance_at(cosine, air, hz);
            4.0 * surface.re / (surface + radiation.impedance(sine)).norm_sqr() * sine
        };
        2.0 * step * (0..ANGLES).map(at_angle).sum::<f64>()
    }

    fn area_m2(&self) -> f64 {
        self.long_m * self.short_m
    }

    /// ∫ over all directions of the part of the patch that overlaps itself when moved by `distance_m`, m².
    fn overlap_m2(&self, distance_m: f64) -> f64 {
        let (a, b, r) = (self.long_m, self.short_m, distance_m);
        // In one quadrant the overlap (a − r cos ψ)(b − r sin ψ) lasts from ψ1 to ψ2.
        let (from, to) = ((a / r).min(1.0).acos(), (b / r).min(1.0).asin());
        if to <= from {
            return 0.0;
        }
        4.0 * (a * b * (to - from) - r * b * (to.sin() - from.sin())
            + r * a * (to.cos() - from.cos())
            + r * r / 2.0 * (to.sin().powi(2) - from.sin().powi(2)))
    }
}

/// The integrand of the radiation impedance that does not depend on the angle of incidence.
struct Radiation {
    wavenumber: f64,
    step_m: f64,
    /// jk/(2πS)·e^(−jkr)·overlap(r) at the midpoints of the steps.
    weighted: Vec<Complex64>,
}

impl Radiation {
    fn new(patch: &Patch, wavenumber: f64) -> Self {
        let longest = patch.long_m.hypot(patch.short_m);
        let steps = (longest * wavenumber / TAU * STEPS_PER_WAVELENGTH).max(FEWEST_STEPS) as usize;
        let step_m = longest / steps as f64;
        let factor = Complex64::i() * wavenumber / (TAU * patch.area_m2());
        let weighted = (0..steps)
            .map(|step| {
                let r = (step as f64 + 0.5) * step_m;
                factor * Complex64::cis(-wavenumber * r) * patch.overlap_m2(r)
            })
            .collect();
        Self { wavenumber, step_m, weighted }
    }

    /// Zr over ρ0c0 of a forced wave with trace wavenumber k·sin θ, averaged over its direction along the patch.
    fn impedance(&self, sine: f64) -> Complex64 {
        let trace = self.wavenumber * sine * self.step_m;
        let sum: Complex64 =
            self.weighted.iter().enumerate().map(|(step, w)| w * bessel_j0(trace * (step as f64 + 0.5))).sum();
        sum * self.step_m
    }
}

/// Bessel function J0 of x ≥ 0, within 1e-7. Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 9.4.1 and 9.4.3.
fn bessel_j0(x: f64) -> f64 {
    const NEAR: [f64; 7] = [1.0, -2.249_999_7, 1.265_620_8, -0.316_386_6, 0.044_447_9, -0.003_944_4, 0.000_210_0];
    const SIZE: [f64; 7] =
        [0.797_884_56, -0.000_000_77, -0.005_527_40, -0.000_095_12, 0.001_372_37, -0.000_728_05, 0.000_144_76];
    const PHASE: [f64; 7] =
        [-PI / 4.0, -0.041_663_97, -0.000_039_54, 0.002_625_73, -0.000_541_25, -0.000_293_33, 0.000_135_58];
    let polynomial = |of: &[f64; 7], t: f64| of.iter().rev().fold(0.0, |sum, coefficient| sum * t + coefficient);
    if x <= 3.0 {
        polynomial(&NEAR, (x / 3.0).powi(2))
    } else {
        polynomial(&SIZE, 3.0 / x) * (x + polynomial(&PHASE, 3.0 / x)).cos() / x.sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz & Stegun, Table 9.1: J0(1) = 0.7651976866, J0(3) = −0.2600519549, J0(10) = −0.2459357645.
    #[test]
    fn bessel_function_matches_its_table() {
        for (x, printed) in [(0.0, 1.0), (1.0, 0.765_197_686_6), (3.0, -0.260_051_954_9), (10.0, -0.245_935_764_5)] {
            assert!((bessel_j0(x) - printed).abs() < 1e-7, "{x}");
        }
    }

    /// A very large patch has hardly any edge: within 0.02 of the endless layer.
    #[test]
    fn a_very_large_patch_absorbs_like_an_endless_layer() {
        let absorber = Absorber::new(0.05, 12_000.0, 0.0).unwrap();
        let large = Patch::new([60.0, 50.0]).unwrap();
        let air = Air::default();
        let (patch, endless) =
            (large.absorption_diffuse(&absorber, &air, 500.0), absorber.absorption_diffuse(&air, 500.0));
        assert!((patch - endless).abs() < 0.02, "{patch} {endless}");
    }

    #[test]
    fn a_smaller_patch_absorbs_more_for_its_area() {
        let absorber = Absorber::new(0.05, 12_000.0, 0.0).unwrap();
        let air = Air::default();
        let of = |side: f64| Patch::new([side, side]).unwrap().absorption_diffuse(&absorber, &air, 500.0);
        assert!(of(1.5) > of(3.0) && of(3.0) > of(6.0));
    }

    #[test]
    fn the_overlap_is_whole_at_no_distance_and_gone_at_the_diagonal() {
        let patch = Patch::of_chamber();
        assert!((patch.overlap_m2(1e-9) - TAU * patch.area_m2()).abs() < 1e-6);
        assert!(patch.overlap_m2(3.6f64.hypot(3.0)) < 1e-9);
    }
}
