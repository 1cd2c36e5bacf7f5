//! Plane geometry of pages: bands of walls joined at corners, hatching clipped to outlines, boxes for labels.

use crate::building::{Building, ElementIndex, ElementShape};
use crate::geometry::{DVec2, contains, crossings, merged, mitre, signed_area};
use crate::output::drawing::Point;

pub(crate) fn add(a: Point, b: Point) -> Point {
    [a[0] + b[0], a[1] + b[1]]
}

pub(crate) fn sub(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}

pub(crate) fn scale(a: Point, by: f64) -> Point {
    [a[0] * by, a[1] * by]
}

pub(crate) fn length(a: Point) -> f64 {
    a[0].hypot(a[1])
}

pub(crate) fn between(a: Point, b: Point, part: f64) -> Point {
    add(a, scale(sub(b, a), part))
}

/// Unit vector along a line; x for a line without length.
pub(crate) fn along(line: [Point; 2]) -> Point {
    let by = sub(line[1], line[0]);
    let long = length(by);
    if long > 1e-9 { scale(by, 1.0 / long) } else { [1.0, 0.0] }
}

/// A quarter turn to the left.
pub(crate) fn left(a: Point) -> Point {
    [-a[1], a[0]]
}

pub(crate) fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

pub(crate) fn cross(a: Point, b: Point) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// A band of a given thickness along a line.
pub(crate) fn band(line: [Point; 2], thickness_m: f64) -> Vec<Point> {
    let aside = scale(left(along(line)), thickness_m / 2.0);
    vec![sub(line[0], aside), sub(line[1], aside), add(line[1], aside), add(line[0], aside)]
}

/// A wall as a band, by its middle line.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WallBand {
    pub(crate) line: [Point; 2],
    pub(crate) thickness_m: f64,
}

/// The walls on a storey; none is drawn thinner than a stroke.
pub(crate) fn storey_walls(building: &Building, shown: usize) -> Vec<(ElementIndex, WallBand)> {
    let wall = |(at, shape): (usize, &ElementShape)| match shape {
        ElementShape::Wall { storey, line, thickness_m, .. } if *storey == shown => {
            Some((ElementIndex(at), WallBand { line: *line, thickness_m: thickness_m.max(0.02) }))
        }
        _ => None,
    };
    building.elements.iter().map(|element| &element.shape).enumerate().filter_map(wall).collect()
}

/// Ends nearer than this are one corner, m.
const SAME_POINT_M: f64 = 0.02;

/// The outline of all walls together, mitred at corners.
pub(crate) fn wall_outline(walls: &[WallBand]) -> Vec<Vec<Vec<Point>>> {
    let mut pieces: Vec<Vec<Point>> = walls.iter().map(|wall| band(wall.line, wall.thickness_m)).collect();
    let mut corners: Vec<Point> = Vec::new();
    for end in walls.iter().flat_map(|wall| wall.line) {
        if !corners.iter().any(|corner| length(sub(*corner, end)) < SAME_POINT_M) {
            corners.push(end);
        }
    }
    for corner in corners {
        // Directions away from the corner, counter-clockwise.
        let mut rays: Vec<(Point, f64)> = walls
            .iter()
            .flat_map(|wall| [wall.line, [wall.line[1], wall.line[0]]].map(|line| (line, wall.thickness_m)))
            .filter(|(line, _)| length(sub(line[0], corner)) < SAME_POINT_M)
            .map(|(line, thickness_m)| (along(line), thickness_m))
            .collect();
        rays.sort_by(|a, b| a.0[1].atan2(a.0[0]).total_cmp(&b.0[1].atan2(b.0[0])));
        for (at, a) in rays.iter().enumerate() {
            let b = rays[(at + 1) % rays.len()];
            if rays.len() > 1 {
                pieces.push(mitre(corner.into(), (a.0.into(), a.1 / 2.0), (b.0.into(), b.1 / 2.0)));
            }
        }
    }
    united(pieces)
}

/// The outlines of areas together.
pub(crate) fn united(mut pieces: Vec<Vec<Point>>) -> Vec<Vec<Vec<Point>>> {
    for piece in &mut pieces {
        if signed_area(piece) < 0.0 {
            piece.reverse();
        }
    }
    pieces.retain(|piece| signed_area(piece) > 1e-9);
    merged(&pieces)
}

/// The part of a wall's line that is not inside the walls it meets at its ends.
pub(crate) fn clear_line(wall: WallBand, walls: &[WallBand]) -> [Point; 2] {
    let direction = along(wall.line);
    let trim = |end: Point| {
        walls
            .iter()
            .filter(|other| other.line.iter().any(|point| length(sub(*point, end)) < SAME_POINT_M))
            .filter_map(|other| {
                let sine = cross(direction, along(other.line)).abs();
                (sine > 0.2).then(|| other.thickness_m / 2.0 / sine)
            })
            .fold(0.0, f64::max)
    };
    let (first, last, long) = (trim(wall.line[0]), trim(wall.line[1]), length(sub(wall.line[1], wall.line[0])));
    if first + last >= long * 0.95 {
        return wall.line;
    }
    [add(wall.line[0], scale(direction, first)), sub(wall.line[1], scale(direction, last))]
}

