//! Sound through slits.

use super::NotPhysical;
use super::air::Air;
use super::bands::{Bands, Spectrum};

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
    pub fn diffuse(&self, air: &Air, bands: &Bands) -> Spectrum {
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
