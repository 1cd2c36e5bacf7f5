//! Impact sound as one number: Ln,w, CI, CI,50-2500 and ΔLw; the same for L'n,w and L'nT,w.
//!
//! Source: ISO 717-2:2020. Values enter to one decimal place (rounded here, half up), as its clause 4.3.1 asks.

use super::iso717_1::{refuse_non_finite, whole, wrong_count};
use super::shifted_curve::{Limits, highest, in_steps};
use crate::acoustics::bands::{INDEX_50_HZ, INDEX_100_HZ};
use crate::acoustics::{NotPhysical, Spectrum};

/// Reference curve 100 Hz to 3150 Hz, 0.1 dB. Source: ISO 717-2:2020 Table 3.
const REFERENCE: [i64; 16] = [620, 620, 620, 620, 620, 620, 610, 600, 590, 580, 570, 540, 510, 480, 450, 420];
/// Position of 500 Hz in [`REFERENCE`].
const AT_500_HZ: usize = 7;
/// 32.0 dB. Source: ISO 717-2:2020, 4.3.1.
const LIMITS: Limits = Limits { sum: 320, single: i64::MAX };
/// CI is formed over 100 Hz to 2500 Hz, one band fewer than Ln,w. Source: ISO 717-2:2020, A.2.1.
const CI_BANDS: usize = 15;

/// Ln,r,0 of the heavy reference floor, 100 Hz to 3150 Hz, dB. Source: ISO 717-2:2020 Table 4.
pub const REFERENCE_FLOOR_DB: [f64; 16] =
    [67.0, 67.5, 68.0, 68.5, 69.0, 69.5, 70.0, 70.5, 71.0, 71.5, 72.0, 72.0, 72.0, 72.0, 72.0, 72.0];
/// Ln,r,0,w of that floor, dB. Source: ISO 717-2:2020, 5.2.
const REFERENCE_FLOOR_RATED_DB: i32 = 78;
/// CI,r,0 of that floor, dB. Source: ISO 717-2:2020, A.2.2.
const REFERENCE_FLOOR_CI_DB: i32 = -11;

/// A rating with its working. The field is called Ln,w; from field values it is L'n,w or L'nT,w. Lower is better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Impact {
    /// Weighted normalised impact sound pressure level, dB.
    pub lnw_db: i32,
    /// The same with the curve shifted in steps of 0.1 dB, dB.
    pub lnw_one_decimal_db: f64,
    /// Adaptation term over 100 Hz to 2500 Hz, dB.
    pub ci_db: i32,
    /// The same unrounded and against the one-decimal rating, dB.
    pub ci_one_decimal_db: f64,
    /// CI,50-2500, dB, when the values begin at 50 Hz: the term that follows footfall on light floors.
    pub ci_50_2500_db: Option<i32>,
    /// By how much the reference curve (60 dB at 500 Hz) was raised, dB.
    pub shift_db: i32,
    /// Sum of the unfavourable deviations, dB: at most 32.0.
    pub unfavourable_sum_db: f64,
    /// Unfavourable deviation for each third from 100 Hz to 3150 Hz, dB.
    pub unfavourable_db: [f64; 16],
}

impl Impact {
    /// Rates an impact sound pressure level over all 24 bands, dB; 25 Hz to 40 Hz and 4 kHz up take no part.
    ///
    /// Every value is meant to be finite: NaN counts as +1000 dB.
    #[must_use]
    pub fn of_spectrum(ln_db: &Spectrum) -> Self {
        Self::of_50_5000(&std::array::from_fn(|band| ln_db[INDEX_50_HZ + band]))
    }

    /// Rates 21 thirds from 50 Hz to 5000 Hz, dB.
    #[must_use]
    pub fn of_50_5000(ln_db: &[f64; 21]) -> Self {
        let offset = INDEX_100_HZ - INDEX_50_HZ;
        let mut rating = Self::of_100_3150(&std::array::from_fn(|band| ln_db[offset + band]));
        let negative = ln_db.map(|db| in_steps(-db, 10.0));
        rating.ci_50_2500_db = Some(whole(energy_sum_db(&negative[..offset + CI_BANDS])) - 15 - rating.lnw_db);
        rating
    }

