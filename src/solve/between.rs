//! What leads into the rooms between source and listener, and out of them: asked for by every source and listener, computed once.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::construction::add;
use super::crossing::{Bit, Exits, by_surface};
use super::listen::Heard;
use crate::acoustics::Spectrum;
use crate::building::SpaceIndex;

/// By room, what leads into or out of another one.
type Rooms<T> = Rc<[(SpaceIndex, Rc<T>)]>;

/// The ways by rooms between, as far as they were asked for.
pub(super) struct Between<'a> {
    heard: &'a Heard<'a>,
    /// τ·S out of a room, by surface and by the room it leads to.
    leaving: BTreeMap<SpaceIndex, Rc<[(Bit, SpaceIndex)]>>,
    entries: BTreeMap<(SpaceIndex, SpaceIndex), Rc<[Bit]>>,
    struck: BTreeMap<SpaceIndex, Rooms<[Bit]>>,
    exits: BTreeMap<SpaceIndex, Rooms<Exits>>,
}

impl<'a> Between<'a> {
    /// Nothing was asked for yet.
    pub(super) fn new(heard: &'a Heard<'a>) -> Self {
        let (leaving, entries) = (BTreeMap::new(), BTreeMap::new());
        Self { heard, leaving, entries, struck: BTreeMap::new(), exits: BTreeMap::new() }
    }

    /// How the sound of `source` gets into another room `through`: by which surface of the source room it set out. p², summed over all ways,
    /// adds up to the energy of that room by this source.
    pub(super) fn entries(&mut self, source: SpaceIndex, through: SpaceIndex) -> Rc<[Bit]> {
        let heard = self.heard;
        let leaving = self.leaving.entry(source).or_insert_with(|| leaving(heard, source));
        let entries = self.entries.entry((source, through)).or_insert_with(|| {
            let loud = heard.balance.energy_from(source, source);
            let mut responses: BTreeMap<SpaceIndex, Spectrum> = BTreeMap::new();
            let bits = leaving.iter().map(|(bit, to)| {
                let response = responses.entry(*to).or_insert_with(|| heard.balance.response(source, through, *to));
                let energy = Spectrum::from_fn(|band| response[band] * bit.energy[band] * loud[band]);
                Bit { surface: bit.surface, energy }
            });
            by_surface(bits).into()
        });
        entries.clone()
    }

    /// What contacts with floors and walls bring into a room by all rooms, by source room and by the surface they set out by.
    pub(super) fn struck(&mut self, room: SpaceIndex) -> Rooms<[Bit]> {
        let heard = self.heard;
        let struck = self.struck.entry(room).or_insert_with(|| {
            let mut by_source: BTreeMap<SpaceIndex, Vec<Bit>> = BTreeMap::new();
            for injection in heard.injections.iter().filter(|injection| heard.rooms[injection.to.0].enclosed) {
                let way = heard.balance.per_drive(room, injection.to);
                let energy = way.zip(&injection.drive_m2, |way, drive| way * drive);
                by_source.entry(injection.source).or_default().push(Bit { surface: injection.entry, energy });
            }
            by_source.into_iter().map(|(source, bits)| (source, Rc::from(by_surface(bits)))).collect()
        });
        struck.clone()
    }

    /// The ways into an enclosed room, by the room they lead out of: p² in it per p² in that room.
    pub(super) fn exits_into(&mut self, here: SpaceIndex) -> Rooms<Exits> {
        let heard = self.heard;
        let exits = self.exits.entry(here).or_insert_with(|| {
            let loss_m2 = heard.balance.loss_m2(here);
            let mut by_room: BTreeMap<SpaceIndex, Vec<Bit>> = BTreeMap::new();
            for transfer in heard.transfers.into(here) {
                let energy = transfer.area_m2.zip(loss_m2, |area, loss| area / loss);
                by_room.entry(transfer.from).or_default().push(Bit { surface: transfer.exit, energy });
            }
            by_room.into_iter().map(|(room, bits)| (room, Rc::new(Exits::of(by_surface(bits))))).collect()
        });
        exits.clone()
    }
}

/// τ·S out of a room, by surface and by the room it leads to.
fn leaving(heard: &Heard<'_>, source: SpaceIndex) -> Rc<[(Bit, SpaceIndex)]> {
    let mut sums: BTreeMap<_, Spectrum> = BTreeMap::new();
    for transfer in heard.transfers.out_of(source) {
        sums.entry((transfer.entry, transfer.to))
            .and_modify(|sum| *sum = add(sum, transfer.area_m2))
            .or_insert(*transfer.area_m2);
    }
    sums.into_iter().map(|((surface, to), energy)| (Bit { surface, energy }, to)).collect()
}
