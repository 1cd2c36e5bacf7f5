//! What stands in the open air: the storeys of houses, as upright prisms.
//!
//! Every room stands over its clear outline, from the floor to the ceiling; a loft up to the height its storey states, so a pitched roof counts as a box. Outlines
//! are grown by a usual wall, so that no way leads between two rooms through their party wall. Rooms of the same heights that make one outline without inward
//! corners are one prism, as those of a house's storey mostly are: what is changed within it leaves what stands in the open air as it is. Wings of a house
//! stay apart, since a string from the yard between them need not go round them all.

use std::sync::Arc;

use super::ring::Ring;
use super::sight::Sight;
use super::string::{Point, flat_distance};
use crate::building::{
    Building, ElementShape, SlabRole, SpaceIndex, SpaceKind, distance_to_segment, merged, sides, signed_area,
};

/// Thickness of the floor under a room that has others below it, m: nothing passes between storeys. Own guess, on the thick side.
const FLOOR_M: f64 = 0.6;
/// What a room's clear outline grows by, m: about an outer wall, at least half of a party wall. Own choice; less than faces lie before it.
pub(super) const WALL_M: f64 = 0.25;
/// Inward corners no deeper than this, m, are filled: outer walls of one line differ by as much in thickness. Own choice; what faces lie before a wall by is
/// more. A little more than a round figure, so that roundoff does not decide on drawn ones.
const JOG_M: f64 = 0.1001;
/// Rooms that are one outline up to this, m, are one whether or not what else they touch is. Own guard, above what corners are rounded by.
const EXACT_M: f64 = 5e-6;
/// Corners are rounded to so many parts of a metre, so that those of a house stay the same when other corners of it move.
const PARTS_PER_M: f64 = 1e6;
/// Corners less than this off a straight line, m, are none. Own guard, above what corners are rounded by.
const STRAIGHT_M: f64 = 2e-6;

/// The corners of a room, counter-clockwise.
type Outline = Vec<Point>;

/// Something upright that stands in the way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Prism {
    pub ring: Ring,
    pub bottom_m: f64,
    pub top_m: f64,
}

impl Prism {
    /// True when some of it lies between the heights of both ends.
    pub fn is_level(&self, sight: &Sight) -> bool {
        sight.is_level_with(self.bottom_m, self.top_m)
    }
}

/// Rooms of the same heights, and what they are together.
#[derive(Debug, Clone)]
pub(super) struct Level {
    outlines: Vec<Outline>,
    heights_m: [f64; 2],
    prisms: Vec<Prism>,
}

impl Level {
    /// All levels of a building. What is known of levels before is not put together anew.
    pub fn all_of(building: &Building, known: &[Self]) -> Arc<[Self]> {
        let levels = by_heights(rooms_of(building)).into_iter().map(|(heights_m, outlines)| {
            let same = known.iter().find(|level| level.heights_m == heights_m && level.outlines == outlines);
            same.cloned().unwrap_or_else(|| Self { prisms: standing(&outlines, heights_m), outlines, heights_m })
        });
        levels.collect()
    }

    /// What stands there.
    pub fn prisms(&self) -> &[Prism] {
        &self.prisms
    }
}

/// Outlines of the same bottom and top, m, together.
pub(super) fn by_heights(rooms: impl Iterator<Item = ([f64; 2], Vec<Outline>)>) -> Vec<([f64; 2], Vec<Outline>)> {
    let mut levels: Vec<([f64; 2], Vec<Outline>)> = Vec::new();
    for (heights_m, outlines) in rooms {
        match levels.iter_mut().find(|(known, _)| *known == heights_m) {
            Some((_, all)) => all.extend(outlines),
            None => levels.push((heights_m, outlines)),
        }
    }
    levels
}

/// Bottom and top, m, and the clear outlines of each room.
fn rooms_of(building: &Building) -> impl Iterator<Item = ([f64; 2], Vec<Outline>)> {
    let level_of = |at: usize| {
        building.elements.iter().find_map(|element| match &element.shape {
            ElementShape::Wall { storey, level_m, .. } if *storey == at => Some(*level_m),
            _ => None,
        })
    };
    building.spaces.iter().enumerate().filter_map(move |(at, space)| {
        let SpaceKind::Room(room) = &space.kind else { return None };
        let level_m = level_of(room.storey)?;
        let grounded = building.elements.iter().any(|element| {
            element.sides.contains(&SpaceIndex(at))
                && matches!(element.shape, ElementShape::Slab { role: SlabRole::Ground, .. })
        });
        let bottom_m = if grounded { f64::NEG_INFINITY } else { level_m - FLOOR_M };
        let outer = room.outline.iter().filter(|ring| signed_area(ring) > 0.0).cloned();
        Some(([bottom_m, level_m + room.height_m], outer.collect()))
    })
}

