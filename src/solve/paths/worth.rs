//! Which ways between rooms without a source are worth following.
//!
//! Such a way brings what has already come through a wall into the one room, to what has come into the other. Ways that could bring least are left out, as
//! long as all of them together bring no more to any room than a small part of what is there without them.

use super::super::balance::Balance;
use super::super::construction::add;
use super::radiating::RadiatingFace;
use super::structure_borne::beside_the_edge;
use super::{Surface, Transfer, Within};
use crate::acoustics::Spectrum;
use crate::building::SpaceIndex;

/// A way is small that brings no more than so small a part of what all small ones may. Own choice.
const SMALL: f64 = 32.0;

/// A way that may be followed.
#[derive(Debug, Clone, Copy)]
pub(super) struct May {
    /// Which façade parts it leads from and to, by their places in a list.
    pub way: [usize; 2],
    /// So many times τ·S of both it may pass at most, 1/m².
    pub most_per_m2: f64,
}

impl May {
    fn rooms(&self, faces: &[RadiatingFace]) -> [SpaceIndex; 2] {
        self.way.map(|at| faces[at].room)
    }

    /// What it brings at most in any band, as a part of what is heard, by what 1 m² does.
    fn most_part(&self, faces: &[RadiatingFace], gain: &Spectrum) -> f64 {
        let [out, back] = self.way.map(|at| &faces[at].tau_m2);
        self.most_per_m2 * Spectrum::from_fn(|band| out[band] * back[band] * gain[band]).largest()
    }

    /// The most that it may pass, m².
    fn most_m2(&self, faces: &[RadiatingFace]) -> Spectrum {
        let [out, back] = self.way.map(|at| &faces[at].tau_m2);
        Spectrum::from_fn(|band| self.most_per_m2 * out[band] * back[band])
    }
}

/// How loud it gets in each room by all other ways, for each place where sound begins by itself.
pub(super) struct Worth {
    balance: Balance,
    /// For each beginning, p² by space, in any unit.
    heard: Vec<Vec<Spectrum>>,
    enclosed: Vec<SpaceIndex>,
}

impl Worth {
    /// By ways that are followed in any case.
    pub fn of(within: &Within<'_>, ways: &[Transfer]) -> Self {
        let balance = Balance::new(within.rooms, ways, &within.conditions.air);
        let spaces = 0..within.rooms.len();
        let in_all = |p2: &dyn Fn(SpaceIndex) -> Spectrum| spaces.clone().map(|at| p2(SpaceIndex(at))).collect();
        let loud = within.origins.loud.iter().map(|from| in_all(&|to| *balance.per_drive(to, *from)));
        let struck = within.origins.struck.iter().map(|(from, element)| {
            let part = &within.elements[*element];
            let beside = beside_the_edge(part);
            let ends = |way: &Transfer| {
                let end =
                    (0..2).find(|end| way.rooms[*end] == *from && way.surfaces[*end] == Surface::Element(*element))?;
                let shaken = if way.junction.is_some() { Spectrum::splat(1.0) } else { beside };
                Some((way.rooms[1 - end], shaken.zip(&way.area_m2, |shaken, area| shaken * area)))
            };
            let shaken: Vec<(SpaceIndex, Spectrum)> = ways.iter().filter_map(ends).collect();
            in_all(&|to| {
                shaken
                    .iter()
                    .fold(Spectrum::ZERO, |sum, (by, drive)| plus_product(&sum, balance.per_drive(to, *by), drive))
            })
        });
        let heard = loud.chain(struck).collect();
        let enclosed = spaces.clone().map(SpaceIndex).filter(|at| within.rooms[at.0].enclosed).collect();
        Self { balance, heard, enclosed }
    }

