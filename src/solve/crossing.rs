//! Paths by another room, and the ranking of all paths.
//!
//! Each path into a room goes on by each path out of it: many thousand pairs, of which a few count. They are kept as two lists, and only
//! pairs of some share of the whole become records.

use std::collections::BTreeMap;

use super::answer::{PathKind, PathRecord, Surface};
use super::construction::add;
use crate::acoustics::Spectrum;
use crate::acoustics::rating::weighting;
use crate::building::SpaceIndex;

/// Records below this share are folded into the strongest of their kind and room. Keeps lists short; the sum stays whole.
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

    /// Adds the pairs of at least [`LEAST_SHARE`] of `total` (A-weighted) to `paths`. All others are one record, that of the strongest of them, whose own
    /// share stands before it.
    fn split(&self, total: f64, paths: &mut Vec<PathRecord>) -> Option<(f64, PathRecord)> {
        let record = |entry: &Crossed, exit: &Crossed, energy: Spectrum, share: f64| PathRecord {
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
        let mut rest = self.energy();
        let mut strongest = (f64::NEG_INFINITY, self.entries.sorted.first()?, self.exits.sorted.first()?);
        for entry in &self.entries.sorted {
            let weighted = weighting::a_weighted(&entry.energy);
            for exit in &self.exits.sorted {
                let most = entry.bound * exit.bound / total;
                if most < LEAST_SHARE && most <= strongest.0 {
                    break;
                }
                let share = weighted.dot(&exit.energy) / total;
                if share >= LEAST_SHARE {
                    let energy = entry.energy.zip(&exit.energy, |entered, passed| entered * passed);
                    rest = rest.zip(&energy, |rest, energy| (rest - energy).max(0.0));
                    paths.push(record(entry, exit, energy, share));
                } else if share > strongest.0 {
                    strongest = (share, entry, exit);
                }
            }
        }
        let (share, entry, exit) = strongest;
        Some((share, record(entry, exit, rest, weighting::a_weighted_energy(&rest) / total)))
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
    let rests: Vec<(f64, PathRecord)> =
        crossings.iter().filter_map(|crossing| crossing.split(total, &mut paths)).collect();
    paths.sort_by(|one, other| other.share.total_cmp(&one.share));
    let small = paths.split_off(paths.partition_point(|path| path.share >= LEAST_SHARE));
    let mut small: Vec<(f64, PathRecord)> = small.into_iter().map(|path| (path.share, path)).chain(rests).collect();
    small.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut strongest: BTreeMap<(PathKind, Option<SpaceIndex>), usize> = BTreeMap::new();
    for (at, path) in paths.iter().enumerate() {
        strongest.entry((path.kind, path.via)).or_insert(at);
    }
    for (_, path) in small {
        let at = *strongest.entry((path.kind, path.via)).or_insert(paths.len());
        match paths.get_mut(at) {
            Some(into) => {
                into.energy = add(&into.energy, &path.energy);
                into.share += path.share;
            }
            None => paths.push(path),
        }
    }
    paths
}
