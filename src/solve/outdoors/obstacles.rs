//! What stands in the open air: the storeys of houses, as upright prisms over convex polygons.
//!
//! Every room stands over its clear outline, from the floor to the ceiling; a loft up to the height its storey states, so a pitched roof counts as a box. Outlines
//! are grown by a usual wall, so that nothing leads between two rooms through their party wall. Rooms of the same heights are one outline, and that is cut into
//! convex parts: wings of a house stay apart, since a path from the yard between them need not go round them all.

use glam::{DVec2, DVec3};

use crate::building::{Building, ElementShape, SlabRole, SpaceKind};
use crate::geometry::{Line, area, common, convex_hull, distance, heading, merged, off, sides, signed_area};

/// Thickness of the floor under a room that has others below it, m: nothing passes between storeys. Own guess, on the thick side.
const FLOOR_M: f64 = 0.6;
/// What a room's clear outline grows by, m: about an outer wall, at least half of a party wall. Own choice; less than faces lie before it.
pub(super) const WALL_M: f64 = 0.25;
/// Convex parts of one house overlap by this on both sides, m, so that nothing passes between them. Own guard.
const OVERLAP_M: f64 = 1e-3;
/// Convex parts are cut off this far before the line they are cut along, m, and then reach to it: a jog right on it belongs to the part beyond, whatever roundoff
/// says. Own guard, far above the rounding of corners and far below [`OVERLAP_M`].
const CLEAR_M: f64 = 1e-4;
/// Inward corners no deeper than this, m, are filled: outer walls of one line differ by as much in thickness. Own choice; what faces lie before a wall by is
/// more. A little more than a round figure, so that roundoff does not decide on drawn ones.
const JOG_M: f64 = 0.1001;
/// What passes less than this through an obstacle in the plan, m, touches it only. Own guard against roundoff.
const LEAST_CHORD_M: f64 = 0.05;
/// What is nearer than this to a side, m, runs along it and not through it. Own guard, far above the rounding of corners.
const ALONG_M: f64 = 2e-5;
/// Corners are rounded to so many parts of a metre, so that those on one line are so exactly.
const PARTS_PER_M: f64 = 1e6;
/// Twice the area, m², of a triangle of three corners that count as lying on one line. Own guard against roundoff.
pub(super) const FLAT_M2: f64 = 1e-9;
/// Lines whose ends lie nearer than this to each other's, m, are one; parts of less than this area, m², are roundoff. Own guards.
const SAME_LINE_M: f64 = 1e-3;
const LEAST_M2: f64 = 1e-4;

/// A closed line in the plan, m.
type Ring = Vec<[f64; 2]>;

/// Something upright that stands in the way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Obstacle {
    /// Corners of its outline in the plan, counter-clockwise, without inward ones.
    pub corners: Vec<DVec2>,
    /// Its sides as half planes: inward unit normal, and what a point's product with it exceeds.
    half_planes: Vec<(DVec2, f64)>,
    /// Lowest and highest coordinates.
    bounds: [DVec2; 2],
    /// Where it begins and ends above the street, m.
    pub heights_m: [f64; 2],
}

impl Obstacle {
    fn new(corners: &[[f64; 2]], heights_m: [f64; 2]) -> Self {
        let half_plane = |[p, q]: [DVec2; 2]| {
            let inward = (q - p).perp().try_normalize()?;
            Some((inward, inward.dot(p)))
        };
        let half_planes = sides(corners).filter_map(half_plane).collect();
        let corners: Vec<DVec2> = corners.iter().map(|corner| (*corner).into()).collect();
        let low = corners.iter().fold(DVec2::INFINITY, |low, corner| low.min(*corner));
        let high = corners.iter().fold(DVec2::NEG_INFINITY, |high, corner| high.max(*corner));
        Self { corners, half_planes, bounds: [low, high], heights_m }
    }

