//! Motes that run along the paths of what a listener hears: as many, and as bright, as the energy a path brings.
//!
//! A picture of energy, not of waves: sound covers each course in milliseconds, motes take seconds. The same answer and seed give
//! the same motes at the same time, always.

use crate::acoustics::{Bands, rating::weighting::a_weighting_db};
use crate::building::Building;
use crate::output::course::{Course, Courses, Medium, Point3, Spread, distance};
use crate::scene::Scene;
use crate::solve::{BandChoice, ListenerAnswer, PathKind};

/// Speed along a course in the air, m/s. Own choice.
const SPEED_M_S: f64 = 1.7;
/// Each stroke of a foot or pedal sends its motes off together: so many strokes run along a course at a time. Own choice.
const STROKES: f64 = 3.0;
/// How far vibration swings a mote aside in a plate, m, and over what length, m. Own choice.
const SWING_M: f64 = 0.09;
const SWING_LENGTH_M: f64 = 0.55;
/// How far motes drift aside in the open air, m, and over what length, m. Own choice.
const DRIFT_M: f64 = 0.16;
const DRIFT_LENGTH_M: f64 = 2.4;
/// A path shown alone has at least so many motes. Own choice.
const ALONE: f64 = 60.0;
/// However loud it becomes against the reference, there are no more motes than this times `most`. Own choice.
const CROWD: f64 = 3.0;

/// Which motes there are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoteChoice {
    /// Bands whose energy counts.
    pub bands: BandChoice,
    /// The energy that `most` motes stand for, (20 µPa)²; the listener's own total in the bands when nothing is given. With the same
    /// reference before and after a change the stream thins as the energy falls.
    pub reference: Option<f64>,
    /// How many motes the reference energy has.
    pub most: usize,
    /// Another seed scatters them otherwise.
    pub seed: u64,
    /// Paths with a smaller share of the listener's energy have none.
    pub least_share: f64,
    /// One path alone, position in the listener's.
    pub alone: Option<usize>,
}

impl Default for MoteChoice {
    fn default() -> Self {
        Self { bands: BandChoice::AWeighted, reference: None, most: 480, seed: 1, least_share: 0.0, alone: None }
    }
}

/// One mote: it runs along its course over and over.
#[derive(Debug, Clone, PartialEq)]
struct Mote {
    path: usize,
    kind: PathKind,
    brightness: f32,
    phase: f64,
    course: Course,
    /// Length from the start to each corner, m.
    reached_m: Vec<f64>,
}

/// Where a mote is.
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

/// The motes of one listener.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Motes {
    motes: Vec<Mote>,
    /// After this time, s, everything is where it was, when that is wished.
    round_s: Option<f64>,
}

impl Motes {
    /// The motes of what a listener hears, position in the building's; none beyond their end or when nothing is heard.
    #[must_use]
    pub fn new(
        scene: &Scene,
        building: &Building,
        heard: &ListenerAnswer,
        listener: usize,
        choice: &MoteChoice,
    ) -> Self {
        let Some(courses) = Courses::new(scene, building, listener) else { return Self::default() };
        let mut motes = vec![];
        for (path, light) in lights(heard, choice).into_iter().enumerate() {
            // Fractions of a mote are motes of less brightness, so that all light together is the energy.
            let count = light.ceil();
            for number in 0..count as usize {
                let mut even = Even::new(choice.seed, path, number);
                let spread = Spread { source: even.next(), entry: even.pair(), exit: even.pair() };
                let Some(course) = courses.of(&heard.paths[path], &spread) else { continue };
                let reached_m = reached(&course);
                if reached_m.last().is_none_or(|length_m| *length_m <= 0.0) {
                    continue;
                }
                let (kind, phase) = (heard.paths[path].kind, even.next());
                let brightness = (light / count) as f32;
                motes.push(Mote { path, kind, brightness, phase: together(kind, phase), course, reached_m });
            }
        }
        Self { motes, round_s: None }
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.motes.len()
    }

