//! Lying junctions: walls and slabs meeting along a line.
//!
//! Every wall is walked along its clear length, at its foot and at its head; where a wall stands over a wall the two make one
//! junction. The line is cut where a neighbour changes, so each junction has the same arms all along.
//!
//! What runs through (common practice, no source): massive walls of one construction above one another, while frames are built
//! storey by storey; a massive slab of one construction on both sides; a floor with joists only where the wall says that
//! joists run on and they do not lie along it.

use super::geometry::{Point, Shape, contains, cross, direction, dot, left_of, minus, moved, sides};
use super::lookup::Lookup;
use super::model::{Arm, ElementIndex, Junction, JunctionKind};
use super::slabs::Slab;
use super::walls::{Run, SHORTEST_M, along};

/// How far beside a wall's face a slab is looked for, m. Not a round figure, so as not to run along another wall's face.
const BESIDE_M: f64 = 0.0517;
/// Shorter stretches are no junction, m: more than a thin wall's half thickness, and no round figure either.
const SHORTEST_JUNCTION_M: f64 = 0.0617;
/// Walls are parallel up to this sine (3 degrees).
const PARALLEL: f64 = 0.052;

/// The line where one storey stands on another: the walls above and below it and the slabs in it.
pub(super) struct Level<'a> {
    /// Storey above it; of the highest roof, the storey below.
    pub storey: usize,
    pub above: &'a [Run],
    pub below: &'a [Run],
    pub slabs: Vec<&'a Slab>,
    pub lookup: Lookup<'a>,
}

/// A wall over a wall, along a stretch both share.
struct Stacked {
    above: usize,
    below: usize,
    /// Along the upper wall's line, and along the lower one's, m.
    spans_m: [[f64; 2]; 2],
}

