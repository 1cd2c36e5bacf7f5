//! A room as a diffuse field: absorption area, reverberation time, levels, and the frequency below which it is no such thing.

use std::f64::consts::{LN_10, PI};

use super::NotPhysical;
use super::air::Air;
use super::air_absorption::{air_absorption_area_m2, air_power_attenuation_per_m};
use super::bands::{Bands, Spectrum};

/// Mean absorption coefficient from which Sabine's area gives way to Eyring's.
///
/// Common practice, no source; the step there is 10 lg(−ln 0.8/0.2) = 0.5 dB, in the right direction.
const EYRING_FROM: f64 = 0.2;
/// Highest mean coefficient Eyring's logarithm is given: a room of open windows alone would otherwise have no field at all.
const HIGHEST_MEAN: f64 = 0.99;
/// Nearest distance to a source that the direct level is computed for, m: a point source has no size to be inside of.
const NEAREST_M: f64 = 0.01;

/// A diffuse room: volume, and for each band absorption area and reverberation time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoomField {
    volume_m3: f64,
    absorption_m2: Spectrum,
    t_s: Spectrum,
}

/// What stands in a room beside its surfaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Furnishing {
    /// Absorption area of people, chairs, hard objects, m².
    pub area_m2: Spectrum,
    /// Volume the objects take from the room, m³.
    pub volume_m3: f64,
}

impl Furnishing {
    /// An empty room.
    pub const NONE: Self = Self { area_m2: Spectrum::ZERO, volume_m3: 0.0 };
}

impl RoomField {
    /// From finishes (area in m², absorption coefficient), furnishing and the air.
    ///
    /// A = Σ S·α by Sabine, −S ln(1 − ᾱ) by Eyring where the mean coefficient ᾱ exceeds 0.2, plus furnishing and air 4mV.
    /// V is the volume less that of the objects. Coefficients are used as they are: chamber values above 1 count in full.
    /// Source: EN 12354-6:2003, 4.3 to 4.5; Kuttruff, Room Acoustics, ch. 5 (Eyring).
    ///
    /// # Errors
    ///
    /// When the volume is not above zero, an area or coefficient is negative or not finite, the objects fill the room, or
    /// nothing absorbs at all.
    pub fn from_finishes(
        volume_m3: f64,
        finishes: &[(f64, Spectrum)],
        furnishing: &Furnishing,
        air: &Air,
        bands: &Bands,
    ) -> Result<Self, NotPhysical> {
        NotPhysical::unless_positive("room volume", volume_m3, "above zero, in m³")?;
        for (area, alpha) in finishes {
            unless_negative("finish area", *area, "zero or more, in m²")?;
            for alpha in alpha.iter() {
                unless_negative("absorption coefficient", *alpha, "zero or more")?;
            }
        }
        for area in furnishing.area_m2.iter() {
            unless_negative("absorption area of the furnishing", *area, "zero or more, in m²")?;
        }
        unless_negative("volume of the furnishing", furnishing.volume_m3, "zero or more, in m³")?;
        let free_m3 = NotPhysical::unless_positive(
            "volume left beside the furnishing",
            volume_m3 - furnishing.volume_m3,
            "above zero, in m³",
        )?;
        let surface_m2: f64 = finishes.iter().map(|(area, _)| area).sum();
        let m = air_power_attenuation_per_m(air, bands);
        let absorption_m2 = Spectrum::from_fn(|band| {
            let sabine: f64 = finishes.iter().map(|(area, alpha)| area * alpha[band]).sum();
            surface_absorption_m2(surface_m2, sabine)
                + furnishing.area_m2[band]
                + air_absorption_area_m2(free_m3, m[band])
        });
        for area in absorption_m2.iter() {
            NotPhysical::unless_positive("absorption area of the room", *area, "above zero, in m²")?;
        }
        let t_s = absorption_m2.map(|area| reverberation_time_s(free_m3, area, air.speed_m_s()));
        Ok(Self { volume_m3, absorption_m2, t_s })
    }

