//! Wave theory of a rigid line junction of plates that bend only: an independent second opinion on Kij.

use super::plate::Plate;
use super::{Air, NotPhysical};
use num_complex::Complex64;
use std::f64::consts::FRAC_PI_2;

/// Reference frequency of Kij, Hz. Source: Hopkins, Sound Insulation (2007), Eq. 5.116.
const REFERENCE_HZ: f64 = 1000.0;
/// Steps of the angle integral; the midpoint rule is then right to about 1e-6.
const STEPS: usize = 4000;

/// Plates that meet rigidly along one pinned line (L, T, X or more), all perpendicular or in line; the angles between them do not matter
/// as long as only bending waves are considered.
#[derive(Debug, Clone, PartialEq)]
pub struct PinnedJunction {
    /// Bending wavenumber at 1 rad/s, 1/m, and bending stiffness, N·m, of each plate.
    plates: Vec<(f64, f64)>,
}

impl PinnedJunction {
    /// From two plates or more.
    ///
    /// # Errors
    ///
    /// When there are fewer than two.
    pub fn new(plates: &[Plate]) -> Result<Self, NotPhysical> {
        if plates.len() < 2 {
            return Err(NotPhysical {
                what: "number of plates at a junction",
                value: plates.len() as f64,
                must: "at least 2",
            });
        }
        let wave = |p: &Plate| ((p.mass_kg_m2() / p.bending_stiffness_nm()).powf(0.25), p.bending_stiffness_nm());
        Ok(Self { plates: plates.iter().map(wave).collect() })
    }

    /// Share of the power of a bending wave on plate `from`, `angle` (radians) off the normal, that leaves on plate `to`.
    /// Independent of frequency. Zero for plates that do not exist.
    ///
    /// The line does not move; all plates turn by the same angle and their moments add up to nothing.
    /// Source: Hopkins, Sound Insulation (2007), Eqs. 5.6, 5.10–5.14 (bending waves only).
    #[must_use]
    pub fn transmission_at(&self, from: usize, to: usize, angle: f64) -> f64 {
        let (Some(&(k_from, b_from)), Some(&(k_to, b_to))) = (self.plates.get(from), self.plates.get(to)) else {
            return 0.0;
        };
        let trace = k_from * angle.sin();
        let i = Complex64::i();
        // Outgoing wave exp(−i·kx·x), or decaying where the trace is too short for the plate; and the near field exp(−kn·x).
        let normal = |k: f64| {
            let square = k * k - trace * trace;
            if square >= 0.0 { Complex64::from(square.sqrt()) } else { -i * (-square).sqrt() }
        };
        let near = |k: f64| (k * k + trace * trace).sqrt();
        let turn = |k: f64| near(k) - i * normal(k);
        let moment = |(k, b): (f64, f64)| Complex64::from(2.0 * b * k * k) / turn(k);
        let others: Complex64 =
            self.plates.iter().enumerate().filter(|(at, _)| *at != from).map(|(_, plate)| moment(*plate)).sum();
        let own = 2.0 * b_from * k_from * k_from;
        let (incoming, outgoing) = (near(k_from) + i * normal(k_from), turn(k_from));
        let reflected = -(own + others * incoming) / (own + others * outgoing);
        let rotation = incoming + reflected * outgoing;
        if from == to {
            return reflected.norm_sqr();
        }
        let amplitude = rotation / turn(k_to);
        b_to * k_to * k_to * normal(k_to).re * amplitude.norm_sqr() / (own / 2.0 * normal(k_from).re)
    }

    /// Transmission coefficient averaged over a diffuse field of bending waves, ∫τ·cosθ dθ from 0 to 90°.
    #[must_use]
    pub fn transmission(&self, from: usize, to: usize) -> f64 {
        let step = FRAC_PI_2 / STEPS as f64;
        let at = |n: usize| (n as f64 + 0.5) * step;
        (0..STEPS).map(|n| self.transmission_at(from, to, at(n)) * at(n).cos() * step).sum()
    }

    /// Kij = −10 lg τ + 5 lg(fc,j/1000 Hz), dB; `critical_hz` is that of plate `to`. Equal in both directions.
    /// Source: Hopkins, Sound Insulation (2007), Eq. 5.116.
    #[must_use]
    pub fn kij_db(&self, from: usize, to: usize, critical_hz: f64) -> f64 {
        -10.0 * self.transmission(from, to).log10() + 5.0 * (critical_hz / REFERENCE_HZ).log10()
    }

    /// As [`Self::kij_db`], the critical frequency taken from plate `to` itself.
    #[must_use]
    pub fn kij_of_plates_db(plates: &[Plate], from: usize, to: usize, air: &Air) -> Option<f64> {
        let critical_hz = plates.get(to)?.critical_hz(air);
        plates.get(from)?;
        Some(Self::new(plates).ok()?.kij_db(from, to, critical_hz))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No power is lost: what comes back and what goes on add up to what came, at every angle (exact law).
    #[test]
    fn power_is_conserved_at_every_angle() {
        let plates: Vec<Plate> = [(0.1, 2200.0, 3800.0), (0.215, 2000.0, 3200.0), (0.05, 600.0, 1900.0)]
            .into_iter()
            .map(|(h, rho, cl)| Plate::new(h, rho, cl, 0.01).unwrap())
            .collect();
        let junction = PinnedJunction::new(&plates).unwrap();
        for from in 0..3 {
            for angle in [0.0, 0.2, 0.7, 1.1, 1.5] {
                let sum: f64 = (0..3).map(|to| junction.transmission_at(from, to, angle)).sum();
                assert!((sum - 1.0).abs() < 1e-9, "{from} {angle} {sum}");
            }
        }
        assert!(PinnedJunction::new(&plates[..1]).is_err());
    }

    /// n identical plates: τ = 2cos²θ/n², the closed form on which the rule for more than four arms rests.
    #[test]
    fn identical_plates_share_by_the_square_of_their_number() {
        let plate = Plate::new(0.2, 2300.0, 3800.0, 0.01).unwrap();
        for n in 2..=6 {
            let junction = PinnedJunction::new(&vec![plate; n]).unwrap();
            let tau = junction.transmission_at(0, 1, 0.5);
            assert!((tau - 2.0 * 0.5f64.cos().powi(2) / (n * n) as f64).abs() < 1e-12);
        }
    }
}