/// Parallel lines `spacing_m` apart, at an angle, within rings (even-odd); `phase` 0 to 1 shifts them.
pub(crate) fn hatch(rings: &[Vec<Point>], angle_deg: f64, spacing_m: f64, phase: f64) -> Vec<[Point; 2]> {
    let along = DVec2::from_angle(angle_deg.to_radians());
    let heights = || rings.iter().flatten().map(|corner| along.perp_dot((*corner).into()));
    let (low, high) = (heights().fold(f64::INFINITY, f64::min), heights().fold(f64::NEG_INFINITY, f64::max));
    let mut lines = Vec::new();
    if !(low.is_finite() && spacing_m > 0.0) || (high - low) / spacing_m > 10_000.0 {
        return lines;
    }
    let mut row = (low / spacing_m - phase).ceil();
    while (row + phase) * spacing_m < high {
        let start = along.perp() * ((row + phase) * spacing_m);
        let ends = crossings(rings, start, along);
        lines.extend(ends.chunks_exact(2).map(|pair| [pair[0], pair[1]].map(|at| (start + along * at).into())));
        row += 1.0;
    }
    lines
}

/// A box with sides along the axes, kept free of labels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Patch {
    pub(crate) min: Point,
    pub(crate) max: Point,
}

impl Patch {
    pub(crate) fn about(centre: Point, width: f64, height: f64) -> Self {
        Self {
            min: [centre[0] - width / 2.0, centre[1] - height / 2.0],
            max: [centre[0] + width / 2.0, centre[1] + height / 2.0],
        }
    }

    pub(crate) fn around(points: &[Point]) -> Self {
        let mut patch = Self { min: [f64::INFINITY; 2], max: [f64::NEG_INFINITY; 2] };
        for point in points {
            patch.include(*point);
        }
        patch
    }

    pub(crate) fn include(&mut self, point: Point) {
        for ((low, high), value) in self.min.iter_mut().zip(&mut self.max).zip(point) {
            *low = low.min(value);
            *high = high.max(value);
        }
    }

    pub(crate) fn grown(self, by: f64) -> Self {
        Self { min: [self.min[0] - by, self.min[1] - by], max: [self.max[0] + by, self.max[1] + by] }
    }

    pub(crate) fn taller(self, by: f64) -> Self {
        Self { min: [self.min[0], self.min[1] - by], max: [self.max[0], self.max[1] + by] }
    }

    pub(crate) fn meets(&self, other: &Self) -> bool {
        (0..2).all(|axis| self.min[axis] < other.max[axis] && other.min[axis] < self.max[axis])
    }

    /// True when a point lies within, the rim included.
    pub(crate) fn holds(&self, point: Point) -> bool {
        (0..2).all(|axis| (self.min[axis]..=self.max[axis]).contains(&point[axis]))
    }

    /// Its outline.
    pub(crate) fn ring(&self) -> Vec<Point> {
        vec![self.min, [self.max[0], self.min[1]], self.max, [self.min[0], self.max[1]]]
    }

    pub(crate) fn centre(&self) -> Point {
        between(self.min, self.max, 0.5)
    }

    pub(crate) fn size(&self) -> Point {
        sub(self.max, self.min)
    }

    /// True when the whole box lies within rings: its rim, in steps, is inside.
    pub(crate) fn within(&self, rings: &[Vec<Point>]) -> bool {
        const STEPS: usize = 12;
        (0..=STEPS).all(|step| {
            let part = step as f64 / STEPS as f64;
            let (x, y) =
                (self.min[0] + part * (self.max[0] - self.min[0]), self.min[1] + part * (self.max[1] - self.min[1]));
            [[x, self.min[1]], [x, self.max[1]], [self.min[0], y], [self.max[0], y], [x, self.centre()[1]]]
                .into_iter()
                .all(|point| contains(rings, point))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(size: f64) -> Vec<Point> {
        vec![[0.0, 0.0], [size, 0.0], [size, size], [0.0, size]]
    }

    /// Four walls 0.2 m thick on a square of 4 m: outside 4.2 m, inside 3.8 m, corners square.
    #[test]
    fn walls_of_a_square_join_to_a_frame() {
        let corners = square(4.0);
        let walls: Vec<WallBand> =
            (0..4).map(|at| WallBand { line: [corners[at], corners[(at + 1) % 4]], thickness_m: 0.2 }).collect();
        let shapes = wall_outline(&walls);
        assert_eq!(shapes.len(), 1);
        let area: f64 = shapes[0].iter().map(|ring| signed_area(ring)).sum();
        assert!((area.abs() - (4.2 * 4.2 - 3.8 * 3.8)).abs() < 1e-3, "{area}");
        let clear = clear_line(walls[0], &walls);
        assert!((length(sub(clear[1], clear[0])) - 3.8).abs() < 1e-9);
    }

    /// Length of hatching times spacing is the area, within one spacing along the rim.
    #[test]
    fn hatching_covers_the_area_and_spares_holes() {
        let hole: Vec<Point> = square(2.0).into_iter().map(|p| add(p, [1.0, 1.0])).collect();
        for angle in [0.0, 33.0, 45.0, 90.0] {
            let lines = hatch(&[square(4.0), hole.clone()], angle, 0.01, 0.5);
            let total: f64 = lines.iter().map(|line| length(sub(line[1], line[0]))).sum();
            assert!((total * 0.01 - 12.0).abs() < 0.1, "{angle}: {total}");
        }
    }

    #[test]
    fn a_box_over_a_notch_is_not_within() {
        let notched =
            vec![[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [2.2, 4.0], [2.2, 1.0], [1.8, 1.0], [1.8, 4.0], [0.0, 4.0]];
        assert!(Patch::about([1.0, 2.0], 1.0, 1.0).within(std::slice::from_ref(&notched)));
        assert!(!Patch::about([2.0, 2.0], 3.0, 1.0).within(&[notched]));
    }
}
