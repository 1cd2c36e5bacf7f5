//! Levels against hearing, background and limits.

use super::answer::{Audibility, TargetAnswer};
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
    /// How long it sounds, h a day; nothing where it is not said. See [`Target::idle_db`].
    pub hours_a_day: Option<f64>,
}

/// What a limit asks of a level, whatever the level is.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    sums: Vec<AskedSum>,
    /// Asked is that nothing is heard: over this background, dB.
    inaudible: Option<Spectrum>,
}

/// So much at most is asked of a weighted sum of bands.
#[derive(Debug, Clone, Copy, PartialEq)]
struct AskedSum {
    most_db: f64,
    /// How much stricter the limit is for music; less for the silence its mean counts with, dB.
    stricter_db: f64,
    weights: Spectrum,
}

impl AskedSum {
    /// By how much it is kept, dB; negative when it is broken.
    fn margin_db(&self, energy: &Spectrum) -> f64 {
        self.most_db - 10.0 * energy.dot(&self.weights).log10() - self.stricter_db
    }
}

/// By how much a level keeps a target, and how probably. Where the target lets idle time dilute and the hours of playing are said, its mean over
/// the averaging time is held against the limit; else the level while playing, which is on the safe side. `sure` says how sure a level is, from the
/// weights of its bands. Where several bands must keep a limit each, the chance is that of the least likely: what makes one of them loud
/// mostly makes all loud.
#[must_use]
pub fn against(target: &Target, level: &Level<'_>, sure: &dyn Fn(&Spectrum) -> Sure) -> TargetAnswer {
    let requirements = level.asked(target).requirements(level.energy);
    let probability =
        requirements.iter().map(|(margin_db, weights)| sure(weights).chance(*margin_db)).fold(1.0, f64::min);
    let margin_db = requirements.iter().map(|(margin_db, _)| *margin_db).fold(f64::INFINITY, f64::min);
    let (id, name, record) = (target.id.clone(), target.name.clone(), target.clone());
    TargetAnswer { id, name, margin_db, probability, record, hours_a_day: level.hours_a_day }
}

/// How sure a level is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sure {
    /// By how much the middle of all that it may be lies above it, dB: see [`super::odds::Odds::middle_db`].
    pub middle_db: f64,
    /// Its standard uncertainty, dB.
    pub deviation_db: f64,
}

impl Sure {
    /// The chance that a limit is kept that the computed level keeps by so much, dB.
    #[must_use]
    pub fn chance(self, margin_db: f64) -> f64 {
        normal_distribution((margin_db - self.middle_db) / self.deviation_db.max(0.1))
    }

    /// By how much a limit is kept with a chance of so many standard deviations, dB.
    #[must_use]
    pub fn kept_db(self, margin_db: f64, deviates: f64) -> f64 {
        margin_db - self.middle_db - deviates * self.deviation_db.max(0.1)
    }
}

/// By how much a level keeps a target, dB; negative when it breaks it.
#[must_use]
pub fn margin_db(target: &Target, level: &Level<'_>) -> f64 {
    level.asked(target).margin_db(level.energy)
}

impl Level<'_> {
    fn asked(&self, target: &Target) -> Asked {
        Asked::of(target, self.peak_db, self.background_db, self.hours_a_day)
    }
}

