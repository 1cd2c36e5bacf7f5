//! What changed of the building as a screen, and which known ways through the open air it leaves as they are.

use super::super::memory::Look;
use super::ring::Ring;
use super::screen::Prism;

/// The parts of the plan where something stands now or stood before, not both.
pub(in crate::solve) struct Changes(Vec<Change>);

struct Change {
    place: Ring,
    bottom_m: f64,
    top_m: f64,
    /// Only a side moved here: what stands round it stood there before.
    of_a_side: bool,
}

/// What of a known way is as it would be found anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::solve) enum Holds {
    /// All of it.
    All,
    /// The ways round both sides, but not what lies in the straight line or over it.
    Round,
    /// Nothing.
    Nothing,
}

impl Changes {
    /// From some prisms to others. Of prisms that differ but in where their corners are, only the strips that their sides swept over are changes.
    pub(super) fn between(before: &[Prism], now: &[Prism]) -> Self {
        let mut all = Vec::new();
        if before.len() == now.len() {
            for (old, new) in before.iter().zip(now).filter(|(old, new)| old != new) {
                if !swept(old, new, &mut all) {
                    whole(old, &mut all);
                    whole(new, &mut all);
                }
            }
        } else {
            before.iter().filter(|old| !now.contains(old)).for_each(|old| whole(old, &mut all));
            now.iter().filter(|new| !before.contains(new)).for_each(|new| whole(new, &mut all));
        }
        Self(all)
    }

    /// What holds of a way between two heights for which was looked along `looks`, the first of them straight from end to end. `blocked`: something stood in it.
    ///
    /// A way that no strip touches meets the same sides as before, at the same places; corners that moved without crossing the string round them, or the
    /// line through both ends, were within it and still are. So everything is found again to the last bit.
    pub fn leave(&self, looks: &[Look], [low_m, high_m]: [f64; 2], blocked: bool) -> Holds {
        let [a, b] = looks[0];
        let mut holds = Holds::All;
        for change in &self.0 {
            if change.bottom_m < high_m && change.top_m > low_m {
                let passed = |look: &Look| change.place.is_passed_by(look[0], look[1]);
                if !looks.iter().all(passed) || (blocked && change.of_a_side && !change.place.lies_off(a, b)) {
                    return Holds::Nothing;
                }
            } else if blocked && change.bottom_m >= high_m && !change.place.is_passed_by(a, b) {
                holds = Holds::Round;
            }
        }
        holds
    }
}

fn whole(prism: &Prism, all: &mut Vec<Change>) {
    let (bottom_m, top_m) = (prism.bottom_m, prism.top_m);
    all.extend(prism.rings.iter().map(|ring| Change { place: ring.clone(), bottom_m, top_m, of_a_side: false }));
}

/// Adds the strips that the sides of a prism swept over; false when the two are not alike enough to tell.
fn swept(old: &Prism, new: &Prism, all: &mut Vec<Change>) -> bool {
    let alike = (old.bottom_m, old.top_m) == (new.bottom_m, new.top_m)
        && old.rings.len() == new.rings.len()
        && old.rings.iter().zip(&new.rings).all(|(old, new)| old.points.len() == new.points.len());
    if !alike {
        return false;
    }
    let (bottom_m, top_m) = (new.bottom_m, new.top_m);
    for (old, new) in old.rings.iter().zip(&new.rings) {
        all.extend(old.strips_to(new).into_iter().map(|place| Change { place, bottom_m, top_m, of_a_side: true }));
    }
    true
}
