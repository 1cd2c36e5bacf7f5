//! Plane geometry: points, rings, shapes, and the polygon overlay.

use std::cell::RefCell;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::FloatOverlay;

/// A point of the plan, m.
pub(crate) type Point = [f64; 2];
/// A closed line; the last point joins the first.
pub(crate) type Ring = Vec<Point>;
/// An outer ring (counter-clockwise) and its holes (clockwise).
pub(crate) type Shape = Vec<Ring>;

/// Shapes smaller than this are left over from walls of differing thickness, not rooms or slabs, m².
pub(super) const SLIVER_M2: f64 = 0.05;
/// Strips narrower than this in the mean are left over likewise, m.
pub(super) const SLIVER_WIDTH_M: f64 = 0.10;
/// Holes and pieces smaller than this come from rounding, m².
pub(super) const PINHOLE_M2: f64 = 1e-6;
/// Rounding moves no point as far as this, m.
pub(super) const ROUNDING_M: f64 = 1e-6;
/// Slits narrower than this come from rounding, m.
const HAIR_M: f64 = 1e-7;

pub(super) fn minus(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}

/// `a` moved by `along` times `direction`.
pub(super) fn moved(a: Point, direction: Point, along: f64) -> Point {
    [a[0] + direction[0] * along, a[1] + direction[1] * along]
}

pub(super) fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// Positive when `b` lies to the left of `a`.
pub(super) fn cross(a: Point, b: Point) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

pub(super) fn distance(a: Point, b: Point) -> f64 {
    let [x, y] = minus(b, a);
    x.hypot(y)
}

/// Unit vector from `a` to `b`; along x when they coincide.
pub(super) fn direction(a: Point, b: Point) -> Point {
    let length = distance(a, b);
    if length > 0.0 { [(b[0] - a[0]) / length, (b[1] - a[1]) / length] } else { [1.0, 0.0] }
}

/// A quarter turn to the left.
pub(super) fn left_of(direction: Point) -> Point {
    [-direction[1], direction[0]]
}

pub(super) fn middle(a: Point, b: Point) -> Point {
    [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])]
}

/// Distance from a point to the segment from `a` to `b`.
pub(crate) fn distance_to_segment(point: Point, a: Point, b: Point) -> f64 {
    let along = minus(b, a);
    let squared = dot(along, along);
    let t = if squared > 0.0 { (dot(minus(point, a), along) / squared).clamp(0.0, 1.0) } else { 0.0 };
    distance(point, moved(a, along, t))
}

/// Sides of a ring, first to last.
pub(crate) fn sides(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().enumerate().map(|(at, &point)| (point, ring[(at + 1) % ring.len()]))
}

/// Area of a ring, positive when it runs counter-clockwise.
pub(crate) fn signed_area(ring: &[Point]) -> f64 {
    let Some(&origin) = ring.first() else { return 0.0 };
    0.5 * sides(ring).map(|(a, b)| cross(minus(a, origin), minus(b, origin))).sum::<f64>()
}

/// Area of a shape, holes taken off.
pub(super) fn area(shape: &Shape) -> f64 {
    shape.iter().map(|ring| signed_area(ring)).sum()
}

/// Area of several shapes.
pub(super) fn total_area(shapes: &[Shape]) -> f64 {
    shapes.iter().map(area).sum()
}

/// Length of all rings of several shapes.
pub(super) fn total_perimeter(shapes: &[Shape]) -> f64 {
    shapes.iter().flatten().map(|ring| sides(ring).map(|(a, b)| distance(a, b)).sum::<f64>()).sum()
}

