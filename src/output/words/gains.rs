//! What stopping things would gain, in words. The numbers are those of [`crate::solve::removal`]: computed, never guessed.

use crate::building::{Building, SpaceIndex};
use crate::solve::removal::{Removal, Stopped, Ways};
use crate::solve::{Audibility, ListenerAnswer, Surface};

use super::parts::{heading, level, noun, series};
use super::paths::{all_of, gap_of, path_clause};
use crate::output::names;

/// How many single gains a sentence names.
const NAMED: usize = 3;
/// Gains up to this are not worth the work alone, dB: a change of 1 dB is about the least one can hear side by side. Common practice, no source.
const LITTLE_DB: f64 = 0.95;
/// What gains less rounds to nothing, dB.
const LEAST_DB: f64 = 0.05;
/// Ways within this of each other are about equally strong, dB.
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
pub fn gain_lines(building: &Building, heard: &ListenerAnswer, lines: usize) -> Vec<GainLine> {
    if in_same_room(heard) || needs_nothing(heard) {
        return Vec::new();
    }
    let found = Ways::of(heard);
    let mut steps = found.in_turn(&found.source_side_apart(), lines);
    if let Some(last) = steps.iter().position(Removal::silences) {
        steps.truncate(last + 1);
    }
    steps
        .into_iter()
        .map(|in_turn| {
            let alone = found.without(in_turn.stopped);
            GainLine {
                what: stopped(building, heard, in_turn.stopped),
                brief: stopped_briefly(building, heard, in_turn.stopped),
                gain: gain(alone.gain_db),
                left: left(in_turn.level_a_db),
                alone,
                in_turn,
            }
        })
        .collect()
}

/// What stopping the strongest ways would gain, in a few sentences. Nothing where nothing is heard of any source.
///
/// "Stopping all that enters the floor would gain at most 13.8 dB. The gap round the landing door would gain 0.1 dB: not worth it alone."
#[must_use]
pub fn gains(building: &Building, heard: &ListenerAnswer) -> String {
    let found = Ways::of(heard);
    if heard.paths.iter().all(|path| path.energy.sum() <= 0.0) {
        return String::new();
    }
    if in_same_room(heard) {
        return "It comes straight through the air of the room: no wall, floor or door would change that.".to_owned();
    }
    if needs_nothing(heard) {
        return "Nothing needs to be stopped here.".to_owned();
    }
    let ranked = found.ranked(&found.source_side_apart());
    let Some(first) = ranked.first() else { return String::new() };
    let sentences = Sentences { building, heard, found, ranked: &ranked };
    if ranked.len() == 1 || first.gain_db > MOST_DB {
        return format!("Stopping {} would leave next to nothing.", sentences.whole(first));
    }
    [sentences.alone(), sentences.together(), sentences.struck(), sentences.enough()]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ")
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
    found: Ways<'a>,
    /// Gains alone, the most first; not empty.
    ranked: &'a [Removal],
}

