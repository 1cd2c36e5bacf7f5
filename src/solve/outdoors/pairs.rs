//! Out by one façade and in by another: from room to room through the open air.
//!
//! Most of all pairs of radiating faces bring next to nothing. Where sound begins in neither room, a pair is followed only if what may come by it at most
//! (spreading over the distance, facing each other with nothing between) counts beside what is there without it.

use std::collections::BTreeSet;
use std::f64::consts::PI;

use glam::DVec3;
use rayon::prelude::*;

use super::super::answer::{PathKind, Surface};
use super::super::balance::Balance;
use super::super::cancelled::Cancelled;
use super::super::construction::add;
use super::super::paths::structure_borne::beside_the_edge;
use super::super::paths::{PathInputs, Transfer};
use super::super::room::RoomAcoustics;
use super::faces::{RadiatingFace, faces};
use super::open_air::{BEFORE_M, NEAREST_M, OpenAir};
use crate::acoustics::Spectrum;
use crate::acoustics::outdoors::INWARD_FACTOR;
use crate::building::SpaceIndex;

/// Façade parts of less τ·S than this in every band, m², are not followed to other façades: 90 dB under 1 m² of open window.
const LEAST_M2: f64 = 1e-9;
/// So many times what the straight path would bring if nothing stood in it reflections bring at most beside it: they are longer. Own judgement; in the shipped
/// scenes they and the straight path, or the paths past what stands in it, are never more than 0.7 times as much.
const MOST_REFLECTED: f64 = 1.0;
/// So many pairs are followed before it is asked whether anyone still waits for them.
const AT_ONCE: usize = 4096;

/// Two radiating faces, by their places in the list.
type Pair = [usize; 2];

/// From every room's shell to every other room's, into a list that holds all paths that do not lead outdoors. Nothing when cancelled.
pub(in crate::solve) fn transfers(
    inputs: &PathInputs<'_>,
    open_air: &OpenAir,
    into: &mut Vec<Transfer>,
    cancelled: &Cancelled<'_>,
) -> Option<()> {
    let mut all = faces(inputs.building, inputs.elements);
    all.retain(|face| face.tau_m2.largest() > LEAST_M2);
    let begins: Vec<bool> = all.iter().map(|face| inputs.origins.lie_in(face.room)).collect();
    let mut pairs: Vec<Pair> = Vec::new();
    for (a, out) in all.iter().enumerate() {
        let others = (a + 1..all.len()).filter(|b| (begins[a] || begins[*b]) && all[*b].room != out.room);
        pairs.extend(others.map(|b| [a, b]));
    }
    let quiet = QuietRooms::of(&all, &begins, inputs.rooms);
    let mut followed = BTreeSet::new();
    // What is followed makes rooms louder that were quiet before, which send on more: until nothing more counts.
    loop {
        for pairs in pairs.chunks(AT_ONCE) {
            if cancelled() {
                return None;
            }
            let follow = |[a, b]: &Pair| follow(open_air, [&all[*a], &all[*b]]);
            into.par_extend(pairs.par_iter().with_min_len(64).filter_map(follow));
        }
        followed.extend(pairs);
        pairs = quiet.pairs_that_count(&all, &heard(inputs, into), inputs.conditions.left_out, &followed);
        if pairs.is_empty() {
            return Some(());
        }
    }
}

/// The path from one face to another; nothing when nothing gets by it.
fn follow(open_air: &OpenAir, [out, back]: [&RadiatingFace; 2]) -> Option<Transfer> {
    let passed = open_air.to_face(out, back);
    let transfer = Transfer {
        rooms: [out.room, back.room],
        kind: PathKind::ByOutdoors,
        surfaces: [out.surface, back.surface],
        junction: None,
        area_m2: Spectrum::from_fn(|band| INWARD_FACTOR * out.tau_m2[band] * back.tau_m2[band] * passed.per_m2[band]),
        route: passed.route(),
    };
    Some(transfer).filter(Transfer::passes)
}

/// So many times τ·S of both may pass at most from behind one façade part to behind another, 1/m².
fn most_per_m2(apart_m: f64) -> f64 {
    // Straight, the wall's directivity and the ground take but away; of three paths past something each is at least 4.8 dB behind (ISO 9613-2:1996, 7.4).
    // Reflections lead from before both walls. A rectangle is nowhere louder than the point that has its power, 1/(π·d²) (EN 12354-4:2000 Annex E, far
    // limit); a quarter of p² falls on a wall.
    let nearest_m = (apart_m - 2.0 * BEFORE_M).max(NEAREST_M);
    (1.0 + MOST_REFLECTED) * INWARD_FACTOR / (4.0 * PI * nearest_m * nearest_m)
}

