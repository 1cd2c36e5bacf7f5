//! Airborne sound insulation as one number: Rw, C, Ctr and their enlarged ranges; the same for R'w, Dn,w, DnT,w, Dn,e,w.
//!
//! Source: ISO 717-1:2020. Values enter to one decimal place (rounded here, half up), as its clause 4.4 asks.

use super::shifted_curve::{Fit, Limits, highest, in_steps};
use crate::acoustics::bands::{INDEX_50_HZ, INDEX_100_HZ};
use crate::acoustics::{NotPhysical, Spectrum};

/// Reference curve 100 Hz to 3150 Hz, 0.1 dB. Source: ISO 717-1:2020 Table 3.
const REFERENCE: [i64; 16] = [330, 360, 390, 420, 450, 480, 510, 520, 530, 540, 550, 560, 560, 560, 560, 560];
/// Position of 500 Hz in [`REFERENCE`].
const AT_500_HZ: usize = 7;
/// Reference curve in octaves, 125 Hz to 2 kHz, 0.1 dB. Source: ISO 717-1:2020 Table 3.
const OCTAVE_REFERENCE: [i64; 5] = [360, 450, 520, 550, 560];
/// Position of 500 Hz in [`OCTAVE_REFERENCE`].
const OCTAVE_AT_500_HZ: usize = 2;
/// 32.0 dB over sixteen thirds. Source: ISO 717-1:2020, 4.4.
const THIRDS: Limits = Limits { sum: 320, single: i64::MAX };
/// 10.0 dB over five octaves. Source: ISO 717-1:2020, 4.4.
const OCTAVES: Limits = Limits { sum: 100, single: i64::MAX };

/// A-weighted pink spectrum (No. 1, for C), 100 Hz to 3150 Hz, dB. Source: ISO 717-1:2020 Table 4.
pub const SPECTRUM_1_DB: [f64; 16] =
    [-29., -26., -23., -21., -19., -17., -15., -13., -12., -11., -10., -9., -9., -9., -9., -9.];
/// A-weighted urban traffic spectrum (No. 2, for Ctr), 100 Hz to 3150 Hz, dB. Source: ISO 717-1:2020 Table 4.
pub const SPECTRUM_2_DB: [f64; 16] =
    [-20., -20., -18., -16., -15., -14., -13., -12., -11., -9., -8., -9., -10., -11., -13., -15.];
/// Spectrum No. 1 in octaves, 125 Hz to 2 kHz, dB. Source: ISO 717-1:2020 Table 4.
const OCTAVE_SPECTRUM_1_DB: [f64; 5] = [-21., -14., -8., -5., -4.];
/// Spectrum No. 2 in octaves, 125 Hz to 2 kHz, dB. Source: ISO 717-1:2020 Table 4.
const OCTAVE_SPECTRUM_2_DB: [f64; 5] = [-14., -10., -7., -4., -6.];
/// Spectrum No. 1 for 50 Hz to 3150 Hz, dB. Source: ISO 717-1:2020 Table B.1.
const SPECTRUM_1_50_3150_DB: [f64; 19] =
    [-40., -36., -33., -29., -26., -23., -21., -19., -17., -15., -13., -12., -11., -10., -9., -9., -9., -9., -9.];
/// Spectrum No. 1 for 50 Hz to 5000 Hz and, from its fourth value, 100 Hz to 5000 Hz, dB. Source: ISO 717-1:2020 Table B.1.
const SPECTRUM_1_50_5000_DB: [f64; 21] = [
    -41., -37., -34., -30., -27., -24., -22., -20., -18., -16., -14., -13., -12., -11., -10., -10., -10., -10., -10.,
    -10., -10.,
];
/// Spectrum No. 2 for 50 Hz to 5000 Hz and every part of it, dB. Source: ISO 717-1:2020 Table B.1.
const SPECTRUM_2_50_5000_DB: [f64; 21] = [
    -25., -23., -21., -20., -20., -18., -16., -15., -14., -13., -12., -11., -9., -8., -9., -10., -11., -13., -15.,
    -16., -18.,
];

