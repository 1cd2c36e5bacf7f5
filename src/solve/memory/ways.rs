//! Ways through the open air, kept as long as nothing they depend on changes.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::hash::{BuildHasherDefault, Hash, Hasher};
use std::sync::Arc;

use super::super::paths::{Changes, Detours, Holds, Looked, OpenAir, Search, Trace};
use crate::acoustics::Spectrum;

/// One end of a way through the open air: middle, outward normal, size and reach along the wall of a face; ears have but a place.
pub(in crate::solve) type Place = [f64; 9];

/// The number of a place: quicker to find than all that tells one from another.
#[derive(Debug, Clone, Copy)]
pub(in crate::solve) struct PlaceNumber(u64);

/// A straight piece of the plan along which was looked for what stands in the way.
pub(in crate::solve) type Look = [[f64; 2]; 2];

/// After how many solves ways unused for long are looked for. Own choice.
const DROPPED_EVERY: u64 = 8;
/// So many changes of what stands in the open air are kept at most for ways that were not asked for since. Own choice.
const MOST_CHANGES: usize = 16;

/// Ways through one open air.
#[derive(Debug, Clone, Default)]
pub(in crate::solve) struct Ways {
    /// The numbers of places.
    places: ByBits<9, (u64, u64)>,
    next_number: u64,
    /// From face to face or ears with all reflections, by their numbers: of use until anything in the open air changes.
    whole: ByBits<2, (Spectrum, u64)>,
    /// From end to end without reflections: of use until something else stands where was looked.
    direct: ByBits<12, Box<Direct>>,
    /// What changed of late, one after the other. What a way is still worth is found out when it is asked for: many never are.
    changes: Vec<Arc<Changes>>,
    /// How many changes there were before these.
    forgotten: usize,
    /// How many times the ground changed by itself.
    paved: usize,
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

/// What was found between two ends.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::solve) struct Found {
    /// What gets through.
    pub passed: Spectrum,
    /// The ways round what stands between; nothing where the view is free.
    pub ways: Option<Detours>,
    /// What gets by each of them.
    pub by: [Spectrum; 3],
    /// What ground and air leave on the way round something, once it was asked for.
    pub left: Option<(Spectrum, Spectrum)>,
}

#[derive(Debug, Clone)]
struct Direct {
    found: Found,
    /// How the ways round both sides were found.
    traces: [Trace; 2],
    /// After how many changes it was last looked at.
    seen: usize,
    /// Over which ground, by its number.
    paved: usize,
    last_used: u64,
}

/// Results by some numbers of two ends, bit by bit.
type ByBits<const N: usize, V> = HashMap<Key<N>, V, BuildHasherDefault<BitHasher>>;

/// The bits of the numbers of two ends, each of which begins with its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Key<const N: usize>([u64; N]);

impl<const N: usize> Hash for Key<N> {
    /// By the first words of each half, which are places for two ends: few ends share one.
    fn hash<H: Hasher>(&self, state: &mut H) {
        for end in self.0.chunks_exact(N / 2) {
            end.iter().take(3).for_each(|word| state.write_u64(*word));
        }
    }
}

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

fn bits<const N: usize>(values: impl IntoIterator<Item = f64>) -> Key<N> {
    let mut key = [0; N];
    for (bits, value) in key.iter_mut().zip(values) {
        *bits = value.to_bits();
    }
    Key(key)
}

impl Ways {
    /// Begins a solve: what was not used since `oldest` is dropped.
    pub(super) fn begin(&mut self, solve: u64, oldest: u64) {
        self.solve = solve;
        // There are many, so that they are gone through but now and then.
        if solve.is_multiple_of(DROPPED_EVERY) {
            self.places.retain(|_, (_, last_used)| *last_used >= oldest);
            self.whole.retain(|_, (_, last_used)| *last_used >= oldest);
            self.direct.retain(|_, known| known.last_used >= oldest);
        }
    }

    /// How many are kept.
    pub(super) fn len(&self) -> usize {
        self.whole.len() + self.direct.len()
    }