    /// The storeys of a building.
    pub(super) fn all_of(building: &Building) -> Vec<Self> {
        let mut levels: Vec<([f64; 2], Vec<Ring>)> = Vec::new();
        for (heights_m, outlines) in rooms_of(building) {
            match levels.iter_mut().find(|(known, _)| *known == heights_m) {
                Some((_, all)) => all.extend(outlines),
                None => levels.push((heights_m, outlines)),
            }
        }
        levels.into_iter().flat_map(|(heights_m, outlines)| Self::over(&outlines, heights_m)).collect()
    }

    /// Rooms of the same heights over some clear outlines.
    pub(super) fn over(outlines: &[Ring], heights_m: [f64; 2]) -> Vec<Self> {
        let rooms: Vec<Ring> = outlines.iter().map(|outline| grown(outline, WALL_M - OVERLAP_M)).collect();
        let mut parts = Vec::new();
        merged(&rooms).into_iter().for_each(|house| convex_parts(house, &mut parts));
        parts.iter().map(|part| Self::new(&grown(part, OVERLAP_M), heights_m)).collect()
    }

    /// Between which parts of a straight line, 0 to 1, it lies within the outline in the plan; nothing when it only touches.
    /// Source: Cyrus & Beck, Computers & Graphics 3 (1978) 23 (from memory, unverified).
    #[inline]
    pub(super) fn chord(&self, from: DVec2, to: DVec2) -> Option<[f64; 2]> {
        let [low, high] = self.bounds;
        if (from.max(to).cmplt(low) | from.min(to).cmpgt(high)).any() {
            return None;
        }
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (inward, least) in &self.half_planes {
            let (at_from, at_to) = (inward.dot(from) - least, inward.dot(to) - least);
            match (at_from > ALONG_M, at_to > ALONG_M) {
                (true, true) => {}
                (false, false) => return None,
                (false, true) => enters = enters.max(at_from / (at_from - at_to)),
                (true, false) => leaves = leaves.min(at_from / (at_from - at_to)),
            }
        }
        ((leaves - enters) * from.distance(to) > LEAST_CHORD_M).then_some([enters, leaves])
    }

    /// Whether a point lies within its outline in the plan.
    pub(super) fn holds(&self, point: DVec2) -> bool {
        self.half_planes.iter().all(|(inward, least)| inward.dot(point) - least > ALONG_M)
    }

    /// Whether some of it lies between the heights of two points.
    pub(super) fn is_level_with(&self, from: DVec3, to: DVec3) -> bool {
        self.heights_m[0] < from.z.max(to.z) && self.heights_m[1] > from.z.min(to.z)
    }

    /// Whether a straight line that crosses its outline between two parts of the length passes it neither above nor below.
    pub(super) fn is_met(&self, from: DVec3, to: DVec3, chord: [f64; 2]) -> bool {
        let [one, other] = chord.map(|part| from.z + part * (to.z - from.z));
        self.heights_m[0] < one.max(other) && self.heights_m[1] > one.min(other)
    }
}

/// Bottom and top, m, and the clear outlines of each room.
fn rooms_of(building: &Building) -> impl Iterator<Item = ([f64; 2], Vec<Ring>)> {
    let mut levels_m = Vec::new();
    let mut grounded = vec![false; building.spaces.len()];
    for element in building.elements.iter() {
        match element.shape {
            ElementShape::Wall { storey, level_m, .. } => {
                levels_m.resize(levels_m.len().max(storey + 1), None);
                levels_m[storey] = Some(level_m);
            }
            ElementShape::Slab { role: SlabRole::Ground, .. } => {
                element.sides.iter().for_each(|side| grounded[side.0] = true);
            }
            ElementShape::Slab { .. } => {}
        }
    }
    building.spaces.iter().zip(grounded).filter_map(move |(space, grounded)| {
        let SpaceKind::Room(room) = &space.kind else { return None };
        let level_m = levels_m.get(room.storey).copied().flatten()?;
        let bottom_m = if grounded { f64::NEG_INFINITY } else { level_m - FLOOR_M };
        let outer = room.outline.iter().filter(|ring| signed_area(ring) > 0.0).cloned();
        Some(([bottom_m, level_m + room.height_m], outer.collect()))
    })
}

