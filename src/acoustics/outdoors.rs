//! From a façade into the open air and back in: radiated power, spreading, ground, barrier.

use std::f64::consts::{LN_10, PI};

use super::air::Air;
use super::bands::{Bands, Spectrum};

/// Mean squared pressure per radiated power over ρ0·c0, from a radiating rectangle on the ground to a point before its middle:
/// 4/(π·b·h)·arctan(b/2d)·arctan(h/2d), 1/m². All lengths > 0.
///
/// Far away it is that of a point source over reflecting ground before a façade, 1/(π·d²); close up it stays finite.
/// Source: EN 12354-4:2000 Annex E (formula from memory; reproduces Table G.9 within its last digit).
#[must_use]
pub fn rectangle_spreading_per_m2(width_m: f64, height_m: f64, distance_m: f64) -> f64 {
    4.0 / (PI * width_m * height_m) * (width_m / (2.0 * distance_m)).atan() * (height_m / (2.0 * distance_m)).atan()
}

/// Directivity of a façade's radiation, dB: 0 straight ahead, −5 along the façade, −20 behind the building, linear in cos θ between.
///
/// `cos_angle`: cosine of the angle between the outward normal and the direction to the listener, −1 to 1.
/// Source: VDI 2571:1976, 3.3 (0, −5 and −20 dB from memory, unverified; the interpolation is ours).
#[must_use]
pub fn facade_directivity_db(cos_angle: f64) -> f64 {
    let cos_angle = cos_angle.clamp(-1.0, 1.0);
    if cos_angle >= 0.0 { -5.0 * (1.0 - cos_angle) } else { -5.0 + 15.0 * cos_angle }
}

/// One end of the path over the ground: height above it, m, and ground factor (0 hard, 1 porous).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundEnd {
    /// Height above the ground, m.
    pub height_m: f64,
    /// Ground factor G, 0 to 1.
    pub factor: f64,
}

/// Ground attenuation in an octave, dB (negative: the ground reflects). Octaves 63 Hz to 8 kHz; others take the nearest.
///
/// `between`: ground factor of the middle region. Source: ISO 9613-2:1996, 7.3.1 and Table 3.
#[must_use]
pub fn ground_attenuation_db(octave_hz: f64, distance_m: f64, from: GroundEnd, to: GroundEnd, between: f64) -> f64 {
    let reach = 30.0 * (from.height_m + to.height_m);
    let middle_share = if distance_m <= reach { 0.0 } else { 1.0 - reach / distance_m };
    let middle =
        if octave_hz < OCTAVES_END_HZ[0] { -3.0 * middle_share } else { -3.0 * middle_share * (1.0 - between) };
    end_region_db(octave_hz, distance_m, from) + end_region_db(octave_hz, distance_m, to) + middle
}

/// Where the octaves from 63 Hz to 1 kHz end, Hz: octave edges rounded. Source: IEC 61260-1:2014, Annex E.
const OCTAVES_END_HZ: [f64; 5] = [90.0, 180.0, 355.0, 710.0, 1420.0];

/// One end region of Table 3.
fn end_region_db(octave_hz: f64, distance_m: f64, end: GroundEnd) -> f64 {
    let h2 = end.height_m * end.height_m;
    let near = 1.0 - (-distance_m / 50.0).exp();
    let [hz63, hz125, hz250, hz500, hz1000] = OCTAVES_END_HZ;
    let shape = match octave_hz {
        hz if hz < hz63 => return -1.5,
        hz if hz < hz125 => {
            1.5 + 3.0 * (-0.12 * (end.height_m - 5.0).powi(2)).exp() * near
                + 5.7 * (-0.09 * h2).exp() * (1.0 - (-2.8e-6 * distance_m * distance_m).exp())
        }
        hz if hz < hz250 => 1.5 + 8.6 * (-0.09 * h2).exp() * near,
        hz if hz < hz500 => 1.5 + 14.0 * (-0.46 * h2).exp() * near,
        hz if hz < hz1000 => 1.5 + 5.0 * (-0.9 * h2).exp() * near,
        _ => return -1.5 * (1.0 - end.factor),
    };
    -1.5 + end.factor * shape
}

