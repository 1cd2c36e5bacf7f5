//! Paths by another room, and the ranking of all paths.
//!
//! Each path into a room goes on by each path out of it: many thousand pairs, of which a few count. They are kept as two lists, and only
//! pairs of some share of the whole become records.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::answer::{PathKind, PathRecord, Surface};
use super::construction::add;
use crate::acoustics::Spectrum;
use crate::acoustics::rating::weighting;
use crate::building::SpaceIndex;

/// Records below this share are folded into the strongest of their kind that enters by the same surface. Keeps lists short; the sum stays whole.
const LEAST_SHARE: f64 = 1e-6;

/// What enters or leaves a room by one surface.
#[derive(Debug, Clone, Copy)]
struct Crossed {
    surface: Surface,
    energy: Spectrum,
    /// No pair has more A-weighted energy than the product of these.
    bound: f64,
}

/// What enters or leaves a room, one for each surface, the largest bound first.
#[derive(Debug, Clone)]
pub(super) struct Surfaces {
    sorted: Vec<Crossed>,
    whole: Spectrum,
}

impl Surfaces {
    /// What enters, as p² in the room.
    pub(super) fn entering(energies: impl Iterator<Item = (Surface, Spectrum)>) -> Self {
        Self::sorted(energies, weighting::a_weighted_energy)
    }

    /// What leaves, as p² at the listener per p² in the room.
    pub(super) fn leaving(energies: impl Iterator<Item = (Surface, Spectrum)>) -> Self {
        Self::sorted(energies, Spectrum::largest)
    }

    fn sorted(energies: impl Iterator<Item = (Surface, Spectrum)>, bound: fn(&Spectrum) -> f64) -> Self {
        let mut sorted: Vec<Crossed> =
            energies.map(|(surface, energy)| Crossed { surface, energy, bound: bound(&energy) }).collect();
        sorted.sort_by(|one, other| other.bound.total_cmp(&one.bound));
        let whole = sorted.iter().fold(Spectrum::ZERO, |sum, one| add(&sum, &one.energy));
        Self { sorted, whole }
    }
}

/// All pairs of a path into a room and a path out of it.
pub(super) struct Crossing<'a> {
    pub kind: PathKind,
    pub source: SpaceIndex,
    pub via: SpaceIndex,
    pub entries: &'a Surfaces,
    pub exits: &'a Surfaces,
}

impl Crossing<'_> {
    /// Of all pairs together.
    pub(super) fn energy(&self) -> Spectrum {
        self.entries.whole.zip(&self.exits.whole, |entered, passed| entered * passed)
    }

    /// Adds the pairs of at least [`LEAST_SHARE`] of `total` (A-weighted) to `paths`. All others go to `rests`, one record for each surface they enter
    /// by: what is done to a surface then shows in all that enters there, however little it is.
    fn split(&self, total: f64, paths: &mut Vec<PathRecord>, rests: &mut Rests) {
        for entry in &self.entries.sorted {
            let Some(strongest) = self.exits.sorted.first() else { return };
            let record = |exit: &Crossed, energy: Spectrum, share: f64| PathRecord {
                kind: self.kind,
                source_space: self.source,
                entry: entry.surface,
                junction: None,
                via: Some(self.via),
                exit: exit.surface,
                energy,
                share,
                route: None,
            };
            let weighted = weighting::a_weighted(&entry.energy);
            let mut rest = entry.energy.zip(&self.exits.whole, |entered, passed| entered * passed);
            for exit in &self.exits.sorted {
                if entry.bound * exit.bound / total < LEAST_SHARE {
                    break;
                }
                let share = weighted.dot(&exit.energy) / total;
                if share >= LEAST_SHARE {
                    let energy = entry.energy.zip(&exit.energy, |entered, passed| entered * passed);
                    rest = rest.zip(&energy, |rest, energy| (rest - energy).max(0.0));
                    paths.push(record(exit, energy, share));
                }
            }
            fold(rests, record(strongest, rest, weighting::a_weighted_energy(&rest) / total));
        }
    }
}

/// What is too little for a record of its own, by kind, source and the surface it enters by.
type Rests = BTreeMap<(PathKind, SpaceIndex, Surface), PathRecord>;

/// Adds a record to those of its kind that enter by the same surface.
fn fold(rests: &mut Rests, path: PathRecord) {
    match rests.entry((path.kind, path.source_space, path.entry)) {
        Entry::Vacant(place) => drop(place.insert(path)),
        Entry::Occupied(mut known) => {
            let known = known.get_mut();
            known.energy = add(&known.energy, &path.energy);
            known.share += path.share;
        }
    }
}

/// Gives shares, folds the tiniest records together, sorts the strongest first. `paths` has the records of those that cross no other room.
pub(super) fn ranked(mut paths: Vec<PathRecord>, crossings: &[Crossing<'_>], energy: &Spectrum) -> Vec<PathRecord> {
    let total = weighting::a_weighted_energy(energy);
    if total <= 0.0 {
        return Vec::new();
    }
    for path in &mut paths {
        path.share = weighting::a_weighted_energy(&path.energy) / total;
    }
    let mut rests = Rests::new();
    for crossing in crossings {
        crossing.split(total, &mut paths, &mut rests);
    }
    paths.sort_by(|one, other| other.share.total_cmp(&one.share));
    for path in paths.split_off(paths.partition_point(|path| path.share >= LEAST_SHARE)) {
        fold(&mut rests, path);
    }
    // The strongest of each kind and surface takes the rest.
    for path in &mut paths {
        if let Some(rest) = rests.remove(&(path.kind, path.source_space, path.entry)) {
            path.energy = add(&path.energy, &rest.energy);
            path.share += rest.share;
        }
    }
    let first = paths.len();
    paths.extend(rests.into_values().filter(|rest| rest.energy.largest() > 0.0));
    paths[first..].sort_by(|one, other| other.share.total_cmp(&one.share));
    paths
}
