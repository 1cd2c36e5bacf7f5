//! Results kept from one building to the next, so that after an edit only what the edit touches is built anew.
//!
//! What is kept is found again by everything it was made from, compared value by value, never by a name.

use std::sync::Arc;

use super::fabric::{Fabric, Given};
use super::graph::Line;
use super::overlaid::{Over, Part};
use super::plan::{Outline, Outlines, Walled};
use super::stretches::{Level, Stretch};

/// A result no building has asked for during so many is dropped. Own choice: an undo some edits later still finds it.
const KEPT_BUILDINGS: u64 = 16;

/// Parts of earlier buildings, for whoever builds again and again: the window, a search, a batch.
///
/// Belongs to one thread at a time. What has not been used for some buildings is dropped, so that it stays small.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    pub(super) fabrics: Kept<Given, Fabric>,
    pub(super) geometry: Geometry,
}

/// What is costly and knows neither names nor constructions.
#[derive(Debug, Clone, Default)]
pub(super) struct Geometry {
    /// What the walls of a storey enclose.
    pub outlines: Kept<Vec<Line>, Outlines>,
    /// What the walls leave of one of their faces.
    pub cleared: Kept<Walled, Outline>,
    /// What a room stands on, with those of the storey below.
    pub floors: Kept<Over, Vec<Part>>,
    /// What no room covers of it, with those of the storey above.
    pub roofs: Kept<Over, Option<Part>>,
    /// Where walls and slabs meet between two storeys.
    pub stretches: Kept<Level, Vec<Stretch>>,
}

impl Memory {
    /// Begins a building: what has not been used for long is dropped.
    pub(super) fn begin(&mut self) {
        self.fabrics.begin();
        self.geometry.outlines.begin();
        self.geometry.cleared.begin();
        self.geometry.floors.begin();
        self.geometry.roofs.begin();
        self.geometry.stretches.begin();
    }

    /// How many results are kept.
    #[must_use]
    pub fn len(&self) -> usize {
        let Geometry { outlines, cleared, floors, roofs, stretches } = &self.geometry;
        let slabs = floors.all.len() + roofs.all.len();
        self.fabrics.all.len() + outlines.all.len() + cleared.all.len() + slabs + stretches.all.len()
    }

    /// True when nothing is kept.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// Some values of a question as one number: equal for equal questions, seldom for others.
pub(super) fn sketch(values: impl IntoIterator<Item = f64>) -> u64 {
    // Minus zero equals zero. 2⁶⁴ over the golden ratio, odd; round numbers have their bits at the top, so these come down first.
    values
        .into_iter()
        .map(|value| (value + 0.0).to_bits())
        .fold(0, |mixed: u64, bits| (mixed.rotate_left(29) ^ bits ^ (bits >> 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15))
}

/// Something asked of geometry.
pub(super) trait Question: PartialEq {
    /// Its [`sketch`].
    fn sketch(&self) -> u64;
}

impl Question for Vec<Line> {
    fn sketch(&self) -> u64 {
        sketch(self.iter().flat_map(|line| line.ends.into_iter().flatten().chain([line.half_m])))
    }
}

impl Question for Over {
    fn sketch(&self) -> u64 {
        let rooms = std::iter::once(&self.room).chain(self.others.iter().flatten());
        sketch(rooms.flat_map(|room| room.clear.iter().flatten().flatten().flatten().copied()))
    }
}

impl Question for Level {
    fn sketch(&self) -> u64 {
        let tracks = self.above.iter().chain(&self.below);
        sketch(tracks.flat_map(|track| track.line.into_iter().flatten().chain([track.half_m])))
    }
}

/// Answers with their questions. Those of one sketch are told apart by comparing them whole.
#[derive(Debug, Clone)]
pub(super) struct Kept<Q, A> {
    all: Vec<Answered<Q, A>>,
    /// Number of the building under way.
    building: u64,
}

#[derive(Debug, Clone)]
struct Answered<Q, A> {
    sketch: u64,
    question: Q,
    answer: Arc<A>,
    last_used: u64,
}

impl<Q, A> Default for Kept<Q, A> {
    fn default() -> Self {
        Self { all: vec![], building: 0 }
    }
}

impl<Q, A> Kept<Q, A> {
    fn begin(&mut self) {
        self.building += 1;
        let oldest = self.building.saturating_sub(KEPT_BUILDINGS);
        self.all.retain(|known| known.last_used >= oldest);
    }

    /// The answer to the question with this sketch that is the same.
    pub(super) fn find(&mut self, sketch: u64, same: impl Fn(&Q) -> bool) -> Option<Arc<A>> {
        let known = self.all.iter_mut().rev().find(|known| known.sketch == sketch && same(&known.question))?;
        known.last_used = self.building;
        Some(known.answer.clone())
    }

    /// The question asked for the first time last.
    pub(super) fn latest(&self) -> Option<&Q> {
        self.all.last().map(|known| &known.question)
    }

    pub(super) fn keep(&mut self, sketch: u64, question: Q, answer: A) -> Arc<A> {
        let answer = Arc::new(answer);
        self.all.push(Answered { sketch, question, answer: answer.clone(), last_used: self.building });
        answer
    }

    /// The answer known, or else what `make` says.
    pub(super) fn answer(&mut self, question: Q, make: impl FnOnce(&Q) -> A) -> Arc<A>
    where
        Q: Question,
    {
        let sketch = question.sketch();
        self.find(sketch, |known| *known == question).unwrap_or_else(|| {
            let answer = make(&question);
            self.keep(sketch, question, answer)
        })
    }
}
