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
        /// What lies round all of that.
        round: Box<Ring>,
    },
}

/// What of a known way is as it would be found anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::solve) struct Holds {
    /// What stands in the straight line, and the way over it.
    pub straight: bool,
    /// The ways round both sides.
    pub sides: [bool; 2],
}

impl Holds {
    /// All of it.
    pub const ALL: Self = Self { straight: true, sides: [true; 2] };
    /// Nothing.
    pub const NOTHING: Self = Self { straight: false, sides: [false; 2] };

    /// What holds of both.
    pub fn and(self, other: Self) -> Self {
        let sides = [0, 1].map(|side| self.sides[side] && other.sides[side]);
        Self { straight: self.straight && other.straight, sides }
    }
}

/// Where was looked for what stands between two ends.
#[derive(Debug, Clone, Copy)]
pub(in crate::solve) struct Looked<'a> {
    /// Straight from end to end.
    pub straight: Look,
    /// The lowest and the highest of both ends, m.
    pub heights_m: [f64; 2],
    /// True when something stood between them.
    pub blocked: bool,
    /// Along the strings round both sides.
    pub legs: [&'a [Look]; 2],
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

    /// What holds of a way.
    pub fn leave(&self, looked: &Looked<'_>) -> Holds {
        let [low_m, high_m] = looked.heights_m;
        let mut holds = Holds::ALL;
        for change in &self.0 {
            if change.bottom_m < high_m && change.top_m > low_m {
                holds = holds.and(change.kind.leaves(looked));
            } else if looked.blocked && change.bottom_m >= high_m && change.kind.touches(&looked.straight) {
                // It lies above: only what goes over the top may go over it.
                holds.straight = false;
            }
            if holds == Holds::NOTHING {
                break;
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
            Self::Moved { strips, round, .. } => {
                !round.is_far_from(*a, *b) && !strips.iter().all(|strip| strip.is_passed_by(*a, *b))
            }
        }
    }

    /// What of a way between its bottom and its top holds.
    ///
    /// A piece that no strip touches meets the same sides as before, at the same places. The ways round the sides ask only which outlines the pieces meet,
    /// not where; and corners that moved without crossing any string, or the line through both ends, were within it and still are.
    fn leaves(&self, looked: &Looked<'_>) -> Holds {
        let straight = !self.touches(&looked.straight);
        if !looked.blocked {
            return if straight { Holds::ALL } else { Holds::NOTHING };
        }
        let Self::Moved { outlines: [old, new], corners, round, .. } = self else {
            let sides = looked.legs.map(|legs| !legs.iter().any(|leg| self.touches(leg)));
            return if straight { Holds { straight, sides } } else { Holds::NOTHING };
        };
        let mut cuts = Vec::new();
        let mut met_alike =
            |[p, q]: &Look| old.chord(*p, *q, &mut cuts).is_some() == new.chord(*p, *q, &mut cuts).is_some();
        // What stands in the straight line is gone round on both sides.
        if !straight && !met_alike(&looked.straight) {
            return Holds::NOTHING;
        }
        let [a, b] = looked.straight;
        if !corners.iter().all(|corner| corner.lies_off(a, b)) {
            return Holds { straight, sides: [false; 2] };
        }
        let mut holds = |leg: &Look| {
            let [p, q] = leg;
            round.is_far_from(*p, *q)
                || (corners.iter().all(|corner| corner.is_passed_by(*p, *q)) && (!self.touches(leg) || met_alike(leg)))
        };
        Holds { straight, sides: looked.legs.map(|legs| legs.iter().all(&mut holds)) }
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
        let strips = old.strips_to(new);
        let round = Box::new(Ring::new(strips.iter().flat_map(|strip| &strip.points).copied().collect()));
        let kind = Kind::Moved { outlines: [old.clone(), new.clone()], corners, strips, round };
        all.push(Change { bottom_m, top_m, kind });
    }
    true
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::screen::{Screens, Search, grown};
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
        let looked =
            |straight, left, right, blocked| Looked { straight, heights_m: [1.0, 2.0], blocked, legs: [left, right] };
        let holds = |straight, left, right| changes.leave(&looked(straight, left, right, true));
        // Through the room from front to back, round its left side: nothing that moved is near. Round its right side: the corner moved.
        let left = [[[1.0, -3.0], [0.0, 0.0]], [[0.0, 0.0], [0.0, 6.0]], [[0.0, 6.0], [1.0, 9.0]]];
        let right = [[[1.0, -3.0], [4.0, 0.0]], [[4.0, 0.0], [4.0, 6.0]], [[4.0, 6.0], [1.0, 9.0]]];
        let through = [[1.0, -3.0], [1.0, 9.0]];
        assert_eq!(holds(through, &left, &right), Holds { straight: true, sides: [true, false] });
        // From side to side through the moved wall, still met, round the front's left corner only.
        let across = [[[-3.0, 3.0], [-0.5, -0.5]], [[-0.5, -0.5], [9.0, 3.5]]];
        let holds_across = Holds { straight: false, sides: [true; 2] };
        assert_eq!(holds([[-3.0, 3.0], [9.0, 3.5]], &across, &[]), holds_across);
        // Free, past the wall by a hand's breadth, and through where it went.
        assert_eq!(changes.leave(&looked([[4.3, -3.0], [4.3, 9.0]], &[], &[], false)), Holds::ALL);
        assert_eq!(changes.leave(&looked([[4.01, -3.0], [4.01, 9.0]], &[], &[], false)), Holds::NOTHING);
        // Above the room, and a room that came to stand there.
        let above = Looked { heights_m: [4.0, 5.0], ..looked(through, &left, &right, true) };
        assert_eq!(changes.leave(&above), Holds::ALL);
        let come = Changes::between(&[], &[room([0.0, 4.0])]);
        assert_eq!(come.leave(&looked(through, &left, &right, true)), Holds::NOTHING);
    }

    /// Rooms in a block and one apart, of two storeys: each four corners, the lowest and highest of it.
    fn block() -> Vec<(Vec<[f64; 2]>, [f64; 2])> {
        let mut rooms = Vec::new();
        for (x, y) in [(0, 0), (1, 0), (2, 0), (0, 1), (2, 1), (4, 0)] {
            let (left, low) = (4.2 * f64::from(x), 5.2 * f64::from(y));
            let outline = vec![[left, low], [left + 4.0, low], [left + 4.0, low + 5.0], [left, low + 5.0]];
            rooms.push((outline.clone(), [f64::NEG_INFINITY, 2.6]));
            rooms.push((outline, [2.2, 5.4]));
        }
        rooms
    }

    fn screens(rooms: &[(Vec<[f64; 2]>, [f64; 2])]) -> Screens {
        let prisms = rooms.iter().map(|(outline, [bottom_m, top_m])| Prism {
            rings: vec![Ring::new(grown(outline))],
            bottom_m: *bottom_m,
            top_m: *top_m,
        });
        Screens(prisms.collect())
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

        /// Whatever is changed of a block of rooms: what is said to hold of a way is what is found anew.
        #[test]
        fn what_holds_is_what_is_found_anew(
            edits in prop::collection::vec((0usize..8, any::<prop::sample::Index>(), 0usize..4, [-0.9..0.9, -0.9..0.9]), 1..4),
            ends in prop::collection::vec(([-3.0..24.0, -3.0..13.0, 0.5..6.0], [-3.0..24.0, -3.0..13.0, 0.5..6.0]), 60),
        ) {
            let drawn = block();
            let mut edited = drawn.clone();
            for (kind, which, corner, by_m) in edits {
                let which = which.index(edited.len());
                match kind {
                    0 => drop(edited.remove(which)),
                    1 => edited[which].1[1] += by_m[0],
                    2 => edited.push((edited[which].0.iter().map(|p| [p[0] + 9.0 * by_m[0], p[1] + 9.0]).collect(), edited[which].1)),
                    _ => edited[which].0[corner] = [0, 1].map(|axis| edited[which].0[corner][axis] + by_m[axis]),
                }
            }
            let (before, now) = (screens(&drawn), screens(&edited));
            let changes = now.changes_since(&before);
            for (from, to) in ends {
                let mut search = Search::default();
                let old = before.between(from, to, &mut search, None);
                let new = now.between(from, to, &mut Search::default(), None);
                let holds = changes.leave(&Looked {
                    straight: [[from[0], from[1]], [to[0], to[1]]],
                    heights_m: [from[2].min(to[2]), from[2].max(to[2])],
                    blocked: old.is_some(),
                    legs: [&search.legs[0], &search.legs[1]],
                });
                if holds == Holds::ALL {
                    prop_assert_eq!(old, new);
                }
                if let (Some(old), Some(new)) = (old, new) {
                    prop_assert!(!holds.straight || old.over == new.over);
                    prop_assert!((0..2).all(|side| !holds.sides[side] || old.round[side] == new.round[side]));
                    // What holds is taken over, and the rest is found as it is.
                    prop_assert_eq!(now.between(from, to, &mut Search::default(), Some((old, holds))), Some(new));
                }
            }
        }
    }
}