/// For each place where sound begins by itself, p² by space that it makes by some paths, in any unit.
fn heard(inputs: &PathInputs<'_>, paths: &[Transfer]) -> Vec<Vec<Spectrum>> {
    let balance = Balance::new(inputs.rooms, paths);
    let loud = inputs.origins.loud.iter().map(|from| balance.field([(*from, Spectrum::splat(1.0))]));
    let excited = inputs.origins.excited.iter().map(|(from, element)| {
        let beside = beside_the_edge(&inputs.elements[*element]);
        let driven = |path: &Transfer| {
            let end =
                (0..2).find(|end| path.rooms[*end] == *from && path.surfaces[*end] == Surface::Element(*element))?;
            let drive = if path.junction.is_some() { path.area_m2 } else { beside.zip(&path.area_m2, |a, b| a * b) };
            Some((path.rooms[1 - end], drive))
        };
        balance.field(paths.iter().filter_map(driven))
    });
    loud.chain(excited).collect()
}

/// Rooms in which no sound begins, with what radiates of them.
struct QuietRooms(Vec<QuietRoom>);

struct QuietRoom {
    room: SpaceIndex,
    absorption_m2: Spectrum,
    faces: Vec<usize>,
    /// τ·S of all its faces, m².
    tau_m2: Spectrum,
    /// Round the middles of its faces, m.
    bounds: [DVec3; 2],
}

impl QuietRooms {
    fn of(all: &[RadiatingFace], begins: &[bool], parts: &[RoomAcoustics]) -> Self {
        let mut place = vec![None; parts.len()];
        let mut rooms: Vec<QuietRoom> = Vec::new();
        for (at, face) in all.iter().enumerate().filter(|(at, _)| !begins[*at]) {
            let place = *place[face.room.0].get_or_insert(rooms.len());
            if place == rooms.len() {
                rooms.push(QuietRoom {
                    room: face.room,
                    absorption_m2: parts[face.room.0].absorption_m2,
                    faces: Vec::new(),
                    tau_m2: Spectrum::ZERO,
                    bounds: [DVec3::INFINITY, DVec3::NEG_INFINITY],
                });
            }
            let room = &mut rooms[place];
            room.faces.push(at);
            room.tau_m2 = add(&room.tau_m2, &face.tau_m2);
            room.bounds = [room.bounds[0].min(face.middle), room.bounds[1].max(face.middle)];
        }
        Self(rooms)
    }

    /// The pairs of faces beyond those already followed that bring more to a room than may be left out of what is heard there, all others together.
    ///
    /// `heard`: as [`heard`] says it, by all paths followed.
    fn pairs_that_count(
        &self,
        all: &[RadiatingFace],
        heard: &[Vec<Spectrum>],
        left_out: f64,
        followed: &BTreeSet<Pair>,
    ) -> Vec<Pair> {
        let Self(rooms) = self;
        // Half of it is for pairs of rooms that bring next to nothing as a whole.
        let little = left_out / 2.0 / rooms.len() as f64;
        let mut left = vec![0.0; rooms.len()];
        let mut singly: Vec<(f64, [f64; 2], [usize; 2], Pair)> = Vec::new();
        for (b, two) in rooms.iter().enumerate() {
            for (a, one) in rooms[..b].iter().enumerate() {
                let gains = [gain(heard, two, one), gain(heard, one, two)];
                let most = most_per_m2(one.apart_m(two));
                let parts = brought(most, &one.tau_m2, &two.tau_m2, &gains);
                if parts[0].max(parts[1]) <= little {
                    left[a] += parts[0];
                    left[b] += parts[1];
                    continue;
                }
                for (x, y) in one.faces.iter().flat_map(|x| two.faces.iter().map(move |y| (*x, *y))) {
                    let pair = [x.min(y), x.max(y)];
                    if !followed.contains(&pair) {
                        let most = most_per_m2(all[x].middle.distance(all[y].middle));
                        let parts = brought(most, &all[x].tau_m2, &all[y].tau_m2, &gains);
                        singly.push((parts[0].max(parts[1]), parts, [a, b], pair));
                    }
                }
            }
        }
        singly.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut chosen = Vec::new();
        for (_, parts, rooms, pair) in singly {
            let sums = [0, 1].map(|end| left[rooms[end]] + parts[end]);
            if sums[0].max(sums[1]) <= left_out {
                [left[rooms[0]], left[rooms[1]]] = sums;
            } else {
                chosen.push(pair);
            }
        }
        chosen.sort_unstable();
        chosen
    }
}

impl QuietRoom {
    /// No two faces of both are nearer to each other, m.
    fn apart_m(&self, other: &Self) -> f64 {
        let ([low, high], [other_low, other_high]) = (self.bounds, other.bounds);
        (low - other_high).max(other_low - high).max(DVec3::ZERO).length()
    }
}

/// What a path of 1 m² from one room into another adds there, as a part of what is heard, 1/m²: its absorption area is the least that takes it in. Where nothing
/// comes from, nothing is lost; where nothing is, everything counts.
fn gain(heard: &[Vec<Spectrum>], from: &QuietRoom, to: &QuietRoom) -> Spectrum {
    heard.iter().fold(Spectrum::ZERO, |most, heard| {
        let (sent, there) = (&heard[from.room.0], &heard[to.room.0]);
        Spectrum::from_fn(|band| {
            let part = sent[band] / (to.absorption_m2[band] * there[band]);
            if sent[band] > 0.0 && part > most[band] { part } else { most[band] }
        })
    })
}

