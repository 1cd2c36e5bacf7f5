//! What changed of the building as a screen, and which known ways through the open air it leaves as they are.

use super::super::memory::Look;
use super::ring::Ring;
use super::screen::Prism;

/// What stands now or stood before, not both.
pub(in crate::solve) struct Changes(Vec<Change>);

/// A change of one outline.
struct Change {
    bottom_m: f64,
    top_m: f64,
    kind: Kind,
}

enum Kind {
    /// It stands there anew, or no more.
    Whole(Ring),
    /// Corners moved.
    Moved {
        outlines: [Ring; 2],
        /// Where the corners went along.
        corners: Vec<Ring>,
        /// What the sides swept over.
        strips: Vec<Ring>,
    },
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
    /// From some prisms to others.
    pub(super) fn between(before: &[Prism], now: &[Prism]) -> Self {
        let mut all = Vec::new();
        if before.len() == now.len() {
            for (old, new) in before.iter().zip(now).filter(|(old, new)| old != new) {
                if !moved(old, new, &mut all) {
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
    pub fn leave(&self, looks: &[Look], [low_m, high_m]: [f64; 2], blocked: bool) -> Holds {
        let mut holds = Holds::All;
        for change in &self.0 {
            let of_this = if change.bottom_m < high_m && change.top_m > low_m {
                change.kind.leaves(looks, blocked)
            } else if blocked && change.bottom_m >= high_m && change.kind.touches(&looks[0]) {
                // It lies above: only what goes over the top may go over it.
                Holds::Round
            } else {
                Holds::All
            };
            match of_this {
                Holds::Nothing => return Holds::Nothing,
                Holds::Round => holds = Holds::Round,
                Holds::All => {}
            }
        }
        holds
    }
}

impl Kind {
    /// Whether a straight piece meets anything that is not as it was.
    fn touches(&self, [a, b]: &Look) -> bool {
        match self {
            Self::Whole(ring) => !ring.is_passed_by(*a, *b),
            Self::Moved { strips, .. } => !strips.iter().all(|strip| strip.is_passed_by(*a, *b)),
        }
    }

    /// What of a way between its bottom and its top holds.
    ///
    /// A piece that no strip touches meets the same sides as before, at the same places. The ways round both sides ask only which outlines the pieces meet,
    /// not where; and corners that moved without crossing the string round them, or the line through both ends, were within it and still are.
    fn leaves(&self, looks: &[Look], blocked: bool) -> Holds {
        let Self::Moved { outlines: [old, new], corners, .. } = self else {
            return if looks.iter().any(|look| self.touches(look)) { Holds::Nothing } else { Holds::All };
        };
        let [a, b] = looks[0];
        let straight = if self.touches(&looks[0]) { Holds::Round } else { Holds::All };
        if !blocked {
            return if straight == Holds::All { Holds::All } else { Holds::Nothing };
        }
        let off = |corner: &Ring| corner.lies_off(a, b) && looks.iter().all(|[p, q]| corner.is_passed_by(*p, *q));
        if !corners.iter().all(off) {
            return Holds::Nothing;
        }
        let mut cuts = Vec::new();
        let met_alike =
            |[p, q]: &Look| old.chord(*p, *q, &mut cuts).is_some() == new.chord(*p, *q, &mut cuts).is_some();
        if looks.iter().all(met_alike) { straight } else { Holds::Nothing }
    }
}

fn whole(prism: &Prism, all: &mut Vec<Change>) {
    let (bottom_m, top_m) = (prism.bottom_m, prism.top_m);
    all.extend(prism.rings.iter().map(|ring| Change { bottom_m, top_m, kind: Kind::Whole(ring.clone()) }));
}

/// Adds what moved from one prism to another; false when the two are not alike enough to tell.
fn moved(old: &Prism, new: &Prism, all: &mut Vec<Change>) -> bool {
    let alike = (old.bottom_m, old.top_m) == (new.bottom_m, new.top_m)
        && old.rings.len() == new.rings.len()
        && old.rings.iter().zip(&new.rings).all(|(old, new)| old.points.len() == new.points.len());
    if !alike {
        return false;
    }
    let (bottom_m, top_m) = (new.bottom_m, new.top_m);
    for (old, new) in old.rings.iter().zip(&new.rings).filter(|(old, new)| old != new) {
        let pairs = old.points.iter().zip(&new.points).filter(|(old, new)| old != new);
        let corners = pairs.map(|(old, new)| Ring::new(vec![*old, *new])).collect();
        let kind = Kind::Moved { outlines: [old.clone(), new.clone()], corners, strips: old.strips_to(new) };
        all.push(Change { bottom_m, top_m, kind });
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(x_m: [f64; 2]) -> Prism {
        let [low, high] = x_m;
        let ring = Ring::new(vec![[low, 0.0], [high, 0.0], [high, 6.0], [low, 6.0]]);
        Prism { rings: vec![ring], bottom_m: f64::NEG_INFINITY, top_m: 3.0 }
    }

    /// The right wall of a room from x = 0 to 4 m moves by 2 cm.
    #[test]
    fn a_moved_wall_touches_what_passes_it() {
        let changes = Changes::between(&[room([0.0, 4.0])], &[room([0.0, 4.02])]);
        let heights_m = [1.0, 2.0];
        let holds = |looks: &[Look], blocked| changes.leave(looks, heights_m, blocked);
        // Through the room from front to back, round its left side: nothing that moved is near.
        let left =
            [[[1.0, -3.0], [1.0, 9.0]], [[1.0, -3.0], [0.0, 0.0]], [[0.0, 0.0], [0.0, 6.0]], [[0.0, 6.0], [1.0, 9.0]]];
        assert_eq!(holds(&left, true), Holds::All);
        // From side to side through the moved wall, still met, round the front's left corner only.
        let across = [[[-3.0, 3.0], [9.0, 3.5]], [[-3.0, 3.0], [-0.5, -0.5]], [[-0.5, -0.5], [9.0, 3.5]]];
        assert_eq!(holds(&across[..1], true), Holds::Round);
        // Free, past the wall by a hand's breadth, and through where it went.
        assert_eq!(holds(&[[[4.3, -3.0], [4.3, 9.0]]], false), Holds::All);
        assert_eq!(holds(&[[[4.01, -3.0], [4.01, 9.0]]], false), Holds::Nothing);
        // Round the corner that moved.
        let right =
            [[[3.0, -3.0], [3.0, 9.0]], [[3.0, -3.0], [4.0, 0.0]], [[4.0, 0.0], [4.0, 6.0]], [[4.0, 6.0], [3.0, 9.0]]];
        assert_eq!(holds(&right, true), Holds::Nothing);
        // Above the room, and a room that came to stand there.
        assert_eq!(changes.leave(&right, [4.0, 5.0], true), Holds::All);
        let come = Changes::between(&[], &[room([0.0, 4.0])]);
        assert_eq!(come.leave(&left, heights_m, true), Holds::Nothing);
    }
}
