//! The walls of one storey as a planar graph: points, and straight pieces that meet at points only.

use super::geometry::{Point, cross, direction, distance, dot, minus, moved};

/// Points closer than this are one point, and a point this close to a wall lies on it, m.
const SNAP_M: f64 = 1e-3;

/// A wall as the graph needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Line {
    /// Position in the scene's list of walls.
    pub wall: usize,
    /// First and second end, m.
    pub ends: [Point; 2],
    /// Half its thickness, m.
    pub half_m: f64,
}

/// A stretch of a wall between two points of the graph; it runs the way its wall runs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    /// Position in the scene's list of walls.
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
pub(super) struct Half(pub usize);

impl Half {
    pub(super) fn back(self) -> Self {
        Self(self.0 ^ 1)
    }

    pub(super) fn piece(self) -> usize {
        self.0 / 2
    }

    pub(super) fn is_forward(self) -> bool {
        self.0.is_multiple_of(2)
    }
}

/// The planar graph of a storey.
#[derive(Debug, Clone, Default)]
pub(super) struct Graph {
    pub points: Vec<Point>,
    pub pieces: Vec<Piece>,
    /// For each point, the pieces that leave it, counter-clockwise.
    pub leaving: Vec<Vec<Half>>,
    /// For each half, the direction of travel and its angle, rad.
    headings: Vec<(Point, f64)>,
}

impl Graph {
    /// Makes the graph. Walls that cross, touch or lie on one another are cut where they meet; a stretch drawn twice counts once.
    pub(super) fn new(lines: &[Line]) -> Self {
        let mut graph = Self::default();
        let ends: Vec<[usize; 2]> = lines.iter().map(|line| line.ends.map(|end| graph.point(end))).collect();
        for (at, a) in lines.iter().enumerate() {
            for b in &lines[..at] {
                if let Some(crossing) = crossing(a.ends, b.ends) {
                    graph.point(crossing);
                }
            }
        }
        for (line, ends) in lines.iter().zip(ends) {
            graph.cut(line, ends);
        }
        let heading = |half: Half| {
            let [x, y] = direction(graph.at(half), graph.at(half.back()));
            ([x, y], y.atan2(x))
        };
        graph.headings = (0..2 * graph.pieces.len()).map(|at| heading(Half(at))).collect();
        graph.leaving = vec![vec![]; graph.points.len()];
        for at in 0..2 * graph.pieces.len() {
            let origin = graph.origin(Half(at));
            graph.leaving[origin].push(Half(at));
        }
        for point in 0..graph.points.len() {
            let mut leaving = std::mem::take(&mut graph.leaving[point]);
            leaving.sort_by(|&a, &b| graph.angle(a).total_cmp(&graph.angle(b)).then(a.cmp(&b)));
            graph.leaving[point] = leaving;
        }
        graph
    }

    /// The point at a place, an existing one where there is one.
    fn point(&mut self, at: Point) -> usize {
        let near = |point: Point| (point[0] - at[0]).abs() < SNAP_M && distance(point, at) < SNAP_M;
        self.points.iter().position(|&point| near(point)).unwrap_or_else(|| {
            self.points.push(at);
            self.points.len() - 1
        })
    }

    fn cut(&mut self, line: &Line, [first, last]: [usize; 2]) {
        let (a, b) = (self.points[first], self.points[last]);
        let (along, length) = (direction(a, b), distance(a, b));
        let mut stops: Vec<(f64, usize)> = self
            .points
            .iter()
            .enumerate()
            .filter(|&(at, _)| at != first && at != last)
            .filter_map(|(at, &point)| {
                let from_a = minus(point, a);
                let t = dot(from_a, along);
                (cross(along, from_a).abs() < SNAP_M && t > 0.0 && t < length).then_some((t, at))
            })
            .collect();
        stops.push((0.0, first));
        stops.push((length, last));
        stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in stops.windows(2) {
            let ends = [pair[0].1, pair[1].1];
            let known = self.pieces.iter().any(|piece| piece.ends == ends || piece.ends == [ends[1], ends[0]]);
            if ends[0] != ends[1] && !known {
                self.pieces.push(Piece { wall: line.wall, ends, half_m: line.half_m, span_m: [pair[0].0, pair[1].0] });
            }
        }
    }

