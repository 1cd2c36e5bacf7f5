//! The ways sound takes, in words.

use std::cmp::Ordering;

use glam::DVec2;

use crate::building::{Building, ElementIndex, ElementShape};
use crate::geometry;
use crate::solve::{ListenerAnswer, PathKind, PathRecord, Surface};

use super::parts::{apportioned, heading, is_short, noun};
use crate::output::leaks::By;
use crate::output::names::{self, Naming};

/// How many ways a sentence names.
const NAMED: usize = 3;
/// Ways below this share are not worth a clause.
const WORTH_NAMING: f64 = 0.01;
/// From this share on a gap that passes more than its opening gets a sentence of its own.
const TELLING_GAP: f64 = 0.1;

/// The strongest ways in words of the house, those told alike taken together; nothing when none is worth it. "76 % comes through the
/// wall to the bedroom. Then 4 % runs along the ceiling, 3 % comes by way of the loft. The other 17 % takes other ways."
pub(super) fn shares(building: &Building, naming: &Naming, heard: &ListenerAnswer) -> Option<String> {
    let mut all: Vec<(String, f64)> = vec![];
    for path in &heard.paths {
        let words = briefly(building, naming, heard, path);
        match all.iter_mut().find(|(other, _)| *other == words) {
            Some((_, share)) => *share += path.share,
            None => all.push((words, path.share)),
        }
    }
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all.truncate(NAMED);
    all.retain(|(_, share)| *share >= WORTH_NAMING);
    let (first, rest) = all.split_first()?;
    if rest.is_empty() && first.1 > 0.995 {
        return Some(format!("All of it {}.", first.0));
    }
    let mut parts: Vec<f64> = all.iter().map(|(_, share)| *share).collect();
    parts.push((1.0 - parts.iter().sum::<f64>()).max(0.0));
    let percents = apportioned(&parts, 100);
    let clauses: Vec<String> =
        all.iter().zip(&percents).map(|((words, _), percent)| format!("{percent} % {words}")).collect();
    let mut sentences = vec![clauses[0].clone()];
    // Two numbers never meet at a full stop: "no. 10. 4 %" reads as 10.4 %.
    let joined = format!("Then {}", clauses[1..].join(", "));
    if !is_short(&joined) {
        sentences.extend(clauses[1..].iter().map(|clause| format!("Then {clause}")));
    } else if clauses.len() > 1 {
        sentences.push(joined);
    }
    if percents[all.len()] > 0 {
        sentences.push(format!("The other {} % takes other ways", percents[all.len()]));
    }
    Some(format!("{}.", sentences.join(". ")))
}

/// A sentence for each opening whose gap passes more of what is heard (A-weighted) than the opening does, and is worth closing.
pub(super) fn telling_gaps(building: &Building, naming: &Naming, heard: &ListenerAnswer) -> Vec<String> {
    let mut found = vec![];
    for (at, element) in building.elements.iter().enumerate() {
        for (index, opening) in element.openings.iter().enumerate() {
            let faces = [Surface::Gap(ElementIndex(at), index), Surface::Opening(ElementIndex(at), index)];
            let [gap, pane] = faces.map(|face| -> f64 {
                let uses = heard.paths.iter().filter(|path| path.entry == face || path.exit == face);
                uses.map(|path| path.share).sum()
            });
            if gap > TELLING_GAP && gap > pane {
                let [gap, name] = faces.map(|face| naming.noun(building, face));
                found.push(if names::is_covered(opening) {
                    format!("{} pass more than {name} and cover together.", heading(&gap))
                } else {
                    format!("{} passes more than {name}.", heading(&gap))
                });
            }
        }
    }
    found
}

/// A way in as few words as tell a builder where to look, after its share: "comes through the wall to the bedroom", "runs down the outer wall".
fn briefly(building: &Building, naming: &Naming, heard: &ListenerAnswer, path: &PathRecord) -> String {
    let exit = || naming.noun(building, path.exit);
    match path.kind {
        PathKind::Flanking => {
            let whole = format!("runs {}", round(building, naming, path));
            // Where names are long the list says where it comes out.
            if is_short(&format!("Then 100 % {whole}.")) {
                whole
            } else {
                format!("runs on from {}", naming.noun(building, path.entry))
            }
        }
        PathKind::ByVoid | PathKind::ByRoom => format!("comes by way of {}", via(building, path)),
        PathKind::StructureBorne => format!("comes from {}", struck(building, naming, path)),
        PathKind::ByOutdoors => format!("comes by the open air and {}", exit()),
        PathKind::Through | PathKind::Gap | PathKind::Duct | PathKind::Residual => {
            format!("comes {}", path_clause(building, naming, heard, path))
        }
    }
}