/// What two faces bring at most in any band to the rooms of both, as a part of what is heard there.
fn brought(most_per_m2: f64, one_m2: &Spectrum, two_m2: &Spectrum, gains: &[Spectrum; 2]) -> [f64; 2] {
    let part = |gain: &Spectrum| Spectrum::from_fn(|band| one_m2[band] * two_m2[band] * gain[band]).largest();
    [most_per_m2 * part(&gains[0]), most_per_m2 * part(&gains[1])]
}

#[cfg(test)]
mod tests {
    use super::super::tests::scenes;
    use super::*;

    /// No pair of façade parts of the shipped scenes passes more than is taken for the most.
    #[test]
    fn nothing_passes_more_than_the_most() {
        for (scene, building, elements, open_air) in scenes() {
            let all = faces(&building, &elements);
            for (at, out) in all.iter().enumerate() {
                for back in all[at + 1..].iter().filter(|back| back.room != out.room) {
                    let passed = INWARD_FACTOR * open_air.to_face(out, back).per_m2.largest();
                    let most = most_per_m2(out.middle.distance(back.middle));
                    assert!(passed <= most, "{}: {passed} of {most}, {out:?} to {back:?}", scene.name);
                }
            }
        }
    }

    /// The numbers of those of some pairs of faces, from room to room by some distance, that are followed. Four rooms of 10 m²: p² is 1, 0.01 and 1e-7, none in the
    /// fourth. Faces of τ·S that pass at most `area_m2` at 10 m.
    fn followed(paths: &[([usize; 2], f64)], left_out: f64) -> Vec<usize> {
        const APART_M: f64 = 10.0;
        let face = |room, at: f64, tau_m2: f64| RadiatingFace {
            room: SpaceIndex(room),
            surface: Surface::Air,
            kind: PathKind::Through,
            tau_m2: Spectrum::splat(tau_m2),
            middle: DVec3::X * at,
            normal: DVec3::Z,
            size_m: [1.0; 2],
            width_m: 1.0,
        };
        let all: Vec<RadiatingFace> = paths
            .iter()
            .enumerate()
            .flat_map(|(number, (rooms, area_m2))| {
                // Each pair far from all others.
                let at = 1e9 * number as f64;
                let tau_m2 = (area_m2 / most_per_m2(APART_M)).sqrt();
                [face(rooms[0], at, tau_m2), face(rooms[1], at + APART_M, tau_m2)]
            })
            .collect();
        let room = RoomAcoustics {
            enclosed: true,
            absorption_m2: Spectrum::splat(10.0),
            reverberation_s: Spectrum::splat(0.5),
            schroeder_hz: 200.0,
            power: Spectrum::ZERO,
            peak_db: 0.0,
            source_uncertainty_db: 0.0,
        };
        let heard = vec![[1.0, 0.01, 1e-7, 0.0].map(Spectrum::splat).to_vec()];
        let chosen = QuietRooms::of(&all, &vec![false; all.len()], &vec![room; 4]).pairs_that_count(
            &all,
            &heard,
            left_out,
            &BTreeSet::new(),
        );
        chosen.iter().filter(|pair| pair[0] / 2 == pair[1] / 2).map(|pair| pair[0] / 2).collect()
    }

    /// By hand, p² of the first room being 1: 0.01 in the second, 1e-7 in the third. A path of 1 mm² between these brings the third 0.01·1e-6/10 = 1e-9, a
    /// hundredth of what it has, and the second next to nothing.
    #[test]
    fn a_path_is_followed_when_it_may_bring_more_than_is_left_out() {
        let path = [([1, 2], 1e-6)];
        assert_eq!(followed(&path, 0.009), [0]);
        assert!(followed(&path, 0.03).is_empty());
        // From the third to the second it is the same path.
        assert_eq!(followed(&[([2, 1], 1e-6)], 0.009), [0]);
    }

    /// A hundred paths that bring a hundredth of a hundredth each: no more than asked for is left out of the third room, and not much less.
    #[test]
    fn many_small_paths_add_up() {
        let paths = vec![([1, 2], 1e-8); 100];
        let left = |left_out| 100 - followed(&paths, left_out).len();
        for left_out in [0.002, 0.005] {
            let of_third = left(left_out) as f64 * 1e-4;
            assert!(of_third <= left_out && of_third > 0.7 * left_out, "{of_third} of {left_out}");
        }
        assert_eq!(left(0.02), 100);
        assert_eq!(left(0.0), 0);
    }

    /// Where nothing else is heard every path counts, however small; where nothing comes from none does.
    #[test]
    fn the_only_path_into_a_room_is_followed() {
        assert_eq!(followed(&[([1, 3], 1e-30)], 0.5), [0]);
    }
}
