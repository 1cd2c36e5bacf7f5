//! Outer walls as mirrors: sound that reaches an ear, or a façade, by one reflection.
//!
//! An image source for every façade, of storeys and rooms that lie in one plane, if the mirror point lies on it, it is seen from both ends,
//! and it is wide and high enough for the wavelength. Source: ISO 9613-2:1996, 7.5 (from memory, unverified). Only one reflection is followed.

use crate::acoustics::outdoors::least_mirrored_hz;
use crate::building::{Building, ElementShape};

type Point = [f64; 2];
type Point3 = [f64; 3];

/// Wall parts this near each other, m, are one façade: a partition or a floor lies between them. Own choice, as
/// odd as [`ONE_PLANE_M`].
const JOINT_M: f64 = 0.7001;
/// Walls less than this out of one plane, m, are one façade. Own choice; a little more than a round figure, so that roundoff does not decide on drawn ones.
const ONE_PLANE_M: f64 = 0.3001;
/// A mirror lies this far before the outer face, m, so that its own house does not hide it. Own guard.
const BEFORE_M: f64 = 0.02;
/// What screens grow a room by, m: a mirror must lie no deeper.
const GROWN_M: f64 = super::prism::WALL_M;

/// A façade as a mirror.
#[derive(Debug, Clone, PartialEq)]
struct Mirror {
    /// A point of its plane.
    foot: Point,
    /// Outward normal.
    normal: Point,
    /// Wall parts: from and to along the façade, m from `foot`; bottom and top above the street, m.
    parts: Vec<[f64; 4]>,
}

/// A way by a mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bounce {
    /// Where it is reflected.
    pub at: Point3,
    /// Length of the whole way, m.
    pub length_m: f64,
    /// Distance of both ends from the plane, m.
    pub before_m: [f64; 2],
    /// Below this the façade is too small to reflect, Hz.
    pub least_hz: f64,
}

/// All façades.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mirrors(Vec<Mirror>);

impl Mirrors {
    /// The façades of a building.
    pub fn of(building: &Building) -> Self {
        let outdoors = building.outdoors();
        let mut facades: Vec<Vec<Mirror>> = Vec::new();
        for element in building.elements.iter() {
            let Some(outer) = element.sides.iter().position(|side| *side == outdoors) else { continue };
            let ElementShape::Wall { line: [p, q], thickness_m, height_m, level_m, .. } = element.shape else {
                continue;
            };
            let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
            let length_m = dx.hypot(dy);
            if length_m <= 0.0 {
                continue;
            }
            let sign = if outer == 0 { 1.0 } else { -1.0 };
            let normal = [-sign * dy / length_m, sign * dx / length_m];
            let out_m = (thickness_m / 2.0).max(GROWN_M - thickness_m / 2.0) + BEFORE_M;
            let fresh = Mirror {
                foot: [p[0] + out_m * normal[0], p[1] + out_m * normal[1]],
                normal,
                parts: vec![[0.0, sign * length_m, level_m, level_m + height_m]].into_iter().map(ordered).collect(),
            };
            add(&mut facades, fresh);
        }
        Self(facades.iter().map(|walls| joined(walls)).collect())
    }

    /// Which mirrors a point lies at least so far before, m: a bit for each. Beyond 64 mirrors nothing is told, and all bits are set.
    pub fn faced_by(&self, at: Point3, least_m: f64) -> u64 {
        if self.0.len() > 64 {
            return u64::MAX;
        }
        let faced = |mirror: &Mirror| mirror.before([at[0], at[1]]) > least_m;
        self.0.iter().enumerate().map(|(number, mirror)| u64::from(faced(mirror)) << number).sum()
    }

    /// The ways from one point to another by one mirror each; whether anything stands in them is left to the caller.
    pub fn bounces(&self, from: Point3, to: Point3, speed_m_s: f64) -> impl Iterator<Item = Bounce> + '_ {
        self.0.iter().filter_map(move |mirror| mirror.bounce(from, to, speed_m_s))
    }
}

/// Puts a wall to all it is one façade with. Which walls are is told of each two, so that their order does not matter.
fn add(facades: &mut Vec<Vec<Mirror>>, fresh: Mirror) {
    let one = |walls: &Vec<Mirror>| walls.iter().any(|wall| wall.is_one_with(&fresh));
    let (same, others): (Vec<_>, Vec<_>) = std::mem::take(facades).into_iter().partition(one);
    *facades = others;
    facades.push(same.into_iter().flatten().chain([fresh]).collect());
}

/// The walls of a façade as one mirror: it looks as they do in the mean of their lengths, and lies as far out as the outermost.
fn joined(walls: &[Mirror]) -> Mirror {
    let sum = walls.iter().fold([0.0; 2], |[x, y], wall| {
        let m = wall.parts.iter().map(|part| part[1] - part[0]).sum::<f64>();
        [x + m * wall.normal[0], y + m * wall.normal[1]]
    });
    let length = sum[0].hypot(sum[1]);
    let mut whole = Mirror { foot: walls[0].foot, normal: sum.map(|part| part / length), parts: Vec::new() };
    let out_m = walls.iter().map(|wall| whole.before(wall.middle())).fold(f64::NEG_INFINITY, f64::max);
    whole.foot = [0, 1].map(|axis| whole.foot[axis] + out_m * whole.normal[axis]);
    for wall in walls {
        let shift_m = whole.along(wall.foot);
        whole.parts.extend(wall.parts.iter().map(|[a, b, low, high]| [a + shift_m, b + shift_m, *low, *high]));
    }
    whole
}

fn ordered([a, b, low, high]: [f64; 4]) -> [f64; 4] {
    [a.min(b), a.max(b), low, high]
}

