//! Straight lines between two ends.

use glam::DVec2;

/// A line from its first end to its second, m.
pub(crate) type Line = [DVec2; 2];

/// The line between two points as files have them.
pub(crate) fn line(ends: [[f64; 2]; 2]) -> Line {
    ends.map(DVec2::from)
}

/// Unit vector along a line; along x for one without length.
pub(crate) fn heading([a, b]: Line) -> DVec2 {
    let length = a.distance(b);
    if length > 0.0 { (b - a) / length } else { DVec2::X }
}

/// How far along a line a point lies, m from its first end.
pub(crate) fn along(line: Line, point: DVec2) -> f64 {
    (point - line[0]).dot(heading(line))
}

/// How far to the left of a line (or of what it would be if it went on) a point lies, m.
pub(crate) fn off(line: Line, point: DVec2) -> f64 {
    heading(line).perp_dot(point - line[0])
}

/// The point of a line nearest to a point.
pub(crate) fn foot(point: DVec2, [a, b]: Line) -> DVec2 {
    let along = b - a;
    let squared = along.length_squared();
    let part = if squared > 0.0 { ((point - a).dot(along) / squared).clamp(0.0, 1.0) } else { 0.0 };
    a + along * part
}

/// Distance of a point from a line between its ends, m.
pub(crate) fn distance(point: DVec2, line: Line) -> f64 {
    point.distance(foot(point, line))
}

/// Where two lines cross between their ends: nothing where an end of one lies nearer than `clear_m` to the line of the other, so that roundoff has no say.
pub(crate) fn crossing(a: Line, b: Line, clear_m: f64) -> Option<DVec2> {
    let part = |[p, q]: [f64; 2]| (p.abs().min(q.abs()) >= clear_m && (p < 0.0) != (q < 0.0)).then(|| p / (p - q));
    part(b.map(|end| off(a, end)))?;
    let part = part(a.map(|end| off(b, end)))?;
    Some(a[0] + (a[1] - a[0]) * part)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_cross_between_their_ends_only() {
        let level = line([[0.0, 0.0], [4.0, 0.0]]);
        assert_eq!(crossing(level, line([[1.0, -1.0], [1.0, 1.0]]), 0.01), Some(DVec2::X));
        for other in [
            [[1.0, 0.0], [1.0, 1.0]],
            [[5.0, -1.0], [5.0, 1.0]],
            [[0.0, 0.0], [0.0, 1.0]],
            [[1.0, 0.0], [2.0, 0.0]],
            [[1.0, -0.004], [1.0, 1.0]],
            [[5.0, 1e-15], [8.0, -1e-15]],
        ] {
            assert_eq!(crossing(level, line(other), 0.01), None, "{other:?}");
        }
    }

    #[test]
    fn the_nearest_point_of_a_line_lies_between_its_ends() {
        let slanted = line([[0.0, 0.0], [3.0, 4.0]]);
        assert_eq!(distance(DVec2::new(3.0, 8.0), slanted), 4.0);
        assert!((distance(DVec2::new(4.0, -3.0), slanted) - 5.0).abs() < 1e-12);
        assert!((off(slanted, DVec2::new(-4.0, 3.0)) - 5.0).abs() < 1e-12);
        assert!((along(slanted, DVec2::new(6.0, 8.0)) - 10.0).abs() < 1e-12);
    }
}
