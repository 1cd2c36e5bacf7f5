//! Horizontal junctions: walls and slabs meeting along a line.
//!
//! Every wall is walked along its clear length, at its foot and at its head; where a wall stands over a wall the two meet the
//! slabs as one. The line is cut where a neighbour changes, so each stretch meets the same all along.
//!
//! What runs through (common practice, no source): massive walls of one construction above one another, while frames are built
//! storey by storey; a massive slab of one construction on both sides; a floor with joists only where the wall says that
//! joists run on and they do not lie along it.

use crate::geometry::{DVec2, Extent, Line, ROUNDING_M, along, crossings, heading, near, off};

use super::model::{Arm, ElementIndex, Junction, JunctionKind};
use super::plan::Site;
use super::slabs::Slab;
use super::walls::{Run, SHORTEST_M, Track};

/// How far beside a wall's face a slab is looked for, m. Not a round figure, so as not to run along another wall's face.
const BESIDE_M: f64 = 0.0517;
/// Shorter stretches are no junction, m: more than a thin wall's half thickness, and no round figure either.
const SHORTEST_JUNCTION_M: f64 = 0.0617;
/// Walls are parallel up to this sine (3 degrees).
const PARALLEL: f64 = 0.052;

/// The line where one storey stands on another: the walls above and below it and the slabs in it.
pub(super) struct Between<'a> {
    pub site: &'a Site<'a>,
    /// Storey above it; of the highest roof, the storey below.
    pub storey: usize,
    pub above: &'a [Run],
    pub below: &'a [Run],
    pub slabs: Vec<&'a Slab<'a>>,
}

/// From where to where along a wall's line, m.
type Span = [f64; 2];
/// A wall under another one, by its place, and along which part of the upper one.
type Under = (Span, usize);

/// What a stretch of wall meets: a wall under it, and the slabs on its left and right; the first alone when one lies on both sides, or on one.
#[derive(PartialEq)]
struct Met {
    under: Option<usize>,
    slabs: [Option<usize>; 2],
}