/// Cuts a house (outline and holes) into parts without inward corners deeper than a jog: along the lines of both sides at each such corner, all of them from
/// end to end, so that the parts are the same however the house was drawn or turned.
fn convex_parts(house: Vec<Ring>, parts: &mut Vec<Ring>) {
    let hull_of = |rings: &[Ring]| -> Ring {
        let corners = rings.iter().flatten().map(|corner| rounded((*corner).into())).collect();
        convex_hull(corners, FLAT_M2).into_iter().map(Into::into).collect()
    };
    let hull = hull_of(&house);
    let depth_m = |at: DVec2| sides(&hull).map(|side| distance(at, side)).fold(f64::INFINITY, f64::min);
    let inward = |[p, q, r]: &[DVec2; 3]| (q - p).perp_dot(r - q) < -FLAT_M2 && depth_m(*q) > JOG_M;
    let corners = house.iter().flat_map(|ring| corners_of(ring)).filter(inward);
    let mut lines: Vec<Line> = corners.flat_map(|[p, q, r]| [[p, q], [q, r]]).collect();
    // The longest side on a line says best how it runs.
    lines.sort_by(|one, other| other[0].distance(other[1]).total_cmp(&one[0].distance(one[1])));
    let mut cuts: Vec<Line> = Vec::new();
    for line in lines {
        let same = |cut: &Line| line.iter().all(|end| off(*cut, *end).abs() < SAME_LINE_M);
        if !cuts.iter().any(same) {
            cuts.push(line);
        }
    }
    let reach_m: f64 = sides(&hull).map(|[p, q]| p.distance(q)).sum();
    let mut pieces = vec![house];
    for &[p, q] in &cuts {
        let along = reach_m * heading([p, q]);
        let half = |aside: DVec2| {
            let clear = CLEAR_M * aside.normalize_or_zero();
            let ring = [p - along + clear, p + along + clear, p + along + aside, p - along + aside];
            [vec![ring.map(<[f64; 2]>::from).to_vec()]]
        };
        let halves = [half(along.perp()), half(-along.perp())];
        let cut = |piece| halves.iter().flat_map(|half| common(std::slice::from_ref(&piece), half)).collect::<Vec<_>>();
        pieces = pieces.into_iter().flat_map(cut).filter(|piece| area(piece) > LEAST_M2).collect();
    }
    let reaching = |corner: &[f64; 2]| {
        cuts.iter().fold(DVec2::from(*corner), |at, cut| {
            let off_m = off(*cut, at);
            if off_m.abs() < 2.0 * CLEAR_M { at - off_m * heading(*cut).perp() } else { at }
        })
    };
    let whole = |piece: Vec<Ring>| hull_of(&[piece.iter().flatten().map(|corner| reaching(corner).into()).collect()]);
    parts.extend(pieces.into_iter().map(whole));
}

/// A counter-clockwise ring with all sides moved outward, m.
fn grown(ring: &[[f64; 2]], by_m: f64) -> Ring {
    let outward = |p: DVec2, q: DVec2| (p - q).normalize_or_zero().perp();
    let corners = corners_of(ring).map(|[p, q, r]| {
        let (one, two) = (outward(p, q), outward(q, r));
        // Sharp spikes grow no further than a right angle's corner.
        rounded(q + by_m / (1.0 + one.dot(two)).max(1.0) * (one + two)).into()
    });
    corners.collect()
}

fn rounded(corner: DVec2) -> DVec2 {
    (corner * PARTS_PER_M).round() / PARTS_PER_M
}

