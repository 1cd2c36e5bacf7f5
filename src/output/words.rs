//! Plain sentences: what a listener hears, and by which ways.

use crate::acoustics::bands::NOMINAL_HZ;
use crate::building::{Building, ElementIndex, ElementShape, OpeningFront, Space, SpaceIndex, SpaceKind};
use crate::scene::Scene;
use crate::solve::{Answer, Audibility, ListenerAnswer, PathKind, PathRecord, Surface};

use super::names;

/// How many paths a sentence names.
const NAMED: usize = 3;
/// Paths below this share are not worth a clause.
const WORTH_NAMING: f64 = 0.01;
/// From this share on a gap that passes more than its opening gets a sentence of its own.
const TELLING_GAP: f64 = 0.1;

/// What a listener hears, how sure that is, and the strongest ways, in a few sentences.
///
/// "In bed next door: the drum kit can be heard clearly, about 52 dB(A) (± 5 dB). 61 % comes through the wall between …"
#[must_use]
pub fn listener(scene: &Scene, building: &Building, heard: &ListenerAnswer) -> String {
    let name = heading(&heard.name);
    if heard.paths.iter().all(|path| path.energy.sum() <= 0.0) {
        return format!("{name}: nothing is playing that could be heard.");
    }
    let sources = sources(scene, building, heard);
    let (subject, verb) = (series_of(&sources), audibility_words(heard.audibility, sources.len() > 1));
    let mut text =
        format!("{name}: {subject} {verb}, about {} (± {:.0} dB).", level(heard.la_db), heard.uncertainty_db);
    if let Some(ways) = ways(building, heard) {
        text.push(' ');
        text.push_str(&ways);
    }
    for gap in telling_gaps(building, heard) {
        text.push(' ');
        text.push_str(&gap);
    }
    if heard.audibility > Audibility::Inaudible {
        let hz = NOMINAL_HZ[heard.audible_band.min(NOMINAL_HZ.len() - 1)];
        text.push_str(&match heard.audible_margin_db {
            above_db if above_db >= 0.5 => {
                format!(" It stands out most at {hz} Hz, {above_db:.0} dB above what can just be heard there.")
            }
            _ => format!(" It comes nearest to being heard at {hz} Hz."),
        });
    }
    if let Some(target) = &heard.target {
        text.push_str(&format!(
            " The limit “{}” {} (chance that it is kept: {}).",
            target.name,
            against_limit(target.margin_db),
            percent_whole(target.probability)
        ));
    }
    text
}

/// How a level stands to its limit: no decibels where they would round to none.
fn against_limit(margin_db: f64) -> String {
    let whole_db = margin_db.round();
    if whole_db >= 1.0 {
        format!("is kept with {whole_db:.0} dB to spare")
    } else if whole_db <= -1.0 {
        format!("is exceeded by {:.0} dB", -whole_db)
    } else if margin_db >= 0.0 {
        "is just kept".to_owned()
    } else {
        "is only just exceeded".to_owned()
    }
}

/// One sentence for each listener, in order.
#[must_use]
pub fn answer(scene: &Scene, building: &Building, answer: &Answer) -> Vec<String> {
    answer.listeners.iter().map(|heard| listener(scene, building, heard)).collect()
}

/// The strongest paths as one sentence; nothing when none is worth it.
fn ways(building: &Building, heard: &ListenerAnswer) -> Option<String> {
    let named: Vec<&PathRecord> = heard.paths.iter().filter(|path| path.share >= WORTH_NAMING).take(NAMED).collect();
    let (first, rest) = named.split_first()?;
    if rest.is_empty() && first.share > 0.995 {
        return Some(format!("All of it comes {}.", way(building, heard, first)));
    }
    let mut shares: Vec<f64> = named.iter().map(|path| path.share).collect();
    shares.push((1.0 - shares.iter().sum::<f64>()).max(0.0));
    let percents = apportioned(&shares, 100);
    let mut clauses = vec![format!("{} % comes {}", percents[0], way(building, heard, first))];
    clauses.extend(
        rest.iter().zip(&percents[1..]).map(|(path, percent)| format!("{percent} % {}", way(building, heard, path))),
    );
    if percents[named.len()] > 0 {
        clauses.push(format!("{} % by other ways", percents[named.len()]));
    }
    Some(format!("{}.", clauses.join("; ")))
}

/// A sentence for each opening whose gap passes more of what is heard (A-weighted) than the opening does, and is worth closing.
fn telling_gaps(building: &Building, heard: &ListenerAnswer) -> Vec<String> {
    let mut found = vec![];
    for (at, element) in building.elements.iter().enumerate() {
        for (index, opening) in element.openings.iter().enumerate() {
            let share = |face: Surface| -> f64 {
                let uses = heard.paths.iter().filter(|path| path.entry == face || path.exit == face);
                uses.map(|path| path.share).sum()
            };
            let gap = share(Surface::Gap(ElementIndex(at), index));
            if gap > TELLING_GAP && gap > share(Surface::Opening(ElementIndex(at), index)) {
                let covers = opening.fronts.iter().flatten();
                if covers.into_iter().any(|front| matches!(front, OpeningFront::Cover(cover) if cover.on)) {
                    let name = noun(&opening.name);
                    found
                        .push(format!("The gaps round {name} and its cover pass more than {name} and cover together."));
                    continue;
                }
                let (name, under) = (noun(&opening.name), opening.undercut_mm > 0.0);
                let place = if under { "round and under" } else { "round" };
                found.push(format!("The gap {place} {name} passes more than {name}."));
            }
        }
    }
    found
}

