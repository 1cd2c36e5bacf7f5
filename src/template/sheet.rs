//! A plan of rectangles, written as rows of words: what a template draws, before it is nodes and walls.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::Catalogue;
use crate::scene::{FloorBuild, Node, NodeId, Opening, OpeningId, Room, Storey, StoreyId, Wall, WallId, Workmanship};

/// No room.
const OUTDOORS: &str = ".";
/// What is left of a wall beside an opening, at least, m.
const PIER_M: f64 = 0.3;

/// Where the lines of a plan lie: between them are clear widths, on them walls.
#[derive(Debug, Clone)]
pub(super) struct Lines(Vec<f64>);

impl Lines {
    /// Lines with walls of these constructions on them, one more than there are clear widths (m).
    pub(super) fn new(clear_m: &[f64], walls: &[&str]) -> Self {
        assert_eq!(walls.len(), clear_m.len() + 1, "a wall on each side of each width");
        let mut lines = vec![0.0];
        for (at, clear_m) in clear_m.iter().enumerate() {
            let walls_m = 0.5 * (thickness_m(walls[at]) + thickness_m(walls[at + 1]));
            lines.push(round(lines[at] + clear_m + walls_m));
        }
        Self(lines)
    }

    pub(super) fn first(&self) -> f64 {
        self.0[0]
    }

    pub(super) fn last(&self) -> f64 {
        self.0[self.0.len() - 1]
    }
}

/// To the millimetre, as one draws.
pub(super) fn round(length_m: f64) -> f64 {
    (length_m * 1000.0).round() / 1000.0
}

/// Thickness of a construction of the catalogue, m.
pub(super) fn thickness_m(construction: &str) -> f64 {
    Catalogue::built_in_ref().constructions.get(construction).map_or(0.1, |found| found.thickness_m())
}

/// What a wall is made of.
#[derive(Debug, Clone, Copy)]
pub(super) struct Made<'a> {
    pub construction: &'a str,
    pub joists_run_on: bool,
    pub stops_at_ceiling: bool,
}

impl<'a> From<&'a str> for Made<'a> {
    fn from(construction: &'a str) -> Self {
        Self { construction, joists_run_on: false, stops_at_ceiling: false }
    }
}

/// Something set into a wall.
#[derive(Debug, Clone, Copy)]
pub(super) struct Set<'a> {
    pub name: &'a str,
    pub construction: &'a str,
    pub width_m: f64,
    pub height_m: f64,
    pub sill_m: f64,
    pub seal: Option<&'a str>,
    pub undercut_mm: f64,
}

/// What a storey is, beside its plan.
#[derive(Debug, Clone)]
pub(super) struct Storeyed<'a> {
    pub id: &'a str,
    pub name: &'a str,
    pub height_m: f64,
    pub floor: &'a str,
    /// Degrees from the x axis.
    pub joists: Option<f64>,
    pub ground: &'a str,
    pub roof: &'a str,
}

/// A storey that was drawn, with what is needed to find its walls and rooms again.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    pub storey: Storey,
    /// Walls with what lies to both sides; outdoors is "outer-street", "outer-back" and so on, as the wall faces.
    sides: Vec<(WallId, String, String)>,
    middles: BTreeMap<String, [f64; 2]>,
}

/// Draws a storey: rows from the back to the street, as one looks at a plan, words for rooms, a point for the open air.
pub(super) fn draw<'a>(
    about: &Storeyed,
    columns: &Lines,
    rows: &Lines,
    plan: &[&str],
    made: &dyn Fn(&str, &str) -> Made<'a>,
    room: &dyn Fn(&str) -> Room,
) -> Drawn {
    let cells: Vec<Vec<&str>> = plan.iter().rev().map(|row| row.split_whitespace().collect()).collect();
    let (wide, deep) = (columns.0.len() - 1, rows.0.len() - 1);
    assert!(cells.len() == deep && cells.iter().all(|row| row.len() == wide), "{plan:?}");
    let cell = |i: Option<usize>, j: Option<usize>| {
        let (Some(i), Some(j)) = (i, j) else { return OUTDOORS };
        cells.get(j).and_then(|row| row.get(i)).copied().unwrap_or(OUTDOORS)
    };
    let below = |n: usize| n.checked_sub(1);
    let mut drawing = Drawing { columns, rows, made, used: BTreeSet::new(), walls: vec![], sides: vec![] };
    for i in 0..=wide {
        let pair = |j: usize| (cell(below(i), Some(j)), cell(Some(i), Some(j)));
        for [from, to] in runs(deep, &pair) {
            let (left, right) = pair(from);
            drawing.wall([(i, from), (i, to)], left, right, ["outer-left", "outer-right"]);
        }
    }
    for j in 0..=deep {
        let pair = |i: usize| (cell(Some(i), Some(j)), cell(Some(i), below(j)));
        for [from, to] in runs(wide, &pair) {
            let (upper, lower) = pair(from);
            drawing.wall([(from, j), (to, j)], upper, lower, ["outer-back", "outer-street"]);
        }
    }
    let mut middles: BTreeMap<String, [f64; 2]> = BTreeMap::new();
    for (j, row) in cells.iter().enumerate() {
        for (i, word) in row.iter().enumerate().filter(|(_, word)| **word != OUTDOORS) {
            let middle = |lines: &Lines, n: usize| round(0.5 * (lines.0[n] + lines.0[n + 1]));
            middles.entry((*word).to_owned()).or_insert([middle(columns, i), middle(rows, j)]);
        }
    }
    let rooms = middles.iter().map(|(word, at)| Room { at: *at, ..room(word) }).collect();
    let at = |(i, j): &(usize, usize)| [columns.0[*i], rows.0[*j]];
    let nodes = drawing.used.iter().map(|place| Node { id: node_id(*place), at: at(place) }).collect();
    let storey = Storey {
        id: about.id.into(),
        name: about.name.to_owned(),
        level_m: 0.0,
        height_m: about.height_m,
        floor: FloorBuild {
            construction: about.floor.to_owned(),
            joist_direction_deg: about.joists,
            workmanship: Workmanship::Usual,
        },
        ground: about.ground.to_owned(),
        roof: about.roof.to_owned(),
        nodes,
        walls: drawing.walls,
        openings: vec![],
        rooms,
        underlay: None,
    };
    Drawn { storey, sides: drawing.sides, middles }
}