/// The corners of a ring, each between those before and after it.
fn corners_of(ring: &[[f64; 2]]) -> impl Iterator<Item = [DVec2; 3]> {
    let count = ring.len();
    (0..count).map(move |at| [at + count - 1, at, at + 1].map(|at| ring[at % count].into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room([x, y]: [f64; 2], [width, depth]: [f64; 2]) -> Ring {
        vec![[x, y], [x + width, y], [x + width, y + depth], [x, y + depth]]
    }

    fn corners(outlines: &[Ring]) -> Vec<Vec<DVec2>> {
        Obstacle::over(outlines, [0.0, 3.0]).into_iter().map(|obstacle| obstacle.corners).collect()
    }

    /// A house of two rooms with a wall of 0.2 m between them has four corners, and the same ones when that wall moves, goes, or another is drawn.
    #[test]
    fn walls_within_a_house_leave_what_stands_outdoors() {
        let houses = [
            vec![room([0.0, 0.0], [4.0, 6.0]), room([4.2, 0.0], [3.8, 6.0])],
            vec![room([0.0, 0.0], [4.013, 6.0]), room([4.213, 0.0], [3.787, 6.0])],
            vec![room([0.0, 0.0], [8.0, 6.0])],
            vec![room([0.0, 0.0], [4.0, 6.0]), room([4.2, 0.0], [3.8, 2.9]), room([4.2, 3.0], [3.8, 3.0])],
        ];
        let wanted = [[-0.25, -0.25], [8.25, -0.25], [8.25, 6.25], [-0.25, 6.25]].map(DVec2::from);
        for house in houses {
            let got = corners(&house);
            assert!(got.len() == 1 && got[0].len() == 4, "{got:?}");
            assert!(wanted.iter().all(|at| got[0].iter().any(|corner| corner.distance(*at) < 1e-6)), "{got:?}");
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
        // Cut along all four sides of the yard: three by three less the yard itself; with three wings along three sides.
        let mut wings: Vec<usize> = corners(&round_a_yard).iter().map(Vec::len).collect();
        assert_eq!(wings, [4; 8]);
        wings = corners(&round_a_yard[..4]).iter().map(Vec::len).collect();
        assert_eq!(wings, [4; 5]);
    }

    /// A wall 8 cm thicker than the next one leaves a jog of 4 cm, which is filled; half a metre is not.
    #[test]
    fn jogs_are_filled() {
        let house = |back_m: f64| corners(&[room([0.0, 0.0], [4.0, 6.0]), room([4.2, back_m], [3.8, 6.0 - back_m])]);
        let filled = house(0.04);
        assert!(filled.len() == 1 && filled[0].len() == 5, "{filled:?}");
        // An L: cut along both sides of its inward corner.
        assert_eq!(house(0.5).len(), 3);
    }

    /// Every chord through a lopsided pentagon is the same by half planes and by stepping along the line: a lattice of lines, within a step.
    #[test]
    fn a_chord_is_where_the_line_is_inside() {
        let outline = [[0.0, 0.0], [5.0, 0.5], [6.0, 3.0], [2.5, 4.0], [-0.5, 2.0]];
        let five = Obstacle::new(&outline, [0.0, 3.0]);
        let inside = |at: DVec2| sides(&outline).all(|[p, q]| (q - p).perp_dot(at - p) > 0.0);
        let places: Vec<DVec2> =
            (0..64).map(|n| DVec2::new(f64::from(n % 8) * 1.13 - 1.5, f64::from(n / 8) * 0.87 - 1.2)).collect();
        let mut found = 0;
        for (a, b) in places.iter().flat_map(|a| places.iter().map(move |b| (*a, *b))) {
            let within: Vec<f64> =
                (0..=1000).map(|step| f64::from(step) / 1000.0).filter(|part| inside(a.lerp(b, *part))).collect();
            match (five.chord(a, b), &within[..]) {
                (Some([enters, leaves]), [first, .., last]) => {
                    assert!((enters - first).abs() < 2e-3 && (leaves - last).abs() < 2e-3, "{a} to {b}");
                    found += 1;
                }
                (Some(chord), _) => panic!("{a} to {b}: {chord:?}"),
                (None, _) => assert!(within.len() as f64 / 1000.0 * a.distance(b) < 2.0 * LEAST_CHORD_M, "{a} to {b}"),
            }
        }
        assert!(found > 1000, "{found}");
    }
}
