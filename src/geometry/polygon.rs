//! Rings of corners, and shapes made of them.

use glam::DVec2;

use super::extent::Extent;
use super::segment::{Line, distance};

/// A corner as files have it, m.
pub(crate) type Point = [f64; 2];
/// A closed line; the last corner joins the first.
pub(crate) type Ring = Vec<Point>;
/// An outer ring (counter-clockwise) and its holes (clockwise).
pub(crate) type Shape = Vec<Ring>;

/// Sides of a ring, first to last.
pub(crate) fn sides(ring: &[Point]) -> impl Iterator<Item = Line> + Clone + '_ {
    ring.iter().enumerate().map(|(at, &point)| [point.into(), ring[(at + 1) % ring.len()].into()])
}

/// Area of a ring, m², positive when it runs counter-clockwise.
pub(crate) fn signed_area(ring: &[Point]) -> f64 {
    let Some(origin) = ring.first().copied().map(DVec2::from) else { return 0.0 };
    0.5 * sides(ring).map(|[a, b]| (a - origin).perp_dot(b - origin)).sum::<f64>()
}

/// Area of a shape, holes taken off, m².
pub(crate) fn area(shape: &[Ring]) -> f64 {
    shape.iter().map(|ring| signed_area(ring)).sum()
}

/// Area of several shapes, m².
pub(crate) fn total_area(shapes: &[Shape]) -> f64 {
    shapes.iter().map(|shape| area(shape)).sum()
}

/// Length of all rings of several shapes, m.
pub(crate) fn total_perimeter(shapes: &[Shape]) -> f64 {
    shapes.iter().flatten().flat_map(|ring| sides(ring)).map(|[a, b]| a.distance(b)).sum()
}

/// The centre of area of several shapes: wherever their corners lie, and whichever comes first. Nothing for what has no area.
pub(crate) fn centroid(shapes: &[Shape]) -> Option<DVec2> {
    let origin = DVec2::from(*shapes.first()?.first()?.first()?);
    let (mut twice_m2, mut sum) = (0.0, DVec2::ZERO);
    // Holes run the other way round, and count off.
    for [a, b] in shapes.iter().flatten().flat_map(|ring| sides(ring)) {
        let (a, b) = (a - origin, b - origin);
        let part_m2 = a.perp_dot(b);
        twice_m2 += part_m2;
        sum += (a + b) * (part_m2 / 3.0);
    }
    (twice_m2 > 0.0).then(|| origin + sum / twice_m2)
}

/// Whether a point lies inside an odd number of rings.
pub(crate) fn contains(rings: &[Ring], point: impl Into<DVec2>) -> bool {
    let point = point.into();
    let right_of = |[a, b]: &Line| {
        (a.y > point.y) != (b.y > point.y) && point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    rings.iter().flat_map(|ring| sides(ring)).filter(right_of).count() % 2 == 1
}

/// Where the line through a point along a heading crosses the sides of rings, m from that point, in order: inside from the first to the second, and so on.
pub(crate) fn crossings(rings: &[Ring], start: DVec2, heading: DVec2) -> Vec<f64> {
    let crossing = |[a, b]: Line| {
        let (from, to) = (heading.perp_dot(a - start), heading.perp_dot(b - start));
        ((from > 0.0) != (to > 0.0)).then(|| (a + (b - a) * (from / (from - to)) - start).dot(heading))
    };
    let mut all: Vec<f64> = rings.iter().flat_map(|ring| sides(ring)).filter_map(crossing).collect();
    all.sort_by(f64::total_cmp);
    all
}

/// Of a grid of points over a shape, the one farthest from its sides.
pub(crate) fn well_inside(shape: &[Ring]) -> DVec2 {
    const STEPS: usize = 24;
    let Extent { low, high } = Extent::round(shape.iter().flatten().copied(), 0.0);
    let room_m = |point: &DVec2| {
        shape.iter().flat_map(|ring| sides(ring)).map(|side| distance(*point, side)).fold(f64::INFINITY, f64::min)
    };
    let grid = (1..STEPS).flat_map(|x| (1..STEPS).map(move |y| DVec2::new(x as f64, y as f64) / STEPS as f64));
    grid.map(|part| low + (high - low) * part)
        .filter(|point| contains(shape, *point))
        .max_by(|a, b| room_m(a).total_cmp(&room_m(b)))
        .or_else(|| shape.iter().flatten().next().copied().map(DVec2::from))
        .unwrap_or_default()
}

/// The convex hull of points, counter-clockwise; three that enclose less than `flat_m2`, twice their area, count as in one line. Source: Andrew, Information Processing Letters 9 (1979) 216 (monotone chain).
pub(crate) fn convex_hull(mut points: Vec<DVec2>, flat_m2: f64) -> Vec<DVec2> {
    // By 0 what is −0 becomes 0: between points that stand upright over each other nothing else may come first.
    points.sort_unstable_by(|p, q| (p.x + 0.0).total_cmp(&(q.x + 0.0)).then(p.y.total_cmp(&q.y)));
    points.dedup();
    let mut hull: Vec<DVec2> = Vec::with_capacity(points.len() + 1);
    let mut base = 1;
    for (at, point) in points.iter().chain(points.iter().rev().skip(1)).enumerate() {
        if at == points.len() {
            base = hull.len();
        }
        while let [.., p, q] = hull[..]
            && hull.len() > base
            && (q - p).perp_dot(point - p) <= flat_m2
        {
            hull.pop();
        }
        hull.push(*point);
    }
    if hull.len() > 1 {
        hull.pop();
    }
    hull
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Ring {
        vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
    }

    fn framed() -> Shape {
        vec![square(0.0, 0.0, 4.0), square(1.0, 1.0, 2.0).into_iter().rev().collect()]
    }

    #[test]
    fn a_hole_is_not_inside() {
        let frame = framed();
        assert!(contains(&frame, [0.5, 0.5]) && !contains(&frame, [2.0, 2.0]) && !contains(&frame, [5.0, 2.0]));
        assert!((area(&frame) - 12.0).abs() < 1e-12);
        assert!((total_perimeter(std::slice::from_ref(&frame)) - 24.0).abs() < 1e-12);
        assert!(contains(&frame, well_inside(&frame)));
    }

    #[test]
    fn a_line_through_a_frame_crosses_its_four_sides() {
        assert_eq!(crossings(&framed(), DVec2::new(-1.0, 2.0), DVec2::X), [1.0, 2.0, 4.0, 5.0]);
        assert!(crossings(&framed(), DVec2::new(-1.0, 5.0), DVec2::X).is_empty());
    }

    /// By hand: 2 m × 2 m about (1, 1) and 1 m × 1 m about (3.5, 0.5).
    #[test]
    fn the_centre_of_area_weighs_by_area() {
        let centre = centroid(&[vec![square(0.0, 0.0, 2.0)], vec![square(3.0, 0.0, 1.0)]]).unwrap();
        assert!((centre - DVec2::new((4.0 + 3.5) / 5.0, (4.0 + 0.5) / 5.0)).length() < 1e-12);
        assert_eq!(centroid(&[]), None);
    }

    #[test]
    fn a_hull_leaves_out_what_lies_inside_or_on_its_sides() {
        let mut points = square(0.0, 0.0, 2.0);
        points.extend([[1.0, 1.0], [1.0, 0.0], [0.0, 0.0]]);
        let hull = convex_hull(points.into_iter().map(DVec2::from).collect(), 0.0);
        assert_eq!(hull, square(0.0, 0.0, 2.0).into_iter().map(DVec2::from).collect::<Vec<_>>());
    }
}
