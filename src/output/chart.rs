//! Levels, or reductions, by band: bars and lines over one axis. The same chart is drawn as text, as a picture and by the window.
//!
//! Levels do not add, energies do. A bar is as high as the total level; it is divided in proportion to the kinds' energies, so that the
//! largest part of a bar is the largest part of the sound. The height of a part alone is no level.

use std::fmt::Write as _;

use crate::acoustics::bands::{NOMINAL_HZ, OCTAVE_HZ};
use crate::acoustics::rating::octave_curves;
use crate::acoustics::{BAND_COUNT, Bands, Spectrum};
use crate::catalogue::Target;
use crate::catalogue::target::Limit;
use crate::solve::{ListenerAnswer, PathKind};

use super::draw::Draw;
use super::drawing::{Drawing, Lettering, Part, Point, Shape, Stroke};
use super::palette::{Colour, Theme};
use super::{kinds, lettering, words};

/// A third of an octave's energy, dB.
const THIRD_DB: f64 = 4.771_212_547_196_624;

/// A smaller part of a bar cannot be seen.
const LEAST_SHARE: f64 = 0.002;

/// Rows of a chart in text at most.
const ROWS: f64 = 12.0;

/// The decibels a chart spans.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// At the foot.
    pub bottom_db: f64,
    /// At the top.
    pub top_db: f64,
    /// From mark to mark.
    pub step_db: f64,
}

impl Axis {
    /// From 0 dB to a ten above all values, at least to `least_db`; a mark every so many decibels, or twice as many above `crowded_db`.
    #[must_use]
    pub fn from_zero(values_db: impl IntoIterator<Item = f64>, least_db: f64, step_db: f64, crowded_db: f64) -> Self {
        let top_db = (highest(values_db).max(least_db) / 10.0).ceil() * 10.0;
        Self { bottom_db: 0.0, top_db, step_db: if top_db > crowded_db { 2.0 * step_db } else { step_db } }
    }

    /// Where a level lies: 0 at the foot, 1 at the top.
    #[must_use]
    pub fn position(&self, db: f64) -> f64 {
        (db.clamp(self.bottom_db, self.top_db) - self.bottom_db) / (self.top_db - self.bottom_db)
    }

    /// The marks, from the foot up, dB.
    pub fn marks(self) -> impl Iterator<Item = f64> {
        let count = ((self.top_db - self.bottom_db) / self.step_db + 1e-9).floor() as usize;
        (0..=count).map(move |at| self.bottom_db + self.step_db * at as f64)
    }
}

/// The highest of the values there are, dB; −∞ where there are none.
fn highest(values_db: impl IntoIterator<Item = f64>) -> f64 {
    values_db.into_iter().filter(|db| db.is_finite()).fold(f64::NEG_INFINITY, f64::max)
}

/// One band: the level, and each kind's part of its energy.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Level of all paths together, dB; −∞ where there is none.
    pub level_db: f64,
    /// Part of the energy of each of [`Chart::kinds`], in their order, 0 to 1; they sum to 1, or are all 0 in silence.
    pub shares: Vec<f64>,
}

/// A line over the bands, dB, where it has values.
pub type Line = Vec<Option<f64>>;

/// Bars, and what they are held against.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// What decibels it spans.
    pub axis: Axis,
    /// The kinds of path there are, in the order they are stacked.
    pub kinds: Vec<PathKind>,
    /// One for each band.
    pub bars: Vec<Bar>,
    /// Background.
    pub background_db: Line,
    /// Threshold of hearing.
    pub threshold_db: Line,
    /// The limit, where it is one of bands; see [`limit_db`].
    pub limit_db: Line,
}

fn finite(values_db: impl IntoIterator<Item = f64>) -> Line {
    values_db.into_iter().map(|db| db.is_finite().then_some(db)).collect()
}

