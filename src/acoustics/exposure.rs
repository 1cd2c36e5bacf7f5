//! What loud work does to the ears of whoever plays: daily exposure, dose, hearing protectors, expected loss.
//!
//! Estimates for planning. They replace neither a measurement at the ear nor medical advice.

use super::rating::weighting::{a_weighting_db, exact_midband_hz};

/// The day exposures are referred to, hours. Source: ISO 9612:2009, 3.6.
const DAY_H: f64 = 8.0;
/// Coverage factor of the one-sided 95 % interval. Source: ISO 9612:2009, C.2.
const COVERAGE: f64 = 1.65;

/// LEX,8h of a time at a level and quiet for the rest of the day, dB(A). 3 dB for each halving. Source: ISO 9612:2009, 9.4.
///
/// ```
/// # use leaklight::acoustics::exposure::daily_exposure_db;
/// assert!((daily_exposure_db(&[(85.0, 8.0)]) - 85.0).abs() < 1e-9);
/// assert!((daily_exposure_db(&[(94.0, 1.0)]) - 85.0).abs() < 0.05); // directive 2003/10/EC: 85 dB for 8 h is 94 dB for 1 h
/// ```
///
/// Each task is (LAeq in dB(A), hours).
#[must_use]
pub fn daily_exposure_db(tasks: &[(f64, f64)]) -> f64 {
    10.0 * tasks.iter().map(|(db, hours)| hours / DAY_H * 10f64.powf(db / 10.0)).sum::<f64>().log10()
}

/// Hours at a level until LEX,8h reaches a limit, e.g. 85 dB(A). 3 dB exchange. Source: directive 2003/10/EC; ISO 9612:2009.
#[must_use]
pub fn hours_until_limit(level_db: f64, limit_db: f64) -> f64 {
    DAY_H * 10f64.powf((limit_db - level_db) / 10.0)
}

/// Share of the daily dose used up: 1 at the limit. 3 dB exchange.
#[must_use]
pub fn dose(lex_8h_db: f64, limit_db: f64) -> f64 {
    10f64.powf((lex_8h_db - limit_db) / 10.0)
}

/// A task whose level was sampled several times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SampledTask<'a> {
    /// LAeq of each sample, dB(A); at least one.
    pub samples_db: &'a [f64],
    /// Duration, h.
    pub hours: f64,
    /// Half of the range the duration may have, h: 0 when it is certain.
    pub half_range_h: f64,
}

impl SampledTask<'_> {
    /// Energy mean of the samples, dB(A). Source: ISO 9612:2009 Formula (7).
    #[must_use]
    pub fn level_db(&self) -> f64 {
        let energy: f64 = self.samples_db.iter().map(|db| 10f64.powf(db / 10.0)).sum();
        10.0 * (energy / self.samples_db.len() as f64).log10()
    }

    /// Standard uncertainty of sampling, dB; 0 for a single sample, which says nothing of it. Source: ISO 9612:2009 Formula (C.6).
    fn sampling_db(&self) -> f64 {
        let count = self.samples_db.len() as f64;
        if count < 2.0 {
            return 0.0;
        }
        let mean = self.samples_db.iter().sum::<f64>() / count;
        (self.samples_db.iter().map(|db| (db - mean).powi(2)).sum::<f64>() / (count * (count - 1.0))).sqrt()
    }
}

/// A day of sampled tasks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SampledDay {
    /// LEX,8h, dB(A).
    pub lex_8h_db: f64,
    /// Expanded uncertainty, dB: the true value lies under LEX,8h + U with 95 %.
    pub expanded_uncertainty_db: f64,
}

/// Standard uncertainty of the instrument, dB. Source: ISO 9612:2009 Table C.5.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Instrument {
    /// Class 1 sound level meter.
    Class1,
    /// Class 2 sound level meter or personal sound exposure meter.
    Class2OrPersonal,
}

/// LEX,8h by tasks with its uncertainty. Source: ISO 9612:2009 clause 9 and Annex C.2; position of the microphone 1.0 dB (C.6).
#[must_use]
pub fn sampled_day(tasks: &[SampledTask], instrument: Instrument) -> SampledDay {
    let pairs: Vec<_> = tasks.iter().map(|task| (task.level_db(), task.hours)).collect();
    let lex_8h_db = daily_exposure_db(&pairs);
    let instrument_db: f64 = match instrument {
        Instrument::Class1 => 0.7,
        Instrument::Class2OrPersonal => 1.5,
    };
    let variance = |task: &SampledTask| {
        let per_hour = 10f64.powf((task.level_db() - lex_8h_db) / 10.0) / DAY_H;
        let level = (per_hour * task.hours).powi(2) * (task.sampling_db().powi(2) + instrument_db.powi(2) + 1.0);
        let duration = (10.0 * std::f64::consts::LOG10_E * per_hour * task.half_range_h).powi(2);
        level + duration
    };
    SampledDay { lex_8h_db, expanded_uncertainty_db: COVERAGE * tasks.iter().map(variance).sum::<f64>().sqrt() }
}

/// A-weighted octave levels under a hearing protector, dB(A): level + A-weighting − assumed protection, 63 Hz to 8 kHz.
///
/// Source: ISO 4869-2:2018, octave-band method. Real fits protect less than the laboratory value.
#[must_use]
pub fn protected_octaves_db(level_db: &[f64; 8], protection_db: &[f64; 8]) -> [f64; 8] {
    const OCTAVE_HZ: [f64; 8] = [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];
    std::array::from_fn(|octave| {
        level_db[octave] + a_weighting_db(exact_midband_hz(OCTAVE_HZ[octave])) - protection_db[octave]
    })
}

/// u, v and cut-off level L0 of the median permanent shift. Source: ISO 1999:2013 Table 1 (from memory, unverified but 4 kHz).
const SHIFT: [(f64, [f64; 3]); 6] = [
    (500.0, [-0.033, 0.110, 93.0]),
    (1000.0, [-0.020, 0.070, 89.0]),
    (2000.0, [-0.045, 0.066, 80.0]),
    (3000.0, [0.012, 0.037, 77.0]),
    (4000.0, [0.025, 0.025, 75.0]),
    (6000.0, [0.019, 0.024, 77.0]),
];

/// Median noise-induced permanent threshold shift N50 after years at a daily exposure, dB.
///
/// - `years` 10 to 40; LEX,8h up to 100 dB; `hz` one of 500, 1000, 2000, 3000, 4000, 6000, else `None`.
///
/// Source: ISO 1999:2013 Formula (2).
#[must_use]
pub fn median_threshold_shift_db(lex_8h_db: f64, years: f64, hz: f64) -> Option<f64> {
    let (_, [u, v, cut_off]) = SHIFT.iter().find(|(listed, _)| (listed - hz).abs() < 1e-6)?;
    Some(((u + v * years.log10()) * (lex_8h_db - cut_off).max(0.0).powi(2)).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Directive 2003/10/EC with 3 dB exchange: 100 dB(A) for a quarter of an hour is as 85 dB(A) for eight hours.
    #[test]
    fn a_quarter_of_an_hour_at_100_uses_the_day_up() {
        assert!((hours_until_limit(100.0, 85.0) - 0.25).abs() < 0.005);
        assert!((dose(daily_exposure_db(&[(100.0, 0.25)]), 85.0) - 1.0).abs() < 0.02);
    }

    #[test]
    fn quiet_work_costs_no_hearing() {
        assert_eq!(median_threshold_shift_db(70.0, 30.0, 4000.0), Some(0.0));
        assert_eq!(median_threshold_shift_db(90.0, 30.0, 4500.0), None);
    }
}
