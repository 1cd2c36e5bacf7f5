//! What changed of the building as a screen, and which known ways through the open air it leaves as they are.
//!
//! A string round a house is found step by step: it goes round what stands in the straight way, meets further rooms, goes round these as well. It is the same
//! after a change when nothing that it passes changed (then it can be no longer), and each room that made it longer is met as before (then it can be no
//! shorter). So what is kept of a string is where it runs, and which of the shorter strings' legs met which room.

use std::sync::Arc;

use super::super::memory::Look;
use super::prism::Prism;
use super::ring::Ring;
use super::screen::Detours;
use super::sight::Sight;
use super::string::{Detour, Point3, is_within};
use super::trace::{Spot, Trace, number};

/// What of a known way is as it would be found anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::solve) struct Holds {
    /// Whether anything stands in the straight line, and the way over it.
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

/// A known way.
#[derive(Debug)]
pub(in crate::solve) struct Looked<'a> {
    /// From where to where.
    pub ends: [Point3; 2],
    /// The ways round what stands between; nothing where the view is free.
    pub ways: Option<&'a Detours>,
    /// How those round the sides were found.
    pub traces: &'a mut [Trace; 2],
}

/// What stands now or stood before, not both.
#[derive(Debug, Clone)]
pub(in crate::solve) struct Changes {
    all: Vec<Change>,
    now: Arc<[Prism]>,
    /// Where each of the prisms before stands in the list now, when any has another place.
    places: Option<Vec<u32>>,
}

/// A change of one prism.
#[derive(Debug, Clone)]
struct Change {
    /// Its place in the list now.
    at: u32,
    /// Bottom and top, m, before and now; nothing when it does not stand.
    heights_m: [Option<[f64; 2]>; 2],
    kind: Kind,
}

#[derive(Debug, Clone)]
enum Kind {
    /// Corners moved at the same heights.
    Moved(Box<Moved>),
    /// Anything else: the outlines before and now; nothing when it does not stand.
    Other([Option<Ring>; 2]),
}

#[derive(Debug, Clone)]
struct Moved {
    /// Before and now.
    outlines: [Ring; 2],
    /// Where the corners went along.
    corners: Vec<Ring>,
    /// What the sides swept over.
    strips: Vec<Ring>,
    /// What lies round all of that.
    round: Ring,
}

impl Changes {
    /// From some prisms to others.
    pub(super) fn between(before: &[Prism], now: &Arc<[Prism]>) -> Self {
        let stays = |at: usize| before.get(at).is_some_and(|old| now.get(at) == Some(old));
        let mut came: Vec<usize> = (0..now.len()).filter(|at| !stays(*at)).collect();
        let mut places: Vec<u32> = (0..before.len()).map(number).collect();
        let mut went = Vec::new();
        // Where rooms come or go, the others are the same at other places.
        for at in (0..before.len()).filter(|at| !stays(*at)) {
            match came.iter().position(|new| now[*new] == before[at]) {
                Some(found) => places[at] = number(came.remove(found)),
                None => went.push(at),
            }
        }
        // As many came as went: each is taken for one that changed.
        let paired = if came.len() == went.len() { came.len() } else { 0 };
        for (old, new) in went.iter().zip(&came).take(paired) {
            places[*old] = number(*new);
        }
        went[paired..].iter().for_each(|old| places[*old] = Spot::GONE);
        let changed = went
            .iter()
            .zip(&came)
            .take(paired)
            .map(|(old, new)| Change::of(number(*new), Some(&before[*old]), Some(&now[*new])));
        let gone = went[paired..].iter().map(|old| Change::of(Spot::GONE, Some(&before[*old]), None));
        let come = came[paired..].iter().map(|new| Change::of(number(*new), None, Some(&now[*new])));
        let all = changed.chain(gone).chain(come).collect();
        let renumbered = places.iter().enumerate().any(|(old, new)| number(old) != *new);
        Self { all, now: now.clone(), places: renumbered.then_some(places) }
    }

    /// What holds of a way, whose traces tell rooms by their places now from here on.
    pub fn leave(&self, looked: Looked<'_>) -> Holds {
        let sight = Sight::new(looked.ends[0], looked.ends[1]);
        let Some(ways) = looked.ways else {
            let free = self
                .all
                .iter()
                .all(|change| !change.is_level(&sight).contains(&true) || !change.touches(&sight.look()));
            return if free { Holds::ALL } else { Holds::NOTHING };
        };
        let traces = looked.traces;
        if let Some(places) = &self.places {
            traces.iter_mut().for_each(|trace| trace.renumber(places));
        }
        let mut holds = Holds::ALL;
        for change in &self.all {
            holds = holds.and(change.leaves(&sight, ways, traces, &self.now));
            if holds == Holds::NOTHING {
                break;
            }
        }
        holds
    }
}

