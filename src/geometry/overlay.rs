//! Polygon overlay: what shapes have in common, what one leaves of another, and several as one.

use glam::DVec2;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::FloatOverlay;

use super::polygon::{Point, Ring, Shape, sides, signed_area};
use super::segment::{distance, heading};

/// Holes and pieces smaller than this come from rounding, m².
pub(crate) const PINHOLE_M2: f64 = 1e-6;
/// Slits narrower than this come from rounding, m.
const HAIR_M: f64 = 1e-7;

/// What both have in common.
pub(crate) fn common(a: &[Shape], b: &[Shape]) -> Vec<Shape> {
    overlay(a, b, OverlayRule::Intersect)
}

/// What `a` has and `b` has not.
pub(crate) fn without(a: &[Shape], b: &[Shape]) -> Vec<Shape> {
    overlay(a, b, OverlayRule::Difference)
}

/// Many rings as one: what lies in any of them.
pub(crate) fn merged(rings: &[Ring]) -> Vec<Shape> {
    let shapes: Vec<Shape> = rings.iter().map(|ring| vec![ring.clone()]).collect();
    overlay(&shapes, &[], OverlayRule::Union)
}

/// Both together, where `b` lies beside `a` with sides that only meet up to rounding: such slits are closed.
pub(crate) fn joined(a: &[Shape], b: &Shape) -> Vec<Shape> {
    let mut shapes = a.to_vec();
    for [from, to] in b.iter().flat_map(|ring| sides(ring)) {
        let out = heading([from, to]).perp() * (0.2 * HAIR_M);
        shapes.push(vec![[from - out, to - out, to + out, from + out].map(<[f64; 2]>::from).to_vec()]);
    }
    overlay(&shapes, std::slice::from_ref(b), OverlayRule::Union)
}

/// The overlay runs on whole numbers of 64 bits, so that rounding stays far under a micrometre.
fn overlay(a: &[Shape], b: &[Shape], rule: OverlayRule) -> Vec<Shape> {
    if a.iter().flatten().next().is_none() && b.iter().flatten().next().is_none() {
        return vec![];
    }
    let shapes = FloatOverlay::<Point, i64>::from_subj_and_clip(a, b).overlay(rule, FillRule::NonZero);
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
        let [a, b, c] = [at + ring.len() - 1, at, at + 1].map(|at| DVec2::from(ring[at % ring.len()]));
        if [(b, [a, c]), (c, [a, b]), (a, [b, c])].iter().any(|&(corner, side)| distance(corner, side) < HAIR_M) {
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
    use super::super::polygon::{contains, total_area, total_perimeter};
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Shape {
        vec![vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]]
    }

    #[test]
    fn overlay_of_two_squares_adds_up() {
        let (a, b) = (vec![square(0.0, 0.0, 2.0)], vec![square(1.0, 1.0, 2.0)]);
        assert!((total_area(&common(&a, &b)) - 1.0).abs() < 1e-9);
        assert!((total_area(&without(&a, &b)) - 3.0).abs() < 1e-9);
        assert!((total_area(&merged(&[a[0][0].clone(), b[0][0].clone()])) - 7.0).abs() < 1e-9);
    }

    #[test]
    fn a_hole_stays_a_hole() {
        let ring = without(&[square(0.0, 0.0, 3.0)], &[square(1.0, 1.0, 1.0)]);
        assert_eq!(ring[0].len(), 2);
        assert!((total_area(&ring) - 8.0).abs() < 1e-9);
        assert!((total_perimeter(&ring) - 16.0).abs() < 1e-9);
        assert!(!contains(&ring[0], [1.5, 1.5]) && contains(&ring[0], [0.5, 0.5]));
    }
}