    /// True when there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.motes.is_empty()
    }

    /// All light together: motes times their brightness. In proportion to the energy of the paths shown.
    #[must_use]
    pub fn light(&self) -> f64 {
        self.motes.iter().map(|mote| f64::from(mote.brightness)).sum()
    }

    /// All light of one path.
    #[must_use]
    pub fn light_of(&self, path: usize) -> f64 {
        self.motes.iter().filter(|mote| mote.path == path).map(|mote| f64::from(mote.brightness)).sum()
    }

    /// The same motes, a little faster or slower, so that all are back where they were after `seconds`: for pictures that run round and round.
    #[must_use]
    pub fn going_round(self, seconds: f64) -> Self {
        Self { round_s: (seconds > 0.0).then_some(seconds), ..self }
    }

    /// Where they are at a time, s.
    pub fn at(&self, time_s: f64) -> impl Iterator<Item = Spot> + '_ {
        self.motes.iter().map(move |mote| mote.at(time_s, self.round_s))
    }
}

/// How many motes each path has, fractions allowed.
fn lights(heard: &ListenerAnswer, choice: &MoteChoice) -> Vec<f64> {
    let a_weight_db = Bands::exact().map(a_weighting_db);
    let energies: Vec<f64> =
        heard.paths.iter().map(|path| choice.bands.energy(&path.energy, &a_weight_db).max(0.0)).collect();
    let total: f64 = energies.iter().sum();
    if !(total > 0.0 && total.is_finite()) {
        return vec![];
    }
    let reference = choice.reference.filter(|energy| *energy > 0.0).unwrap_or(total);
    let most = choice.most as f64;
    let for_all = (most * total / reference).min(CROWD * most);
    let mut lights: Vec<f64> = energies
        .iter()
        .enumerate()
        .map(|(at, energy)| {
            let share = energy / total;
            let shown = choice.alone.map_or(share >= choice.least_share, |alone| alone == at);
            if shown { for_all * share } else { 0.0 }
        })
        .collect();
    if let Some(alone) = choice.alone.and_then(|at| lights.get_mut(at)).filter(|light| **light > 0.0) {
        *alone = alone.max(ALONE);
    }
    // What is fainter than a fiftieth of a mote cannot be seen.
    for light in &mut lights {
        if *light < 0.02 {
            *light = 0.0;
        }
    }
    lights
}

fn reached(course: &Course) -> Vec<f64> {
    let mut sum = 0.0;
    let legs = course.points.windows(2).map(|leg| {
        sum += distance(leg[0], leg[1]);
        sum
    });
    std::iter::once(0.0).chain(legs).collect()
}

/// How fast motes of a kind run, against those that go straight through: a jet from a gap, dawdling through other rooms. Own choice.
fn pace(kind: PathKind) -> f64 {
    match kind {
        PathKind::Gap => 1.8,
        PathKind::Duct => 1.4,
        PathKind::ByRoom | PathKind::ByVoid | PathKind::Residual => 0.65,
        PathKind::Through | PathKind::Flanking | PathKind::ByOutdoors | PathKind::StructureBorne => 1.0,
    }
}

/// What is struck sends its motes off in strokes; everything else runs evenly.
fn together(kind: PathKind, phase: f64) -> f64 {
    if kind != PathKind::StructureBorne {
        return phase;
    }
    let stroke = (phase * STROKES).floor();
    (stroke + 0.22 * (phase * STROKES - stroke)) / STROKES
}

impl Mote {
    fn at(&self, time_s: f64, round_s: Option<f64>) -> Spot {
        let length_m = self.reached_m.last().copied().unwrap_or(1.0);
        let rounds_per_s = pace(self.kind) * SPEED_M_S / length_m;
        let rounds_per_s = round_s.map_or(rounds_per_s, |round_s| (rounds_per_s * round_s).round().max(1.0) / round_s);
        let part = (time_s * rounds_per_s + self.phase).rem_euclid(1.0);
        let gone_m = part * length_m;
        let leg = self.reached_m[1..].partition_point(|reached_m| *reached_m < gone_m).min(self.course.media.len() - 1);
        let (p, q) = (self.course.points[leg], self.course.points[leg + 1]);
        let leg_m = (self.reached_m[leg + 1] - self.reached_m[leg]).max(1e-9);
        let along = ((gone_m - self.reached_m[leg]) / leg_m).clamp(0.0, 1.0);
        let heading = [0, 1, 2].map(|axis| (q[axis] - p[axis]) / leg_m);
        let medium = self.course.media[leg];
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
