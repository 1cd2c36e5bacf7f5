//! From a façade to another one, or to a listener in the open: straight, round what stands in the way, and by one reflection.

use super::super::Conditions;
use super::super::memory::{Found, Place, Ways};
use super::changes::Changes;
use super::mirror::{Bounce, Mirrors};
use super::radiating::RadiatingFace;
use super::screen::{Detours, Screens, Search};
use super::string::distance;
use crate::acoustics::air_absorption::air_attenuation_db_per_m;
use crate::acoustics::outdoors::{
    barrier_factors, before_wall_factor, facade_directivity_db, porous_beyond_hard_factors, rectangle_spreading_per_m2,
};
use crate::acoustics::{Air, Bands, Spectrum};
use crate::building::Building;
use crate::scene::Ground;

/// Nearer than this a façade part is no rectangle seen from before it, m. Own guard.
pub(super) const NEAREST_M: f64 = 0.5;
/// Air outdoors: temperature, °C, and relative humidity, %. Source: ISO 9613-2:1996, Table 2, one of its rows; the choice is ours.
const OUTDOOR_AIR: (f64, f64) = (10.0, 70.0);
/// A way through the open air begins this far before the middle plane of a wall, or above a roof, m. Own guard.
pub(super) const BEFORE_M: f64 = 0.3;
/// Screening is looked at from points about this far apart along a wide face, m, and from so many at most. Own choice.
const PIECE_M: f64 = 1.5;
const MOST_PIECES: f64 = 12.0;
/// Faces longer than whole pieces by less than this part of one are as long as these: roundoff does not decide on drawn lengths. Own guard.
const ROUNDING: f64 = 1e-6;
/// Faces less than this out of one plane, m, are parts of one façade. Own choice.
const ONE_PLANE_M: f64 = 0.3;

/// A façade part nearer than this to a mirror's plane, m, radiates along it or out of it: what its wall does is part of how it radiates, or takes
/// sound in (ISO 9613-2:1996, 7.5, leaves out sources on the wall itself). Own limit.
const APART_M: f64 = 1.0;
/// Energy that an outer wall reflects. Source: ISO 9613-2:1996, Table 4, flat hard walls (from memory, unverified; it has 0.8 for house fronts with bays).
const REFLECTED: f64 = 1.0;

/// As [`RadiatingFace::place`]: ears have neither normal nor size.
fn ears([x, y, z]: [f64; 3]) -> Place {
    [x, y, z, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0]
}

/// An ear is no nearer than this, m, to any point that a face is taken to sound from, straight or by a mirror.
pub(in crate::solve) fn nearest_m(face: &RadiatingFace, ears: [f64; 3]) -> f64 {
    (distance(face.middle, ears) - face.width_m / 2.0 - BEFORE_M).max(NEAREST_M)
}

/// The open air round a building: what stands in it, the ground, and what the air takes.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenAir {
    screens: Screens,
    mirrors: Mirrors,
    ground: Ground,
    bands: Bands,
    air: Air,
    /// What the air takes: energy goes as e^(−decay·length), 1/m.
    decay_per_m: Spectrum,
}

impl OpenAir {
    /// Round a building. The air is that of an ordinary outdoor day, not that of the rooms.
    #[must_use]
    pub fn round(building: &Building, conditions: &Conditions) -> Self {
        Self::round_after(None, building, conditions)
    }

    /// The same with what was put together of the houses of another one.
    pub(in crate::solve) fn round_after(before: Option<&Self>, building: &Building, conditions: &Conditions) -> Self {
        let air = Air::at(OUTDOOR_AIR.0, OUTDOOR_AIR.1).unwrap_or_default();
        Self {
            screens: Screens::of(building, before.map(|before| &before.screens)),
            mirrors: Mirrors::of(building),
            ground: conditions.ground,
            bands: conditions.bands,
            air,
            decay_per_m: air_attenuation_db_per_m(&air, &conditions.bands)
                .map(|db| db * std::f64::consts::LN_10 / 10.0),
        }
    }

