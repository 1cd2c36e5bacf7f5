//! From a façade to another one, or to ears in the open: straight, past what stands in the way, and by one reflection.

use std::sync::Arc;

use glam::DVec3;

use super::super::answer::Route;
use super::super::conditions::Conditions;
use super::diffraction::{is_blocked, paths_past};
use super::faces::RadiatingFace;
use super::obstacles::{Obstacle, WALL_M};
use super::reflection::{Mirror, Reflection};
use crate::acoustics::air_absorption::air_attenuation_db_per_m;
use crate::acoustics::outdoors::{
    barrier_factors, before_wall_factor, facade_directivity_db, porous_beyond_hard_factors, rectangle_spreading_per_m2,
};
use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::acoustics::{Air, Bands, Spectrum};
use crate::building::Building;
use crate::scene::Ground;

/// Nearer than this a façade part is no rectangle seen from before it, m. Own guard.
pub(super) const NEAREST_M: f64 = 0.5;
/// Air outdoors: temperature, °C, and relative humidity, %. Source: ISO 9613-2:1996, Table 2, one of its rows; the choice is ours.
const OUTDOOR_AIR: (f64, f64) = (10.0, 70.0);
/// A route through the open air begins this far before the middle plane of a wall, or above a roof, m. Own guard.
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

/// The open air round a building: what stands in it, the ground, and what the air takes.
#[derive(Debug)]
pub(in crate::solve) struct OpenAir {
    obstacles: Vec<Obstacle>,
    mirrors: Vec<Mirror>,
    ground: Ground,
    bands: Bands,
    air: Air,
    /// What the air takes: energy goes as e^(−decay·length), 1/m.
    decay_per_m: Spectrum,
}

/// What gets from one end to another, by all paths together.
#[derive(Debug, Clone)]
pub(super) struct Passed {
    /// Mean squared pressure over that behind the face, without what the face itself passes: 1/m².
    pub per_m2: Spectrum,
    /// Along which it runs that brings most (A-weighted), both ends included, m.
    route: Vec<DVec3>,
    most: f64,
}

impl Passed {
    const NOTHING: Self = Self { per_m2: Spectrum::ZERO, route: Vec::new(), most: 0.0 };

    /// Along `between` from end to end.
    fn add(&mut self, per_m2: Spectrum, ends: [&End; 2], between: &[DVec3]) {
        let brought = a_weighted_energy(&per_m2);
        if brought > self.most {
            self.most = brought;
            self.route.clear();
            self.route.push(ends[0].at);
            self.route.extend_from_slice(between);
            self.route.push(ends[1].at);
        }
        self.per_m2 = Spectrum::from_fn(|band| self.per_m2[band] + per_m2[band]);
    }

    /// See [`Route`].
    pub(super) fn route(&self) -> Option<Route> {
        (!self.route.is_empty()).then(|| self.route.iter().map(DVec3::to_array).collect::<Arc<[_]>>())
    }
}

impl OpenAir {
    /// Round a building. The air is that of an ordinary outdoor day, not that of the rooms.
    pub(crate) fn round(building: &Building, conditions: &Conditions) -> Self {
        let air = Air::at(OUTDOOR_AIR.0, OUTDOOR_AIR.1).unwrap_or_default();
        let db_per_m = air_attenuation_db_per_m(&air, &conditions.bands);
        Self {
            obstacles: Obstacle::all_of(building),
            mirrors: Mirror::all_of(building),
            ground: conditions.ground,
            bands: conditions.bands,
            air,
            decay_per_m: db_per_m.map(|db| db * std::f64::consts::LN_10 / 10.0),
        }
    }

