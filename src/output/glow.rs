//! What colours a face: its share of what is heard, the level it brings, or how that changes from one build to another.
//!
//! A [`Glow`] answers for plan, legend and list alike: the colour of a face, its short label, the legend's marks. It is one for
//! one listener, one choice of bands and one end of the paths.

use crate::solve::{BandChoice, ListenerAnswer, Surface};

use super::changes::{Changes, FaceChange, Fate};
use super::leaks::{By, Leaks};
use super::palette::{Colour, LEAK_RANGE_DB, Theme};
use super::words;

/// The range the colours of levels span, dB below the top of the scale.
pub const LEVEL_RANGE_DB: f64 = 40.0;
/// The largest change the colours tell apart, dB either way.
pub const CHANGE_RANGE_DB: f64 = 20.0;
/// A smaller change stays grey, dB: it would be rounded to none.
pub const LEAST_CHANGE_DB: f64 = 0.5;
/// How many faces carry a number, on the plan and in the list beside it.
const NUMBERED: usize = 5;
/// What passes a smaller share is neither numbered nor listed.
pub const LISTED_SHARE: f64 = 0.001;
/// What a scale of levels says where two builds are coloured by it.
pub const SHARED: &str = "the same scale before and after";
/// Tops of level scales are multiples of this, dB.
const TOP_STEP_DB: f64 = 5.0;

/// Which scale lights a plan.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub enum Scale {
    /// The share of what the listener hears: down to 30 dB below the total.
    #[default]
    Share,
    /// The level at the listener, from 40 dB below `top_db` up to it: the same for every build that is compared.
    Level {
        /// Level that is drawn strongest, dB (dB(A) when the bands are A-weighted).
        top_db: f64,
    },
}

impl Scale {
    /// A scale of levels for one build or several: its top is the loudest face of any, rounded up to 5 dB.
    ///
    /// Where nothing is heard at all it ends at 40 dB.
    #[must_use]
    pub fn level_for<'a>(leaks: impl IntoIterator<Item = &'a Leaks>) -> Self {
        let loudest = leaks
            .into_iter()
            .filter_map(|leaks| leaks.by_surface.first().map(|(_, share)| share * leaks.total))
            .fold(0.0, f64::max);
        let top_db = if loudest > 0.0 {
            TOP_STEP_DB * (10.0 * loudest.log10() / TOP_STEP_DB - 1e-9).ceil()
        } else {
            LEVEL_RANGE_DB
        };
        Self::Level { top_db }
    }
}

/// A mark of the legend.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where it stands, 0 to 1.
    pub position: f64,
    /// What it says: "10 %", "50".
    pub label: String,
    /// What may stand below: "−10 dB", "quieter"; empty where there is nothing to say.
    pub note: String,
}

/// What colours the faces of a building.
#[derive(Debug, Clone, PartialEq)]
pub struct Glow {
    scale: Scale,
    /// What changes, instead of the scale.
    changes: Option<Changes>,
    leaks: Leaks,
    theme: Theme,
    band: BandChoice,
}

impl Glow {
    /// Lights the faces of a listener's building by a scale.
    #[must_use]
    pub fn of(heard: &ListenerAnswer, band: BandChoice, by: By, theme: Theme, scale: Scale) -> Self {
        Self { scale, changes: None, leaks: Leaks::of(heard, band, by), theme, band }
    }

    /// Lights the faces of the other build by what changes from the base; `heard` is the listener in the other build, and `changes` are
    /// for the same bands and the same end of the paths.
    #[must_use]
    pub fn difference(changes: Changes, heard: &ListenerAnswer, band: BandChoice, by: By, theme: Theme) -> Self {
        Self { changes: Some(changes), ..Self::of(heard, band, by, theme, Scale::Share) }
    }

    /// The shares that stand behind it; of the other build where it shows a difference.
    #[must_use]
    pub fn leaks(&self) -> &Leaks {
        &self.leaks
    }

    /// What changes, where it shows a difference.
    #[must_use]
    pub fn changes(&self) -> Option<&Changes> {
        self.changes.as_ref()
    }

