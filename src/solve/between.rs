//! What leads into the rooms between source and listener, and out of them: asked for by every source and listener, computed once.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use super::answer::Surface;
use super::construction::add;
use super::crossing::{Bit, Entries, Exits};
use super::paths::Injection;
use super::solution::Solution;
use crate::acoustics::Spectrum;
use crate::building::SpaceIndex;

/// The ways by rooms between, as far as they were asked for.
pub(super) struct Between<'a> {
    solution: &'a Solution<'a>,
    /// By room with a source, and by room between.
    entries: BTreeMap<SpaceIndex, FromSource>,
    /// What is shaken of rooms, by the source's room and the surface it set out by.
    injections: Vec<&'a Injection>,
    struck: Vec<OnceLock<Vec<(SpaceIndex, Entries)>>>,
    exits: Vec<OnceLock<Vec<(SpaceIndex, Exits)>>>,
}

/// What sets out from one room.
struct FromSource {
    /// The surfaces by which anything leads out of it.
    surfaces: BTreeSet<Surface>,
    into: Vec<OnceLock<Entries>>,
}

impl<'a> Between<'a> {
    /// Nothing was asked for yet.
    pub(super) fn new(solution: &'a Solution<'a>) -> Self {
        let spaces = solution.rooms.len();
        let from = |source: &SpaceIndex| {
            let surfaces = solution.transfers.by_surface(*source).iter().map(|way| way.surface).collect();
            (*source, FromSource { surfaces, into: (0..spaces).map(|_| OnceLock::new()).collect() })
        };
        let into_rooms = |injection: &&Injection| solution.rooms[injection.to.0].enclosed;
        let mut injections: Vec<&Injection> = solution.injections.iter().filter(into_rooms).collect();
        injections.sort_by_key(|injection| (injection.source, injection.entry));
        Self {
            solution,
            entries: solution.origins.loud.iter().map(from).collect(),
            injections,
            struck: (0..spaces).map(|_| OnceLock::new()).collect(),
            exits: (0..spaces).map(|_| OnceLock::new()).collect(),
        }
    }

    /// How the sound of `source` gets into another room `through`: by which surface of the source room it set out. p², summed over all ways,
    /// adds up to the energy of that room by this source.
    pub(super) fn entries(&self, source: SpaceIndex, through: SpaceIndex) -> &Entries {
        let balance = self.solution.balance;
        let from = &self.entries[&source];
        from.into[through.0].get_or_init(|| {
            let loud = balance.energy_from(source, source);
            let mut bits: Vec<Bit> =
                from.surfaces.iter().map(|surface| Bit { surface: *surface, energy: Spectrum::ZERO }).collect();
            let out = self.solution.transfers.by_surface(source);
            for to_one in out.chunk_by(|one, other| one.other == other.other) {
                let response = balance.response(source, through, to_one[0].other);
                let response = response.zip(&loud, |response, loud| response * loud);
                // Both are in the order of surfaces.
                let mut bits = bits.iter_mut();
                for way in to_one {
                    if let Some(bit) = bits.find(|bit| bit.surface == way.surface) {
                        let entered = response.zip(&way.area_m2, |response, area| response * area);
                        bit.energy = add(&bit.energy, &entered);
                    }
                }
            }
            Entries::of(&bits)
        })
    }

    /// What contacts with floors and walls bring into a room by all rooms, by source room and by the surface they set out by.
    pub(super) fn struck(&self, room: SpaceIndex) -> &[(SpaceIndex, Entries)] {
        self.struck[room.0].get_or_init(|| {
            let by_source = self.injections.chunk_by(|one, other| one.source == other.source);
            let balance = self.solution.balance;
            let entered = |injection: &Injection| {
                balance.per_drive(room, injection.to).zip(&injection.drive_m2, |way, drive| way * drive)
            };
            let struck = by_source.map(|all| {
                let bits = all.chunk_by(|one, other| one.entry == other.entry).map(|by_one| Bit {
                    surface: by_one[0].entry,
                    energy: by_one[1..].iter().fold(entered(by_one[0]), |sum, other| add(&sum, &entered(other))),
                });
                (all[0].source, Entries::of(&bits.collect::<Vec<_>>()))
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