/// The way a path takes to a listener: "through the wall between the two rooms", "into the floor, round a junction and out of
/// the wall to bookshop on the listener's side", "by way of the loft (out through the ceiling, in through the ceiling)".
#[must_use]
pub fn way(building: &Building, heard: &ListenerAnswer, path: &PathRecord) -> String {
    let entry = noun(&names::seen_briefly(building, path.entry, path.source_space));
    let exit = noun(&names::seen_briefly(building, path.exit, heard.space));
    let via = || path.via.map_or_else(|| "another room".to_owned(), |space| noun(names::space(building, space)));
    let is_room = |at: SpaceIndex| matches!(building.spaces.get(at.0), Some(Space { kind: SpaceKind::Room(_), .. }));
    match path.kind {
        _ if path.entry == Surface::Air => "straight through the air of the room".to_owned(),
        PathKind::Through if is_room(heard.space) && matches!(path.entry, Surface::Element(_)) => {
            let element = path.entry.element().and_then(|at| building.elements.get(at.0));
            let slab = element.is_some_and(|element| matches!(element.shape, ElementShape::Slab { .. }));
            format!("through the {} between the two rooms", if slab { "floor" } else { "wall" })
        }
        PathKind::Through | PathKind::Gap => format!("through {entry}"),
        PathKind::Flanking => format!("into {entry}, round a junction and out of {exit} on the listener's side"),
        PathKind::Duct => format!("through {entry}"),
        PathKind::ByVoid => format!("through {} (out through {entry}, in through {exit})", via()),
        PathKind::ByRoom => format!("by way of {} (out through {entry}, in through {exit})", via()),
        PathKind::StructureBorne => {
            let touched = path.entry.element().and_then(|at| building.elements.get(at.0));
            let wall = touched.is_some_and(|element| matches!(element.shape, ElementShape::Wall { .. }));
            let by = if wall { format!("by what touches {entry}") } else { format!("by feet and pedals on {entry}") };
            match path.via {
                Some(_) => format!("{by}, by way of {} and in through {exit}", via()),
                None if path.entry == path.exit => by,
                None => format!("{by}, round a junction and out of {exit}"),
            }
        }
        PathKind::ByOutdoors if path.entry == path.exit => format!("through {entry} and the open air"),
        PathKind::ByOutdoors => format!("by the open air (out through {entry}, in through {exit})"),
    }
}

/// The kind of a path in a word or two.
#[must_use]
pub fn kind(kind: PathKind) -> &'static str {
    match kind {
        PathKind::Through => "through",
        PathKind::Flanking => "round a junction",
        PathKind::Gap => "gap",
        PathKind::ByRoom => "by a room",
        PathKind::ByVoid => "by a loft or void",
        PathKind::Duct => "duct",
        PathKind::ByOutdoors => "by the open air",
        PathKind::StructureBorne => "feet and pedals",
    }
}

/// What is loud: "the drum kit and the guitar amp".
fn sources(scene: &Scene, building: &Building, heard: &ListenerAnswer) -> Vec<String> {
    let mut names: Vec<String> = building
        .sources
        .iter()
        .filter(|placed| heard.paths.iter().any(|path| path.source_space == placed.space))
        .filter_map(|placed| scene.sources.iter().find(|source| source.id == placed.source && source.playing))
        .map(|source| noun(&source.name))
        .collect();
    // Two drum kits are named once.
    let mut seen = std::collections::BTreeSet::new();
    names.retain(|name| seen.insert(name.clone()));
    names
}

fn series_of(names: &[String]) -> String {
    if names.is_empty() { "the source".to_owned() } else { series(names) }
}

fn audibility_words(audibility: Audibility, several: bool) -> &'static str {
    match audibility {
        Audibility::Inaudible => "cannot be heard",
        Audibility::JustAudible => "can just be heard",
        Audibility::Clear => "can be heard clearly",
        Audibility::Loud if several => "are loud",
        Audibility::Loud => "is loud",
    }
}

/// How well it is heard: "clearly heard".
#[must_use]
pub fn audibility_word(audibility: Audibility) -> &'static str {
    match audibility {
        Audibility::Inaudible => "not heard",
        Audibility::JustAudible => "just heard",
        Audibility::Clear => "clearly heard",
        Audibility::Loud => "loud",
    }
}

