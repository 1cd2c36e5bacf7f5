//! Targets: limits as records, since a limit is a metric, a place, a clock window and a way of averaging, not a number.

use serde::{Deserialize, Serialize};

use super::provenance::Provenance;

/// A limit to compare a listener's level with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Target {
    /// The word scenes use.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// What is limited.
    pub limit: Limit,
    /// Where it applies.
    pub place: Place,
    /// Clock hours it applies in, from and to (22.0 to 6.0 is the night); the same twice means always.
    pub hours: (f64, f64),
    /// Countries it holds in; empty where it is guidance for all.
    #[serde(default)]
    pub countries: Vec<String>,
    /// True for a rule for businesses, venues or machines, that says nothing of music at home.
    #[serde(default)]
    pub business: bool,
    /// Averaging time in hours, if levels are averaged.
    #[serde(default)]
    pub averaging_h: Option<f64>,
    /// True when silent time within the averaging time may lower the level.
    #[serde(default)]
    pub idle_time_dilutes: bool,
    /// True when the limit stands above the background level, not on its own.
    #[serde(default)]
    pub above_background: bool,
    /// What is added to the level of recognisable music before comparing, dB.
    #[serde(default)]
    pub music_extra_db: f64,
    /// Id of the limit that stands in its place when it is played by day instead: of one for the evening or the night.
    #[serde(default)]
    pub by_day: Option<String>,
    /// A remark to show with it.
    #[serde(default)]
    pub note: String,
    /// Where it comes from.
    pub provenance: Provenance,
}

impl Target {
    /// True when it holds through all of some clock hours.
    #[must_use]
    pub fn holds_through(&self, (from, to): (f64, f64)) -> bool {
        let (begins, ends) = self.hours;
        // Hours on from when it begins, round the clock.
        let after = |hour: f64| (hour - begins).rem_euclid(24.0);
        let lasts = |from: f64, to: f64| if from == to { 24.0 } else { (to - from).rem_euclid(24.0) };
        begins == ends || after(from) + lasts(from, to) <= lasts(begins, ends) + 1e-9
    }

    /// What silent time takes off the level while playing, dB, 0 or less: the mean of a level over the averaging time with so many hours of it a day,
    /// 10 lg(h/averaging time). Only where the record says that idle time dilutes, and never of a maximum or of what must not be heard. Nothing
    /// said of the hours: 0, the level while playing, on the safe side. Source: energy mean over a time, ISO 1996-1:2016, 3.6 (from memory).
    ///
    /// ```
    /// # use leaklight::catalogue::Catalogue;
    /// let dwelling = &Catalogue::built_in_ref().targets["who-dwelling-day"];
    /// // One hour in sixteen: 10 lg(1/16).
    /// assert!((dwelling.idle_db(Some(1.0)) + 12.04).abs() < 0.005);
    /// assert_eq!(dwelling.idle_db(None), 0.0);
    /// ```
    #[must_use]
    pub fn idle_db(&self, hours_a_day: Option<f64>) -> f64 {
        let mean = self.idle_time_dilutes && !matches!(self.limit, Limit::LAFmax(_) | Limit::Inaudible);
        match (hours_a_day, self.averaging_h) {
            (Some(played_h), Some(averaging_h)) if mean => 10.0 * (played_h.min(averaging_h) / averaging_h).log10(),
            _ => 0.0,
        }
    }

    /// True when it holds in a country, or everywhere.
    #[must_use]
    pub fn holds_in(&self, country: &str) -> bool {
        self.countries.is_empty() || self.countries.iter().any(|known| known == country)
    }
}

/// What a target limits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Limit {
    /// Equivalent A-weighted level, dB.
    LAeq(f64),
    /// Maximum A-weighted level, time weighting F, dB.
    LAFmax(f64),
    /// C-weighted level, dB.
    LCeq(f64),
    /// Equivalent A-weighted level of the third octaves up to 160 Hz alone, dB.
    LowFrequencyLA(f64),
    /// Unweighted levels in bands: nominal midband (Hz), dB. Thirds or octaves as `octaves` says.
    Bands {
        /// Pairs of nominal midband and level.
        levels_db: Vec<(f64, f64)>,
        /// True when the bands are octaves.
        octaves: bool,
    },
    /// A noise rating curve in octaves: NR number.
    NoiseRating(f64),
    /// Not heard: every band under the hearing threshold and the background.
    Inaudible,
}

/// Where a target applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// In any room.
    Room,
    /// In a bedroom.
    Bedroom,
    /// In a room for teaching.
    Classroom,
    /// Before a façade.
    Facade,
    /// In a garden or on a street.
    Outdoors,
}