    /// What stands otherwise than in another open air; nothing when the two differ in more than that.
    pub(in crate::solve) fn changes_since(&self, before: &Self) -> Option<Changes> {
        let alike = (self.ground, self.bands, self.air) == (before.ground, before.bands, before.air)
            && self.decay_per_m == before.decay_per_m;
        alike.then(|| self.screens.changes_since(&before.screens))
    }

    /// Whether nothing but the ground is another one.
    pub(in crate::solve) fn differs_in_ground_alone(&self, before: &Self) -> bool {
        self.ground != before.ground && Self { ground: self.ground, ..before.clone() } == *self
    }

    /// Mean squared pressure at a point over that in the room behind a face, without the face's τ·S: 1/m².
    ///
    /// W = τS·p²/(4ρ0c0) is radiated; the rectangle's spreading over the ground carries it on, less toward the sides (VDI 2571) and behind
    /// the building (ISO 9613-2), as seen from points along a wide face. One reflection by each façade that mirrors the face is added, with
    /// what a near wall gives to ears just before it.
    /// Sources: EN 12354-4:2000, Formula (2) and Annex E; [`facade_directivity_db`], [`crate::acoustics::outdoors::barrier_attenuation_db`].
    #[must_use]
    pub fn spreading_per_m2(&self, face: &RadiatingFace, point: [f64; 3]) -> Spectrum {
        self.spread(&mut Ways::default(), face, point)
    }

    /// The same with what was computed before in this air.
    pub(in crate::solve) fn spreading_with(&self, ways: &mut Ways, face: &RadiatingFace, point: [f64; 3]) -> Spectrum {
        let ends = [ways.number(face.place()), ways.number(ears(point))];
        ways.whole_or(ends, |ways| self.spread(ways, face, point))
    }

    fn spread(&self, ways: &mut Ways, face: &RadiatingFace, point: [f64; 3]) -> Spectrum {
        let points = (face.width_m / PIECE_M - ROUNDING).ceil().clamp(1.0, MOST_PIECES);
        let ears = End { at: point, normal: None };
        let straight = rectangle_of(face, distance(face.middle, point));
        let mut passed = Spectrum::ZERO;
        for number in 0..points as usize {
            let along = ((number as f64 + 0.5) / points - 0.5) * face.width_m;
            let at = [face.middle[0] - face.normal[1] * along, face.middle[1] + face.normal[0] * along, face.middle[2]];
            let from = End::of(at, face);
            passed = passed.zip(&self.way(ways, &from, &ears), |sum, way| sum + straight * way);
            for bounce in self.bounces(ways.search(), &from, &ears) {
                let spreading = rectangle_of(face, bounce.length_m);
                passed = passed.zip(&self.way_by(&bounce, &from, &ears), |sum, way| sum + spreading * way);
            }
        }
        passed.map(|passed| passed / 4.0 / points)
    }

    /// The reflections that get from one end to the other with nothing in the way.
    fn bounces(&self, search: &mut Search, from: &End, to: &End) -> impl Iterator<Item = Bounce> {
        let free = |bounce: &Bounce| {
            from.is_apart(bounce.before_m[0])
                && to.is_apart(bounce.before_m[1])
                && !self.screens.block(from.at, bounce.at, search)
                && !self.screens.block(bounce.at, to.at, search)
        };
        self.mirrors.bounces(from.at, to.at, self.air.speed_m_s()).filter(free)
    }

    /// As [`Self::way`], by a reflection.
    fn way_by(&self, bounce: &Bounce, from: &End, to: &End) -> Spectrum {
        let near = |end: &End, before_m| if end.normal.is_none() { before_wall_factor(before_m) } else { 1.0 };
        let near = near(from, bounce.before_m[0]) * near(to, bounce.before_m[1]);
        let turned = REFLECTED * near * from.toward(bounce.at) * to.toward(bounce.at);
        let ground = self.over_ground(bounce.length_m, from, to);
        Spectrum::from_fn(|band| if self.bands.hz(band) > bounce.least_hz { turned * ground[band] } else { 0.0 })
    }

    /// What ground and air leave, beside spreading over hard ground.
    fn over_ground(&self, length_m: f64, from: &End, to: &End) -> Spectrum {
        self.soft(length_m, from, to).zip(&decayed(&self.decay_per_m, length_m), |soft, aired| soft * aired)
    }

