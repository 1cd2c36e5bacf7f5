//! Where walls and slabs meet along a line, by geometry alone.
//!
//! Every wall is walked along its clear length, at its foot and at its head; where a wall stands over a wall the two meet the
//! slabs as one. The line is cut where a neighbour changes, so each stretch meets the same all along.

use std::sync::Arc;

use super::geometry::{
    Extent, Point, ROUNDING_M, Shape, contains, cross, direction, dot, left_of, minus, moved, sides,
};
use super::overlaid::Footprint;
use super::walls::{SHORTEST_M, Track, along};

/// How far beside a wall's face a slab is looked for, m. Not a round figure, so as not to run along another wall's face.
const BESIDE_M: f64 = 0.0517;
/// Shorter stretches are no junction, m: more than a thin wall's half thickness, and no round figure either.
const SHORTEST_JUNCTION_M: f64 = 0.0617;
/// Walls are parallel up to this sine (3 degrees).
const PARALLEL: f64 = 0.052;

/// The level where one storey stands on another: where the walls above and below it stand, and where the slabs in it lie.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Level {
    pub above: Vec<Track>,
    pub below: Vec<Track>,
    pub slabs: Vec<Arc<Footprint>>,
}

/// A stretch of wall that meets the same all along: two things at least, the wall counted.
#[derive(Debug, Clone)]
pub(super) struct Stretch {
    /// The walls over and under the level, as positions in its lists: one of them, or both.
    pub above: Option<usize>,
    pub below: Option<usize>,
    /// The slabs on the left and right of the wall walked along; the first alone when one lies on both sides, or on one.
    pub slabs: [Option<usize>; 2],
    /// Middle line of the wall walked along, m.
    pub wall: [Point; 2],
    /// Ends, m.
    pub line: [Point; 2],
    /// Length, m.
    pub length_m: f64,
}

/// A wall over a wall, along a stretch both share.
struct Stacked {
    above: usize,
    below: usize,
    /// Along the upper wall's line, and along the lower one's, m.
    spans_m: [[f64; 2]; 2],
}

impl Level {
    /// All stretches of this level.
    pub(super) fn stretches(&self) -> Vec<Stretch> {
        let stacked = self.stacked();
        let mut stretches = vec![];
        for (at, track) in self.above.iter().enumerate() {
            let partners: Vec<([f64; 2], usize)> =
                stacked.iter().filter(|pair| pair.above == at).map(|pair| (pair.spans_m[0], pair.below)).collect();
            for (span, met) in self.walk(track, &partners, &[]) {
                stretches.extend(met.stretch([Some(at), met.other], track, span));
            }
        }
        for (at, track) in self.below.iter().enumerate() {
            let taken: Vec<[f64; 2]> =
                stacked.iter().filter(|pair| pair.below == at).map(|pair| pair.spans_m[1]).collect();
            for (span, met) in self.walk(track, &[], &taken) {
                stretches.extend(met.stretch([None, Some(at)], track, span));
            }
        }
        stretches
    }

    /// Finds which walls stand on which, nearest first; no stretch of a wall is used twice.
    fn stacked(&self) -> Vec<Stacked> {
        let mut fits: Vec<(f64, Stacked)> = vec![];
        let below: Vec<(&Track, Point, Extent)> = self.below.iter().map(headed).collect();
        for (above, (upper, d, room)) in self.above.iter().map(headed).enumerate() {
            for (below, &(lower, e, other)) in below.iter().enumerate() {
                if cross(d, e).abs() > PARALLEL || !room.meets(&other) {
                    continue;
                }
                let Some(on_upper) = shared(upper.line, lower.line) else { continue };
                let Some(on_lower) = shared(lower.line, upper.line) else { continue };
                let beside = offset(upper.line, lower.line, 0.5 * (on_upper[0] + on_upper[1]));
                if beside.abs() <= upper.half_m.max(lower.half_m) {
                    let rank = (beside.abs() * 1e6).round();
                    fits.push((rank, Stacked { above, below, spans_m: [on_upper, on_lower] }));
                }
            }
        }
        fits.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1.above, a.1.below).cmp(&(b.1.above, b.1.below))));
        let mut kept: Vec<Stacked> = vec![];
        for (_, pair) in fits {
            let free = kept.iter().all(|other| {
                (other.above != pair.above || apart(other.spans_m[0], pair.spans_m[0]))
                    && (other.below != pair.below || apart(other.spans_m[1], pair.spans_m[1]))
            });
            if free {
                kept.push(pair);
            }
        }
        kept
    }

    /// Walks a wall, past those it stands on and apart from what is taken already: what each part of it meets.
    fn walk(&self, track: &Track, partners: &[([f64; 2], usize)], taken: &[[f64; 2]]) -> Vec<([f64; 2], Met)> {
        let heading = direction(track.line[0], track.line[1]);
        let left = left_of(heading);
        let mut stops = Vec::with_capacity(64);
        stops.extend(track.clear_m);
        stops.extend(partners.iter().flat_map(|(span, _)| span).chain(taken.iter().flatten()));
        // Slabs are looked for beside this wall's faces, then beside those of the wall under it, which may be thicker.
        let mut offsets = [vec![track.half_m + BESIDE_M], vec![-track.half_m - BESIDE_M]];
        for &(span, partner) in partners {
            let partner = &self.below[partner];
            let beside = offset(track.line, partner.line, 0.5 * (span[0] + span[1]));
            offsets[0].push(beside + partner.half_m + BESIDE_M);
            offsets[1].push(beside - partner.half_m - BESIDE_M);
        }
        for &beside in offsets.iter().flatten() {
            let start = moved(track.line[0], left, beside);
            let looked_along = Extent::round(track.clear_m.map(|at| moved(start, heading, at)), 0.0);
            let near = self.slabs.iter().filter(|slab| slab.extent.meets(&looked_along));
            for ring in near.flat_map(|slab| slab.pieces.iter().chain(&slab.reach).flatten()) {
                stops.extend(sides(ring).filter_map(|(a, b)| crossing(start, heading, a, b)));
            }
        }
        stops.retain(|&stop| stop >= track.clear_m[0] && stop <= track.clear_m[1]);
        stops.sort_by(f64::total_cmp);
        let mut stretches: Vec<([f64; 2], Met)> = vec![];
        for pair in stops.windows(2) {
            let span = [pair[0], pair[1]];
            let at = 0.5 * (span[0] + span[1]);
            // Less than a micrometre is rounding.
            if span[1] - span[0] < 1e-6 || taken.iter().any(|taken| taken[0] <= at && at <= taken[1]) {
                continue;
            }
            let on_line = moved(track.line[0], heading, at);
            let slab_at = |place: fn(&Footprint) -> &[Shape], point: Point| {
                let lies_at = |slab: &Footprint| place(slab).iter().any(|piece| contains(piece, point));
                self.slabs.iter().position(|slab| slab.extent.holds(point) && lies_at(slab))
            };
            let find = |offsets: &[f64]| {
                let points = || offsets.iter().map(|&beside| moved(on_line, left, beside));
                points()
                    .find_map(|point| slab_at(|slab| &slab.pieces, point))
                    .or_else(|| points().find_map(|point| slab_at(|slab| &slab.reach, point)))
            };
            let other = partners.iter().find(|(span, _)| span[0] <= at && at <= span[1]).map(|&(_, partner)| partner);
            let met = Met::new(other, find(&offsets[0]), find(&offsets[1]));
            match stretches.last_mut() {
                Some((last, same)) if *same == met && span[0] - last[1] < 1e-6 => last[1] = span[1],
                _ => stretches.push((span, met)),
            }
        }
        stretches
    }
}

