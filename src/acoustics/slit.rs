//! Sound through slits, holes and open areas, and a whole made of parts.

use super::{Air, NotPhysical, Spectrum};

/// The field that falls on an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// A plane wave at normal incidence.
    Plane,
    /// A diffuse field.
    Diffuse,
}

/// Where in the room's surfaces a slit lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Position {
    /// In the middle of a surface.
    Mid,
    /// Along an edge, with another surface at right angles beside it.
    Edge,
}

/// A straight slit through a wall, long against its width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slit {
    width_m: f64,
    depth_m: f64,
    position: Position,
}

impl Slit {
    /// Width (across) and depth (through the wall) in m.
    ///
    /// # Errors
    ///
    /// When width or depth is not finite and above zero.
    pub fn new(width_m: f64, depth_m: f64, position: Position) -> Result<Self, NotPhysical> {
        Ok(Self {
            width_m: NotPhysical::unless_positive("slit width", width_m, "above zero, in m")?,
            depth_m: NotPhysical::unless_positive("slit depth", depth_m, "above zero, in m")?,
            position,
        })
    }

    /// Width, m.
    #[must_use]
    pub fn width_m(&self) -> f64 {
        self.width_m
    }

    /// Transmission coefficient at `hz`, referred to the area of the slit; above one near the resonances of its depth.
    ///
    /// Without viscous loss, so too high for slits below about 0.5 mm. Meant for widths below half a wavelength: wider ones are open area.
    /// Source: Gomperts, Acustica 14 (1964); Gomperts & Kihlman, Acustica 18 (1967) 144; Hopkins, Sound Insulation (2007), eq. 4.99.
    #[must_use]
    pub fn transmission(&self, field: Field, air: &Air, hz: f64) -> f64 {
        let k = air.wavenumber(hz) * self.width_m;
        if k > std::f64::consts::PI {
            return 1.0;
        }
        let length = self.depth_m / self.width_m;
        let end = k * Self::end_correction(k);
        let incidence = match field {
            Field::Plane => 4.0,
            Field::Diffuse => 8.0,
        };
        let position = match self.position {
            Position::Mid => 1.0_f64,
            Position::Edge => 0.5,
        };
        let cos_end = end.cos().powi(2).max(1e-6);
        let radiated = k * k / (2.0 * position.powi(2)) * (1.0 + (k * length).cos() * (k * length + 2.0 * end).cos());
        incidence * k * cos_end
            / (2.0 * position.powi(2) * ((k * length + 2.0 * end).sin().powi(2) / cos_end + radiated))
    }

    /// [`Self::transmission`] for a diffuse field at each band's midband.
    #[must_use]
    pub fn diffuse(&self, air: &Air, bands: &super::Bands) -> Spectrum {
        bands.map(|hz| self.transmission(Field::Diffuse, air, hz))
    }

    /// The `order`th frequency (from 1) at which depth and end corrections hold so many half waves, Hz.
    /// Source: Hopkins, Sound Insulation (2007), eq. 4.101.
    #[must_use]
    pub fn resonance_hz(&self, order: usize, air: &Air) -> f64 {
        let length = self.depth_m / self.width_m;
        let half_waves = order as f64 * air.speed_m_s() / (2.0 * self.width_m);
        let mut hz = half_waves / length;
        // The end correction depends on frequency weakly: the iteration gains a digit a step.
        for _ in 0..30 {
            let k = air.wavenumber(hz) * self.width_m;
            hz = half_waves / (length + 2.0 * Self::end_correction(k).max(0.0));
        }
        hz
    }

    /// End correction in widths, (1/π)(ln(8/K) − 0.577 22).
    fn end_correction(k: f64) -> f64 {
        ((8.0 / k).ln() - 0.577_22) / std::f64::consts::PI
    }
}

/// A circular hole through a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    radius_m: f64,
    depth_m: f64,
}

