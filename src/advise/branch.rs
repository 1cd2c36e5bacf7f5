//! A scene to begin from, and its plans.

use super::model::{Done, Effect, Plan};
use super::sums::{Sums, solved_after};
use crate::build_list;
use crate::project::Solved;
use crate::solve::cancelled::Cancelled;

/// A scene to begin from, with what was done to come to it.
pub(super) struct Branch {
    pub first: Vec<Done>,
    pub sums: Sums,
}

/// A plan of a branch as what it does.
pub(super) fn plan_of(branch: &Branch, plan: &[usize], kept_db: f64) -> Plan {
    let sums = &branch.sums;
    let chosen = sums.places.iter().enumerate().zip(plan).filter(|(_, choice)| **choice > 0);
    let own = chosen.map(|((at, place), choice)| Done {
        place: place.kind.clone(),
        choice: place.choices[choice - 1].clone(),
        effect: sums.effects[at][choice - 1].clone(),
    });
    let done: Vec<Done> = branch.first.iter().cloned().chain(own).collect();
    let cost = done.iter().map(|done| done.effect.cost).sum();
    Plan {
        cost,
        kept_db,
        floor_kg_m2: done.iter().map(|done| done.effect.floor_kg_m2.max(0.0)).sum(),
        piece_kg: done.iter().map(|done| done.effect.piece_kg).fold(0.0, f64::max),
        done,
        solved: None,
    }
}

/// What a full solve of a plan gives each listener; nothing where cancelled or where it cannot be built after all.
pub(super) fn solved_plan(
    branch: &Branch,
    plan: &[usize],
    cancelled: &Cancelled<'_>,
) -> Result<Option<Solved>, String> {
    solved_after(&branch.sums.base.scene, &branch.sums.edits(plan), cancelled)
}

/// What it takes to get from one scene to another, as of a single measure.
pub(super) fn effect_between(before: &Solved, after: &Solved) -> Effect {
    let list = build_list::between(before, after);
    let pieces = list.jobs.iter().flat_map(|job| &job.pieces);
    Effect { cost: list.cost, piece_kg: pieces.map(|piece| piece.kg).fold(0.0, f64::max), ..Effect::default() }
}
