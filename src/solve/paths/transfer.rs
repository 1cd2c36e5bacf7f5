//! First-order paths between rooms, and the list of them all.

use std::collections::BTreeMap;

use super::super::answer::{PathKind, Route, Surface};
use super::super::construction::add;
use crate::acoustics::Spectrum;
use crate::building::{Building, JunctionIndex, SpaceIndex, SpaceKind};

/// One first-order path between two rooms.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// The rooms at its ends, two different ones.
    pub rooms: [SpaceIndex; 2],
    /// What kind of path.
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

/// A first-order path in one of its two directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirectedTransfer<'a> {
    /// The sending room.
    pub from: SpaceIndex,
    /// The receiving room.
    pub to: SpaceIndex,
    /// What kind of path.
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
    /// The path out of the room at one of its ends, 0 or 1.
    fn out_of(&self, end: usize) -> DirectedTransfer<'_> {
        let ([from, to], [entry, exit]) = match end {
            0 => (self.rooms, self.surfaces),
            _ => ([self.rooms[1], self.rooms[0]], [self.surfaces[1], self.surfaces[0]]),
        };
        let (junction, area_m2, route) = (self.junction, &self.area_m2, self.route.as_ref());
        DirectedTransfer { from, to, kind: self.kind, entry, exit, junction, area_m2, route, backwards: end != 0 }
    }

    /// True for a path that passes anything.
    pub(in crate::solve) fn passes(&self) -> bool {
        self.area_m2.iter().any(|area| *area > 0.0)
    }
}

/// All first-order paths between rooms, in a stable order.
#[derive(Debug, Clone)]
pub struct Transfers {
    all: Vec<Transfer>,
    /// For each space the paths that end in it: place in the list, and which end.
    by_room: Vec<Vec<(usize, usize)>>,
}

impl Transfers {
    /// Of paths between so many spaces.
    #[must_use]
    pub fn new(all: Vec<Transfer>, spaces: usize) -> Self {
        let mut by_room: Vec<Vec<(usize, usize)>> = vec![Vec::new(); spaces];
        for (at, transfer) in all.iter().enumerate() {
            for (end, room) in transfer.rooms.iter().enumerate() {
                by_room[room.0].push((at, end));
            }
        }
        Self { all, by_room }
    }

    /// Each path once.
    #[must_use]
    pub fn as_slice(&self) -> &[Transfer] {
        &self.all
    }

    /// τ·S (m²) of the paths between a room and the others, summed by the other room and the surface in the room itself, in that order.
    #[must_use]
    pub fn by_surface(&self, room: SpaceIndex) -> Vec<(SpaceIndex, Surface, Spectrum)> {
        let mut sums: BTreeMap<(SpaceIndex, Surface), Spectrum> = BTreeMap::new();
        for (at, end) in &self.by_room[room.0] {
            let Transfer { rooms, surfaces, area_m2, .. } = &self.all[*at];
            let sum = sums.entry((rooms[1 - end], surfaces[*end])).or_insert(Spectrum::ZERO);
            *sum = add(sum, area_m2);
        }
        sums.into_iter().map(|((other, surface), sum)| (other, surface, sum)).collect()
    }

    /// The paths out of a room, in the order of the list.
    pub fn out_of(&self, room: SpaceIndex) -> impl Iterator<Item = DirectedTransfer<'_>> {
        self.by_room[room.0].iter().map(|(at, end)| self.all[*at].out_of(*end))
    }

    /// The paths into a room, in the order of the list.
    pub fn into(&self, room: SpaceIndex) -> impl Iterator<Item = DirectedTransfer<'_>> {
        self.by_room[room.0].iter().map(|(at, end)| self.all[*at].out_of(1 - end))
    }
}

pub(super) fn is_room(building: &Building, space: SpaceIndex) -> bool {
    matches!(building.spaces[space.0].kind, SpaceKind::Room(_))
}
