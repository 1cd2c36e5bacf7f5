//! What fills a cavity at one frequency: air with its losses, and the porous fill.

use num_complex::Complex64;

use super::Cavity;
use crate::acoustics::Air;
use crate::acoustics::bridges::Kinds;
use crate::acoustics::porous::{self, Fluid};

/// The air of a cavity and its fill, as fluid layers.
///
/// An empty cavity is never undamped: edges, reveals and studs take energy, as a loss of the air's compressibility. A fill keeps waves from running
/// along the cavity, so that it reacts locally; an empty cavity does too below its first crosswise modes.
/// Source of the idea: Davy, JASA 125 (2009), effective cavity absorption; numbers fitted, see [`Kinds`].
#[derive(Clone, Copy)]
pub(super) struct CavityMedium {
    air: Layer,
    fill: Option<Layer>,
    /// How much of the squared trace wavenumber runs along the cavity, 0 to 1.
    crosswise: f64,
}

impl CavityMedium {
    /// `loss_share`: of the common loss, for this kind of connection. `least_side_m`: of the panel.
    pub(super) fn new(cavity: &Cavity, loss_share: f64, kinds: &Kinds, least_side_m: f64, air: &Air, hz: f64) -> Self {
        let empty_loss = kinds.cavity_loss
            * loss_share
            * (hz / 500.0).powf(-kinds.cavity_loss_frequency)
            * (cavity.depth_m() / 0.1).powf(-kinds.cavity_loss_depth);
        let Some(fill) = cavity.fill() else {
            let cell_m = cavity.connection().spacing_m().unwrap_or(f64::INFINITY).min(least_side_m);
            let first_mode_hz = air.speed_m_s() / (2.0 * cell_m);
            let x = (hz / (kinds.crosswise * first_mode_hz)).powi(2);
            let layer = Layer::new(lossy(Fluid::air(air, hz), empty_loss), cavity.depth_m());
            return Self { air: layer, fill: None, crosswise: x / (1.0 + x) };
        };
        let loss = empty_loss * kinds.filled_loss;
        let wool = porous::limp_frame(fill.flow_resistivity_pa_s_m2(), fill.density_kg_m3(), air, hz);
        Self {
            air: Layer::new(lossy(Fluid::air(air, hz), loss), cavity.air_m()),
            fill: Some(Layer::new(lossy(wool, loss), fill.thickness_m())),
            crosswise: 0.0,
        }
    }

    /// Pressure and velocity carried from the far face to the near one.
    pub(super) fn through(&self, p: Complex64, v: Complex64, trace_squared: f64) -> (Complex64, Complex64) {
        let trace_squared = trace_squared * self.crosswise;
        let (p, v) = match &self.fill {
            Some(fill) => fill.through(p, v, trace_squared),
            None => (p, v),
        };
        self.air.through(p, v, trace_squared)
    }
}

/// The loss turns the phase of the bulk modulus by atan η and leaves its size, so that the spring of the cavity keeps its stiffness.
fn lossy(fluid: Fluid, loss: f64) -> Fluid {
    let half_turn = Complex64::from_polar(1.0, 0.5 * loss.atan());
    Fluid { wavenumber: fluid.wavenumber / half_turn, impedance: fluid.impedance * half_turn }
}

/// A fluid layer.
#[derive(Clone, Copy)]
struct Layer {
    wavenumber_squared: Complex64,
    /// ω times the complex density.
    inertance: Complex64,
    depth_m: f64,
    /// cos kd, Z·j sin kd and j sin kd/Z without any trace along the cavity.
    upright: [Complex64; 3],
}

impl Layer {
    fn new(fluid: Fluid, depth_m: f64) -> Self {
        let mut layer = Self {
            wavenumber_squared: fluid.wavenumber * fluid.wavenumber,
            inertance: fluid.impedance * fluid.wavenumber,
            depth_m,
            upright: [Complex64::ZERO; 3],
        };
        layer.upright = layer.matrix(0.0);
        layer
    }

    fn matrix(&self, trace_squared: f64) -> [Complex64; 3] {
        let kz = root(self.wavenumber_squared - trace_squared);
        let phase = kz * self.depth_m;
        let z = self.inertance / kz;
        if phase.norm_sqr() < 1e-12 {
            return [Complex64::ONE, Complex64::i() * self.inertance * self.depth_m, Complex64::i() * phase / z];
        }
        // cos and sin of a complex number from one exponential.
        let forward = (Complex64::i() * phase).exp();
        let backward = forward.inv();
        let j_sin = (forward - backward) * 0.5;
        [(forward + backward) * 0.5, z * j_sin, j_sin / z]
    }

    fn through(&self, p: Complex64, v: Complex64, trace_squared: f64) -> (Complex64, Complex64) {
        if self.depth_m <= 0.0 {
            return (p, v);
        }
        let [cos, series, shunt] = if trace_squared == 0.0 { self.upright } else { self.matrix(trace_squared) };
        (cos * p + series * v, shunt * p + cos * v)
    }
}

/// Square root with a non-negative real part, without going through polar form.
fn root(z: Complex64) -> Complex64 {
    let norm = z.norm_sqr().sqrt();
    let re = ((norm + z.re) * 0.5).max(0.0).sqrt();
    let im = ((norm - z.re) * 0.5).max(0.0).sqrt();
    Complex64::new(re, if z.im < 0.0 { -im } else { im })
}