impl Level<'_> {
    /// All junctions of this level.
    pub(super) fn junctions(&self) -> Vec<Junction> {
        let stacked = self.stacked();
        let mut junctions = vec![];
        for (at, run) in self.above.iter().enumerate() {
            let partners: Vec<([f64; 2], &Run)> = stacked
                .iter()
                .filter(|pair| pair.above == at)
                .map(|pair| (pair.spans_m[0], &self.below[pair.below]))
                .collect();
            self.walk(run, &partners, &[], true, &mut junctions);
        }
        for (at, run) in self.below.iter().enumerate() {
            let taken: Vec<[f64; 2]> =
                stacked.iter().filter(|pair| pair.below == at).map(|pair| pair.spans_m[1]).collect();
            self.walk(run, &[], &taken, false, &mut junctions);
        }
        junctions
    }

    /// Finds which walls stand on which, nearest first; no stretch of a wall is used twice.
    fn stacked(&self) -> Vec<Stacked> {
        let mut fits: Vec<(f64, Stacked)> = vec![];
        for (above, upper) in self.above.iter().enumerate() {
            for (below, lower) in self.below.iter().enumerate() {
                let (d, e) = (direction(upper.line[0], upper.line[1]), direction(lower.line[0], lower.line[1]));
                if cross(d, e).abs() > PARALLEL {
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

    /// Walks a wall and adds a junction for each stretch with the same arms.
    fn walk(
        &self,
        run: &Run,
        partners: &[([f64; 2], &Run)],
        taken: &[[f64; 2]],
        is_above: bool,
        into: &mut Vec<Junction>,
    ) {
        let heading = direction(run.line[0], run.line[1]);
        let left = left_of(heading);
        let mut stops = vec![run.clear_m[0], run.clear_m[1]];
        stops.extend(partners.iter().flat_map(|(span, _)| span).chain(taken.iter().flatten()));
        // Slabs are looked for beside this wall's faces, then beside those of the wall under it, which may be thicker.
        let mut offsets = [vec![run.half_m + BESIDE_M], vec![-run.half_m - BESIDE_M]];
        for (span, partner) in partners {
            let beside = offset(run.line, partner.line, 0.5 * (span[0] + span[1]));
            offsets[0].push(beside + partner.half_m + BESIDE_M);
            offsets[1].push(beside - partner.half_m - BESIDE_M);
        }
        for &beside in offsets.iter().flatten() {
            let start = moved(run.line[0], left, beside);
            for (a, b) in self
                .slabs
                .iter()
                .flat_map(|slab| slab.pieces.iter().chain(&slab.reach).flatten())
                .flat_map(|ring| sides(ring))
            {
                stops.extend(crossing(start, heading, a, b));
            }
        }
        stops.retain(|&stop| stop >= run.clear_m[0] && stop <= run.clear_m[1]);
        stops.sort_by(f64::total_cmp);
        let mut stretches: Vec<([f64; 2], Arms)> = vec![];
        for pair in stops.windows(2) {
            let span = [pair[0], pair[1]];
            let at = 0.5 * (span[0] + span[1]);
            // Less than a micrometre is rounding.
            if span[1] - span[0] < 1e-6 || taken.iter().any(|taken| taken[0] <= at && at <= taken[1]) {
                continue;
            }
            let on_line = moved(run.line[0], heading, at);
            let slab_at = |place: fn(&Slab) -> &[Shape], point: Point| {
                self.slabs.iter().position(|slab| place(slab).iter().any(|piece| contains(piece, point)))
            };
            let find = |offsets: &[f64]| {
                let points = || offsets.iter().map(|&beside| moved(on_line, left, beside));
                points()
                    .find_map(|point| slab_at(|slab| &slab.pieces, point))
                    .or_else(|| points().find_map(|point| slab_at(|slab| &slab.reach, point)))
            };
            let other =
                partners.iter().find(|(span, _)| span[0] <= at && at <= span[1]).map(|(_, partner)| partner.element);
            let arms = Arms::new(other, find(&offsets[0]), find(&offsets[1]));
            match stretches.last_mut() {
                Some((last, same)) if *same == arms && span[0] - last[1] < 1e-6 => last[1] = span[1],
                _ => stretches.push((span, arms)),
            }
        }
        for (span, arms) in stretches {
            let partner =
                partners.iter().map(|(_, partner)| *partner).find(|partner| Some(partner.element) == arms.other);
            let length_m = span[1] - span[0];
            let arms = self.arms(run, partner, &arms, is_above);
            if length_m >= SHORTEST_JUNCTION_M && arms.len() >= 2 {
                let line = span.map(|at| moved(run.line[0], heading, at));
                into.push(Junction { kind: JunctionKind::Lying, length_m, line, storey: self.storey, arms });
            }
        }
    }

    /// The arms: wall above, wall below, slab on the left, slab on the right, whichever exist.
    fn arms(&self, run: &Run, partner: Option<&Run>, found: &Arms, is_above: bool) -> Vec<Arm> {
        let joists_run_on = run.joists_run_on || partner.is_some_and(|partner| partner.joists_run_on);
        let mut arms: Vec<Arm> = vec![];
        let mut pair = |first: Option<ElementIndex>, second: Option<ElementIndex>, continuous: bool| {
            let at = arms.len();
            let both = first.is_some() && second.is_some();
            for (element, straight) in [(first, at + 1), (second, at)] {
                if let Some(element) = element {
                    arms.push(Arm { element, straight: both.then_some(straight), continuous: both && continuous });
                }
            }
        };
        let (own, other) = (Some(run.element), partner.map(|partner| partner.element));
        let bonded = partner.is_some_and(|partner| {
            self.lookup.is_massive(&run.construction)
                && self.lookup.is_one_piece(&partner.construction, &run.construction)
        });
        if is_above {
            pair(own, other, bonded)
        } else {
            pair(other, own, bonded)
        };
        let slab = |at: Option<usize>| at.map(|at| self.slabs[at]);
        let [first, second] = found.slabs.map(slab);
        let cast = match (first, second) {
            (Some(a), Some(b)) => match [a, b].map(|slab| self.lookup.is_massive(&slab.construction)) {
                [true, true] => self.lookup.is_one_piece(&a.construction, &b.construction),
                [false, false] => joists_run_on && crosses(run.line, a) && crosses(run.line, b),
                _ => false,
            },
            _ => false,
        };
        pair(first.map(|slab| slab.element), second.map(|slab| slab.element), cast);
        arms
    }
}

/// What a stretch of wall meets: another wall, and one slab or two, left before right.
#[derive(PartialEq)]
struct Arms {
    other: Option<ElementIndex>,
    slabs: [Option<usize>; 2],
}

impl Arms {
    /// A slab that lies on both sides meets the wall once.
    fn new(other: Option<ElementIndex>, left: Option<usize>, right: Option<usize>) -> Self {
        let slabs = if left.is_none() || left == right { [right, None] } else { [left, right] };
        Self { other, slabs }
    }
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

/// Whether a slab's joists may cross a wall: not when they are known to lie along it, within 30 degrees.
fn crosses(line: [Point; 2], slab: &Slab) -> bool {
    slab.joist_direction_deg.is_none_or(|degrees| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        cross(direction(line[0], line[1]), [cos, sin]).abs() > 0.5
    })
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
