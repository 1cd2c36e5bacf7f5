//! The walls of a plan as a planar graph: points, and straight pieces that meet at points only.

use std::collections::BTreeSet;
use std::f64::consts::{PI, TAU};

use glam::DVec2;

use super::extent::{Extent, near};
use super::polygon::{Ring, signed_area};
use super::segment::{self, Line, along, crossing, distance};

/// Points closer than this are one point, and a point this close to a line lies on it, m.
pub(crate) const SNAP_M: f64 = 1e-3;
/// How far a mitred corner may reach, in units of the thicker stroke's half thickness, before it is cut off.
const LONGEST_MITRE: f64 = 4.0;
/// Bends up to this count as straight on where a corner's setback is concerned, rad (20 degrees).
const NEARLY_STRAIGHT: f64 = PI / 9.0;

/// A straight wall as the graph needs it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stroke {
    /// Position in the caller's list of walls.
    pub wall: usize,
    /// Its middle line, m.
    pub line: Line,
    /// Half its thickness, m.
    pub half_m: f64,
}

/// A stretch of a wall between two points of the graph; it runs the way its wall runs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    /// Position in the caller's list of walls.
    pub wall: usize,
    /// Points at its first and second end.
    pub ends: [usize; 2],
    /// Half its thickness, m.
    pub half_m: f64,
    /// Where along the wall's line it starts and ends, m.
    pub span_m: [f64; 2],
}

/// A piece walked in one direction: even numbers the way its wall runs, odd ones back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Half(pub usize);

impl Half {
    /// The same piece the other way.
    pub(crate) fn back(self) -> Self {
        Self(self.0 ^ 1)
    }

    /// Its piece.
    pub(crate) fn piece(self) -> usize {
        self.0 / 2
    }

    /// Whether it runs as its wall does.
    pub(crate) fn is_forward(self) -> bool {
        self.0.is_multiple_of(2)
    }
}

/// The planar graph of a plan.
#[derive(Debug, Clone, Default)]
pub(crate) struct Graph {
    /// Points where pieces end.
    pub points: Vec<DVec2>,
    /// Pieces, in the order of the walls.
    pub pieces: Vec<Piece>,
    /// For each point, the pieces that leave it, counter-clockwise.
    pub leaving: Vec<Vec<Half>>,
    /// For each half, the direction of travel and its angle, rad.
    headings: Vec<(DVec2, f64)>,
}

impl Graph {
    /// Makes the graph of walls given in the order of their positions. Walls that cross, touch or lie on one another are cut where they meet; a stretch drawn twice counts once.
    pub(crate) fn new(strokes: &[Stroke]) -> Self {
        let mut graph = Self::default();
        let extents: Vec<Extent> = strokes.iter().map(|stroke| Extent::round(stroke.line, 2.0 * SNAP_M)).collect();
        let mut places: Vec<DVec2> = strokes.iter().flat_map(|stroke| stroke.line).collect();
        for (at, others) in near(&extents, &extents).into_iter().enumerate() {
            let earlier = others.into_iter().filter(|&other| other < at);
            places.extend(earlier.filter_map(|other| crossing(strokes[at].line, strokes[other].line, SNAP_M)));
        }
        let point_of = graph.join(&places);
        let spots: Vec<Extent> = graph.points.iter().map(|&point| Extent::round([point], 0.0)).collect();
        let mut drawn = BTreeSet::new();
        for ((at, stroke), on_it) in strokes.iter().enumerate().zip(near(&extents, &spots)) {
            graph.cut(stroke, [point_of[2 * at], point_of[2 * at + 1]], &on_it, &mut drawn);
        }
        let halves = || (0..2 * graph.pieces.len()).map(Half);
        let heading = |half: Half| {
            let heading = segment::heading(graph.line(half));
            (heading, heading.to_angle())
        };
        let headings: Vec<(DVec2, f64)> = halves().map(heading).collect();
        let mut leaving = vec![vec![]; graph.points.len()];
        for half in halves() {
            leaving[graph.origin(half)].push(half);
        }
        for round in &mut leaving {
            round.sort_by(|a, b| headings[a.0].1.total_cmp(&headings[b.0].1).then(a.cmp(b)));
        }
        Self { headings, leaving, ..graph }
    }

