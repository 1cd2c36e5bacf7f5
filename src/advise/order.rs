//! In which order to build, what each step brings, and why the rest was left out.

use super::ask::Ask;
use super::branch::Branch;
use super::frontier::Chosen;
use super::model::{Other, Step};
use super::weigh::Weigher;
use crate::acoustics::rating::weighting::a_weighted_energy;

/// The steps in the order in which each is the best next one, and what was left out, within a branch. Nothing is solved: all by sums.
pub(super) fn explained(branch: &Branch, ask: &Ask, chosen: &Chosen) -> (Vec<Step>, Vec<Other>) {
    let weigher = Weigher::new(&branch.sums, ask);
    let whole = chosen.at.clone();
    let nothing = branch.sums.nothing();
    let level = |plan: &[usize], at: usize| 10.0 * a_weighted_energy(&weigher.table.energies(plan)[at]).log10();
    let with = |plan: &[usize], place: usize, choice: usize| {
        let mut plan = plan.to_vec();
        plan[place] = choice;
        plan
    };
    let places: Vec<usize> = (0..whole.len()).filter(|at| whole[*at] > 0).collect();
    let (mut now, mut left) = (nothing.clone(), places.clone());
    let mut steps: Vec<Step> = vec![];
    while !left.is_empty() {
        let (listener, before_db) = weigher.decisive(&now);
        let after = |place: &usize| {
            let tried = with(&now, *place, whole[*place]);
            // What keeps the limits best; among equals what makes it softest.
            (weigher.worth_db(&tried) - before_db, level(&now, listener) - level(&tried, listener))
        };
        let best = left.iter().enumerate().map(|(at, place)| (at, after(place)));
        let best = best.max_by(|(_, one), (_, other)| (one.0 + 1e-3 * one.1).total_cmp(&(other.0 + 1e-3 * other.1)));
        let Some((at, _)) = best else { break };
        let place = left.remove(at);
        let next = with(&now, place, whole[place]);
        let without = with(&whole, place, 0);
        steps.push(Step {
            done: branch.first.len() + places.iter().position(|known| *known == place).unwrap_or(0),
            listener,
            now_db: level(&now, listener) - level(&next, listener),
            first_db: level(&nothing, listener) - level(&with(&nothing, place, whole[place]), listener),
            left_out_db: level(&without, listener) - level(&whole, listener),
        });
        now = next;
    }
    (steps, others(&weigher, branch, &whole))
}

/// At each place the choice that would bring most beside the plan.
fn others(weigher: &Weigher<'_>, branch: &Branch, whole: &[usize]) -> Vec<Other> {
    let sums = &branch.sums;
    let nothing = sums.nothing();
    let (first_ear, last_ear) = (weigher.decisive(&nothing).0, weigher.decisive(whole).0);
    let level = |plan: &[usize], at: usize| 10.0 * a_weighted_energy(&weigher.table.energies(plan)[at]).log10();
    let mut found = vec![];
    for (at, place) in sums.places.iter().enumerate() {
        let tried = |choice: usize| {
            let (mut alone, mut besides) = (nothing.clone(), whole.to_vec());
            (alone[at], besides[at]) = (choice + 1, choice + 1);
            let can_be = weigher.table.can_be(&besides);
            let besides_db = can_be.then(|| level(whole, last_ear) - level(&besides, last_ear));
            Other {
                place: place.kind.clone(),
                choice: place.choices[choice].clone(),
                effect: sums.effects[at][choice].clone(),
                first_db: level(&nothing, first_ear) - level(&alone, first_ear),
                besides_db,
                replaced: whole[at] > 0,
            }
        };
        let others = (0..place.choices.len()).filter(|choice| whole[at] != choice + 1).map(tried);
        found.extend(others.max_by(|one, other| {
            (one.besides_db, one.first_db)
                .partial_cmp(&(other.besides_db, other.first_db))
                .unwrap_or(std::cmp::Ordering::Equal)
        }));
    }
    found
}