/// Runs of equal pairs that differ within themselves: from line to line.
fn runs<'a>(count: usize, pair: &dyn Fn(usize) -> (&'a str, &'a str)) -> Vec<[usize; 2]> {
    let mut runs: Vec<[usize; 2]> = vec![];
    for at in 0..count {
        let (a, b) = pair(at);
        if a == b {
            continue;
        }
        match runs.last_mut() {
            Some(last) if last[1] == at && pair(at - 1) == (a, b) => last[1] = at + 1,
            _ => runs.push([at, at + 1]),
        }
    }
    runs
}

fn node_id((i, j): (usize, usize)) -> NodeId {
    let letter = char::from(b'a' + u8::try_from(i % 26).unwrap_or(0));
    NodeId(format!("{letter}{}", j + 1))
}

struct Drawing<'d, 'a> {
    columns: &'d Lines,
    rows: &'d Lines,
    made: &'d dyn Fn(&str, &str) -> Made<'a>,
    used: BTreeSet<(usize, usize)>,
    walls: Vec<Wall>,
    sides: Vec<(WallId, String, String)>,
}

impl Drawing<'_, '_> {
    /// A wall along increasing coordinates, `left` to its left. Outdoors comes to lie on its left; seen from within, an outer wall faces `facing[0]` when the open air lies left, else `facing[1]`.
    fn wall(&mut self, ends: [(usize, usize); 2], left: &str, right: &str, facing: [&str; 2]) {
        let [from, to] = if right == OUTDOORS { [ends[1], ends[0]] } else { ends };
        self.used.extend(ends);
        let (a, b) = match (left, right) {
            (OUTDOORS, inner) => (inner, facing[0]),
            (inner, OUTDOORS) => (inner, facing[1]),
            (left, right) => (left, right),
        };
        let made = if left == OUTDOORS || right == OUTDOORS { (self.made)(a, OUTDOORS) } else { (self.made)(a, b) };
        let taken = |word: &str| self.walls.iter().any(|wall| wall.id.0 == word);
        let base = format!("{a}-{b}");
        let id = (2..).map(|n| format!("{base}-{n}")).take(99).fold(None, |found: Option<String>, next| {
            found.or_else(|| if taken(&base) { (!taken(&next)).then_some(next) } else { Some(base.clone()) })
        });
        let id = WallId(id.unwrap_or(base));
        self.sides.push((id.clone(), a.to_owned(), b.to_owned()));
        debug_assert!(from.0 < self.columns.0.len() && from.1 < self.rows.0.len(), "on the sheet");
        self.walls.push(Wall {
            id,
            from: node_id(from),
            to: node_id(to),
            construction: made.construction.to_owned(),
            joists_run_on: made.joists_run_on,
            stops_at_ceiling: made.stops_at_ceiling,
            workmanship: Workmanship::Usual,
        });
    }
}

impl Drawn {
    /// The middle of a room's first rectangle, m.
    pub(super) fn middle(&self, room: &str) -> [f64; 2] {
        self.middles[room]
    }

    /// Sets an opening into the wall between two rooms, or that of a room towards a side, so far along (0 to 1). Narrower where the
    /// wall is short, lower where the room is.
    pub(super) fn set(&mut self, id: &str, between: (&str, &str), set: &Set, along: f64) {
        let same = |a: &str, b: &str| (a, b) == between || (b, a) == between;
        let Some((wall, ..)) = self.sides.iter().find(|(_, a, b)| same(a, b)) else {
            unreachable!("no wall between {between:?}")
        };
        let length_m = self.length_m(wall);
        let width_m = round(set.width_m.min(length_m - 2.0 * PIER_M));
        let height_m = round(set.height_m.min(self.storey.height_m - set.sill_m));
        let offset_m = round(PIER_M + along * (length_m - 2.0 * PIER_M - width_m));
        self.storey.openings.push(Opening {
            id: OpeningId(id.to_owned()),
            name: set.name.to_owned(),
            wall: wall.clone(),
            construction: set.construction.to_owned(),
            offset_m,
            width_m,
            height_m,
            sill_m: set.sill_m,
            seal: set.seal.map(str::to_owned),
            undercut_mm: set.undercut_mm,
            cover: None,
            workmanship: Workmanship::Usual,
        });
    }

    fn length_m(&self, wall: &WallId) -> f64 {
        let at = |id: &NodeId| self.storey.nodes.iter().find(|node| node.id == *id).map_or([0.0; 2], |node| node.at);
        let wall = self.storey.walls.iter().find(|known| known.id == *wall);
        wall.map_or(0.0, |wall| {
            let ([x0, y0], [x1, y1]) = (at(&wall.from), at(&wall.to));
            (x1 - x0).hypot(y1 - y0)
        })
    }

    pub(super) fn id(&self) -> StoreyId {
        self.storey.id.clone()
    }
}