    /// Takes places in, each to the first point near it, or as a point of its own; says which.
    fn join(&mut self, places: &[DVec2]) -> Vec<usize> {
        let spots: Vec<Extent> = places.iter().map(|&place| Extent::round([place], SNAP_M)).collect();
        let mut point_of: Vec<usize> = vec![];
        for (at, others) in near(&spots, &spots).into_iter().enumerate() {
            let known = others.into_iter().filter(|&other| other < at).map(|other| point_of[other]);
            let nearby = known.filter(|&point| self.points[point].distance(places[at]) < SNAP_M).min();
            point_of.push(nearby.unwrap_or(self.points.len()));
            if nearby.is_none() {
                self.points.push(places[at]);
            }
        }
        point_of
    }

    /// Adds the pieces of a wall from its first point to its last, cut at those points that lie on it.
    fn cut(&mut self, stroke: &Stroke, [first, last]: [usize; 2], points: &[usize], drawn: &mut BTreeSet<[usize; 2]>) {
        let line = [first, last].map(|at| self.points[at]);
        let length = line[0].distance(line[1]);
        let others = points.iter().filter(|&&at| at != first && at != last);
        let stops = others.map(|&at| (along(line, self.points[at]), at));
        let on_line = |&(t, at): &(f64, usize)| t > 0.0 && t < length && distance(self.points[at], line) < SNAP_M;
        let mut stops: Vec<(f64, usize)> = stops.filter(on_line).collect();
        stops.extend([(0.0, first), (length, last)]);
        stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in stops.windows(2) {
            let ends = [pair[0].1, pair[1].1];
            if ends[0] != ends[1] && drawn.insert([ends[0].min(ends[1]), ends[0].max(ends[1])]) {
                let span_m = [pair[0].0, pair[1].0];
                self.pieces.push(Piece { wall: stroke.wall, ends, half_m: stroke.half_m, span_m });
            }
        }
    }

    /// The point where a half begins.
    pub(crate) fn origin(&self, half: Half) -> usize {
        self.pieces[half.piece()].ends[half.0 % 2]
    }

    /// The point where a half ends.
    pub(crate) fn target(&self, half: Half) -> usize {
        self.origin(half.back())
    }

    /// Where a half begins, m.
    pub(crate) fn at(&self, half: Half) -> DVec2 {
        self.points[self.origin(half)]
    }

    /// Both ends of a half, m.
    pub(crate) fn line(&self, half: Half) -> Line {
        [self.at(half), self.at(half.back())]
    }

    /// Direction of travel.
    pub(crate) fn direction(&self, half: Half) -> DVec2 {
        self.headings[half.0].0
    }

    /// Direction of travel as an angle, rad.
    pub(crate) fn angle(&self, half: Half) -> f64 {
        self.headings[half.0].1
    }

    /// Half the thickness of a half's wall, m.
    pub(crate) fn half_m(&self, half: Half) -> f64 {
        self.pieces[half.piece()].half_m
    }

    /// The next piece counter-clockwise round the point this one leaves, and the angle up to it (2π for a free end).
    fn beside(&self, half: Half, counter_clockwise: bool) -> (Half, f64) {
        let leaving = &self.leaving[self.origin(half)];
        let at = leaving.iter().position(|&other| other == half).unwrap_or(0);
        let step = if counter_clockwise { 1 } else { leaving.len() - 1 };
        let other = leaving[(at + step) % leaving.len()];
        let turn = self.angle(other) - self.angle(half);
        let turn = (if counter_clockwise { turn } else { -turn }).rem_euclid(TAU);
        (other, if turn < 1e-9 { TAU } else { turn })
    }

    /// The piece that follows when the space on the left is walked round.
    pub(crate) fn next_round(&self, half: Half) -> Half {
        self.beside(half.back(), false).0
    }

    /// The piece of a wall at a distance along it.
    pub(crate) fn piece_at(&self, wall: usize, along_m: f64) -> Option<usize> {
        let first = self.pieces.partition_point(|piece| piece.wall < wall);
        let own = self.pieces[first..].iter().take_while(|piece| piece.wall == wall);
        let holds = |piece: &Piece| piece.span_m[0] <= along_m && along_m <= piece.span_m[1];
        own.enumerate().find(|(_, piece)| holds(piece)).map(|(at, _)| first + at)
    }

