//! What stopping things would gain, in words. The numbers are those of [`crate::solve::removal`]: computed, never guessed.

use crate::building::Building;
use crate::solve::removal::{self, PathSum, Removal, Stopped};
use crate::solve::{Audibility, BandChoice, ListenerAnswer, Surface};

use super::parts::{heading, is_short, level, series};
use super::paths::{all_of, path_clause};
use crate::output::names::{self, Naming};

/// How many single gains are named.
const NAMED: usize = 3;
/// Gains up to this are not worth the work alone, dB: a change of 1 dB is about the least one can hear side by side. Common practice, no source.
const LITTLE_DB: f64 = 0.95;
/// What gains less rounds to nothing, dB.
const LEAST_DB: f64 = 0.05;
/// PathSum within this of each other are about equally strong, dB.
const EQUAL_DB: f64 = 1.5;
/// No more steps one after the other than these.
const STEPS: usize = 6;
/// Weak ways are folded into strong ones below a millionth of the whole: gains beyond are not told apart, dB.
const MOST_DB: f64 = 59.95;
/// More of the whole than this comes through the air of the listener's own room: nothing in the building matters.
const SAME_ROOM: f64 = 0.995;

/// One line of a list: what is stopped, and what that gains.
#[derive(Debug, Clone, PartialEq)]
pub struct GainLine {
    /// What is stopped: "all that enters the floor", "the gap round the landing door".
    pub what: String,
    /// The same in short: "the floor", "the gap round the landing door".
    pub brief: String,
    /// What stopping it alone gains at most: "13.8 dB", "nothing".
    pub gain: String,
    /// The level when it and everything in the lines above it is stopped: "38 dB(A)".
    pub left: String,
    /// What it stops when it stands alone.
    pub alone: Removal,
    /// What it stops after all above it.
    pub in_turn: Removal,
}

/// The order in which to stop things on the source's side, a line each: what gains most after all above it. At most `lines` lines. It ends early
/// once nothing is heard any more. Empty in the source's own room, and where nothing needs to be stopped.
#[must_use]
pub fn gain_lines(building: &Building, heard: &ListenerAnswer, bands: BandChoice, lines: usize) -> Vec<GainLine> {
    let within = removal::within(heard, bands);
    let heard = within.as_ref().unwrap_or(heard);
    if in_same_room(heard) || needs_nothing(heard) {
        return Vec::new();
    }
    let found = PathSum::within(heard, bands);
    let naming = Naming::of(building, heard);
    let mut steps = found.in_turn(&found.source_side_apart(), lines);
    if let Some(last) = steps.iter().position(Removal::silences) {
        steps.truncate(last + 1);
    }
    steps
        .into_iter()
        .map(|in_turn| {
            let alone = found.without(in_turn.stopped);
            GainLine {
                what: stopped(building, &naming, heard, in_turn.stopped),
                brief: stopped_briefly(building, &naming, heard, in_turn.stopped),
                gain: gain(alone.gain_db),
                left: left(in_turn.level_a_db, bands),
                alone,
                in_turn,
            }
        })
        .collect()
}

/// What to do first, in a sentence or two. `heard` is what is left of the answer in `bands`.
pub(super) fn first(building: &Building, heard: &ListenerAnswer, bands: BandChoice) -> Option<String> {
    if in_same_room(heard) {
        return Some(
            "It comes straight through the air of the room: no wall, floor or door would change that.".to_owned(),
        );
    }
    if needs_nothing(heard) {
        return Some("Nothing needs to be stopped here.".to_owned());
    }
    Sentences::with(building, heard, bands, |sentences| sentences.first())
}

/// What else stopping things would gain: nothing where nothing is heard of any source, or nothing need be stopped.
pub(super) fn rest(building: &Building, heard: &ListenerAnswer, bands: BandChoice) -> Option<String> {
    if in_same_room(heard) || needs_nothing(heard) {
        return None;
    }
    Sentences::with(building, heard, bands, |sentences| {
        let all = [sentences.next(), sentences.struck(), sentences.enough()];
        let all: Vec<String> = all.into_iter().flatten().collect();
        (!all.is_empty()).then(|| all.join(" "))
    })
}

fn in_same_room(heard: &ListenerAnswer) -> bool {
    heard.paths.iter().filter(|path| path.entry == Surface::Air).map(|path| path.share).sum::<f64>() > SAME_ROOM
}

fn needs_nothing(heard: &ListenerAnswer) -> bool {
    let kept = heard.target.as_ref().is_none_or(|target| target.margin_db >= 0.0);
    heard.audibility == Audibility::Inaudible && kept
}

