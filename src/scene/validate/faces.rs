//! What a storey's walls enclose, as far as checks ask: which marker shares a space with a point, and what lies on both sides of a wall.
//!
//! By the walls' middle lines alone. The building finds the spaces for good.

use super::drawn::Drawn;
use crate::geometry::{self, Graph, Stroke};
use crate::scene::{Opening, Storey, Wall};

/// The enclosed faces of a storey.
pub(super) struct Faces<'a> {
    drawn: &'a Drawn<'a>,
    graph: Graph,
    faces: geometry::Faces,
}

impl<'a> Faces<'a> {
    /// Of all walls that are sound.
    pub(super) fn of(storey: &Storey, drawn: &'a Drawn<'a>) -> Self {
        let strokes = storey.walls.iter().enumerate().filter_map(|(wall, known)| {
            let line = drawn.ends(known).filter(|line| line[0] != line[1] && line.iter().all(|end| end.is_finite()))?;
            Some(Stroke { wall, line, half_m: 0.0 })
        });
        let graph = Graph::new(&strokes.collect::<Vec<_>>());
        Self { drawn, faces: geometry::Faces::new(&graph), graph }
    }

    /// Corners and walls of its storey.
    pub(super) fn drawn(&self) -> &'a Drawn<'a> {
        self.drawn
    }

    /// The face a point lies in; nothing outdoors.
    pub(super) fn at(&self, point: [f64; 2]) -> Option<usize> {
        self.faces.at(point)
    }

    /// The faces left and right of an opening; nothing when its wall is not sound.
    pub(super) fn beside(&self, opening: &Opening) -> Option<[Option<usize>; 2]> {
        let wall = self.drawn.wall(&opening.wall)?;
        self.beside_wall(wall, Some(opening.offset_m + 0.5 * opening.width_m))
    }

    /// The faces left and right of a wall, `along_m` from its first node or in its middle; nothing when it is not sound.
    pub(super) fn beside_wall(&self, wall: &Wall, along_m: Option<f64>) -> Option<[Option<usize>; 2]> {
        let [from, to] = self.drawn.ends(wall)?;
        let along_m = along_m.unwrap_or(0.5 * from.distance(to));
        let piece = self.graph.piece_at(self.drawn.position(&wall.id)?, along_m)?;
        Some([2 * piece, 2 * piece + 1].map(|half| self.faces.left[half]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rooms of 4 m by 3 m side by side, and a free-standing box of 1 m by 1 m in the first.
    #[test]
    fn rooms_side_by_side_and_within_each_other_are_told_apart() {
        let text = r#"(id: "s", name: "S", level_m: 0, height_m: 2.5, floor: (construction: "x"), ground: "x", roof: "x",
            nodes: [(id: "a", at: (0, 0)), (id: "b", at: (4, 0)), (id: "c", at: (8, 0)), (id: "d", at: (8, 3)), (id: "e", at: (4, 3)),
                (id: "f", at: (0, 3)), (id: "p", at: (1, 1)), (id: "q", at: (2, 1)), (id: "r", at: (2, 2)), (id: "s", at: (1, 2))],
            walls: [(id: "ab", from: "a", to: "b", construction: "x"), (id: "cb", from: "c", to: "b", construction: "x"),
                (id: "cd", from: "c", to: "d", construction: "x"), (id: "de", from: "d", to: "e", construction: "x"),
                (id: "ef", from: "e", to: "f", construction: "x"), (id: "fa", from: "f", to: "a", construction: "x"),
                (id: "be", from: "b", to: "e", construction: "x"), (id: "pq", from: "p", to: "q", construction: "x"),
                (id: "qr", from: "q", to: "r", construction: "x"), (id: "rs", from: "r", to: "s", construction: "x"),
                (id: "sp", from: "s", to: "p", construction: "x")],
            rooms: [])"#;
        let storey: Storey = ron::from_str(text).expect("reads");
        let drawn = Drawn::of(&storey);
        let faces = Faces::of(&storey, &drawn);
        let mut areas: Vec<f64> = faces.faces.shapes.iter().map(|shape| geometry::area(shape)).collect();
        areas.sort_by(f64::total_cmp);
        assert_eq!(areas, [1.0, 11.0, 12.0]);
        let [first, second, boxed] = [[3.0, 1.5], [6.0, 1.5], [1.5, 1.5]].map(|point| faces.at(point));
        assert!(first != second && first != boxed && boxed.is_some());
        assert_eq!(faces.at([9.0, 1.0]), None);
        let wall = |id: &str| storey.walls.iter().find(|wall| wall.id.0 == id).unwrap();
        assert_eq!(faces.beside_wall(wall("be"), None), Some([first, second]));
        assert_eq!(faces.beside_wall(wall("ab"), None), Some([first, None]));
        assert_eq!(faces.beside_wall(wall("pq"), None), Some([boxed, first]));
    }
}