    /// The faces that carry a number, in the order of their numbers: those that pass most, or change most. Nothing for one that is only in the base.
    #[must_use]
    pub fn numbered(&self) -> Vec<Option<Surface>> {
        if self.changes.is_some() {
            return self.most_changed().map(|(change, ..)| change.other).collect();
        }
        let faces = self.leaks.by_surface.iter();
        let telling = faces.filter(|(face, share)| *share >= LISTED_SHARE && self.position(*face).is_some());
        telling.take(NUMBERED).map(|(face, _)| Some(*face)).collect()
    }

    /// The faces that change most, with where they stand on the legend; none where it shows no difference.
    pub(crate) fn most_changed(&self) -> impl Iterator<Item = (&FaceChange, Fate, f64)> {
        let changes = self.changes.iter();
        let faces = changes.flat_map(|changes| changes.faces.iter().map(move |face| (face, changes.fate(face))));
        faces.filter_map(|(face, fate)| Some((face, fate?, change_position(fate?)?))).take(NUMBERED)
    }

    /// The theme its colours are for.
    #[must_use]
    pub fn theme(&self) -> Theme {
        self.theme
    }

    /// Where a face stands on the legend, 0 to 1; nothing for what is off the scale and stays grey.
    #[must_use]
    pub fn position(&self, face: Surface) -> Option<f64> {
        if let Some(changes) = &self.changes {
            return change_position(changes.fate(changes.of_face(face)?)?);
        }
        let energy = self.leaks.share(face) * self.leaks.total;
        if energy <= 0.0 {
            return None;
        }
        let level_db = 10.0 * energy.log10();
        let (top_db, range_db) = match self.scale {
            Scale::Level { top_db } => (top_db, LEVEL_RANGE_DB),
            Scale::Share => (10.0 * self.leaks.total.log10(), LEAK_RANGE_DB),
        };
        let below_db = (top_db - level_db).max(0.0);
        (below_db <= range_db).then_some(1.0 - below_db / range_db)
    }

    /// The colour of a face; nothing for what stays grey.
    #[must_use]
    pub fn colour(&self, face: Surface) -> Option<Colour> {
        self.position(face).map(|position| self.colour_at(position))
    }

    /// The colour at a position of the legend, 0 to 1.
    #[must_use]
    pub fn colour_at(&self, position: f64) -> Colour {
        if self.changes.is_none() {
            return self.theme.leak_at(position);
        }
        let change = 2.0 * position.clamp(0.0, 1.0) - 1.0;
        if change.abs() * CHANGE_RANGE_DB < LEAST_CHANGE_DB {
            self.theme.quiet().wall
        } else {
            self.theme.change_at(change)
        }
    }

    /// How strongly a face shines, 0 to 1: for the light round it, and for what is drawn over what.
    pub(crate) fn strength(&self, face: Surface) -> f64 {
        let Some(position) = self.position(face) else { return 0.0 };
        if self.changes.is_some() {
            // Half as much: what changes is said by the colour itself, and all may change at once.
            (position - 0.5).abs()
        } else {
            // None from two thirds of the scale downwards.
            (1.5 * position - 0.5).max(0.0)
        }
    }

    /// What a face passes in a word, for labels: "15 %", "42 dB", "−6 dB", "new"; nothing for what stays grey.
    #[must_use]
    pub fn label(&self, face: Surface) -> Option<String> {
        self.position(face)?;
        match &self.changes {
            Some(changes) => changes.of_face(face).map(|change| fate_label(change.fate())),
            None => self.part_label(self.leaks.share(face)),
        }
    }

    /// As [`label`](Self::label), for any part of the whole: what all faces that are not listed pass together.
    pub(crate) fn part_label(&self, share: f64) -> Option<String> {
        match (&self.changes, self.scale) {
            (Some(_), _) => None,
            (None, Scale::Share) => Some(words::percent(share)),
            (None, Scale::Level { .. }) => {
                (share * self.leaks.total > 0.0).then(|| level_label(share * self.leaks.total))
            }
        }
    }

    /// The level of the whole: "53 dB(A)", "60 dB in 63 Hz", "nothing"; of the other build where it shows a difference.
    pub(crate) fn total_label(&self) -> String {
        if self.leaks.total <= 0.0 {
            return "nothing".to_owned();
        }
        match self.band {
            BandChoice::AWeighted => words::level(10.0 * self.leaks.total.log10()),
            other => format!("{} in {}", level_label(self.leaks.total), other.label()),
        }
    }