/// What sentences about gains are made from.
struct Sentences<'a> {
    building: &'a Building,
    heard: &'a ListenerAnswer,
    naming: Naming,
    bands: BandChoice,
    found: PathSum<'a>,
    /// Gains alone, the most first; not empty.
    ranked: Vec<Removal>,
}

impl<'a> Sentences<'a> {
    fn with<T>(
        building: &'a Building,
        heard: &'a ListenerAnswer,
        bands: BandChoice,
        say: impl FnOnce(&Self) -> Option<T>,
    ) -> Option<T> {
        let found = PathSum::within(heard, bands);
        let ranked = found.ranked(&found.source_side_apart());
        let naming = Naming::of(building, heard);
        if ranked.is_empty() { None } else { say(&Self { building, heard, naming, bands, found, ranked }) }
    }

    fn brief(&self, removal: &Removal) -> String {
        stopped_briefly(self.building, &self.naming, self.heard, removal.stopped)
    }

    /// True when one thing is all there is.
    fn is_all(&self) -> bool {
        self.ranked.len() == 1 || self.ranked[0].gain_db > MOST_DB
    }

    /// What to do first, and what that gains.
    fn first(&self) -> Option<String> {
        let first = &self.ranked[0];
        let brief = self.brief(first);
        if self.is_all() {
            return Some(format!("Stopping {brief} would leave next to nothing."));
        }
        // Where the limit is kept nothing must be done.
        let kept = self.heard.target.as_ref().is_some_and(|target| target.margin_db >= 0.0);
        let stop = if kept { "To make it quieter, first stop" } else { "First stop" };
        if first.gain_db <= LITTLE_DB {
            return Some(format!(
                "No one thing is worth stopping alone: {brief} would gain {}.",
                at_most(first.gain_db)
            ));
        }
        if let Some((second, both_db)) = self.equal() {
            return Some(format!(
                "{stop} {brief} and {}. Both together gain {}, one alone {}.",
                self.brief(second),
                gain(both_db),
                at_most(first.gain_db)
            ));
        }
        Some(format!("{stop} {brief}: that gains {}.", at_most(first.gain_db)))
    }

    /// The second where the two strongest are alike, and what both together gain, dB.
    fn equal(&self) -> Option<(&Removal, f64)> {
        let [first, second, ..] = &self.ranked[..] else { return None };
        let apart_db = 10.0 * (first.share / second.share).log10();
        if first.gain_db <= LITTLE_DB || apart_db > EQUAL_DB {
            return None;
        }
        let both = self.found.without_all(&[first.stopped], second.stopped);
        Some((second, first.level_a_db + first.gain_db - both.level_a_db))
    }

    /// What the next ones would gain, each alone: what one may be tempted by.
    fn next(&self) -> Option<String> {
        if self.is_all() {
            return None;
        }
        let from = if self.equal().is_some() { 2 } else { 1 };
        let next: Vec<String> = (self.ranked.iter().skip(from).take(NAMED - 1))
            .take_while(|removal| removal.gain_db >= LEAST_DB)
            .map(|removal| format!("{} {}", self.brief(removal), gain(removal.gain_db)))
            .collect();
        let most_db = self.ranked.get(from).map_or(0.0, |removal| removal.gain_db);
        let worth = if most_db > LITTLE_DB { "each alone" } else { "not worth it alone" };
        let said = |next: &[String]| format!("Then, {worth}: {}.", series(next));
        // Of two with long names the second is left to the list.
        (1..=next.len()).rev().map(|many| said(&next[..many])).find(|said| is_short(said))
    }

    /// What feet and pedals are of what enters the first floor they stand on, where they are but a part of it.
    fn struck(&self) -> Option<String> {
        let struck = self.ranked.iter().take(NAMED).find_map(|removal| match removal.stopped {
            Stopped::Entering(Surface::Element(element)) => {
                let struck = self.found.without(Stopped::Excited(element));
                (struck.share > 0.0 && struck.share < 0.999 * removal.share).then_some(struck)
            }
            _ => None,
        })?;
        Some(format!("Stopping {} alone gains {}.", self.brief(&struck), at_most(struck.gain_db)))
    }

