//! Which ways between rooms without a source are worth following.
//!
//! Such a way brings what has already come through a wall into the one room, to what has come into the other. Ways that could bring least are left out, as
//! long as all of them together bring no more to any room than a small part of what is there without them.

use super::super::balance::Balance;
use super::structure_borne::beside_the_edge;
use super::{Surface, Transfer, Within};
use crate::acoustics::Spectrum;
use crate::building::SpaceIndex;

/// A way that may be followed.
#[derive(Debug, Clone, Copy)]
pub(super) struct May<'a> {
    /// Which façade parts it leads from and to.
    pub way: [usize; 2],
    /// The rooms at its ends.
    pub rooms: [SpaceIndex; 2],
    /// τ·S of both parts, m².
    pub tau_m2: [&'a Spectrum; 2],
    /// So many times both, 1/m², it may pass at most.
    pub most_per_m2: f64,
}

impl May<'_> {
    /// The most that it may pass, m².
    fn most_m2(&self) -> Spectrum {
        let [out, back] = self.tau_m2;
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
        let loud = within.origins.loud.iter().map(|from| in_all(&|to| balance.per_drive(to, *from)));
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
                shaken.iter().fold(Spectrum::ZERO, |sum, (by, drive)| {
                    let way = balance.per_drive(to, *by);
                    Spectrum::from_fn(|band| sum[band] + way[band] * drive[band])
                })
            })
        });
        let heard = loud.chain(struck).collect();
        let enclosed = spaces.clone().map(SpaceIndex).filter(|at| within.rooms[at.0].enclosed).collect();
        Self { balance, heard, enclosed }
    }

    /// The ways that are worth following, in their order: without the others each room has all of its energy but `left_out` in every band.
    pub fn choose(&self, all: &[May<'_>], left_out: f64) -> Vec<[usize; 2]> {
        let gains = self.gains(all);
        let most_part = |may: &May<'_>| {
            let gain = &gains.in_either[pair(may.rooms)];
            may.most_m2().zip(gain, |area, gain| area * gain).largest()
        };
        let parts: Vec<f64> = all.iter().map(most_part).collect();
        // Of ways this small all together bring a quarter of that; the others share the rest, small ones first.
        let small = left_out / 4.0 / all.len().max(1) as f64;
        let rest = 0.75 * left_out;
        let mut left = vec![Spectrum::ZERO; self.balance.space_count()];
        let mut followed: Vec<bool> = parts.iter().map(|part| *part > small).collect();
        let mut from = small;
        for to in [512.0, 128.0, 32.0, 8.0, 1.0].map(|part| rest / part) {
            for (at, may) in all.iter().enumerate().filter(|(at, _)| parts[*at] > from && parts[*at] <= to) {
                let (ends, most_m2) = (in_order(may.rooms), may.most_m2());
                let sums = [0, 1].map(|end| {
                    let (gain, sum) = (&gains.in_each[pair(ends)][end], &left[ends[end].0]);
                    Spectrum::from_fn(|band| sum[band] + most_m2[band] * gain[band])
                });
                if sums.iter().all(|sum| sum.largest() <= rest) {
                    followed[at] = false;
                    ends.iter().zip(sums).for_each(|(room, sum)| left[room.0] = sum);
                }
            }
            from = to;
        }
        all.iter().zip(followed).filter(|(_, followed)| *followed).map(|(may, _)| may.way).collect()
    }

    fn gains(&self, all: &[May<'_>]) -> Gains {
        let n = self.balance.space_count();
        let mut most_m2 = vec![Spectrum::ZERO; n * (n + 1) / 2];
        for may in all {
            let sum = &mut most_m2[pair(may.rooms)];
            let [out, back] = may.tau_m2;
            *sum = Spectrum::from_fn(|band| sum[band] + may.most_per_m2 * out[band] * back[band]);
        }
        let mut in_each = vec![[Spectrum::ZERO; 2]; most_m2.len()];
        for heard in &self.heard {
            let most = self.most(heard, &most_m2);
            for (one, high) in self.enclosed.iter().enumerate() {
                for low in &self.enclosed[..one] {
                    let gain = &mut in_each[pair([*low, *high])];
                    for (gain, [from, to]) in gain.iter_mut().zip([[high, low], [low, high]]) {
                        let answers = self.balance.per_drive(*to, *to);
                        let part = |band: usize| most[from.0][band] * answers[band] / heard[to.0][band];
                        // Where nothing comes from, nothing is lost; where nothing is, everything counts.
                        *gain = Spectrum::from_fn(|band| {
                            if most[from.0][band] > 0.0 { gain[band].max(part(band)) } else { gain[band] }
                        });
                    }
                }
            }
        }
        Gains { in_either: in_each.iter().map(|[one, other]| one.zip(other, f64::max)).collect(), in_each }
    }

    /// How loud it may get at most with all ways: what is heard, what that sends on by them, and what this sends on once more.
    fn most(&self, heard: &[Spectrum], most_m2: &[Spectrum]) -> Vec<Spectrum> {
        let mut most = heard.to_vec();
        for _ in 0..2 {
            let sent = |to: SpaceIndex| {
                self.enclosed.iter().fold(Spectrum::ZERO, |sum, from| {
                    let area = &most_m2[pair([*from, to])];
                    Spectrum::from_fn(|band| sum[band] + area[band] * most[from.0][band])
                })
            };
            let sent: Vec<(SpaceIndex, Spectrum)> = self.enclosed.iter().map(|to| (*to, sent(*to))).collect();
            for at in &self.enclosed {
                most[at.0] = sent.iter().fold(heard[at.0], |sum, (by, drive)| {
                    let way = self.balance.per_drive(*at, *by);
                    Spectrum::from_fn(|band| sum[band] + way[band] * drive[band])
                });
            }
        }
        most
    }
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
        let heard = vec![(0..4).map(|at| balance.per_drive(SpaceIndex(at), SpaceIndex(0))).collect()];
        Worth { balance, heard, enclosed: (0..4).map(SpaceIndex).collect() }
    }

    fn followed(ways: &[([usize; 2], f64)], left_out: f64) -> Vec<[usize; 2]> {
        let one = Spectrum::splat(1.0);
        let may = |(at, (rooms, area_m2)): (usize, &([usize; 2], f64))| May {
            way: [at, 0],
            rooms: rooms.map(SpaceIndex),
            tau_m2: [&one; 2],
            most_per_m2: *area_m2,
        };
        let all: Vec<May<'_>> = ways.iter().enumerate().map(may).collect();
        worth().choose(&all, left_out)
    }

    /// By hand, p² of the first room being 1: 0.01 in the second, 1e-7 in the third. A way of 1 mm² between these brings the third 0.01·1e-6/10 = 1e-9, a
    /// hundredth of what it has, and the second next to nothing.
    #[test]
    fn a_way_is_followed_when_it_may_bring_more_than_is_left_out() {
        let way = [([1, 2], 1e-6)];
        assert_eq!(followed(&way, 0.009), [[0, 0]]);
        assert!(followed(&way, 0.03).is_empty());
        // From the third to the second it is the same way.
        assert_eq!(followed(&[([2, 1], 1e-6)], 0.009), [[0, 0]]);
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
        assert_eq!(followed(&[([1, 3], 1e-30)], 0.5), [[0, 0]]);
        // Into the fourth room from the second, and by that also from the fourth to the third: what it may get to send on counts.
        assert_eq!(followed(&[([1, 3], 1.0), ([3, 2], 1e-3)], 0.01), [[0, 0], [1, 0]]);
    }
}
