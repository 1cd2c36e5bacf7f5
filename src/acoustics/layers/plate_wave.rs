//! Bending waves of a leaf, thick plates and laminated panes included.

use num_complex::Complex64;

use super::lanes::{ComplexLanes, LANES, Lanes};
use super::sheet::Leaf;

/// Square of the free wavenumber of a Mindlin plate, 1/m² (infinite when limp), and the loss factor its interlayer adds.
///
/// `interlayer`: complex shear modulus over thickness, Pa/m; only laminated leaves feel it.
/// Source: Mindlin, Journal of Applied Mechanics 18 (1951) 31; Cremer, Heckl & Petersson, Structure-Borne Sound, ch. 3.
pub(super) fn free(leaf: &Leaf, omega: f64, interlayer: Complex64) -> (f64, f64) {
    let bending = leaf.bending_stiffness_nm();
    if bending <= 0.0 {
        return (f64::INFINITY, 0.0);
    }
    let w2 = omega * omega;
    let shear = w2 * leaf.mass_per_area_kg_m2() / leaf.shear_stiffness_n_m();
    let solve = |bending: f64| {
        let rotary = w2 * leaf.rotary_inertia_kg() / bending;
        let thin = w2 * leaf.mass_per_area_kg_m2() / bending;
        f64::midpoint(shear, rotary) + (((shear - rotary) / 2.0).powi(2) + thin).sqrt()
    };
    let mut squared = solve(bending);
    if !leaf.is_laminated() {
        return (squared, 0.0);
    }
    let mut added = leaf.interlayer_nm(squared, interlayer);
    // The coupled stiffness depends on the wavenumber it gives; a few steps settle it.
    for _ in 0..6 {
        squared = solve(bending + added.re);
        added = leaf.interlayer_nm(squared, interlayer);
    }
    (squared, added.im / (bending + added.re))
}

/// A leaf at one frequency, for its impedance at any trace wavenumber.
#[derive(Clone, Copy)]
pub(super) enum BendingWaves<'a> {
    /// Without bending stiffness: jωm′.
    Limp { reactance: f64 },
    /// A Mindlin plate.
    Plate(MindlinPlate),
    /// One whose stiffness depends on the trace wavenumber: the leaf, ω, its loss factor, and the interlayer's shear stiffness, Pa/m.
    Laminated { leaf: &'a Leaf, omega: f64, loss: f64, interlayer: Complex64 },
}

impl<'a> BendingWaves<'a> {
    /// `loss`: loss factor as mounted; `interlayer`: as for [`free`].
    pub(super) fn new(leaf: &'a Leaf, omega: f64, loss: f64, interlayer: Complex64) -> Self {
        if leaf.bending_stiffness_nm() <= 0.0 {
            Self::Limp { reactance: omega * leaf.mass_per_area_kg_m2() }
        } else if leaf.is_laminated() {
            Self::Laminated { leaf, omega, loss, interlayer }
        } else {
            Self::Plate(MindlinPlate::new(leaf, omega, loss, leaf.bending_stiffness_nm().into()))
        }
    }

    /// Adds the leaf's impedance, pressure difference over velocity, at squared trace wavenumbers to that `seen` behind it; it tends to
    /// jωm′(1 − (f/fc)²(1 + jη) sin⁴θ). Tells too |Z + twice the load|² of the leaf alone.
    #[inline(always)]
    pub(super) fn add_to(&self, seen: &mut ComplexLanes, trace_squared: &Lanes, load: &Lanes, alone: &mut Lanes) {
        match self {
            Self::Limp { reactance } => add(seen, trace_squared, load, alone, |_| (0.0, *reactance)),
            Self::Plate(plate) => add(seen, trace_squared, load, alone, |trace| plate.impedance(trace)),
            Self::Laminated { leaf, omega, loss, interlayer } => add(seen, trace_squared, load, alone, |trace| {
                let added = leaf.interlayer_nm(trace, *interlayer) / Complex64::new(1.0, *loss);
                MindlinPlate::new(leaf, *omega, *loss, leaf.bending_stiffness_nm() + added).impedance(trace)
            }),
        }
    }
}

#[inline(always)]
fn add(
    seen: &mut ComplexLanes,
    trace_squared: &Lanes,
    load: &Lanes,
    alone: &mut Lanes,
    impedance: impl Fn(f64) -> (f64, f64),
) {
    for lane in 0..LANES {
        let (re, im) = impedance(trace_squared[lane]);
        seen.re[lane] += re;
        seen.im[lane] += im;
        let loaded = re + 2.0 * load[lane];
        alone[lane] = loaded * loaded + im * im;
    }
}

