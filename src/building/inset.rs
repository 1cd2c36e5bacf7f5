//! What walls leave of a rectangle, without a polygon overlay: most rooms are one, and nothing stands in it but the walls round it.

use super::geometry::{Point, Ring, Shape, cross, direction, dot, left_of, minus, moved, sides};

/// Two sides closer to a right angle or a straight one than this, sine or cosine, have it. Own guard against roundoff.
const RIGHT: f64 = 1e-9;

/// A face without the bands that walls cover of it, when it is a rectangle with one thickness of wall along each side and no other wall in it; of any other
/// face nothing is said.
///
/// Each band has the two ends of its wall's middle line among its corners, as the face has. A mitre fills the outside of a corner: one at a corner of the face
/// takes nothing from it, for all of its own angles are less than straight.
pub(super) fn of_rectangle(face: &Shape, bands: &[Shape]) -> Option<Ring> {
    let [ring] = face.as_slice() else { return None };
    let bands: Vec<&Ring> = bands.iter().filter_map(|band| band.first()).collect();
    let own =
        |(a, b): (Point, Point)| bands.iter().filter(|band| band.contains(&a) && band.contains(&b)).collect::<Vec<_>>();
    // Thickness along each straight line of sides.
    let mut lines: Vec<(Point, Point, f64)> = Vec::new();
    for side in sides(ring) {
        let [band] = own(side)[..] else { return None };
        let along = direction(side.0, side.1);
        let half_m = band.iter().map(|corner| cross(along, minus(*corner, side.0))).fold(0.0, f64::max);
        match lines.last() {
            Some((_, before, known_m)) if cross(*before, along).abs() < RIGHT && dot(*before, along) > 0.0 => {
                if (known_m - half_m).abs() > RIGHT {
                    return None;
                }
            }
            _ => lines.push((side.0, along, half_m)),
        }
    }
    // Where the ring begins in the middle of a line, its end belongs to the beginning.
    if lines.len() == 5 {
        let ((_, first, first_m), (start, last, last_m)) = (lines[0], lines[4]);
        if cross(last, first).abs() > RIGHT || dot(last, first) < 0.0 || (first_m - last_m).abs() > RIGHT {
            return None;
        }
        lines[0].0 = start;
        lines.pop();
    }
    let square = |at: usize| (cross(lines[at].1, lines[(at + 1) % 4].1) - 1.0).abs() < RIGHT;
    let mitres = bands.iter().filter(|band| band.len() < 6 && ring.iter().any(|corner| band.contains(corner)));
    if lines.len() != 4 || !(0..4).all(square) || ring.len() + mitres.count() != bands.len() {
        return None;
    }
    let inner: Ring = (0..4)
        .map(|at| {
            let ((corner, along, half_m), (_, before, before_m)) = (lines[at], lines[(at + 3) % 4]);
            moved(moved(corner, left_of(along), half_m), left_of(before), before_m)
        })
        .collect();
    let opens = |at: usize| dot(minus(inner[(at + 1) % 4], inner[at]), lines[at].1) > 0.0;
    (0..4).all(opens).then_some(inner)
}

#[cfg(test)]
mod tests {
    use super::super::geometry::{area, without};
    use super::*;

    fn band(a: Point, b: Point, half_m: f64) -> Shape {
        let out = left_of(direction(a, b));
        vec![vec![moved(a, out, -half_m), moved(b, out, -half_m), b, moved(b, out, half_m), moved(a, out, half_m), a]]
    }

    /// By hand: 6 m × 4 m between middle lines, walls of 0.3, 0.1, 0.2 and 0.4 m: 5.75 m × 3.75 m clear. So says the overlay, turned by any angle, with one wall
    /// in two pieces.
    #[test]
    fn a_room_of_right_angles_is_what_the_overlay_leaves() {
        for turn in [0.0_f64, 0.3, 2.0] {
            let at = |x: f64, y: f64| [x * turn.cos() - y * turn.sin(), x * turn.sin() + y * turn.cos()];
            let face = vec![vec![at(2.0, 0.0), at(6.0, 0.0), at(6.0, 4.0), at(0.0, 4.0), at(0.0, 0.0)]];
            let halves = [0.15, 0.05, 0.1, 0.2, 0.15];
            let bands: Vec<Shape> = sides(&face[0]).zip(halves).map(|((a, b), half_m)| band(a, b, half_m)).collect();
            let clear = vec![of_rectangle(&face, &bands).unwrap()];
            assert!((area(&clear) - 5.75 * 3.75).abs() < 1e-9);
            assert!((area(&without(std::slice::from_ref(&face), &bands)[0]) - area(&clear)).abs() < 1e-6);
            // A wall that stands in the room, one of two thicknesses, and a corner that is not right.
            let inside = [bands.clone(), vec![band(at(3.0, 4.0), at(3.0, 2.0), 0.05)]].concat();
            assert_eq!(of_rectangle(&face, &inside), None);
            let thicker = [vec![band(face[0][0], face[0][1], 0.2)], bands[1..].to_vec()].concat();
            assert_eq!(of_rectangle(&face, &thicker), None);
        }
        let oblique = vec![vec![[0.0, 0.0], [4.0, 0.0], [4.5, 3.0], [0.0, 3.0]]];
        let bands: Vec<Shape> = sides(&oblique[0]).map(|(a, b)| band(a, b, 0.1)).collect();
        assert_eq!(of_rectangle(&oblique, &bands), None);
    }
}