/// A level in whole decibels: "52 dB(A)"; what is below 0 dB(A) is said so.
#[must_use]
pub fn level(la_db: f64) -> String {
    if la_db >= -0.5 { format!("{:.0} dB(A)", la_db.max(0.0)) } else { "under 0 dB(A)".to_owned() }
}

/// A share for lists: "61 %", "3.2 %", "0.4 %", "under 0.1 %".
#[must_use]
pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent >= 9.95 {
        format!("{percent:.0} %")
    } else if percent >= 0.05 {
        format!("{percent:.1} %")
    } else {
        "under 0.1 %".to_owned()
    }
}

/// Shares as whole parts that add up as the shares do (to `whole` when they add to 1): the largest remainders are rounded up.
#[must_use]
pub fn apportioned(shares: &[f64], whole: u32) -> Vec<i64> {
    let exact: Vec<f64> = shares.iter().map(|share| f64::from(whole) * share).collect();
    let mut parts: Vec<i64> = exact.iter().map(|value| value.floor() as i64).collect();
    let missing = exact.iter().sum::<f64>().round() as i64 - parts.iter().sum::<i64>();
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|a, b| exact[*b].fract().total_cmp(&exact[*a].fract()));
    for at in order.into_iter().take(usize::try_from(missing).unwrap_or(0)) {
        parts[at] += 1;
    }
    parts
}

/// A share for sentences: whole percents.
fn percent_whole(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 99.5 && percent < 100.0 - 1e-9 {
        "over 99 %".to_owned()
    } else if percent > 0.0 && percent < 0.5 {
        "under 1 %".to_owned()
    } else {
        format!("{percent:.0} %")
    }
}

/// A name inside a sentence: "Party wall" becomes "the party wall"; "Anna's room" and "outdoors" stand without an article.
#[must_use]
pub fn noun(name: &str) -> String {
    let first = name.split_whitespace().next().unwrap_or("");
    let owned = first.ends_with("'s") || first.ends_with("’s");
    if owned && first.starts_with(char::is_uppercase) || matches!(first.to_lowercase().as_str(), "outdoors" | "the") {
        return name.to_owned();
    }
    let mut letters = name.chars();
    let lowered: String = match (letters.next(), letters.next()) {
        // "TV set" keeps its capitals.
        (Some(a), Some(b)) if a.is_uppercase() && b.is_lowercase() => {
            a.to_lowercase().chain(name.chars().skip(1)).collect()
        }
        _ => name.to_owned(),
    };
    format!("the {lowered}")
}

/// A name at the head of a line: its first letter a capital.
#[must_use]
pub fn heading(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// "a, b and c".
fn series(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_fit_into_sentences() {
        assert_eq!(noun("Party wall"), "the party wall");
        assert_eq!(noun("wall between shop and stairs"), "the wall between shop and stairs");
        assert_eq!(noun("Anna's room"), "Anna's room");
        assert_eq!(noun("TV set"), "the TV set");
        assert_eq!(noun("outdoors"), "outdoors");
        assert_eq!(noun("neighbour's bedroom"), "the neighbour's bedroom");
        assert_eq!(heading("élan room"), "Élan room");
    }

    #[test]
    fn shares_never_claim_too_much() {
        assert_eq!(percent(0.614), "61 %");
        assert_eq!(percent(0.0321), "3.2 %");
        assert_eq!(percent(0.0001), "under 0.1 %");
        assert_eq!(percent_whole(0.9999), "over 99 %");
        assert_eq!(percent_whole(0.001), "under 1 %");
        assert_eq!(percent_whole(1.0), "100 %");
    }

    #[test]
    fn printed_shares_add_to_the_whole() {
        for shares in [vec![1.0 / 3.0; 3], vec![0.5, 0.25, 0.125, 0.0625, 0.0625], vec![1.0], vec![0.9996, 0.0004]] {
            assert_eq!(apportioned(&shares, 1000).iter().sum::<i64>(), 1000, "{shares:?}");
            assert_eq!(apportioned(&shares, 100).iter().sum::<i64>(), 100, "{shares:?}");
        }
        assert_eq!(apportioned(&[1.0 / 3.0; 3], 1000), [334, 333, 333]);
    }

    #[test]
    fn at_the_limit_no_zero_decibels_are_said() {
        for (margin_db, said) in [
            (3.2, "is kept with 3 dB to spare"),
            (0.51, "is kept with 1 dB to spare"),
            (0.49, "is just kept"),
            (0.0, "is just kept"),
            (-0.3, "is only just exceeded"),
            (-0.51, "is exceeded by 1 dB"),
            (-12.4, "is exceeded by 12 dB"),
        ] {
            assert_eq!(against_limit(margin_db), said, "{margin_db}");
        }
    }

    #[test]
    fn levels_below_nothing_are_said_so() {
        assert_eq!(level(51.6), "52 dB(A)");
        assert_eq!(level(-12.0), "under 0 dB(A)");
        assert_eq!(level(f64::NEG_INFINITY), "under 0 dB(A)");
    }
}
