//! The whole way from a scene to what is advised.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use super::ask::Ask;
use super::branch::Branch;
use super::branches;
use super::frontier;
use super::model::{Advice, Counter, Proof, Step, Watch};
use super::order;
use super::places::loud_rooms;
use super::sums::solved_after;
use super::weigh::Weigher;
use crate::project::Solved;
use crate::solve::cancelled::Cancelled;

/// Finds out what to build first; nothing where cancelled.
///
/// # Errors
///
/// Where nobody has a limit to be kept, or nothing is loud: a sentence.
pub fn advise(base: &Arc<Solved>, ask: &Ask, watch: &Watch<'_>) -> Result<Option<Advice>, String> {
    if loud_rooms(base).is_empty() {
        return Err("Nothing is loud in the scene: place a source that plays.".to_owned());
    }
    let count = Counter { done: AtomicUsize::new(0), all: AtomicUsize::new(0), told: watch.progress };
    let Some(branches) = branches::building(base, ask, watch.cancelled, &count) else { return Ok(None) };
    let first = &branches[0].sums;
    if first.ears.is_empty() {
        let to_do = "give a listener outside the loud room a limit";
        return Err(format!("Nobody has a limit that could be kept: {to_do}."));
    }
    let until = Instant::now() + watch.patience;
    let stop = |nodes: u64| nodes.is_multiple_of(64) && ((watch.cancelled)() || Instant::now() > until);
    let held = first.ears.clone();
    let now_db = Weigher::new(first, ask).worth_db(&first.nothing());
    let mut found = frontier::search(&branches, ask, &stop);
    let Some(chosen) = frontier::verified(&branches, ask, &mut found, &stop, watch.cancelled) else {
        return Ok(None);
    };
    let (mut steps, others) = order::explained(&branches[chosen.branch], ask, &chosen);
    if let Some(first) = first_step(&branches, &chosen, watch.cancelled) {
        steps.insert(0, first);
    }
    let Some(instead) = branches::instead(base, ask, &branches, &found.points, watch.cancelled, &count, &stop) else {
        return Ok(None);
    };
    if (watch.cancelled)() {
        return Ok(None);
    }
    let sums = &branches[chosen.branch].sums;
    let proof = Proof {
        places: sums.places.iter().filter(|place| !place.choices.is_empty()).count(),
        choices: sums.places.iter().map(|place| place.choices.len()).sum(),
        sets: branches
            .iter()
            .map(|branch| branch.sums.places.iter().map(|place| place.choices.len() as f64 + 1.0).product::<f64>())
            .sum(),
        looked_at: found.nodes,
        complete: found.complete,
        at_least: chosen.at_least,
        error_db: chosen.error_db,
        solves: count.done.load(Ordering::Relaxed) + found.solves,
    };
    let refused = branches[0].sums.refused.clone();
    let frontier = found.points.iter().map(|point| point.plan(&branches[point.branch])).collect();
    let base = base.clone();
    Ok(Some(Advice {
        base,
        ask: ask.clone(),
        held,
        now_db,
        plan: chosen.plan,
        frontier,
        steps,
        others,
        refused,
        instead,
        proof,
    }))
}

/// What comes before all others, since it changes the plan of the building: what that brings is found by solving without it.
fn first_step(branches: &[Branch], chosen: &frontier::Chosen, cancelled: &Cancelled<'_>) -> Option<Step> {
    let (base, branch) = (&branches[0].sums, &branches[chosen.branch]);
    if branch.first.is_empty() {
        return None;
    }
    let solved = chosen.plan.solved.as_ref()?;
    let without = solved_after(&base.base.scene, &branch.sums.edits(&chosen.at), cancelled).ok()??;
    let least = base.ears.iter().enumerate().filter_map(|(listener, at)| {
        let heard = base.base.answer.listeners.get(*at)?;
        Some((listener, *at, heard.target.as_ref()?.margin_db))
    });
    let (listener, at, _) = least.min_by(|one, other| one.2.total_cmp(&other.2))?;
    let la_db = |solved: &Solved| solved.answer.listeners.get(at).map(|heard| heard.la_db);
    let first_db = la_db(&base.base)? - la_db(&branch.sums.base)?;
    let left_out_db = la_db(&without)? - la_db(solved)?;
    Some(Step { done: 0, listener, now_db: first_db, first_db, left_out_db })
}
