//! The ways sound takes, in words.

use crate::building::{Building, ElementIndex, PlacedOpening};
use crate::solve::{ListenerAnswer, PathKind, PathRecord, Surface};

use super::parts::{apportioned, heading, noun};
use crate::output::names;

/// How many paths a sentence names.
const NAMED: usize = 3;
/// Paths below this share are not worth a clause.
const WORTH_NAMING: f64 = 0.01;
/// From this share on a gap that passes more than its opening gets a sentence of its own.
const TELLING_GAP: f64 = 0.1;

/// The strongest paths as one sentence; nothing when none is worth it.
pub(super) fn paths(building: &Building, heard: &ListenerAnswer) -> Option<String> {
    let named: Vec<&PathRecord> = heard.paths.iter().filter(|path| path.share >= WORTH_NAMING).take(NAMED).collect();
    let (first, rest) = named.split_first()?;
    if rest.is_empty() && first.share > 0.995 {
        return Some(format!("All of it comes {}.", path_clause(building, heard, first)));
    }
    let mut shares: Vec<f64> = named.iter().map(|path| path.share).collect();
    shares.push((1.0 - shares.iter().sum::<f64>()).max(0.0));
    let percents = apportioned(&shares, 100);
    let mut clauses = vec![format!("{} % comes {}", percents[0], path_clause(building, heard, first))];
    clauses.extend(
        rest.iter()
            .zip(&percents[1..])
            .map(|(path, percent)| format!("{percent} % {}", path_clause(building, heard, path))),
    );
    if percents[named.len()] > 0 {
        clauses.push(format!("{} % by other ways", percents[named.len()]));
    }
    Some(format!("{}.", clauses.join("; ")))
}

/// A sentence for each opening whose gap passes more of what is heard (A-weighted) than the opening does, and is worth closing.
pub(super) fn telling_gaps(building: &Building, heard: &ListenerAnswer) -> Vec<String> {
    let mut found = vec![];
    for (at, element) in building.elements.iter().enumerate() {
        for (index, opening) in element.openings.iter().enumerate() {
            let share = |face: Surface| -> f64 {
                let uses = heard.paths.iter().filter(|path| path.entry == face || path.exit == face);
                uses.map(|path| path.share).sum()
            };
            let gap = share(Surface::Gap(ElementIndex(at), index));
            if gap > TELLING_GAP && gap > share(Surface::Opening(ElementIndex(at), index)) {
                let (gap, name) = (heading(&gap_of(opening)), noun(&opening.name));
                found.push(if names::is_covered(opening) {
                    format!("{gap} pass more than {name} and cover together.")
                } else {
                    format!("{gap} passes more than {name}.")
                });
            }
        }
    }
    found
}

/// What leaks round an opening: "the gap round and under the landing door", "the gaps round the window and its cover".
pub(super) fn gap_of(opening: &PlacedOpening) -> String {
    let name = noun(&opening.name);
    if names::is_covered(opening) {
        format!("the gaps round {name} and its cover")
    } else if opening.undercut_mm > 0.0 {
        format!("the gap round and under {name}")
    } else {
        format!("the gap round {name}")
    }
}

/// The way a path takes to a listener: "through the wall between the two rooms", "into the floor, round a junction and out of
/// the wall to bookshop on the listener's side", "by way of the loft (out through the ceiling, in through the ceiling)".
#[must_use]
pub fn path_clause(building: &Building, heard: &ListenerAnswer, path: &PathRecord) -> String {
    let entry = noun(&names::seen_briefly(building, path.entry, path.source_space));
    let exit = noun(&names::seen_briefly(building, path.exit, heard.space));
    let via = || path.via.map_or_else(|| "another room".to_owned(), |space| noun(names::space(building, space)));
    let (inside, wall) = (names::room(building, heard.space).is_some(), names::is_wall(building, path.entry));
    match path.kind {
        _ if path.entry == Surface::Air => "straight through the air of the room".to_owned(),
        PathKind::Through if inside && matches!(path.entry, Surface::Element(_)) => {
            format!("through the {} between the two rooms", if wall { "wall" } else { "floor" })
        }
        PathKind::Through | PathKind::Gap => format!("through {entry}"),
        PathKind::Flanking => format!("into {entry}, round a junction and out of {exit} on the listener's side"),
        PathKind::Duct => format!("through {entry}"),
        PathKind::ByVoid => format!("through {} (out through {entry}, in through {exit})", via()),
        PathKind::ByRoom => format!("by way of {} (out through {entry}, in through {exit})", via()),
        PathKind::StructureBorne => {
            let by = if wall { format!("by what touches {entry}") } else { format!("by feet and pedals on {entry}") };
            match path.via {
                Some(_) => format!("{by}, by way of {} and in through {exit}", via()),
                None if path.entry == path.exit => by,
                None => format!("{by}, round a junction and out of {exit}"),
            }
        }
        PathKind::Residual => {
            "by what every building has besides (no one builds better than this without proof)".to_owned()
        }
        PathKind::ByOutdoors if path.entry == path.exit => format!("through {entry} and the open air"),
        PathKind::ByOutdoors => format!("by the open air (out through {entry}, in through {exit})"),
    }
}

/// A kind of path as JSON and CSV say it, in a word or two, and as what is stopped.
const fn wording(kind: PathKind) -> [&'static str; 3] {
    match kind {
        PathKind::Through => ["through", "through", "all that comes straight through"],
        PathKind::Flanking => ["flanking", "round a junction", "all that comes round junctions"],
        PathKind::Gap => ["gap", "gap", "all gaps and holes"],
        PathKind::ByRoom => ["by_room", "by a room", "all that comes by other rooms"],
        PathKind::ByVoid => ["by_void", "by a loft or void", "all that comes by lofts and voids"],
        PathKind::Duct => ["duct", "duct", "all that comes through ducts"],
        PathKind::ByOutdoors => ["by_outdoors", "by the open air", "all that comes by the open air"],
        PathKind::StructureBorne => ["structure_borne", "feet and pedals", "all feet and pedals"],
        PathKind::Residual => ["residual", "what every building has besides", "what every building has besides"],
    }
}

/// The kind of a path as JSON and CSV say it.
pub(crate) fn kind_key(kind: PathKind) -> &'static str {
    wording(kind)[0]
}

/// The kind of a path in a word or two.
#[must_use]
pub fn kind(kind: PathKind) -> &'static str {
    wording(kind)[1]
}

/// All paths of a kind, as what is stopped.
pub(super) fn all_of(kind: PathKind) -> &'static str {
    wording(kind)[2]
}