    /// The number of a place, the same whenever it is asked for.
    pub(in crate::solve) fn number(&mut self, place: Place) -> PlaceNumber {
        let next = self.next_number;
        let (number, last_used) = self.places.entry(bits(place)).or_insert((next, 0));
        *last_used = self.solve;
        self.next_number = next.max(*number + 1);
        PlaceNumber(*number)
    }

    /// What is known of all ways between two places, or else what `make` says.
    pub(in crate::solve) fn whole_or(
        &mut self,
        [from, to]: [PlaceNumber; 2],
        make: impl FnOnce(&mut Self) -> Spectrum,
    ) -> Spectrum {
        let key = Key([from.0, to.0]);
        if let Some((passed, last_used)) = self.whole.get_mut(&key) {
            *last_used = self.solve;
            return *passed;
        }
        let passed = make(self);
        self.whole.insert(key, (passed, self.solve));
        passed
    }

    /// What is known of the way between two ends (place and outward normal of each). What is not, or no longer, is looked for by `look`, which is given what
    /// was found before and what holds of it.
    pub(in crate::solve) fn direct_or(
        &mut self,
        ends: [[f64; 3]; 4],
        look: impl FnOnce(&mut Search, &mut Found, Option<Holds>),
    ) -> Spectrum {
        let key = bits(ends.iter().flatten().copied());
        let search = &mut self.search.0;
        let (now, paved) = (self.forgotten + self.changes.len(), self.paved);
        match self.direct.entry(key) {
            Entry::Occupied(known) => {
                let known = known.into_mut();
                known.last_used = self.solve;
                let holds = known.holds(&ends, &self.changes[known.seen - self.forgotten..]);
                known.seen = now;
                let over_same_ground = std::mem::replace(&mut known.paved, paved) == paved;
                if !over_same_ground {
                    known.found.left = None;
                }
                if holds != Holds::ALL || !over_same_ground {
                    look(search, &mut known.found, Some(holds));
                    for side in (0..2).filter(|side| !holds.sides[*side]) {
                        known.traces[side].clone_from(&search.traces[side]);
                    }
                }
                known.found.passed
            }
            Entry::Vacant(place) => {
                // Put in its place first: it is long, and not moved there for it.
                let found = Found { passed: Spectrum::ZERO, ways: None, by: [Spectrum::ZERO; 3], left: None };
                let new = Direct { found, traces: Default::default(), seen: now, paved, last_used: self.solve };
                let new = place.insert(Box::new(new));
                look(search, &mut new.found, None);
                if new.found.ways.is_some() {
                    new.traces.clone_from(&search.traces);
                }
                new.found.passed
            }
        }
    }

    /// Room to search in.
    pub(in crate::solve) fn search(&mut self) -> &mut Search {
        &mut self.search.0
    }

    /// Goes on in another open air: of use is still what leads along nothing that changed.
    pub(super) fn go_on_in(&mut self, next: &OpenAir, before: Option<&OpenAir>) {
        self.whole.clear();
        match before.and_then(|before| next.changes_since(before)) {
            Some(changes) => self.changes.push(Arc::new(changes)),
            None if before.is_some_and(|before| next.differs_in_ground_alone(before)) => self.paved += 1,
            None => self.direct.clear(),
        }
        if self.changes.len() > MOST_CHANGES {
            let oldest = self.changes.len() / 2;
            self.forgotten += oldest;
            self.changes.drain(..oldest);
            self.direct.retain(|_, known| known.seen >= self.forgotten);
        }
    }
}

impl Direct {
    /// What of it holds after some changes.
    fn holds(&mut self, [from, _, to, _]: &[[f64; 3]; 4], changes: &[Arc<Changes>]) -> Holds {
        let (ways, traces) = (self.found.ways.as_ref(), &mut self.traces);
        let each = changes.iter().map(|changes| changes.leave(Looked { ends: [*from, *to], ways, traces }));
        each.fold(Holds::ALL, Holds::and)
    }
}
