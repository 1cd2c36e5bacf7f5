//! How well a rectangular panel in a wall radiates a wave forced on it at an angle.

/// Radiation efficiency of a finite panel for forced waves, by angle, at one frequency.
///
/// σ times ρ0c0 is the fluid load of one side. Tends to 1/cos θ for a large panel, stays finite at grazing incidence.
/// Source: Davy, The forced radiation efficiency of finite size flat panels that are excited by incident sound, JASA 126 (2009)
/// 694, with n = 2, w = 1.3, β = 0.124.
#[derive(Debug, Clone, Copy)]
pub struct ForcedRadiation {
    grazing: f64,
    slope: f64,
    low: f64,
}

impl ForcedRadiation {
    /// For sides l1, l2 in m and the wavenumber in air k0, 1/m; all above zero.
    #[must_use]
    pub fn new((l1, l2): (f64, f64), wavenumber: f64) -> Self {
        const W: f64 = 1.3;
        const BETA: f64 = 0.124;
        let area = l1 * l2;
        // 2a = 4S/U, the typical length of the panel.
        let ka = wavenumber * area / (l1 + l2);
        let limit_cosine = (W * (std::f64::consts::PI / (2.0 * ka)).sqrt()).min(1.0);
        // Small panels at low frequencies: the term in 1/(k0²S) rules, and the other must only stay positive.
        let grazing = ((2.0 / 3.0) * (2.0 * ka / std::f64::consts::PI).sqrt() - BETA).max(0.05).recip();
        // Davy's h is the inverse efficiency at grazing: h = 1/((2/3)√(2ka/π) − β) and σ = 1/(h − (h/p − 1) cos θ).
        Self {
            grazing,
            slope: grazing / limit_cosine - 1.0,
            low: std::f64::consts::TAU / (wavenumber * wavenumber * area),
        }
    }

    /// σ at `cosine` of the angle from the normal, 0 to 1.
    #[must_use]
    #[inline(always)]
    pub fn at(&self, cosine: f64) -> f64 {
        // The line that joins cos θ at the limit lies above it on this side of the limit and below it on the other.
        let joined = self.grazing - self.slope * cosine;
        let share = if joined > cosine { joined } else { cosine };
        1.0 / (share * share + self.low * self.low).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An infinite panel radiates as 1/cos θ (exact); 4 m × 2.5 m at 5 kHz is close to it at 45°.
    #[test]
    fn a_large_panel_radiates_as_an_infinite_one() {
        let sigma = ForcedRadiation::new((4.0, 2.5), 91.5).at(0.5_f64.sqrt());
        assert!((sigma - 2.0_f64.sqrt()).abs() < 0.01, "{sigma}");
    }

    /// A panel small against the wavelength: σ → k0²S/(2π), the baffled piston (Rayleigh); within 2 %.
    #[test]
    fn a_small_panel_radiates_as_a_piston() {
        let sigma = ForcedRadiation::new((0.2, 0.2), 0.5).at(1.0);
        assert!((sigma / (0.25 * 0.04 / std::f64::consts::TAU) - 1.0).abs() < 0.02, "{sigma}");
    }
}
