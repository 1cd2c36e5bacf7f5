//! Walls: pieces of the graph that divide two spaces, joined to elements, and what is set into them.

use std::collections::BTreeMap;

use crate::geometry::{Half, Line};
use crate::scene::{Problem, Storey, Thing, Wall, WallId};

use super::constructions::{Constructions, reads_the_same, refuse};
use super::model::{Element, ElementIndex, ElementShape, PlacedOpening, SpaceIndex};
use super::plan::{Plan, Site};

/// Shorter stretches of wall are no element, m.
pub(super) const SHORTEST_M: f64 = 0.05;
/// Pieces that bend by more than this are not one wall: sine of half a degree.
const STRAIGHT: f64 = 0.0087;

/// Where a wall stands in the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Track {
    /// Middle line, first to second end, m.
    pub line: Line,
    /// Part of the line that is clear on both sides, m from its first end.
    pub clear_m: [f64; 2],
    /// Half its thickness, m.
    pub half_m: f64,
}

/// A wall element with what junctions ask of it.
#[derive(Debug, Clone)]
pub(super) struct Run {
    /// The element.
    pub element: ElementIndex,
    /// The wall it is named after.
    pub first_wall: String,
    /// Where it stands.
    pub track: Track,
    /// Construction id.
    pub construction: String,
    /// Whether floor joists run on through it.
    pub joists_run_on: bool,
}

/// The walls of a storey.
#[derive(Debug, Clone, Default)]
pub(super) struct Runs {
    pub runs: Vec<Run>,
    /// For each piece of the graph, the run it belongs to, if any.
    pub of_piece: Vec<Option<usize>>,
}

/// What the walls of one storey are built from.
pub(super) struct Walls<'a> {
    at: usize,
    storey: &'a Storey,
    plan: &'a Plan,
    constructions: &'a Constructions<'a>,
    outdoors: SpaceIndex,
}

impl<'a> Walls<'a> {
    pub(super) fn of(site: &'a Site, at: usize) -> Self {
        let Site { storeys, plans, constructions, outdoors, .. } = site;
        Self { at, storey: &storeys[at], plan: &plans[at], constructions, outdoors: *outdoors }
    }

    /// Adds the storey's walls to `elements`.
    pub(super) fn build(&self, elements: &mut Vec<Element>, problems: &mut Vec<Problem>) -> Runs {
        let pieces = self.plan.graph.pieces.len();
        let mut done = vec![false; pieces];
        let mut runs = Runs { runs: vec![], of_piece: vec![None; pieces] };
        for piece in 0..pieces {
            if done[piece] || !self.divides(piece) {
                continue;
            }
            let chain = self.chain(Half(2 * piece));
            for half in &chain {
                done[half.piece()] = true;
            }
            if let Some(run) = self.run(&chain, ElementIndex(elements.len()), elements) {
                for half in &chain {
                    runs.of_piece[half.piece()] = Some(runs.runs.len());
                }
                runs.runs.push(run);
            }
        }
        self.set_openings(&runs, elements, problems);
        runs
    }

    fn wall(&self, piece: usize) -> &Wall {
        &self.storey.walls[self.plan.graph.pieces[piece].wall]
    }

    /// The space on the left of a half.
    fn space(&self, half: Half) -> SpaceIndex {
        self.plan.left[half.0].map_or(self.outdoors, |room| self.plan.rooms[room].space)
    }

    /// Whether a piece has different spaces on its two sides.
    fn divides(&self, piece: usize) -> bool {
        self.space(Half(2 * piece)) != self.space(Half(2 * piece + 1))
    }

    /// All pieces that make one wall with this one, first to last in the direction of this one. Pieces come in the order of
    /// the scene's walls, so the first wall of the scene gives the element its direction and its id.
    fn chain(&self, start: Half) -> Vec<Half> {
        let mut chain = vec![start];
        while let Some(next) = self.follows(start, *chain.last().unwrap_or(&start)).filter(|next| !chain.contains(next))
        {
            chain.push(next);
        }
        let mut before = vec![];
        let mut last = start.back();
        while let Some(next) = self.follows(start.back(), last).filter(|next| !chain.contains(&next.back())) {
            before.push(next.back());
            last = next;
        }
        before.reverse();
        before.extend(chain);
        before
    }

    /// The piece that continues `half`, when it is part of the same wall as `start`.
    fn follows(&self, start: Half, half: Half) -> Option<Half> {
        let graph = &self.plan.graph;
        let mut others = graph.leaving[graph.target(half)]
            .iter()
            .copied()
            .filter(|&other| other != half.back() && self.divides(other.piece()));
        let (Some(next), None) = (others.next(), others.next()) else { return None };
        let (a, b) = (self.wall(half.piece()), self.wall(next.piece()));
        let (along, along_next) = (graph.direction(start), graph.direction(next));
        let same = a.construction == b.construction
            && (a.joists_run_on, a.stops_at_ceiling, a.workmanship)
                == (b.joists_run_on, b.stops_at_ceiling, b.workmanship)
            && (half.is_forward() == next.is_forward()
                || self.constructions.get(&a.construction).is_none_or(|made| reads_the_same(made.construction)))
            && self.space(half) == self.space(next)
            && self.space(half.back()) == self.space(next.back());
        let straight = along.perp_dot(along_next).abs() < STRAIGHT && along.dot(along_next) > 0.0;
        (same && straight).then_some(next)
    }

