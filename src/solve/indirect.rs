//! What leads into the rooms between source and listener, and out of them: asked for by every source and listener, computed once.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rayon::prelude::*;

use super::answer::Surface;
use super::crossing::Surfaces;
use super::solution::Solution;
use super::sources::SourceRoom;
use crate::acoustics::Spectrum;
use crate::building::SpaceIndex;

/// The paths by rooms between, as far as they were asked for.
pub(super) struct IndirectPaths<'a> {
    solution: &'a Solution<'a>,
    /// By room with a source.
    from: BTreeMap<SpaceIndex, FromSource<'a>>,
    /// What contacts bring: by the source's room and the surface it set out by, p² in each space.
    structure_borne_fields: Vec<(SpaceIndex, Surface, Vec<Spectrum>)>,
    structure_borne: Vec<OnceLock<Vec<(SpaceIndex, Surfaces)>>>,
    exits: Vec<OnceLock<Vec<(SpaceIndex, Surfaces)>>>,
}

/// What sets out from one room.
struct FromSource<'a> {
    source: &'a SourceRoom,
    /// By the surface it set out by, what is brought into all other rooms makes of p² in each space.
    by_surface: Vec<(Surface, Vec<Spectrum>)>,
    into: Vec<OnceLock<Surfaces>>,
}

fn unasked<T>(spaces: usize) -> Vec<OnceLock<T>> {
    (0..spaces).map(|_| OnceLock::new()).collect()
}

impl<'a> IndirectPaths<'a> {
    /// Nothing was asked for yet.
    pub(super) fn new(solution: &'a Solution<'a>) -> Self {
        let (balance, spaces) = (solution.balance, solution.rooms.len());
        let from = |source: &'a SourceRoom| {
            let loud = source.own_energy();
            let mut drives: BTreeMap<Surface, Vec<(SpaceIndex, Spectrum)>> = BTreeMap::new();
            for (other, surface, area_m2) in solution.transfers.by_surface(source.room) {
                drives.entry(surface).or_default().push((other, area_m2.zip(&loud, |area, loud| area * loud)));
            }
            let by_surface = drives.into_par_iter().map(|(surface, drives)| (surface, balance.field(drives)));
            (source.room, FromSource { source, by_surface: by_surface.collect(), into: unasked(spaces) })
        };
        let mut drives: BTreeMap<(SpaceIndex, Surface), Vec<(SpaceIndex, Spectrum)>> = BTreeMap::new();
        for injection in solution.injections.iter().filter(|injection| solution.rooms[injection.to.0].enclosed) {
            drives.entry((injection.source, injection.entry)).or_default().push((injection.to, injection.drive_m2));
        }
        let structure_borne =
            drives.into_par_iter().map(|((source, entry), drives)| (source, entry, balance.field(drives)));
        Self {
            solution,
            from: solution.sources.iter().map(from).collect(),
            structure_borne_fields: structure_borne.collect(),
            structure_borne: unasked(spaces),
            exits: unasked(spaces),
        }
    }

    /// How the sound of `source` gets into another room `through`: by which surface of the source room it set out. p², summed over all paths,
    /// adds up to the energy of that room by this source.
    pub(super) fn entries(&self, source: SpaceIndex, through: SpaceIndex) -> &Surfaces {
        let FromSource { source, by_surface, into } = &self.from[&source];
        into[through.0].get_or_init(|| {
            Surfaces::entering(by_surface.iter().map(|(surface, field)| (*surface, source.held(field, through))))
        })
    }

    /// What contacts with floors and walls bring into a room by all rooms, by source room and by the surface they set out by.
    pub(super) fn structure_borne(&self, room: SpaceIndex) -> &[(SpaceIndex, Surfaces)] {
        self.structure_borne[room.0].get_or_init(|| {
            let by_source = self.structure_borne_fields.chunk_by(|one, other| one.0 == other.0);
            let entries = by_source
                .map(|all| (all[0].0, Surfaces::entering(all.iter().map(|(_, entry, field)| (*entry, field[room.0])))));
            entries.collect()
        })
    }

    /// The paths into an enclosed room, by the room they lead out of: p² in it per p² in that room.
    pub(super) fn exits_into(&self, here: SpaceIndex) -> &[(SpaceIndex, Surfaces)] {
        self.exits[here.0].get_or_init(|| {
            let loss_m2 = self.solution.balance.loss_m2(here);
            let paths = self.solution.transfers.by_surface(here);
            let from_one = paths.chunk_by(|one, other| one.0 == other.0);
            let exits = from_one.map(|all| {
                let per_loss = |area_m2: &Spectrum| area_m2.zip(loss_m2, |area, loss| area / loss);
                (all[0].0, Surfaces::leaving(all.iter().map(|(_, surface, area_m2)| (*surface, per_loss(area_m2)))))
            });
            exits.collect()
        })
    }
}
