//! What a storey draws, found again by id, so that checks need not compare all with all; and what its walls enclose, by their middle lines alone. The
//! building finds the spaces for good.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use crate::geometry::{Faces, Graph, Line, Stroke, line};
use crate::scene::{NodeId, Opening, Storey, Wall, WallId};

/// Corners and walls of a storey by id: the first of each id.
pub(super) struct Drawn<'a> {
    storey: &'a Storey,
    enclosed: OnceCell<(Graph, Faces)>,
    nodes: BTreeMap<&'a NodeId, [f64; 2]>,
    walls: BTreeMap<&'a WallId, (usize, &'a Wall)>,
    meeting: BTreeMap<&'a NodeId, Vec<&'a Wall>>,
}

impl<'a> Drawn<'a> {
    pub(super) fn of(storey: &'a Storey) -> Self {
        let (mut nodes, mut walls, mut meeting) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::<_, Vec<_>>::new());
        for node in &storey.nodes {
            nodes.entry(&node.id).or_insert(node.at);
        }
        for (at, wall) in storey.walls.iter().enumerate() {
            walls.entry(&wall.id).or_insert((at, wall));
            meeting.entry(&wall.from).or_default().push(wall);
            if wall.to != wall.from {
                meeting.entry(&wall.to).or_default().push(wall);
            }
        }
        Self { storey, enclosed: OnceCell::new(), nodes, walls, meeting }
    }

    pub(super) fn has_node(&self, id: &NodeId) -> bool {
        self.nodes.contains_key(id)
    }

    pub(super) fn wall(&self, id: &WallId) -> Option<&'a Wall> {
        self.walls.get(id).map(|(_, wall)| *wall)
    }

    /// Where a wall begins and ends, sound or not.
    pub(super) fn ends(&self, wall: &Wall) -> Option<Line> {
        Some(line([*self.nodes.get(&wall.from)?, *self.nodes.get(&wall.to)?]))
    }

    /// The walls that begin or end at a corner.
    pub(super) fn meeting(&self, corner: &NodeId) -> &[&'a Wall] {
        self.meeting.get(corner).map_or(&[], Vec::as_slice)
    }

    /// The graph of all walls that are sound, and its faces.
    fn enclosed(&self) -> &(Graph, Faces) {
        self.enclosed.get_or_init(|| {
            let strokes = self.storey.walls.iter().enumerate().filter_map(|(wall, known)| {
                let line = self.ends(known).filter(|[a, b]| a != b && a.is_finite() && b.is_finite())?;
                Some(Stroke { wall, line, half_m: 0.0 })
            });
            let graph = Graph::new(&strokes.collect::<Vec<_>>());
            let faces = Faces::new(&graph);
            (graph, faces)
        })
    }

    /// The face a point lies in; nothing outdoors.
    pub(super) fn face_at(&self, point: [f64; 2]) -> Option<usize> {
        self.enclosed().1.at(point)
    }

    /// The faces left and right of an opening; nothing when its wall is not sound.
    pub(super) fn beside(&self, opening: &Opening) -> Option<[Option<usize>; 2]> {
        self.beside_wall(self.wall(&opening.wall)?, Some(opening.offset_m + 0.5 * opening.width_m))
    }

    /// The faces left and right of a wall, `along_m` from its first node or in its middle; nothing when it is not sound.
    pub(super) fn beside_wall(&self, wall: &Wall, along_m: Option<f64>) -> Option<[Option<usize>; 2]> {
        let [from, to] = self.ends(wall)?;
        let (graph, faces) = self.enclosed();
        let piece = graph.piece_at(self.walls.get(&wall.id)?.0, along_m.unwrap_or(0.5 * from.distance(to)))?;
        Some([2 * piece, 2 * piece + 1].map(|half| faces.left[half]))
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
        let mut areas: Vec<f64> = drawn.enclosed().1.shapes.iter().map(|shape| crate::geometry::area(shape)).collect();
        areas.sort_by(f64::total_cmp);
        assert_eq!(areas, [1.0, 11.0, 12.0]);
        let [first, second, boxed] = [[3.0, 1.5], [6.0, 1.5], [1.5, 1.5]].map(|point| drawn.face_at(point));
        assert!(first != second && first != boxed && boxed.is_some());
        assert_eq!(drawn.face_at([9.0, 1.0]), None);
        let wall = |id: &str| storey.walls.iter().find(|wall| wall.id.0 == id).unwrap();
        assert_eq!(drawn.beside_wall(wall("be"), None), Some([first, second]));
        assert_eq!(drawn.beside_wall(wall("ab"), None), Some([first, None]));
        assert_eq!(drawn.beside_wall(wall("pq"), None), Some([boxed, first]));
    }
}