    /// Whether a point lies inside a wall's thickness.
    pub(crate) fn covers(&self, point: DVec2) -> bool {
        let mut halves = (0..self.pieces.len()).map(|at| Half(2 * at));
        halves.any(|half| distance(point, self.line(half)) < self.half_m(half))
    }

    /// The ground the walls cover: a band for each piece, and mitres that fill the outside of corners. All counter-clockwise.
    pub(crate) fn bands(&self) -> Vec<Ring> {
        let mut bands: Vec<Ring> = vec![];
        for half in (0..2 * self.pieces.len()).map(Half) {
            if half.is_forward() {
                let [a, b] = self.line(half);
                let out = self.direction(half).perp() * self.half_m(half);
                // The points themselves are corners too, so that neighbours share them to the last digit.
                bands.push([a - out, b - out, b, b + out, a + out, a].map(<[f64; 2]>::from).to_vec());
            }
            let (other, turn) = self.beside(half, true);
            if other != half && turn > PI && turn < TAU {
                let [along, along_other] = [half, other].map(|half| (self.direction(half), self.half_m(half)));
                bands.push(mitre(self.at(half), along, along_other));
            }
        }
        bands
    }

    /// How far from the point a piece leaves its clear length begins, common to both sides, m: the neighbouring walls' faces
    /// are in the way. Negative at an outer corner of one side never counts, as the other side is an inner one.
    pub(crate) fn setback_m(&self, half: Half) -> f64 {
        let behind = [true, false].map(|counter_clockwise| {
            let (other, turn) = self.beside(half, counter_clockwise);
            let (own_m, other_m) = (self.half_m(half), self.half_m(other));
            if other == half {
                0.0
            } else if (turn - PI).abs() < NEARLY_STRAIGHT {
                own_m.min(other_m) / (0.5 * turn).tan()
            } else {
                (other_m + own_m * turn.cos()) / turn.sin()
            }
        });
        behind[0].max(behind[1]).max(0.0)
    }
}

/// What lies between two bands that leave a corner, each given by its heading and half thickness: from the left edge of the first to the right edge of
/// the second, up to where these meet. Counter-clockwise, where the second opens by more than a half turn from the first.
pub(crate) fn mitre(corner: DVec2, (along, half_m): (DVec2, f64), (along_other, other_m): (DVec2, f64)) -> Ring {
    let from = corner + along.perp() * half_m;
    let to = corner - along_other.perp() * other_m;
    let tip = from + along * ((to - from).perp_dot(along_other) / along.perp_dot(along_other));
    let near = tip.is_finite() && tip.distance(corner) <= LONGEST_MITRE * half_m.max(other_m);
    let mut ring = vec![corner, from, tip, to];
    if !near {
        ring.remove(2);
    }
    let mut ring: Ring = ring.into_iter().map(<[f64; 2]>::from).collect();
    if signed_area(&ring) < 0.0 {
        ring.reverse();
    }
    ring
}

#[cfg(test)]
mod tests {
    use super::super::segment::line;
    use super::*;

    fn stroke(wall: usize, ends: [[f64; 2]; 2]) -> Stroke {
        Stroke { wall, line: line(ends), half_m: 0.1 }
    }

    #[test]
    fn crossing_walls_are_cut_into_four_pieces() {
        let graph = Graph::new(&[stroke(0, [[0.0, 0.0], [2.0, 0.0]]), stroke(1, [[1.0, -1.0], [1.0, 1.0]])]);
        assert_eq!((graph.points.len(), graph.pieces.len()), (5, 4));
        assert_eq!(graph.leaving[4].len(), 4);
    }

    #[test]
    fn an_end_on_another_wall_cuts_it() {
        let graph = Graph::new(&[stroke(0, [[0.0, 0.0], [2.0, 0.0]]), stroke(1, [[1.0, 0.0], [1.0, 1.0]])]);
        assert_eq!((graph.points.len(), graph.pieces.len()), (4, 3));
    }

    #[test]
    fn walls_drawn_twice_or_without_length_are_taken_once_or_not_at_all() {
        let wall = [[0.0, 0.0], [2.0, 0.0]];
        let graph = Graph::new(&[stroke(0, wall), stroke(1, [wall[1], wall[0]]), stroke(2, [[5.0, 5.0], [5.0, 5.0]])]);
        assert_eq!(graph.pieces.len(), 1);
    }
}
