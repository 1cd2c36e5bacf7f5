//! What reaches a listener in each band, stacked by kind of way, against background, threshold and limit.
//!
//! Levels do not add, energies do. A bar is as high as the total level; it is divided in proportion to the kinds' energies, so that the
//! largest part of a bar is the largest part of the sound. The height of a part alone is no level.

use crate::acoustics::bands::NOMINAL_HZ;
use crate::acoustics::rating::octave_curves;
use crate::acoustics::{BAND_COUNT, Bands, Spectrum};
use crate::catalogue::Target;
use crate::catalogue::target::Limit;
use crate::solve::{ListenerAnswer, PathKind};

use super::drawing::{Anchor, Drawing, Form, Part, Point, Shape, Stroke};
use super::palette::{Colour, Theme};
use super::{kinds, lettering, words};

/// A third of an octave's energy, dB.
const THIRD_DB: f64 = 4.771_212_547_196_624;

/// A smaller part of a bar cannot be seen.
const LEAST_SHARE: f64 = 0.002;

/// One band: the level, and each kind's part of its energy.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Level of all ways together, dB; −∞ where there is none.
    pub level_db: f64,
    /// Part of the energy of each of [`Stack::kinds`], in their order, 0 to 1; they sum to 1, or are all 0 in silence.
    pub shares: Vec<f64>,
}

/// The bars of a listener, and what they are held against.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// The kinds of way there are, in the order they are stacked.
    pub kinds: Vec<PathKind>,
    /// One for each third octave.
    pub bars: Vec<Bar>,
    /// Background, dB; −∞ where none is stated.
    pub background_db: Spectrum,
    /// Threshold of hearing, dB.
    pub threshold_db: Spectrum,
    /// The limit in each band, dB, where it is one of bands; see [`limit_db`].
    pub limit_db: [Option<f64>; BAND_COUNT],
}

