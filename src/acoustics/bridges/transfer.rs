//! The force in a bridge and what the driven leaf radiates from it.

use num_complex::Complex64;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

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

/// Four points of Gauss & Legendre on 0 to 1 twice over: enough for a smooth integrand. Source: Abramowitz & Stegun, table 25.4.
const ANGLES: [(f64, f64); 8] = [
    (0.034_715_922_1, 0.086_963_711_3),
    (0.165_004_739_2, 0.163_036_288_7),
    (0.334_995_260_8, 0.163_036_288_7),
    (0.465_284_077_9, 0.086_963_711_3),
    (0.534_715_922_1, 0.086_963_711_3),
    (0.665_004_739_2, 0.163_036_288_7),
    (0.834_995_260_8, 0.163_036_288_7),
    (0.965_284_077_9, 0.086_963_711_3),
];

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

    /// What bending makes of the radiation of a mass-controlled leaf: ∫ w(φ) dφ/|1 − (f/fc)²(1 + jη) sin⁴φ|², 0 to 90°.
    fn directivity(&self, weight: impl Fn(f64) -> f64) -> f64 {
        if self.is_below_critical() {
            let ratio = Complex64::new(1.0, self.loss) * self.frequency_ratio_squared;
            return ANGLES
                .iter()
                .map(|(at, share)| {
                    let angle = at * FRAC_PI_2;
                    weight(angle) / (1.0 - ratio * angle.sin().powi(4)).norm_sqr() * share * FRAC_PI_2
                })
                .sum();
        }
        // The free waves radiate: near sin φ0 = (f/fc)^(−1/2), 1 − r sin⁴φ ≈ −4 cot φ0·δ, so ∫ dδ/|4 cot φ0 δ + jη|² = π/(4η cot φ0).
        let sine = self.frequency_ratio_squared.powf(-0.25).min(1.0);
        let cotangent = ((1.0 - sine * sine).sqrt() / sine).max(self.loss.sqrt() / 2.0);
        weight(sine.asin()) * PI / (4.0 * self.loss * cotangent)
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
    /// Power radiated per area by `second`, W/m², per mean square velocity difference of the leaves, (m/s)².
    ///
    /// The force is held back by the mobilities of both leaves, the compliance, and the motion all bridges together give the
    /// leaves (without that, many stiff ties would move a leaf more than a rigid link can). Radiation near a line
    /// ρ0F²/(2ωm²), near a point ρ0F²/(2πc0m²) (Cremer, Heckl & Petersson, ch. 7), both with [`BridgedLeaf::directivity`];
    /// below the critical frequency the free waves that the bridge sends out are added.
    pub(crate) fn radiated(&self, first: &BridgedLeaf, second: &BridgedLeaf) -> f64 {
        if first.bending <= 0.0 || second.bending <= 0.0 {
            return 0.0;
        }
        let omega = TAU * self.hz;
        let (number, own, driven, near) = match self.coupling {
            Coupling::Lines(per_m) => {
                let near = self.density / (2.0 * omega * second.mass.powi(2));
                let directivity = second.directivity(|_| std::f64::consts::FRAC_2_PI);
                (per_m, first.line_mobility(omega), second.line_mobility(omega), near * directivity)
            }
            Coupling::Points(per_m2) => {
                let near = self.density / (TAU * self.speed * second.mass.powi(2));
                let directivity = second.directivity(f64::sin);
                (per_m2, first.point_mobility().into(), second.point_mobility().into(), near * directivity)
            }
        };
        let compliance = self.kind.compliance * (self.hz / 500.0).powf(-self.kind.stiffening);
        let together = number / omega * (1.0 / first.mass + 1.0 / second.mass);
        let force_squared = 1.0 / (own + driven + Complex64::new(0.0, omega * compliance - together)).norm_sqr();
        let free = if second.is_below_critical() {
            self.density * self.speed * second.free_efficiency * driven.re / (omega * second.loss * second.mass)
        } else {
            0.0
        };
        number * force_squared * (near + free)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ∫ (2/π) dφ/|1 − r sin⁴φ|² at r = 0 is 1, and ∫ sin φ dφ is 1.
    #[test]
    fn a_leaf_far_below_its_critical_frequency_radiates_as_a_mass() {
        let leaf = BridgedLeaf { loss: 0.01, frequency_ratio_squared: 1e-9, ..BridgedLeaf::default() };
        assert!((leaf.directivity(|_| std::f64::consts::FRAC_2_PI) - 1.0).abs() < 1e-6);
        assert!((leaf.directivity(f64::sin) - 1.0).abs() < 1e-6);
    }
}