    /// The ways that are worth following, in their order: without the others each room has all of its energy but `left_out` in every band.
    pub fn choose(&self, faces: &[RadiatingFace], all: &[May], left_out: f64) -> Vec<[usize; 2]> {
        let between = self.between(faces, all);
        let gains = self.gains(&between);
        // What is shared out for each room: to pairs of rooms that bring next to nothing as a whole, to single ways that do, and to the other ways.
        let (of_pairs, of_small, of_others) = (0.125 * left_out, 0.25 * left_out, 0.625 * left_out);
        let little = of_pairs / self.enclosed.len() as f64;
        let brings_little = |(area, gain): (&Spectrum, &Spectrum)| most_part(area, gain) <= little;
        let dropped: Vec<bool> = between.iter().zip(&gains.in_either).map(brings_little).collect();
        let mut small = vec![0.0; self.balance.space_count()];
        let mut others: Vec<(usize, f64)> = Vec::with_capacity(all.len() / 2);
        for (at, may) in all.iter().enumerate() {
            let rooms = may.rooms(faces);
            if dropped[pair(rooms)] {
                continue;
            }
            let part = may.most_part(faces, &gains.in_either[pair(rooms)]);
            if part <= of_small / SMALL && rooms.iter().all(|room| small[room.0] + part <= of_small) {
                rooms.iter().for_each(|room| small[room.0] += part);
            } else {
                others.push((at, part));
            }
        }
        let mut left = vec![Spectrum::ZERO; self.balance.space_count()];
        let mut followed = vec![false; all.len()];
        // Those that bring least come first, and are counted band by band.
        let mut from = 0.0;
        for to in [64.0, 16.0, 4.0, 1.0].map(|part| of_others / part).into_iter().chain([f64::INFINITY]) {
            for (at, _) in others.iter().filter(|(_, part)| *part > from && *part <= to) {
                let (ends, most_m2) = (in_order(all[*at].rooms(faces)), all[*at].most_m2(faces));
                let gains = &gains.in_each[pair(ends)];
                let sums = [0, 1].map(|end| plus_product(&left[ends[end].0], &most_m2, &gains[end]));
                if to <= of_others && sums.iter().all(|sum| sum.largest() <= of_others) {
                    ends.iter().zip(sums).for_each(|(room, sum)| left[room.0] = sum);
                } else {
                    followed[*at] = true;
                }
            }
            from = to;
        }
        all.iter().zip(followed).filter(|(_, followed)| *followed).map(|(may, _)| may.way).collect()
    }

    /// By pair of rooms, what may pass by all ways, as if all parts were as near as the nearest two, m².
    fn between(&self, faces: &[RadiatingFace], all: &[May]) -> Vec<Spectrum> {
        let n = self.balance.space_count();
        let mut nearest_per_m2 = vec![0.0_f64; n * (n + 1) / 2];
        for may in all {
            let most = &mut nearest_per_m2[pair(may.rooms(faces))];
            *most = larger(*most, may.most_per_m2);
        }
        let mut tau_m2 = vec![Spectrum::ZERO; n];
        for face in faces {
            let sum = &mut tau_m2[face.room.0];
            *sum = add(sum, &face.tau_m2);
        }
        let rooms = (0..n).flat_map(|high| (0..=high).map(move |low| [low, high]));
        let most_m2 = rooms.zip(nearest_per_m2).map(|([low, high], most)| {
            if most > 0.0 { tau_m2[low].zip(&tau_m2[high], |low, high| most * low * high) } else { Spectrum::ZERO }
        });
        most_m2.collect()
    }

    fn gains(&self, most_m2: &[Spectrum]) -> Gains {
        let mut in_each = vec![[Spectrum::ZERO; 2]; most_m2.len()];
        for heard in &self.heard {
            let most = self.most(heard, most_m2);
            for (one, high) in self.enclosed.iter().enumerate() {
                for low in &self.enclosed[..one] {
                    let gain = &mut in_each[pair([*low, *high])];
                    for (gain, [from, to]) in gain.iter_mut().zip([[high, low], [low, high]]) {
                        raise(gain, &most[from.0], self.balance.per_drive(*to, *to), &heard[to.0]);
                    }
                }
            }
        }
        Gains { in_either: in_each.iter().map(|[one, other]| one.zip(other, larger)).collect(), in_each }
    }

    /// How loud it may get at most with all ways: what is heard, what that sends on by them, and what this sends on once more.
    fn most(&self, heard: &[Spectrum], most_m2: &[Spectrum]) -> Vec<Spectrum> {
        let mut most = heard.to_vec();
        for _ in 0..2 {
            let sent = |to: SpaceIndex| {
                let from_one = self.enclosed.iter().map(|from| (&most_m2[pair([*from, to])], &most[from.0]));
                from_one.fold(Spectrum::ZERO, |sum, (area, most)| plus_product(&sum, area, most))
            };
            let sent: Vec<(SpaceIndex, Spectrum)> = self.enclosed.iter().map(|to| (*to, sent(*to))).collect();
            for at in &self.enclosed {
                most[at.0] = sent
                    .iter()
                    .fold(heard[at.0], |sum, (by, drive)| plus_product(&sum, self.balance.per_drive(*at, *by), drive));
            }
        }
        most
    }
}

/// What an area brings at most in any band, as a part of what is heard, by what 1 m² does.
fn most_part(area_m2: &Spectrum, gain: &Spectrum) -> f64 {
    area_m2.zip(gain, |area, gain| area * gain).largest()
}

/// Raises to what one room adds to another: the most that it may get to send on, by how loud that makes the other, over what is heard there. Where nothing
/// comes from, nothing is lost; where nothing is, everything counts.
fn raise(gain: &mut Spectrum, most: &Spectrum, answers: &Spectrum, heard: &Spectrum) {
    *gain = Spectrum::from_fn(|band| {
        let part = most[band] * answers[band] / heard[band];
        if most[band] > 0.0 { larger(gain[band], part) } else { gain[band] }
    });
}

/// sum + a·b in every band.
fn plus_product(sum: &Spectrum, a: &Spectrum, b: &Spectrum) -> Spectrum {
    Spectrum::from_fn(|band| sum[band] + a[band] * b[band])
}

