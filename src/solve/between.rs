//! What leads into the rooms between source and listener, and out of them: asked for by every source and listener, computed once.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use rayon::prelude::*;

use super::answer::Surface;
use super::crossing::{Bit, Entries, Exits};
use super::paths::Injection;
use super::solution::Solution;
use super::sources::SourceRoom;
use crate::acoustics::Spectrum;
use crate::building::SpaceIndex;

/// The ways by rooms between, as far as they were asked for.
pub(super) struct Between<'a> {
    solution: &'a Solution<'a>,
    /// By room with a source.
    from: BTreeMap<SpaceIndex, FromSource<'a>>,
    /// What contacts bring: by the source's room and the surface it set out by, p² in each space.
    shaken: Vec<(SpaceIndex, Surface, Vec<Spectrum>)>,
    struck: Vec<OnceLock<Vec<(SpaceIndex, Entries)>>>,
    exits: Vec<OnceLock<Vec<(SpaceIndex, Exits)>>>,
}

/// What sets out from one room.
struct FromSource<'a> {
    source: &'a SourceRoom,
    /// By the surface it set out by, what is brought into all other rooms makes of p² in each space.
    by_surface: Vec<(Surface, Vec<Spectrum>)>,
    into: Vec<OnceLock<Entries>>,
}

fn unasked<T>(spaces: usize) -> Vec<OnceLock<T>> {
    (0..spaces).map(|_| OnceLock::new()).collect()
}

impl<'a> Between<'a> {
    /// Nothing was asked for yet.
    pub(super) fn new(solution: &'a Solution<'a>) -> Self {
        let (balance, spaces) = (solution.balance, solution.rooms.len());
        let from = |source: &'a SourceRoom| {
            let out = solution.transfers.by_surface(source.room);
            let loud = source.own_energy();
            let surfaces: BTreeSet<Surface> = out.iter().map(|way| way.surface).collect();
            let surfaces: Vec<Surface> = surfaces.into_iter().collect();
            let by_surface = surfaces.into_par_iter().map(|surface| {
                let by_it = out.iter().filter(|way| way.surface == surface);
                let drives = by_it.map(|way| (way.other, way.area_m2.zip(&loud, |area, loud| area * loud)));
                (surface, balance.field(drives))
            });
            (source.room, FromSource { source, by_surface: by_surface.collect(), into: unasked(spaces) })
        };
        let into_rooms = |injection: &&Injection| solution.rooms[injection.to.0].enclosed;
        let mut injections: Vec<&Injection> = solution.injections.iter().filter(into_rooms).collect();
        injections.sort_by_key(|injection| (injection.source, injection.entry));
        let of_one: Vec<&[&Injection]> =
            injections.chunk_by(|one, other| (one.source, one.entry) == (other.source, other.entry)).collect();
        let shaken = of_one.into_par_iter().map(|all| {
            let field = balance.field(all.iter().map(|injection| (injection.to, injection.drive_m2)));
            (all[0].source, all[0].entry, field)
        });
        Self {
            solution,
            from: solution.sources.iter().map(from).collect(),
            shaken: shaken.collect(),
            struck: unasked(spaces),
            exits: unasked(spaces),
        }
    }

    /// How the sound of `source` gets into another room `through`: by which surface of the source room it set out. p², summed over all ways,
    /// adds up to the energy of that room by this source.
    pub(super) fn entries(&self, source: SpaceIndex, through: SpaceIndex) -> &Entries {
        let FromSource { source, by_surface, into } = &self.from[&source];
        into[through.0].get_or_init(|| {
            let bit = |(surface, field): &(Surface, Vec<Spectrum>)| Bit {
                surface: *surface,
                energy: source.held(field, through),
            };
            Entries::of(&by_surface.iter().map(bit).collect::<Vec<_>>())
        })
    }

    /// What contacts with floors and walls bring into a room by all rooms, by source room and by the surface they set out by.
    pub(super) fn struck(&self, room: SpaceIndex) -> &[(SpaceIndex, Entries)] {
        self.struck[room.0].get_or_init(|| {
            let by_source = self.shaken.chunk_by(|one, other| one.0 == other.0);
            let struck = by_source.map(|all| {
                let bits = all.iter().map(|(_, entry, field)| Bit { surface: *entry, energy: field[room.0] });
                (all[0].0, Entries::of(&bits.collect::<Vec<_>>()))
            });
            struck.collect()
        })
    }

    /// The ways into an enclosed room, by the room they lead out of: p² in it per p² in that room.
    pub(super) fn exits_into(&self, here: SpaceIndex) -> &[(SpaceIndex, Exits)] {
        self.exits[here.0].get_or_init(|| {
            let per_loss = self.solution.balance.loss_m2(here).map(f64::recip);
            let from_one = self.solution.transfers.by_surface(here).chunk_by(|one, other| one.other == other.other);
            let exits = from_one.map(|ways| {
                let bits = ways.iter().map(|way| Bit {
                    surface: way.surface,
                    energy: way.area_m2.zip(&per_loss, |area, per_loss| area * per_loss),
                });
                (ways[0].other, Exits::of(&bits.collect::<Vec<_>>()))
            });
            exits.collect()
        })
    }
}