/// A rating with its working. The field is called Rw; from field values it is R'w, DnT,w and so on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Airborne {
    /// Weighted sound reduction index, dB: the shifted reference curve at 500 Hz.
    pub rw_db: i32,
    /// The same with the curve shifted in steps of 0.1 dB, dB: for statements of uncertainty and for calculations.
    pub rw_one_decimal_db: f64,
    /// Adaptation term for pink noise, dB.
    pub c_db: i32,
    /// Adaptation term for urban traffic, dB: the one nearer to loud music.
    pub ctr_db: i32,
    /// −10 lg Σ 10^((L1 − R)/10) for spectrum No. 1, dB; rounded it is Rw + C.
    pub rw_plus_c_unrounded_db: f64,
    /// The same for spectrum No. 2, dB; rounded it is Rw + Ctr.
    pub rw_plus_ctr_unrounded_db: f64,
    /// By how much the reference curve (52 dB at 500 Hz) was raised, dB.
    pub shift_db: i32,
    /// Sum of the unfavourable deviations, dB: at most 32.0 (10.0 in octaves).
    pub unfavourable_sum_db: f64,
    /// Unfavourable deviation for each third from 100 Hz to 3150 Hz, dB; from octaves the first five hold 125 Hz to 2 kHz.
    pub unfavourable_db: [f64; 16],
    /// Terms of the enlarged ranges, when the values reach from 50 Hz to 5000 Hz.
    pub enlarged: Option<Enlarged>,
}

/// Adaptation terms of the enlarged frequency ranges, dB. Source: ISO 717-1:2020 Annex B.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Enlarged {
    /// C50-3150.
    pub c_50_3150_db: i32,
    /// C50-5000.
    pub c_50_5000_db: i32,
    /// C100-5000.
    pub c_100_5000_db: i32,
    /// Ctr,50-3150.
    pub ctr_50_3150_db: i32,
    /// Ctr,50-5000.
    pub ctr_50_5000_db: i32,
    /// Ctr,100-5000.
    pub ctr_100_5000_db: i32,
}

impl Airborne {
    /// Rates a sound reduction index or level difference over all 24 bands, dB; 25 Hz to 40 Hz take no part.
    ///
    /// Every value is meant to be finite: NaN counts as −1000 dB, so that a fault upstream cannot pass for a good wall.
    #[must_use]
    pub fn of_spectrum(r_db: &Spectrum) -> Self {
        Self::of_50_5000(&std::array::from_fn(|band| r_db[INDEX_50_HZ + band]))
    }

    /// [`Self::rw_db`] of [`Self::of_spectrum`], without the adaptation terms.
    ///
    /// ```
    /// # use leaklight::acoustics::{Spectrum, rating::iso717_1::Airborne};
    /// let r = Spectrum::splat(40.04);
    /// assert_eq!(Airborne::rw_db_of_spectrum(&r), Airborne::of_spectrum(&r).rw_db);
    /// ```
    #[must_use]
    pub fn rw_db_of_spectrum(r_db: &Spectrum) -> i32 {
        let r = std::array::from_fn(|band| in_steps(r_db[INDEX_100_HZ + band], 10.0));
        ((REFERENCE[AT_500_HZ] + highest(&r, &REFERENCE, 10, THIRDS).shift) / 10) as i32
    }

    /// The same in tenths of a decibel, where Rw only steers another figure and must not step.
    #[must_use]
    pub fn rw_tenths_db_of_spectrum(r_db: &Spectrum) -> f64 {
        let r = std::array::from_fn(|band| in_steps(r_db[INDEX_100_HZ + band], 10.0));
        (REFERENCE[AT_500_HZ] + highest(&r, &REFERENCE, 1, THIRDS).shift) as f64 / 10.0
    }

    /// Rates 21 thirds from 50 Hz to 5000 Hz, dB.
    #[must_use]
    pub fn of_50_5000(r_db: &[f64; 21]) -> Self {
        let offset = INDEX_100_HZ - INDEX_50_HZ;
        let r = r_db.map(|db| in_steps(db, 10.0));
        let passed = r.map(passed);
        let mut rating = Self::rate_thirds(
            &std::array::from_fn(|band| r[offset + band]),
            &std::array::from_fn(|band| passed[offset + band]),
        );
        let term = |passed: &[f64], spectrum: &[f64]| whole(adapted_db(passed, spectrum)) - rating.rw_db;
        rating.enlarged = Some(Enlarged {
            c_50_3150_db: term(&passed[..19], &SPECTRUM_1_50_3150_DB),
            c_50_5000_db: term(&passed, &SPECTRUM_1_50_5000_DB),
            c_100_5000_db: term(&passed[offset..], &SPECTRUM_1_50_5000_DB[offset..]),
            ctr_50_3150_db: term(&passed[..19], &SPECTRUM_2_50_5000_DB[..19]),
            ctr_50_5000_db: term(&passed, &SPECTRUM_2_50_5000_DB),
            ctr_100_5000_db: term(&passed[offset..], &SPECTRUM_2_50_5000_DB[offset..]),
        });
        rating
    }

