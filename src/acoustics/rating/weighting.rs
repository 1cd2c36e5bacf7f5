//! Frequency weightings A and C, and what time weighting F and S make of a short burst.
//!
//! Source: IEC 61672-1:2013, 5.5 and Annex E (weightings), 5.9 and Table 4 (tonebursts).

use std::sync::LazyLock;

use crate::acoustics::{Bands, Spectrum};

/// The poles of both weightings, Hz: f1, f4 of C; f2, f3 added by A. Source: IEC 61672-1:2013 Annex E.
const POLE_HZ: [f64; 4] = [20.598_997, 107.652_65, 737.862_23, 12_194.217];

/// Energy factors at exact midbands: each sum over bands would otherwise take 24 logarithms.
static A_FACTORS: LazyLock<Spectrum> = LazyLock::new(|| Bands::exact().map(a_weighting_db).energy_from_db());
static C_FACTORS: LazyLock<Spectrum> = LazyLock::new(|| Bands::exact().map(c_weighting_db).energy_from_db());

/// A-weighting at `hz` > 0, dB; 0 at 1 kHz.
///
/// ```
/// # use leaklight::acoustics::rating::weighting::a_weighting_db;
/// assert!(a_weighting_db(1000.0).abs() < 1e-9);
/// assert!((a_weighting_db(100.0) - -19.1).abs() < 0.05); // IEC 61672-1:2013 Table 3
/// ```
#[must_use]
pub fn a_weighting_db(hz: f64) -> f64 {
    let gain = |hz: f64| {
        let f2 = hz * hz;
        c_gain(hz) * f2 / ((f2 + POLE_HZ[1].powi(2)) * (f2 + POLE_HZ[2].powi(2))).sqrt()
    };
    20.0 * (gain(hz) / gain(1000.0)).log10()
}

/// C-weighting at `hz` > 0, dB; 0 at 1 kHz.
#[must_use]
pub fn c_weighting_db(hz: f64) -> f64 {
    20.0 * (c_gain(hz) / c_gain(1000.0)).log10()
}

fn c_gain(hz: f64) -> f64 {
    let f2 = hz * hz;
    f2 / ((f2 + POLE_HZ[0].powi(2)) * (f2 + POLE_HZ[3].powi(2)))
}

/// A-weighted level of third-octave levels, dB(A).
#[must_use]
pub fn level_a_db(level_db: &Spectrum) -> f64 {
    10.0 * a_weighted_energy(&level_db.energy_from_db()).log10()
}

/// Sum of third-octave energies, A-weighted, in their own unit.
#[must_use]
pub fn a_weighted_energy(energy: &Spectrum) -> f64 {
    energy.dot(&A_FACTORS)
}

/// Third-octave energies, each A-weighted, in their own unit.
#[must_use]
pub fn a_weighted(energy: &Spectrum) -> Spectrum {
    energy.zip(&A_FACTORS, |energy, factor| energy * factor)
}

/// Third-octave energies, each C-weighted, in their own unit.
#[must_use]
pub fn c_weighted(energy: &Spectrum) -> Spectrum {
    energy.zip(&C_FACTORS, |energy, factor| energy * factor)
}

/// Sum of third-octave energies, C-weighted, in their own unit.
#[must_use]
pub fn c_weighted_energy(energy: &Spectrum) -> f64 {
    energy.dot(&C_FACTORS)
}

/// A-weighted level of any bands given as (nominal midband in Hz, level in dB), dB(A): octaves, part of a spectrum.
///
/// The weighting is taken at the exact base-ten midband next to the nominal one.
#[must_use]
pub fn level_a_of_bands_db(bands: &[(f64, f64)]) -> f64 {
    let energy = |(hz, db): &(f64, f64)| 10f64.powf((db + a_weighting_db(exact_midband_hz(*hz))) / 10.0);
    10.0 * bands.iter().map(energy).sum::<f64>().log10()
}

/// The exact third-octave midband next to a nominal one, Hz. Source: IEC 61260-1:2014, 5.4.
#[must_use]
pub fn exact_midband_hz(nominal_hz: f64) -> f64 {
    1000.0 * 10f64.powf((10.0 * (nominal_hz / 1000.0).log10()).round() / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 61672-1:2013 Table 3 at 25, 31.5 and 40 Hz (from memory but 31.5 Hz); tolerance: half the last printed digit.
    #[test]
    fn the_lowest_bands_match_iec_61672_1_table_3() {
        let bands = Bands::exact();
        for (band, a_db, c_db) in [(0, -44.7, -4.4), (1, -39.4, -3.0), (2, -34.6, -2.0)] {
            assert!((a_weighting_db(bands.hz(band)) - a_db).abs() < 0.05, "A, band {band}");
            assert!((c_weighting_db(bands.hz(band)) - c_db).abs() < 0.05, "C, band {band}");
        }
    }

    /// One band alone reads its own level plus its weighting.
    #[test]
    fn a_single_band_gets_its_own_weighting() {
        let mut level_db = Spectrum::splat(f64::NEG_INFINITY);
        level_db[4] = 80.0;
        let hz = Bands::exact().hz(4);
        assert!((level_a_db(&level_db) - (80.0 + a_weighting_db(hz))).abs() < 1e-9);
        let level_c_db = 10.0 * c_weighted_energy(&level_db.energy_from_db()).log10();
        assert!((level_c_db - (80.0 + c_weighting_db(hz))).abs() < 1e-9);
    }
}