    /// What the ground leaves beside hard ground.
    fn soft(&self, length_m: f64, from: &End, to: &End) -> Spectrum {
        match self.ground {
            Ground::Hard => Spectrum::splat(1.0),
            Ground::Soft => porous_beyond_hard_factors(&self.bands, length_m, from.at[2].max(0.0), to.at[2].max(0.0)),
        }
    }

    /// The mirrors that a face may be seen in, a bit for each: no reflection leads from one face to another where none is in both lists.
    pub(super) fn mirrors_before(&self, face: &RadiatingFace) -> u64 {
        self.mirrors.faced_by(End::of(face.middle, face).at, APART_M)
    }

    /// Mean squared pressure before one face over that behind another, without τ·S and what changes from room to open air and back: 1/m².
    ///
    /// `mirrored`: whether any mirror may lie before both.
    pub(super) fn facade_to_facade(
        &self,
        ways: &mut Ways,
        [out, back]: [&RadiatingFace; 2],
        mirrored: bool,
    ) -> Spectrum {
        // Geometric mean of both directions, so that the way is the same both ways whatever the sizes of the two.
        let spreading = |length_m| (rectangle_of(out, length_m) * rectangle_of(back, length_m)).sqrt() / 4.0;
        let (from, to) = (End::of(out.middle, out), End::of(back.middle, back));
        let straight = spreading(distance(out.middle, back.middle));
        let mut way = self.way(ways, &from, &to).map(|way| straight * way);
        if !mirrored {
            return way;
        }
        for bounce in self.bounces(ways.search(), &from, &to) {
            let mirrored = spreading(bounce.length_m);
            way = way.zip(&self.way_by(&bounce, &from, &to), |sum, by| sum + mirrored * by);
        }
        way
    }

    /// What comes of the way between two points beside spreading over hard ground, per band. The same both ways, exactly.
    ///
    /// Losses of one shadow are one loss. The −5 dB along a façade and the 4.8 dB on a barrier's shadow border both say that sound just
    /// scrapes along the wall, so behind a screen the largest of barrier, leaving and arriving counts, not their sum. For two parts of one
    /// plane façade it is the same: by reciprocity a wall takes sound in along itself as it gives it off along itself, and sound that a
    /// wall's own surface carries has already lost what scraping costs; −5 dB counts once. Façades that face each other freely keep both.
    fn way(&self, ways: &mut Ways, from: &End, to: &End) -> Spectrum {
        let ends = [from.at, from.normal.unwrap_or_default(), to.at, to.normal.unwrap_or_default()];
        ways.direct_or(ends, |search, found, holds| {
            let known = holds.and_then(|holds| Some((found.ways.as_ref()?, holds)));
            let ways = self.screens.between(from.at, to.at, search, known);
            self.pass(from, to, ways, found);
        })
    }

    /// Puts down what gets from end to end by these ways, or straight where there is nothing to go round. What was found by the same way before is left as it is.
    fn pass(&self, from: &End, to: &End, ways: Option<Detours>, found: &mut Found) {
        let straight_m = distance(from.at, to.at).max(NEAREST_M);
        let before = std::mem::replace(&mut found.ways, ways);
        let Some(ways) = &found.ways else {
            let (out, back) = (from.toward(to.at), to.toward(from.at));
            let turned = if from.shares_plane(to) { out.min(back) } else { out * back };
            found.passed = self.over_ground(straight_m, from, to).map(|left| turned * left);
            return;
        };
        let over_same_ground = found.left.is_some();
        for (at, way) in ways.all().into_iter().enumerate() {
            if over_same_ground && before.as_ref().is_some_and(|before| before.all()[at] == way) {
                continue;
            }
            found.by[at] = way.map_or(Spectrum::ZERO, |way| {
                let (soft, aired) = found
                    .left
                    .get_or_insert_with(|| (self.soft(straight_m, from, to), decayed(&self.decay_per_m, straight_m)));
                // Over the top the barrier's C2 = 20 holds the ground already, and hard ground's doubling is none then (Eq. 12).
                let ground = if at == Detours::OVER { 0.5 } else { 1.0 };
                let most = factor(-facade_directivity_db(from.cos_toward(way.first).min(to.cos_toward(way.last))));
                let screened = barrier_factors(&way.lengths, &self.bands, &self.air);
                Spectrum::from_fn(|band| screened[band].min(most) * soft[band].min(ground) * aired[band])
            });
        }
        // The two sides first: each is the other's on the way back.
        let [over, left, right] = &found.by;
        found.passed = Spectrum::from_fn(|band| left[band] + right[band] + over[band]);
    }
}

