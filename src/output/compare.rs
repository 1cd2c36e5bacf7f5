//! Two builds of a house compared in words, for a terminal and as JSON: what each listener gets before and after, and by which faces.

use std::fmt::Write as _;

use serde::Serialize;

use crate::acoustics::bands::NOMINAL_HZ;
use crate::building::Building;
use crate::project::Solved;
use crate::solve::{BandChoice, ListenerAnswer};

use super::changes::{Changes, FaceChange, Fate, LEAST_SHARE};
use super::glow::LEAST_CHANGE_DB;
use super::json::{JSON_FORMAT, levels, list, object, pretty, rounded};
use super::leaks::By;
use super::text::{Column, cut, decimal, paragraph, row, table};
use super::{
    names::{self, Naming},
    words,
};

/// How many faces are listed.
const LISTED: usize = 6;

/// A listener before and after; at least one of the two is there.
#[derive(Debug, Clone)]
pub struct Heard<'a> {
    /// In the base.
    pub before: Option<&'a ListenerAnswer>,
    /// In the other build.
    pub after: Option<&'a ListenerAnswer>,
    /// What changes, A-weighted; nothing where the listener is not in both.
    pub changes: Option<Changes>,
}

impl Heard<'_> {
    /// The listener, as the other build knows them where it does.
    fn who(&self) -> Option<&ListenerAnswer> {
        self.after.or(self.before)
    }

    fn name(&self) -> String {
        self.who().map_or(String::new(), |who| words::heading(&who.name))
    }

    fn change_db(&self) -> Option<f64> {
        let (before, after) = (self.before?.la_db, self.after?.la_db);
        (before.is_finite() && after.is_finite()).then_some(after - before)
    }
}

/// Two builds with every listener of either, those of the base first.
#[derive(Debug, Clone)]
pub struct Comparison<'a> {
    base: &'a Solved,
    other: &'a Solved,
    /// Listeners, matched by their ids.
    pub heard: Vec<Heard<'a>>,
}

impl<'a> Comparison<'a> {
    /// Compares two builds, faces by one end of the paths.
    #[must_use]
    pub fn of(base: &'a Solved, other: &'a Solved, by: By) -> Self {
        let (first, second) = (&base.answer.listeners, &other.answer.listeners);
        let mut heard: Vec<Heard> = first
            .iter()
            .map(|before| {
                let after = second.iter().find(|after| after.listener == before.listener);
                let changes = after.map(|after| {
                    Changes::of((&base.building, before), (&other.building, after), BandChoice::AWeighted, by)
                });
                Heard { before: Some(before), after, changes }
            })
            .collect();
        let new = second.iter().filter(|after| !first.iter().any(|before| before.listener == after.listener));
        heard.extend(new.map(|after| Heard { before: None, after: Some(after), changes: None }));
        Self { base, other, heard }
    }

    /// Only one listener, by id.
    #[must_use]
    pub fn only(mut self, id: &str) -> Self {
        self.heard.retain(|heard| heard.who().is_some_and(|who| who.listener.0 == id));
        self
    }

    /// What a face is called, as someone in the source's room sees it; of the base where it is gone.
    fn name(&self, heard: &Heard, face: &FaceChange) -> String {
        let called = |building: &Building, surface, heard: Option<&ListenerAnswer>| {
            heard.map_or_else(
                || names::surface(building, surface),
                |heard| Naming::of(building, heard).plain(building, surface),
            )
        };
        match (face.other, face.base) {
            (Some(surface), _) => called(&self.other.building, surface, heard.after),
            (None, Some(surface)) => called(&self.base.building, surface, heard.before),
            (None, None) => face.id.clone(),
        }
    }

    /// The faces worth a line: they matter before or after, and change.
    fn telling(changes: &Changes) -> impl Iterator<Item = (&FaceChange, Fate)> {
        changes
            .faces
            .iter()
            .filter_map(|face| Some((face, changes.fate(face)?)))
            .filter(|(_, fate)| !matches!(fate, Fate::Changes(db) if db.abs() < LEAST_CHANGE_DB))
    }

    /// What changes for a listener, in plain words.
    #[must_use]
    pub fn sentence(&self, heard: &Heard) -> String {
        let (Some(before), Some(after), Some(changes)) = (heard.before, heard.after, &heard.changes) else {
            let name = heard.name();
            return match heard.before {
                Some(_) => format!("{name}: is only in the first scene."),
                None => format!("{name}: is only in the second scene."),
            };
        };
        let name = words::heading(&after.name);
        let Some(change_db) = heard.change_db() else {
            return format!("{name}: {} before, {} after.", words::level(before.la_db), words::level(after.la_db));
        };
        let [was, is] = [before, after].map(|heard| words::audibility_word(heard.audibility));
        let state = if was == is { format!("still {is}") } else { format!("{was} before, {is} now") };
        let [first, last] = [before, after].map(|heard| words::level(heard.la_db));
        let mut text = if change_db.abs() < LEAST_CHANGE_DB {
            format!("{name}: nothing anyone would notice changes, {last} as before, {state}.")
        } else {
            format!("{name}: {} than before, {last} and not {first}, {state}.", amount(change_db, "quieter", "louder"))
        };
        if let Some(why) = self.why(heard, changes, change_db) {
            text.push(' ');
            text.push_str(&why);
        }
        if change_db.abs() >= LEAST_CHANGE_DB
            && let Some(most) = changes.faces.iter().max_by(|a, b| a.after.total_cmp(&b.after))
            && changes.after > 0.0
            && most.after > 0.0
        {
            let share = words::percent(most.after / changes.after);
            let _ = write!(text, " Of what is left, {share} comes by {}.", words::noun(&self.name(heard, most)));
        }
        text
    }

