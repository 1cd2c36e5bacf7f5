//! Outer walls as mirrors: sound that reaches an ear, or a façade, by one reflection.
//!
//! An image source for every façade, of storeys and rooms that lie in one plane, if the mirror point lies on it, it is seen from both ends,
//! and it is wide and high enough for the wavelength. Source: ISO 9613-2:1996, 7.5 (from memory, unverified). Only one reflection is followed.

use glam::{DVec2, DVec3};

use super::obstacles::WALL_M;
use crate::acoustics::outdoors::least_mirrored_hz;
use crate::building::{Building, ElementShape};

/// Wall parts this near each other, m, are one façade: a partition or a floor lies between them. Own choice, as
/// odd as [`ONE_PLANE_M`].
const JOINT_M: f64 = 0.7001;
/// Walls less than this out of one plane, m, are one façade. Own choice; a little more than a round figure, so that roundoff does not decide on drawn ones.
const ONE_PLANE_M: f64 = 0.3001;
/// A mirror lies this far before the outer face, m, so that its own house does not hide it. Own guard.
const BEFORE_M: f64 = 0.02;

/// A façade as a mirror.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mirror {
    /// A point of its plane.
    foot: DVec2,
    /// Outward normal.
    normal: DVec2,
    /// Wall parts: from and to along the façade, m from `foot`; bottom and top above the street, m.
    parts: Vec<[f64; 4]>,
    /// The shorter of width and height, m.
    least_side_m: f64,
}

/// A path by a mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reflection {
    /// Where it is reflected.
    pub at: DVec3,
    /// Length of the whole path, m.
    pub length_m: f64,
    /// Distance of both ends from the plane, m.
    pub before_m: [f64; 2],
    /// Below this the façade is too small to reflect, Hz.
    pub least_hz: f64,
}

impl Mirror {
    /// The façades of a building.
    pub(super) fn all_of(building: &Building) -> Vec<Self> {
        let outdoors = building.outdoors();
        let mut facades: Vec<Vec<Self>> = Vec::new();
        for element in building.elements.iter() {
            let Some(outer) = element.sides.iter().position(|side| *side == outdoors) else { continue };
            let ElementShape::Wall { line, thickness_m, height_m, level_m, .. } = element.shape else { continue };
            let [left, right] = if outer == 0 { line } else { [line[1], line[0]] }.map(DVec2::from);
            let Some(along) = (right - left).try_normalize() else { continue };
            // A mirror lies no deeper than obstacles reach.
            let out_m = (thickness_m / 2.0).max(WALL_M - thickness_m / 2.0) + BEFORE_M;
            let parts = vec![[0.0, left.distance(right), level_m, level_m + height_m]];
            add(&mut facades, Self::new(left + out_m * along.perp(), along.perp(), parts));
        }
        facades.iter().map(|walls| joined(walls)).collect()
    }

    fn new(foot: DVec2, normal: DVec2, parts: Vec<[f64; 4]>) -> Self {
        let extent = |low: usize, high: usize| {
            let most = parts.iter().map(|part| part[high]).fold(f64::NEG_INFINITY, f64::max);
            most - parts.iter().map(|part| part[low]).fold(f64::INFINITY, f64::min)
        };
        Self { foot, normal, least_side_m: extent(0, 1).min(extent(2, 3)), parts }
    }

    /// Along the façade from its foot, to the right as its normal looks up the page.
    fn along(&self, at: DVec2) -> f64 {
        self.normal.perp_dot(self.foot - at)
    }

    /// Before its plane.
    fn before(&self, at: DVec2) -> f64 {
        (at - self.foot).dot(self.normal)
    }

    /// A point of its plane.
    fn point(&self, along_m: f64) -> DVec2 {
        self.foot - along_m * self.normal.perp()
    }

    /// The middle of its first part.
    fn middle(&self) -> DVec2 {
        self.point(self.parts.first().map_or(0.0, |part| f64::midpoint(part[0], part[1])))
    }

    /// Whether two walls are of one façade: the same both ways.
    fn is_one_with(&self, other: &Self) -> bool {
        let out_m = self.before(other.middle()).abs().max(other.before(self.middle()).abs());
        if self.normal.dot(other.normal) <= 0.999 || out_m > ONE_PLANE_M {
            return false;
        }
        let near = |a: [f64; 2], b: [f64; 2]| a[0] < b[1] + JOINT_M && b[0] < a[1] + JOINT_M;
        let beside = |one: &Self, two: &Self| {
            let shift_m = one.along(two.foot);
            one.parts.iter().any(|own| {
                two.parts.iter().any(|part| {
                    near([own[0], own[1]], [part[0] + shift_m, part[1] + shift_m])
                        && near([own[2], own[3]], [part[2], part[3]])
                })
            })
        };
        beside(self, other) || beside(other, self)
    }