    /// From a measured reverberation time, s: the absorption area then holds furnishing and air already.
    ///
    /// # Errors
    ///
    /// When the volume or one of the times is not finite and above zero.
    pub fn from_measured(volume_m3: f64, t_s: &Spectrum, air: &Air) -> Result<Self, NotPhysical> {
        NotPhysical::unless_positive("room volume", volume_m3, "above zero, in m³")?;
        for time in t_s.iter() {
            NotPhysical::unless_positive("reverberation time", *time, "above zero, in s")?;
        }
        // The relation between A and T is its own inverse.
        let absorption_m2 = t_s.map(|time| reverberation_time_s(volume_m3, time, air.speed_m_s()));
        Ok(Self { volume_m3, absorption_m2, t_s: *t_s })
    }

    /// Volume, m³.
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        self.volume_m3
    }

    /// Equivalent absorption area A, m².
    #[must_use]
    pub fn absorption_m2(&self) -> &Spectrum {
        &self.absorption_m2
    }

    /// Reverberation time T, s.
    #[must_use]
    pub fn t_s(&self) -> &Spectrum {
        &self.t_s
    }
}

fn unless_negative(what: &'static str, value: f64, must: &'static str) -> Result<(), NotPhysical> {
    if value.is_finite() && value >= 0.0 { Ok(()) } else { Err(NotPhysical { what, value, must }) }
}

/// Absorption area of the boundaries, m²: `sabine_m2` = Σ S·α up to a mean of 0.2, Eyring's above.
#[must_use]
pub fn surface_absorption_m2(surface_m2: f64, sabine_m2: f64) -> f64 {
    if sabine_m2 > EYRING_FROM * surface_m2 {
        eyring_absorption_m2(surface_m2, sabine_m2 / surface_m2)
    } else {
        sabine_m2
    }
}

/// Eyring's absorption area −S ln(1 − ᾱ), m². ᾱ is held at 0.99. Source: Kuttruff, Room Acoustics, ch. 5.
#[must_use]
pub fn eyring_absorption_m2(surface_m2: f64, mean_alpha: f64) -> f64 {
    -surface_m2 * (1.0 - mean_alpha.min(HIGHEST_MEAN)).ln()
}

/// T = 24 ln 10·V/(c·A), s; the same formula turns T into A. All three > 0. Source: EN 12354-6:2003, 4.5 (55.3/c0).
#[must_use]
pub fn reverberation_time_s(volume_m3: f64, absorption_m2: f64, speed_m_s: f64) -> f64 {
    24.0 * LN_10 * volume_m3 / (speed_m_s * absorption_m2)
}

/// 2000 √(T/V), Hz: below it single modes stand out. Source: Kuttruff, Room Acoustics, eq. 3.44.
#[must_use]
pub fn schroeder_frequency_hz(t_s: f64, volume_m3: f64) -> f64 {
    2000.0 * (t_s / volume_m3).sqrt()
}

/// 10 lg(ρ0c0/400 Pa·s/m), dB: what Lp = LW − 10 lg S leaves out.
#[must_use]
pub fn impedance_term_db(air: &Air) -> f64 {
    10.0 * (air.impedance_pa_s_m() / 400.0).log10()
}

/// Level of the direct sound alone, dB, for ρ0c0 = 400 Pa·s/m: LW + 10 lg(Q/(4πr²)).
///
/// `directivity` Q is 1 in free space, 2 on a floor, 4 at an edge, 8 in a corner. Distances below 0.01 m count as 0.01 m.
#[must_use]
pub fn direct_level_db(lw_db: f64, directivity: f64, distance_m: f64) -> f64 {
    lw_db + 10.0 * direct_term(directivity, distance_m).log10()
}

fn direct_term(directivity: f64, distance_m: f64) -> f64 {
    directivity / (4.0 * PI * distance_m.max(NEAREST_M).powi(2))
}

