//! Results kept from one solve to the next, so that after an edit only what the edit touches is computed anew.
//!
//! What is kept is found again by everything it was computed from, compared value by value, never by a name: a remembered result is the
//! same, to the last bit, as one computed anew, whatever was edited in between.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, DefaultHasher, Hash, Hasher};

use super::Conditions;
use super::low_frequency::RoomModes;
use super::paths::{OpenAir, Search};
use crate::acoustics::Spectrum;
use crate::acoustics::layers::Stack;
use crate::building::RoomSpace;

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
    modes: Kept<(RoomSpace, f64), RoomModes>,
    /// What the ways in `ways` lead through.
    open_air: Option<OpenAir>,
    ways: Ways,
}

/// One end of a way through the open air: middle, outward normal, size and reach along the wall of a face; ears have but a place.
pub(super) type Place = [f64; 9];

/// A straight piece of the plan along which was looked for what stands in the way.
pub(super) type Look = [[f64; 2]; 2];

/// Ways through one open air.
#[derive(Debug, Clone, Default)]
pub(super) struct Ways {
    /// From face to face or ears with all reflections: of use until anything in the open air changes.
    whole: ByBits<18, (Spectrum, u64)>,
    /// From end to end without reflections: of use until something else stands where was looked.
    direct: ByBits<12, Direct>,
    solve: u64,
    search: Room,
}

/// Room for a search to work in: a copy of a memory begins with none.
#[derive(Debug, Default)]
struct Room(Search);

impl Clone for Room {
    fn clone(&self) -> Self {
        Self::default()
    }
}

#[derive(Debug, Clone)]
struct Direct {
    passed: Spectrum,
    looks: Box<[Look]>,
    last_used: u64,
}

/// Results by some numbers, bit by bit.
type ByBits<const N: usize, V> = HashMap<[u64; N], V, BuildHasherDefault<BitHasher>>;

/// Mixes whole numbers quickly: the bits of coordinates, which nobody chooses so as to collide.
#[derive(Debug, Clone, Copy, Default)]
struct BitHasher(u64);

impl Hasher for BitHasher {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.write_u64(u64::from_le_bytes(word));
        }
    }

    fn write_u64(&mut self, word: u64) {
        // 2⁶⁴ over the golden ratio, odd; round numbers have their bits at the top, so these come down first.
        self.0 = (self.0.rotate_left(29) ^ word ^ (word >> 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }

    fn write_usize(&mut self, word: usize) {
        self.write_u64(word as u64);
    }
}

fn bits<const N: usize>(values: impl IntoIterator<Item = f64>) -> [u64; N] {
    let mut key = [0; N];
    for (bits, value) in key.iter_mut().zip(values) {
        *bits = value.to_bits();
    }
    key
}

impl Ways {
    /// What is known of all ways between these, or else what `make` says.
    pub(super) fn whole_or(&mut self, ends: [Place; 2], make: impl FnOnce(&mut Self) -> Spectrum) -> Spectrum {
        let key = bits(ends.into_iter().flatten());
        if let Some((passed, last_used)) = self.whole.get_mut(&key) {
            *last_used = self.solve;
            return *passed;
        }
        let passed = make(self);
        self.whole.insert(key, (passed, self.solve));
        passed
    }

    /// What is known of the way between two ends (place and outward normal of each), or else what `make` says, which tells where it looked.
    pub(super) fn direct_or(&mut self, ends: [[f64; 3]; 4], make: impl FnOnce(&mut Search) -> Spectrum) -> Spectrum {
        let key = bits(ends.into_iter().flatten());
        if let Some(known) = self.direct.get_mut(&key) {
            known.last_used = self.solve;
            return known.passed;
        }
        let search = &mut self.search.0;
        search.looks.clear();
        let passed = make(search);
        let looks = search.looks.as_slice().into();
        self.direct.insert(key, Direct { passed, looks, last_used: self.solve });
        passed
    }

    /// Room to search in.
    pub(super) fn search(&mut self) -> &mut Search {
        &mut self.search.0
    }

    fn drop_before(&mut self, oldest: u64) {
        self.whole.retain(|_, (_, last_used)| *last_used >= oldest);
        self.direct.retain(|_, known| known.last_used >= oldest);
    }

    /// Keeps what holds in another open air too: ways along which nothing that changed is to be seen.
    fn go_on_in(&mut self, next: &OpenAir, before: Option<&OpenAir>) {
        self.whole.clear();
        match before.and_then(|before| next.changes_since(before)) {
            Some(changes) => self.direct.retain(|_, known| known.looks.iter().all(|look| changes.are_out_of(look))),
            None => self.direct.clear(),
        }
    }
}

impl Memory {
    /// Begins a solve: what has not been used for long is dropped.
    pub(super) fn begin(&mut self, conditions: &Conditions) {
        self.keep_only_under(conditions);
        self.solve += 1;
        let oldest = self.solve.saturating_sub(KEPT_SOLVES);
        self.stacks.drop_before(oldest);
        self.modes.drop_before(oldest);
        self.ways.solve = self.solve;
        self.ways.drop_before(oldest);
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

    /// The modes of a room with some Schroeder frequency (Hz), or else what `make` says.
    pub(super) fn modes(
        &mut self,
        room: &RoomSpace,
        schroeder_hz: f64,
        conditions: &Conditions,
        make: impl FnOnce() -> RoomModes,
    ) -> RoomModes {
        self.keep_only_under(conditions);
        let sketch = sketch(&[room.volume_m3, room.perimeter_m, room.height_m, schroeder_hz]);
        let same = |(known, hz): &(RoomSpace, f64)| *hz == schroeder_hz && known == room;
        self.modes.get_or(sketch, self.solve, same, || ((room.clone(), schroeder_hz), make()))
    }

    /// The known ways through an open air.
    pub(super) fn ways_through(&mut self, open_air: &OpenAir) -> &mut Ways {
        if self.open_air.as_ref() != Some(open_air) {
            self.ways.go_on_in(open_air, self.open_air.as_ref());
            self.open_air = Some(open_air.clone());
        }
        &mut self.ways
    }

    /// How many results are kept.
    #[must_use]
    pub fn len(&self) -> usize {
        self.stacks.len() + self.modes.len() + self.ways.whole.len() + self.ways.direct.len()
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
