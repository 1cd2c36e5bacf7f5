//! Particles that run along the paths of what a listener hears: as many, and as bright, as the energy a path brings.
//!
//! A picture of energy, not of waves: sound covers each route in milliseconds, particles take seconds. The same answer and seed give
//! the same particles at the same time, always.

use crate::output::route::{Medium, Point3, Route, Routes, Spread, distance};
use crate::project::Solved;
use crate::solve::{BandChoice, ListenerAnswer, PathKind};

/// Speed along a route in the air, m/s. Own choice.
const SPEED_M_S: f64 = 1.7;
/// Each stroke of a foot or pedal sends its particles off together: so many strokes run along a route at a time. Own choice.
const STROKES: f64 = 3.0;
/// How far vibration swings a particle aside in a plate, m, and over what length, m. Own choice.
const SWING_M: f64 = 0.09;
const SWING_LENGTH_M: f64 = 0.55;
/// How far particles drift aside in the open air, m, and over what length, m. Own choice.
const DRIFT_M: f64 = 0.16;
const DRIFT_LENGTH_M: f64 = 2.4;
/// A path shown alone has at least so many particles. Own choice.
const ALONE: f64 = 60.0;
/// However loud it becomes against the reference, there are no more particles than this times `most`. Own choice.
const CROWD: f64 = 3.0;

/// Which particles there are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamChoice {
    /// Bands whose energy counts.
    pub bands: BandChoice,
    /// The energy that `most` particles stand for, (20 µPa)²; the listener's own total in the bands when nothing is given. With the same
    /// reference before and after a change the stream thins as the energy falls.
    pub reference: Option<f64>,
    /// How many particles the reference energy has.
    pub most: usize,
    /// Another seed scatters them otherwise.
    pub seed: u64,
    /// Paths with a smaller share of the listener's energy have none.
    pub least_share: f64,
    /// One path alone, position in the listener's.
    pub alone: Option<usize>,
}

impl Default for StreamChoice {
    fn default() -> Self {
        Self { bands: BandChoice::AWeighted, reference: None, most: 480, seed: 1, least_share: 0.0, alone: None }
    }
}

/// One particle: it runs along its route over and over.
#[derive(Debug, Clone, PartialEq)]
struct Particle {
    path: usize,
    kind: PathKind,
    brightness: f32,
    phase: f64,
    route: Route,
    /// Length from the start to each corner, m.
    reached_m: Vec<f64>,
}

/// Where a particle is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Its place, m.
    pub at: Point3,
    /// Where it is going, a unit vector.
    pub heading: Point3,
    /// What it is in.
    pub medium: Medium,
    /// Kind of its path.
    pub kind: PathKind,
    /// The path, position in the listener's.
    pub path: usize,
    /// 0 to 1. It fades in where it starts and out where it arrives.
    pub brightness: f32,
}

/// The particles of one listener.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stream {
    particles: Vec<Particle>,
    /// After this time, s, everything is where it was, when that is wished.
    round_s: Option<f64>,
}

impl Stream {
    /// The particles of what a listener hears, position in the building's; none beyond their end or when nothing is heard.
    #[must_use]
    pub fn new(solved: &Solved, listener: usize, choice: &StreamChoice) -> Self {
        let routes = Routes::new(solved, listener).zip(solved.answer.listeners.get(listener));
        let Some((routes, heard)) = routes else { return Self::default() };
        let mut particles = vec![];
        for (path, light) in lights(heard, choice).into_iter().enumerate() {
            // Fractions of a particle are particles of less brightness, so that all light together is the energy.
            let count = light.ceil();
            for number in 0..count as usize {
                let mut even = Even::new(choice.seed, path, number);
                let spread = Spread { source: even.next(), entry: even.pair(), exit: even.pair() };
                let Some(route) = routes.of(&heard.paths[path], &spread) else { continue };
                let reached_m = reached(&route);
                if reached_m.last().is_none_or(|length_m| *length_m <= 0.0) {
                    continue;
                }
                let (kind, phase) = (heard.paths[path].kind, even.next());
                let brightness = (light / count) as f32;
                particles.push(Particle { path, kind, brightness, phase: together(kind, phase), route, reached_m });
            }
        }
        Self { particles, round_s: None }
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.particles.len()
    }

    /// True when there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.particles.is_empty()
    }

    /// All light together: particles times their brightness. In proportion to the energy of the paths shown.
    #[must_use]
    pub fn light(&self) -> f64 {
        self.particles.iter().map(|particle| f64::from(particle.brightness)).sum()
    }

    /// All light of one path.
    #[must_use]
    pub fn light_of(&self, path: usize) -> f64 {
        self.particles
            .iter()
            .filter(|particle| particle.path == path)
            .map(|particle| f64::from(particle.brightness))
            .sum()
    }

    /// The same particles, a little faster or slower, so that all are back where they were after `seconds`: for pictures that run round and round.
    #[must_use]
    pub fn going_round(self, seconds: f64) -> Self {
        Self { round_s: (seconds > 0.0).then_some(seconds), ..self }
    }

    /// Where they are at a time, s.
    pub fn at(&self, time_s: f64) -> impl Iterator<Item = Spot> + '_ {
        self.particles.iter().map(move |particle| particle.at(time_s, self.round_s))
    }
}

/// Each path's share of what is heard in some bands; 0 where nothing is.
pub(super) fn shares(heard: &ListenerAnswer, bands: BandChoice) -> Vec<f64> {
    let energies: Vec<f64> = heard.paths.iter().map(|path| bands.energy(&path.energy)).collect();
    let total: f64 = energies.iter().sum();
    energies.into_iter().map(|energy| if total > 0.0 { energy / total } else { 0.0 }).collect()
}

