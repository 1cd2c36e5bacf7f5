//! Results kept from one solve to the next, so that after an edit only what the edit touches is computed anew.
//!
//! What is kept is found again by everything it was computed from, compared value by value, never by a name: a remembered result is the
//! same, to the last bit, as one computed anew, whatever was edited in between.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use super::Conditions;
use super::paths::OpenAir;
use crate::acoustics::Spectrum;
use crate::acoustics::layers::Stack;

/// A result no solve has asked for during so many is dropped. Own choice: an undo some edits later still finds it.
const KEPT_SOLVES: u64 = 64;

/// Pure results of earlier solves, for whoever solves again and again: the window, a search, a batch.
///
/// Belongs to one thread at a time. Other air or midbands empty it; results unused for a while are dropped, so that it stays small.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    conditions: Option<Conditions>,
    /// Number of the solve under way.
    solve: u64,
    stacks: Kept<(Stack, (f64, f64)), Spectrum>,
    /// What the ways in `ways` lead through.
    open_air: Option<OpenAir>,
    ways: Ways,
}

/// One end of a way through the open air: middle, outward normal, size and reach along the wall of a face; ears have but a place.
pub(super) type Place = [f64; 9];

/// Ways through one open air, by their two ends.
#[derive(Debug, Clone, Default)]
pub(super) struct Ways {
    by_ends: HashMap<[u64; 18], (Spectrum, u64)>,
    solve: u64,
}

impl Ways {
    /// What is known of the way between these ends, or else what `make` says.
    pub(super) fn get_or(&mut self, ends: [Place; 2], make: impl FnOnce() -> Spectrum) -> Spectrum {
        let mut key = [0; 18];
        for (bits, value) in key.iter_mut().zip(ends.iter().flatten()) {
            *bits = value.to_bits();
        }
        let known = self.by_ends.entry(key).or_insert_with(|| (make(), 0));
        known.1 = self.solve;
        known.0
    }
}

impl Memory {
    /// Begins a solve: what has not been used for long is dropped.
    pub(super) fn begin(&mut self, conditions: &Conditions) {
        self.keep_only_under(conditions);
        self.solve += 1;
        let oldest = self.solve.saturating_sub(KEPT_SOLVES);
        self.stacks.drop_before(oldest);
        self.ways.solve = self.solve;
        self.ways.by_ends.retain(|_, (_, last_used)| *last_used >= oldest);
    }

    /// [`Stack::transmission`] of a layered build.
    pub(super) fn transmission(&mut self, stack: &Stack, size_m: (f64, f64), conditions: &Conditions) -> Spectrum {
        self.keep_only_under(conditions);
        let sketch = sketch(&[stack.mass_per_area_kg_m2(), stack.thickness_m(), size_m.0, size_m.1]);
        let same = |(known, size): &(Stack, (f64, f64))| *size == size_m && known == stack;
        self.stacks.get_or(sketch, self.solve, same, || {
            ((stack.clone(), size_m), stack.transmission(size_m, &conditions.air, &conditions.bands))
        })
    }

    /// The known ways through an open air; none when something else stood in it before.
    pub(super) fn ways_through(&mut self, open_air: &OpenAir) -> &mut Ways {
        if self.open_air.as_ref() != Some(open_air) {
            self.open_air = Some(open_air.clone());
            self.ways.by_ends.clear();
        }
        &mut self.ways
    }

    /// How many results are kept.
    #[must_use]
    pub fn len(&self) -> usize {
        self.stacks.len() + self.ways.by_ends.len()
    }

    /// True when nothing is kept.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn keep_only_under(&mut self, conditions: &Conditions) {
        if self.conditions.as_ref() != Some(conditions) {
            *self = Self { conditions: Some(*conditions), solve: self.solve, ..Self::default() };
        }
    }
}

/// A few values of a question, as one number: equal for equal questions, seldom for others.
fn sketch(values: &[f64]) -> u64 {
    let mut hasher = DefaultHasher::new();
    for value in values {
        value.to_bits().hash(&mut hasher);
    }
    hasher.finish()
}

/// Answers by question. Questions of one sketch are told apart by comparing them whole.
#[derive(Debug, Clone)]
struct Kept<Q, A> {
    by_sketch: HashMap<u64, Vec<Answered<Q, A>>>,
}

#[derive(Debug, Clone)]
struct Answered<Q, A> {
    question: Q,
    answer: A,
    last_used: u64,
}

impl<Q, A> Default for Kept<Q, A> {
    fn default() -> Self {
        Self { by_sketch: HashMap::new() }
    }
}

impl<Q, A: Clone> Kept<Q, A> {
    fn get_or(&mut self, sketch: u64, now: u64, same: impl Fn(&Q) -> bool, make: impl FnOnce() -> (Q, A)) -> A {
        let all = self.by_sketch.entry(sketch).or_default();
        if let Some(known) = all.iter_mut().find(|known| same(&known.question)) {
            known.last_used = now;
            return known.answer.clone();
        }
        let (question, answer) = make();
        all.push(Answered { question, answer: answer.clone(), last_used: now });
        answer
    }

    fn drop_before(&mut self, oldest: u64) {
        self.by_sketch.retain(|_, all| {
            all.retain(|known| known.last_used >= oldest);
            !all.is_empty()
        });
    }

    fn len(&self) -> usize {
        self.by_sketch.values().map(Vec::len).sum()
    }
}