impl Between<'_> {
    /// All junctions here.
    pub(super) fn junctions(&self) -> Vec<Junction> {
        let (on, taken) = self.stacked();
        let slabs = [self.above, self.below].map(|runs| self.slabs_near(runs));
        let mut junctions = vec![];
        for (at, run) in self.above.iter().enumerate() {
            for (span, met) in self.walk(&run.track, &slabs[0][at], &on[at], &[]) {
                junctions.extend(self.junction(&run.track, span, [Some(at), met.under], met.slabs));
            }
        }
        for (at, run) in self.below.iter().enumerate() {
            for (span, met) in self.walk(&run.track, &slabs[1][at], &[], &taken[at]) {
                junctions.extend(self.junction(&run.track, span, [None, Some(at)], met.slabs));
            }
        }
        junctions
    }

    /// Finds which walls stand on which, nearest first; no stretch of a wall is used twice. For each upper wall, those under it and where along it;
    /// for each lower one, where along it one stands on it.
    fn stacked(&self) -> (Vec<Vec<Under>>, Vec<Vec<Span>>) {
        // What a wall of the other storey must come near to stand under or over it.
        let extents = |runs: &[Run]| -> Vec<Extent> {
            runs.iter().map(|run| Extent::round(run.track.line, 2.0 * run.track.half_m + ROUNDING_M)).collect()
        };
        // How far beside each other, the wall above and the one below, and the stretch both share along the line of each, m.
        let mut fits: Vec<(f64, [usize; 2], [Span; 2])> = vec![];
        for (above, near) in near(&extents(self.above), &extents(self.below)).into_iter().enumerate() {
            for below in near {
                let [upper, lower] = [&self.above[above].track, &self.below[below].track];
                if heading(upper.line).perp_dot(heading(lower.line)).abs() > PARALLEL {
                    continue;
                }
                let Some(on_upper) = shared(upper.line, lower.line) else { continue };
                let Some(on_lower) = shared(lower.line, upper.line) else { continue };
                let beside = offset(upper.line, lower.line, 0.5 * (on_upper[0] + on_upper[1]));
                if beside.abs() <= upper.half_m.max(lower.half_m) {
                    let rank = (beside.abs() * 1e6).round();
                    fits.push((rank, [above, below], [on_upper, on_lower]));
                }
            }
        }
        fits.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let (mut on, mut taken) = (vec![vec![]; self.above.len()], vec![vec![]; self.below.len()]);
        for (_, [above, below], [upper, lower]) in fits {
            if on[above].iter().all(|&(span, _)| apart(span, upper))
                && taken[below].iter().all(|&span| apart(span, lower))
            {
                on[above].push((upper, below));
                taken[below].push(lower);
            }
        }
        (on, taken)
    }

    /// For each wall the slabs that may lie beside it, or beside a wall under it.
    fn slabs_near(&self, runs: &[Run]) -> Vec<Vec<usize>> {
        let thickest_m = self.above.iter().chain(self.below).map(|run| run.track.half_m).fold(0.0, f64::max);
        let reach_m = 2.0 * thickest_m + BESIDE_M + ROUNDING_M;
        let walls: Vec<Extent> = runs.iter().map(|run| Extent::round(run.track.line, reach_m)).collect();
        near(&walls, &self.slabs.iter().map(|slab| slab.footprint.extent()).collect::<Vec<_>>())
    }

    /// Walks a wall, past those it stands on and apart from what is taken already: what each part of it meets.
    fn walk(&self, track: &Track, slabs: &[usize], partners: &[Under], taken: &[Span]) -> Vec<(Span, Met)> {
        let heading = heading(track.line);
        let left = heading.perp();
        let mut stops = track.clear_m.to_vec();
        stops.extend(partners.iter().flat_map(|(span, _)| span).chain(taken.iter().flatten()));
        // Slabs are looked for beside this wall's faces, then beside those of the wall under it, which may be thicker.
        let mut offsets = [vec![track.half_m + BESIDE_M], vec![-track.half_m - BESIDE_M]];
        for &(span, partner) in partners {
            let partner = &self.below[partner].track;
            let beside = offset(track.line, partner.line, 0.5 * (span[0] + span[1]));
            offsets[0].push(beside + partner.half_m + BESIDE_M);
            offsets[1].push(beside - partner.half_m - BESIDE_M);
        }
        for &beside in offsets.iter().flatten() {
            let start = track.line[0] + left * beside;
            for ring in slabs.iter().flat_map(|&slab| self.slabs[slab].footprint.rings()) {
                stops.extend(crossings(std::slice::from_ref(ring), start, heading));
            }
        }
        stops.retain(|&stop| stop >= track.clear_m[0] && stop <= track.clear_m[1]);
        stops.sort_by(f64::total_cmp);
        let mut stretches: Vec<(Span, Met)> = vec![];
        for pair in stops.windows(2) {
            let span = [pair[0], pair[1]];
            let at = 0.5 * (span[0] + span[1]);
            // Less than a micrometre is rounding.
            if span[1] - span[0] < 1e-6 || taken.iter().any(|taken| taken[0] <= at && at <= taken[1]) {
                continue;
            }
            let on_line = track.line[0] + heading * at;
            let find = |offsets: &[f64]| {
                let slab_at = |holds: &dyn Fn(&Slab, DVec2) -> bool| {
                    let at = |beside: &f64| {
                        slabs.iter().copied().find(|&slab| holds(self.slabs[slab], on_line + left * *beside))
                    };
                    offsets.iter().find_map(at)
                };
                slab_at(&|slab, point| slab.footprint.lies_at(point))
                    .or_else(|| slab_at(&|slab, point| slab.footprint.reaches(point)))
            };
            let (one, other) = (find(&offsets[0]), find(&offsets[1]));
            let under = partners.iter().find(|(span, _)| span[0] <= at && at <= span[1]).map(|&(_, partner)| partner);
            let met = Met { under, slabs: if one.is_none() || one == other { [other, None] } else { [one, other] } };
            match stretches.last_mut() {
                Some((last, same)) if *same == met && span[0] - last[1] < 1e-6 => last[1] = span[1],
                _ => stretches.push((span, met)),
            }
        }
        stretches
    }

    /// The junction along a stretch of wall; nothing when it is too short or meets nothing.
    fn junction(
        &self,
        track: &Track,
        span: Span,
        walls: [Option<usize>; 2],
        slabs: [Option<usize>; 2],
    ) -> Option<Junction> {
        let length_m = span[1] - span[0];
        let met = walls.iter().chain(&slabs).flatten().count();
        (length_m >= SHORTEST_JUNCTION_M && met >= 2).then(|| Junction {
            kind: JunctionKind::Horizontal,
            length_m,
            line: span.map(|at| (track.line[0] + heading(track.line) * at).into()),
            storey: self.storey,
            arms: self.arms(track.line, walls, slabs),
        })
    }

    /// The arms: wall above, wall below, slab on the left, slab on the right, whichever exist.
    fn arms(&self, wall: Line, [above, below]: [Option<usize>; 2], slabs: [Option<usize>; 2]) -> Vec<Arm> {
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
        let walls = [above.map(|at| &self.above[at]), below.map(|at| &self.below[at])];
        let bonded = match walls {
            [Some(above), Some(below)] => {
                self.site.constructions.is_massive(&above.construction)
                    && self.site.constructions.is_one_piece(&below.construction, &above.construction)
            }
            _ => false,
        };
        let [above, below] = walls.map(|wall| wall.map(|wall| wall.element));
        pair(above, below, bonded);
        let joists_run_on = walls.iter().flatten().any(|wall| wall.joists_run_on);
        let slabs = slabs.map(|at| at.map(|at| self.slabs[at]));
        let cast = match slabs {
            [Some(a), Some(b)] => match [a, b].map(|slab| self.site.constructions.is_massive(&slab.construction)) {
                [true, true] => self.site.constructions.is_one_piece(&a.construction, &b.construction),
                [false, false] => joists_run_on && crosses(wall, a) && crosses(wall, b),
                _ => false,
            },
            _ => false,
        };
        let [first, second] = slabs.map(|slab| slab.map(|slab| slab.element));
        pair(first, second, cast);
        arms
    }
}

/// Whether a slab's joists may cross a wall: not when they are known to lie along it, within 30 degrees.
fn crosses(wall: Line, slab: &Slab) -> bool {
    let off = |degrees: f64| heading(wall).perp_dot(DVec2::from_angle(degrees.to_radians())).abs();
    slab.joist_direction_deg.is_none_or(|degrees| off(degrees) > 0.5)
}

/// The stretch of the first line that the second covers, m from the first end; nothing when it is short.
fn shared(line: Line, other: Line) -> Option<Span> {
    let [a, b] = other.map(|point| along(line, point));
    let (start, end) = (a.min(b).max(0.0), a.max(b).min(line[0].distance(line[1])));
    (end - start > SHORTEST_M).then_some([start, end])
}

/// How far to the left of a line another one lies, at a place along the first.
fn offset(line: Line, other: Line, at: f64) -> f64 {
    let point = line[0] + heading(line) * at;
    let on_other = other[0] + heading(other) * along(other, point);
    off(line, on_other)
}

/// Whether two stretches have no more than a centimetre in common.
fn apart(a: Span, b: Span) -> bool {
    a[1].min(b[1]) - a[0].max(b[0]) < 0.01
}
