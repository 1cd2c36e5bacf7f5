//! The force in a bridge and what the driven leaf radiates from it.

use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

use super::kinds::{BridgeParameters, Coupling};

/// Components across the lines of the waves of a diffuse field, over the wavenumber, each with its weight: kx/k0 lies as √(1 − x²), for power goes as the
/// cosine of the angle. Gauss & Chebyshev's rule of the second kind, five points, two of them pairs. Source: Abramowitz & Stegun, 25.4.40.
const DIRECTIONS: [(f64, f64); 3] = [(0.0, 1.0 / 3.0), (0.5, 0.5), (0.866_025_403_784_438_6, 1.0 / 6.0)];

/// What of a leaf a bridge feels at one frequency.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct BridgedLeaf {
    /// Mass per area, kg/m².
    pub mass: f64,
    /// Bending stiffness B′, N·m; zero when limp.
    pub bending: f64,
    /// Loss factor of its free waves, radiation included.
    pub loss: f64,
    /// (f/fc)².
    pub frequency_ratio_squared: f64,
    /// Radiation efficiency of its free waves.
    pub free_efficiency: f64,
}

impl BridgedLeaf {
    /// True when the leaf's free waves are slower than sound.
    pub(crate) fn is_below_critical(&self) -> bool {
        self.frequency_ratio_squared < 1.0
    }

    /// Velocity per line force, m²/(N·s): 1/(2 m′ cB (1 + j)). Source: Cremer, Heckl & Petersson, Structure-Borne Sound, table 5.1.
    fn line_mobility(&self, omega: f64) -> Complex64 {
        let bending_speed = omega.sqrt() * (self.bending / self.mass).sqrt().sqrt();
        Complex64::new(1.0, -1.0) / (4.0 * self.mass * bending_speed)
    }

    /// Velocity per line force at one of lines `per_m` to the metre, all driven as plane waves go along them, without the part that all of the leaf
    /// moves; m²/(N·s).
    ///
    /// Y = kB²/(4m′ω)·(S1/κ1 − jS2/κ2), κ1,2 = √(kB² ∓ kz²), S = (1 − q²)/(1 − 2q cos(kx·b) + q²), q1 = exp(−jκ1·b), q2 = exp(−κ2·b): the sum over
    /// all lines of the field of one (Cremer, Heckl & Petersson, Structure-Borne Sound, ch. 3). A scatter of their places takes exp(−(κ1·s)²/2) of the
    /// order of q1. Along the lines the wave is taken at the mean square of a diffuse field; across them the mean over one ([`DIRECTIONS`]), since how bays
    /// resonate hangs on kx above all.
    fn between_lines(&self, per_m: f64, scatter_m: f64, omega: f64, wavenumber: f64) -> Complex64 {
        let bending = omega * (self.mass / self.bending).sqrt();
        let trace = 0.5 * wavenumber * wavenumber;
        let along = 0.5 * trace;
        let travelling = (bending - along).max(0.01 * bending).sqrt();
        let lossy = Complex64::new(travelling, -0.25 * self.loss * travelling);
        let evanescent = (bending + along).sqrt();
        let steps = DIRECTIONS.map(|(share, weight)| (2.0 * (share * wavenumber / per_m).cos(), weight));
        let sum = |q: Complex64| -> Complex64 {
            let square = q * q;
            steps.iter().map(|(step, weight)| weight * (1.0 - square) / (1.0 - step * q + square)).sum()
        };
        let kept = (-0.5 * (travelling * scatter_m).powi(2)).exp();
        let q1 = (Complex64::new(0.0, -1.0 / per_m) * lossy).exp() * kept;
        let q2 = Complex64::from((-evanescent / per_m).exp());
        let all = bending / (4.0 * self.mass * omega) * (sum(q1) / lossy - Complex64::i() * sum(q2) / evanescent);
        // Near coincidence and above it this part is next to nothing, and must only stay finite.
        let stiffness = 1.0 - (trace / bending).powi(2).min(0.5);
        all + Complex64::new(0.0, per_m / (omega * self.mass * stiffness))
    }

    /// Velocity per point force, m/(N·s): 1/(8√(B′m′)). Source: Cremer, Heckl & Petersson, table 5.1.
    fn point_mobility(&self) -> f64 {
        1.0 / (8.0 * (self.bending * self.mass).sqrt())
    }
}

/// What drives a bridge, mean squares.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Drive {
    /// Difference of the leaves' velocities that airborne sound gives them, (m/s)².
    pub difference: f64,
    /// Velocity of the first leaf's free waves, (m/s)².
    pub free: f64,
    /// Force on the second leaf at one line (N/m)² or point N², where it was found wave by wave (see [`Regular`]).
    pub force: Option<f64>,
}

/// A bridge between two leaves at one frequency.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bridging {
    pub kind: BridgeParameters,
    pub coupling: Coupling,
    /// ρ0, kg/m³, and c0, m/s.
    pub density: f64,
    pub speed: f64,
    pub hz: f64,
}

