//! The force in a bridge and what the driven leaf radiates from it.

use num_complex::Complex64;
use std::f64::consts::TAU;

use super::{Coupling, Kind};

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

    /// Velocity per point force, m/(N·s): 1/(8√(B′m′)). Source: Cremer, Heckl & Petersson, table 5.1.
    fn point_mobility(&self) -> f64 {
        1.0 / (8.0 * (self.bending * self.mass).sqrt())
    }
}

/// A bridge between two leaves at one frequency.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bridging {
    pub kind: Kind,
    pub coupling: Coupling,
    /// ρ0, kg/m³, and c0, m/s.
    pub density: f64,
    pub speed: f64,
    pub hz: f64,
}

impl Bridging {
    /// Power radiated per area by the second leaf, W/m², per mean square velocity difference of the leaves, (m/s)².
    ///
    /// With each leaf comes its response: what bending makes of a mass, 1 far below the critical frequency, more at coincidence.
    /// The force is held back by the mobilities of both leaves, the compliance, and the motion all bridges together give the
    /// leaves (without that, many stiff ties would move a leaf more than a rigid link can). Radiation near a line
    /// ρ0F²/(2ωm²), near a point ρ0F²/(2πc0m²) (Cremer, Heckl & Petersson, ch. 7), both times the response; below the critical
    /// frequency the free waves that the bridge sends out are added. Free waves flow back through the same bridges, so their
    /// energies follow the balance of two coupled systems (statistical energy analysis; Hopkins, Sound Insulation, 2007, ch. 4).
    pub(crate) fn radiated(&self, driving: (&BridgedLeaf, f64), driven: (&BridgedLeaf, f64)) -> f64 {
        let ((first, first_response), (second, second_response)) = (driving, driven);
        if first.bending <= 0.0 || second.bending <= 0.0 {
            return 0.0;
        }
        let omega = TAU * self.hz;
        let (number, own, other, near): (_, Complex64, Complex64, _) = match self.coupling {
            Coupling::Lines(per_m) => {
                let near = self.density / (2.0 * omega * second.mass.powi(2));
                (per_m, first.line_mobility(omega), second.line_mobility(omega), near)
            }
            Coupling::Points(per_m2) => {
                let near = self.density / (TAU * self.speed * second.mass.powi(2));
                (per_m2, first.point_mobility().into(), second.point_mobility().into(), near)
            }
        };
        let stiffening = match self.kind.stiffening {
            0.0 => 1.0,
            power => (self.hz / 500.0).powf(-power),
        };
        let compliance = self.kind.compliance * stiffening;
        let together = number / omega * (1.0 / first.mass + 1.0 / second.mass);
        let force_squared = 1.0 / (own + other + Complex64::new(0.0, omega * compliance - together)).norm_sqr();
        // Coupling loss factors there and back.
        let there = number * force_squared * other.re / (omega * first.mass);
        let back = number * force_squared * own.re / (omega * second.mass);
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
}