    fn run(&self, chain: &[Half], element: ElementIndex, elements: &mut Vec<Element>) -> Option<Run> {
        let graph = &self.plan.graph;
        let (&first, &last) = (chain.first()?, chain.last()?);
        // The chain runs like its earliest wall.
        let lead = chain.iter().map(|half| half.piece()).min()?;
        let line = [graph.at(first), graph.at(last.back())];
        let length = line[0].distance(line[1]);
        let clear_m = [graph.setback_m(first), length - graph.setback_m(last.back())];
        let clear = clear_m[1] - clear_m[0];
        let height = self.storey.height_m;
        if clear < SHORTEST_M || !(height > 0.0 && height.is_finite()) {
            return None;
        }
        let wall = self.wall(lead);
        let sides = [self.space(first), self.space(first.back())];
        let half_m = graph.half_m(first);
        let mut walls: Vec<_> = chain.iter().map(|half| self.wall(half.piece()).id.clone()).collect();
        walls.dedup();
        let rooms = [first, first.back()].map(|half| Some(&self.plan.rooms[self.plan.left[half.0]?].marker.name));
        let name = match rooms {
            [Some(one), Some(other)] => format!("wall between {one} and {other}"),
            [one, other] => format!("outer wall of {}", one.or(other).map_or("", String::as_str)),
        };
        elements.push(Element {
            id: format!("{}/{}", self.storey.id, wall.id),
            name,
            shape: ElementShape::Wall {
                storey: self.at,
                walls,
                line: line.map(Into::into),
                thickness_m: 2.0 * half_m,
                height_m: height,
                level_m: self.storey.level_m,
            },
            sides,
            area_m2: clear * height,
            size_m: [clear.max(height), clear.min(height)],
            construction: wall.construction.clone(),
            reversed: false,
            openings: vec![],
            joist_direction_deg: None,
            workmanship: wall.workmanship,
            fronts: [None, None],
        });
        Some(Run {
            element,
            first_wall: wall.id.0.clone(),
            track: Track { line, clear_m, half_m },
            construction: wall.construction.clone(),
            joists_run_on: wall.joists_run_on,
        })
    }

    /// Puts each opening into its element. One in a wall that divides nothing lets no sound through and is left out.
    fn set_openings(&self, runs: &Runs, elements: &mut [Element], problems: &mut Vec<Problem>) {
        let graph = &self.plan.graph;
        let mut walls: BTreeMap<&WallId, usize> = BTreeMap::new();
        for (at, wall) in self.storey.walls.iter().enumerate() {
            walls.entry(&wall.id).or_insert(at);
        }
        for opening in &self.storey.openings {
            let thing = Thing::Opening(opening.id.0.clone());
            let Some(wall) = walls.get(&opening.wall) else { continue };
            let size = [opening.width_m, opening.height_m];
            let Some(piece) = graph.piece_at(*wall, opening.offset_m + 0.5 * opening.width_m) else {
                let what = "it lies beyond the end of its wall";
                refuse(problems, self.storey, thing, what, "move it along the wall, or make the wall longer");
                continue;
            };
            let half = Half(2 * piece);
            let along_wall = |m: f64| graph.at(half) + graph.direction(half) * (m - graph.pieces[piece].span_m[0]);
            let line = [along_wall(opening.offset_m), along_wall(opening.offset_m + opening.width_m)];
            let Some(run) = runs.of_piece[piece] else { continue };
            let own = Some(&opening.name).filter(|name| !name.is_empty());
            let name = own.or_else(|| Some(&self.constructions.get(&opening.construction)?.construction.name));
            elements[runs.runs[run].element.0].openings.push(PlacedOpening {
                opening: opening.id.clone(),
                storey: self.at,
                name: name.unwrap_or(&opening.construction).clone(),
                construction: opening.construction.clone(),
                at: line[0].midpoint(line[1]).into(),
                line: line.map(Into::into),
                size_m: size,
                sill_m: opening.sill_m,
                seal: opening.seal.clone(),
                undercut_mm: opening.undercut_mm,
                workmanship: opening.workmanship,
                fronts: [vec![], vec![]],
            });
        }
        for run in &runs.runs {
            let element = &elements[run.element.0];
            let open: f64 = element.openings.iter().map(PlacedOpening::area_m2).sum();
            if open > element.area_m2 * (1.0 + 1e-9) {
                let what = format!("its openings take {open:.2} m², its clear face has {:.2} m²", element.area_m2);
                let wall = Thing::Wall(run.first_wall.clone());
                refuse(problems, self.storey, wall, what, "make them smaller, or the wall longer");
            }
        }
    }
}