/// One end of a way through the open air.
struct End {
    at: [f64; 3],
    /// Outward normal of the face there; nothing for ears.
    normal: Option<[f64; 3]>,
}

impl End {
    /// Just before a face, so that its own wall is not in the way.
    fn of(at: [f64; 3], face: &RadiatingFace) -> Self {
        Self { at: [0, 1, 2].map(|axis| at[axis] + BEFORE_M * face.normal[axis]), normal: Some(face.normal) }
    }

    /// Directivity toward a point: 0 to −5 dB, as a factor.
    fn toward(&self, point: [f64; 3]) -> f64 {
        factor(-facade_directivity_db(self.cos_toward(point)))
    }

    /// Cosine of the angle between its normal and the way to a point; ears hear all around, and what lies behind the wall's plane is for screens.
    fn cos_toward(&self, point: [f64; 3]) -> f64 {
        let Some(normal) = self.normal else { return 1.0 };
        let to = [0, 1, 2].map(|axis| point[axis] - self.at[axis]);
        let along: f64 = to.iter().zip(normal).map(|(d, n)| d * n).sum();
        (along / distance(self.at, point).max(NEAREST_M)).max(0.0)
    }

    /// Whether a mirror this far away, m, is another wall than its own; ears have none.
    fn is_apart(&self, before_m: f64) -> bool {
        self.normal.is_none() || before_m > APART_M
    }

    fn shares_plane(&self, other: &Self) -> bool {
        let (Some(one), Some(two)) = (self.normal, other.normal) else { return false };
        let alike = one.iter().zip(two).map(|(a, b)| a * b).sum::<f64>() > 0.999;
        let off: f64 = [0, 1, 2].iter().map(|axis| (other.at[*axis] - self.at[*axis]) * one[*axis]).sum();
        alike && off.abs() < ONE_PLANE_M
    }
}

/// e^(−x) with x the product of length and what is lost for each metre, in all bands at once.
///
/// x is halved until ten terms of the series are exact to some 1e-13, and the result squared as often: no band waits for another, and none calls the
/// library's function.
fn decayed(per_m: &Spectrum, length_m: f64) -> Spectrum {
    const NEAR_NOTHING: f64 = 0.25;
    /// Nothing is left of it, however the bands differ.
    const ALL: f64 = 1e6;
    let mut most = per_m.iter().fold(0.0_f64, |most, value| most.max(*value)) * length_m;
    if most.is_nan() || most > ALL {
        return Spectrum::splat(0.0);
    }
    let (mut step_m, mut halvings) = (length_m, 0);
    while most > NEAR_NOTHING {
        (most, step_m, halvings) = (most / 2.0, step_m / 2.0, halvings + 1);
    }
    let mut left = per_m.map(|per_m| {
        let x = per_m * step_m;
        (1..=9).rev().fold(1.0, |sum, term| 1.0 - x / f64::from(term) * sum)
    });
    for _ in 0..halvings {
        left = left.map(|left| left * left);
    }
    left
}

fn factor(attenuation_db: f64) -> f64 {
    // Half the work of a power of ten.
    (-attenuation_db * (std::f64::consts::LN_10 / 10.0)).exp()
}

fn rectangle_of(face: &RadiatingFace, distance_m: f64) -> f64 {
    rectangle_spreading_per_m2(face.size_m[0].max(0.01), face.size_m[1].max(0.01), distance_m.max(NEAREST_M))
}

#[cfg(test)]
mod tests {
    use super::super::{PathKind, Surface};
    use super::*;
    use crate::building::{Space, SpaceIndex, SpaceKind};
    use std::f64::consts::PI;