    /// How many must be stopped, one after the other, until the limit is kept or nothing is heard.
    fn enough(&self) -> Option<String> {
        let broken = self.heard.target.as_ref().is_some_and(|target| target.margin_db < 0.0);
        let steps = self.found.in_turn(&self.found.source_side_apart(), STEPS);
        let done = |removal: &Removal| if broken { removal.keeps_target() == Some(true) } else { removal.silences() };
        match steps.iter().position(done) {
            Some(0) => {
                let then = if broken { "the limit could be kept" } else { "it could no longer be heard" };
                Some(format!("With {} alone stopped {then}.", self.brief(&steps[0])))
            }
            Some(last) => {
                let names: Vec<String> = steps[..=last].iter().map(|step| self.brief(step)).collect();
                let then = if broken { "could the limit be kept" } else { "could it no longer be heard" };
                let all = if last == 1 { "both" } else { "all" };
                let by_name = format!("Only with {} {all} stopped {then}.", series(&names));
                let then = if broken { "the limit is kept" } else { "it can no longer be heard" };
                let by_count = format!("{} things must be stopped before {then}.", heading(COUNTS[last + 1]));
                Some(if last <= 2 && is_short(&by_name) { by_name } else { by_count })
            }
            None if broken && steps.len() > 1 => {
                let left_db = steps.last().map_or(self.heard.la_db, |step| step.level_a_db);
                let count = COUNTS[steps.len()];
                Some(format!(
                    "With the {count} strongest all stopped, {} would be left: still above the limit.",
                    left(left_db, self.bands)
                ))
            }
            None => None,
        }
    }
}

const COUNTS: [&str; STEPS + 1] = ["none", "one", "two", "three", "four", "five", "six"];

/// What is stopped, as the object of "stopping": "all that enters the floor", "the gap round the landing door".
fn stopped(building: &Building, naming: &Naming, heard: &ListenerAnswer, stopped: Stopped) -> String {
    let seen = |face: Surface| naming.noun(building, face);
    match stopped {
        Stopped::Entering(face @ Surface::Duct(_)) => format!("what enters {}", seen(face)),
        Stopped::Entering(face) => format!("all that enters {}", seen(face)),
        Stopped::ComingOut(face) => format!("all that comes out of {} at the listener", seen(face)),
        Stopped::Passing(face) => format!("all that passes {}", seen(face)),
        Stopped::Opening(element, opening) => format!("all that passes {}", seen(Surface::Opening(element, opening))),
        Stopped::Gap(element, opening) => seen(Surface::Gap(element, opening)),
        Stopped::Excited(element) => {
            let face = Surface::Element(element);
            let how = if names::is_wall(building, face) { "what touches" } else { "feet and pedals on" };
            format!("{how} {}", seen(face))
        }
        Stopped::Kind(kind) => all_of(kind).to_owned(),
        Stopped::Path(at) => match heard.paths.get(at) {
            Some(path) => format!("what comes {}", path_clause(building, naming, heard, path)),
            None => "nothing".to_owned(),
        },
    }
}

/// As [`stopped`], by its name alone where that is clear: "the floor", "the landing door", "the gap round the landing door".
fn stopped_briefly(building: &Building, naming: &Naming, heard: &ListenerAnswer, what: Stopped) -> String {
    let whole = stopped(building, naming, heard, what);
    let brief =
        ["all that enters ", "all that passes ", "what enters "].iter().find_map(|start| whole.strip_prefix(start));
    brief.map(str::to_owned).unwrap_or(whole)
}

/// A gain: "13.8 dB", "nothing", "more than 60 dB".
fn gain(gain_db: f64) -> String {
    if gain_db > MOST_DB {
        "more than 60 dB".to_owned()
    } else if gain_db < LEAST_DB {
        "nothing".to_owned()
    } else {
        format!("{gain_db:.1} dB")
    }
}

fn at_most(gain_db: f64) -> String {
    if (LEAST_DB..=MOST_DB).contains(&gain_db) { format!("at most {}", gain(gain_db)) } else { gain(gain_db) }
}

/// A level that is left.
fn left(level_db: f64, bands: BandChoice) -> String {
    match bands {
        _ if !level_db.is_finite() => "nothing".to_owned(),
        BandChoice::AWeighted => level(level_db),
        BandChoice::Range(..) => level(level_db).replace("dB(A)", "dB"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gains_are_worded_by_size() {
        for (gain_db, said) in [
            (13.81, "13.8 dB"),
            (0.06, "0.1 dB"),
            (0.04, "nothing"),
            (0.0, "nothing"),
            (72.0, "more than 60 dB"),
            (f64::INFINITY, "more than 60 dB"),
        ] {
            assert_eq!(gain(gain_db), said);
        }
    }
}