/// The way a path takes to a listener, for a line of its own: "through the wall to the bedroom", "down the wall to the bedroom", "from the floor into the
/// wall between bookshop and front room", "by way of the loft, out by the ceiling and in by the ceiling of the bedroom".
#[must_use]
pub fn path_clause(building: &Building, naming: &Naming, heard: &ListenerAnswer, path: &PathRecord) -> String {
    let [entry, exit] = [path.entry, path.exit].map(|face| naming.noun(building, face));
    match path.kind {
        _ if path.entry == Surface::Air => {
            let several = heard.paths.iter().any(|other| other.source_space != heard.paths[0].source_space);
            if several {
                format!("straight through the air of {}", noun(names::space(building, path.source_space)))
            } else {
                "straight through the air of the room".to_owned()
            }
        }
        PathKind::Through | PathKind::Gap | PathKind::Duct => format!("through {entry}"),
        PathKind::Flanking => round(building, naming, path),
        PathKind::ByVoid | PathKind::ByRoom => {
            format!("by way of {}, out by {entry} and in by {exit}", via(building, path))
        }
        PathKind::StructureBorne => {
            let by = format!("by {}", struck(building, naming, path));
            match path.via {
                Some(_) => format!("{by}, by way of {} and in by {exit}", via(building, path)),
                None if path.entry == path.exit => by,
                None => format!("{by}, into {exit}"),
            }
        }
        PathKind::Residual => "by what every building passes besides".to_owned(),
        PathKind::ByOutdoors if path.entry == path.exit => format!("through {entry} and the open air"),
        PathKind::ByOutdoors => format!("by the open air, out by {entry} and in by {exit}"),
    }
}

/// What is left to say of a way below a line that names the face at one end of it: "straight through", "into the outer wall", "by way of the loft,
/// in by the ceiling of the bedroom".
#[must_use]
pub fn path_rest(building: &Building, naming: &Naming, path: &PathRecord, by: By) -> String {
    let out = by == By::Entry;
    let other = naming.noun(building, if out { path.exit } else { path.entry });
    let end = if out { format!("in by {other}") } else { format!("out by {other}") };
    match path.kind {
        _ if path.entry == Surface::Air => "straight through the air".to_owned(),
        PathKind::Through | PathKind::Gap | PathKind::Duct => "straight through".to_owned(),
        PathKind::Flanking => match going_on(building, path) {
            Some(along) if out => format!("{along} it, into {other}"),
            Some(along) => format!("{along} {other}"),
            None if out => format!("into {other}"),
            None => format!("from {other}"),
        },
        PathKind::ByVoid | PathKind::ByRoom => format!("by way of {}, {end}", via(building, path)),
        PathKind::StructureBorne => {
            let struck = if names::is_wall(building, path.entry) { "what touches" } else { "feet and pedals on" };
            let way = path.via.map_or(String::new(), |_| format!(", by way of {}", via(building, path)));
            match (out, path.entry == path.exit) {
                (_, true) => format!("{struck} it{way}"),
                (true, false) => format!("{struck} it{way}, into {other}"),
                (false, false) => format!("{struck} {other}{way}"),
            }
        }
        PathKind::Residual => "what every building passes besides".to_owned(),
        PathKind::ByOutdoors if path.entry == path.exit => "through the open air".to_owned(),
        PathKind::ByOutdoors => format!("by the open air, {end}"),
    }
}

fn via(building: &Building, path: &PathRecord) -> String {
    path.via.map_or_else(|| "another room".to_owned(), |space| noun(names::space(building, space)))
}

fn struck(building: &Building, naming: &Naming, path: &PathRecord) -> String {
    let on = naming.noun(building, path.entry);
    if names::is_wall(building, path.entry) { format!("what touches {on}") } else { format!("feet and pedals on {on}") }
}

/// How sound in the structure gets from one element into another: along or down what goes on beyond, else from the one into the other.
fn round(building: &Building, naming: &Naming, path: &PathRecord) -> String {
    let [entry, exit] = [path.entry, path.exit].map(|face| naming.noun(building, face));
    match going_on(building, path) {
        Some(along) => format!("{along} {entry}"),
        None => format!("from {entry} into {exit}"),
    }
}

/// How a way goes on in what goes on beyond: "along", "down"; nothing where it turns into something else.
fn going_on(building: &Building, path: &PathRecord) -> Option<&'static str> {
    let shape = |face: Surface| Some(&building.elements.get(face.element()?.0)?.shape);
    match (shape(path.entry), shape(path.exit)) {
        (
            Some(ElementShape::Wall { line, level_m, .. }),
            Some(ElementShape::Wall { line: beyond, level_m: other_m, .. }),
        ) if in_line(*line, *beyond) => Some(match level_m.total_cmp(other_m) {
            Ordering::Greater => "down",
            Ordering::Less => "up",
            Ordering::Equal => "along",
        }),
        (Some(ElementShape::Slab { .. }), Some(ElementShape::Slab { .. })) if side_of(building, path) => Some("along"),
        _ => None,
    }
}

/// True for two slabs at the same height: a ceiling that goes on, a floor that goes on.
fn side_of(building: &Building, path: &PathRecord) -> bool {
    let rooms = |face: Surface| -> Vec<usize> {
        let element = face.element().and_then(|at| building.elements.get(at.0));
        let sides = element.iter().flat_map(|element| element.sides.iter().enumerate());
        sides.filter_map(|(side, at)| Some(2 * names::room(building, *at)?.storey + side)).collect()
    };
    // A floor is on the first side of its room, a ceiling on the second: the same storey on the same side.
    let (one, other) = (rooms(path.entry), rooms(path.exit));
    one.iter().any(|at| other.contains(at))
}

/// True for two walls that stand above each other or go on in one line.
fn in_line(one: [[f64; 2]; 2], other: [[f64; 2]; 2]) -> bool {
    /// Walls within this of one line are one wall to look at, m. Own choice: about a wall's thickness.
    const NEAR_M: f64 = 0.3;
    let line = one.map(DVec2::from);
    other.into_iter().all(|at| geometry::off(line, at.into()).abs() < NEAR_M)
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