impl Stack {
    /// The bars of a listener.
    #[must_use]
    pub fn of(heard: &ListenerAnswer) -> Self {
        let all = kinds::ALL.into_iter();
        let kinds: Vec<PathKind> = all.filter(|kind| heard.paths.iter().any(|path| path.kind == *kind)).collect();
        let by_kind: Vec<Spectrum> = kinds
            .iter()
            .map(|kind| {
                let paths = heard.paths.iter().filter(|path| path.kind == *kind);
                paths.fold(Spectrum::ZERO, |sum, path| sum.zip(&path.energy, |sum, energy| sum + energy))
            })
            .collect();
        let bars = (0..BAND_COUNT)
            .map(|band| {
                let total = by_kind.iter().fold(0.0, |sum, energy| sum + energy[band]);
                let share = |energy: &Spectrum| if total > 0.0 { energy[band] / total } else { 0.0 };
                Bar { level_db: 10.0 * total.log10(), shares: by_kind.iter().map(share).collect() }
            })
            .collect();
        let record = heard.target.as_ref().map(|target| &target.record);
        Self {
            kinds,
            bars,
            background_db: heard.background_db,
            threshold_db: heard.threshold_db,
            limit_db: record.map_or([None; BAND_COUNT], |target| limit_db(target, &heard.background_db)),
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

/// What decibels the field spans, and where in it they lie.
struct Axis {
    bottom_db: f64,
    top_db: f64,
}

impl Axis {
    fn of(stack: &Stack) -> Self {
        let highest = |values: &mut dyn Iterator<Item = f64>| {
            values.filter(|db| db.is_finite()).fold(f64::NEG_INFINITY, f64::max)
        };
        let level_db = highest(&mut stack.bars.iter().map(|bar| bar.level_db));
        let other_db = highest(&mut stack.background_db.iter().chain(stack.threshold_db.iter()).copied());
        let limit_db = highest(&mut stack.limit_db.iter().flatten().copied());
        let top_db = 10.0 * (level_db.max(other_db).max(limit_db).max(20.0) / 10.0).ceil();
        // Below the threshold at 4 kHz nothing is heard; very quiet listeners still see their bars.
        let bottom_db = if level_db < 10.0 { -20.0 } else { -10.0 };
        Self { bottom_db, top_db }
    }

    fn y(&self, db: f64) -> f64 {
        HIGH * (db.clamp(self.bottom_db, self.top_db) - self.bottom_db) / (self.top_db - self.bottom_db)
    }
}

/// The strip chart of a listener: 24 bars stacked by kind of way, background, threshold and limit as lines, and a key. `chosen` marks a range of bands,
/// first and last. In units of its own, one about a line of text.
#[must_use]
pub fn chart(heard: &ListenerAnswer, theme: Theme, chosen: Option<(usize, usize)>) -> Drawing {
    let stack = Stack::of(heard);
    let (quiet, axis) = (theme.quiet(), Axis::of(&stack));
    let wide = STEP * BAND_COUNT as f64;
    let mut sheet = Sheet { shapes: Vec::new() };
    if let Some((first, last)) = chosen {
        let (x, end) = (STEP * first as f64, STEP * (last.min(BAND_COUNT - 1) + 1) as f64);
        sheet.area(rectangle([x, 0.0], [end, HIGH]), quiet.chosen_room);
    }
    let mut db = axis.bottom_db;
    while db <= axis.top_db + 1e-9 {
        let y = axis.y(db);
        sheet.line(vec![[0.0, y], [wide, y]], Stroke::full(quiet.rule, 0.04));
        // No "−0".
        sheet.text([-0.5, y], &format!("{:.0}", db + 0.0).replace('-', "−"), quiet.soft_ink, Anchor::End, false);
        db += 10.0;
    }
    sheet.text([-0.5, HIGH + 1.1], "dB", quiet.soft_ink, Anchor::End, false);
    for (band, hz) in NOMINAL_HZ.iter().enumerate() {
        let (x, end) = (STEP * (band as f64 + 0.12), STEP * (band as f64 + 0.88));
        for (kind, low_db, high_db) in stack.parts(band, axis.bottom_db) {
            let (low, high) = (axis.y(low_db), axis.y(high_db));
            let look = kinds::look(kind, theme);
            sheet.area(rectangle([x, low], [end, high]), look.colour);
            // The mark again in the bar, where it fits: colour is not needed to read it.
            if high - low > 0.9 {
                sheet.mark(look.mote, [(x + end) / 2.0, (low + high) / 2.0], 0.26, quiet.sheet);
            }
        }
        if band % 3 == 1 {
            let label = hz.to_string();
            sheet.text([STEP * (band as f64 + 0.5), -0.9], &label, quiet.soft_ink, Anchor::Middle, false);
        }
    }
    sheet.text([wide, -2.1], "third octave, Hz", quiet.soft_ink, Anchor::End, false);
    let lines = lines(&stack, theme);
    for (_, values, stroke) in &lines {
        for run in runs(values, &axis) {
            // A rim of the sheet's colour keeps it apart from bars of any colour.
            sheet.line(run.clone(), Stroke::full(quiet.sheet, 0.34));
            sheet.line(run, *stroke);
        }
    }
    key(&mut sheet, &stack, &lines, theme, wide + 1.6);
    let name = words::heading(&heard.name);
    let heading = format!("{name}: {}", words::level(heard.la_db));
    let room = (wide + KEY + LEFT) / 1.2;
    sheet.text_of([-LEFT + 1.0, HIGH + 3.2], &lettering::cut(&heading, room), quiet.ink, Anchor::Start, true, 1.2);
    Drawing {
        min: [-LEFT, -3.2],
        max: [wide + 1.6 + KEY, HIGH + 4.6],
        background: quiet.sheet,
        title: format!("{heading}, by band and kind of way"),
        shapes: sheet.shapes,
    }
}

type Line = (&'static str, [Option<f64>; BAND_COUNT], Stroke);

/// Background, threshold and limit, each with a line form of its own.
fn lines(stack: &Stack, theme: Theme) -> Vec<Line> {
    let quiet = theme.quiet();
    let finite = |values: &Spectrum| values.0.map(|db| db.is_finite().then_some(db));
    let dashed = |colour, dash| Stroke { colour, width_m: 0.16, dash_m: Some(dash) };
    let all = [
        ("background", finite(&stack.background_db), Stroke::full(quiet.soft_ink, 0.16)),
        ("threshold of hearing", finite(&stack.threshold_db), dashed(quiet.ink, [0.5, 0.35])),
        ("limit", stack.limit_db, dashed(quiet.listener, [1.2, 0.4])),
    ];
    all.into_iter().filter(|(_, values, _)| values.iter().any(Option::is_some)).collect()
}

/// Steps over neighbouring bands that have a value.
fn runs(values: &[Option<f64>; BAND_COUNT], axis: &Axis) -> Vec<Vec<Point>> {
    let mut found: Vec<Vec<Point>> = Vec::new();
    let mut before = false;
    for (band, value) in values.iter().enumerate() {
        if let Some(db) = value {
            if !before {
                found.push(Vec::new());
            }
            if let Some(run) = found.last_mut() {
                run.extend([[STEP * band as f64, axis.y(*db)], [STEP * (band + 1) as f64, axis.y(*db)]]);
            }
        }
        before = value.is_some();
    }
    found
}

fn key(sheet: &mut Sheet, stack: &Stack, lines: &[Line], theme: Theme, x: f64) {
    let quiet = theme.quiet();
    let mut y = HIGH - 0.5;
    // As they are stacked: the uppermost first.
    for kind in stack.seen().iter().rev() {
        let look = kinds::look(*kind, theme);
        sheet.area(rectangle([x, y - 0.55], [x + 1.4, y + 0.55]), look.colour);
        sheet.mark(look.mote, [x + 0.7, y], 0.34, quiet.sheet);
        sheet.text([x + 2.0, y], words::kind(*kind), quiet.ink, Anchor::Start, false);
        y -= 1.5;
    }
    y -= 0.5;
    for (name, _, stroke) in lines {
        sheet.line(vec![[x, y], [x + 1.4, y]], *stroke);
        sheet.text([x + 2.0, y], name, quiet.soft_ink, Anchor::Start, false);
        y -= 1.5;
    }
    for line in
        lettering::wrap("A bar is as high as the level; its parts are parts of the energy.", (KEY - 1.0) / LETTER)
    {
        y -= 0.2;
        sheet.text([x, y], &line, quiet.soft_ink, Anchor::Start, false);
        y -= 1.0;
    }
}

fn rectangle(low: Point, high: Point) -> Vec<Vec<Point>> {
    vec![vec![low, [high[0], low[1]], high, [low[0], high[1]]]]
}

struct Sheet {
    shapes: Vec<Shape>,
}

impl Sheet {
    fn add(&mut self, form: Form) {
        self.shapes.push(Shape { form, part: Part::Sheet, shows: None });
    }

    fn area(&mut self, rings: Vec<Vec<Point>>, fill: Colour) {
        self.add(Form::Polygon { rings, fill: Some(fill), stroke: None });
    }

    fn line(&mut self, points: Vec<Point>, stroke: Stroke) {
        self.add(Form::Line { points, stroke });
    }

    fn mark(&mut self, mote: kinds::Mote, at: Point, size: f64, colour: Colour) {
        let place = |point: Point| [at[0] + size * point[0], at[1] + size * point[1]];
        let rings = kinds::outline(mote).into_iter().map(|ring| ring.into_iter().map(place).collect()).collect();
        self.area(rings, colour);
    }

    fn text(&mut self, at: Point, text: &str, colour: Colour, anchor: Anchor, strong: bool) {
        self.text_of(at, text, colour, anchor, strong, LETTER);
    }

    fn text_of(&mut self, at: Point, text: &str, colour: Colour, anchor: Anchor, strong: bool, size_m: f64) {
        let text = text.to_owned();
        self.add(Form::Text { at, text, size_m, anchor, rotation_deg: 0.0, colour, strong, halo: None });
    }
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
}
