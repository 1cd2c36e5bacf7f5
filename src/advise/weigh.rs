//! What a plan is worth: how surely it keeps the limits, from sums.

use super::ask::Ask;
use super::search::{Found, Question, cheapest};
use super::sums::{Sums, asked_of};
use super::table::{Demand, Table};
use crate::acoustics::Spectrum;
use crate::project::Solved;
use crate::solve::criteria::Asked;
use crate::solve::grouped_odds::GroupedOdds;

/// How sure a level is depends on what it is made of, by a few tenths of a decibel from plan to plan. It is taken from the plan found last, and the
/// search repeated until that changes by less than this, dB.
const SETTLED_DB: f64 = 0.05;
/// No plan is taken to be surer than the scene as it is by more than this, dB. Own choice: twice what was met between sets in a small building.
const SURER_DB: f64 = 1.5;
/// So often at most.
const MOST_ROUNDS: usize = 4;

/// A table of sums with what its energies may be off by.
pub(super) struct Weigher<'a> {
    pub sums: &'a Sums,
    pub table: Table,
    ears: Vec<Ear>,
    deviates: f64,
    known: Vec<Known>,
}

/// A plan that was solved in full: what each listener gets, and by how much their limit is kept with the wanted chance, dB.
struct Known {
    plan: Vec<usize>,
    energies: Vec<Spectrum>,
    kept_db: Vec<f64>,
}

struct Ear {
    asked: Asked,
    /// What is added to the limit: so much softer is played, dB.
    softer_db: f64,
    /// By how much more the limit is kept by what was last solved in full than by its sums, dB.
    surer_db: f64,
    odds: GroupedOdds,
}

impl<'a> Weigher<'a> {
    pub(super) fn new(sums: &'a Sums, ask: &Ask) -> Self {
        let ear = |ear: usize| {
            let heard = sums.heard(ear);
            let odds = GroupedOdds::of(&sums.base.answer, heard, &sums.groups(ear));
            Some(Ear { asked: asked_of(&sums.base, heard)?, softer_db: 0.0, surer_db: 0.0, odds })
        };
        let ears = (0..sums.ears.len()).filter_map(ear).collect();
        Self { sums, table: sums.table.clone(), ears, deviates: ask.deviates(), known: vec![] }
    }

    /// The same building held to other limits, of listeners in the same order, or played softer.
    pub(super) fn under(mut self, asked: Vec<Asked>, softer_db: f64) -> Self {
        let raised = 10f64.powf(softer_db / 10.0);
        let mut demands = vec![];
        for (at, (ear, asked)) in self.ears.iter_mut().zip(asked).enumerate() {
            let demand = |(weights, limit)| Demand { ear: at, weights, limit: limit * raised, certain_db: 0.0 };
            demands.extend(asked.sums().into_iter().map(demand));
            (ear.asked, ear.softer_db) = (asked, softer_db);
        }
        self.table.demands = demands;
        self
    }

    /// Makes the sums of each listener so much more or less as a full solve was found to differ from them.
    pub(super) fn correct(&mut self, ratios: &[Spectrum]) {
        let table = &mut self.table;
        let per_ear = table.fixed.len() / table.ears.max(1);
        let scale = |streams: &mut [Spectrum]| {
            for (at, stream) in streams.iter_mut().enumerate() {
                *stream = stream.zip(&ratios[at / per_ear], |energy, ratio| energy * ratio);
            }
        };
        scale(&mut table.fixed);
        table.places.iter_mut().flat_map(|place| place.part.iter_mut().flatten()).for_each(|part| scale(part));
    }

    fn known(&self, plan: &[usize]) -> Option<&Known> {
        self.known.iter().find(|known| known.plan == plan)
    }

    /// Keeps what a full solve of a plan gave: nothing where it cannot be built after all, so that it is never chosen again. What each listener gets then.
    pub(super) fn know(&mut self, plan: &[usize], solved: Option<&Solved>) -> Vec<Spectrum> {
        let as_solved = |at: &usize| {
            let solved = solved?;
            let heard = solved.answer.listeners.get(*at)?;
            let odds = GroupedOdds::of(&solved.answer, heard, &vec![0; heard.paths.len()]);
            let requirements = asked_of(solved, heard)?.requirements(&heard.energy).into_iter();
            let kept = requirements.map(|(margin_db, weights)| {
                odds.sure(&[Spectrum::splat(1.0)], &weights).kept_db(margin_db, self.deviates)
            });
            Some((heard.energy, kept.fold(f64::INFINITY, f64::min)))
        };
        let never = (Spectrum::splat(1e30), f64::NEG_INFINITY);
        let (energies, kept_db): (Vec<Spectrum>, _) =
            self.sums.ears.iter().map(|at| as_solved(at).unwrap_or(never)).unzip();
        self.known.push(Known { plan: plan.to_vec(), energies: energies.clone(), kept_db });
        energies
    }