/// A standing wave of a hard-walled box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoxMode {
    /// Half waves along the three sides.
    pub order: [u32; 3],
    /// Natural frequency, Hz.
    pub hz: f64,
}

/// The modes of a hard-walled box (sides in m, all > 0) up to `up_to_hz`, by frequency; the constant mode 0-0-0 is left out.
///
/// f = c/2·√((nx/Lx)² + (ny/Ly)² + (nz/Lz)²). Source: Kuttruff, Room Acoustics, eq. 3.15.
#[must_use]
pub fn box_modes(sides_m: [f64; 3], speed_m_s: f64, up_to_hz: f64) -> Vec<BoxMode> {
    let most = sides_m.map(|side| (2.0 * up_to_hz * side / speed_m_s).floor().max(0.0) as u32);
    let mut modes = Vec::new();
    for x in 0..=most[0] {
        for y in 0..=most[1] {
            for z in 0..=most[2] {
                let order = [x, y, z];
                let sum: f64 = order.iter().zip(sides_m).map(|(n, side)| (f64::from(*n) / side).powi(2)).sum();
                let hz = speed_m_s / 2.0 * sum.sqrt();
                if order != [0; 3] && hz <= up_to_hz {
                    modes.push(BoxMode { order, hz });
                }
            }
        }
    }
    // Equal frequencies differ by rounding only; rounded to 1 µHz their order decides, the same on every machine.
    modes.sort_by_cached_key(|mode| ((mode.hz * 1e6).round() as u64, mode.order));
    modes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(alpha: f64) -> RoomField {
        let finishes = [(158.0, Spectrum::splat(alpha))];
        RoomField::from_finishes(120.0, &finishes, &Furnishing::NONE, &Air::default(), &Bands::exact()).unwrap()
    }

    #[test]
    fn more_absorption_always_means_a_shorter_and_quieter_room() {
        let mut last = (f64::INFINITY, f64::INFINITY);
        for hundredths in 1..=100 {
            let room = room(f64::from(hundredths) / 100.0);
            let now = (room.t_s()[10], room.absorption_m2()[10].recip());
            // Equal is allowed at the top only, where the mean is held.
            assert!(now.0 < last.0 && now.1 < last.1 || hundredths == 100, "{hundredths}");
            last = now;
        }
    }

    /// Sabine below a mean of 0.2, Eyring above. At 25 Hz the air's share is under 0.001.
    #[test]
    fn an_absorbent_room_follows_eyring_and_a_live_one_sabine() {
        let relative = |alpha: f64, area: f64| room(alpha).absorption_m2()[0] / area - 1.0;
        assert!(relative(0.1, 15.8).abs() < 1e-3);
        assert!(relative(0.5, 158.0 * std::f64::consts::LN_2).abs() < 1e-3);
    }

    #[test]
    fn a_measured_time_gives_the_area_it_came_from() {
        let computed = room(0.1);
        let measured = RoomField::from_measured(120.0, computed.t_s(), &Air::default()).unwrap();
        for band in 0..crate::acoustics::BAND_COUNT {
            assert!((measured.absorption_m2()[band] / computed.absorption_m2()[band] - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn rooms_that_cannot_be_are_refused() {
        let refuse = |volume: f64, area: f64, objects: f64| {
            let furnishing = Furnishing { volume_m3: objects, ..Furnishing::NONE };
            let finishes = [(area, Spectrum::splat(0.1))];
            RoomField::from_finishes(volume, &finishes, &furnishing, &Air::default(), &Bands::exact()).is_err()
        };
        assert!(refuse(0.0, 10.0, 0.0) && refuse(30.0, -1.0, 0.0) && refuse(30.0, f64::NAN, 0.0));
        assert!(refuse(30.0, 10.0, 31.0) && !refuse(30.0, 10.0, 1.0));
        assert!(RoomField::from_measured(30.0, &Spectrum::ZERO, &Air::default()).is_err());
    }
}
