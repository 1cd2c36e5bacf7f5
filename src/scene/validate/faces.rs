//! What a storey's walls enclose, as far as checks ask: which marker shares a space with a point, and what lies on both sides of a wall.
//!
//! Bare polygons of the walls' middle lines. The building finds the spaces for good.

use super::drawn::{Drawn, Point};
use crate::scene::{Opening, Storey, Wall};

/// How far from a wall's middle line one looks at what lies beside it, m: less than half of any wall that is drawn.
const BESIDE_M: f64 = 0.005;

/// The enclosed faces of a storey, each as its outer ring.
pub(super) struct Faces<'a> {
    drawn: &'a Drawn<'a>,
    /// Area (m²) and corners.
    rings: Vec<(f64, Vec<Point>)>,
}

impl<'a> Faces<'a> {
    /// Walks along every wall both ways, always turning left: what is walked round counter-clockwise is enclosed.
    pub(super) fn of(storey: &Storey, drawn: &'a Drawn<'a>) -> Self {
        // Half-edges: a wall forwards, and the same backwards behind it.
        let ways: Vec<[Point; 2]> = storey
            .walls
            .iter()
            .filter_map(|wall| drawn.ends(wall))
            .filter(|[from, to]| from != to && from.iter().chain(to).all(|value| value.is_finite()))
            .flat_map(|[from, to]| [[from, to], [to, from]])
            .collect();
        let turn = |back: [Point; 2], on: [Point; 2]| {
            let angle = |[from, to]: [Point; 2]| (to[1] - from[1]).atan2(to[0] - from[0]);
            // Clockwise from the way one came; straight back comes last.
            let clockwise = (angle(back) - angle(on)).rem_euclid(std::f64::consts::TAU);
            if clockwise < 1e-9 { std::f64::consts::TAU } else { clockwise }
        };
        let next = |at: usize| {
            let back = ways[at ^ 1];
            let leaving = (0..ways.len()).filter(|on| ways[*on][0] == back[0]);
            leaving.min_by(|a, b| turn(back, ways[*a]).total_cmp(&turn(back, ways[*b])))
        };
        let mut walked = vec![false; ways.len()];
        let mut rings = vec![];
        for start in 0..ways.len() {
            let (mut at, mut ring) = (start, vec![]);
            while !walked[at] {
                walked[at] = true;
                ring.push(ways[at][0]);
                let Some(on) = next(at) else { break };
                at = on;
            }
            let area_m2 = area(&ring);
            if area_m2 > 1e-9 {
                rings.push((area_m2, ring));
            }
        }
        Self { drawn, rings }
    }

    /// Corners and walls of its storey.
    pub(super) fn drawn(&self) -> &'a Drawn<'a> {
        self.drawn
    }

    /// The smallest face a point lies in; nothing outdoors.
    pub(super) fn at(&self, point: Point) -> Option<usize> {
        let holding = (0..self.rings.len()).filter(|face| holds(&self.rings[*face].1, point));
        holding.min_by(|a, b| self.rings[*a].0.total_cmp(&self.rings[*b].0))
    }

    /// The faces left and right of an opening; nothing when its wall is not sound.
    pub(super) fn beside(&self, opening: &Opening) -> Option<[Option<usize>; 2]> {
        let wall = self.drawn.wall(&opening.wall)?;
        self.beside_wall(wall, Some(opening.offset_m + 0.5 * opening.width_m))
    }

    /// The faces left and right of a wall, `along_m` from its first node or in its middle; nothing when it is not sound.
    pub(super) fn beside_wall(&self, wall: &Wall, along_m: Option<f64>) -> Option<[Option<usize>; 2]> {
        let [from, to] = self.drawn.ends(wall)?;
        let length_m = (to[0] - from[0]).hypot(to[1] - from[1]);
        if !(length_m > 0.0 && length_m.is_finite()) {
            return None;
        }
        let (x, y) = ((to[0] - from[0]) / length_m, (to[1] - from[1]) / length_m);
        let along_m = along_m.unwrap_or(0.5 * length_m);
        let middle = [from[0] + along_m * x, from[1] + along_m * y];
        Some([1.0, -1.0].map(|side| self.at([middle[0] - side * BESIDE_M * y, middle[1] + side * BESIDE_M * x])))
    }
}

fn area(ring: &[Point]) -> f64 {
    let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
    pairs.map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
}

/// Even-odd rule.
fn holds(ring: &[Point], [x, y]: Point) -> bool {
    let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossings =
        pairs.filter(|(a, b)| (a[1] > y) != (b[1] > y) && x < (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]) + a[0]);
    crossings.count() % 2 == 1
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
        let mut areas: Vec<f64> = faces.rings.iter().map(|(area_m2, _)| *area_m2).collect();
        areas.sort_by(f64::total_cmp);
        assert_eq!(areas, [1.0, 12.0, 12.0]);
        let [first, second, boxed] = [[3.0, 1.5], [6.0, 1.5], [1.5, 1.5]].map(|point| faces.at(point));
        assert!(first != second && first != boxed && boxed.is_some());
        assert_eq!(faces.at([9.0, 1.0]), None);
        let wall = |id: &str| storey.walls.iter().find(|wall| wall.id.0 == id).unwrap();
        assert_eq!(faces.beside_wall(wall("be"), None), Some([first, second]));
        assert_eq!(faces.beside_wall(wall("ab"), None), Some([first, None]));
        assert_eq!(faces.beside_wall(wall("pq"), None), Some([boxed, first]));
    }
}
