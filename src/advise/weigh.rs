//! What a plan is worth: how surely it keeps the limits, from sums.

use super::ask::Ask;
use super::search::{Found, Question, Table, cheapest};
use super::sums::{Sums, asked_of};
use crate::acoustics::Spectrum;
use crate::solve::criteria::Asked;
use crate::solve::grouped_odds::GroupedOdds;

/// A table of sums with what its energies may be off by.
pub(super) struct Weigher<'a> {
    pub sums: &'a Sums,
    pub table: Table,
    ears: Vec<Ear>,
    deviates: f64,
    /// Plans that were solved in full, and what that gave.
    pub known: Vec<(Vec<usize>, Vec<Spectrum>)>,
}

struct Ear {
    asked: Asked,
    /// What is added to the limit: so much softer is played, dB.
    softer_db: f64,
    odds: GroupedOdds,
    /// What the wanted chance asks for as it is, dB.
    bare_db: f64,
}

impl<'a> Weigher<'a> {
    pub(super) fn new(sums: &'a Sums, ask: &Ask) -> Self {
        let ear = |ear: usize| {
            let heard = sums.heard(ear);
            let odds = GroupedOdds::of(&sums.base.answer, heard, &sums.groups(ear));
            let asked = asked_of(&sums.base, heard)?;
            let weights = asked.decisive(&heard.energy)?;
            let bare_db =
                -odds.sure(&sums.factors(ear, &vec![0; sums.places.len()]), &weights).kept_db(0.0, ask.deviates());
            Some(Ear { asked, softer_db: 0.0, odds, bare_db })
        };
        let ears = (0..sums.ears.len()).filter_map(ear).collect();
        Self { sums, table: sums.table.clone(), ears, deviates: ask.deviates(), known: vec![] }
    }

    /// The same building held to other limits, of listeners in the same order, or played softer.
    pub(super) fn under(mut self, asked: Vec<Asked>, softer_db: f64) -> Self {
        let certain = |table: &Table, ear: usize| {
            table.demands.iter().find(|demand| demand.ear == ear).map_or(0.0, |demand| demand.certain_db)
        };
        let raised = 10f64.powf(softer_db / 10.0);
        let mut demands = vec![];
        for (at, (ear, asked)) in self.ears.iter_mut().zip(asked).enumerate() {
            let certain_db = certain(&self.table, at);
            demands.extend(asked.sums().into_iter().map(|(weights, limit)| super::search::Demand {
                ear: at,
                weights,
                limit: limit * raised,
                certain_db,
            }));
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

    /// What each listener gets: as solved where it was, else by sums.
    pub(super) fn energies(&self, plan: &[usize]) -> Vec<Spectrum> {
        let known = self.known.iter().find(|(known, _)| known == plan);
        known.map_or_else(|| self.table.energies(plan), |(_, energies)| energies.clone())
    }

    /// By how much a listener's limit is kept with the wanted chance, dB.
    fn kept_db(&self, at: usize, plan: &[usize], energy: &Spectrum) -> f64 {
        let ear = &self.ears[at];
        let factors = self.sums.factors(at, plan);
        let requirements = ear.asked.requirements(energy).into_iter();
        let kept = requirements.map(|(margin_db, weights)| {
            ear.odds.sure(&factors, &weights).kept_db(margin_db + ear.softer_db, self.deviates)
        });
        kept.fold(f64::INFINITY, f64::min)
    }

    /// By how much the limits of all are kept with the wanted chance, dB: negative where one is not.
    pub(super) fn worth_db(&self, plan: &[usize]) -> f64 {
        let energies = self.energies(plan);
        energies.iter().enumerate().map(|(at, energy)| self.kept_db(at, plan, energy)).fold(f64::INFINITY, f64::min)
    }

    /// The listener whose limit is kept least, and by how much.
    pub(super) fn decisive(&self, plan: &[usize]) -> (usize, f64) {
        let energies = self.energies(plan);
        let kept = energies.iter().enumerate().map(|(at, energy)| (at, self.kept_db(at, plan, energy)));
        kept.min_by(|one, other| one.1.total_cmp(&other.1)).unwrap_or((0, f64::INFINITY))
    }

    /// By how much a listener's limit is kept, whatever the chance, dB.
    pub(super) fn margin_db(&self, at: usize, energy: &Spectrum) -> f64 {
        self.ears[at].asked.margin_db(energy) + self.ears[at].softer_db
    }

    /// True where a plan keeps all limits by so much with the wanted chance: the likeliest to be broken is looked at first.
    fn reaches(&self, plan: &[usize], want_db: f64) -> bool {
        let energies = self.energies(plan);
        let mut rough: Vec<(usize, f64)> =
            energies.iter().enumerate().map(|(at, energy)| (at, self.rough_db(at, energy))).collect();
        rough.sort_by(|one, other| one.1.total_cmp(&other.1));
        rough.into_iter().all(|(at, _)| self.kept_db(at, plan, &energies[at]) >= want_db)
    }

    fn rough_db(&self, at: usize, energy: &Spectrum) -> f64 {
        self.margin_db(at, energy) - self.ears[at].bare_db
    }

    /// The cheapest plan that keeps all limits by so much with the wanted chance.
    pub(super) fn cheapest(&self, want_db: f64, most_cost: f64, stop: &dyn Fn(u64) -> bool) -> Found {
        let reaches = |plan: &[usize]| self.reaches(plan, want_db);
        let rough = |energies: &[Spectrum]| {
            let kept = energies.iter().enumerate().map(|(at, energy)| self.rough_db(at, energy));
            kept.fold(f64::INFINITY, f64::min)
        };
        cheapest(&self.table, &Question { reaches: &reaches, rough: &rough, want_db, most_cost, stop })
    }
}