/// What a stretch of wall meets: a wall under it, and one slab or two, left before right.
#[derive(PartialEq)]
struct Met {
    other: Option<usize>,
    slabs: [Option<usize>; 2],
}

impl Met {
    /// A slab that lies on both sides meets the wall once.
    fn new(other: Option<usize>, left: Option<usize>, right: Option<usize>) -> Self {
        let slabs = if left.is_none() || left == right { [right, None] } else { [left, right] };
        Self { other, slabs }
    }

    /// The same as a stretch of the wall walked along; nothing when it is too short or meets nothing.
    fn stretch(&self, [above, below]: [Option<usize>; 2], track: &Track, span: [f64; 2]) -> Option<Stretch> {
        let length_m = span[1] - span[0];
        let arms = [above, below].iter().chain(&self.slabs).flatten().count();
        let heading = direction(track.line[0], track.line[1]);
        let line = span.map(|at| moved(track.line[0], heading, at));
        let slabs = self.slabs;
        (length_m >= SHORTEST_JUNCTION_M && arms >= 2).then_some(Stretch {
            above,
            below,
            slabs,
            wall: track.line,
            line,
            length_m,
        })
    }
}

/// A wall with its direction, and round it what a wall of the other storey must come near to stand under or over it.
fn headed(track: &Track) -> (&Track, Point, Extent) {
    let [from, to] = track.line;
    (track, direction(from, to), Extent::round([from, to], 2.0 * track.half_m + ROUNDING_M))
}

/// The stretch of the first line that the second covers, m from the first end; nothing when it is short.
fn shared(line: [Point; 2], other: [Point; 2]) -> Option<[f64; 2]> {
    let length = along(line, line[1]);
    let [a, b] = other.map(|point| along(line, point));
    let (start, end) = (a.min(b).max(0.0), a.max(b).min(length));
    (end - start > SHORTEST_M).then_some([start, end])
}

/// How far to the left of a line another one lies, at a place along the first.
fn offset(line: [Point; 2], other: [Point; 2], at: f64) -> f64 {
    let heading = direction(line[0], line[1]);
    let left = left_of(heading);
    let point = moved(line[0], heading, at);
    let along_other = direction(other[0], other[1]);
    let on_other = moved(other[0], along_other, dot(minus(point, other[0]), along_other));
    dot(minus(on_other, point), left)
}

/// Whether two stretches have no more than a centimetre in common.
fn apart(a: [f64; 2], b: [f64; 2]) -> bool {
    a[1].min(b[1]) - a[0].max(b[0]) < 0.01
}

/// Where a segment crosses the line from `start` along `heading`, m from `start`.
fn crossing(start: Point, heading: Point, a: Point, b: Point) -> Option<f64> {
    let (from, to) = (cross(heading, minus(a, start)), cross(heading, minus(b, start)));
    if (from > 0.0) == (to > 0.0) {
        return None;
    }
    let t = from / (from - to);
    let point = moved(a, minus(b, a), t);
    let at = dot(minus(point, start), heading);
    at.is_finite().then_some(at)
}
