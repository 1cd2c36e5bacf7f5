//! What leads into the rooms between source and listener, and out of them: asked for by every source and listener, computed once.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::construction::add;
use super::crossing::{Bit, Entries, Exits};
use super::listen::Heard;
use super::paths::{Injection, Surface};
use crate::acoustics::Spectrum;
use crate::building::SpaceIndex;

/// By room, what leads into or out of another one.
type Rooms<T> = Rc<[(SpaceIndex, Rc<T>)]>;

/// The ways by rooms between, as far as they were asked for.
pub(super) struct Between<'a> {
    heard: &'a Heard<'a>,
    /// The surfaces of a room by which anything leads out of it.
    surfaces: BTreeMap<SpaceIndex, Rc<[Surface]>>,
    entries: BTreeMap<(SpaceIndex, SpaceIndex), Rc<Entries>>,
    /// What is shaken of rooms, by the source's room and the surface it set out by.
    injections: Vec<&'a Injection>,
    struck: BTreeMap<SpaceIndex, Rooms<Entries>>,
    exits: BTreeMap<SpaceIndex, Rooms<Exits>>,
    /// Room to work in.
    bits: Vec<Bit>,
}

impl<'a> Between<'a> {
    /// Nothing was asked for yet.
    pub(super) fn new(heard: &'a Heard<'a>) -> Self {
        let (surfaces, entries) = (BTreeMap::new(), BTreeMap::new());
        let into_rooms = |injection: &&Injection| heard.rooms[injection.to.0].enclosed;
        let mut injections: Vec<&Injection> = heard.injections.iter().filter(into_rooms).collect();
        injections.sort_by_key(|injection| (injection.source, injection.entry));
        Self { heard, surfaces, entries, injections, struck: BTreeMap::new(), exits: BTreeMap::new(), bits: Vec::new() }
    }

    /// How the sound of `source` gets into another room `through`: by which surface of the source room it set out. p², summed over all ways,
    /// adds up to the energy of that room by this source.
    pub(super) fn entries(&mut self, source: SpaceIndex, through: SpaceIndex) -> Rc<Entries> {
        let heard = self.heard;
        let out = heard.transfers.by_surface(source);
        let surfaces = self.surfaces.entry(source).or_insert_with(|| {
            let all: BTreeSet<Surface> = out.iter().map(|way| way.surface).collect();
            all.into_iter().collect()
        });
        let entries = self.entries.entry((source, through)).or_insert_with(|| {
            let loud = heard.balance.energy_from(source, source);
            let mut bits: Vec<Bit> =
                surfaces.iter().map(|surface| Bit { surface: *surface, energy: Spectrum::ZERO }).collect();
            for to_one in out.chunk_by(|one, other| one.other == other.other) {
                let response = heard.balance.response(source, through, to_one[0].other);
                let response = response.zip(&loud, |response, loud| response * loud);
                // Both are in the order of surfaces.
                let mut bits = bits.iter_mut();
                for way in to_one {
                    if let Some(bit) = bits.find(|bit| bit.surface == way.surface) {
                        bit.energy =
                            bit.energy.zip(&response.zip(&way.area_m2, |way, area| way * area), |sum, own| sum + own);
                    }
                }
            }
            Rc::new(Entries::of(&bits))
        });
        entries.clone()
    }

    /// What contacts with floors and walls bring into a room by all rooms, by source room and by the surface they set out by.
    pub(super) fn struck(&mut self, room: SpaceIndex) -> Rooms<Entries> {
        let heard = self.heard;
        let struck = self.struck.entry(room).or_insert_with(|| {
            let by_source = self.injections.chunk_by(|one, other| one.source == other.source);
            let entered = |injection: &Injection| {
                heard.balance.per_drive(room, injection.to).zip(&injection.drive_m2, |way, drive| way * drive)
            };
            let struck = by_source.map(|all| {
                let bits = all.chunk_by(|one, other| one.entry == other.entry).map(|by_one| Bit {
                    surface: by_one[0].entry,
                    energy: by_one[1..].iter().fold(entered(by_one[0]), |sum, other| add(&sum, &entered(other))),
                });
                (all[0].source, Rc::new(Entries::of(&bits.collect::<Vec<_>>())))
            });
            struck.collect()
        });
        struck.clone()
    }

    /// The ways into an enclosed room, by the room they lead out of: p² in it per p² in that room.
    pub(super) fn exits_into(&mut self, here: SpaceIndex) -> Rooms<Exits> {
        let heard = self.heard;
        let exits = self.exits.entry(here).or_insert_with(|| {
            let per_loss = heard.balance.loss_m2(here).map(f64::recip);
            let from_one = heard.transfers.by_surface(here).chunk_by(|one, other| one.other == other.other);
            let bits = &mut self.bits;
            let exits = from_one.map(|ways| {
                bits.clear();
                bits.extend(ways.iter().map(|way| Bit {
                    surface: way.surface,
                    energy: way.area_m2.zip(&per_loss, |area, per_loss| area * per_loss),
                }));
                (ways[0].other, Rc::new(Exits::of(bits)))
            });
            exits.collect()
        });
        exits.clone()
    }
}