    /// Rates 16 thirds from 100 Hz to 3150 Hz, dB.
    ///
    /// ```
    /// # use leaklight::acoustics::rating::iso717_1::Airborne;
    /// // A wall that is the reference curve: 32 dB over 16 bands are a shift of exactly 2 dB.
    /// let r = [33., 36., 39., 42., 45., 48., 51., 52., 53., 54., 55., 56., 56., 56., 56., 56.];
    /// assert_eq!(Airborne::of_100_3150(&r).rw_db, 54);
    /// ```
    #[must_use]
    pub fn of_100_3150(r_db: &[f64; 16]) -> Self {
        let r = r_db.map(|db| in_steps(db, 10.0));
        Self::rate_thirds(&r, &r.map(passed))
    }

    /// Rates five octaves from 125 Hz to 2 kHz, dB: for field measurements only.
    #[must_use]
    pub fn of_octaves(r_db: &[f64; 5]) -> Self {
        let r = r_db.map(|db| in_steps(db, 10.0));
        let spectra = [&OCTAVE_SPECTRUM_1_DB, &OCTAVE_SPECTRUM_2_DB];
        Self::rate((&r, &r.map(passed)), &OCTAVE_REFERENCE, OCTAVE_AT_500_HZ, OCTAVES, spectra)
    }

    /// Rates values typed by a user: 16 thirds from 100 Hz or 21 thirds from 50 Hz, dB.
    ///
    /// # Errors
    ///
    /// When there are neither 16 nor 21 of them, or one is not finite.
    ///
    /// ```
    /// # use leaklight::acoustics::rating::iso717_1::Airborne;
    /// let error = Airborne::of_values(&[40.0; 15]).unwrap_err();
    /// assert_eq!(error.to_string(), "number of bands is 15; it must be 16 (100 Hz to 3150 Hz) or 21 (50 Hz to 5000 Hz)");
    /// ```
    pub fn of_values(r_db: &[f64]) -> Result<Self, NotPhysical> {
        refuse_non_finite(r_db)?;
        if let Ok(thirds) = <&[f64; 16]>::try_from(r_db) {
            return Ok(Self::of_100_3150(thirds));
        }
        if let Ok(thirds) = <&[f64; 21]>::try_from(r_db) {
            return Ok(Self::of_50_5000(thirds));
        }
        Err(wrong_count(r_db.len()))
    }

    fn rate_thirds(r: &[i64; 16], passed: &[f64; 16]) -> Self {
        Self::rate((r, passed), &REFERENCE, AT_500_HZ, THIRDS, [&SPECTRUM_1_DB, &SPECTRUM_2_DB])
    }

    /// Of R in 0.1 dB and 10^(−R/10).
    fn rate<const N: usize>(
        (r, passed): (&[i64; N], &[f64; N]),
        reference: &[i64; N],
        at_500_hz: usize,
        limits: Limits,
        spectra_db: [&[f64; N]; 2],
    ) -> Self {
        let fit: Fit<N> = highest(r, reference, 10, limits);
        let fine = highest(r, reference, 1, limits);
        let rw_db = ((reference[at_500_hz] + fit.shift) / 10) as i32;
        let [with_c, with_ctr] = spectra_db.map(|spectrum_db| adapted_db(passed, spectrum_db));
        let mut unfavourable_db = [0.0; 16];
        for (db, tenths) in unfavourable_db.iter_mut().zip(fit.unfavourable) {
            *db = tenths as f64 / 10.0;
        }
        Self {
            rw_db,
            rw_one_decimal_db: (reference[at_500_hz] + fine.shift) as f64 / 10.0,
            c_db: whole(with_c) - rw_db,
            ctr_db: whole(with_ctr) - rw_db,
            rw_plus_c_unrounded_db: with_c,
            rw_plus_ctr_unrounded_db: with_ctr,
            shift_db: (fit.shift / 10) as i32,
            unfavourable_sum_db: fit.sum() as f64 / 10.0,
            unfavourable_db,
            enlarged: None,
        }
    }
}

/// 10^(−R/10), R in 0.1 dB.
fn passed(tenths: i64) -> f64 {
    10f64.powf(-tenths as f64 / 100.0)
}

/// −10 lg Σ 10^((L − R)/10), dB, of L and 10^(−R/10). Source: ISO 717-1:2020 Formula (2).
fn adapted_db(passed: &[f64], spectrum_db: &[f64]) -> f64 {
    let energy: f64 = passed.iter().zip(spectrum_db).map(|(passed, level)| passed * 10f64.powf(level / 10.0)).sum();
    -10.0 * energy.log10()
}