    /// What the legend shows: "level at the listener in 63 Hz, dB". Begins small, so that it can follow a name.
    #[must_use]
    pub fn heading(&self) -> String {
        let (bands, unit) = match self.band {
            BandChoice::AWeighted => (String::new(), "dB(A)"),
            other => (format!(" in {}", other.label()), "dB"),
        };
        match (&self.changes, self.scale) {
            (Some(_), _) => format!("change of level at the listener{bands}, dB"),
            (None, Scale::Share) => format!("share of what is heard{bands}"),
            (None, Scale::Level { .. }) => format!("level at the listener{bands}, {unit}"),
        }
    }

    /// The marks of the legend, from its lower end to its upper.
    #[must_use]
    pub fn marks(&self) -> Vec<Mark> {
        let mark = |position: f64, label: String, note: &str| Mark { position, label, note: note.to_owned() };
        match (&self.changes, self.scale) {
            (Some(_), _) => [(-20, "quieter"), (-10, ""), (0, "the same"), (10, ""), (20, "louder")]
                .map(|(db, note)| (f64::from(db), note))
                .map(|(db, note)| mark(0.5 + db / (2.0 * CHANGE_RANGE_DB), change_label(db), note))
                .into(),
            (None, Scale::Share) => [("0.1 %", "−30 dB"), ("1 %", "−20 dB"), ("10 %", "−10 dB"), ("all", "0 dB")]
                .iter()
                .enumerate()
                .map(|(at, (label, note))| mark(at as f64 * 10.0 / LEAK_RANGE_DB, (*label).to_owned(), note))
                .collect(),
            (None, Scale::Level { top_db }) => {
                let bottom_db = top_db - LEVEL_RANGE_DB;
                let tens = (bottom_db / 10.0).ceil() as i64..=(top_db / 10.0).floor() as i64;
                tens.map(|tens| mark((10.0 * tens as f64 - bottom_db) / LEVEL_RANGE_DB, signed_less(10 * tens), ""))
                    .collect()
            }
        }
    }

    /// What grey means: "less than 0.1 %".
    #[must_use]
    pub fn grey(&self) -> String {
        match (&self.changes, self.scale) {
            (Some(_), _) => "no change, or too little".to_owned(),
            (None, Scale::Share) => "less than 0.1 %".to_owned(),
            (None, Scale::Level { top_db }) => format!("less than {:.0} dB", top_db - LEVEL_RANGE_DB),
        }
    }
}

/// Where a change stands on its legend; nothing where it is too small to be drawn.
pub(crate) fn change_position(fate: Fate) -> Option<f64> {
    match fate {
        Fate::Changes(db) if db.abs() < LEAST_CHANGE_DB => None,
        Fate::Changes(db) => Some((0.5 + db / (2.0 * CHANGE_RANGE_DB)).clamp(0.0, 1.0)),
        Fate::Appears => Some(1.0),
        Fate::Goes => Some(0.0),
    }
}

/// A change in a word: "−6 dB", "+3 dB", "0 dB", "new", "gone".
pub(crate) fn fate_label(fate: Fate) -> String {
    match fate {
        Fate::Changes(db) => format!("{} dB", change_label(db)),
        Fate::Appears => "new".to_owned(),
        Fate::Goes => "gone".to_owned(),
    }
}

/// A change for a headline: "−6 dB", and tenths below 3 dB, "−0.8 dB".
pub(crate) fn change_words(db: f64) -> String {
    let tenths = (10.0 * db).round() / 10.0;
    let size = if tenths.abs() < 3.0 { format!("{:.1}", tenths.abs()) } else { format!("{:.0}", tenths.abs()) };
    let sign = if tenths > 0.0 {
        "+"
    } else if tenths < 0.0 {
        "−"
    } else {
        "±"
    };
    format!("{sign}{size} dB")
}

fn level_label(energy: f64) -> String {
    format!("{} dB", signed_less((10.0 * energy.log10()).round() as i64))
}

/// A whole number with a true minus.
fn signed_less(value: i64) -> String {
    if value < 0 { format!("−{}", -value) } else { value.to_string() }
}

/// A change in whole decibels with its sign.
fn change_label(db: f64) -> String {
    let whole = db.round() as i64;
    if whole > 0 { format!("+{whole}") } else { signed_less(whole) }
}
