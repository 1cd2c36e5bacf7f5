//! Inner walls drawn as walls: read as the inner shell they make, so that both ways of drawing have one physics.
//!
//! The narrow space between an inner wall and the wall behind it is no room: up to the frequencies where half a wavelength fits in, it is the
//! air spring of a double leaf. A space marked as [`Usage::Cavity`] says so. Its inner walls become faces of the shell of the room they
//! enclose, with the gap as drawn, and doors in them doors of the shell.

use std::borrow::Cow;
use std::collections::BTreeSet;

use crate::geometry::{Half, Line, along, heading, line, off};
use crate::scene::{
    InnerShell, NodeId, Opening, Problem, Room, RoomId, ShellFace, ShellOpening, Storey, Support, Thing, Usage, WallId,
};

use super::constructions::{Constructions, refuse};
use super::plan::Plan;

/// Walls whose directions differ by more are not parallel: sine of five degrees.
const PARALLEL: f64 = 0.087;
/// A gap wider than this is a room, m. Own limit.
const WIDEST_M: f64 = 1.0;

/// The storeys with their drawn inner walls as shells, and which of their faces read from the old wall into the room, by room and wall.
pub(super) struct Read<'a> {
    pub storeys: Cow<'a, [Storey]>,
    pub reversed: Vec<(RoomId, WallId)>,
}

/// Reads the inner walls of these storeys. What cannot be read is added to `problems`.
pub(super) fn read<'a>(storeys: &'a [Storey], constructions: &Constructions, problems: &mut Vec<Problem>) -> Read<'a> {
    let mut read = Read { storeys: Cow::Borrowed(storeys), reversed: vec![] };
    let cavity = |room: &Room| room.usage == Usage::Cavity;
    if !storeys.iter().any(|storey| storey.rooms.iter().any(cavity)) {
        return read;
    }
    for (at, storey) in storeys.iter().enumerate() {
        if !storey.rooms.iter().any(cavity) {
            continue;
        }
        // What is wrong with the plan itself is said when it is built for good.
        let plan = Plan::new(storey, constructions, 0, &mut vec![]);
        let drawn = Drawn { storey, plan: &plan };
        let mut taken: Vec<WallId> = vec![];
        for (index, room) in plan.rooms.iter().enumerate().filter(|(_, room)| cavity(&room.marker)) {
            match drawn.shell(index) {
                Ok((inside, shell, walls, reversed)) => {
                    let here = &mut read.storeys.to_mut()[at];
                    if let Some(marker) = here.rooms.iter_mut().find(|marker| marker.id == inside) {
                        let known = marker.inner_shell.get_or_insert_default();
                        // What was drawn comes after what was said: a face given by hand stays.
                        known.each_wall.extend(shell.each_wall);
                        known.openings.extend(shell.openings);
                    }
                    read.reversed.extend(reversed.into_iter().map(|wall| (inside.clone(), wall)));
                    taken.extend(walls);
                }
                Err((what, to_do)) => {
                    refuse(problems, storey, Thing::Room(room.marker.id.0.clone()), what, to_do);
                }
            }
        }
        let here = &mut read.storeys.to_mut()[at];
        here.rooms.retain(|room| !cavity(room));
        here.openings.retain(|opening| !taken.contains(&opening.wall));
        here.walls.retain(|wall| !taken.contains(&wall.id));
    }
    read
}

type Shell = (RoomId, InnerShell, Vec<WallId>, Vec<WallId>);
type Refusal = (String, &'static str);

struct Drawn<'a> {
    storey: &'a Storey,
    plan: &'a Plan,
}

/// A piece of wall beside a cavity.
#[derive(Clone, Copy)]
struct Beside {
    /// The piece, walked with the cavity on its left.
    half: Half,
    /// The room on its other side.
    other: Option<usize>,
    /// Ends and direction, m.
    line: Line,
    half_m: f64,
}

