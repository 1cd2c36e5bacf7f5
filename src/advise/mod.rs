//! What to build first: the cheapest set of measures that keeps everyone's limit with the wanted chance, and the proof that none is cheaper.
//!
//! Every measure is solved where it fits, by itself and with those it depends on ([`sums`]); what a set of them brings is then a sum of energies, and the
//! search over all sets is exact ([`search`]). The set found is solved anew in full: where that differs from the sums, the search is told and goes on.

pub mod ask;
mod branches;
mod frontier;
pub mod measure;
mod order;
pub mod places;
mod search;
pub mod sums;
mod weigh;

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

pub use ask::Ask;
pub use measure::{Measure, built_in};
pub use order::{Other, Step};
pub use places::{Choice, PlaceKind};
pub use sums::{Effect, Refusal, Why};

use crate::build_list::{self, Cost};
use crate::project::Solved;
use crate::scene::Edit;
use crate::solve::cancelled::Cancelled;
use branches::Branch;
use sums::{Sums, solved_after};
use weigh::Weigher;

/// Sums and a full solve may differ by so much, dB.
pub const AGREED_DB: f64 = 0.3;
/// So many times a search is told what a full solve gave.
const MOST_CORRECTIONS: usize = 8;

/// What is advised.
#[derive(Debug, Clone)]
pub struct Advice {
    /// The scene as it is.
    pub base: Arc<Solved>,
    /// What was asked.
    pub ask: Ask,
    /// Whose limits count: positions in the answer.
    pub held: Vec<usize>,
    /// How surely all limits are kept as it is, dB: see [`Plan::kept_db`].
    pub now_db: f64,
    /// What is advised: the cheapest plan that keeps all limits, else the best for the budget.
    pub plan: Plan,
    /// The cheapest plan for each way farther, from nothing to the best there is.
    pub frontier: Vec<Plan>,
    /// In which order to do it.
    pub steps: Vec<Step>,
    /// What was not chosen.
    pub others: Vec<Other>,
    /// What fits but may not be done.
    pub refused: Vec<Refusal>,
    /// What asks something else than building.
    pub instead: Vec<Instead>,
    /// How sure it is that nothing is cheaper.
    pub proof: Proof,
}

/// A set of measures.
#[derive(Debug, Clone)]
pub struct Plan {
    /// What is done.
    pub done: Vec<Done>,
    /// What it costs.
    pub cost: Cost,
    /// By how much all limits are kept with the wanted chance, dB; negative where one is not. It is margin minus what the chance asks for.
    pub kept_db: f64,
    /// Weight added to the old floor of a loud room, the most, kg/m².
    pub floor_kg_m2: f64,
    /// The heaviest piece handled, kg.
    pub piece_kg: f64,
    /// What it makes of the scene, where that was solved in full.
    pub solved: Option<Arc<Solved>>,
}

/// A measure at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// Where.
    pub place: PlaceKind,
    /// What.
    pub choice: Choice,
    /// What it takes.
    pub effect: Effect,
}

impl Plan {
    /// Everything it does to the scene.
    #[must_use]
    pub fn edits(&self) -> Vec<Edit> {
        self.done.iter().flat_map(|done| done.choice.edits.iter().cloned()).collect()
    }

    /// True when all limits are kept with the wanted chance.
    #[must_use]
    pub fn reaches(&self) -> bool {
        self.kept_db >= 0.0
    }
}

/// Something else than building: other hours, softer, elsewhere. What is then to be built.
#[derive(Debug, Clone)]
pub struct Instead {
    /// What is asked.
    pub measure: &'static Measure,
    /// Where, for playing elsewhere: name of the room.
    pub room: String,
    /// What it does to the scene.
    pub edits: Vec<Edit>,
    /// What is built with it: the cheapest that keeps all limits, else the best for the budget.
    pub plan: Plan,
}

/// How sure it is that nothing is cheaper.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// How many places there are, and how many choices in all.
    pub places: usize,
    /// See `places`.
    pub choices: usize,
    /// How many sets of measures there are.
    pub sets: f64,
    /// How many partial sets were looked at; all others are shut out by bounds.
    pub looked_at: u64,
    /// True when the search went to its end.
    pub complete: bool,
    /// No set that reaches as much is cheaper than this.
    pub at_least: f64,
    /// The most that the sums and the full solve of the plan differ by, dB(A).
    pub error_db: f64,
    /// How many solves it took.
    pub solves: usize,
}

/// How far it is: so many solves are done, of as many as are known of so far.
pub type Progress<'a> = dyn Fn(usize, usize) + Sync + 'a;

/// Solves done and to be done.
struct Counter<'a> {
    done: AtomicUsize,
    all: AtomicUsize,
    told: &'a Progress<'a>,
}

impl Counter<'_> {
    fn expect(&self, more: usize) {
        self.all.fetch_add(more, Ordering::Relaxed);
    }

    fn step(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        (self.told)(done, self.all.load(Ordering::Relaxed).max(done));
    }
}

/// Who waits for it.
pub struct Watch<'a> {
    /// Says that no one waits any more.
    pub cancelled: &'a Cancelled<'a>,
    /// Is told how many solves are done.
    pub progress: &'a Progress<'a>,
    /// Searches stop after so long and say how good what they have is.
    pub patience: Duration,
}

impl Watch<'_> {
    /// Waits to the end and is told nothing.
    #[must_use]
    pub fn patient() -> Self {
        Self { cancelled: &|| false, progress: &|_, _| {}, patience: Duration::from_secs(3600) }
    }
}

/// Finds out what to build first; nothing where cancelled.
///
/// # Errors
///
/// Where nobody has a limit to be kept, or nothing is loud: a sentence.
pub fn advise(base: &Arc<Solved>, ask: &Ask, watch: &Watch<'_>) -> Result<Option<Advice>, String> {
    if places::loud_rooms(base).is_empty() {
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
    let stop = |nodes: u64| nodes % 64 == 0 && ((watch.cancelled)() || Instant::now() > until);
    let held = first.ears.clone();
    let now_db = Weigher::new(first, ask).worth_db(&vec![0; first.places.len()]);
    let mut found = frontier::search(&branches, ask, &stop);
    let Some(chosen) = frontier::verified(&branches, ask, &mut found, &stop, watch.cancelled) else {
        return Ok(None);
    };
    let (mut steps, others) = order::explained(&branches[chosen.branch], ask, &chosen);
    if let Some(first) = first_step(&branches, &chosen, watch.cancelled) {
        steps.insert(0, first);
    }
    let Some(instead) = branches::instead(base, ask, &branches, watch.cancelled, &count, &stop) else {
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

/// A plan of a branch as what it does.
fn plan_of(branch: &Branch, plan: &[usize], kept_db: f64) -> Plan {
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
fn solved_plan(branch: &Branch, plan: &[usize], cancelled: &Cancelled<'_>) -> Result<Option<Solved>, String> {
    solved_after(&branch.sums.base.scene, &branch.sums.edits(plan), cancelled)
}

/// What it takes to get from one scene to another, as of a single measure.
fn effect_between(before: &Solved, after: &Solved) -> Effect {
    let list = build_list::between(before, after);
    let pieces = list.jobs.iter().flat_map(|job| &job.pieces);
    Effect { cost: list.cost, piece_kg: pieces.map(|piece| piece.kg).fold(0.0, f64::max), ..Effect::default() }
}

impl Branch {
    fn weigher(&self, ask: &Ask) -> Weigher<'_> {
        Weigher::new(&self.sums, ask)
    }
}

impl Sums {
    fn nothing(&self) -> Vec<usize> {
        vec![0; self.places.len()]
    }
}