    /// Rates 16 thirds from 100 Hz to 3150 Hz, dB.
    ///
    /// ```
    /// # use leaklight::acoustics::rating::iso717_2::{Impact, REFERENCE_FLOOR_DB};
    /// let rating = Impact::of_100_3150(&REFERENCE_FLOOR_DB); // ISO 717-2:2020 prints 78 (−11)
    /// assert_eq!((rating.lnw_db, rating.ci_db), (78, -11));
    /// ```
    #[must_use]
    pub fn of_100_3150(ln_db: &[f64; 16]) -> Self {
        // Turned upside down an impact curve is an airborne one: too loud becomes too little insulation.
        let negative = ln_db.map(|db| in_steps(-db, 10.0));
        let reference = REFERENCE.map(|tenths| -tenths);
        let fit = highest(&negative, &reference, 10, LIMITS);
        let fine = highest(&negative, &reference, 1, LIMITS);
        let lnw_db = ((REFERENCE[AT_500_HZ] - fit.shift) / 10) as i32;
        let lnw_one_decimal_db = (REFERENCE[AT_500_HZ] - fine.shift) as f64 / 10.0;
        let sum_db = energy_sum_db(&negative[..CI_BANDS]);
        Self {
            lnw_db,
            lnw_one_decimal_db,
            ci_db: whole(sum_db) - 15 - lnw_db,
            ci_one_decimal_db: sum_db - 15.0 - lnw_one_decimal_db,
            ci_50_2500_db: None,
            shift_db: (-fit.shift / 10) as i32,
            unfavourable_sum_db: fit.sum() as f64 / 10.0,
            unfavourable_db: fit.unfavourable.map(|tenths| tenths as f64 / 10.0),
        }
    }

    /// Rates values typed by a user: 16 thirds from 100 Hz or 21 thirds from 50 Hz, dB.
    ///
    /// # Errors
    ///
    /// When there are neither 16 nor 21 of them, or one is not finite.
    pub fn of_values(ln_db: &[f64]) -> Result<Self, NotPhysical> {
        refuse_non_finite(ln_db)?;
        if let Ok(thirds) = <&[f64; 16]>::try_from(ln_db) {
            return Ok(Self::of_100_3150(thirds));
        }
        if let Ok(thirds) = <&[f64; 21]>::try_from(ln_db) {
            return Ok(Self::of_50_5000(thirds));
        }
        Err(wrong_count(ln_db.len()))
    }
}

/// What a floor covering is worth on the heavy reference floor. Source: ISO 717-2:2020 clause 5 and A.2.2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Covering {
    /// ΔLw, dB: 78 − Ln,r,w.
    pub delta_lw_db: i32,
    /// CI,Δ, dB: −11 − CI,r.
    pub ci_delta_db: i32,
    /// The reference floor with the covering on it.
    pub covered: Impact,
}

impl Covering {
    /// From the reduction ΔL of 16 thirds, 100 Hz to 3150 Hz, dB.
    #[must_use]
    pub fn of_100_3150(delta_l_db: &[f64; 16]) -> Self {
        let covered = Impact::of_100_3150(&std::array::from_fn(|band| REFERENCE_FLOOR_DB[band] - delta_l_db[band]));
        Self {
            delta_lw_db: REFERENCE_FLOOR_RATED_DB - covered.lnw_db,
            ci_delta_db: REFERENCE_FLOOR_CI_DB - covered.ci_db,
            covered,
        }
    }
}

/// 10 lg Σ 10^(L/10), dB, of levels stored as −L in 0.1 dB.
fn energy_sum_db(negative_tenths: &[i64]) -> f64 {
    10.0 * negative_tenths.iter().map(|tenths| 10f64.powf(-*tenths as f64 / 100.0)).sum::<f64>().log10()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_louder_floor_rates_higher_by_as_much() {
        let (quiet, loud) = (Impact::of_spectrum(&Spectrum::splat(50.0)), Impact::of_spectrum(&Spectrum::splat(56.0)));
        assert_eq!(loud.lnw_db - quiet.lnw_db, 6);
        assert_eq!(loud.ci_50_2500_db, quiet.ci_50_2500_db);
    }

    #[test]
    fn no_covering_is_worth_nothing() {
        let none = Covering::of_100_3150(&[0.0; 16]);
        assert_eq!((none.delta_lw_db, none.ci_delta_db), (0, 0));
    }
}