/// How many particles each path has, fractions allowed.
fn lights(heard: &ListenerAnswer, choice: &StreamChoice) -> Vec<f64> {
    let total: f64 = heard.paths.iter().map(|path| choice.bands.energy(&path.energy)).sum();
    let reference = choice.reference.filter(|energy| *energy > 0.0).unwrap_or(total);
    let most = choice.most as f64;
    let for_all = (most * total / reference).min(CROWD * most);
    let light = |(at, share): (usize, f64)| {
        let shown = choice.alone.map_or(share >= choice.least_share, |alone| alone == at);
        let light = if shown { for_all * share } else { 0.0 };
        let light = if light > 0.0 && choice.alone.is_some() { light.max(ALONE) } else { light };
        // What is fainter than a fiftieth of a particle cannot be seen.
        if light < 0.02 { 0.0 } else { light }
    };
    shares(heard, choice.bands).into_iter().enumerate().map(light).collect()
}

fn reached(route: &Route) -> Vec<f64> {
    let mut sum = 0.0;
    let legs = route.points.windows(2).map(|leg| {
        sum += distance(leg[0], leg[1]);
        sum
    });
    std::iter::once(0.0).chain(legs).collect()
}

/// How fast particles of a kind run, against those that go straight through: a jet from a gap, dawdling through other rooms. Own choice.
fn pace(kind: PathKind) -> f64 {
    match kind {
        PathKind::Gap => 1.8,
        PathKind::Duct => 1.4,
        PathKind::ByRoom | PathKind::ByVoid | PathKind::Residual => 0.65,
        PathKind::Through | PathKind::Flanking | PathKind::ByOutdoors | PathKind::StructureBorne => 1.0,
    }
}

/// What is struck sends its particles off in strokes; everything else runs evenly.
fn together(kind: PathKind, phase: f64) -> f64 {
    if kind != PathKind::StructureBorne {
        return phase;
    }
    let stroke = (phase * STROKES).floor();
    (stroke + 0.22 * (phase * STROKES - stroke)) / STROKES
}

impl Particle {
    fn at(&self, time_s: f64, round_s: Option<f64>) -> Spot {
        let length_m = self.reached_m.last().copied().unwrap_or(1.0);
        let rounds_per_s = pace(self.kind) * SPEED_M_S / length_m;
        let rounds_per_s = round_s.map_or(rounds_per_s, |round_s| (rounds_per_s * round_s).round().max(1.0) / round_s);
        let part = (time_s * rounds_per_s + self.phase).rem_euclid(1.0);
        let gone_m = part * length_m;
        let leg = self.reached_m[1..].partition_point(|reached_m| *reached_m < gone_m).min(self.route.media.len() - 1);
        let (p, q) = (self.route.points[leg], self.route.points[leg + 1]);
        let leg_m = (self.reached_m[leg + 1] - self.reached_m[leg]).max(1e-9);
        let along = ((gone_m - self.reached_m[leg]) / leg_m).clamp(0.0, 1.0);
        let heading = [0, 1, 2].map(|axis| (q[axis] - p[axis]) / leg_m);
        let medium = self.route.media[leg];
        let mut at = [0, 1, 2].map(|axis| p[axis] + along * (q[axis] - p[axis]));
        let [swing_m, every_m] = match medium {
            Medium::Plate => [SWING_M, SWING_LENGTH_M],
            Medium::Open => [DRIFT_M, DRIFT_LENGTH_M],
            Medium::Air | Medium::Duct => [0.0, 1.0],
        };
        if swing_m > 0.0 {
            // Bending waves: aside in the plan, or up and down where the plate is seen on edge. In the open they drift.
            let swing = swing_m * (std::f64::consts::TAU * (gone_m - self.reached_m[leg]) / every_m).sin();
            let flat = heading[0].hypot(heading[1]).max(0.2);
            at = [at[0] - heading[1] / flat * swing, at[1] + heading[0] / flat * swing, at[2] + 0.5 * swing];
        }
        let edge = (part.min(1.0 - part) * length_m / 0.35).clamp(0.0, 1.0) as f32;
        Spot { at, heading, medium, kind: self.kind, path: self.path, brightness: self.brightness * edge }
    }
}

/// Numbers that fill a box evenly and never repeat: multiples of the powers of 1/1.1128…, the root of x⁷ = x + 1, without their whole
/// part; each path and seed starts elsewhere. Source: Weyl, Mathematische Annalen 77 (1916) 313 (such sequences are evenly spread).
struct Even {
    number: f64,
    start: f64,
    step: f64,
    dimension: f64,
}

impl Even {
    const ROOT: f64 = 1.112_775_684_278_705_5;

    fn new(seed: u64, path: usize, number: usize) -> Self {
        // Bits well mixed, so that neighbouring seeds and paths have nothing in common. Source: Steele, Lea & Flood, OOPSLA 2014 (splitmix64).
        let mut bits = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ (path as u64).wrapping_mul(0xd1b5_4a32_d192_ed03);
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^= bits >> 31;
        Self {
            number: number as f64 + 1.0,
            start: (bits >> 11) as f64 / (1u64 << 53) as f64,
            step: 1.0,
            dimension: 0.0,
        }
    }

    fn next(&mut self) -> f64 {
        self.step /= Self::ROOT;
        self.dimension += 1.0;
        (self.start * (1.0 + 7.0 * self.dimension) + self.number * self.step).fract()
    }

    fn pair(&mut self) -> [f64; 2] {
        [self.next(), self.next()]
    }
}