impl Mirror {
    /// Along the façade from its foot, to the right as its normal looks up the page.
    fn along(&self, at: Point) -> f64 {
        (at[0] - self.foot[0]) * self.normal[1] - (at[1] - self.foot[1]) * self.normal[0]
    }

    /// Before its plane.
    fn before(&self, at: Point) -> f64 {
        (at[0] - self.foot[0]) * self.normal[0] + (at[1] - self.foot[1]) * self.normal[1]
    }

    /// The middle of its first part.
    fn middle(&self) -> Point {
        let m = self.parts.first().map_or(0.0, |part| (part[0] + part[1]) / 2.0);
        [self.foot[0] + m * self.normal[1], self.foot[1] - m * self.normal[0]]
    }

    /// Whether two walls are of one façade: the same both ways.
    fn is_one_with(&self, other: &Self) -> bool {
        let alike = self.normal[0] * other.normal[0] + self.normal[1] * other.normal[1] > 0.999;
        let out_m = self.before(other.middle()).abs().max(other.before(self.middle()).abs());
        if !alike || out_m > ONE_PLANE_M {
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

    /// The shorter of width and height.
    fn least_side_m(&self) -> f64 {
        let extent = |low: usize, high: usize| {
            let most = self.parts.iter().map(|part| part[high]).fold(f64::NEG_INFINITY, f64::max);
            most - self.parts.iter().map(|part| part[low]).fold(f64::INFINITY, f64::min)
        };
        extent(0, 1).min(extent(2, 3))
    }

    fn bounce(&self, from: Point3, to: Point3, speed_m_s: f64) -> Option<Bounce> {
        let (a, b) = ([from[0], from[1]], [to[0], to[1]]);
        // Ears at the very wall may lie a little behind the plane.
        let before = |at: Point| Some(self.before(at)).filter(|m| *m > -GROWN_M).map(|m| m.max(0.0));
        let before_m = [before(a)?, before(b)?];
        let depth_m = before_m[0] + before_m[1];
        if depth_m <= 0.0 {
            return None;
        }
        let part = before_m[0] / depth_m;
        let between = |from: f64, to: f64| from + part * (to - from);
        let (along_m, high_m) = (between(self.along(a), self.along(b)), between(from[2], to[2]));
        let on = |part: &&[f64; 4]| {
            let half = JOINT_M / 2.0;
            (part[0] - half..=part[1] + half).contains(&along_m) && (part[2] - half..=part[3] + half).contains(&high_m)
        };
        self.parts.iter().find(on)?;
        let aside_m = self.along(b) - self.along(a);
        let length_m = (depth_m.powi(2) + aside_m.powi(2) + (to[2] - from[2]).powi(2)).sqrt();
        Some(Bounce {
            at: [self.foot[0] + along_m * self.normal[1], self.foot[1] - along_m * self.normal[0], high_m],
            length_m,
            before_m,
            least_hz: least_mirrored_hz(
                self.least_side_m(),
                depth_m / length_m,
                part * length_m,
                (1.0 - part) * length_m,
                speed_m_s,
            ),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A façade on the x axis from 0 to 10 m, 5 m high, looking down the page.
    fn facade() -> Mirror {
        // `along` runs to −x for a normal of −y.
        Mirror { foot: [0.0, 0.0], normal: [0.0, -1.0], parts: vec![[-10.0, 0.0, 0.0, 5.0]] }
    }

    /// From 3 m before it to 1 m before it, 4 m further on: the image lies 4 m deep and 4 m aside; mirrored three quarters along.
    #[test]
    fn the_image_lies_as_far_behind_the_wall() {
        let bounce = facade().bounce([2.0, -3.0, 1.0], [6.0, -1.0, 2.0], 340.0).unwrap();
        assert!((bounce.length_m - 33f64.sqrt()).abs() < 1e-9, "{bounce:?}");
        let wanted = [5.0, 0.0, 1.75];
        assert!(bounce.at.iter().zip(wanted).all(|(got, wanted)| (got - wanted).abs() < 1e-9), "{bounce:?}");
        // 1/λ > 2/(l·cos β)²·d1·d2/(d1 + d2), l = 5 m, cos β = 4/√33, d1 and d2 3/4 and 1/4 of √33.
        let by_hand = 340.0 * 2.0 / (5.0 * 4.0 / 33f64.sqrt()).powi(2) * 33f64.sqrt() * 3.0 / 16.0;
        assert!((bounce.least_hz - by_hand).abs() < 1e-9, "{} for {by_hand}", bounce.least_hz);
        assert_eq!(facade().bounce([2.0, 3.0, 1.0], [6.0, -1.0, 2.0], 340.0), None);
        assert_eq!(facade().bounce([12.0, -3.0, 1.0], [16.0, -1.0, 2.0], 340.0), None);
        assert_eq!(facade().bounce([2.0, -3.0, 9.0], [6.0, -1.0, 12.0], 340.0), None);
    }

    /// Rooms beside and above each other are one façade, one set back is another.
    #[test]
    fn rooms_in_one_plane_are_one_facade() {
        let part = |x_m: f64, y_m: f64, low_m: f64| Mirror {
            foot: [x_m, y_m],
            normal: [0.0, -1.0],
            parts: vec![[-4.0, 0.0, low_m, low_m + 2.5]],
        };
        let mut all = Vec::new();
        for (x_m, y_m, low_m) in [(0.0, 0.0, 0.0), (8.4, 0.0, 0.0), (4.2, 0.0, 0.0), (0.0, 0.1, 2.8), (0.0, 2.0, 0.0)] {
            add(&mut all, part(x_m, y_m, low_m));
        }
        assert_eq!(all.len(), 2);
        let whole = joined(all.iter().find(|walls| walls.len() == 4).unwrap());
        assert!((whole.least_side_m() - 5.3).abs() < 1e-9);
    }
}