/// Without the care that [`f64::max`] takes of what is no number.
fn larger(one: f64, other: f64) -> f64 {
    if other > one { other } else { one }
}

/// By pair of rooms: what a way of 1 m² adds to what is heard, as a part of it. 1/m².
struct Gains {
    /// In the room that comes first, and in the other.
    in_each: Vec<[Spectrum; 2]>,
    /// Where it adds more.
    in_either: Vec<Spectrum>,
}

fn in_order(rooms: [SpaceIndex; 2]) -> [SpaceIndex; 2] {
    [rooms[0].min(rooms[1]), rooms[0].max(rooms[1])]
}

/// The place of a pair of spaces in a list of them all.
fn pair(rooms: [SpaceIndex; 2]) -> usize {
    let [low, high] = in_order(rooms);
    high.0 * (high.0 + 1) / 2 + low.0
}

#[cfg(test)]
mod tests {
    use super::super::super::room::RoomPart;
    use super::super::PathKind;
    use super::*;
    use crate::acoustics::Air;

    /// Four rooms of 10 m². Sound begins in the first; 0.1 m² lead to the second, 1 mm² to the third, nothing to the fourth.
    fn worth() -> Worth {
        let room = RoomPart {
            enclosed: true,
            absorption_m2: Spectrum::splat(10.0),
            reverberation_s: Spectrum::splat(0.5),
            schroeder_hz: 200.0,
            power: Spectrum::ZERO,
            peak_db: 0.0,
            source_uncertainty_db: 0.0,
        };
        let way = |to, area_m2| Transfer {
            rooms: [SpaceIndex(0), SpaceIndex(to)],
            kind: PathKind::Through,
            surfaces: [Surface::Air; 2],
            junction: None,
            area_m2: Spectrum::splat(area_m2),
        };
        let balance = Balance::new(&vec![room; 4], &[way(1, 0.1), way(2, 1e-6)], &Air::default());
        let heard = vec![(0..4).map(|at| *balance.per_drive(SpaceIndex(at), SpaceIndex(0))).collect()];
        Worth { balance, heard, enclosed: (0..4).map(SpaceIndex).collect() }
    }

    /// The numbers of those of some ways, from room to room by some area, that are followed.
    fn followed(ways: &[([usize; 2], f64)], left_out: f64) -> Vec<usize> {
        let face = |room| RadiatingFace {
            room: SpaceIndex(room),
            surface: Surface::Air,
            kind: PathKind::Through,
            tau_m2: Spectrum::splat(1.0),
            middle: [0.0; 3],
            normal: [0.0; 3],
            size_m: [1.0; 2],
            width_m: 1.0,
        };
        let faces: Vec<RadiatingFace> = ways.iter().flat_map(|(rooms, _)| rooms.map(face)).collect();
        let may = |(at, (_, area_m2)): (usize, &(_, f64))| May { way: [2 * at, 2 * at + 1], most_per_m2: *area_m2 };
        let all: Vec<May> = ways.iter().enumerate().map(may).collect();
        worth().choose(&faces, &all, left_out).iter().map(|way| way[0] / 2).collect()
    }

    /// By hand, p² of the first room being 1: 0.01 in the second, 1e-7 in the third. A way of 1 mm² between these brings the third 0.01·1e-6/10 = 1e-9, a
    /// hundredth of what it has, and the second next to nothing.
    #[test]
    fn a_way_is_followed_when_it_may_bring_more_than_is_left_out() {
        let way = [([1, 2], 1e-6)];
        assert_eq!(followed(&way, 0.009), [0]);
        assert!(followed(&way, 0.03).is_empty());
        // From the third to the second it is the same way.
        assert_eq!(followed(&[([2, 1], 1e-6)], 0.009), [0]);
    }

    /// A thousand ways that bring a thousandth of a hundredth each: no more than asked for is left out of the third room, and not much less.
    #[test]
    fn many_small_ways_add_up() {
        let ways = vec![([1, 2], 1e-9); 1000];
        let left = |left_out| 1000 - followed(&ways, left_out).len();
        for left_out in [0.002, 0.005] {
            let of_third = left(left_out) as f64 * 1e-5;
            assert!(of_third <= left_out && of_third > 0.7 * left_out, "{of_third} of {left_out}");
        }
        assert_eq!(left(0.02), 1000);
        assert_eq!(left(0.0), 0);
    }

    /// Where nothing else is heard every way counts, however small; where nothing comes from none does.
    #[test]
    fn the_only_way_into_a_room_is_followed() {
        assert_eq!(followed(&[([1, 3], 1e-30)], 0.5), [0]);
        // Into the fourth room from the second, and by that also from the fourth to the third: what it may get to send on counts.
        assert_eq!(followed(&[([1, 3], 1.0), ([3, 2], 1e-3)], 0.01), [0, 1]);
    }
}