impl Bridging {
    /// Power radiated per area by the second leaf, W/m².
    ///
    /// With each leaf comes its response: what bending makes of a mass, 1 far below the critical frequency, more at coincidence.
    /// The force is held back by the mobilities of both leaves, the compliance, and the motion all bridges together give the
    /// leaves (without that, many stiff ties would move a leaf more than a rigid link can). Radiation near a line
    /// ρ0F²/(2ωm²), near a point ρ0F²/(2πc0m²) (Cremer, Heckl & Petersson, ch. 7), both times the response; below the critical
    /// frequency the free waves that the bridge sends out are added. Free waves flow back through the same bridges, so their
    /// energies follow the balance of two coupled systems (statistical energy analysis; Hopkins, Sound Insulation, 2007, ch. 4).
    /// Of regular lines or points, what is as slow along the leaf as the wave that came goes through the stack itself; here the rest
    /// radiates, the other waves of the grating that are faster than sound.
    pub(crate) fn radiated(&self, driving: (&BridgedLeaf, f64), driven: (&BridgedLeaf, f64), drive: Drive) -> f64 {
        let ((first, first_response), (second, second_response)) = (driving, driven);
        if first.bending <= 0.0 || second.bending <= 0.0 {
            return 0.0;
        }
        let omega = TAU * self.hz;
        let wavenumber = omega / self.speed;
        let near_line = self.density / (2.0 * omega * second.mass.powi(2));
        let (number, own, other, near): (_, Complex64, Complex64, _) = match self.coupling {
            Coupling::Edge(per_m) => (per_m, first.line_mobility(omega), second.line_mobility(omega), near_line),
            Coupling::Studs { per_m, .. } => {
                // Of 2·k0/(2π·n) gratings waves faster than sound, on the average over directions, one went through the stack.
                let rest = (1.0 - PI * per_m / wavenumber).max(0.0);
                (per_m, first.line_mobility(omega), second.line_mobility(omega), rest * near_line)
            }
            Coupling::Points(per_m2) => {
                let rest = (1.0 - 4.0 * PI * per_m2 / wavenumber.powi(2)).max(0.0);
                let near = rest * self.density / (TAU * self.speed * second.mass.powi(2));
                (per_m2, first.point_mobility().into(), second.point_mobility().into(), near)
            }
        };
        let compliance = self.kind.compliance_at(self.hz);
        let together = number / omega * (1.0 / first.mass + 1.0 / second.mass);
        let per_velocity = 1.0 / (own + other + Complex64::new(0.0, omega * compliance - together)).norm_sqr();
        let force_squared = drive.force.unwrap_or(per_velocity * drive.difference) + per_velocity * drive.free;
        // Coupling loss factors there and back.
        let there = number * per_velocity * other.re / (omega * first.mass);
        let back = number * per_velocity * own.re / (omega * second.mass);
        let kept_second = second.loss / (second.loss + back);
        let kept_first = first.loss / (first.loss + there * kept_second);
        // The part of a response beyond that of a mass is free waves, and only they come back.
        let share = |response: f64, kept: f64| {
            let free = (1.0 - 1.0 / response.max(1.0)).max(0.0);
            1.0 - free + free * kept
        };
        let free = if second.is_below_critical() {
            self.density * self.speed * second.free_efficiency * other.re / (omega * second.loss * second.mass)
                * kept_second
        } else {
            0.0
        };
        let near = near * second_response * share(second_response, kept_second);
        number * force_squared * (near + free) * share(first_response, kept_first)
    }

    /// What lines or points at regular distances pass between the leaves as a plane wave moves them; nothing for edges and limp leaves.
    pub(crate) fn regular(&self, first: &BridgedLeaf, second: &BridgedLeaf, scatter_m: f64) -> Option<Regular> {
        if first.bending <= 0.0 || second.bending <= 0.0 {
            return None;
        }
        let omega = TAU * self.hz;
        let wavenumber = omega / self.speed;
        let (per_area, kg, mobilities) = match self.coupling {
            Coupling::Edge(_) => return None,
            Coupling::Studs { per_m, kg_m } => {
                (per_m, kg_m, [first, second].map(|leaf| leaf.between_lines(per_m, scatter_m, omega, wavenumber)))
            }
            Coupling::Points(per_m2) => {
                let rest =
                    |leaf: &BridgedLeaf| leaf.point_mobility() - Complex64::new(0.0, -per_m2 / (omega * leaf.mass));
                (per_m2, 0.0, [first, second].map(rest))
            }
        };
        // What holds a leaf to its line gives way with some friction, so that a heavy joist on springy nails does not ring. Own judgement: 0.05 to 0.2 fit alike.
        const HELD_LOSS: f64 = 0.1;
        let half = Complex64::new(HELD_LOSS, 1.0) * (0.5 * omega * self.kind.compliance_at(self.hz));
        // Above this a line is no rigid bar any more: it turns and bends between its screws, and what it does so is lost to the leaves. Own judgement.
        const RIGID_HZ: f64 = 400.0;
        let limber = self.hz / RIGID_HZ;
        let bar = omega * kg * Complex64::new(0.0, 1.0) / (1.0 + limber * limber);
        let [near, far] = mobilities.map(|mobility| (mobility + half).inv());
        let all = (bar + near + far).inv();
        Some(Regular {
            first: per_area * (near - near * near * all),
            across: per_area * near * far * all,
            second: per_area * (far - far * far * all),
            per_area,
        })
    }
}

/// Lines or points at regular distances, as a plane wave meets them: pressure (force per area) on the first leaf is
/// `first`·v1 − `across`·v2, on the second `across`·v1 − `second`·v2; Pa·s/m.
///
/// Leaves that a plane wave moves by v give way at the lines by H·F more, where H is the mobility of all waves of the grating but the one that
/// came. So the bays between stiff studs resonate. Source: Lin & Garrelick, JASA 61 (1977) 1014; Brunskog, JASA 117 (2005) 2700 (from
/// memory, unverified); the cavity is left out of the other waves of the grating, too slow to be met by its air.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Regular {
    pub first: Complex64,
    pub across: Complex64,
    pub second: Complex64,
    /// Lines per metre, or points per square metre.
    pub per_area: f64,
}