/// A Mindlin plate at one frequency. Bending and shear stiffness share the loss factor, so 1 + jη stands before both.
///
/// With s the shear stiffness, k² the squared trace wavenumber and T = B′k² − ω²ρI/(1 + jη), the plate's stiffness is
/// (1 + jη)·k²·s·T/(T + s), and its impedance (stiffness − ω²m′)/(jω).
/// Source: Mindlin (1951), the equations of motion solved for a plane wave.
#[derive(Clone, Copy)]
pub(super) struct MindlinPlate {
    bending: Complex64,
    shear: f64,
    /// ω²ρI/(1 + jη).
    rotary: Complex64,
    loss: f64,
    /// ωm′.
    reactance: f64,
    shear_over_omega: f64,
}

impl MindlinPlate {
    /// `bending`: stiffness without its 1 + jη, N·m.
    fn new(leaf: &Leaf, omega: f64, loss: f64, bending: Complex64) -> Self {
        let shear = leaf.shear_stiffness_n_m();
        Self {
            bending,
            shear,
            rotary: omega * omega * leaf.rotary_inertia_kg() / Complex64::new(1.0, loss),
            loss,
            reactance: omega * leaf.mass_per_area_kg_m2(),
            shear_over_omega: shear / omega,
        }
    }

    /// Real and imaginary part: T/(T + s) as T·(T + s)*/|T + s|², without a complex division.
    #[inline(always)]
    fn impedance(&self, trace_squared: f64) -> (f64, f64) {
        let re = self.bending.re * trace_squared - self.rotary.re;
        let im = self.bending.im * trace_squared - self.rotary.im;
        let with_shear = re + self.shear;
        let size = trace_squared * self.shear_over_omega / (with_shear * with_shear + im * im);
        let (stiff, lost) = (re * with_shear + im * im, im * self.shear);
        (size * (lost + self.loss * stiff), self.reactance - size * (stiff - self.loss * lost))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::layers::{Joint, Sheet};

    /// Mindlin's equations of motion for a plane wave, solved in complex numbers as they stand.
    fn by_the_equations(leaf: &Leaf, trace_squared: f64, omega: f64, loss: f64, interlayer: Complex64) -> Complex64 {
        let (w2, lossy) = (omega * omega, Complex64::new(1.0, loss));
        let shear = lossy * leaf.shear_stiffness_n_m();
        let bending = lossy * leaf.bending_stiffness_nm() + leaf.interlayer_nm(trace_squared, interlayer);
        let turning = bending * trace_squared - w2 * leaf.rotary_inertia_kg();
        let stiffness = trace_squared * shear * turning / (turning + shear);
        (stiffness - w2 * leaf.mass_per_area_kg_m2()) * Complex64::new(0.0, -1.0 / omega)
    }

    #[test]
    fn impedances_solve_the_equations_of_motion() {
        let pane = Sheet::plate(0.004, 2500.0, 5200.0, 0.24, 0.005).unwrap();
        let leaves = [
            Leaf::single(Sheet::plate(0.15, 1800.0, 2500.0, 0.2, 0.01).unwrap()),
            Leaf::single(Sheet::limp(0.005, 2000.0).unwrap()),
            Leaf::new(&[pane, pane], Joint::Laminated).unwrap(),
        ];
        let (interlayer, loss) = (Complex64::new(4e10, 2e10), 0.04);
        for leaf in &leaves {
            for hz in [50.0, 630.0, 5000.0] {
                let omega = std::f64::consts::TAU * hz;
                let traces: Lanes = std::array::from_fn(|lane| (omega / 343.0).powi(2) * lane as f64 / 7.0);
                let (mut seen, mut alone) = (ComplexLanes::ZERO, [0.0; LANES]);
                BendingWaves::new(leaf, omega, loss, interlayer).add_to(
                    &mut seen,
                    &traces,
                    &[400.0; LANES],
                    &mut alone,
                );
                for lane in 0..LANES {
                    let exact = by_the_equations(leaf, traces[lane], omega, loss, interlayer);
                    let error = (Complex64::new(seen.re[lane], seen.im[lane]) - exact).norm();
                    assert!(error < 1e-9 * (omega * leaf.mass_per_area_kg_m2()), "{hz} Hz, {lane}: {error}");
                    assert!((alone[lane] / (exact + 800.0).norm_sqr() - 1.0).abs() < 1e-9, "{hz} Hz, {lane}");
                }
            }
        }
    }
}
