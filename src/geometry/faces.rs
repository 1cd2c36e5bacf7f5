//! The faces of a graph of walls: what they enclose.

use glam::DVec2;

use super::extent::Extent;
use super::graph::{Graph, Half};
use super::polygon::{Ring, Shape, contains, signed_area};

/// Faces smaller than this are rounding, m².
const NOTHING_M2: f64 = 1e-6;

/// The faces of a graph, and which of them lies on the left of every piece.
#[derive(Debug, Clone, Default)]
pub(crate) struct Faces {
    /// Up to the middle lines of the walls; the outer ring first, then islands inside as holes.
    pub shapes: Vec<Shape>,
    /// For each [`Half`], the face on its left; nothing where that is the open air.
    pub left: Vec<Option<usize>>,
    /// Round each face.
    extents: Vec<Extent>,
}

impl Faces {
    /// Walks round every space. Walls that end freely in a space are walked on both sides and enclose nothing.
    pub(crate) fn new(graph: &Graph) -> Self {
        let count = 2 * graph.pieces.len();
        let mut round_of = vec![usize::MAX; count];
        let mut rounds: Vec<Vec<Half>> = vec![];
        for start in 0..count {
            let mut half = Half(start);
            if round_of[start] != usize::MAX {
                continue;
            }
            let mut round = vec![];
            while round_of[half.0] == usize::MAX {
                round_of[half.0] = rounds.len();
                round.push(half);
                half = graph.next_round(half);
            }
            rounds.push(round);
        }
        let rings: Vec<Ring> =
            rounds.iter().map(|round| round.iter().map(|&half| graph.at(half).to_array()).collect()).collect();
        let mut faces = Self { left: vec![None; count], ..Self::default() };
        let mut face_of_round = vec![None; rounds.len()];
        let (outer, inner): (Vec<usize>, Vec<usize>) =
            (0..rings.len()).partition(|&at| signed_area(&rings[at]) > NOTHING_M2);
        for &at in &outer {
            face_of_round[at] = Some(faces.shapes.len());
            faces.extents.push(Extent::round(rings[at].iter().copied(), 0.0));
            faces.shapes.push(vec![rings[at].clone()]);
        }
        // What runs clockwise is the outside of a connected group of walls: a hole in the smallest face round it. Those within the group are no
        // larger than all of it.
        for at in inner {
            let group_m2 = -signed_area(&rings[at]) * (1.0 + 1e-9);
            let around = outer
                .iter()
                .filter(|&&other| signed_area(&rings[other]) > group_m2)
                .filter(|&&other| contains(std::slice::from_ref(&rings[other]), rings[at][0]))
                .min_by(|&&a, &&b| signed_area(&rings[a]).total_cmp(&signed_area(&rings[b])));
            if let Some(face) = around.and_then(|&around| face_of_round[around]) {
                face_of_round[at] = Some(face);
                faces.shapes[face].push(rings[at].clone());
            }
        }
        for half in 0..count {
            faces.left[half] = face_of_round[round_of[half]];
        }
        faces
    }

    /// The face a point lies in.
    pub(crate) fn at(&self, point: impl Into<DVec2>) -> Option<usize> {
        let point = point.into();
        (0..self.shapes.len()).find(|&at| self.extents[at].holds(point) && contains(&self.shapes[at], point))
    }
}

#[cfg(test)]
mod tests {
    use super::super::graph::Stroke;
    use super::super::polygon::area;
    use super::super::segment::line;
    use super::*;

    fn graph(lines: &[[f64; 4]]) -> Graph {
        let stroke =
            |(wall, &[x, y, u, v]): (usize, &[f64; 4])| Stroke { wall, line: line([[x, y], [u, v]]), half_m: 0.1 };
        Graph::new(&lines.iter().enumerate().map(stroke).collect::<Vec<_>>())
    }

    fn square(x: f64, y: f64, side: f64) -> [[f64; 4]; 4] {
        let (u, v) = (x + side, y + side);
        [[x, y, u, y], [u, y, u, v], [u, v, x, v], [x, v, x, y]]
    }

    #[test]
    fn two_rooms_share_a_wall() {
        let mut lines = square(0.0, 0.0, 4.0).to_vec();
        lines.push([2.0, 0.0, 2.0, 4.0]);
        let graph = graph(&lines);
        let faces = Faces::new(&graph);
        assert_eq!(faces.shapes.len(), 2);
        assert!(faces.shapes.iter().all(|shape| (area(shape) - 8.0).abs() < 1e-12));
        let shared = graph.pieces.iter().position(|piece| piece.wall == 4).unwrap();
        assert_eq!(faces.left[2 * shared], faces.at([1.0, 1.0]));
        assert_eq!(faces.left[2 * shared + 1], faces.at([3.0, 1.0]));
    }

    #[test]
    fn an_island_is_a_hole_and_a_free_end_encloses_nothing() {
        let mut lines = square(0.0, 0.0, 9.0).to_vec();
        lines.extend(square(3.0, 3.0, 3.0));
        lines.push([0.0, 1.0, 2.0, 1.0]);
        lines.push([7.0, 1.0, 8.0, 1.0]);
        let faces = Faces::new(&graph(&lines));
        assert_eq!(faces.shapes.len(), 2);
        let around = faces.at([1.0, 8.0]).unwrap();
        assert_eq!(faces.at([4.0, 4.0]), Some(1 - around));
        assert!((area(&faces.shapes[around]) - 72.0).abs() < 1e-9);
        assert_eq!(faces.left.iter().filter(|left| left.is_none()).count(), 5);
    }
}
