//! What stopping things would gain, in words. The numbers are those of [`crate::solve::removal`]: computed, never guessed.

use crate::building::{Building, ElementShape, OpeningFront, SpaceIndex};
use crate::solve::removal::{Removal, Stopped, Ways};
use crate::solve::{Audibility, ListenerAnswer, PathKind, Surface};

use super::super::names;
use super::parts::{heading, level, noun, series};
use super::ways::way;

/// How many single gains a sentence names.
const NAMED: usize = 3;
/// Gains up to this are not worth the work alone, dB: a change of 1 dB is about the least one can hear side by side. Common practice, no source.
const LITTLE_DB: f64 = 0.95;
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
/// once nothing is heard any more. Nothing for who stands in the source's own room.
#[must_use]
pub fn gain_lines(building: &Building, heard: &ListenerAnswer, lines: usize) -> Vec<GainLine> {
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
/// "Stopping all that enters the floor would gain at most 13.8 dB, the gap round the landing door 1.2 dB, …"
#[must_use]
pub fn gains(building: &Building, heard: &ListenerAnswer) -> String {
    let found = Ways::of(heard);
    if heard.paths.iter().all(|path| path.energy.sum() <= 0.0) {
        return String::new();
    }
    let air: f64 = heard.paths.iter().filter(|path| path.entry == Surface::Air).map(|path| path.share).sum();
    if air > SAME_ROOM {
        return "It comes straight through the air of the room: stopping nothing in the building would gain anything."
            .to_owned();
    }
    let ranked = found.ranked(&found.source_side_apart());
    let Some(first) = ranked.first() else { return String::new() };
    if heard.audibility == Audibility::Inaudible && first.target_margin_db.is_none_or(|margin_db| margin_db >= 0.0) {
        return "Nothing needs to be stopped here.".to_owned();
    }
    let name = |removal: &Removal| stopped(building, heard, removal.stopped);
    if ranked.len() == 1 || first.gain_db > MOST_DB {
        return format!("Stopping {} would leave next to nothing.", name(first));
    }
    let mut text = alone(&ranked, &name);
    if let Some(struck) = struck(&found, &ranked) {
        text.push_str(&format!(" Stopping {} alone would gain {}.", name(&struck), at_most(struck.gain_db)));
    }
    text.push_str(&together(heard, &found, &ranked, &name));
    text.push_str(&enough(heard, &found, &name));
    text
}

/// Gains of the first few, each alone.
fn alone(ranked: &[Removal], name: &dyn Fn(&Removal) -> String) -> String {
    let mut worth: Vec<&Removal> = ranked.iter().filter(|removal| removal.gain_db > LITTLE_DB).take(NAMED).collect();
    let mut text = String::new();
    if worth.is_empty() {
        worth.push(&ranked[0]);
        text.push_str(&format!(
            "Many ways are about as strong as each other, so that no single one is worth stopping alone: the most, {}, would gain {}.",
            name(worth[0]),
            at_most(worth[0].gain_db)
        ));
        return text;
    }
    let clauses: Vec<String> =
        worth.iter().map(|removal| format!("{} {}", name(removal), gain(removal.gain_db))).collect();
    match clauses.as_slice() {
        [_] => text.push_str(&format!("Stopping {} would gain {}.", name(worth[0]), at_most(worth[0].gain_db))),
        _ => {
            text.push_str(&format!("Stopping {} would gain {}", name(worth[0]), at_most(worth[0].gain_db)));
            for clause in &clauses[1..] {
                text.push_str(", ");
                text.push_str(clause);
            }
            text.push_str(", each alone.");
        }
    }
    // The strongest of those not worth it is what one may be tempted by.
    let little: Vec<&Removal> = ranked.iter().skip(worth.len()).take(NAMED - worth.len()).collect();
    if let Some((first, rest)) = little.split_first() {
        let rest: String =
            rest.iter().map(|removal| format!(", {} {}", name(removal), gain(removal.gain_db))).collect();
        text.push_str(&format!(
            " Stopping {} would gain {}{rest}: not worth it alone.",
            name(first),
            if first.gain_db < 0.05 { gain(first.gain_db) } else { at_most(first.gain_db) }
        ));
    }
    text
}

/// What feet and pedals alone do of what enters the first floor that they stand on, where they are but a part of it.
fn struck(found: &Ways<'_>, ranked: &[Removal]) -> Option<Removal> {
    let first = ranked.iter().take(NAMED).find_map(|removal| match removal.stopped {
        Stopped::Entering(Surface::Element(element)) => {
            let struck = found.without(Stopped::Struck(element));
            (struck.share > 0.0 && struck.share < 0.999 * removal.share).then_some(struck)
        }
        _ => None,
    })?;
    Some(first)
}

/// A warning where the two strongest are alike, and what both together gain.
fn together(heard: &ListenerAnswer, found: &Ways<'_>, ranked: &[Removal], name: &dyn Fn(&Removal) -> String) -> String {
    let [first, second, ..] = ranked else { return String::new() };
    let apart_db = 10.0 * (first.share / second.share).log10();
    if first.gain_db <= LITTLE_DB || apart_db > EQUAL_DB {
        return String::new();
    }
    let both = found.without_all(&[first.stopped], second.stopped);
    format!(
        " Two ways are about equally strong: {} and {} gain {} together, either alone little of it.",
        name(first),
        name(second),
        gain(heard.la_db - both.level_a_db)
    )
}

/// How many must be stopped, one after the other, until the limit is kept or nothing is heard.
fn enough(heard: &ListenerAnswer, found: &Ways<'_>, name: &dyn Fn(&Removal) -> String) -> String {
    let broken = heard.target.as_ref().is_some_and(|target| target.margin_db < 0.0);
    let steps = found.in_turn(&found.source_side_apart(), STEPS);
    let done = |removal: &Removal| if broken { removal.keeps_target() == Some(true) } else { removal.silences() };
    let then = if broken { "the limit would be kept" } else { "it could not be heard any more" };
    match steps.iter().position(done) {
        Some(0) => format!(" That first one alone stopped, {then}."),
        Some(last @ 1..=2) => {
            let names: Vec<String> = steps[..=last].iter().map(name).collect();
            let all = if last == 1 { "both" } else { "all" };
            format!(" Only with {} {all} stopped {then}.", series(&names))
        }
        Some(last) => format!(" {} ways must be stopped until {then}.", heading(COUNTS[last + 1])),
        None if broken => {
            let left_db = steps.last().map_or(heard.la_db, |step| step.level_a_db);
            format!(
                " With the {} strongest all stopped {} would be left: the limit would still be exceeded.",
                COUNTS[steps.len()],
                left(left_db)
            )
        }
        None => String::new(),
    }
}

const COUNTS: [&str; STEPS + 1] = ["none", "one", "two", "three", "four", "five", "six"];

/// What is stopped, as the object of "stopping": "all that enters the floor", "the gap round the landing door".
#[must_use]
pub fn stopped(building: &Building, heard: &ListenerAnswer, stopped: Stopped) -> String {
    let strongest = heard.paths.iter().enumerate().find(|(at, path)| stopped.takes(*at, path)).map(|(_, path)| path);
    let seen = |face: Surface, from: SpaceIndex| noun(&names::seen_briefly(building, face, from));
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
            let found = building.elements.get(element.0).and_then(|element| element.openings.get(opening));
            let name = noun(found.map_or("opening", |opening| opening.name.as_str()));
            let covered = found.is_some_and(|opening| {
                opening.fronts.iter().flatten().any(|front| matches!(front, OpeningFront::Cover(cover) if cover.on))
            });
            match found {
                _ if covered => format!("the gaps round {name} and its cover"),
                Some(opening) if opening.undercut_mm > 0.0 => format!("the gap round and under {name}"),
                _ => format!("the gap round {name}"),
            }
        }
        Stopped::Struck(element) => {
            let face = Surface::Element(element);
            let wall = building
                .elements
                .get(element.0)
                .is_some_and(|element| matches!(element.shape, ElementShape::Wall { .. }));
            if wall {
                format!("what touches {}", seen(face, source))
            } else {
                format!("feet and pedals on {}", seen(face, source))
            }
        }
        Stopped::Kind(kind) => match kind {
            PathKind::Through => "all that comes straight through",
            PathKind::Flanking => "all that comes round junctions",
            PathKind::Gap => "all gaps and holes",
            PathKind::ByRoom => "all that comes by other rooms",
            PathKind::ByVoid => "all that comes by lofts and voids",
            PathKind::Duct => "all that comes through ducts",
            PathKind::ByOutdoors => "all that comes by the open air",
            PathKind::StructureBorne => "all feet and pedals",
        }
        .to_owned(),
        Stopped::Path(at) => match heard.paths.get(at) {
            Some(path) => format!("what comes {}", way(building, heard, path)),
            None => "nothing".to_owned(),
        },
    }
}

/// A gain: "13.8 dB", "nothing", "more than 60 dB".
#[must_use]
pub fn gain(gain_db: f64) -> String {
    if gain_db > MOST_DB {
        "more than 60 dB".to_owned()
    } else if gain_db < 0.05 {
        "nothing".to_owned()
    } else {
        format!("{gain_db:.1} dB")
    }
}

fn at_most(gain_db: f64) -> String {
    if (0.05..=MOST_DB).contains(&gain_db) { format!("at most {}", gain(gain_db)) } else { gain(gain_db) }
}

/// A level that is left.
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