    fn window(x_m: f64, size_m: [f64; 2]) -> RadiatingFace {
        RadiatingFace {
            room: SpaceIndex(0),
            surface: Surface::Air,
            kind: PathKind::Through,
            tau_m2: Spectrum::splat(1.0),
            middle: [x_m, 0.0, 1.5],
            normal: [0.0, -1.0, 0.0],
            size_m,
            width_m: size_m[0],
        }
    }

    fn open_air(ground: Ground) -> OpenAir {
        let spaces = vec![Space { kind: SpaceKind::Outdoors, name: "outdoors".into() }].into();
        let (elements, junctions) = (Vec::new().into(), Vec::new().into());
        let building = Building { spaces, elements, junctions, sources: vec![], listeners: vec![], ducts: vec![] };
        let air = Air::default();
        let conditions = Conditions {
            bands: Bands::exact(),
            air,
            element_air: air,
            ground,
            residual_db: f64::INFINITY,
            ideal_linings: false,
            left_out: 0.0,
        };
        OpenAir::round(&building, &conditions)
    }

    /// Far before a small face: p²/p_in² = τS/4 · 1/(π·d²) (EN 12354-4:2000 Annex E far limit; within 1 %; 25 Hz, where air takes nothing).
    #[test]
    fn far_ahead_a_window_is_a_point_over_the_ground() {
        let got = open_air(Ground::Hard).spreading_per_m2(&window(0.0, [1.2, 1.4]), [0.0, -20.0, 1.5])[0];
        assert!((got * 4.0 * PI * 400.0 - 1.0).abs() < 0.01, "{got}");
    }

    /// ISO 9613-2:1996, Table 2: 10 °C and 70 %: 3.7 dB/km at 1 kHz, 9.7 at 2 kHz, 32.8 at 4 kHz (within 3 %).
    #[test]
    fn the_air_takes_the_high_bands() {
        let air = open_air(Ground::Hard);
        for (hz, db_per_km) in [(1000.0, 3.7), (2000.0, 9.7), (4000.0, 32.8)] {
            let got = -10.0 * decayed(&air.decay_per_m, 1000.0)[Bands::nearest(hz)].log10();
            assert!((got / db_per_km - 1.0).abs() < 0.03, "{hz}: {got}");
        }
    }

    /// Along one façade −5 dB (VDI 2571) counts once, and the way back is the same.
    #[test]
    fn two_windows_of_one_facade_lose_along_it_once() {
        let (one, two) = (window(0.0, [1.0, 1.0]), window(4.0, [1.0, 1.0]));
        let air = open_air(Ground::Hard);
        let (from, to) = (End::of(one.middle, &one), End::of(two.middle, &two));
        let (there, back) = (air.way(&mut Ways::default(), &from, &to), air.way(&mut Ways::default(), &to, &from));
        assert_eq!(there, back);
        assert!((10.0 * there[0].log10() + 5.0).abs() < 1e-3, "{}", there[0]);
    }

    /// Porous ground, 1.5 m over it and 100 m away: by Table 3 nothing at 63 Hz, most at 250 to 500 Hz, and 3 dB at 4 kHz.
    #[test]
    fn soft_ground_takes_the_middle_bands() {
        let far = [0.0, -100.0, 1.5];
        let face = window(0.0, [1.0, 1.0]);
        let (hard, soft) = (open_air(Ground::Hard), open_air(Ground::Soft));
        let (hard, soft) = (hard.spreading_per_m2(&face, far), soft.spreading_per_m2(&face, far));
        let loss = |hz: f64| 10.0 * (hard[Bands::nearest(hz)] / soft[Bands::nearest(hz)]).log10();
        assert!(loss(63.0).abs() < 1e-9 && (loss(4000.0) - 3.0).abs() < 1e-9);
        // Table 3, G = 1, h = 1.5 m: 2·(1.5 + 8.6·e^(−0.09·2.25)·(1 − e^−2)).
        let by_hand = 2.0 * (1.5 + 8.6 * (-0.09f64 * 2.25).exp() * (1.0 - (-99.7f64 / 50.0).exp()));
        assert!((loss(250.0) - by_hand).abs() < 0.01, "{} for {by_hand}", loss(250.0));
    }
}