/// What porous ground takes beyond hard ground in an octave, dB, never below zero: [`ground_attenuation_db`] of the end regions, G = 1 less G = 0.
///
/// The middle region's second reflections over hard ground are left out of both, since spreading over the ground counts one alone.
/// Source: ISO 9613-2:1996, 7.3.1 and Table 3.
#[must_use]
pub fn porous_beyond_hard_db(octave_hz: f64, distance_m: f64, from_m: f64, to_m: f64) -> f64 {
    let of = |factor| {
        let end = |height_m| GroundEnd { height_m, factor };
        ground_attenuation_db(octave_hz, distance_m, end(from_m), end(to_m), 1.0)
    };
    (of(1.0) - of(0.0)).max(0.0)
}

/// The same as what is left of the energy, band by band, each taken as its octave.
#[must_use]
pub fn porous_beyond_hard_factors(bands: &Bands, distance_m: f64, from_m: f64, to_m: f64) -> Spectrum {
    // Table 3 has these octaves, and the last for all above.
    let octaves = [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0]
        .map(|hz| (-porous_beyond_hard_db(hz, distance_m, from_m, to_m) * (LN_10 / 10.0)).exp());
    bands.map(|hz| octaves[OCTAVES_END_HZ.iter().filter(|end| hz >= **end).count()])
}

/// What a barrier with one edge and with two takes off the energy at most: 20 and 25 dB. Source: ISO 9613-2:1996, 7.4.
const MOST_OF_ONE: f64 = 100.0;
const MOST_OF_TWO: f64 = 316.227_766_016_837_94;

/// A barrier between two points: lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarrierPath {
    /// From the source to the (first) edge.
    pub source_to_edge_m: f64,
    /// Between two edges of a thick barrier, else zero.
    pub between_edges_m: f64,
    /// From the (last) edge to the receiver.
    pub edge_to_receiver_m: f64,
    /// Straight from source to receiver.
    pub straight_m: f64,
}

/// Barrier attenuation Dz = 10 lg[3 + (C2/λ)·C3·z·Kmet], dB; at most 20 for one edge, 25 for two. C2 = 20: ground reflections included.
///
/// Source: ISO 9613-2:1996, 7.4, Eqs. (14) to (18).
#[must_use]
pub fn barrier_attenuation_db(path: &BarrierPath, hz: f64, air: &Air) -> f64 {
    10.0 * path.reduction(path.weathered_detour_m(), air.speed_m_s() / hz).log10()
}

/// The same as what is left of the energy, band by band.
#[must_use]
pub fn barrier_factors(path: &BarrierPath, bands: &Bands, air: &Air) -> Spectrum {
    let weathered_detour_m = path.weathered_detour_m();
    bands.map(|hz| 1.0 / path.reduction(weathered_detour_m, air.speed_m_s() / hz))
}

impl BarrierPath {
    /// z·Kmet, m: how much longer it is than the straight path, less what the weather bends down. Nothing where it is no longer.
    fn weathered_detour_m(&self) -> f64 {
        let z = self.source_to_edge_m + self.between_edges_m + self.edge_to_receiver_m - self.straight_m;
        if z <= 0.0 {
            return 0.0;
        }
        let bent = (self.source_to_edge_m * self.edge_to_receiver_m * self.straight_m / (2.0 * z)).sqrt();
        z * (-bent / 2000.0).exp()
    }

