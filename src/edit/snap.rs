//! Where a click lands: on a corner, on a wall, square to the last wall, in line with another corner, on the grid.

use super::graph::{distance, line};
use crate::geometry::{DVec2, foot};
use crate::scene::{NodeId, Point, Storey, WallId};

/// What may be snapped to, and from how far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// How near a thing must be to catch the pointer, m: a few pixels at the scale shown.
    pub reach_m: f64,
    /// Grid, m; nothing for none.
    pub grid_m: Option<f64>,
    /// False while a key holds snapping off.
    pub on: bool,
}

impl Rules {
    fn on_grid(&self, value_m: f64) -> f64 {
        self.grid_m.map_or(value_m, |grid_m| (value_m / grid_m).round() * grid_m)
    }
}

/// What a point was caught by.
#[derive(Debug, Clone, PartialEq)]
pub enum Caught {
    /// Nothing.
    Free,
    /// A corner.
    Corner(NodeId),
    /// A wall.
    Wall(WallId),
    /// Square or straight to where the wall began.
    Square,
    /// In line with another corner, level or upright.
    Aligned,
    /// The grid.
    Grid,
}

/// A point, caught.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapped {
    /// Where it lands, m.
    pub at: Point,
    /// By what.
    pub by: Caught,
    /// Lines to show why, m: from the thing that caught it to where it lands.
    pub guides: Vec<[Point; 2]>,
}

/// Catches a point. `from` is where the wall being drawn began, `before` the direction of the wall before it; corners in `except` do not catch.
///
/// Order: corners, walls, then square to `from` and in line with corners (both at once where they cross), then the grid.
#[must_use]
pub fn snap(storey: &Storey, pointer: Point, from: Option<Point>, rules: &Rules, except: &[NodeId]) -> Snapped {
    if !rules.on || !pointer.iter().all(|value| value.is_finite()) {
        return Snapped { at: pointer, by: Caught::Free, guides: vec![] };
    }
    let others = || storey.nodes.iter().filter(|node| !except.contains(&node.id));
    let nearest = others().min_by(|a, b| distance(a.at, pointer).total_cmp(&distance(b.at, pointer)));
    if let Some(node) = nearest.filter(|node| distance(node.at, pointer) <= rules.reach_m) {
        return Snapped { at: node.at, by: Caught::Corner(node.id.clone()), guides: vec![] };
    }
    let (square, aligned) =
        (from.and_then(|from| square(from, pointer, rules)), aligned(others().map(|node| node.at), pointer, rules));
    if let Some(on_wall) = on_wall(storey, pointer, square, rules, except) {
        return on_wall;
    }
    if let (Some(square), Some(from)) = (square, from) {
        let mut at = square;
        let mut guides = vec![[from, square]];
        // Along the square line, another corner may say how far.
        let axis = usize::from((square[0] - from[0]).abs() < (square[1] - from[1]).abs());
        if let Some(corner) = aligned[axis] {
            at[axis] = corner[axis];
            guides = vec![[from, at], [corner, at]];
        } else {
            at[axis] = rules.on_grid(at[axis]);
        }
        return Snapped { at, by: Caught::Square, guides };
    }
    if aligned.iter().any(Option::is_some) {
        let mut at = pointer.map(|value| rules.on_grid(value));
        for axis in [0, 1] {
            if let Some(corner) = aligned[axis] {
                at[axis] = corner[axis];
            }
        }
        let guides = aligned.iter().flatten().map(|corner| [*corner, at]).collect();
        return Snapped { at, by: Caught::Aligned, guides };
    }
    let by = if rules.grid_m.is_some() { Caught::Grid } else { Caught::Free };
    Snapped { at: pointer.map(|value| rules.on_grid(value)), by, guides: vec![] }
}