/// Rooms over some clear outlines, those that are one taken together.
///
/// Jogs are filled only where all that touches is one, for which the order of the rooms does not matter. Parts of what has wings become one only where that is
/// exactly what they are, so that it does not matter which: the ways round them are the same.
pub(super) fn standing(outlines: &[Outline], [bottom_m, top_m]: [f64; 2]) -> Vec<Prism> {
    let rings: Vec<Ring> = outlines.iter().map(|outline| Ring::new(rounded(grown(outline)))).collect();
    // Mostly all of them are one house.
    let houses = together(&rings, JOG_M).map(|house| vec![house]);
    let houses = houses.unwrap_or_else(|| {
        touching(rings)
            .into_iter()
            .flat_map(|rooms| together(&rooms, JOG_M).map_or_else(|| wings(rooms), |house| vec![house]))
            .collect()
    });
    houses.into_iter().map(|ring| Prism { ring, bottom_m, top_m }).collect()
}

/// Outlines that have something in common, directly or by others.
fn touching(rings: Vec<Ring>) -> Vec<Vec<Ring>> {
    let touch = |one: &Ring, other: &Ring| {
        !one.is_apart_from(other) && merged(&[one.points.clone(), other.points.clone()]).len() == 1
    };
    let mut groups: Vec<Vec<Ring>> = Vec::new();
    for ring in rings {
        let (near, far): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.iter().any(|other| touch(&ring, other)));
        groups = far;
        groups.push(near.into_iter().flatten().chain([ring]).collect());
    }
    groups
}

/// Outlines, those that are exactly one taken together.
fn wings(mut rings: Vec<Ring>) -> Vec<Ring> {
    let mut one = 0;
    let mut met = 0;
    // From each room on, as long as any of them takes in another.
    while met < rings.len() {
        let mut others = (0..rings.len()).filter(|other| *other != one);
        match others.find_map(|other| Some((other, pair(&rings[one], &rings[other])?))) {
            Some((other, both)) => {
                rings[one] = both;
                rings.remove(other);
                one -= usize::from(other < one);
                met = 0;
            }
            None => (one, met) = ((one + 1) % rings.len(), met + 1),
        }
    }
    rings
}

/// Two outlines as one, if that has no inward corners.
fn pair(one: &Ring, other: &Ring) -> Option<Ring> {
    if one.is_apart_from(other) { None } else { together([one, other], EXACT_M) }
}

/// Outlines as one, if that has no inward corners deeper than a jog, m.
fn together<'a>(rings: impl IntoIterator<Item = &'a Ring> + Clone, jog_m: f64) -> Option<Ring> {
    let corners = rings.clone().into_iter().flat_map(|ring| &ring.points);
    let hull = hull_of(corners.copied().collect());
    let perimeter_m: f64 = sides(&hull).map(|(p, q)| flat_distance(p, q)).sum();
    let most_m2: f64 = rings.clone().into_iter().map(|ring| signed_area(&ring.points)).sum();
    // Together they leave more of it open than any jogs are.
    if most_m2 < signed_area(&hull) - jog_m * perimeter_m {
        return None;
    }
    let outlines: Vec<Outline> = rings.into_iter().map(|ring| ring.points.clone()).collect();
    let houses = merged(&outlines);
    let [house] = &houses[..] else { return None };
    let [outline] = &house[..] else { return None };
    let filled = |corner: &Point| sides(&hull).any(|(p, q)| distance_to_segment(*corner, p, q) <= jog_m);
    outline.iter().all(filled).then(|| Ring::new(rounded(hull)))
}

/// The hull of some points, counter-clockwise, without corners on its sides.
fn hull_of(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_unstable_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
    let mut hull: Vec<Point> = Vec::with_capacity(points.len());
    let upward = points.iter();
    let downward = points.iter().rev().skip(1);
    let mut kept = 1;
    for (at, point) in upward.chain(downward).enumerate() {
        if at == points.len() {
            kept = hull.len();
        }
        while hull.len() > kept && off(hull[hull.len() - 2], *point, hull[hull.len() - 1]) >= -STRAIGHT_M {
            hull.pop();
        }
        hull.push(*point);
    }
    hull.pop();
    hull
}