    /// From a face to ears: mean squared pressure there over that in the room behind the face, without the face's τ·S.
    ///
    /// W = τS·p²/(4ρ0c0) is radiated; the rectangle's spreading over the ground carries it on, less toward the sides (VDI 2571) and behind
    /// the building (ISO 9613-2), as seen from points along a wide face. One reflection by each façade that mirrors the face is added, with
    /// what a near wall gives to ears just before it.
    /// Sources: EN 12354-4:2000, Formula (2) and Annex E; [`facade_directivity_db`], [`crate::acoustics::outdoors::barrier_attenuation_db`].
    pub(super) fn to_ears(&self, face: &RadiatingFace, point: DVec3) -> Passed {
        let points = (face.width_m / PIECE_M - ROUNDING).ceil().clamp(1.0, MOST_PIECES);
        let ears = End { at: point, normal: None };
        let straight_m = face.middle.distance(point);
        let spreading = |reflected_m: Option<f64>| rectangle(face, reflected_m.unwrap_or(straight_m)) / 4.0 / points;
        let mut passed = Passed::NOTHING;
        for number in 0..points as usize {
            let along_m = ((number as f64 + 0.5) / points - 0.5) * face.width_m;
            let along = face.normal.truncate().perp().extend(0.0);
            let from = End::before(face.middle + along_m * along, face);
            self.follow([&from, &ears], spreading, &mut passed);
        }
        passed
    }

    /// From one face to another: mean squared pressure before the second over that behind the first, without τ·S and what changes from room to open air and back.
    pub(super) fn to_face(&self, out: &RadiatingFace, back: &RadiatingFace) -> Passed {
        let straight_m = out.middle.distance(back.middle);
        // Geometric mean of both directions, so that it is the same both ways whatever the sizes of the two.
        let spreading = |reflected_m: Option<f64>| {
            let length_m = reflected_m.unwrap_or(straight_m);
            (rectangle(out, length_m) * rectangle(back, length_m)).sqrt() / 4.0
        };
        let mut passed = Passed::NOTHING;
        self.follow([&End::before(out.middle, out), &End::before(back.middle, back)], spreading, &mut passed);
        passed
    }

    /// All paths from end to end. `spreading`: over hard ground, of a reflection by its length, m, or else of the straight line, 1/m².
    ///
    /// Losses of one shadow are one loss. The −5 dB along a façade and the 4.8 dB on a barrier's shadow border both say that sound just
    /// scrapes along the wall, so behind a screen the largest of barrier, leaving and arriving counts, not their sum. For two parts of one
    /// plane façade it is the same: by reciprocity a wall takes sound in along itself as it gives it off along itself, and sound that a
    /// wall's own surface carries has already lost what scraping costs; −5 dB counts once. Façades that face each other freely keep both.
    fn follow(&self, [from, to]: [&End; 2], spreading: impl Fn(Option<f64>) -> f64, passed: &mut Passed) {
        let straight_m = from.at.distance(to.at).max(NEAREST_M);
        let (straight, aired) = (spreading(None), self.aired(straight_m));
        let soft = self.soft(straight_m, from, to);
        if let Some(paths) = paths_past(&self.obstacles, from.at, to.at) {
            // Over the top the barrier's C2 = 20 holds the ground already, and hard ground's doubling is none then (Eq. 12).
            let all = [(&paths.over, 0.5), (&paths.round[0], 1.0), (&paths.round[1], 1.0)];
            for (path, ground) in all.into_iter().filter_map(|(path, ground)| Some((path.as_ref()?, ground))) {
                let cos = path
                    .edges
                    .first()
                    .zip(path.edges.last())
                    .map_or(1.0, |(first, last)| from.cos_toward(*first).min(to.cos_toward(*last)));
                let most = factor(-facade_directivity_db(cos));
                let screened = barrier_factors(&path.lengths, &self.bands, &self.air);
                let left = |band| straight * screened[band].min(most) * soft[band].min(ground) * aired[band];
                passed.add(Spectrum::from_fn(left), [from, to], &path.edges);
            }
        } else {
            let (out, back) = (from.toward(to.at), to.toward(from.at));
            let turned = straight * if from.shares_plane(to) { out.min(back) } else { out * back };
            passed.add(Spectrum::from_fn(|band| turned * soft[band] * aired[band]), [from, to], &[]);
        }
        let (ends, least_m) = ([from.at, to.at], [from.least_before_m(), to.least_before_m()]);
        for path in self.mirrors.iter().filter_map(|mirror| mirror.reflection(ends, least_m, self.air.speed_m_s())) {
            if ends.iter().all(|end| !is_blocked(&self.obstacles, *end, path.at)) {
                let spreading = spreading(Some(path.length_m));
                passed.add(self.reflected(&path, from, to).map(|left| spreading * left), [from, to], &[path.at]);
            }
        }
    }