impl Change {
    fn of(at: u32, before: Option<&Prism>, now: Option<&Prism>) -> Self {
        let heights_m = [before, now].map(|prism| prism.map(|prism| [prism.bottom_m, prism.top_m]));
        let outlines = [before, now].map(|prism| prism.map(|prism| prism.ring.clone()));
        let kind = match outlines {
            [Some(old), Some(new)] if heights_m[0] == heights_m[1] => Moved::between(old, new),
            outlines => Kind::Other(outlines),
        };
        Self { at, heights_m, kind }
    }

    /// Whether some of it lay, and lies, between the heights of both ends.
    fn is_level(&self, sight: &Sight) -> [bool; 2] {
        self.heights_m.map(|heights| heights.is_some_and(|[bottom_m, top_m]| sight.is_level_with(bottom_m, top_m)))
    }

    fn outlines(&self) -> [Option<&Ring>; 2] {
        match &self.kind {
            Kind::Moved(moved) => moved.outlines.each_ref().map(Some),
            Kind::Other(outlines) => outlines.each_ref().map(Option::as_ref),
        }
    }

    /// Whether a straight piece meets anything that is not as it was.
    fn touches(&self, look: &Look) -> bool {
        match &self.kind {
            Kind::Moved(moved) => moved.touches(look),
            Kind::Other(outlines) => outlines.iter().flatten().any(|ring| !ring.is_passed_by(look[0], look[1])),
        }
    }

    /// What holds of a way round something.
    fn leaves(&self, sight: &Sight, ways: &Detours, traces: &[Trace; 2], now: &[Prism]) -> Holds {
        let level = self.is_level(sight);
        // What lies above hides nothing, but what goes over the top may go over it.
        let above = self.heights_m.map(|heights| heights.is_some_and(|[bottom_m, _]| bottom_m >= sight.high_m));
        if !level.contains(&true) && !above.contains(&true) {
            return Holds::ALL;
        }
        let crossed =
            if self.touches(&sight.look()) { Crossed::by(self, sight, ways.over.as_ref()) } else { Crossed::NOT };
        let sides = match &self.kind {
            _ if level == [false; 2] => [true; 2],
            Kind::Moved(moved) => moved.leaves(sight, crossed.alike, traces, self.at, now),
            Kind::Other(outlines) if level[0] != level[1] || outlines[0] != outlines[1] => [0, 1].map(|side| {
                let trace = &traces[side];
                let was_met = level[0] && trace.steps.iter().any(|step| step.goes_by(self.at));
                let passes = |ring: &Ring| trace.legs.iter().all(|[p, q]| ring.is_passed_by(*p, *q));
                !crossed.at_all && !was_met && (!level[1] || outlines[1].as_ref().is_none_or(passes))
            }),
            Kind::Other(_) => [true; 2],
        };
        Holds { straight: crossed.under, sides }
    }
}

/// How the straight way crosses what changed.
struct Crossed {
    /// Whether it does.
    at_all: bool,
    /// Whether it met both the old and the new, or neither.
    alike: bool,
    /// Whether that stands in it as much as before, and lay and lies well under the way over the top.
    under: bool,
}

impl Crossed {
    /// Nothing of it is near.
    const NOT: Self = Self { at_all: false, alike: true, under: true };

    fn by(change: &Change, sight: &Sight, over: Option<&Detour>) -> Self {
        let (mut cuts, mut met, mut stands, mut under) = (Vec::new(), [false; 2], [false; 2], over.is_some());
        for when in 0..2 {
            let Some([bottom_m, top_m]) = change.heights_m[when] else { continue };
            let chord = change.outlines()[when].and_then(|ring| ring.chord(sight.a, sight.b, &mut cuts));
            let Some((enters, leaves)) = chord else { continue };
            met[when] = true;
            stands[when] = sight.meets(bottom_m, top_m, enters, leaves);
            // What lies below both ends is not gone over.
            let counts = sight.is_level_with(bottom_m, top_m) || bottom_m >= sight.high_m;
            let passes = |part: &f64| over.is_some_and(|over| sight.passes_over(over, *part, top_m));
            under = under && (!counts || [enters, leaves].iter().all(passes));
        }
        Self { at_all: true, alike: met[0] == met[1], under: under && stands[0] == stands[1] }
    }
}

