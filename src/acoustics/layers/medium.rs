//! What fills a cavity at one frequency: air with its losses, and the porous fill.

use num_complex::Complex64;

use super::Cavity;
use super::crosswise::SquaredPhase;
use super::lanes::{ComplexLanes, LANES, Lanes};
use crate::acoustics::Air;
use crate::acoustics::bridges::Kinds;
use crate::acoustics::porous::{self, Fluid};

/// The air of a cavity and its fill, as fluid layers.
///
/// An empty cavity is never undamped: edges, reveals and studs take energy, as a loss of the air's compressibility. A fill keeps waves from running
/// along the cavity, so that it reacts locally; an empty cavity does too below its first crosswise modes.
/// Source of the idea: Davy, JASA 125 (2009), effective cavity absorption; numbers fitted, see [`Kinds`].
#[derive(Clone, Copy)]
pub(super) enum CavityMedium {
    /// No wave runs along the cavity: one matrix for all angles.
    Upright(Matrix),
    /// Waves run along it, more or less.
    Crosswise(CrosswiseAir),
}

/// Pressure and velocity at the near face from those at the far one.
type Matrix = [[Complex64; 2]; 2];

impl CavityMedium {
    /// `empty_loss`: loss factor of the cavity if it were empty, at this frequency. `least_side_m`: of the panel.
    pub(super) fn new(cavity: &Cavity, empty_loss: f64, kinds: &Kinds, least_side_m: f64, air: &Air, hz: f64) -> Self {
        let Some(fill) = cavity.fill() else {
            let cell_m = cavity.connection().spacing_m().unwrap_or(f64::INFINITY).min(least_side_m);
            let first_mode_hz = air.speed_m_s() / (2.0 * cell_m);
            let x = (hz / (kinds.crosswise * first_mode_hz)).powi(2);
            let fluid = lossy(Fluid::air(air, hz), empty_loss);
            return Self::Crosswise(CrosswiseAir::new(&fluid, cavity.depth_m(), x / (1.0 + x), air.wavenumber(hz)));
        };
        let loss = empty_loss * kinds.filled_loss;
        let wool = porous::limp_frame(fill.flow_resistivity_pa_s_m2(), fill.density_kg_m3(), air, hz);
        let filled = upright(&lossy(wool, loss), fill.thickness_m());
        if cavity.air_m() <= 0.0 {
            return Self::Upright(filled);
        }
        Self::Upright(product(&upright(&lossy(Fluid::air(air, hz), loss), cavity.air_m()), &filled))
    }

    /// From the impedance at the far face that at the near one, and how the velocities of both differ.
    #[inline(always)]
    pub(super) fn through(&self, impedance: &mut ComplexLanes, trace_squared: &Lanes, crossing: &mut Crossing) {
        match self {
            Self::Upright(matrix) => through_matrix(matrix, impedance, crossing),
            Self::Crosswise(air) => air.through(impedance, trace_squared, crossing),
        }
    }
}

/// Velocities at the faces of a cavity, at eight angles.
#[derive(Clone, Copy)]
pub(super) struct Crossing {
    /// |far velocity/near velocity|².
    pub passed: Lanes,
    /// |near velocity/far velocity − 1|².
    pub difference: Lanes,
}

impl Crossing {
    pub(super) const NOTHING: Self = Self { passed: [0.0; LANES], difference: [0.0; LANES] };

    /// Impedance of a pressure and a velocity, given over the far velocity; keeps what the velocity says of the lane.
    #[inline(always)]
    fn note(&mut self, lane: usize, p: (f64, f64), v: (f64, f64)) -> (f64, f64) {
        let passed = 1.0 / (v.0 * v.0 + v.1 * v.1);
        self.passed[lane] = passed;
        self.difference[lane] = (v.0 - 1.0) * (v.0 - 1.0) + v.1 * v.1;
        ((p.0 * v.0 + p.1 * v.1) * passed, (p.1 * v.0 - p.0 * v.1) * passed)
    }
}

/// Loss factor of a cavity at 500 Hz if it were empty. `loss_share`: of the common loss, for this kind of connection.
pub(super) fn empty_loss_at_500_hz(cavity: &Cavity, loss_share: f64, kinds: &Kinds) -> f64 {
    kinds.cavity_loss * loss_share * (cavity.depth_m() / 0.1).powf(-kinds.cavity_loss_depth)
}

/// The loss turns the phase of the bulk modulus by atan η and leaves its size, so that the spring of the cavity keeps its stiffness.
fn lossy(fluid: Fluid, loss: f64) -> Fluid {
    // Half the angle whose tangent is the loss, from its cosine.
    let cosine = 1.0 / (1.0 + loss * loss).sqrt();
    let half_cosine = (0.5 * (1.0 + cosine)).sqrt();
    let half_turn = Complex64::new(half_cosine, 0.5 * loss * cosine / half_cosine);
    Fluid { wavenumber: fluid.wavenumber * half_turn.conj(), impedance: fluid.impedance * half_turn }
}