    /// What a reflection leaves, beside spreading over hard ground.
    fn reflected(&self, path: &Reflection, from: &End, to: &End) -> Spectrum {
        let near = |end: &End, before_m| if end.normal.is_none() { before_wall_factor(before_m) } else { 1.0 };
        let near = near(from, path.before_m[0]) * near(to, path.before_m[1]);
        let turned = REFLECTED * near * from.toward(path.at) * to.toward(path.at);
        let (soft, aired) = (self.soft(path.length_m, from, to), self.aired(path.length_m));
        let left = |band| if self.bands.hz(band) > path.least_hz { turned * soft[band] * aired[band] } else { 0.0 };
        Spectrum::from_fn(left)
    }

    /// What the air leaves.
    fn aired(&self, length_m: f64) -> Spectrum {
        self.decay_per_m.map(|per_m| (-per_m * length_m).exp())
    }

    /// What the ground leaves beside hard ground.
    fn soft(&self, length_m: f64, from: &End, to: &End) -> Spectrum {
        match self.ground {
            Ground::Hard => Spectrum::splat(1.0),
            Ground::Soft => porous_beyond_hard_factors(&self.bands, length_m, from.at.z.max(0.0), to.at.z.max(0.0)),
        }
    }
}

/// One end of a path through the open air.
struct End {
    at: DVec3,
    /// Outward normal of the face there; nothing for ears.
    normal: Option<DVec3>,
}

impl End {
    /// Just before a face, so that its own wall is not in the way.
    fn before(at: DVec3, face: &RadiatingFace) -> Self {
        Self { at: at + BEFORE_M * face.normal, normal: Some(face.normal) }
    }

    /// Directivity toward a point: 0 to −5 dB, as a factor.
    fn toward(&self, point: DVec3) -> f64 {
        factor(-facade_directivity_db(self.cos_toward(point)))
    }

    /// Cosine of the angle between its normal and the direction to a point; ears hear all around, and what lies behind the wall's plane is for obstacles.
    fn cos_toward(&self, point: DVec3) -> f64 {
        let Some(normal) = self.normal else { return 1.0 };
        (normal.dot(point - self.at) / self.at.distance(point).max(NEAREST_M)).max(0.0)
    }

    /// A mirror is farther away than this, m: another wall than a face's own; ears at the very wall may lie a little behind its plane.
    fn least_before_m(&self) -> f64 {
        if self.normal.is_none() { -WALL_M } else { APART_M }
    }

    fn shares_plane(&self, other: &Self) -> bool {
        let (Some(one), Some(two)) = (self.normal, other.normal) else { return false };
        one.dot(two) > 0.999 && one.dot(other.at - self.at).abs() < ONE_PLANE_M
    }
}

fn factor(attenuation_db: f64) -> f64 {
    // Half the work of a power of ten.
    (-attenuation_db * (std::f64::consts::LN_10 / 10.0)).exp()
}

fn rectangle(face: &RadiatingFace, distance_m: f64) -> f64 {
    rectangle_spreading_per_m2(face.size_m[0].max(0.01), face.size_m[1].max(0.01), distance_m.max(NEAREST_M))
}

#[cfg(test)]
mod tests {
    use super::super::super::answer::{PathKind, Surface};
    use super::*;
    use crate::building::{Space, SpaceIndex, SpaceKind};
    use std::f64::consts::PI;