    /// Which face makes the change; or, where nothing changes, why what was changed makes none.
    fn why(&self, heard: &Heard, changes: &Changes, change_db: f64) -> Option<String> {
        let comes = |fate: Fate, name: &str| match fate {
            Fate::Changes(db) => format!("{} comes by {name}", amount(db, "less", "more")),
            Fate::Appears => format!("Sound now comes by {name}, where none came before"),
            Fate::Goes => format!("Nothing comes any more by {name}"),
        };
        if change_db.abs() < LEAST_CHANGE_DB {
            // The face that changes by most decibels, however little it passes.
            let size = |face: &FaceChange| match face.fate() {
                Fate::Changes(db) => db.abs(),
                Fate::Appears | Fate::Goes => 0.0,
            };
            let face = changes.faces.iter().max_by(|a, b| size(a).total_cmp(&size(b)))?;
            let share = face.before.max(face.after) / changes.before;
            (size(face) >= 1.0 && share < 0.2).then(|| {
                let share = if share < LEAST_SHARE {
                    "next to nothing".to_owned()
                } else {
                    format!("only {}", words::percent(share))
                };
                let comes = comes(face.fate(), &words::noun(&self.name(heard, face)));
                format!("{comes}, but {share} of what is heard ever came that way.")
            })
        } else {
            // The one that moves the whole the same way, and most of it.
            let mut telling =
                Self::telling(changes).filter(|(face, _)| (face.after > face.before) == (change_db > 0.0));
            let (face, fate) = telling.next()?;
            Some(format!("{}.", comes(fate, &words::noun(&self.name(heard, face)))))
        }
    }

    /// A table for a terminal.
    #[must_use]
    pub fn text(&self) -> String {
        let [words, numbers] = [Column::WORDS, Column::NUMBERS];
        let columns = [words, numbers, numbers, numbers, words.after(3), words];
        let mut rows = vec![row(["dB(A)", "before", "after", "change", "heard before", "and after"])];
        for heard in &self.heard {
            let of = |heard: Option<&ListenerAnswer>| {
                heard.map_or(["–".to_owned(), "–".to_owned()], |heard| {
                    [decimal(heard.la_db), words::audibility_word(heard.audibility).to_owned()]
                })
            };
            let ([before, was], [after, is]) = (of(heard.before), of(heard.after));
            rows.push(vec![heard.name(), before, after, heard.change_db().map_or("–".to_owned(), signed), was, is]);
        }
        let mut out = table(&columns, &rows);
        for heard in &self.heard {
            let _ = write!(out, "\n{}", paragraph("", &self.sentence(heard), 100));
            let Some(changes) = &heard.changes else { continue };
            let mut rows = vec![row(["faces that change most, dB(A)", "before", "after", "change"])];
            for (face, fate) in Self::telling(changes).take(LISTED) {
                let level = |energy: f64| decimal(10.0 * energy.log10());
                let change = match fate {
                    Fate::Changes(db) => signed(db),
                    Fate::Appears => "new".to_owned(),
                    Fate::Goes => "gone".to_owned(),
                };
                rows.push(vec![cut(&self.name(heard, face)), level(face.before), level(face.after), change]);
            }
            if rows.len() > 1 {
                let _ = write!(out, "\n{}", table(&columns, &rows));
            }
        }
        out + "\nLevels are estimates; the difference between two builds of one building is surer than either.\n"
    }

    /// The same as JSON, spread over lines.
    #[must_use]
    pub fn json(&self) -> String {
        pretty(&object! {
            format: JSON_FORMAT,
            base: &self.base.scene.name,
            other: &self.other.scene.name,
            bands_hz: NOMINAL_HZ,
            listeners: list(self.heard.iter().filter_map(|heard| Some((heard, heard.who()?))), |(heard, who)| object! {
                id: &who.listener.0,
                name: &who.name,
                sentence: self.sentence(heard),
                before: heard.before.map(state),
                after: heard.after.map(state),
                change_db: heard.change_db().and_then(rounded),
                faces: list(heard.changes.iter().flat_map(|changes| &changes.faces), |face| object! {
                    id: &face.id,
                    part: face.part,
                    name: self.name(heard, face),
                    before_db: rounded(10.0 * face.before.log10()),
                    after_db: rounded(10.0 * face.after.log10()),
                    change_db: match face.fate() {
                        Fate::Changes(db) => rounded(db),
                        Fate::Appears | Fate::Goes => None,
                    },
                }),
            }),
        })
    }
}

fn state(heard: &ListenerAnswer) -> impl Serialize + use<> {
    object! {
        level_a_db: rounded(heard.la_db),
        level_db: levels(&heard.energy.to_db()),
        audibility: heard.audibility,
        audible_margin_db: rounded(heard.audible_margin_db),
    }
}

/// "6 dB less": whole decibels, tenths below 3 dB.
fn amount(db: f64, less: &str, more: &str) -> String {
    let size = db.abs();
    let word = if db < 0.0 { less } else { more };
    if size < 2.95 { format!("{size:.1} dB {word}") } else { format!("{size:.0} dB {word}") }
}

fn signed(db: f64) -> String {
    let tenths = (10.0 * db).round() / 10.0;
    if tenths == 0.0 { "0.0".to_owned() } else { format!("{tenths:+.1}") }
}