    pub(super) fn origin(&self, half: Half) -> usize {
        self.pieces[half.piece()].ends[half.0 % 2]
    }

    pub(super) fn target(&self, half: Half) -> usize {
        self.origin(half.back())
    }

    pub(super) fn at(&self, half: Half) -> Point {
        self.points[self.origin(half)]
    }

    /// Direction of travel.
    pub(super) fn direction(&self, half: Half) -> Point {
        self.headings[half.0].0
    }

    /// Direction of travel as an angle, rad.
    pub(super) fn angle(&self, half: Half) -> f64 {
        self.headings[half.0].1
    }

    pub(super) fn half_m(&self, half: Half) -> f64 {
        self.pieces[half.piece()].half_m
    }

    /// The next piece counter-clockwise round the point this one leaves, and the angle up to it (2π for a free end).
    pub(super) fn beside(&self, half: Half, counter_clockwise: bool) -> (Half, f64) {
        let leaving = &self.leaving[self.origin(half)];
        let at = leaving.iter().position(|&other| other == half).unwrap_or(0);
        let step = if counter_clockwise { 1 } else { leaving.len() - 1 };
        let other = leaving[(at + step) % leaving.len()];
        let turn = self.angle(other) - self.angle(half);
        let turn = (if counter_clockwise { turn } else { -turn }).rem_euclid(std::f64::consts::TAU);
        (other, if turn < 1e-9 { std::f64::consts::TAU } else { turn })
    }

    /// The piece that follows when the space on the left is walked round.
    pub(super) fn next_round(&self, half: Half) -> Half {
        self.beside(half.back(), false).0
    }
}

/// Where two segments cross, both inside: their ends lie clear of the other's line on its two sides, so that roundoff has no say.
fn crossing(a: [Point; 2], b: [Point; 2]) -> Option<Point> {
    // Most walls lie nowhere near each other.
    let beyond = |axis: usize, a: [Point; 2], b: [Point; 2]| a[0][axis].max(a[1][axis]) < b[0][axis].min(b[1][axis]);
    if (0..2).any(|axis| beyond(axis, a, b) || beyond(axis, b, a)) {
        return None;
    }
    let off_m = |line: [Point; 2], end: Point| cross(direction(line[0], line[1]), minus(end, line[0]));
    let part = |[p, q]: [f64; 2]| (p.abs().min(q.abs()) >= SNAP_M && (p < 0.0) != (q < 0.0)).then(|| p / (p - q));
    part(b.map(|end| off_m(a, end)))?;
    let t = part(a.map(|end| off_m(b, end)))?;
    Some(moved(a[0], minus(a[1], a[0]), t))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(wall: usize, ends: [Point; 2]) -> Line {
        Line { wall, ends, half_m: 0.1 }
    }

    #[test]
    fn crossing_walls_are_cut_into_four_pieces() {
        let graph = Graph::new(&[line(0, [[0.0, 0.0], [2.0, 0.0]]), line(1, [[1.0, -1.0], [1.0, 1.0]])]);
        assert_eq!((graph.points.len(), graph.pieces.len()), (5, 4));
        assert_eq!(graph.leaving[4].len(), 4);
    }

    #[test]
    fn an_end_on_another_wall_cuts_it() {
        let graph = Graph::new(&[line(0, [[0.0, 0.0], [2.0, 0.0]]), line(1, [[1.0, 0.0], [1.0, 1.0]])]);
        assert_eq!((graph.points.len(), graph.pieces.len()), (4, 3));
    }

    #[test]
    fn walls_drawn_twice_or_without_length_are_taken_once_or_not_at_all() {
        let wall = [[0.0, 0.0], [2.0, 0.0]];
        let graph = Graph::new(&[line(0, wall), line(1, [wall[1], wall[0]]), line(2, [[5.0, 5.0], [5.0, 5.0]])]);
        assert_eq!(graph.pieces.len(), 1);
    }
}