impl Drawn<'_> {
    /// The shell that a cavity stands for: the room within, its faces and doors, its walls, and those of its faces that read the other way.
    fn shell(&self, cavity: usize) -> Result<Shell, Refusal> {
        let graph = &self.plan.graph;
        let beside = self.halves_of(cavity).map(|half| Beside {
            half,
            other: self.plan.left[half.back().0],
            line: graph.line(half),
            half_m: graph.half_m(half),
        });
        let beside: Vec<Beside> = beside.collect();
        let inside = self.within(cavity, &beside)?;
        let (inner, outer): (Vec<Beside>, Vec<Beside>) =
            beside.iter().copied().partition(|piece| piece.other == Some(inside));
        let fill = self.plan.rooms[cavity].marker.fill.clone();
        let mut shell = InnerShell::default();
        let (mut walls, mut reversed) = (vec![], vec![]);
        for piece in &inner {
            let wall = &self.storey.walls[graph.pieces[piece.half.piece()].wall];
            if !walls.contains(&wall.id) {
                walls.push(wall.id.clone());
            }
        }
        for old in &outer {
            let wall = &self.storey.walls[graph.pieces[old.half.piece()].wall];
            let Some((new, gap_m)) =
                inner.iter().filter_map(|new| Some((new, gap_m(old, new)?))).min_by(|a, b| a.1.total_cmp(&b.1))
            else {
                continue;
            };
            if gap_m > WIDEST_M || shell.each_wall.iter().any(|(known, _)| *known == wall.id) {
                continue;
            }
            let piece = &graph.pieces[new.half.piece()];
            let inner_wall = &self.storey.walls[piece.wall];
            let face = ShellFace {
                construction: inner_wall.construction.clone(),
                gap_mm: 1000.0 * gap_m,
                fill: fill.clone(),
                support: Support::None,
                workmanship: inner_wall.workmanship,
            };
            // A wall's layers run from its left face. With the cavity on the left of the piece as walked, the room is on its right.
            if new.half.is_forward() {
                reversed.push(wall.id.clone());
            }
            shell.each_wall.push((wall.id.clone(), Some(face)));
            shell.openings.extend(self.openings(&inner_wall.id, &wall.id, old.line)?);
        }
        if shell.each_wall.is_empty() {
            return Err((
                "no wall of it stands parallel to a wall of the room within".into(),
                "draw the inner walls along the outer ones, no more than 1 m before them",
            ));
        }
        Ok((self.plan.rooms[inside].marker.id.clone(), shell, walls, reversed))
    }

    /// The pieces of wall round a room, each walked with the room on its left.
    fn halves_of(&self, room: usize) -> impl Iterator<Item = Half> + '_ {
        let is_left = move |half: Half| self.plan.left[half.0] == Some(room);
        (0..2 * self.plan.graph.pieces.len()).map(Half).filter(move |half| is_left(*half) && !is_left(half.back()))
    }

    /// The one room that the cavity lies round: the one with the largest share of its walls beside it, since all but those it shares with the old
    /// room face the cavity.
    fn within(&self, cavity: usize, beside: &[Beside]) -> Result<usize, Refusal> {
        let share = |room: usize| {
            let all_m: f64 = self.halves_of(room).map(|half| length(&self.plan.graph.line(half))).sum();
            let facing = beside.iter().filter(|piece| piece.other == Some(room));
            facing.map(|piece| length(&piece.line)).sum::<f64>() / all_m
        };
        let rooms: BTreeSet<usize> = beside.iter().filter_map(|piece| piece.other).collect();
        rooms.into_iter().max_by(|a, b| share(*a).total_cmp(&share(*b))).ok_or_else(|| {
            let name = &self.plan.rooms[cavity].marker.name;
            (
                format!("\"{name}\" is marked as the gap of an inner shell, and no room lies within it"),
                "draw the inner walls as a closed room with a marker of its own",
            )
        })
    }

    /// Doors of the inner wall, each with the opening of the old wall it stands before.
    fn openings(&self, inner: &WallId, old: &WallId, old_line: Line) -> Result<Vec<ShellOpening>, Refusal> {
        let place = |opening: &Opening| {
            let wall = self.storey.walls.iter().find(|wall| wall.id == opening.wall)?;
            let at = |id: &NodeId| self.storey.nodes.iter().find(|node| node.id == *id).map(|node| node.at);
            let wall = line([at(&wall.from)?, at(&wall.to)?]);
            Some(along(old_line, wall[0] + heading(wall) * (opening.offset_m + 0.5 * opening.width_m)))
        };
        let mut found = vec![];
        for door in self.storey.openings.iter().filter(|opening| opening.wall == *inner) {
            let behind = self.storey.openings.iter().filter(|opening| opening.wall == *old).find(|opening| {
                let (Some(a), Some(b)) = (place(door), place(opening)) else { return false };
                (a - b).abs() < 0.5 * (door.width_m + opening.width_m)
            });
            let Some(behind) = behind else {
                return Err((
                    format!("opening \"{}\" of its inner wall has no opening of the old wall behind it", door.id),
                    "move it before a door or window, or delete it",
                ));
            };
            found.push(ShellOpening {
                before: behind.id.clone(),
                construction: door.construction.clone(),
                seal: door.seal.clone(),
                undercut_mm: door.undercut_mm,
                workmanship: door.workmanship,
            });
        }
        Ok(found)
    }
}

fn length(line: &Line) -> f64 {
    line[0].distance(line[1])
}

/// Clear distance between two parallel pieces that stand face to face, m.
fn gap_m(old: &Beside, new: &Beside) -> Option<f64> {
    let [a, b] = [old, new].map(|piece| heading(piece.line));
    // Both have the cavity on their left, so they run against each other.
    if a.perp_dot(b).abs() > PARALLEL || a.dot(b) > 0.0 {
        return None;
    }
    let spans = new.line.map(|end| along(old.line, end));
    let [from, to] = [spans[0].min(spans[1]), spans[0].max(spans[1])];
    if to.min(length(&old.line)) - from.max(0.0) <= 0.0 {
        return None;
    }
    let gap_m = off(old.line, new.line[0].midpoint(new.line[1])) - old.half_m - new.half_m;
    (gap_m > 0.0).then_some(gap_m)
}