impl Moved {
    /// From an outline to another at the same heights, of as many corners.
    fn between(old: Ring, new: Ring) -> Kind {
        if old.points.len() != new.points.len() {
            return Kind::Other([Some(old), Some(new)]);
        }
        let pairs = old.points.iter().zip(&new.points).filter(|(old, new)| old != new);
        let corners = pairs.map(|(old, new)| Ring::new(vec![*old, *new])).collect();
        let strips = old.strips_to(&new);
        let round = Ring::new(strips.iter().flat_map(|strip| &strip.points).copied().collect());
        Kind::Moved(Box::new(Self { outlines: [old, new], corners, strips, round }))
    }

    fn touches(&self, [a, b]: &Look) -> bool {
        !self.round.is_far_from(*a, *b) && !self.strips.iter().all(|strip| strip.is_passed_by(*a, *b))
    }

    /// Whether both outlines meet a straight piece, or neither.
    fn is_met_alike(&self, look: &Look) -> bool {
        let mut cuts = Vec::new();
        let [old, new] = &self.outlines;
        old.is_met(look, &mut cuts) == new.is_met(look, &mut cuts)
    }

    /// Which of the ways round both sides hold.
    ///
    /// A piece that no strip touches meets the same sides as before. Corners that moved without crossing a string, or the line through both ends, lay within
    /// the string and still do.
    fn leaves(&self, sight: &Sight, alike: bool, traces: &[Trace; 2], at: u32, now: &[Prism]) -> [bool; 2] {
        // What stands in the straight way is gone round on both sides.
        if !alike || !self.corners.iter().all(|corner| corner.lies_off(sight.a, sight.b)) {
            return [false; 2];
        }
        // A corner may move along a leg, as that of a row of rooms does whose front is in one line.
        let stays = |corner: &Ring, leg: &Look| {
            corner.is_passed_by(leg[0], leg[1]) || corner.points.iter().all(|point| is_within(leg, *point))
        };
        let passes = |leg: &Look| {
            self.round.is_far_from(leg[0], leg[1])
                || (self.corners.iter().all(|corner| stays(corner, leg))
                    && (!self.touches(leg) || self.is_met_alike(leg)))
        };
        [0, 1].map(|side: usize| {
            let Trace { legs, steps } = &traces[side];
            legs.iter().all(passes)
                && steps.iter().filter(|step| step.goes_by(at)).all(|step| step.is_still_taken(sight, now))
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::prism::{by_heights, standing};
    use super::super::screen::{Screens, Search};
    use super::*;

    fn room(x_m: [f64; 2]) -> Prism {
        let [low, high] = x_m;
        let ring = Ring::new(vec![[low, 0.0], [high, 0.0], [high, 6.0], [low, 6.0]]);
        Prism { ring, bottom_m: f64::NEG_INFINITY, top_m: 3.0 }
    }

    /// The right wall of a room from x = 0 to 4 m moves by 2 cm.
    #[test]
    fn a_moved_wall_touches_what_passes_it() {
        let now = Arc::new([room([0.0, 4.02])]) as Arc<[Prism]>;
        let before = [room([0.0, 4.0])];
        let changes = Changes::between(&before, &now);
        let heights_m = [1.0, 2.0];
        let leave =
            |changes: &Changes, heights_m: [f64; 2], [a, b]: Look, ways: Option<&Detours>, legs: [&[Look]; 2]| {
                let ends = [[a[0], a[1], heights_m[0]], [b[0], b[1], heights_m[1]]];
                let mut traces = legs.map(|legs| Trace { legs: legs.to_vec(), steps: Vec::new() });
                changes.leave(Looked { ends, ways, traces: &mut traces })
            };
        let round = Detours { over: None, round: [None; 2] };
        let holds = |straight, left, right| leave(&changes, heights_m, straight, Some(&round), [left, right]);
        // Through the room from front to back, round its left side: nothing that moved is near. Round its right side: the corner moved.
        let left = [[[1.0, -3.0], [0.0, 0.0]], [[0.0, 0.0], [0.0, 6.0]], [[0.0, 6.0], [1.0, 9.0]]];
        let right = [[[1.0, -3.0], [4.0, 0.0]], [[4.0, 0.0], [4.0, 6.0]], [[4.0, 6.0], [1.0, 9.0]]];
        let through = [[1.0, -3.0], [1.0, 9.0]];
        assert_eq!(holds(through, &left, &right), Holds { straight: true, sides: [true, false] });
        // From side to side through the moved wall, still met, round the front's left corner only.
        let across = [[[-3.0, 3.0], [-0.5, -0.5]], [[-0.5, -0.5], [9.0, 3.5]]];
        assert_eq!(holds([[-3.0, 3.0], [9.0, 3.5]], &across, &[]), Holds { straight: false, sides: [true; 2] });
        // Free, past the wall by a hand's breadth, and through where it went.
        let free = |x_m: f64| leave(&changes, heights_m, [[x_m, -3.0], [x_m, 9.0]], None, [&[], &[]]);
        assert_eq!([free(4.3), free(4.01)], [Holds::ALL, Holds::NOTHING]);
        // Above the room, and a room that came to stand there.
        assert_eq!(leave(&changes, [4.0, 5.0], through, Some(&round), [&left, &right]), Holds::ALL);
        let now = Arc::new([room([0.0, 4.0])]) as Arc<[Prism]>;
        let come = Changes::between(&[], &now);
        assert_eq!(leave(&come, heights_m, through, Some(&round), [&left, &right]), Holds::NOTHING);
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

    /// Each room by itself, or those of a storey as the houses they are.
    fn screens(rooms: &[(Vec<[f64; 2]>, [f64; 2])], as_houses: bool) -> Screens {
        if !as_houses {
            let prisms =
                rooms.iter().flat_map(|(outline, heights_m)| standing(std::slice::from_ref(outline), *heights_m));
            return Screens::from(prisms.collect::<Vec<_>>());
        }
        let storeys = by_heights(rooms.iter().map(|(outline, heights_m)| (*heights_m, vec![outline.clone()])));
        let prisms = storeys.iter().flat_map(|(heights_m, outlines)| standing(outlines, *heights_m));
        Screens::from(prisms.collect::<Vec<_>>())
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

        /// Whatever is changed of a block of rooms: what is said to hold of a way is what is found anew.
        #[test]
        fn what_holds_is_what_is_found_anew(
            as_houses in any::<bool>(),
            edits in prop::collection::vec((0usize..8, any::<prop::sample::Index>(), 0usize..4, [-0.9..0.9, -0.9..0.9]), 1..4),
            ends in prop::collection::vec(([-3.0..24.0, -3.0..13.0, 0.5..6.0], [-3.0..24.0, -3.0..13.0, 0.5..6.0]), 60),
        ) {
            let drawn = block();
            let mut edited = drawn.clone();
            for (kind, which, corner, by_m) in edits {
                let which = which.index(edited.len());
                let (mut outline, mut heights_m) = edited[which].clone();
                let corner = corner % outline.len();
                let [x, y] = outline[corner];
                match (kind, corner) {
                    (0, _) => {
                        edited.remove(which);
                        continue;
                    }
                    (1, _) => heights_m[1] += by_m[0],
                    (2, 0) => outline.insert(1, [x + 2.0 + by_m[0], y - f64::abs(by_m[1])]),
                    (2, 1) if outline.len() > 3 => drop(outline.remove(1)),
                    (2, _) => edited.push((outline.iter().map(|p| [p[0] + 9.0 * by_m[0], p[1] + 9.0]).collect(), heights_m)),
                    _ => outline[corner] = [x + by_m[0], y + by_m[1]],
                }
                edited[which] = (outline, heights_m);
            }
            let (before, now) = (screens(&drawn, as_houses), screens(&edited, as_houses));
            let changes = now.changes_since(&before);
            for (from, to) in ends {
                let mut search = Search::default();
                let old = before.between(from, to, &mut search, None);
                let new = now.between(from, to, &mut Search::default(), None);
                let looked = Looked { ends: [from, to], ways: old.as_ref(), traces: &mut search.traces };
                let holds = changes.leave(looked);
                if holds == Holds::ALL {
                    prop_assert_eq!(old, new);
                }
                if let (Some(old), Some(new)) = (old, new) {
                    prop_assert!(!holds.straight || old.over == new.over);
                    // An end may have come to stand over a roof, or no longer: then there was none, or is none, and the next line tells.
                    for side in 0..2 {
                        if let (true, Some(old), Some(new)) = (holds.sides[side], old.round[side], new.round[side]) {
                            prop_assert_eq!(old, new);
                        }
                    }
                    // What holds is taken over, and the rest is found as it is.
                    prop_assert_eq!(now.between(from, to, &mut Search::default(), Some((&old, holds))), Some(new));
                }
            }
        }
    }
}
