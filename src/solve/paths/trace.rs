//! How a string round something was found: which legs of shorter strings met which room.

use super::super::memory::Look;
use super::prism::Prism;
use super::sight::Sight;
use super::string::Point;

/// A corner of a string: one of a room, or an end. Small, for there are many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::solve) struct Spot {
    /// The room's place in the list of prisms; none for an end.
    prism: u32,
    corner: u16,
}

impl Spot {
    const NO_PRISM: u32 = u32::MAX;
    /// A room that no longer stands, or whose place is beyond all numbers.
    pub const GONE: u32 = u32::MAX - 1;

    /// The beginning, 0, or the end, 1.
    pub fn end(end: usize) -> Self {
        Self { prism: Self::NO_PRISM, corner: u16::from(end > 0) }
    }

    /// A corner of a prism's outline. Beyond numbers that any room has it is none, and never found again.
    pub fn corner(prism: usize, corner: usize) -> Self {
        Self { prism: number(prism), corner: u16::try_from(corner).unwrap_or(u16::MAX) }
    }

    fn is_of(self, prism: u32) -> bool {
        self.prism == prism
    }

    fn renumber(&mut self, places: &[u32]) {
        if self.prism != Self::NO_PRISM {
            self.prism = renumbered(self.prism, places);
        }
    }

    /// Where it is now; nothing when the room has no such corner any more.
    fn place(self, sight: &Sight, now: &[Prism]) -> Option<Point> {
        if self.prism == Self::NO_PRISM {
            return Some([sight.a, sight.b][usize::from(self.corner)]);
        }
        now.get(self.prism as usize)?.ring.points.get(usize::from(self.corner)).copied()
    }
}

/// A place in a list of prisms as a small number.
pub(super) fn number(place: usize) -> u32 {
    u32::try_from(place).map_or(Spot::GONE, |place| place.min(Spot::GONE))
}

/// Where a room is in the list now.
fn renumbered(place: u32, places: &[u32]) -> u32 {
    places.get(place as usize).copied().unwrap_or(Spot::GONE)
}

/// One room that a string goes round because it met it with a leg, when it was shorter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::solve) struct Step {
    /// From where to where the leg led.
    pub leg: [Spot; 2],
    /// The room, by its place in the list of prisms.
    meets: u32,
}

/// How a string round one side was found.
#[derive(Debug, Clone, Default, PartialEq)]
pub(in crate::solve) struct Trace {
    /// Where it runs.
    pub legs: Vec<Look>,
    /// What it goes round beside what stands in the straight way.
    pub steps: Vec<Step>,
}

impl Trace {
    /// Tells rooms by their places now.
    pub(super) fn renumber(&mut self, places: &[u32]) {
        for step in &mut self.steps {
            step.meets = renumbered(step.meets, places);
            step.leg.iter_mut().for_each(|spot| spot.renumber(places));
        }
    }
}

impl Step {
    /// A leg from one corner to another meets a room, by its place in the list of prisms.
    pub fn new(leg: [Spot; 2], meets: usize) -> Self {
        Self { leg, meets: number(meets) }
    }

    /// Whether it depends on a room.
    pub(super) fn goes_by(&self, prism: u32) -> bool {
        self.meets == prism || self.leg.iter().any(|spot| spot.is_of(prism))
    }

    /// Whether its leg meets its room, wherever both are now. A corner that is no more, since its room has fewer now, meets nothing.
    pub(super) fn is_still_taken(&self, sight: &Sight, now: &[Prism]) -> bool {
        let [p, q] = self.leg.map(|spot| spot.place(sight, now));
        let (Some(p), Some(q), Some(room)) = (p, q, now.get(self.meets as usize)) else { return false };
        room.ring.is_met(&[p, q], &mut Vec::new())
    }
}
