//! The way of plane waves through leaves and cavities, for eight angles at once, and the sums over all angles.

use super::cavity::{MOST_CAVITIES, MOST_LEAVES};
use super::lanes::{ComplexLanes, LANES, Lanes};
use super::medium::{CavityMedium, Crossing};
use super::plate_wave::BendingWaves;
use crate::acoustics::bridges::BridgedLeaf;

/// What the angles add up to, for a diffuse field of unit incident power per area.
pub(super) struct Waves {
    /// Power each leaf but the first of several would radiate into open air with the velocity that airborne sound gives it; the last
    /// one's is the airborne transmission coefficient.
    pub airborne: [f64; MOST_LEAVES],
    /// Mean square difference of the velocities of each cavity's leaves.
    pub differences: [f64; MOST_CAVITIES],
    /// How much each leaf by itself answers the field, against a mass: ∫ (ωm′)²/|Zp + 2ρ0c0σ|² d(cos θ). By reciprocity, also how
    /// much it radiates from a point or line of force.
    pub responses: [f64; MOST_LEAVES],
    /// Mean square force at one of the lines or points that join each cavity's leaves at regular distances, on the second leaf.
    pub forces: [f64; MOST_CAVITIES],
    /// Transmission coefficient of each leaf by itself for the waves forced on it, its free waves left out.
    pub alone: [f64; MOST_LEAVES],
}

/// Leaves and cavities at one frequency.
pub(super) struct Passage<'a> {
    pub leaves: [BendingWaves<'a>; MOST_LEAVES],
    pub media: [Option<CavityMedium>; MOST_CAVITIES],
    pub count: usize,
}

/// What waves from the first side do, at eight angles.
pub(super) struct Carried {
    /// |velocity of the leaf over the blocked pressure that drives the first face|², by leaf; (m/s)²/Pa².
    pub transfer: [Lanes; MOST_LEAVES],
    /// The same of the difference of each cavity's leaves.
    pub differences: [Lanes; MOST_CAVITIES],
    /// The same of the pressure of what joins them at regular distances on the second; (Pa/Pa)².
    pub forces: [Lanes; MOST_CAVITIES],
    /// |Zp + twice the load|² of each leaf by itself.
    pub alone: [Lanes; MOST_LEAVES],
    /// By cavity.
    crossings: [Crossing; MOST_CAVITIES],
}

impl Carried {
    pub(super) const NOTHING: Self = Self {
        transfer: [[0.0; LANES]; MOST_LEAVES],
        differences: [[0.0; LANES]; MOST_CAVITIES],
        forces: [[0.0; LANES]; MOST_CAVITIES],
        alone: [[0.0; LANES]; MOST_LEAVES],
        crossings: [Crossing::NOTHING; MOST_CAVITIES],
    };
}

impl Passage<'_> {
    /// True when waves run along a cavity: at some angles they resonate across it.
    pub(super) fn is_resonant(&self) -> bool {
        self.media.iter().flatten().any(|medium| medium.resonant)
    }

    /// From the last face, which moves against `load` (Pa·s/m), to the first, which the same load holds back as it is driven.
    #[inline(always)]
    pub(super) fn carry(&self, load: &Lanes, trace_squared: &Lanes, carried: &mut Carried) {
        let mut seen = ComplexLanes { re: *load, im: [0.0; LANES] };
        for at in (0..self.count).rev() {
            self.leaves[at].add_to(&mut seen, trace_squared, load, &mut carried.alone[at]);
            if at > 0
                && let Some(medium) = &self.media[at - 1]
            {
                medium.through(&mut seen, trace_squared, &mut carried.crossings[at - 1]);
            }
        }
        carried.transfer[0] = driven(&seen, load);
        for (at, crossing) in carried.crossings[..self.count - 1].iter().enumerate() {
            for lane in 0..LANES {
                let passed = carried.transfer[at][lane] * crossing.passed[lane];
                carried.transfer[at + 1][lane] = passed;
                carried.differences[at][lane] = passed * crossing.difference[lane];
                carried.forces[at][lane] = passed * crossing.force[lane];
            }
        }
    }
}

/// 1/|Z + load|².
#[inline(always)]
fn driven(seen: &ComplexLanes, load: &Lanes) -> Lanes {
    let mut transfer = [0.0; LANES];
    for lane in 0..LANES {
        let re = seen.re[lane] + load[lane];
        transfer[lane] = 1.0 / (re * re + seen.im[lane] * seen.im[lane]);
    }
    transfer
}

/// Sums over the angles, lane by lane until the end.
pub(super) struct Sums {
    airborne: [Lanes; MOST_LEAVES],
    differences: [Lanes; MOST_CAVITIES],
    forces: [Lanes; MOST_CAVITIES],
    responses: [Lanes; MOST_LEAVES],
    alone: [Lanes; MOST_LEAVES],
}

impl Sums {
    pub(super) fn new() -> Self {
        Self {
            airborne: [[0.0; LANES]; MOST_LEAVES],
            differences: [[0.0; LANES]; MOST_CAVITIES],
            forces: [[0.0; LANES]; MOST_CAVITIES],
            responses: [[0.0; LANES]; MOST_LEAVES],
            alone: [[0.0; LANES]; MOST_LEAVES],
        }
    }

    /// `taken`: the weight of each angle, times the share of its field that the first face takes up.
    #[inline(always)]
    pub(super) fn add(&mut self, carried: &Carried, load: &Lanes, taken: &Lanes, count: usize) {
        // The first leaf's own radiation counts only when it is the last one too.
        for at in usize::from(count > 1)..count {
            let (sum, transfer) = (&mut self.airborne[at], &carried.transfer[at]);
            for lane in 0..LANES {
                sum[lane] += taken[lane] * load[lane] * transfer[lane];
            }
        }
        if count == 1 {
            return;
        }
        for at in 0..count {
            let (responses, alone) = (&mut self.responses[at], &mut self.alone[at]);
            for lane in 0..LANES {
                let response = taken[lane] / carried.alone[at][lane];
                responses[lane] += response;
                alone[lane] += response * load[lane];
            }
        }
        for at in 0..count - 1 {
            let (differences, forces) = (&mut self.differences[at], &mut self.forces[at]);
            for lane in 0..LANES {
                differences[lane] += taken[lane] * carried.differences[at][lane];
                forces[lane] += taken[lane] * carried.forces[at][lane];
            }
        }
    }

    pub(super) fn waves(&self, plates: &[BridgedLeaf], omega: f64, rho_c: f64) -> Waves {
        // The blocked pressure is twice the incident one, and a diffuse field of unit pressure in each direction brings ½/(ρ0c0) to a
        // unit area.
        let per_incident = 4.0 * 2.0 * rho_c;
        let mut waves = Waves {
            airborne: [0.0; MOST_LEAVES],
            differences: [0.0; MOST_CAVITIES],
            responses: [0.0; MOST_LEAVES],
            forces: [0.0; MOST_CAVITIES],
            alone: [0.0; MOST_LEAVES],
        };
        for (at, plate) in plates.iter().enumerate() {
            waves.airborne[at] = per_incident * total(&self.airborne[at]);
            if plates.len() > 1 {
                waves.responses[at] = (omega * plate.mass).powi(2) * total(&self.responses[at]);
                waves.alone[at] = per_incident * total(&self.alone[at]);
            }
        }
        for at in 0..plates.len() - 1 {
            waves.differences[at] = per_incident * total(&self.differences[at]);
            waves.forces[at] = per_incident * total(&self.forces[at]);
        }
        waves
    }
}

fn total(lanes: &Lanes) -> f64 {
    lanes.iter().sum()
}