    /// Takes plans to be as much surer than their sums as one that was solved in full.
    pub(super) fn learn(&mut self, plan: &[usize]) {
        let energies = self.table.energies(plan);
        let by_sums: Vec<f64> =
            energies.iter().enumerate().map(|(at, energy)| self.kept_by_sums_db(at, plan, energy)).collect();
        let Some(known) = self.known.iter().find(|known| known.plan == plan) else { return };
        for ((ear, by_sums_db), solved_db) in self.ears.iter_mut().zip(by_sums).zip(&known.kept_db) {
            if solved_db.is_finite() && by_sums_db.is_finite() {
                ear.surer_db += solved_db - by_sums_db;
            }
        }
    }

    /// What each listener gets: as solved where it was, else by sums.
    pub(super) fn energies(&self, plan: &[usize]) -> Vec<Spectrum> {
        self.known(plan).map_or_else(|| self.table.energies(plan), |known| known.energies.clone())
    }

    /// By how much a listener's limit is kept with the wanted chance, dB.
    fn kept_db(&self, at: usize, plan: &[usize], energy: &Spectrum) -> f64 {
        self.known(plan).map_or_else(|| self.kept_by_sums_db(at, plan, energy), |known| known.kept_db[at])
    }

    fn kept_by_sums_db(&self, at: usize, plan: &[usize], energy: &Spectrum) -> f64 {
        let ear = &self.ears[at];
        let factors = self.sums.factors(at, plan);
        let requirements = ear.asked.requirements(energy).into_iter();
        let kept = requirements.map(|(margin_db, weights)| {
            ear.odds.sure(&factors, &weights).kept_db(margin_db + ear.softer_db, self.deviates)
        });
        kept.fold(f64::INFINITY, f64::min) + ear.surer_db
    }

    /// By how much the limits of all are kept with the wanted chance, dB: negative where one is not.
    pub(super) fn worth_db(&self, plan: &[usize]) -> f64 {
        self.decisive(plan).1
    }

    /// The listener whose limit is kept least, and by how much.
    pub(super) fn decisive(&self, plan: &[usize]) -> (usize, f64) {
        let energies = self.energies(plan);
        let kept = energies.iter().enumerate().map(|(at, energy)| (at, self.kept_db(at, plan, energy)));
        kept.min_by(|one, other| one.1.total_cmp(&other.1)).unwrap_or((0, f64::INFINITY))
    }

    /// Takes from a plan how much more each demand must be kept by for the wanted chance. By how much that changed at most, dB.
    fn settle(&mut self, plan: &[usize]) -> f64 {
        let factors: Vec<Vec<Spectrum>> = (0..self.ears.len()).map(|at| self.sums.factors(at, plan)).collect();
        let mut changed_db: f64 = 0.0;
        for demand in &mut self.table.demands {
            let sure = self.ears[demand.ear].odds.sure(&factors[demand.ear], &demand.weights);
            let certain_db = -sure.kept_db(0.0, self.deviates) - self.ears[demand.ear].surer_db;
            changed_db = changed_db.max((certain_db - demand.certain_db).abs());
            demand.certain_db = certain_db;
        }
        changed_db
    }

    /// The cheapest plan that keeps all limits with the wanted chance, each plan as sure as it is itself: none is taken to be surer than the scene as it
    /// is by more than [`SURER_DB`].
    pub(super) fn cheapest_exactly(&mut self, most_cost: f64, stop: &dyn Fn(u64) -> bool) -> Found {
        self.settle(&self.sums.nothing());
        let mut table = self.table.clone();
        table.demands.iter_mut().for_each(|demand| demand.certain_db -= SURER_DB);
        let holds = |plan: &[usize]| self.worth_db(plan) >= 0.0;
        cheapest(&table, &Question { want_db: 0.0, holds: &holds, most_cost, stop })
    }

    /// The cheapest plan that keeps all limits by so much with the wanted chance, all plans as sure as the one found.
    pub(super) fn cheapest(&mut self, want_db: f64, most_cost: f64, stop: &dyn Fn(u64) -> bool) -> Found {
        let mut nodes = 0;
        if self.table.demands.iter().all(|demand| demand.certain_db == 0.0) {
            self.settle(&self.sums.nothing());
        }
        let mut round = 0;
        loop {
            // What was solved in full is known better than by sums.
            let holds = |plan: &[usize]| self.known(plan).is_none() || self.worth_db(plan) >= want_db - SETTLED_DB;
            let found = cheapest(&self.table, &Question { want_db, holds: &holds, most_cost, stop });
            (nodes, round) = (nodes + found.nodes, round + 1);
            let settled = match &found.plan {
                Some((plan, _)) => {
                    let short = self.worth_db(plan) < want_db - SETTLED_DB;
                    self.settle(plan) < SETTLED_DB || !short && round >= MOST_ROUNDS
                }
                None => true,
            };
            if settled || round >= 2 * MOST_ROUNDS {
                return Found { nodes, ..found };
            }
        }
    }
}