impl Chart {
    /// The third octaves of a listener, divided by kind of path.
    #[must_use]
    pub fn thirds(heard: &ListenerAnswer) -> Self {
        let all = kinds::ALL.into_iter();
        let kinds: Vec<PathKind> = all.filter(|kind| heard.paths.iter().any(|path| path.kind == *kind)).collect();
        let by_kind: Vec<Spectrum> = kinds
            .iter()
            .map(|kind| {
                let paths = heard.paths.iter().filter(|path| path.kind == *kind);
                paths.fold(Spectrum::ZERO, |sum, path| sum.zip(&path.energy, |sum, energy| sum + energy))
            })
            .collect();
        let bars: Vec<Bar> = (0..BAND_COUNT)
            .map(|band| {
                let total = by_kind.iter().fold(0.0, |sum, energy| sum + energy[band]);
                let share = |energy: &Spectrum| if total > 0.0 { energy[band] / total } else { 0.0 };
                Bar { level_db: 10.0 * total.log10(), shares: by_kind.iter().map(share).collect() }
            })
            .collect();
        let record = heard.target.as_ref().map(|target| &target.record);
        let limit_db = record.map_or([None; BAND_COUNT], |target| limit_db(target, &heard.background_db));
        let level_db = highest(bars.iter().map(|bar| bar.level_db));
        let lines = heard.background_db.iter().chain(heard.threshold_db.iter()).copied();
        let top_db = highest(lines.chain(limit_db.into_iter().flatten())).max(level_db);
        // Below the threshold at 4 kHz nothing is heard; very quiet listeners still see their bars.
        let bottom_db = if level_db < 10.0 { -20.0 } else { -10.0 };
        Self {
            axis: Axis { bottom_db, top_db: 10.0 * (top_db.max(20.0) / 10.0).ceil(), step_db: 10.0 },
            kinds,
            bars,
            background_db: finite(heard.background_db.iter().copied()),
            threshold_db: finite(heard.threshold_db.iter().copied()),
            limit_db: limit_db.into(),
        }
    }

    /// The octaves of a listener, whole. The threshold of an octave is that of its middle third.
    #[must_use]
    pub fn octaves(heard: &ListenerAnswer) -> Self {
        let level_db = heard.energy.octave_sums().map(|energy| 10.0 * energy.log10());
        let background_db = heard.background_db.energy_from_db().octave_sums().map(|energy| 10.0 * energy.log10());
        let threshold_db: [f64; 8] = std::array::from_fn(|octave| heard.threshold_db[3 * octave + 1]);
        Self {
            axis: Axis::from_zero([level_db, background_db, threshold_db].concat(), 40.0, 20.0, 70.0),
            kinds: vec![],
            bars: level_db.map(|level_db| Bar { level_db, shares: vec![] }).into(),
            background_db: finite(background_db),
            threshold_db: finite(threshold_db),
            limit_db: vec![None; 8],
        }
    }

    /// The kinds that are a part of some bar one could see.
    #[must_use]
    pub fn seen(&self) -> Vec<PathKind> {
        let seen = |at: usize| self.bars.iter().any(|bar| bar.shares[at] >= LEAST_SHARE);
        self.kinds.iter().enumerate().filter(|(at, _)| seen(*at)).map(|(_, kind)| *kind).collect()
    }

    /// The parts of a bar between `bottom_db` and its level, lowest first: kind, lower and upper end, dB. None where the level is not above it.
    pub fn parts(&self, band: usize, bottom_db: f64) -> impl Iterator<Item = (PathKind, f64, f64)> + '_ {
        let bar = &self.bars[band];
        let high_db = (bar.level_db - bottom_db).max(0.0);
        let high_db = if high_db.is_finite() { high_db } else { 0.0 };
        let mut foot_db = bottom_db;
        self.kinds.iter().zip(&bar.shares).filter(move |(_, share)| **share > 0.0 && high_db > 0.0).map(
            move |(kind, share)| {
                let low_db = foot_db;
                foot_db += share * high_db;
                (*kind, low_db, foot_db)
            },
        )
    }
}