impl Asked {
    /// By a target, for a level whose maximum lies `peak_db` over its mean, over a background, dB, that sounds for so many hours a day if that is said.
    #[must_use]
    pub fn of(target: &Target, peak_db: f64, background_db: &Spectrum, hours_a_day: Option<f64>) -> Self {
        let within = |first: usize, last: usize| {
            Spectrum::from_fn(|band| if (first..=last).contains(&band) { 1.0 } else { 0.0 })
        };
        let all = within(0, BAND_COUNT - 1);
        let a_weights = weighting::a_weighted(&all);
        let background = background_db.energy_from_db();
        let stricter_db = target.music_extra_db + target.idle_db(hours_a_day);
        let sum = |limit_db: f64, weights: Spectrum| {
            let background_db = 10.0 * background.dot(&weights).log10();
            // An unstated background cannot be stood above: the bare number is the stricter reading.
            let stands_above = target.above_background && background_db.is_finite();
            let most_db = if stands_above { background_db + limit_db } else { limit_db };
            AskedSum { most_db, stricter_db, weights }
        };
        let sums = match &target.limit {
            Limit::LAeq(limit) => vec![sum(*limit, a_weights)],
            Limit::LAFmax(limit) => vec![sum(*limit - peak_db, a_weights)],
            Limit::LCeq(limit) => vec![sum(*limit, weighting::c_weighted(&all))],
            Limit::LowFrequencyLA(limit) => {
                let low = within(0, Bands::nearest(LOW_FREQUENCY_END_HZ));
                vec![sum(*limit, a_weights.zip(&low, |weight, low| weight * low))]
            }
            Limit::Bands { levels_db, octaves } => levels_db
                .iter()
                .map(|(hz, limit)| {
                    let (first, more) =
                        if *octaves { (3 * (Bands::nearest(*hz) / 3), 2) } else { (Bands::nearest(*hz), 0) };
                    sum(*limit, within(first, first + more))
                })
                .collect(),
            Limit::NoiseRating(nr) => {
                let curve = octave_curves::nr_curve_db(*nr);
                let octave = |at: usize| (curve[1 + at], within(3 * at, 3 * at + 2));
                (0..8).map(octave).map(|(most_db, weights)| AskedSum { most_db, stricter_db, weights }).collect()
            }
            Limit::Inaudible => vec![],
        };
        let inaudible = matches!(target.limit, Limit::Inaudible).then_some(*background_db);
        Self { sums, inaudible }
    }

    /// By how much the energies of the bands keep it, dB; negative when they break it.
    #[must_use]
    pub fn margin_db(&self, energy: &Spectrum) -> f64 {
        let heard_db = self.inaudible.map(|background_db| -audibility(&energy.to_db(), &background_db).0);
        self.sums.iter().map(|sum| sum.margin_db(energy)).chain(heard_db).fold(f64::INFINITY, f64::min)
    }

    /// Each thing it asks for: by how much that is kept, dB, and of which sum of bands it is asked.
    #[must_use]
    pub fn requirements(&self, energy: &Spectrum) -> Vec<(f64, Spectrum)> {
        let heard = self.inaudible.map(|background_db| {
            let (margin_db, loudest, _) = audibility(&energy.to_db(), &background_db);
            (-margin_db, Spectrum::from_fn(|band| if band == loudest { 1.0 } else { 0.0 }))
        });
        self.sums.iter().map(|sum| (sum.margin_db(energy), sum.weights)).chain(heard).collect()
    }

    /// All it asks for as sums: the weights of the bands, and the most energy. That nothing is heard is asked of each band by itself.
    #[must_use]
    pub fn sums(&self) -> Vec<(Spectrum, f64)> {
        let energy = |db: f64| 10f64.powf(db / 10.0);
        let heard = self.inaudible.iter().flat_map(|background_db| {
            (0..BAND_COUNT).map(|band| {
                let hidden_db = background_db[band].max(hearing::THRESHOLD_DIFFUSE_DB[band]);
                (Spectrum::from_fn(|other| if other == band { 1.0 } else { 0.0 }), energy(hidden_db))
            })
        });
        self.sums.iter().map(|sum| (sum.weights, energy(sum.most_db - sum.stricter_db))).chain(heard).collect()
    }

    /// The weights of the sum of bands that it is broken by most, or kept by least.
    #[must_use]
    pub fn decisive(&self, energy: &Spectrum) -> Option<Spectrum> {
        self.requirements(energy).into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, weights)| weights)
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

