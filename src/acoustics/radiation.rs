//! How well a finite rectangular plate radiates: forced and free bending waves.

use super::NotPhysical;
use super::air::Air;
use std::f64::consts::PI;

/// The sides of a rectangular plate, the longer first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelSides {
    long_m: f64,
    short_m: f64,
}

impl PanelSides {
    /// Two sides in any order, m.
    ///
    /// # Errors
    ///
    /// When a side is not finite and above zero.
    pub fn new(side_m: f64, other_m: f64) -> Result<Self, NotPhysical> {
        let side_m = NotPhysical::unless_positive("side of a plate", side_m, "above zero, in m")?;
        let other_m = NotPhysical::unless_positive("side of a plate", other_m, "above zero, in m")?;
        Ok(Self { long_m: side_m.max(other_m), short_m: side_m.min(other_m) })
    }

    /// S = l1·l2, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.long_m * self.short_m
    }
}

/// No radiation efficiency of Annex B exceeds this.
const SIGMA_MAX: f64 = 2.0;
/// Nor falls below this: at very low k0·l the logarithm of the forced wave would go negative (own guard, no source).
const SIGMA_MIN: f64 = 1e-4;

/// Radiation efficiency σf of forced waves, from the size of the plate alone. At most 2.
///
/// Source: ISO 12354-1:2017 Annex B.
#[must_use]
pub fn sigma_forced(sides: PanelSides, hz: f64, air: &Air) -> f64 {
    let (l1, l2) = (sides.long_m, sides.short_m);
    let k0 = air.wavenumber(hz);
    let lambda = -0.964 - (0.5 + l2 / (PI * l1)) * (l2 / l1).ln() + 5.0 * l2 / (2.0 * PI * l1)
        - 1.0 / (4.0 * PI * l1 * l2 * k0 * k0);
    (0.5 * ((k0 * (l1 * l2).sqrt()).ln() - lambda)).clamp(SIGMA_MIN, SIGMA_MAX)
}

/// The first mode over half the critical frequency: at the first or less a plate counts as one of many modes below fc, at the second or more as one of few.
/// The standard changes formula at 1; its worked example has plates of 0.68 and of 1.004. Between them σ moves evenly over the logarithm.
const MANY_TO_FEW: [f64; 2] = [0.69, 1.0];

/// Radiation efficiency σ of free bending waves, simply supported edges in a baffle. At most 2.
///
/// `critical_hz` belongs to the same air. Source: ISO 12354-1:2017 Annex B (its f11 is that of the plate, from fc and the sides).
#[must_use]
pub fn sigma_free(sides: PanelSides, critical_hz: f64, hz: f64, air: &Air) -> f64 {
    let (l1, l2) = (sides.long_m, sides.short_m);
    let (fc, c0) = (critical_hz, air.speed_m_s());
    let above = || if hz > fc { 1.0 / (1.0 - fc / hz).sqrt() } else { f64::INFINITY };
    let low = 4.0 * l1 * l2 * (hz / c0).powi(2);
    let f11 = c0 * c0 / (4.0 * fc) * (1.0 / (l1 * l1) + 1.0 / (l2 * l2));
    let many_modes = || {
        if hz >= fc {
            above()
        } else {
            let sigma = below_coincidence(sides, fc, hz, c0);
            if hz < f11 { sigma.min(low) } else { sigma }
        }
    };
    let few_modes = || {
        let middle = (2.0 * PI * hz * (l1 + l2) / (16.0 * c0)).sqrt();
        if hz < fc && low < middle {
            low
        } else if hz > fc && above() < middle {
            above()
        } else {
            middle
        }
    };
    let held = |sigma: f64| sigma.clamp(SIGMA_MIN, SIGMA_MAX);
    let few = ((2.0 * f11 / fc / MANY_TO_FEW[0]).ln() / (MANY_TO_FEW[1] / MANY_TO_FEW[0]).ln()).clamp(0.0, 1.0);
    if few <= 0.0 {
        held(many_modes())
    } else if few >= 1.0 {
        held(few_modes())
    } else {
        held(many_modes()).powf(1.0 - few) * held(few_modes()).powf(few)
    }
}

/// Edge and corner radiation below the critical frequency: the δ1 and δ2 of Annex B.
fn below_coincidence(sides: PanelSides, fc: f64, hz: f64, c0: f64) -> f64 {
    let (l1, l2) = (sides.long_m, sides.short_m);
    let lambda = (hz / fc).sqrt();
    let rest = 1.0 - lambda * lambda;
    let edges = (rest * ((1.0 + lambda) / (1.0 - lambda)).ln() + 2.0 * lambda) / (4.0 * PI * PI * rest * rest.sqrt());
    let corners = if hz < fc / 2.0 {
        8.0 * c0 * c0 * (1.0 - 2.0 * lambda * lambda) / (fc * fc * PI.powi(4) * l1 * l2 * lambda * rest.sqrt())
    } else {
        0.0
    };
    2.0 * (l1 + l2) / (l1 * l2) * c0 / fc * edges + corners
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Far above fc a plate radiates like a piston (σ → 1), and no size or frequency leaves (0, 2].
    #[test]
    fn radiation_stays_between_nothing_and_two() {
        let air = Air::default();
        for (long, short) in [(0.3, 0.2), (1.5, 1.25), (5.0, 4.0), (30.0, 2.0)] {
            let sides = PanelSides::new(long, short).unwrap();
            for fc in [40.0, 130.0, 2000.0, 12_000.0] {
                for step in 0..240 {
                    let hz = 20.0 * 10f64.powf(f64::from(step) / 100.0);
                    let (free, forced) = (sigma_free(sides, fc, hz, &air), sigma_forced(sides, hz, &air));
                    assert!(
                        free > 0.0 && free <= 2.0 && forced > 0.0 && forced <= 2.0,
                        "{long} {fc} {hz} {free} {forced}"
                    );
                }
            }
        }
        assert!((sigma_free(PanelSides::new(5.0, 4.0).unwrap(), 50.0, 5000.0, &air) - 1.005).abs() < 1e-3);
    }
}
