//! Sound through slits.

use super::NotPhysical;
use super::air::Air;

/// A straight slit through a wall, long against its width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slit {
    width_m: f64,
    depth_m: f64,
}

impl Slit {
    /// Width (across) and depth (through the wall) in m.
    ///
    /// # Errors
    ///
    /// When width or depth is not finite and above zero.
    pub fn new(width_m: f64, depth_m: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            width_m: NotPhysical::unless_positive("slit width", width_m, "above zero, in m")?,
            depth_m: NotPhysical::unless_positive("slit depth", depth_m, "above zero, in m")?,
        })
    }

    /// Transmission coefficient at `hz` of a slit in the middle of a surface in a diffuse field, referred to the area of the slit; above one near the resonances of its depth.
    ///
    /// Without viscous loss, so too high for slits below about 0.5 mm. Meant for widths below half a wavelength: wider ones are open area.
    /// Source: Gomperts, Acustica 14 (1964); Gomperts & Kihlman, Acustica 18 (1967) 144; Hopkins, Sound Insulation (2007), eq. 4.99.
    #[must_use]
    pub fn transmission(&self, air: &Air, hz: f64) -> f64 {
        let k = air.wavenumber(hz) * self.width_m;
        if k > std::f64::consts::PI {
            return 1.0;
        }
        let length = self.depth_m / self.width_m;
        let end = k * Self::end_correction(k);
        let cos_end = end.cos().powi(2).max(1e-6);
        let radiated = k * k / 2.0 * (1.0 + (k * length).cos() * (k * length + 2.0 * end).cos());
        4.0 * k * cos_end / ((k * length + 2.0 * end).sin().powi(2) / cos_end + radiated)
    }

    /// End correction in widths, (1/π)(ln(8/K) − 0.577 22).
    fn end_correction(k: f64) -> f64 {
        ((8.0 / k).ln() - 0.577_22) / std::f64::consts::PI
    }
}