    /// By what the energy is divided, 3 to 100 or 316.
    fn reduction(&self, weathered_detour_m: f64, wavelength_m: f64) -> f64 {
        let double = self.between_edges_m > 0.0;
        let c3 = if double {
            let ratio = (5.0 * wavelength_m / self.between_edges_m).powi(2);
            (1.0 + ratio) / (1.0 / 3.0 + ratio)
        } else {
            1.0
        };
        (3.0 + 20.0 / wavelength_m * c3 * weathered_detour_m).min(if double { MOST_OF_TWO } else { MOST_OF_ONE })
    }
}

/// Lowest frequency that a surface reflects as a mirror, Hz: 1/λ > 2/(l·cos β)²·d1·d2/(d1 + d2).
///
/// `least_side_m`: the shorter of its width and height; `cos_angle`: cosine of the angle of incidence; `from_m`, `to_m`: from the source to the
/// mirror point, and on to the receiver. Source: ISO 9613-2:1996, 7.5, Eq. (19) (from memory, unverified).
#[must_use]
pub fn least_mirrored_hz(least_side_m: f64, cos_angle: f64, from_m: f64, to_m: f64, speed_m_s: f64) -> f64 {
    speed_m_s * 2.0 / (least_side_m * cos_angle).powi(2) * from_m * to_m / (from_m + to_m)
}

/// What a façade's reflection brings to an ear before it, as a part of what it would from a mirror: 1 from half a metre on, 3 at the wall.
///
/// With the free field itself that is +3 dB and +6 dB where both ways are about as long: ISO 12354-3:2017 takes 3 dB at 2 m, ISO 1996-2:2007,
/// Annex B, 3 dB from 0.5 m to 2 m and 6 dB on the wall (both from memory, unverified). Straight between 0 and 0.5 m: own choice.
#[must_use]
pub fn before_wall_factor(distance_m: f64) -> f64 {
    1.0 + 2.0 * (1.0 - distance_m / 0.5).clamp(0.0, 1.0)
}

/// What enters a room from a sound field before its façade: A·p² = 2·τS·p_free², where p_free is the pressure without the façade.
///
/// The factor is that of sound arriving from many directions: R'tr,s = L1,s − L2 + 10 lg(S/A) − 3 dB with L1,s = L_free + 6 dB.
/// Source: ISO 16283-3:2016, 3.16; EN 12354-3:2000, 3.1.
pub const INWARD_FACTOR: f64 = 2.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// Every band has the loss of its octave, within roundoff.
    #[test]
    fn soft_ground_takes_the_same_from_a_whole_octave() {
        let bands = Bands::exact();
        let soft = porous_beyond_hard_factors(&bands, 80.0, 1.5, 2.5);
        for band in 0..crate::acoustics::BAND_COUNT {
            let one_db = porous_beyond_hard_db(bands.hz(band), 80.0, 1.5, 2.5);
            assert!((10.0 * soft[band].log10() + one_db).abs() < 1e-9, "band {band}");
        }
    }

    /// Far away the rectangle is a point over the ground before a façade, 1/(π·d²): exact in the limit.
    #[test]
    fn a_far_rectangle_is_a_point() {
        let far = rectangle_spreading_per_m2(2.0, 1.5, 500.0) * PI * 500.0 * 500.0;
        assert!((far - 1.0).abs() < 1e-4, "{far}");
    }

    /// ISO 1996-2: with the free field +6 dB on the wall and +3 dB from half a metre on.
    #[test]
    fn before_a_wall_it_is_three_to_six_decibels_louder() {
        for (m, db) in [(0.0, 6.02), (0.5, 3.01), (2.0, 3.01)] {
            let got = 10.0 * (1.0 + before_wall_factor(m)).log10();
            assert!((got - db).abs() < 0.01, "{m} m: {got}");
        }
    }

    /// VDI 2571: 0, −5 and −20 dB at 0°, 90° and 180°.
    #[test]
    fn facade_radiates_ahead_most_and_behind_least() {
        for (cos, db) in [(1.0, 0.0), (0.0, -5.0), (-1.0, -20.0)] {
            assert!((facade_directivity_db(cos) - db).abs() < 1e-12);
        }
    }
}