/// Whether a point lies inside an odd number of rings.
pub(super) fn contains(shape: &[Ring], point: Point) -> bool {
    let mut inside = false;
    for (a, b) in shape.iter().flat_map(|ring| sides(ring)) {
        if (a[1] > point[1]) != (b[1] > point[1]) && point[0] < a[0] + (point[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        {
            inside = !inside;
        }
    }
    inside
}

/// Whether a shape without inward corners and holes has all of some points in it, or on its edge up to rounding. Of any other shape it says no.
pub(super) fn holds_all<'a>(shape: &'a Shape, points: impl Iterator<Item = &'a Point> + Clone) -> bool {
    let [ring] = shape.as_slice() else { return false };
    let all = ring.iter().chain(points);
    // A ring that turns left at every corner has each of its own corners to the left of every side.
    sides(ring).all(|(a, b)| {
        let along = minus(b, a);
        let least = -ROUNDING_M * dot(along, along).sqrt();
        all.clone().all(|point| cross(along, minus(*point, a)) >= least)
    })
}

/// True for what differing wall thicknesses leave over: too small or too narrow to count for itself.
pub(super) fn is_sliver(shape: &Shape) -> bool {
    let area = area(shape);
    area < SLIVER_M2 || 2.0 * area < SLIVER_WIDTH_M * total_perimeter(std::slice::from_ref(shape))
}

/// Sides l1 ≥ l2 of the rectangle with the area and the perimeter given (a square when there is none), m.
/// Area and perimeter are what radiation from a plate depends on (ISO 12354-1:2017 Annex B), so these two are kept.
pub(super) fn rectangle_like(area_m2: f64, perimeter_m: f64) -> [f64; 2] {
    let half_sum = 0.25 * perimeter_m;
    let root = (half_sum * half_sum - area_m2).max(0.0).sqrt();
    let longer = (half_sum + root).max(area_m2.sqrt());
    [longer, area_m2 / longer]
}

/// The upright rectangle round something, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Extent {
    low: Point,
    high: Point,
}

impl Extent {
    /// Round points, and a little more (or less) on each side, m.
    pub(super) fn round(points: impl IntoIterator<Item = Point>, more_m: f64) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for point in points {
            for way in [0, 1] {
                low[way] = low[way].min(point[way] - more_m);
                high[way] = high[way].max(point[way] + more_m);
            }
        }
        Self { low, high }
    }

    /// Whether both have a point in common.
    pub(super) fn meets(&self, other: &Self) -> bool {
        [0, 1].into_iter().all(|way| self.low[way] <= other.high[way] && other.low[way] <= self.high[way])
    }

    pub(super) fn holds(&self, point: Point) -> bool {
        self.meets(&Self { low: point, high: point })
    }
}

/// What both have in common.
pub(super) fn common(a: &[Shape], b: &[Shape]) -> Vec<Shape> {
    overlay(a, b, OverlayRule::Intersect)
}

/// What `a` has and `b` has not.
pub(super) fn without(a: &[Shape], b: &[Shape]) -> Vec<Shape> {
    overlay(a, b, OverlayRule::Difference)
}

/// Both together.
pub(super) fn union(a: &[Shape], b: &[Shape]) -> Vec<Shape> {
    overlay(a, b, OverlayRule::Union)
}

/// Many rings as one: what lies in any of them.
pub(crate) fn merged(rings: &[Ring]) -> Vec<Shape> {
    let shapes: Vec<Shape> = rings.iter().map(|ring| vec![ring.clone()]).collect();
    overlay(&shapes, &[], OverlayRule::Union)
}

/// Both together, where `b` lies beside `a` with sides that only meet up to rounding: such slits are closed.
pub(super) fn joined(a: &[Shape], b: &Shape) -> Vec<Shape> {
    let mut shapes = a.to_vec();
    for (from, to) in b.iter().flat_map(|ring| sides(ring)) {
        let out = left_of(direction(from, to));
        let (start, end) = (0.2 * HAIR_M, -0.2 * HAIR_M);
        let corners = [moved(from, out, end), moved(to, out, end), moved(to, out, start), moved(from, out, start)];
        shapes.push(vec![corners.to_vec()]);
    }
    union(&shapes, std::slice::from_ref(b))
}

thread_local! {
    /// Room to overlay in: a building asks for some dozens, each of a few lines, and finding memory would take as long as all else.
    static ROOM: RefCell<Option<FloatOverlay<Point, i64>>> = const { RefCell::new(None) };
}

