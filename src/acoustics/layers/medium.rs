//! What fills a cavity at one frequency: air with its losses, the porous fill, and what joins the leaves at regular distances.

use num_complex::Complex64;

use super::cavity::Cavity;
use super::crosswise::SquaredPhase;
use super::lanes::{ComplexLanes, LANES, Lanes};
use crate::acoustics::Air;
use crate::acoustics::bridges::{BridgeParameters, BridgeTable, Regular};
use crate::acoustics::porous::{self, Fluid};

/// From this share of the trace on, waves that run along a cavity may resonate in it. Own limit: it only decides how many angles are taken.
const RESONANT_SHARE: f64 = 0.05;

/// The air of a cavity and its fill, as fluid layers.
///
/// Air in a cavity is a spring with little loss: of what thermal conduction can give at most where boards are screwed to frames, of half of that between
/// hard edges; a filled one loses some tenths ([`BridgeTable`]), in proportion to the depth that is filled. Along an empty cavity waves run from its first
/// crosswise modes on. A fill holds them back as far as they fade from side to side: with the resistance of the part that is filled and the mass of
/// the air in the rest side by side (the layers share one pressure). Own composition of porous theory (Allard & Atalla, 2nd ed., 2009, ch. 5, 11);
/// the loss of the air after the bound that [`crate::acoustics::bridges`] names.
#[derive(Clone, Copy)]
pub(super) struct CavityMedium {
    near: FluidLayer,
    far: Option<FluidLayer>,
    /// True when waves run along it: at some angles they resonate across it.
    pub resonant: bool,
    pub link: Option<Regular>,
}

impl CavityMedium {
    /// `least_side_m`: of the panel. `link`: what joins its leaves at regular distances.
    pub(super) fn new(
        cavity: &Cavity,
        kind: &BridgeParameters,
        kinds: &BridgeTable,
        link: Option<Regular>,
        least_side_m: f64,
        air: &Air,
        hz: f64,
    ) -> Self {
        let cell_m = cavity.bridge().cell_m().unwrap_or(f64::INFINITY).min(least_side_m);
        let first_mode_hz = air.speed_m_s() / (2.0 * cell_m);
        let x = (hz / (kinds.crosswise * first_mode_hz)).powi(2);
        let most = air.wavenumber(hz).powi(2);
        let (share, empty) = (x / (1.0 + x), Fluid::air(air, hz));
        let Some(fill) = cavity.fill() else {
            let near = FluidLayer::new(&lossy(empty, kind.air_loss), cavity.depth_m(), share, most);
            return Self { near, far: None, resonant: share > RESONANT_SHARE, link };
        };
        let wool = porous::limp_frame(fill.flow_resistivity_pa_s_m2(), fill.density_kg_m3(), air, hz);
        let filled = (fill.thickness_m() / cavity.depth_m()).min(1.0);
        let side_by_side = |of_air: Complex64, of_wool: Complex64| (1.0 - filled) / of_air + filled / of_wool;
        let mobile = side_by_side(empty.density(hz), wool.density(hz));
        let yielding = side_by_side(empty.bulk_modulus(hz), wool.bulk_modulus(hz));
        let along = (yielding / mobile).sqrt() * (std::f64::consts::TAU * hz);
        let share = share / (1.0 + (along.im * cell_m).powi(2));
        let loss = (1.0 - filled) * kind.air_loss + filled * kinds.fill_loss;
        let wool = FluidLayer::new(&lossy(wool, loss), fill.thickness_m(), share, most);
        let resonant = share > RESONANT_SHARE;
        if cavity.air_m() <= 0.0 {
            return Self { near: wool, far: None, resonant, link };
        }
        let near = FluidLayer::new(&lossy(empty, loss), cavity.air_m(), share, most);
        Self { near, far: Some(wool), resonant, link }
    }

