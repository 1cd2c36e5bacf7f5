//! What is advised: plans, what each step brings, what was left out and why, and how sure it is that nothing is cheaper.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use super::ask::Ask;
use super::measure::Measure;
use super::places::{Choice, PlaceKind};
use crate::build_list::Cost;
use crate::project::Solved;
use crate::scene::Edit;
use crate::solve::cancelled::Cancelled;
use crate::solve::limits::Check;

/// From one point of the frontier to the next, dB. Where no set keeps all limits, what is advised comes within two steps of the best there is: nobody should
/// pay for what hardly anyone hears.
pub const STEP_DB: f64 = 0.5;

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
    /// True when the search went to its end.
    pub complete: bool,
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
    /// The most that the sums, as first made, and the full solve of the plan differ by, dB(A). Sums that are off by more than 0.3 dB were corrected by that
    /// before the plan was chosen for good.
    pub error_db: f64,
    /// How many solves it took.
    pub solves: usize,
}

/// How far it is: so many solves are done, of as many as are known of so far.
pub type Progress<'a> = dyn Fn(usize, usize) + Sync + 'a;

/// Solves done and to be done.
pub(super) struct Counter<'a> {
    pub done: AtomicUsize,
    pub all: AtomicUsize,
    pub told: &'a Progress<'a>,
}

impl Counter<'_> {
    pub(super) fn expect(&self, more: usize) {
        self.all.fetch_add(more, Ordering::Relaxed);
    }

    pub(super) fn step(&self) {
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

/// A step of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Position in [`Plan::done`].
    pub done: usize,
    /// The listener whose limit is kept least before it: position among those held. What it brings is told for them.
    pub listener: usize,
    /// What it brings after the steps before it, dB(A).
    pub now_db: f64,
    /// What it would bring done first, dB(A).
    pub first_db: f64,
    /// What would be lost if it were left out of the whole, dB(A).
    pub left_out_db: f64,
}

/// Something that was not chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Other {
    /// Where.
    pub place: PlaceKind,
    /// What.
    pub choice: Choice,
    /// What it takes.
    pub effect: Effect,
    /// What it would bring by itself, dB(A), to the listener whose limit is kept least as it is.
    pub first_db: f64,
    /// What it would bring beside the plan, in the place of what the plan has there, dB(A), to the listener whose limit is kept least then.
    /// Nothing where load, headroom or ways out do not allow both.
    pub besides_db: Option<f64>,
    /// True where the plan has something else there.
    pub replaced: bool,
}

/// What a choice takes besides what it brings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Effect {
    /// Money and hours.
    pub cost: Cost,
    /// Weight added to the old floor of the loud room, kg/m².
    pub floor_kg_m2: f64,
    /// Clear height taken, m.
    pub height_m: f64,
    /// Ways out into the open that it closes.
    pub ways_out: f64,
    /// Walls that it lines.
    pub walls: f64,
    /// The heaviest piece handled, kg.
    pub piece_kg: f64,
}

/// Something that fits but may not be done, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Where.
    pub place: PlaceKind,
    /// What.
    pub choice: Choice,
    /// Why.
    pub why: Why,
}

/// Why something may not be done.
#[derive(Debug, Clone, PartialEq)]
pub enum Why {
    /// A limit of building or playing is broken by it.
    Limit(Box<Check>),
    /// A piece is heavier than what can be lifted: kg, and kg that can be.
    Heavy(f64, f64),
    /// It cannot be built: a sentence.
    Unbuilt(String),
}