    /// The path from one point to another by this mirror, each farther before it than given, m; whether anything stands in it is left to the caller.
    pub(super) fn reflection(&self, [from, to]: [DVec3; 2], least_m: [f64; 2], speed_m_s: f64) -> Option<Reflection> {
        let (a, b) = (from.truncate(), to.truncate());
        let before = |at: DVec2, least_m: f64| Some(self.before(at)).filter(|m| *m > least_m).map(|m| m.max(0.0));
        let before_m = [before(a, least_m[0])?, before(b, least_m[1])?];
        let depth_m = before_m[0] + before_m[1];
        if depth_m <= 0.0 {
            return None;
        }
        let part = before_m[0] / depth_m;
        let between = |from: f64, to: f64| from + part * (to - from);
        let (along_m, high_m) = (between(self.along(a), self.along(b)), between(from.z, to.z));
        let on = |part: &&[f64; 4]| {
            let half = JOINT_M / 2.0;
            (part[0] - half..=part[1] + half).contains(&along_m) && (part[2] - half..=part[3] + half).contains(&high_m)
        };
        self.parts.iter().find(on)?;
        let aside_m = self.along(b) - self.along(a);
        let length_m = DVec3::new(depth_m, aside_m, to.z - from.z).length();
        let [from_m, to_m] = [part * length_m, (1.0 - part) * length_m];
        Some(Reflection {
            at: self.point(along_m).extend(high_m),
            length_m,
            before_m,
            least_hz: least_mirrored_hz(self.least_side_m, depth_m / length_m, from_m, to_m, speed_m_s),
        })
    }
}

/// Puts a wall to all it is one façade with. Which walls are is told of each two, so that their order does not matter.
fn add(facades: &mut Vec<Vec<Mirror>>, fresh: Mirror) {
    let one = |walls: &mut Vec<Mirror>| walls.iter().any(|wall| wall.is_one_with(&fresh));
    let mut same: Vec<Mirror> = facades.extract_if(.., one).flatten().collect();
    same.push(fresh);
    facades.push(same);
}

/// The walls of a façade as one mirror: it looks as they do in the mean of their lengths, and lies as far out as the outermost.
fn joined(walls: &[Mirror]) -> Mirror {
    let weighted = |wall: &Mirror| wall.normal * wall.parts.iter().map(|part| part[1] - part[0]).sum::<f64>();
    let normal = walls.iter().map(weighted).sum::<DVec2>().normalize_or(walls[0].normal);
    let mut plane = Mirror::new(walls[0].foot, normal, Vec::new());
    let out_m = walls.iter().map(|wall| plane.before(wall.middle())).fold(f64::NEG_INFINITY, f64::max);
    plane.foot += out_m * normal;
    let shifted = |wall: &Mirror| {
        let shift_m = plane.along(wall.foot);
        let part = move |[from, to, low, high]: &[f64; 4]| [from + shift_m, to + shift_m, *low, *high];
        wall.parts.iter().map(part).collect::<Vec<_>>()
    };
    Mirror::new(plane.foot, normal, walls.iter().flat_map(shifted).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A façade on the x axis from 0 to 10 m, 5 m high, looking down the page.
    fn facade() -> Mirror {
        // `along` runs to −x for a normal of −y.
        Mirror::new(DVec2::ZERO, DVec2::NEG_Y, vec![[-10.0, 0.0, 0.0, 5.0]])
    }

    fn bounce(from: [f64; 3], to: [f64; 3]) -> Option<Reflection> {
        facade().reflection([from.into(), to.into()], [0.0; 2], 340.0)
    }

    /// From 3 m before it to 1 m before it, 4 m further on: the image lies 4 m deep and 4 m aside; mirrored three quarters along.
    #[test]
    fn the_image_lies_as_far_behind_the_wall() {
        let path = bounce([2.0, -3.0, 1.0], [6.0, -1.0, 2.0]).unwrap();
        assert!((path.length_m - 33f64.sqrt()).abs() < 1e-9, "{path:?}");
        assert!(path.at.distance(DVec3::new(5.0, 0.0, 1.75)) < 1e-9, "{path:?}");
        // 1/λ > 2/(l·cos β)²·d1·d2/(d1 + d2), l = 5 m, cos β = 4/√33, d1 and d2 3/4 and 1/4 of √33.
        let by_hand = 340.0 * 2.0 / (5.0 * 4.0 / 33f64.sqrt()).powi(2) * 33f64.sqrt() * 3.0 / 16.0;
        assert!((path.least_hz - by_hand).abs() < 1e-9, "{} for {by_hand}", path.least_hz);
        assert_eq!(bounce([2.0, 3.0, 1.0], [6.0, -1.0, 2.0]), None);
        assert_eq!(bounce([12.0, -3.0, 1.0], [16.0, -1.0, 2.0]), None);
        assert_eq!(bounce([2.0, -3.0, 9.0], [6.0, -1.0, 12.0]), None);
    }

    /// Rooms beside and above each other are one façade, one set back is another.
    #[test]
    fn rooms_in_one_plane_are_one_facade() {
        let part = |x_m: f64, y_m: f64, low_m: f64| {
            Mirror::new(DVec2::new(x_m, y_m), DVec2::NEG_Y, vec![[-4.0, 0.0, low_m, low_m + 2.5]])
        };
        let mut all = Vec::new();
        for (x_m, y_m, low_m) in [(0.0, 0.0, 0.0), (8.4, 0.0, 0.0), (4.2, 0.0, 0.0), (0.0, 0.1, 2.8), (0.0, 2.0, 0.0)] {
            add(&mut all, part(x_m, y_m, low_m));
        }
        assert_eq!(all.len(), 2);
        let whole = joined(all.iter().find(|walls| walls.len() == 4).unwrap());
        assert!((whole.least_side_m - 5.3).abs() < 1e-9);
    }
}
