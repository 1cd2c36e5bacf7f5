//! Sound transmission class STC (and the classes FSTC, NIC, ASTC formed in the same way).
//!
//! Source: ASTM E413-22, clause 5.

use super::shifted_curve::{Limits, highest, in_steps};
use crate::acoustics::Spectrum;
use crate::acoustics::bands::INDEX_100_HZ;

/// Contour 125 Hz to 4 kHz relative to its value at 500 Hz, dB. Source: ASTM E413-22 Table 1.
const CONTOUR_DB: [i64; 16] = [-16, -13, -10, -7, -4, -1, 0, 1, 2, 3, 4, 4, 4, 4, 4, 4];
/// Whole numbers of 0.001 dB.
const PER_DB: i64 = 1000;
/// 32 dB in all, 8 dB in one band. Source: ASTM E413-22, 5.2.
const LIMITS: Limits = Limits { sum: 32 * PER_DB, single: 8 * PER_DB };
/// Position of the 125 Hz band, where the class begins.
const INDEX_125_HZ: usize = INDEX_100_HZ + 1;

/// A class with its working.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TransmissionClass {
    /// STC: the contour at 500 Hz, dB.
    pub stc: i32,
    /// Sum of the deficiencies, dB: at most 32.
    pub deficiency_sum_db: f64,
    /// The largest deficiency, dB: at most 8.
    pub largest_deficiency_db: f64,
    /// Deficiency for each third from 125 Hz to 4 kHz, dB.
    pub deficiency_db: [f64; 16],
}

impl TransmissionClass {
    /// Classes 16 thirds from 125 Hz to 4 kHz, dB, rounded to whole decibels first (halves up), as the standard asks.
    #[must_use]
    pub fn of_125_4000(tl_db: &[f64; 16]) -> Self {
        Self::of_125_4000_unrounded(&tl_db.map(|db| in_steps(db, 1.0) as f64))
    }

    /// The same from the values as they are (to 0.001 dB), dB: to look into the deficiencies of a computed spectrum.
    #[must_use]
    pub fn of_125_4000_unrounded(tl_db: &[f64; 16]) -> Self {
        let contour = CONTOUR_DB.map(|db| db * PER_DB);
        let fit = highest(&tl_db.map(|db| in_steps(db, PER_DB as f64)), &contour, PER_DB, LIMITS);
        let db = |thousandths: i64| thousandths as f64 / PER_DB as f64;
        Self {
            stc: (fit.shift / PER_DB) as i32,
            deficiency_sum_db: db(fit.sum()),
            largest_deficiency_db: db(fit.unfavourable.into_iter().max().unwrap_or(0)),
            deficiency_db: fit.unfavourable.map(db),
        }
    }

    /// Classes a sound reduction index over all 24 bands, dB. NaN counts as −1000 dB.
    #[must_use]
    pub fn of_spectrum(r_db: &Spectrum) -> Self {
        Self::of_125_4000(&std::array::from_fn(|band| r_db[INDEX_125_HZ + band]))
    }

    /// Classes 21 thirds from 50 Hz to 5000 Hz, dB. `None` for any other number of bands: 100 Hz to 3150 Hz lacks 4 kHz.
    #[must_use]
    pub fn of_values(r_db: &[f64]) -> Option<Self> {
        let thirds: &[f64; 21] = r_db.try_into().ok()?;
        Some(Self::of_125_4000(&std::array::from_fn(|band| thirds[4 + band])))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ASTM E413: the contour itself may be exceeded by 2 dB in each of 16 bands (32 dB).
    #[test]
    fn the_contour_of_class_40_is_class_42() {
        let tl_db = CONTOUR_DB.map(|db| db as f64 + 40.0);
        assert_eq!(TransmissionClass::of_125_4000(&tl_db).stc, 42);
    }

    /// ASTM E413, 5.2: no deficiency above 8 dB, so one band 10 dB under the contour of class 40 leaves class 38.
    #[test]
    fn a_single_dip_is_held_to_eight_decibels() {
        let mut tl_db = CONTOUR_DB.map(|db| db as f64 + 40.0);
        tl_db[5] -= 10.0;
        let class = TransmissionClass::of_125_4000(&tl_db);
        assert_eq!((class.stc, class.largest_deficiency_db), (38, 8.0));
    }

    #[test]
    fn sixteen_values_from_100_hz_have_no_class() {
        assert_eq!(TransmissionClass::of_values(&[50.0; 16]), None);
        assert_eq!(
            TransmissionClass::of_values(&[50.0; 21]),
            Some(TransmissionClass::of_spectrum(&Spectrum::splat(50.0)))
        );
    }
}