impl Sentences<'_> {
    fn whole(&self, removal: &Removal) -> String {
        stopped(self.building, self.heard, removal.stopped)
    }

    fn brief(&self, removal: &Removal) -> String {
        stopped_briefly(self.building, self.heard, removal.stopped)
    }

    fn alone(&self) -> Option<String> {
        let first = &self.ranked[0];
        let gained = |removals: &[Removal]| -> Vec<String> {
            removals.iter().map(|removal| format!("{} {}", self.brief(removal), gain(removal.gain_db))).collect()
        };
        let large = self.ranked.iter().take(NAMED).take_while(|removal| removal.gain_db > LITTLE_DB).count();
        if large == 0 {
            return Some(format!(
                "No single way is worth stopping alone: the strongest, {}, would gain {}.",
                self.brief(first),
                at_most(first.gain_db)
            ));
        }
        let mut text = format!("Stopping {} would gain {}", self.whole(first), at_most(first.gain_db));
        if large > 1 {
            text.push_str(&format!(", {}, each alone", series(&gained(&self.ranked[1..large]))));
        }
        text.push('.');
        // The next ones are what one may be tempted by; what gains nothing to speak of is not even that.
        let felt = self.ranked[large..].iter().take(NAMED - large).take_while(|removal| removal.gain_db >= LEAST_DB);
        match &self.ranked[large..large + felt.count()] {
            [] => {}
            [next, rest @ ..] => {
                let next_db = gain(next.gain_db);
                let mut clauses = vec![format!("Stopping {} would gain {next_db}", self.brief(next))];
                clauses.extend(gained(rest));
                text.push_str(&format!(" {}: not worth it alone.", series(&clauses)));
            }
        }
        Some(text)
    }

    /// What feet and pedals are of what enters the first floor they stand on, where they are but a part of it.
    fn struck(&self) -> Option<String> {
        let struck = self.ranked.iter().take(NAMED).find_map(|removal| match removal.stopped {
            Stopped::Entering(Surface::Element(element)) => {
                let struck = self.found.without(Stopped::Struck(element));
                (struck.share > 0.0 && struck.share < 0.999 * removal.share).then_some(struck)
            }
            _ => None,
        })?;
        Some(format!("Stopping {} alone would gain {}.", self.whole(&struck), at_most(struck.gain_db)))
    }

    /// A warning where the two strongest are alike, and what both together gain.
    fn together(&self) -> Option<String> {
        let [first, second, ..] = self.ranked else { return None };
        let apart_db = 10.0 * (first.share / second.share).log10();
        if first.gain_db <= LITTLE_DB || apart_db > EQUAL_DB {
            return None;
        }
        let both = self.found.without_all(&[first.stopped], second.stopped);
        Some(format!(
            "{} and {} are about equally strong: stopping one of them gains {}, both {}.",
            heading(&self.brief(first)),
            self.brief(second),
            at_most(first.gain_db),
            gain(self.heard.la_db - both.level_a_db)
        ))
    }

    /// How many must be stopped, one after the other, until the limit is kept or nothing is heard.
    fn enough(&self) -> Option<String> {
        let broken = self.heard.target.as_ref().is_some_and(|target| target.margin_db < 0.0);
        let steps = self.found.in_turn(&self.found.source_side_apart(), STEPS);
        let done = |removal: &Removal| if broken { removal.keeps_target() == Some(true) } else { removal.silences() };
        match steps.iter().position(done) {
            Some(0) => {
                let then = if broken { "the limit would be kept" } else { "it could no longer be heard" };
                Some(format!("With {} alone stopped {then}.", self.brief(&steps[0])))
            }
            Some(last @ 1..=2) => {
                let names: Vec<String> = steps[..=last].iter().map(|step| self.brief(step)).collect();
                let then = if broken { "would the limit be kept" } else { "could it no longer be heard" };
                let all = if last == 1 { "both" } else { "all" };
                Some(format!("Only with {} {all} stopped {then}.", series(&names)))
            }
            Some(last) => {
                let then = if broken { "the limit is kept" } else { "it can no longer be heard" };
                Some(format!("{} ways must be stopped before {then}.", heading(COUNTS[last + 1])))
            }
            None if broken && steps.len() > 1 => {
                let left_db = steps.last().map_or(self.heard.la_db, |step| step.level_a_db);
                let count = COUNTS[steps.len()];
                Some(format!(
                    "With the {count} strongest all stopped, {} would be left: still above the limit.",
                    left(left_db)
                ))
            }
            None => None,
        }
    }
}

const COUNTS: [&str; STEPS + 1] = ["none", "one", "two", "three", "four", "five", "six"];

/// What is stopped, as the object of "stopping": "all that enters the floor", "the gap round the landing door".
fn stopped(building: &Building, heard: &ListenerAnswer, stopped: Stopped) -> String {
    let strongest = heard.paths.iter().enumerate().find(|(at, path)| stopped.takes(*at, path)).map(|(_, path)| path);
    // Of several source rooms each has its floor: whole names tell them apart.
    let several = heard.paths.iter().any(|path| path.source_space != heard.paths[0].source_space);
    let seen = |face: Surface, from: SpaceIndex| {
        noun(&if several { names::surface(building, face) } else { names::seen_briefly(building, face, from) })
    };
    let source = strongest.map_or(heard.space, |path| path.source_space);
    match stopped {
        Stopped::Entering(face @ Surface::Duct(_)) => format!("what enters {}", seen(face, source)),
        Stopped::Entering(face) => format!("all that enters {}", seen(face, source)),
        Stopped::ComingOut(face) => format!("all that comes out of {} at the listener", seen(face, heard.space)),
        Stopped::Passing(face) => format!("all that passes {}", noun(&names::surface(building, face))),
        Stopped::Opening(element, opening) => {
            format!("all that passes {}", noun(&names::surface(building, Surface::Opening(element, opening))))
        }
        Stopped::Gap(element, opening) => {
            names::opening(building, element, opening).map_or_else(|| "the gap round the opening".to_owned(), gap_of)
        }
        Stopped::Struck(element) => {
            let face = Surface::Element(element);
            let how = if names::is_wall(building, face) { "what touches" } else { "feet and pedals on" };
            format!("{how} {}", seen(face, source))
        }
        Stopped::Kind(kind) => all_of(kind).to_owned(),
        Stopped::Path(at) => match heard.paths.get(at) {
            Some(path) => format!("what comes {}", path_clause(building, heard, path)),
            None => "nothing".to_owned(),
        },
    }
}

/// As [`stopped`], by its name alone where that is clear: "the floor", "the landing door", "the gap round the landing door".
fn stopped_briefly(building: &Building, heard: &ListenerAnswer, what: Stopped) -> String {
    let whole = stopped(building, heard, what);
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

fn left(level_db: f64) -> String {
    if level_db.is_finite() { level(level_db) } else { "nothing".to_owned() }
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