/// The overlay runs on whole numbers of 64 bits, so that rounding stays far under a micrometre.
fn overlay(a: &[Shape], b: &[Shape], rule: OverlayRule) -> Vec<Shape> {
    if a.iter().flatten().next().is_none() && b.iter().flatten().next().is_none() {
        return vec![];
    }
    let shapes = ROOM.with_borrow_mut(|room| match room {
        Some(room) => {
            room.reinit_with_subj_and_clip(a, b);
            room.overlay(rule, FillRule::NonZero)
        }
        None => room.insert(FloatOverlay::from_subj_and_clip(a, b)).overlay(rule, FillRule::NonZero),
    });
    shapes.into_iter().filter_map(tidy).collect()
}

/// Takes rounding's pinholes, hairs and idle corners out of a shape.
fn tidy(shape: Shape) -> Option<Shape> {
    let mut rings = shape.into_iter().map(smooth);
    let outer = rings.next().filter(|ring| signed_area(ring) > PINHOLE_M2)?;
    let mut tidy = vec![outer];
    tidy.extend(rings.filter(|ring| -signed_area(ring) > PINHOLE_M2));
    Some(tidy)
}

/// Takes out corners at which a ring stands still, goes straight on, or turns back on itself: they change no area, but the
/// slits between bands that only meet up to rounding would lengthen the outline.
fn smooth(mut ring: Ring) -> Ring {
    let mut at = 0;
    let mut passed = 0;
    while ring.len() > 2 && passed < ring.len() {
        at %= ring.len();
        let (before, corner, after) = (ring[(at + ring.len() - 1) % ring.len()], ring[at], ring[(at + 1) % ring.len()]);
        let idle = distance_to_segment(corner, before, after) < HAIR_M
            || distance_to_segment(after, before, corner) < HAIR_M
            || distance_to_segment(before, corner, after) < HAIR_M;
        if idle {
            ring.remove(at);
            at = (at + ring.len() - 1) % ring.len().max(1);
            passed = 0;
        } else {
            at += 1;
            passed += 1;
        }
    }
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Shape {
        vec![vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]]
    }

    #[test]
    fn a_square_holds_what_lies_in_it_and_an_l_says_nothing() {
        let (inner, beside) = (square(1.0, 1.0, 2.0), square(3.0, 1.0, 2.0));
        assert!(holds_all(&square(0.0, 0.0, 4.0), inner[0].iter()));
        assert!(holds_all(&square(1.0, 1.0, 2.0), inner[0].iter()));
        assert!(!holds_all(&square(0.0, 0.0, 4.0), beside[0].iter()));
        let l = vec![vec![[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [2.0, 2.0], [2.0, 4.0], [0.0, 4.0]]];
        assert!(!holds_all(&l, [[1.0, 1.0]].iter()));
        let clockwise = vec![square(0.0, 0.0, 4.0).remove(0).into_iter().rev().collect()];
        assert!(!holds_all(&clockwise, inner[0].iter()));
    }

    #[test]
    fn overlay_of_two_squares_adds_up() {
        let (a, b) = (vec![square(0.0, 0.0, 2.0)], vec![square(1.0, 1.0, 2.0)]);
        assert!((total_area(&common(&a, &b)) - 1.0).abs() < 1e-9);
        assert!((total_area(&without(&a, &b)) - 3.0).abs() < 1e-9);
        assert!((total_area(&union(&a, &b)) - 7.0).abs() < 1e-9);
    }

    #[test]
    fn a_hole_stays_a_hole() {
        let ring = without(&[square(0.0, 0.0, 3.0)], &[square(1.0, 1.0, 1.0)]);
        assert_eq!(ring[0].len(), 2);
        assert!((total_area(&ring) - 8.0).abs() < 1e-9);
        assert!((total_perimeter(&ring) - 16.0).abs() < 1e-9);
        assert!(!contains(&ring[0], [1.5, 1.5]) && contains(&ring[0], [0.5, 0.5]));
    }

    #[test]
    fn a_rectangle_is_its_own_equivalent() {
        let [longer, shorter] = rectangle_like(20.0, 18.0);
        assert!((longer - 5.0).abs() < 1e-12 && (shorter - 4.0).abs() < 1e-12);
    }
}
