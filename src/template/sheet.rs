//! A plan of rectangles, written as rows of words: what a template draws, as nodes and walls.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::Catalogue;
use crate::scene::{Node, NodeId, WallId};

/// No room.
const OUTDOORS: &str = ".";

/// To the millimetre, as one draws.
pub(super) fn round(length_m: f64) -> f64 {
    (length_m * 1000.0).round() / 1000.0
}

/// Thickness of a construction of the catalogue, m.
///
/// # Errors
///
/// When there is no such construction.
pub(super) fn thickness_m(construction: &str) -> Result<f64, String> {
    let found = Catalogue::built_in_ref().construction(construction);
    found.map(|found| found.thickness_m()).map_err(|unknown| unknown.to_string())
}

/// Where the lines of a plan lie: between them are clear widths, on them walls. m.
#[derive(Debug, Clone)]
pub(super) struct Lines(Vec<f64>);

impl Lines {
    /// Reads a construction, a clear width (m), a construction, and so on.
    ///
    /// # Errors
    ///
    /// When it is not of that form; says why.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        let mut words = text.split_whitespace();
        let mut wall_m = thickness_m(words.next().unwrap_or_default())?;
        let mut lines = vec![0.0];
        while let Some(clear) = words.next() {
            let clear_m: f64 = clear.parse().map_err(|_| format!("\"{clear}\" is no clear width in m"))?;
            let next_m = thickness_m(words.next().unwrap_or_default())?;
            lines.push(round(lines[lines.len() - 1] + clear_m + 0.5 * (wall_m + next_m)));
            wall_m = next_m;
        }
        Ok(Self(lines))
    }

    pub(super) fn last(&self) -> f64 {
        self.0[self.0.len() - 1]
    }

    fn widths(&self) -> usize {
        self.0.len() - 1
    }

    fn middle(&self, width: usize) -> f64 {
        round(0.5 * (self.0[width] + self.0[width + 1]))
    }
}

/// A wall with the room on one side, and on the other a room or "outer-street", "outer-back" and so on, as it faces.
#[derive(Debug, Clone)]
pub(super) struct SheetWall {
    pub id: WallId,
    pub from: NodeId,
    pub to: NodeId,
    pub length_m: f64,
    pub sides: (String, String),
}

impl SheetWall {
    pub(super) fn parts(&self, a: &str, b: &str) -> bool {
        let (one, other) = (self.sides.0.as_str(), self.sides.1.as_str());
        (one, other) == (a, b) || (other, one) == (a, b)
    }
}

/// A storey as it is drawn.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    pub nodes: Vec<Node>,
    pub walls: Vec<SheetWall>,
    /// The middle of the first rectangle of each room, m, by its word.
    pub middles: BTreeMap<String, [f64; 2]>,
}

impl Sheet {
    /// Draws rows from the back to the street, words for rooms, a point for the open air.
    ///
    /// # Errors
    ///
    /// When the rows do not fill the lines.
    pub(super) fn draw(columns: &Lines, rows: &Lines, plan: &[String]) -> Result<Self, String> {
        let cells: Vec<Vec<&str>> = plan.iter().rev().map(|row| row.split_whitespace().collect()).collect();
        let (wide, deep) = (columns.widths(), rows.widths());
        if cells.len() != deep || cells.iter().any(|row| row.len() != wide) {
            return Err(format!("the plan must have {deep} rows of {wide} rooms: {plan:?}"));
        }
        // One further out on each side, so that every line has cells on both.
        let cell = |i: usize, j: usize| {
            let row = j.checked_sub(1).and_then(|j| cells.get(j));
            i.checked_sub(1).and_then(|i| row?.get(i)).copied().unwrap_or(OUTDOORS)
        };
        let (mut used, mut walls) = (BTreeSet::new(), vec![]);
        for i in 0..=wide {
            for (from, to, [left, right]) in runs(deep, &|j| [cell(i, j + 1), cell(i + 1, j + 1)]) {
                let ends = [(i, from), (i, to)];
                used.extend(ends);
                let length_m = rows.0[to] - rows.0[from];
                walls.push(wall(&walls, ends, length_m, [left, right], ["outer-left", "outer-right"]));
            }
        }
        for j in 0..=deep {
            for (from, to, [upper, lower]) in runs(wide, &|i| [cell(i + 1, j + 1), cell(i + 1, j)]) {
                let ends = [(from, j), (to, j)];
                used.extend(ends);
                let length_m = columns.0[to] - columns.0[from];
                walls.push(wall(&walls, ends, length_m, [upper, lower], ["outer-back", "outer-street"]));
            }
        }
        let mut middles: BTreeMap<String, [f64; 2]> = BTreeMap::new();
        for (j, row) in cells.iter().enumerate() {
            for (i, word) in row.iter().enumerate().filter(|(_, word)| **word != OUTDOORS) {
                middles.entry((*word).to_owned()).or_insert([columns.middle(i), rows.middle(j)]);
            }
        }
        let at = |(i, j): (usize, usize)| [columns.0[i], rows.0[j]];
        let nodes = used.into_iter().map(|place| Node { id: node_id(place), at: at(place) }).collect();
        Ok(Self { nodes, walls, middles })
    }
}

/// Runs of equal pairs that differ within themselves: from line to line, with the pair.
fn runs<'a>(count: usize, pair: &dyn Fn(usize) -> [&'a str; 2]) -> Vec<(usize, usize, [&'a str; 2])> {
    let mut runs: Vec<(usize, usize, [&str; 2])> = vec![];
    for at in 0..count {
        let sides = pair(at);
        match runs.last_mut() {
            Some((_, to, last)) if *to == at && *last == sides => *to = at + 1,
            _ if sides[0] != sides[1] => runs.push((at, at + 1, sides)),
            _ => {}
        }
    }
    runs
}

fn node_id((i, j): (usize, usize)) -> NodeId {
    let letter = char::from(b'a' + u8::try_from(i % 26).unwrap_or(0));
    NodeId(format!("{letter}{}", j + 1))
}

/// A wall along increasing coordinates, of its sides the first to its left. Outdoors comes to lie on its left; seen from within, an
/// outer wall faces `facing[0]` when the open air lies left, else `facing[1]`.
fn wall(
    walls: &[SheetWall],
    ends: [(usize, usize); 2],
    length_m: f64,
    sides: [&str; 2],
    facing: [&str; 2],
) -> SheetWall {
    let [from, to] = if sides[1] == OUTDOORS { [ends[1], ends[0]] } else { ends };
    let (a, b) = match sides {
        [OUTDOORS, inner] => (inner, facing[0]),
        [inner, OUTDOORS] => (inner, facing[1]),
        [left, right] => (left, right),
    };
    let base = format!("{a}-{b}");
    let taken = |word: &String| walls.iter().any(|wall| wall.id.0 == *word);
    let id = (1..).map(|n| if n == 1 { base.clone() } else { format!("{base}-{n}") }).find(|word| !taken(word));
    SheetWall {
        id: WallId(id.unwrap_or(base)),
        from: node_id(from),
        to: node_id(to),
        length_m,
        sides: (a.to_owned(), b.to_owned()),
    }
}
