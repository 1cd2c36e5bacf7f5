//! How well a rectangular panel in a wall radiates: forced waves at an angle, and free bending waves.

use super::Air;

/// Radiation efficiency of a finite panel for a forced wave whose trace belongs to incidence at `cosine` of the angle from the normal.
///
/// `sides`: l1, l2 in m; σ times ρ0c0 is the fluid load of one side. Tends to 1/cos θ for a large panel, stays finite at grazing.
/// Source: Davy, The forced radiation efficiency of finite size flat panels, JASA 126 (2009) 694, with n = 2, w = 1.3, β = 0.124.
#[must_use]
pub fn forced_at(cosine: f64, sides: (f64, f64), wavenumber: f64) -> f64 {
    ForcedRadiation::new(sides, wavenumber).at(cosine)
}

/// [`forced_at`] with what depends on frequency alone worked out once.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ForcedRadiation {
    grazing: f64,
    limit_cosine: f64,
    slope: f64,
    low: f64,
}

impl ForcedRadiation {
    pub(crate) fn new((l1, l2): (f64, f64), wavenumber: f64) -> Self {
        const W: f64 = 1.3;
        const BETA: f64 = 0.124;
        let area = l1 * l2;
        // 2a = 4S/U, the typical length of the panel.
        let a = area / (l1 + l2);
        let ka = wavenumber * a;
        let limit_cosine = (W * (std::f64::consts::PI / (2.0 * ka)).sqrt()).min(1.0);
        let grazing = 1.0 / ((2.0 / 3.0) * (2.0 * ka / std::f64::consts::PI).sqrt() - BETA).max(0.05);
        Self {
            grazing,
            limit_cosine,
            slope: grazing / limit_cosine - 1.0,
            low: std::f64::consts::TAU / (wavenumber * wavenumber * area),
        }
    }

    pub(crate) fn at(&self, cosine: f64) -> f64 {
        let share = if cosine >= self.limit_cosine { cosine } else { self.grazing - self.slope * cosine };
        1.0 / (share * share + self.low * self.low).sqrt()
    }
}

/// Radiation efficiency of free bending waves, at most 2. `critical_hz` may be infinite (no radiation: 0).
///
/// Source: ISO 12354-1:2017 Annex B, after Maidanik and Leppington.
#[must_use]
pub fn free(hz: f64, critical_hz: f64, (l1, l2): (f64, f64), air: &Air) -> f64 {
    if !critical_hz.is_finite() {
        return 0.0;
    }
    let c = air.speed_m_s();
    let pi = std::f64::consts::PI;
    let sigma1 = 1.0 / (1.0 - critical_hz / hz).abs().max(1e-6).sqrt();
    let sigma2 = 4.0 * l1 * l2 * (hz / c).powi(2);
    let sigma3 = (2.0 * pi * hz * (l1 + l2) / (16.0 * c)).sqrt();
    let first_mode = c * c / (4.0 * critical_hz) * (1.0 / (l1 * l1) + 1.0 / (l2 * l2));
    let sigma = if first_mode <= critical_hz / 2.0 {
        if hz >= critical_hz {
            sigma1
        } else {
            let lambda = (hz / critical_hz).sqrt();
            let rest = (1.0 - lambda * lambda).max(1e-6);
            let delta1 =
                (rest * ((1.0 + lambda) / (1.0 - lambda)).ln() + 2.0 * lambda) / (4.0 * pi * pi * rest.powf(1.5));
            let delta2 = if hz < critical_hz / 2.0 {
                8.0 * c * c * (1.0 - 2.0 * lambda * lambda)
                    / (critical_hz.powi(2) * pi.powi(4) * l1 * l2 * lambda * rest.sqrt())
            } else {
                0.0
            };
            let sigma = 2.0 * (l1 + l2) / (l1 * l2) * c / critical_hz * delta1 + delta2;
            if hz < first_mode { sigma.min(sigma2) } else { sigma }
        }
    } else if hz < critical_hz && sigma2 < sigma3 {
        sigma2
    } else if hz > critical_hz && sigma1 < sigma3 {
        sigma1
    } else {
        sigma3
    };
    sigma.min(2.0)
}