/// The number of standard deviations below which a normal distribution has a part, 0 to 1, of its values: [`normal_distribution`] turned round by halving.
///
/// ```
/// # use leaklight::solve::criteria::normal_deviate;
/// assert!((normal_deviate(0.95) - 1.645).abs() < 5e-4 && normal_deviate(0.5).abs() < 1e-6);
/// ```
#[must_use]
pub fn normal_deviate(part: f64) -> f64 {
    let (mut low, mut high) = (-9.0, 9.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if normal_distribution(middle) < part { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// True when no band holds any energy.
#[must_use]
pub fn is_silent(energy: &Spectrum) -> bool {
    (0..BAND_COUNT).all(|band| energy[band] <= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    /// By hand: an octave kept by 5 dB with 10 dB of uncertainty, Φ(0.5) = 0.6915, is less likely than one kept by 4 dB with 2 dB, Φ(2) =
    /// 0.9772; the margin is the least all the same.
    #[test]
    fn the_least_likely_band_decides_the_chance() {
        let mut target = Catalogue::built_in_ref().targets.values().next().unwrap().clone();
        target.limit = Limit::Bands { levels_db: vec![(63.0, 65.0), (1000.0, 64.0)], octaves: true };
        (target.above_background, target.music_extra_db) = (false, 0.0);
        let energy = Spectrum::splat(1e6 / 3.0);
        let level = Level {
            energy: &energy,
            peak_db: 0.0,
            background_db: &Spectrum::splat(f64::NEG_INFINITY),
            hours_a_day: None,
        };
        let sure =
            |weights: &Spectrum| Sure { middle_db: 0.0, deviation_db: if weights[4] > 0.0 { 10.0 } else { 2.0 } };
        let answer = against(&target, &level, &sure);
        assert!((answer.margin_db - 4.0).abs() < 1e-9 && (answer.probability - 0.6915).abs() < 5e-5, "{answer:?}");
        assert!((margin_db(&target, &level) - 4.0).abs() < 1e-9);
    }

    /// By hand: 10 lg(1/16) = −12.04 dB for one hour in sixteen, 10 lg(2/8) = −6.02 dB for two in eight; of the loudest hour nothing is taken
    /// off, nor where the record forbids it, nor of a maximum, nor beyond the averaging time, nor where nothing is said.
    #[test]
    fn silent_hours_lower_the_mean_where_the_limit_allows_it() {
        let energy = Spectrum::splat(1e6);
        let silence = Spectrum::splat(f64::NEG_INFINITY);
        let margin = |id: &str, hours_a_day: Option<f64>| {
            let level = Level { energy: &energy, peak_db: 8.0, background_db: &silence, hours_a_day };
            margin_db(&Catalogue::built_in_ref().targets[id], &level)
        };
        for (id, hours, gains_db) in [
            ("who-dwelling-day", 1.0, 12.04),
            ("who-bedroom-night", 2.0, 6.02),
            ("who-bedroom-night", 12.0, 0.0),
            ("germany-night", 1.0, 0.0),
            ("germany-night", 2.0, 0.0),
            ("netherlands-music-day", 2.0, 0.0),
            ("sweden-music", 2.0, 0.0),
            ("who-bedroom-night-peaks", 2.0, 0.0),
            ("inaudible", 2.0, 0.0),
        ] {
            let gained_db = margin(id, Some(hours)) - margin(id, None);
            assert!((gained_db - gains_db).abs() < 0.005, "{id}, {hours} h: {gained_db}");
        }
    }

    /// Standard normal table: Φ(1) = 0.8413, Φ(−1.645) = 0.05; within half a printed digit.
    #[test]
    fn normal_distribution_matches_the_table() {
        assert!((normal_distribution(1.0) - 0.8413).abs() < 5e-5);
        assert!((normal_distribution(-1.645) - 0.05).abs() < 5e-4);
        assert!((normal_distribution(0.0) - 0.5).abs() < 1e-6);
    }
}