    fn window(x_m: f64, size_m: [f64; 2]) -> RadiatingFace {
        RadiatingFace {
            room: SpaceIndex(0),
            surface: Surface::Air,
            kind: PathKind::Through,
            tau_m2: Spectrum::splat(1.0),
            middle: DVec3::new(x_m, 0.0, 1.5),
            normal: DVec3::NEG_Y,
            size_m,
            width_m: size_m[0],
        }
    }

    fn open_air(ground: Ground) -> OpenAir {
        let spaces = vec![Space { kind: SpaceKind::Outdoors, name: "outdoors".into() }].into();
        let (elements, junctions) = (Vec::new().into(), Vec::new().into());
        let building = Building { spaces, elements, junctions, sources: vec![], listeners: vec![], ducts: vec![] };
        let conditions = Conditions { ground, ..Conditions::of_laboratory(&Air::default(), &Bands::exact()) };
        OpenAir::round(&building, &conditions)
    }

    /// Far before a small face: p²/p_in² = τS/4 · 1/(π·d²) (EN 12354-4:2000 Annex E far limit; within 1 %; 25 Hz, where air takes nothing).
    #[test]
    fn far_ahead_a_window_is_a_point_over_the_ground() {
        let got = open_air(Ground::Hard).to_ears(&window(0.0, [1.2, 1.4]), DVec3::new(0.0, -20.0, 1.5)).per_m2[0];
        assert!((got * 4.0 * PI * 400.0 - 1.0).abs() < 0.01, "{got}");
    }

    /// ISO 9613-2:1996, Table 2: 10 °C and 70 %: 3.7 dB/km at 1 kHz, 9.7 at 2 kHz, 32.8 at 4 kHz (within 3 %).
    #[test]
    fn the_air_takes_the_high_bands() {
        let air = open_air(Ground::Hard);
        for (hz, db_per_km) in [(1000.0, 3.7), (2000.0, 9.7), (4000.0, 32.8)] {
            let got = -10.0 * air.aired(1000.0)[Bands::nearest(hz)].log10();
            assert!((got / db_per_km - 1.0).abs() < 0.03, "{hz}: {got}");
        }
    }

    /// Along one façade −5 dB (VDI 2571) counts once, and the way back is the same.
    #[test]
    fn two_windows_of_one_facade_lose_along_it_once() {
        let (one, two) = (window(0.0, [1.0, 1.0]), window(4.0, [1.0, 1.0]));
        let air = open_air(Ground::Hard);
        let (there, back) = (air.to_face(&one, &two).per_m2, air.to_face(&two, &one).per_m2);
        assert_eq!(there, back);
        let lost_db = 10.0 * (there[0] / (rectangle(&one, 4.0) / 4.0)).log10();
        assert!((lost_db + 5.0).abs() < 1e-3, "{lost_db}");
    }

    /// Porous ground, 1.5 m over it and 100 m away: by Table 3 nothing at 63 Hz, most at 250 to 500 Hz, and 3 dB at 4 kHz.
    #[test]
    fn soft_ground_takes_the_middle_bands() {
        let far = DVec3::new(0.0, -100.0, 1.5);
        let face = window(0.0, [1.0, 1.0]);
        let (hard, soft) = (open_air(Ground::Hard), open_air(Ground::Soft));
        let (hard, soft) = (hard.to_ears(&face, far).per_m2, soft.to_ears(&face, far).per_m2);
        let loss = |hz: f64| 10.0 * (hard[Bands::nearest(hz)] / soft[Bands::nearest(hz)]).log10();
        assert!(loss(63.0).abs() < 1e-9 && (loss(4000.0) - 3.0).abs() < 1e-9);
        // Table 3, G = 1, h = 1.5 m: 2·(1.5 + 8.6·e^(−0.09·2.25)·(1 − e^−2)).
        let by_hand = 2.0 * (1.5 + 8.6 * (-0.09f64 * 2.25).exp() * (1.0 - (-99.7f64 / 50.0).exp()));
        assert!((loss(250.0) - by_hand).abs() < 0.01, "{} for {by_hand}", loss(250.0));
    }
}