/// How far a point lies to the left of a line, m.
fn off(p: Point, q: Point, point: Point) -> f64 {
    let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
    (dx * (point[1] - p[1]) - dy * (point[0] - p[0])) / dx.hypot(dy).max(STRAIGHT_M)
}

fn rounded(ring: Vec<Point>) -> Vec<Point> {
    ring.into_iter().map(|corner| corner.map(|m| (m * PARTS_PER_M).round() / PARTS_PER_M)).collect()
}

/// A counter-clockwise ring with all sides moved outward by [`WALL_M`].
fn grown(ring: &[Point]) -> Vec<Point> {
    let outward = |p: Point, q: Point| {
        let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
        let length = dx.hypot(dy).max(1e-9);
        [dy / length, -dx / length]
    };
    let count = ring.len();
    let corners = (0..count).map(|at| {
        let (before, here, after) = (ring[(at + count - 1) % count], ring[at], ring[(at + 1) % count]);
        let (one, two) = (outward(before, here), outward(here, after));
        // Sharp spikes grow no further than a right angle's corner.
        let scale = WALL_M / (1.0 + one[0] * two[0] + one[1] * two[1]).max(1.0);
        [here[0] + scale * (one[0] + two[0]), here[1] + scale * (one[1] + two[1])]
    });
    corners.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room([x, y]: Point, [width, depth]: Point) -> Vec<Point> {
        vec![[x, y], [x + width, y], [x + width, y + depth], [x, y + depth]]
    }

    fn corners(outlines: &[Outline]) -> Vec<Outline> {
        let prisms = standing(outlines, [0.0, 3.0]);
        prisms.into_iter().map(|prism| prism.ring.points.clone()).collect()
    }

    /// A house of two rooms with a wall of 0.2 m between them has four corners, and keeps them to the last bit when that wall moves, goes, or another is drawn.
    #[test]
    fn walls_within_a_house_leave_what_stands_outdoors() {
        let house = corners(&[room([0.0, 0.0], [4.0, 6.0]), room([4.2, 0.0], [3.8, 6.0])]);
        assert_eq!(house.len(), 1);
        let mut sorted = house[0].clone();
        sorted.sort_by(|one, other| one.partial_cmp(other).unwrap());
        assert_eq!(sorted, [[-0.25, -0.25], [-0.25, 6.25], [8.25, -0.25], [8.25, 6.25]]);
        let moved = corners(&[room([0.0, 0.0], [4.013, 6.0]), room([4.213, 0.0], [3.787, 6.0])]);
        let one = corners(&[room([0.0, 0.0], [8.0, 6.0])]);
        let three = [room([0.0, 0.0], [4.0, 6.0]), room([4.2, 0.0], [3.8, 2.9]), room([4.2, 3.0], [3.8, 3.0])];
        for other in [moved, one, corners(&three)] {
            assert_eq!(other.len(), 1);
            assert!(other[0].len() == 4 && other[0].iter().all(|corner| house[0].contains(corner)), "{other:?}");
        }
    }

    /// Houses apart stay apart, and so do the wings of a house.
    #[test]
    fn what_is_open_stays_open() {
        assert_eq!(corners(&[room([0.0, 0.0], [4.0, 6.0]), room([9.0, 0.0], [4.0, 6.0])]).len(), 2);
        let round_a_yard = [
            room([0.0, 0.0], [5.9, 4.0]),
            room([6.1, 0.0], [5.9, 4.0]),
            room([0.0, 8.2], [12.0, 4.0]),
            room([0.0, 4.1], [4.0, 4.0]),
            room([8.0, 4.1], [4.0, 4.0]),
        ];
        let mut wings: Vec<usize> = corners(&round_a_yard).iter().map(Vec::len).collect();
        assert_eq!(wings, [4; 4]);
        wings = corners(&round_a_yard[..4]).iter().map(Vec::len).collect();
        assert_eq!(wings, [4; 3]);
    }

    /// A wall 8 cm thicker than the next one leaves a jog of 4 cm, which is filled; half a metre is not.
    #[test]
    fn jogs_are_filled() {
        let house = |back_m: f64| corners(&[room([0.0, 0.0], [4.0, 6.0]), room([4.2, back_m], [3.8, 6.0 - back_m])]);
        let filled = house(0.04);
        assert!(filled.len() == 1 && filled[0].len() == 5, "{filled:?}");
        assert_eq!(house(0.5).len(), 2);
    }
}