    /// From the impedance at the far face that at the near one, and how the velocities of both differ.
    #[inline(always)]
    pub(super) fn through(&self, impedance: &mut ComplexLanes, trace_squared: &Lanes, crossing: &mut Crossing) {
        let mut whole = self.near.matrix(trace_squared);
        if let Some(far) = &self.far {
            whole = product(&whole, &far.matrix(trace_squared));
        }
        match &self.link {
            None => whole.through(impedance, crossing),
            Some(link) => whole.through_beside(link, impedance, crossing),
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
    /// |pressure of the lines or points on the far leaf/far velocity|².
    pub force: Lanes,
}

impl Crossing {
    pub(super) const NOTHING: Self = Self { passed: [0.0; LANES], difference: [0.0; LANES], force: [0.0; LANES] };

    /// Impedance of a pressure and a velocity, given over the far velocity; keeps what the velocity says of the lane.
    #[inline(always)]
    fn note(&mut self, lane: usize, p: (f64, f64), v: (f64, f64)) -> (f64, f64) {
        let passed = 1.0 / (v.0 * v.0 + v.1 * v.1);
        self.passed[lane] = passed;
        self.difference[lane] = (v.0 - 1.0) * (v.0 - 1.0) + v.1 * v.1;
        ((p.0 * v.0 + p.1 * v.1) * passed, (p.1 * v.0 - p.0 * v.1) * passed)
    }
}

/// The loss turns the phase of the bulk modulus by atan η and leaves its size, so that the spring of the cavity keeps its stiffness.
fn lossy(fluid: Fluid, loss: f64) -> Fluid {
    // Half the angle whose tangent is the loss, from its cosine.
    let cosine = 1.0 / (1.0 + loss * loss).sqrt();
    let half_cosine = (0.5 * (1.0 + cosine)).sqrt();
    let half_turn = Complex64::new(half_cosine, 0.5 * loss * cosine / half_cosine);
    Fluid { wavenumber: fluid.wavenumber * half_turn.conj(), impedance: fluid.impedance * half_turn }
}

/// Pressure and velocity at the near face from those at the far one, for eight angles.
struct Matrix {
    /// Both elements of the diagonal of one layer are alike; those of several are not.
    pressure: [ComplexLanes; 2],
    velocity: [ComplexLanes; 2],
}

#[inline(always)]
fn times(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    (a.0 * b.0 - a.1 * b.1, a.0 * b.1 + a.1 * b.0)
}

#[inline(always)]
fn plus(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    (a.0 + b.0, a.1 + b.1)
}

#[inline(always)]
fn minus(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    (a.0 - b.0, a.1 - b.1)
}

impl Matrix {
    #[inline(always)]
    fn through(&self, impedance: &mut ComplexLanes, crossing: &mut Crossing) {
        let ([a, b], [c, d]) = (&self.pressure, &self.velocity);
        for lane in 0..LANES {
            let z = (impedance.re[lane], impedance.im[lane]);
            let pressure = plus(times(a.at(lane), z), b.at(lane));
            let velocity = plus(times(c.at(lane), z), d.at(lane));
            (impedance.re[lane], impedance.im[lane]) = crossing.note(lane, pressure, velocity);
        }
    }

    /// The same beside lines or points that join the leaves: what presses on a leaf is the cavity's pressure and theirs.
    #[inline(always)]
    fn through_beside(&self, link: &Regular, impedance: &mut ComplexLanes, crossing: &mut Crossing) {
        let ([a, b], [c, d]) = (&self.pressure, &self.velocity);
        let [first, across, second] = [link.first, link.across, link.second].map(|z| (z.re, z.im));
        for lane in 0..LANES {
            let z = (impedance.re[lane], impedance.im[lane]);
            let (of_pressure, at_rest) = (c.at(lane), d.at(lane));
            // All over the far leaf's velocity: the near one's from v1 = c·(z − across·v1 + second) + d.
            let above = plus(times(of_pressure, plus(z, second)), at_rest);
            let below = plus((1.0, 0.0), times(of_pressure, across));
            let size = 1.0 / (below.0 * below.0 + below.1 * below.1);
            let velocity = times(above, (below.0 * size, -below.1 * size));
            let force = minus(times(across, velocity), second);
            let cavity = plus(times(a.at(lane), minus(z, force)), b.at(lane));
            let pressure = plus(cavity, minus(times(first, velocity), across));
            crossing.force[lane] = force.0 * force.0 + force.1 * force.1;
            (impedance.re[lane], impedance.im[lane]) = crossing.note(lane, pressure, velocity);
        }
    }
}

#[inline(always)]
fn product(near: &Matrix, far: &Matrix) -> Matrix {
    let row = |row: &[ComplexLanes; 2]| {
        [0, 1].map(|column| {
            let mut sum = ComplexLanes::ZERO;
            for lane in 0..LANES {
                let one = times(row[0].at(lane), far.pressure[column].at(lane));
                let other = times(row[1].at(lane), far.velocity[column].at(lane));
                (sum.re[lane], sum.im[lane]) = plus(one, other);
            }
            sum
        })
    };
    Matrix { pressure: row(&near.pressure), velocity: row(&near.velocity) }
}

/// A layer of fluid along which waves run, more or less.
///
/// With w the squared phase across it, its matrix is cos √w, jωρd·sin √w/√w, jw/(ωρd)·sin √w/√w, cos √w.
#[derive(Clone, Copy)]
pub(super) struct FluidLayer {
    squared_phase: SquaredPhase,
    /// jωρd, with the complex density.
    series: Complex64,
    /// jw/(ωρd) without a trace along the cavity, and what a squared trace wavenumber takes from it.
    shunt: Complex64,
    along: Complex64,
}

impl FluidLayer {
    /// `share`: how much of the squared trace wavenumber runs along the cavity, 0 to 1. `most`: the largest squared trace wavenumber.
    fn new(fluid: &Fluid, depth_m: f64, share: f64, most: f64) -> Self {
        let phase = fluid.wavenumber * depth_m;
        let (upright, along) = (phase * phase, share * depth_m * depth_m);
        let series = Complex64::i() * fluid.impedance * phase;
        let inverse = -series.inv();
        let squared_phase = SquaredPhase::new(upright, along, most);
        Self { squared_phase, series, shunt: inverse * upright, along: inverse * along }
    }

    #[inline(always)]
    fn matrix(&self, trace_squared: &Lanes) -> Matrix {
        let (cos, sinc) = self.squared_phase.cos_and_sinc(trace_squared);
        let (mut b, mut c) = (ComplexLanes::ZERO, ComplexLanes::ZERO);
        for (lane, trace) in trace_squared.iter().enumerate() {
            (b.re[lane], b.im[lane]) = times((self.series.re, self.series.im), sinc.at(lane));
            let y = (self.shunt.re - self.along.re * trace, self.shunt.im - self.along.im * trace);
            (c.re[lane], c.im[lane]) = times(y, sinc.at(lane));
        }
        Matrix { pressure: [cos, b], velocity: [c, cos] }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With no share of the trace along it, a layer must have the matrix of plane waves straight across it: cos kd, jZ sin kd, j sin kd/Z, cos kd.
    /// Source: Allard & Atalla, 2nd ed. (2009), ch. 11; 1e-9 is rounding.
    #[test]
    fn without_a_trace_along_it_a_layer_is_crossed_straight() {
        let air = Air::default();
        for (depth_m, hz) in [(0.001, 50.0), (0.05, 400.0), (0.2, 3150.0), (0.9, 5000.0)] {
            let fluid = lossy(Fluid::air(&air, hz), 0.15);
            let layer = FluidLayer::new(&fluid, depth_m, 0.0, air.wavenumber(hz).powi(2));
            let far = Complex64::new(300.0, 2000.0);
            let mut seen = ComplexLanes { re: [far.re; LANES], im: [far.im; LANES] };
            layer.matrix(&[1.0; LANES]).through(&mut seen, &mut Crossing::NOTHING.clone());
            let phase = fluid.wavenumber * depth_m;
            let (cos, j_sin) = (phase.cos(), Complex64::i() * phase.sin());
            let expected = (cos * far + fluid.impedance * j_sin) / (j_sin / fluid.impedance * far + cos);
            let got = Complex64::new(seen.re[0], seen.im[0]);
            assert!((got - expected).norm() < 1e-9 * expected.norm(), "{depth_m} m, {hz} Hz: {got} {expected}");
        }
    }

    /// Lines that pass nothing leave a cavity as it is, and lines without give make both leaves move as one.
    #[test]
    fn lines_join_the_leaves() {
        let air = Air::default();
        let layer = FluidLayer::new(&Fluid::air(&air, 100.0), 0.1, 0.0, 4.0);
        let through = |stiffness: f64| {
            let z = Complex64::new(stiffness, 0.0);
            let link = Regular { first: z, across: z, second: z, per_area: 1.0 };
            let mut seen = ComplexLanes { re: [400.0; LANES], im: [3000.0; LANES] };
            let mut crossing = Crossing::NOTHING;
            layer.matrix(&[0.0; LANES]).through_beside(&link, &mut seen, &mut crossing);
            (seen.re[0], seen.im[0], crossing.passed[0])
        };
        let mut alone = ComplexLanes { re: [400.0; LANES], im: [3000.0; LANES] };
        layer.matrix(&[0.0; LANES]).through(&mut alone, &mut Crossing::NOTHING.clone());
        let nothing = through(0.0);
        assert!((nothing.0 - alone.re[0]).abs() < 1e-9 && (nothing.1 - alone.im[0]).abs() < 1e-9);
        // What is left of the cavity is the mass of its air, ωρ0d.
        let (rigid, air_mass) = (through(1e12), std::f64::consts::TAU * 100.0 * air.density_kg_m3() * 0.1);
        assert!((rigid.2 - 1.0).abs() < 1e-6 && (rigid.1 - 3000.0 - air_mass).abs() < 0.01 * air_mass, "{rigid:?}");
    }
}
