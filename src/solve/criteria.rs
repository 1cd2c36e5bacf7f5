//! Levels against hearing, background and limits.

use super::{Audibility, TargetAnswer};
use crate::acoustics::hearing::Audibility as Margins;
use crate::acoustics::rating::{octave_curves, weighting};
use crate::acoustics::{BAND_COUNT, Bands, Spectrum, hearing};
use crate::catalogue::Target;
use crate::catalogue::target::Limit;
use crate::scene::Background;

/// A third of an octave's energy, dB.
const THIRD_DB: f64 = 4.771_212_547_196_624;
/// The last third octave that counts for a low-frequency level, Hz. Source: the Danish recommended limits (10 Hz to 160 Hz).
const LOW_FREQUENCY_END_HZ: f64 = 160.0;
/// From this margin on something is heard clearly, and loudly, dB. Own judgement, no source.
const CLEAR_DB: f64 = 5.0;
const LOUD_DB: f64 = 20.0;

/// Background level each band, dB; −∞ where none is stated. An octave level is spread evenly over its thirds.
#[must_use]
pub fn background_db(background: &Background) -> Spectrum {
    match background {
        Background::Unstated => Spectrum::splat(f64::NEG_INFINITY),
        Background::Octaves(octaves) => Spectrum::from_fn(|band| octaves[band / 3] - THIRD_DB),
        Background::NoiseRating(nr) => {
            let curve = octave_curves::nr_curve_db(*nr);
            Spectrum::from_fn(|band| curve[1 + band / 3] - THIRD_DB)
        }
    }
}

/// Margin over background and threshold (dB), the band it is largest in, and how well that is heard.
#[must_use]
pub fn audibility(level_db: &Spectrum, background_db: &Spectrum) -> (f64, usize, Audibility) {
    let margins = Margins::new(level_db, background_db, &hearing::THRESHOLD_DIFFUSE_DB);
    let margin_db = margins.largest_margin_db();
    let heard = match margins.heard() {
        hearing::Heard::Inaudible => Audibility::Inaudible,
        hearing::Heard::Borderline => Audibility::JustAudible,
        hearing::Heard::Audible if margin_db < CLEAR_DB => Audibility::JustAudible,
        hearing::Heard::Audible if margin_db < LOUD_DB => Audibility::Clear,
        hearing::Heard::Audible => Audibility::Loud,
    };
    (margin_db, margins.first_band, heard)
}

/// What a level is compared with a limit by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level<'a> {
    /// Mean squared pressure each band.
    pub energy: &'a Spectrum,
    /// LAFmax − LAeq, dB.
    pub peak_db: f64,
    /// Background each band, dB.
    pub background_db: &'a Spectrum,
    /// Standard uncertainty, dB.
    pub uncertainty_db: f64,
}

/// By how much a level keeps a target, and how probably. The level is that while playing: playing time is not spread over the averaging
/// time, so the margin is on the safe side for limits that allow it.
#[must_use]
pub fn against(target: &Target, level: &Level<'_>) -> TargetAnswer {
    let margin_db = margin_db(target, level);
    let probability = normal_distribution(margin_db / level.uncertainty_db.max(0.1));
    TargetAnswer { id: target.id.clone(), name: target.name.clone(), margin_db, probability, record: target.clone() }
}

fn margin_db(target: &Target, level: &Level<'_>) -> f64 {
    let level_db = level.energy.to_db();
    let extra_db = target.music_extra_db;
    let above = |limit_db: f64, background_db: f64| {
        // An unstated background cannot be stood above: the bare number is the stricter reading.
        if target.above_background && background_db.is_finite() { background_db + limit_db } else { limit_db }
    };
    match &target.limit {
        Limit::LAeq(limit) => {
            above(*limit, weighting::level_a_db(level.background_db)) - weighting::level_a_db(&level_db) - extra_db
        }
        Limit::LAFmax(limit) => {
            above(*limit, weighting::level_a_db(level.background_db))
                - weighting::level_a_db(&level_db)
                - level.peak_db
                - extra_db
        }
        Limit::LCeq(limit) => {
            above(*limit, weighting::level_c_db(level.background_db)) - weighting::level_c_db(&level_db) - extra_db
        }
        Limit::LowFrequencyLA(limit) => {
            let low_a_db = |db: &Spectrum| {
                let last = Bands::nearest(LOW_FREQUENCY_END_HZ);
                weighting::level_a_db(&Spectrum::from_fn(|band| if band > last { f64::NEG_INFINITY } else { db[band] }))
            };
            above(*limit, low_a_db(level.background_db)) - low_a_db(&level_db) - extra_db
        }
        Limit::Bands { levels_db, octaves } => levels_db
            .iter()
            .map(|(hz, limit)| {
                let (own, background) = if *octaves {
                    let first = 3 * (Bands::nearest(*hz) / 3);
                    let sum =
                        |db: &Spectrum| 10.0 * db.energy_from_db().0[first..first + 3].iter().sum::<f64>().log10();
                    (sum(&level_db), sum(level.background_db))
                } else {
                    let band = Bands::nearest(*hz);
                    (level_db[band], level.background_db[band])
                };
                above(*limit, background) - own - extra_db
            })
            .fold(f64::INFINITY, f64::min),
        Limit::NoiseRating(nr) => {
            let curve = octave_curves::nr_curve_db(*nr);
            level
                .energy
                .octave_sums()
                .iter()
                .zip(&curve[1..9])
                .map(|(own, limit)| limit - 10.0 * own.log10() - extra_db)
                .fold(f64::INFINITY, f64::min)
        }
        Limit::Inaudible => -audibility(&level_db, level.background_db).0,
    }
}

/// Standard normal distribution, by Abramowitz & Stegun, 7.1.26 (error below 1.5·10⁻⁷).
#[must_use]
pub fn normal_distribution(z: f64) -> f64 {
    if z.is_infinite() {
        return if z > 0.0 { 1.0 } else { 0.0 };
    }
    let x = (z / std::f64::consts::SQRT_2).abs();
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let series =
        t * (0.254_829_592 + t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let upper = 0.5 * series * (-x * x).exp();
    if z >= 0.0 { 1.0 - upper } else { upper }
}

/// How many bands a spectrum holds energy in; zero is silence.
#[must_use]
pub fn is_silent(energy: &Spectrum) -> bool {
    (0..BAND_COUNT).all(|band| energy[band] <= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standard normal table: Φ(1) = 0.8413, Φ(−1.645) = 0.05; within half a printed digit.
    #[test]
    fn normal_distribution_matches_the_table() {
        assert!((normal_distribution(1.0) - 0.8413).abs() < 5e-5);
        assert!((normal_distribution(-1.645) - 0.05).abs() < 5e-4);
        assert!((normal_distribution(0.0) - 0.5).abs() < 1e-6);
    }
}