/// A limit in each third octave, dB, as the level may be read against it (what is added for music taken off, the background added where the limit
/// stands above it). Only limits of bands have one: a third's own; an octave's, or an NR curve's, spread evenly over its thirds (4.8 dB less).
/// A single number (dB(A), dB(C), maximum) has none in any band, nor has the limit of not being heard.
#[must_use]
pub fn limit_db(target: &Target, background_db: &Spectrum) -> [Option<f64>; BAND_COUNT] {
    let mut found = [None; BAND_COUNT];
    let mut set = |band: usize, limit_db: f64, above: bool| {
        let background_db = background_db[band];
        let over_db = if above && background_db.is_finite() { background_db } else { 0.0 };
        found[band] = Some(limit_db + over_db - target.music_extra_db);
    };
    match &target.limit {
        Limit::Bands { levels_db, octaves: false } => {
            for (hz, limit_db) in levels_db {
                set(Bands::nearest(*hz), *limit_db, target.above_background);
            }
        }
        Limit::Bands { levels_db, octaves: true } => {
            for (hz, limit_db) in levels_db {
                let first = 3 * (Bands::nearest(*hz) / 3);
                for band in first..first + 3 {
                    // So many decibels above a background are as many in each third.
                    let third_db =
                        if target.above_background && background_db[band].is_finite() { 0.0 } else { THIRD_DB };
                    set(band, limit_db - third_db, target.above_background);
                }
            }
        }
        Limit::NoiseRating(nr) => {
            let curve_db = octave_curves::nr_curve_db(*nr);
            for band in 0..BAND_COUNT {
                set(band, curve_db[1 + band / 3] - THIRD_DB, false);
            }
        }
        Limit::LAeq(_) | Limit::LAFmax(_) | Limit::LCeq(_) | Limit::LowFrequencyLA(_) | Limit::Inaudible => {}
    }
    found
}

/// A small chart of a spectrum in letters: one column for each band, from the lowest to the highest value in steps.
pub(crate) fn text(title: &str, values_db: &Spectrum) -> String {
    let high_db = highest(values_db.iter().copied());
    let low_db = -highest(values_db.iter().map(|db| -db));
    if !high_db.is_finite() {
        return format!("{title}: no finite value\n");
    }
    let step = [1.0, 2.0, 5.0, 10.0, 20.0].into_iter().find(|step| (high_db - low_db) / step <= ROWS - 1.0);
    let step_db = step.unwrap_or(50.0);
    let [bottom_db, top_db] = [(low_db / step_db).floor(), (high_db / step_db).ceil()].map(|row| row * step_db);
    let mut lines = vec![];
    for mark_db in (Axis { bottom_db, top_db, step_db }).marks() {
        let row = (mark_db / step_db).round();
        let cells = values_db.iter().map(|db| match (db / step_db).round() {
            level if level == row => "  o",
            level if db.is_finite() && level > row => "  .",
            _ => "   ",
        });
        lines.push(format!("{mark_db:>5.0} |{}", cells.collect::<String>()));
    }
    lines.reverse();
    lines.push(format!("   dB +{}", "-".repeat(3 * BAND_COUNT)));
    lines.push(OCTAVE_HZ.iter().fold("  Hz   ".to_owned(), |line, octave| format!("{line}{octave:^9}")));
    lines.iter().fold(format!("{title}\n"), |mut out, line| {
        let _ = writeln!(out, "{}", line.trim_end());
        out
    })
}

/// Width of a bar and the space beside it.
const STEP: f64 = 1.5;
/// Height of the field in which bars stand.
const HIGH: f64 = 17.0;
/// Left of the bars, for the numbers.
const LEFT: f64 = 4.0;
/// Column of the key beside the bars.
const KEY: f64 = 14.0;
/// Letters.
const LETTER: f64 = 0.85;