/// Matrix of a fluid layer without any trace along it: cos kd, jZ sin kd, j sin kd/Z, cos kd.
fn upright(fluid: &Fluid, depth_m: f64) -> Matrix {
    let (phase, i) = (fluid.wavenumber * depth_m, Complex64::i());
    if phase.norm_sqr() < 1e-12 {
        return [[Complex64::ONE, i * fluid.impedance * phase], [i * phase / fluid.impedance, Complex64::ONE]];
    }
    // cos and sin of a complex number from one exponential.
    let forward = (i * phase).exp();
    let backward = forward.inv();
    let (cos, j_sin) = ((forward + backward) * 0.5, (forward - backward) * 0.5);
    [[cos, fluid.impedance * j_sin], [j_sin / fluid.impedance, cos]]
}

fn product([[a, b], [c, d]]: &Matrix, [[e, f], [g, h]]: &Matrix) -> Matrix {
    [[a * e + b * g, a * f + b * h], [c * e + d * g, c * f + d * h]]
}

#[inline(always)]
fn through_matrix([[a, b], [c, d]]: &Matrix, impedance: &mut ComplexLanes, crossing: &mut Crossing) {
    for lane in 0..LANES {
        let z = (impedance.re[lane], impedance.im[lane]);
        let pressure = (a.re * z.0 - a.im * z.1 + b.re, a.re * z.1 + a.im * z.0 + b.im);
        let velocity = (c.re * z.0 - c.im * z.1 + d.re, c.re * z.1 + c.im * z.0 + d.im);
        (impedance.re[lane], impedance.im[lane]) = crossing.note(lane, pressure, velocity);
    }
}

/// The air of an empty cavity along which waves run.
///
/// With w the squared phase across it, its matrix is cos √w, jωρd·sin √w/√w, jw/(ωρd)·sin √w/√w, cos √w.
#[derive(Clone, Copy)]
pub(super) struct CrosswiseAir {
    squared_phase: SquaredPhase,
    /// jωρd, with the complex density.
    series: Complex64,
    /// jw/(ωρd) without a trace along the cavity, and what a squared trace wavenumber takes from it.
    shunt: Complex64,
    along: Complex64,
}

impl CrosswiseAir {
    /// `share`: how much of the squared trace wavenumber runs along the cavity, 0 to 1. `most`: the largest trace wavenumber.
    fn new(fluid: &Fluid, depth_m: f64, share: f64, most: f64) -> Self {
        let phase = fluid.wavenumber * depth_m;
        let (upright, along) = (phase * phase, share * depth_m * depth_m);
        let series = Complex64::i() * fluid.impedance * phase;
        let inverse = -series.inv();
        let squared_phase = SquaredPhase::new(upright, along, most * most);
        Self { squared_phase, series, shunt: inverse * upright, along: inverse * along }
    }

    #[inline(always)]
    fn through(&self, impedance: &mut ComplexLanes, trace_squared: &Lanes, crossing: &mut Crossing) {
        let (cos, sinc) = self.squared_phase.cos_and_sinc(trace_squared);
        for (lane, trace) in trace_squared.iter().enumerate() {
            let z = (impedance.re[lane], impedance.im[lane]);
            let (c, s) = ((cos.re[lane], cos.im[lane]), (sinc.re[lane], sinc.im[lane]));
            let pressure = (
                c.0 * z.0 - c.1 * z.1 + self.series.re * s.0 - self.series.im * s.1,
                c.0 * z.1 + c.1 * z.0 + self.series.re * s.1 + self.series.im * s.0,
            );
            let sz = (s.0 * z.0 - s.1 * z.1, s.0 * z.1 + s.1 * z.0);
            let y = (self.shunt.re - self.along.re * trace, self.shunt.im - self.along.im * trace);
            let velocity = (c.0 + y.0 * sz.0 - y.1 * sz.1, c.1 + y.0 * sz.1 + y.1 * sz.0);
            (impedance.re[lane], impedance.im[lane]) = crossing.note(lane, pressure, velocity);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With no share of the trace along it, a cavity's series must give the matrix that one exponential gives; at any depth.
    #[test]
    fn without_a_trace_along_it_a_cavity_is_upright() {
        let air = Air::default();
        for (depth_m, hz) in [(0.001, 50.0), (0.05, 400.0), (0.2, 3150.0), (0.9, 5000.0)] {
            let fluid = lossy(Fluid::air(&air, hz), 0.15);
            let crosswise = CavityMedium::Crosswise(CrosswiseAir::new(&fluid, depth_m, 0.0, air.wavenumber(hz)));
            let upright = CavityMedium::Upright(upright(&fluid, depth_m));
            let far = ComplexLanes { re: [300.0; LANES], im: [2000.0; LANES] };
            let near = [crosswise, upright].map(|medium| {
                let (mut seen, mut crossing) = (far, Crossing::NOTHING);
                medium.through(&mut seen, &[1.0; LANES], &mut crossing);
                [seen.re[0], seen.im[0], crossing.passed[0], crossing.difference[0]]
            });
            for (a, b) in near[0].iter().zip(near[1]) {
                assert!((a - b).abs() < 1e-9 * b.abs().max(1e-3), "{depth_m} m, {hz} Hz: {near:?}");
            }
        }
    }
}