impl Hole {
    /// Radius and depth in m.
    ///
    /// # Errors
    ///
    /// When one of them is not finite and above zero.
    pub fn new(radius_m: f64, depth_m: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            radius_m: NotPhysical::unless_positive("hole radius", radius_m, "above zero, in m")?,
            depth_m: NotPhysical::unless_positive("hole depth", depth_m, "above zero, in m")?,
        })
    }

    /// Area, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        std::f64::consts::PI * self.radius_m.powi(2)
    }

    /// Transmission coefficient at `hz`, referred to the area of the hole.
    ///
    /// Source: Wilson & Soroka, JASA 37 (1965) 286; Hopkins, Sound Insulation (2007), eq. 4.102.
    #[must_use]
    pub fn transmission(&self, air: &Air, hz: f64) -> f64 {
        let k = air.wavenumber(hz);
        let (resistance, reactance) = piston_impedance(k * self.radius_m);
        let (sin, cos) = (k * self.depth_m).sin_cos();
        let real = cos - reactance * sin;
        let imaginary = (resistance.powi(2) - reactance.powi(2) + 1.0) * sin + 2.0 * reactance * cos;
        4.0 * resistance / (4.0 * resistance.powi(2) * real.powi(2) + imaginary.powi(2))
    }
}

/// Radiation impedance of a baffled circular piston over ρ0c0: 1 − J1(2ka)/ka and H1(2ka)/ka, H1 Struve's function.
///
/// Source: Rayleigh, Theory of Sound, § 302; Abramowitz & Stegun, 9.1.10 and 12.1.4 for the series.
#[must_use]
pub fn piston_impedance(ka: f64) -> (f64, f64) {
    if ka > 9.0 {
        // The series lose their digits; the leading term of the asymptotic form is within 0.01 here.
        return (1.0, std::f64::consts::FRAC_2_PI / ka);
    }
    // J1(x)/(x/2) = Σ (−1)^n (x/2)^2n/(n!(n+1)!), H1(x) = Σ (−1)^n (x/2)^(2n+2)/(Γ(n+3/2)Γ(n+5/2)), x/2 = ka.
    let (mut bessel, mut struve) = (0.0, 0.0);
    let mut bessel_term = 1.0;
    let mut struve_term = ka * ka * 8.0 / (3.0 * std::f64::consts::PI);
    for n in 0..60 {
        bessel += bessel_term;
        struve += struve_term;
        let n = f64::from(n);
        bessel_term *= -ka * ka / ((n + 1.0) * (n + 2.0));
        struve_term *= -ka * ka / ((n + 1.5) * (n + 2.5));
    }
    (1.0 - bessel, struve / ka)
}

/// Transmission coefficient of a whole from (area in m², transmission coefficient) of its parts; zero when there is no area.
///
/// Source: Hopkins, Sound Insulation (2007), eq. 4.92.
#[must_use]
pub fn composite(parts: &[(f64, f64)]) -> f64 {
    let area: f64 = parts.iter().map(|(area, _)| area).sum();
    if area > 0.0 { parts.iter().map(|(area, tau)| area * tau).sum::<f64>() / area } else { 0.0 }
}

/// Transmission coefficient that a small element of normalized level difference Dn,e (dB) adds to an element of `area_m2`:
/// A0/S·10^(−Dn,e/10), A0 the reference area, 10 m². Source: ISO 12354-1:2017, 4.2 (EN 12354-1:2000 the same).
#[must_use]
pub fn small_element(dn_e_db: f64, area_m2: f64, reference_area_m2: f64) -> f64 {
    reference_area_m2 / area_m2 * 10f64.powf(-dn_e_db / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz & Stegun, tables 9.1 and 12.1: J1(2) = 0.576 724 8, H1(2) = 0.646 763 7; so ka = 1 gives 0.423 275 and 0.646 764.
    #[test]
    fn piston_impedance_matches_tables_of_bessel_and_struve() {
        let (resistance, reactance) = piston_impedance(1.0);
        assert!(
            (resistance - 0.423_275).abs() < 1e-5 && (reactance - 0.646_764).abs() < 1e-5,
            "{resistance} {reactance}"
        );
    }
}