/// The strip chart of a listener: 24 bars stacked by kind of path, background, threshold and limit as lines, and a key. `chosen` marks a range of
/// bands, first and last. In units of its own, one about a line of text.
#[must_use]
pub fn drawing(heard: &ListenerAnswer, theme: Theme, chosen: Option<(usize, usize)>) -> Drawing {
    let chart = Chart::thirds(heard);
    let (quiet, axis) = (theme.quiet(), chart.axis);
    let y = |db: f64| HIGH * axis.position(db);
    let wide = STEP * BAND_COUNT as f64;
    let small = Lettering::new(LETTER, quiet.soft_ink);
    let mut shapes: Vec<Shape> = vec![];
    if let Some((first, last)) = chosen {
        let (x, end) = (STEP * first as f64, STEP * (last.min(BAND_COUNT - 1) + 1) as f64);
        rectangle(&mut shapes, [x, 0.0], [end, HIGH], quiet.chosen_room);
    }
    for db in axis.marks() {
        shapes.line(Part::Page, &[[0.0, y(db)], [wide, y(db)]], quiet.rule, 0.04);
        // No "−0".
        shapes.text(Part::Page, [-0.5, y(db)], &format!("{:.0}", db + 0.0).replace('-', "−"), small.end());
    }
    shapes.text(Part::Page, [-0.5, HIGH + 1.1], "dB", small.end());
    for (band, hz) in NOMINAL_HZ.iter().enumerate() {
        let (x, end) = (STEP * (band as f64 + 0.12), STEP * (band as f64 + 0.88));
        for (kind, low_db, high_db) in chart.parts(band, axis.bottom_db) {
            let (low, high) = (y(low_db), y(high_db));
            let look = kinds::look(kind, theme);
            rectangle(&mut shapes, [x, low], [end, high], look.colour);
            // The mark again in the bar, where it fits: colour is not needed to read it.
            if high - low > 0.9 {
                mark(&mut shapes, look.symbol, [(x + end) / 2.0, (low + high) / 2.0], 0.26, quiet.sheet);
            }
        }
        if band % 3 == 1 {
            shapes.text(Part::Page, [STEP * (band as f64 + 0.5), -0.9], &hz.to_string(), small.middle());
        }
    }
    shapes.text(Part::Page, [wide, -2.1], "third octave, Hz", small.end());
    // Background, threshold and limit, each with a line form of its own.
    let mut lines = vec![
        ("background", &chart.background_db, Stroke::full(quiet.soft_ink, 0.16)),
        ("threshold of hearing", &chart.threshold_db, Stroke::dashed(quiet.ink, 0.16, [0.5, 0.35])),
        ("limit", &chart.limit_db, Stroke::dashed(quiet.listener, 0.16, [1.2, 0.4])),
    ];
    lines.retain(|(_, values, _)| values.iter().any(Option::is_some));
    for (_, values, stroke) in &lines {
        // Steps over neighbouring bands that have a value.
        for run in (0..BAND_COUNT).collect::<Vec<_>>().chunk_by(|a, b| values[*a].is_some() == values[*b].is_some()) {
            let steps = run.iter().filter_map(|band| Some((*band as f64, y(values[*band]?))));
            let run: Vec<Point> = steps.flat_map(|(at, y)| [[STEP * at, y], [STEP * (at + 1.0), y]]).collect();
            if !run.is_empty() {
                // A rim of the sheet's colour keeps it apart from bars of any colour.
                shapes.line(Part::Page, &run, quiet.sheet, 0.34);
                shapes.stroke(Part::Page, None, &run, *stroke);
            }
        }
    }
    // The key: as they are stacked, the uppermost first.
    let (x, mut y) = (wide + 1.6, HIGH - 0.5);
    for kind in chart.seen().iter().rev() {
        let look = kinds::look(*kind, theme);
        rectangle(&mut shapes, [x, y - 0.55], [x + 1.4, y + 0.55], look.colour);
        mark(&mut shapes, look.symbol, [x + 0.7, y], 0.34, quiet.sheet);
        shapes.text(Part::Page, [x + 2.0, y], words::kind(*kind), Lettering::new(LETTER, quiet.ink));
        y -= 1.5;
    }
    y -= 0.5;
    for (name, _, stroke) in &lines {
        shapes.stroke(Part::Page, None, &[[x, y], [x + 1.4, y]], *stroke);
        shapes.text(Part::Page, [x + 2.0, y], name, small);
        y -= 1.5;
    }
    let note = "A bar is as high as the level; its parts are parts of the energy.";
    for line in lettering::wrap(note, (KEY - 1.0) / LETTER) {
        y -= 0.2;
        shapes.text(Part::Page, [x, y], &line, small);
        y -= 1.0;
    }
    let heading = format!("{}: {}", words::heading(&heard.name), words::level(heard.la_db));
    let style = Lettering::new(1.2, quiet.ink).strong();
    let cut = lettering::cut(&heading, (wide + KEY + LEFT) / 1.2);
    shapes.text(Part::Page, [-LEFT + 1.0, HIGH + 3.2], &cut, style);
    Drawing {
        min: [-LEFT, -3.2],
        max: [wide + 1.6 + KEY, HIGH + 4.6],
        background: quiet.sheet,
        title: format!("{heading}, by band and kind of way"),
        shapes,
    }
}

