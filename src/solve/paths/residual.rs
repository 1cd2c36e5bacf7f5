//! What field work always leaves between two rooms of one building, by no path that a drawing shows: the junctions of a shell with itself, rigid modes of
//! mounts and their coupling through the slab, services, door frames.
//!
//! DnT falls to [`crate::scene::Residual::dnt_db`] from 250 Hz up, and is 6 dB less for each octave below. Size and slope are own judgement; the best separations
//! in print lie round it: means of 65 dB (Plumb, BBC RD 1990/13: a test suite of double brick) to above 80 dB (Meares, BBC RD 1987/1, survey of studio centres,
//! the best few), 60 to 80 dB (guide for band facilities UFC 4-171-04AN; all as quoted elsewhere). Rooms that meet at an edge only are given no more: print
//! has nothing on them. A shell's own figure knows none of this.

use std::collections::{BTreeMap, BTreeSet};

use super::super::answer::{PathKind, Surface};
use super::transfer::Transfer;
use crate::acoustics::{Bands, Spectrum};
use crate::building::{Building, SpaceIndex, SpaceKind};
use crate::scene::Usage;

/// From this midband up DnT no longer rises, Hz. Own judgement.
const FLAT_FROM_HZ: f64 = 250.0;
/// How much less it is for each octave below, dB. Own judgement: mounts and wide gaps lose their gain towards their resonance.
const PER_OCTAVE_DB: f64 = 6.0;
/// Reference reverberation time of dwellings, s. Source: ISO 16283-1:2014, 3.14.
const T0_S: f64 = 0.5;

/// How much more DnT is for each room in between, dB: a T junction of equal plates passes so much less on (K12 = 5.7 dB, ISO 12354-1:2017 Annex E). That structures
/// carry the residual on at this rate is own judgement.
const PER_ROOM_BETWEEN_DB: f64 = 5.7;

/// What every pair of rooms leaks that share an element or meet at a junction, and each loud room to all others that it is joined to by such pairs, into a
/// list. From room to room elsewhere it is heard by the rooms between; so the number grows with the building and not with its square. Outdoors has none, and a
/// building that stands apart.
pub(super) fn transfers(
    building: &Building,
    loud: &[SpaceIndex],
    dnt_db: f64,
    bands: &Bands,
    into: &mut Vec<Transfer>,
) {
    let sides = |index: usize| building.elements[index].sides;
    let mut near: BTreeSet<[SpaceIndex; 2]> =
        (0..building.elements.len()).filter_map(|at| pair(building, sides(at))).collect();
    for junction in building.junctions.iter() {
        let mut meet: Vec<SpaceIndex> = junction.arms.iter().flat_map(|arm| sides(arm.element.0)).collect();
        meet.sort_unstable();
        meet.dedup();
        for (at, one) in meet.iter().enumerate() {
            near.extend(meet[at + 1..].iter().filter_map(|other| pair(building, [*one, *other])));
        }
    }
    let mut between: BTreeMap<[SpaceIndex; 2], usize> = near.iter().map(|rooms| (*rooms, 0)).collect();
    let mut next_to: BTreeMap<SpaceIndex, Vec<SpaceIndex>> = BTreeMap::new();
    for [one, other] in near {
        next_to.entry(one).or_default().push(other);
        next_to.entry(other).or_default().push(one);
    }
    for from in loud {
        let (mut reached, mut ring, mut rooms_between) = (BTreeSet::from([*from]), vec![*from], 0);
        while !ring.is_empty() {
            let beyond = ring.iter().filter_map(|room| next_to.get(room)).flatten();
            ring = beyond.filter(|room| reached.insert(**room)).copied().collect();
            for room in &ring {
                between.entry([*from.min(room), *from.max(room)]).or_insert(rooms_between);
            }
            rooms_between += 1;
        }
    }
    for (rooms, rooms_between) in between {
        let [one, other] = rooms.map(|room| volume_m3(building, room));
        into.push(Transfer {
            rooms,
            kind: PathKind::Residual,
            surfaces: [Surface::Building; 2],
            junction: None,
            area_m2: area_m2(dnt_db + PER_ROOM_BETWEEN_DB * rooms_between as f64, one.min(other), bands),
            route: None,
        });
    }
}

/// τ·S of a standardised level difference, m²: DnT = 10 lg(p1²/p2²) + 10 lg(T/T0) with A·p2² = τS·p1² and T = 0.16·V/A, so τS = 0.16·V/T0·10^(−DnT/10) = 0.32·V·10^(−DnT/10).
/// V is the smaller of the two rooms, which is where the sound would be measured (ISO 16283-1:2014, 7.2.1: the larger room is the source room), so that the path
/// is the same in both directions.
fn area_m2(dnt_db: f64, volume_m3: f64, bands: &Bands) -> Spectrum {
    bands.map(|hz| {
        let octaves_below = (FLAT_FROM_HZ / hz).log2().max(0.0);
        0.16 * volume_m3 / T0_S * 10f64.powf(-(dnt_db - PER_OCTAVE_DB * octaves_below) / 10.0)
    })
}

/// Two different rooms, the lower number first. The air gap of a double leaf drawn as walls is none.
fn pair(building: &Building, [one, other]: [SpaceIndex; 2]) -> Option<[SpaceIndex; 2]> {
    let is_room =
        |at: SpaceIndex| matches!(&building.spaces[at.0].kind, SpaceKind::Room(room) if room.usage != Usage::Cavity);
    (one != other && is_room(one) && is_room(other)).then(|| [one.min(other), one.max(other)])
}

fn volume_m3(building: &Building, at: SpaceIndex) -> f64 {
    match &building.spaces[at.0].kind {
        SpaceKind::Room(room) => room.volume_m3,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: rooms of 50 m³ at T = 0.5 s have A = 0.16·50/0.5 = 16 m²; a level difference of 70 dB is then DnT, and τS = 16·10⁻⁷ m². An octave below 250 Hz
    /// it is 6 dB less, two octaves 12. Within 0.15 dB: midbands are the exact ones, 31.62 Hz is 2.98 octaves below 250 Hz.
    #[test]
    fn an_area_of_tau_one_gives_its_standardised_level_difference() {
        let area = area_m2(70.0, 50.0, &Bands::exact());
        let at = |hz| 10.0 * (16.0 / area[Bands::nearest(hz)]).log10();
        for (hz, db) in [(4000.0, 70.0), (500.0, 70.0), (125.0, 64.0), (63.0, 58.0), (31.5, 52.0)] {
            assert!((at(hz) - db).abs() < 0.15, "{hz}: {}", at(hz));
        }
    }
}