/// To the nearest whole decibel, halves up.
pub(super) fn whole(db: f64) -> i32 {
    (db + 0.5).floor() as i32
}

pub(super) fn refuse_non_finite(values_db: &[f64]) -> Result<(), NotPhysical> {
    match values_db.iter().find(|db| !db.is_finite()) {
        Some(db) => Err(NotPhysical { what: "band value", value: *db, must: "a finite number, in dB" }),
        None => Ok(()),
    }
}

pub(super) fn wrong_count(count: usize) -> NotPhysical {
    NotPhysical {
        what: "number of bands",
        value: count as f64,
        must: "16 (100 Hz to 3150 Hz) or 21 (50 Hz to 5000 Hz)",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::Bands;
    use crate::acoustics::rating::weighting::a_weighting_db;

    fn sum_db(levels_db: &[f64]) -> f64 {
        10.0 * levels_db.iter().map(|db| 10f64.powf(db / 10.0)).sum::<f64>().log10()
    }

    /// ISO 717-1:2020, 4.5 and B.2: every spectrum is A-weighted and has an overall level of 0 dB.
    /// Tolerance 0.5 dB: every value is rounded to a whole decibel, by as much.
    #[test]
    fn every_spectrum_has_an_overall_level_of_zero() {
        for spectrum in [
            &SPECTRUM_1_DB[..],
            &SPECTRUM_2_DB,
            &OCTAVE_SPECTRUM_1_DB,
            &OCTAVE_SPECTRUM_2_DB,
            &SPECTRUM_1_50_3150_DB,
            &SPECTRUM_1_50_5000_DB,
            &SPECTRUM_1_50_5000_DB[3..],
            &SPECTRUM_2_50_5000_DB,
        ] {
            assert!(sum_db(spectrum).abs() < 0.5, "{} dB: {spectrum:?}", sum_db(spectrum));
        }
    }

    /// Spectrum No. 1 is pink noise, A-weighted (ISO 717-1:2020, 4.5): the weighting of IEC 61672-1 less a constant, rounded.
    /// Tolerance: half a decibel of rounding and 0.2 dB because the constant was rounded too.
    #[test]
    fn spectrum_1_is_weighted_pink_noise() {
        let bands = Bands::exact();
        for (first, spectrum) in [(6, &SPECTRUM_1_DB[..]), (3, &SPECTRUM_1_50_3150_DB), (3, &SPECTRUM_1_50_5000_DB)] {
            let weighting: Vec<_> = (0..spectrum.len()).map(|at| a_weighting_db(bands.hz(first + at))).collect();
            let overall = sum_db(&weighting);
            for (at, printed) in spectrum.iter().enumerate() {
                let computed = weighting[at] - overall;
                assert!((computed - printed).abs() < 0.7, "{} Hz: {computed:.2} for {printed}", bands.hz(first + at));
            }
        }
    }

    /// An octave of a spectrum is the sum of its thirds (ISO 717-1:2020 Table 4); tolerance: half a decibel of rounding and 0.3.
    #[test]
    fn octave_spectra_are_sums_of_their_thirds() {
        for (thirds, octaves) in [(&SPECTRUM_1_DB, &OCTAVE_SPECTRUM_1_DB), (&SPECTRUM_2_DB, &OCTAVE_SPECTRUM_2_DB)] {
            for (three, printed) in thirds.chunks_exact(3).zip(octaves) {
                assert!((sum_db(three) - printed).abs() < 0.8, "{three:?}: {:.2} for {printed}", sum_db(three));
            }
        }
    }

    #[test]
    fn a_flat_spectrum_moves_with_its_level() {
        let at_40 = Airborne::of_spectrum(&Spectrum::splat(40.0));
        let at_47 = Airborne::of_spectrum(&Spectrum::splat(47.0));
        assert_eq!(at_47.rw_db - at_40.rw_db, 7);
        assert_eq!((at_47.c_db, at_47.ctr_db, at_47.enlarged), (at_40.c_db, at_40.ctr_db, at_40.enlarged));
    }

    #[test]
    fn a_missing_value_cannot_pass_for_a_good_wall() {
        let mut r_db = Spectrum::splat(60.0);
        r_db[12] = f64::NAN;
        assert!(Airborne::of_spectrum(&r_db).rw_db < 0);
    }

    #[test]
    fn infinite_values_typed_by_a_user_are_refused() {
        let mut values = [40.0; 16];
        values[3] = f64::INFINITY;
        assert!(Airborne::of_values(&values).is_err());
    }
}
