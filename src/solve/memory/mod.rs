//! Results kept from one solve to the next, so that after an edit only what the edit touches is computed anew.
//!
//! What is kept is found again by everything it was computed from, compared value by value, never by a name: a remembered result is the
//! same, to the last bit, as one computed anew, whatever was edited in between.

mod elements;

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use super::Conditions;
use super::construction::laboratory_size_m;
use super::low_frequency::RoomModes;
use crate::acoustics::layers::{Stack, Thirds};
use crate::acoustics::slit::{Position, Slit};
use crate::acoustics::{Air, Spectrum};
use crate::building::RoomSpace;
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::scene::Scene;

use elements::Elements;

/// A result no solve has asked for during so many is dropped. Own choice: an undo some edits later still finds it.
const KEPT_SOLVES: u64 = 64;

/// Pure results of earlier solves, for whoever solves again and again: the window, a search, a batch.
///
/// Belongs to one thread at a time. Other air or midbands take from it what was computed with them; results unused for a while are dropped, so that it stays small.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    conditions: Option<Conditions>,
    /// Number of the solve under way.
    solve: u64,
    stacks: Kept<(Stack, (f64, f64)), Spectrum>,
    /// The curves of stacks in [`size_near`] others.
    curves: Kept<(Stack, (f64, f64)), Thirds>,
    slits: Kept<[f64; 2], Spectrum>,
    modes: Kept<(RoomSpace, f64), RoomModes>,
    pub(super) elements: Elements,
    /// The most records there were at one listener in the solve before.
    pub(super) record_count: usize,
}

impl Memory {
    /// Begins a solve: what has not been used for long is dropped.
    pub(super) fn begin(&mut self, scene: &Scene, catalogue: &Catalogue, conditions: &Conditions) {
        self.keep_only_under(conditions);
        self.elements.keep_only_of(scene, catalogue);
        self.solve += 1;
        let oldest = self.solve.saturating_sub(KEPT_SOLVES);
        self.stacks.drop_before(oldest);
        self.curves.drop_before(oldest);
        self.slits.drop_before(oldest);
        self.modes.drop_before(oldest);
    }

    /// [`Stack::transmission`] of a layered build, its sides as far as [`told_apart`]. From its curve in [`size_near`] this one, which other sizes of the same
    /// build have use for as well.
    pub(super) fn transmission(&mut self, stack: &Stack, size_m: (f64, f64), conditions: &Conditions) -> Spectrum {
        self.keep_only_under(conditions);
        let Conditions { element_air: air, bands, .. } = conditions;
        let Self { stacks, curves, solve: now, .. } = self;
        let size_m = longer_first((told_apart(size_m.0), told_apart(size_m.1)));
        let weights = [stack.mass_per_area_kg_m2(), stack.thickness_m()];
        let sketch = |size_m: (f64, f64)| sketch(&[weights[0], weights[1], size_m.0, size_m.1]);
        let is = |size_m| move |(known, size): &(Stack, (f64, f64))| *size == size_m && known == stack;
        stacks.get_or(sketch(size_m), *now, is(size_m), || {
            let near_m = size_near(size_m);
            let curve = curves.get_or(sketch(near_m), *now, is(near_m), || {
                ((stack.clone(), near_m), stack.thirds(near_m, air, bands))
            });
            let tau = if near_m == size_m { curve.means } else { stack.transmission_like(&curve, size_m, air, bands) };
            ((stack.clone(), size_m), tau)
        })
    }