fn rectangle(shapes: &mut Vec<Shape>, low: Point, high: Point, fill: Colour) {
    shapes.polygon(Part::Page, None, vec![vec![low, [high[0], low[1]], high, [low[0], high[1]]]], fill);
}

fn mark(shapes: &mut Vec<Shape>, mark: kinds::Symbol, at: Point, size: f64, fill: Colour) {
    shapes.figure(Part::Page, kinds::outline(mark), at, size, [1.0, 0.0], fill);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    fn target(limit: Limit, above_background: bool, music_extra_db: f64) -> Target {
        let mut target = Catalogue::built_in_ref().targets.values().next().expect("targets are built in").clone();
        (target.limit, target.above_background, target.music_extra_db) = (limit, above_background, music_extra_db);
        target
    }

    #[test]
    fn single_numbers_have_no_limit_in_any_band() {
        for limit in [Limit::LAeq(30.0), Limit::LAFmax(40.0), Limit::LCeq(50.0), Limit::Inaudible] {
            assert!(limit_db(&target(limit, false, 0.0), &Spectrum::splat(20.0)).iter().all(Option::is_none));
        }
    }

    /// Thirds as given, less 5 dB for music; an octave of 40 dB is three thirds of 35.2 dB, whose energies add to it; above a background of
    /// 20 dB a third, 3 dB are 23 dB.
    #[test]
    fn limits_of_bands_are_those_of_thirds() {
        let thirds = limit_db(
            &target(Limit::Bands { levels_db: vec![(63.0, 47.0)], octaves: false }, false, 5.0),
            &Spectrum::splat(20.0),
        );
        assert_eq!((thirds[4], thirds[3]), (Some(42.0), None));
        let octave = Limit::Bands { levels_db: vec![(63.0, 40.0)], octaves: true };
        let octaves = limit_db(&target(octave, false, 0.0), &Spectrum::splat(20.0));
        let sum: f64 = octaves.iter().flatten().map(|db| 10f64.powf(db / 10.0)).sum();
        assert!((10.0 * sum.log10() - 40.0).abs() < 1e-9 && octaves.iter().flatten().count() == 3);
        let above = limit_db(
            &target(Limit::Bands { levels_db: vec![(63.0, 3.0)], octaves: true }, true, 0.0),
            &Spectrum::splat(20.0),
        );
        assert_eq!(above[4], Some(23.0));
    }

    /// An NR curve is named by its level in the octave of 1 kHz (ISO/R 1996:1971): NR 30 is 30 dB there, and so is the sum of its three thirds.
    #[test]
    fn a_noise_rating_is_spread_over_thirds() {
        let found = limit_db(&target(Limit::NoiseRating(30.0), false, 0.0), &Spectrum::splat(20.0));
        let sum: f64 = found[15..18].iter().flatten().map(|db| 10f64.powf(db / 10.0)).sum();
        assert!((10.0 * sum.log10() - 30.0).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn a_chart_has_a_mark_in_every_band() {
        let chart = text("R, dB", &Spectrum::from_fn(|band| 20.0 + band as f64));
        assert_eq!(chart.matches('o').count(), BAND_COUNT, "{chart}");
        assert!(text("R, dB", &Spectrum::splat(f64::INFINITY)).contains("no finite value"));
    }
}
