//! First-order ways between rooms, and the list of them all.

use std::sync::OnceLock;

use super::super::answer::{PathKind, Route, Surface};
use super::super::construction::add;
use crate::acoustics::Spectrum;
use crate::building::{Building, JunctionIndex, SpaceIndex, SpaceKind};

/// One first-order way between two rooms.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// The rooms at its ends, two different ones.
    pub rooms: [SpaceIndex; 2],
    /// What kind of way.
    pub kind: PathKind,
    /// Where the sound leaves the one room or comes out in it, and the same in the other.
    pub surfaces: [Surface; 2],
    /// The junction it goes round, if it does.
    pub junction: Option<JunctionIndex>,
    /// τ·S, m².
    pub area_m2: Spectrum,
    /// Where it runs in the open air, from its first room to the other; nothing within the building.
    pub route: Option<Route>,
}

/// A first-order way in one of its two directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way<'a> {
    /// The sending room.
    pub from: SpaceIndex,
    /// The receiving room.
    pub to: SpaceIndex,
    /// What kind of way.
    pub kind: PathKind,
    /// Where the sound leaves the sending room.
    pub entry: Surface,
    /// Where it comes out in the receiving room.
    pub exit: Surface,
    /// The junction it goes round, if it does.
    pub junction: Option<JunctionIndex>,
    /// τ·S, m².
    pub area_m2: &'a Spectrum,
    /// Where it runs in the open air, from room to room unless `backwards`.
    pub route: Option<&'a Route>,
    /// Whether it leads the other way than its route.
    pub backwards: bool,
}

impl Transfer {
    /// The way out of the room at one of its ends, 0 or 1.
    fn out_of(&self, end: usize) -> Way<'_> {
        let ([from, to], [entry, exit]) = match end {
            0 => (self.rooms, self.surfaces),
            _ => ([self.rooms[1], self.rooms[0]], [self.surfaces[1], self.surfaces[0]]),
        };
        let (junction, area_m2, route) = (self.junction, &self.area_m2, self.route.as_ref());
        Way { from, to, kind: self.kind, entry, exit, junction, area_m2, route, backwards: end != 0 }
    }

    /// True for a way that passes anything.
    pub(in crate::solve) fn passes(&self) -> bool {
        self.area_m2.iter().any(|area| *area > 0.0)
    }
}

/// All first-order ways between rooms, in a stable order.
#[derive(Debug, Clone)]
pub struct Transfers {
    all: Vec<Transfer>,
    /// For each space the ways that end in it: place in the list, and which end.
    by_room: Vec<Vec<(usize, usize)>>,
    /// For each space what [`Self::by_surface`] says, once it was asked for.
    by_surface: Vec<OnceLock<Vec<BySurface>>>,
}

/// All ways between a room and another one that leave the first, or come out in it, by one of its surfaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BySurface {
    /// The other room.
    pub other: SpaceIndex,
    /// The surface in the room itself.
    pub surface: Surface,
    /// τ·S of them all, m².
    pub area_m2: Spectrum,
}

impl Transfers {
    /// Of ways between so many spaces.
    #[must_use]
    pub fn new(all: Vec<Transfer>, spaces: usize) -> Self {
        let mut ends = vec![0; spaces];
        all.iter().flat_map(|transfer| transfer.rooms).for_each(|room| ends[room.0] += 1);
        let mut by_room: Vec<Vec<(usize, usize)>> = ends.into_iter().map(Vec::with_capacity).collect();
        for (at, transfer) in all.iter().enumerate() {
            for (end, room) in transfer.rooms.iter().enumerate() {
                by_room[room.0].push((at, end));
            }
        }
        Self { all, by_room, by_surface: vec![OnceLock::new(); spaces] }
    }

    /// Each way once.
    #[must_use]
    pub fn as_slice(&self) -> &[Transfer] {
        &self.all
    }

    /// The ways between a room and the others, summed by the other room and the surface in the room itself, in that order.
    pub fn by_surface(&self, room: SpaceIndex) -> &[BySurface] {
        self.by_surface[room.0].get_or_init(|| {
            let ends = &self.by_room[room.0];
            let other = |(at, end): (usize, usize)| self.all[at].rooms[1 - end].0;
            // Put in order by the other room first, so that what is left to sort is short.
            let mut starts = vec![0; self.by_room.len() + 1];
            ends.iter().for_each(|way| starts[other(*way) + 1] += 1);
            (1..starts.len()).for_each(|at| starts[at] += starts[at - 1]);
            let mut ways = vec![(0, 0, 0); ends.len()];
            let mut next = starts.clone();
            for (at, end) in ends {
                let place = &mut next[other((*at, *end))];
                ways[*place] = (rank(self.all[*at].surfaces[*end]), *at, *end);
                *place += 1;
            }
            let mut sums = Vec::with_capacity(ends.len());
            for from_to in starts.windows(2) {
                let ways = &mut ways[from_to[0]..from_to[1]];
                ways.sort_unstable();
                sums.extend(ways.chunk_by(|one, other| one.0 == other.0).map(|same| {
                    let (_, first, end) = same[0];
                    let first = &self.all[first];
                    let rest = same[1..].iter().map(|(_, at, _)| &self.all[*at].area_m2);
                    BySurface {
                        other: first.rooms[1 - end],
                        surface: first.surfaces[end],
                        area_m2: rest.fold(first.area_m2, |sum, area| add(&sum, area)),
                    }
                }));
            }
            sums
        })
    }

    /// The ways out of a room, in the order of the list.
    pub fn out_of(&self, room: SpaceIndex) -> impl Iterator<Item = Way<'_>> {
        self.by_room[room.0].iter().map(|(at, end)| self.all[*at].out_of(*end))
    }

    /// The ways into a room, in the order of the list.
    pub fn into(&self, room: SpaceIndex) -> impl Iterator<Item = Way<'_>> {
        self.by_room[room.0].iter().map(|(at, end)| self.all[*at].out_of(1 - end))
    }
}

/// A number for each surface, in their order. No building has as many as the numbers leave room for.
fn rank(surface: Surface) -> u64 {
    let (kind, element, number) = match surface {
        Surface::Element(element) => (0, element.0, 0),
        Surface::Opening(element, number) => (1, element.0, number),
        Surface::Gap(element, number) => (2, element.0, number),
        Surface::Duct(number) => (3, number, 0),
        Surface::Air => (4, 0, 0),
        Surface::Building => (5, 0, 0),
    };
    kind << 61 | (element as u64) << 24 | number as u64
}

pub(super) fn is_room(building: &Building, space: SpaceIndex) -> bool {
    matches!(building.spaces[space.0].kind, SpaceKind::Room(_))
}