/// The point level or upright with `from`, when the pointer is near that line.
fn square(from: Point, pointer: Point, rules: &Rules) -> Option<Point> {
    let off = (DVec2::from(pointer) - DVec2::from(from)).abs();
    // Nearer the line than the reach, or within four degrees of it.
    let near = |across: f64, along: f64| across <= rules.reach_m.max(0.07 * along) && along > rules.reach_m;
    if near(off.y, off.x) {
        Some([pointer[0], from[1]])
    } else if near(off.x, off.y) {
        Some([from[0], pointer[1]])
    } else {
        None
    }
}

/// For x and for y, the nearest corner that shares it with the pointer.
fn aligned(corners: impl Iterator<Item = Point> + Clone, pointer: Point, rules: &Rules) -> [Option<Point>; 2] {
    [0, 1].map(|axis| {
        corners
            .clone()
            .filter(|corner| (corner[axis] - pointer[axis]).abs() <= rules.reach_m)
            .min_by(|a, b| distance(*a, pointer).total_cmp(&distance(*b, pointer)))
    })
}

/// The point of a wall near the pointer; where the square line meets the wall, when there is one.
fn on_wall(
    storey: &Storey,
    pointer: Point,
    square: Option<Point>,
    rules: &Rules,
    except: &[NodeId],
) -> Option<Snapped> {
    let walls = storey.walls.iter().filter(|wall| !except.contains(&wall.from) && !except.contains(&wall.to));
    let lines = walls.filter_map(|wall| Some((wall, line(storey, wall).filter(|[a, b]| a != b)?)));
    let near = lines.map(|(wall, line)| (crate::geometry::distance(pointer.into(), line), wall, line));
    let (_, wall, line) =
        near.filter(|(away_m, ..)| *away_m <= rules.reach_m).min_by(|one, other| one.0.total_cmp(&other.0))?;
    let at = foot(square.unwrap_or(pointer).into(), line).into();
    Some(Snapped { at, by: Caught::Wall(wall.id.clone()), guides: vec![] })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rules() -> Rules {
        Rules { reach_m: 0.1, grid_m: Some(0.1), on: true }
    }

    fn storey() -> Storey {
        let text = r#"(id: "s", name: "s", level_m: 0.0, height_m: 2.5,
            floor: (construction: "f"), ground: "g", roof: "r",
            nodes: [(id: "a", at: (0.0, 0.0)), (id: "b", at: (4.0, 0.0))],
            walls: [(id: "w", from: "a", to: "b", construction: "c")], rooms: [])"#;
        ron::from_str(text).unwrap()
    }

    #[test]
    fn corners_catch_before_walls_and_walls_before_the_grid() {
        let storey = storey();
        let caught = |at| snap(&storey, at, None, &rules(), &[]);
        assert_eq!(caught([3.95, 0.06]).by, Caught::Corner("b".into()));
        let wall = caught([2.03, 0.07]);
        assert_eq!((wall.by, wall.at), (Caught::Wall("w".into()), [2.03, 0.0]));
        let grid = caught([1.26, 1.33]);
        assert_eq!(grid.by, Caught::Grid);
        assert!((grid.at[0] - 1.3).abs() < 1e-9 && (grid.at[1] - 1.3).abs() < 1e-9);
    }

    #[test]
    fn a_wall_runs_square_and_stops_level_with_another_corner() {
        let storey = storey();
        let up = snap(&storey, [4.05, 2.51], Some([4.0, 0.0]), &rules(), &[]);
        assert_eq!(up.by, Caught::Square);
        assert!((up.at[0] - 4.0).abs() < 1e-9 && (up.at[1] - 2.5).abs() < 1e-9);
        let back = snap(&storey, [0.04, 2.56], Some([4.0, 2.5]), &rules(), &[]);
        assert_eq!(back.at, [0.0, 2.5]);
        assert_eq!(back.guides.len(), 2);
    }

    #[test]
    fn nothing_catches_while_it_is_off() {
        let off = Rules { on: false, ..rules() };
        assert_eq!(snap(&storey(), [3.99, 0.01], None, &off, &[]).at, [3.99, 0.01]);
    }
}