    /// τ times the width of a slit in the middle of a wall, by its width and depth, m. Nothing for one that is no slit.
    pub(super) fn slit_width_m(&mut self, width_m: f64, depth_m: f64, conditions: &Conditions) -> Spectrum {
        self.keep_only_under(conditions);
        let question = [width_m, depth_m];
        self.slits.get_or(
            sketch(&question),
            self.solve,
            |known| *known == question,
            || {
                let slit = Slit::new(width_m, depth_m, Position::Mid);
                // The lossless slit rings; friction in narrow ones does not let it, and seals' widths are meant with τ of 1 at most.
                let through = |slit: Slit| {
                    slit.diffuse(&conditions.element_air, &conditions.bands).map(|tau| tau.min(1.0) * width_m)
                };
                (question, slit.map_or(Spectrum::ZERO, through))
            },
        )
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

    /// How many results are kept.
    #[must_use]
    pub fn len(&self) -> usize {
        self.stacks.len() + self.curves.len() + self.slits.len() + self.modes.len() + self.elements.len()
    }

    /// True when nothing is kept.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn keep_only_under(&mut self, conditions: &Conditions) {
        if self.conditions.as_ref() == Some(conditions) {
            return;
        }
        let before = self.conditions.replace(*conditions);
        // To both the air is its density and its speed of sound.
        let medium = |air: &Air| (air.density_kg_m3(), air.speed_m_s());
        let of_elements = |conditions: &Conditions| {
            let Conditions { bands, element_air, ideal_linings, .. } = conditions;
            (*bands, medium(element_air), *ideal_linings)
        };
        let of_modes = |conditions: &Conditions| (conditions.bands, medium(&conditions.air));
        if before.as_ref().map(of_elements) != Some(of_elements(conditions)) {
            (self.stacks, self.curves, self.slits, self.elements) = Default::default();
        }
        if before.as_ref().map(of_modes) != Some(of_modes(conditions)) {
            self.modes = Kept::default();
        }
    }
}

/// The nearest of the sizes, m, that are told apart: 80 between one power of two and the next, so that the size is at most 0.6 % off. A wall that is moved a
/// little then lets the same through. The sizes of laboratory openings are among them. Own choice: over the catalogue, half a percent of both
/// sides makes 0.005 dB in half of all bands, and more than 0.07 dB in one of a hundred.
fn told_apart(side_m: f64) -> f64 {
    if !(side_m.is_finite() && side_m > 0.0) {
        return side_m;
    }
    let step_m = side_m.log2().floor().exp2() / 80.0;
    (side_m / step_m).round() * step_m
}

fn longer_first((one, other): (f64, f64)) -> (f64, f64) {
    if one < other { (other, one) } else { (one, other) }
}

/// The size, m, from whose curve that of another one is computed, the longer side first: that of a laboratory opening or one with sides of a power of four, the
/// nearest by ratio. Of the openings themselves, so that they are exact.
fn size_near(size_m: (f64, f64)) -> (f64, f64) {
    let power = |side_m: f64| if side_m > 0.0 { 4f64.powf((side_m.log2() / 2.0).round()) } else { side_m };
    let of_openings = [ConstructionKind::Wall, ConstructionKind::Window, ConstructionKind::Door].map(laboratory_size_m);
    let off = |(long, short): (f64, f64)| (size_m.0 / long).ln().abs() + (size_m.1 / short).ln().abs();
    of_openings.into_iter().fold((power(size_m.0), power(size_m.1)), |nearest, [one, other]| {
        let opening = longer_first((one, other));
        if off(opening) < off(nearest) { opening } else { nearest }
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_told_apart_are_near_and_hold_those_of_laboratories() {
        for millimetres in 50..20_000 {
            let side_m = f64::from(millimetres) / 1000.0;
            assert!((told_apart(side_m) / side_m - 1.0).abs() <= 1.0 / 160.0, "{side_m}");
        }
        for kind in [ConstructionKind::Window, ConstructionKind::Door, ConstructionKind::Wall] {
            for side_m in laboratory_size_m(kind) {
                assert!((told_apart(side_m) - side_m).abs() < 1e-12, "{side_m}");
            }
        }
        for odd in [0.0, -1.0, f64::INFINITY] {
            assert_eq!(told_apart(odd), odd);
        }
        assert!(told_apart(f64::NAN).is_nan());
    }

    #[test]
    fn a_size_has_one_near_it_and_that_of_a_laboratory_is_its_own() {
        for kind in [ConstructionKind::Window, ConstructionKind::Door, ConstructionKind::Wall] {
            let [one, other] = laboratory_size_m(kind);
            let told = longer_first((told_apart(one), told_apart(other)));
            assert_eq!(size_near(told), longer_first((one, other)));
        }
        assert_eq!(size_near((8.8, 1.1)), (16.0, 1.0));
        assert_eq!(size_near((4.1, 2.7)), (4.0, 2.5));
        for (long, short) in [(12.0, 0.1), (3.0, 2.9), (0.7, 0.5)] {
            let near = size_near((long, short));
            let sides = [long / near.0, short / near.1];
            assert!(sides.iter().all(|ratio| *ratio <= 2.01 && *ratio >= 0.49), "{near:?}");
        }
    }
}
