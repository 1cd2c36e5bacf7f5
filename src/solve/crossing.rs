//! Ways by another room, and the ranking of all ways.
//!
//! Each way into a room goes on by each way out of it: many thousand pairs, of which a few count. They are kept as two lists, and only
//! pairs of some share of the whole become records.

use super::answer::{PathKind, PathRecord, Surface};
use super::construction::add;
use crate::acoustics::Spectrum;
use crate::acoustics::rating::weighting;
use crate::building::SpaceIndex;

/// Records below this share are folded into the strongest of their kind and room. Keeps lists short; the sum stays whole.
const LEAST_SHARE: f64 = 1e-6;

/// So many kinds of ways, and pairs that count, there are about at a listener: room to begin with.
const USUAL_KINDS: usize = 16;
const USUAL_PAIRS: usize = 256;

/// What enters or leaves by one surface.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bit {
    pub surface: Surface,
    pub energy: Spectrum,
}

/// All pairs of a way into a room and a way out of it.
pub(super) struct Crossing<'a> {
    pub kind: PathKind,
    pub source: SpaceIndex,
    pub via: SpaceIndex,
    /// p² in the room.
    pub entries: &'a Entries,
    /// p² at the listener per p² in the room.
    pub exits: &'a Exits,
}

/// A pair of bits, by their places among the strongest, with its share.
#[derive(Debug, Clone, Copy)]
struct Pair {
    entry: usize,
    exit: usize,
    share: f64,
}

impl Crossing<'_> {
    /// Of all pairs together.
    pub(super) fn energy(&self) -> Spectrum {
        self.entries.beyond[0].zip(&self.exits.beyond[0], |entered, passed| entered * passed)
    }

    /// The pairs of at least [`LEAST_SHARE`] of `total` (A-weighted), and the energy of all others together.
    fn split(&self, total: f64, large: &mut Vec<Pair>) -> Spectrum {
        let exits = self.exits;
        let mut rest = Spectrum::ZERO;
        let most = exits.peaks.first().copied().unwrap_or(0.0);
        let possible = self.entries.sums.partition_point(|sum| sum * most >= LEAST_SHARE * total);
        let others = &self.entries.beyond[possible];
        for (at, (entry, sum)) in self.entries.all().take(possible).enumerate() {
            let possible = exits.peaks.partition_point(|peak| sum * peak >= LEAST_SHARE * total);
            let mut small = exits.beyond[possible];
            for (number, weighted) in exits.weighted[..possible].iter().enumerate() {
                let share = entry.energy.dot(weighted) / total;
                if share < LEAST_SHARE {
                    small = add(&small, &exits.strongest_first[number].energy);
                } else {
                    large.push(Pair { entry: at, exit: number, share });
                }
            }
            for band in 0..rest.0.len() {
                rest[band] += entry.energy[band] * small[band];
            }
        }
        Spectrum::from_fn(|band| rest[band] + others[band] * exits.beyond[0][band])
    }

    /// The pair of the largest share.
    fn strongest(&self, total: f64) -> Option<Pair> {
        let exits = self.exits;
        let mut best: Option<Pair> = None;
        for (entry, (bit, sum)) in self.entries.all().enumerate() {
            for (exit, (weighted, peak)) in exits.weighted.iter().zip(&exits.peaks).enumerate() {
                if best.is_some_and(|best| sum * peak <= best.share * total) {
                    break;
                }
                let share = bit.energy.dot(weighted) / total;
                if best.is_none_or(|best| share > best.share) {
                    best = Some(Pair { entry, exit, share });
                }
            }
        }
        best
    }

    fn record(&self, pair: Pair) -> PathRecord {
        let (entry, exit) = (&self.entries.strongest_first[pair.entry], &self.exits.strongest_first[pair.exit]);
        PathRecord {
            kind: self.kind,
            source_space: self.source,
            entry: entry.surface,
            junction: None,
            via: Some(self.via),
            exit: exit.surface,
            energy: entry.energy.zip(&exit.energy, |entered, passed| entered * passed),
            share: pair.share,
            route: None,
        }
    }
}

/// Ways into a room by their A-weighted energy.
pub(super) struct Entries {
    strongest_first: Vec<Bit>,
    /// Their energies, A-weighted, over all bands.
    sums: Vec<f64>,
    /// The sum of all from the n-th on.
    beyond: Vec<Spectrum>,
}

impl Entries {
    /// The ways in with their A-weighted energies.
    fn all(&self) -> impl Iterator<Item = (&Bit, f64)> {
        self.strongest_first.iter().zip(self.sums.iter().copied())
    }

    /// Of ways in, one for each surface.
    pub(super) fn of(bits: &[Bit]) -> Self {
        let sums: Vec<f64> = bits.iter().map(|bit| weighting::a_weighted_energy(&bit.energy)).collect();
        let order = strongest_first(sums.iter().copied());
        let strongest_first: Vec<Bit> = order.iter().map(|at| bits[*at]).collect();
        let sums = order.into_iter().map(|at| sums[at]).collect();
        Self { beyond: beyond(strongest_first.iter()), strongest_first, sums }
    }
}

/// Ways out of a room by their largest band.
pub(super) struct Exits {
    strongest_first: Vec<Bit>,
    /// Their energies, A-weighted: they are multiplied with those of many ways in.
    weighted: Vec<Spectrum>,
    /// Their largest bands: no pair has more than this times its entry's A-weighted energy.
    peaks: Vec<f64>,
    /// The sum of all from the n-th on.
    beyond: Vec<Spectrum>,
}

impl Exits {
    /// Of ways out, one for each surface.
    pub(super) fn of(bits: &[Bit]) -> Self {
        let peaks: Vec<f64> = bits.iter().map(|bit| bit.energy.largest()).collect();
        let order = strongest_first(peaks.iter().copied());
        let strongest_first: Vec<Bit> = order.iter().map(|at| bits[*at]).collect();
        let weighted = strongest_first.iter().map(|bit| weighting::a_weighted(&bit.energy)).collect();
        let peaks = order.into_iter().map(|at| peaks[at]).collect();
        Self { beyond: beyond(strongest_first.iter()), strongest_first, weighted, peaks }
    }
}

/// The sum of all bits from the n-th on, for each n up to their number.
fn beyond<'a>(bits: impl DoubleEndedIterator<Item = &'a Bit> + ExactSizeIterator) -> Vec<Spectrum> {
    let mut sums = vec![Spectrum::ZERO; bits.len() + 1];
    for (at, bit) in bits.enumerate().rev() {
        sums[at] = add(&sums[at + 1], &bit.energy);
    }
    sums
}

/// The places of some values, the largest first, equal ones as they come. What they belong to is long, and not moved about for it.
fn strongest_first(values: impl Iterator<Item = f64>) -> Vec<usize> {
    let mut order: Vec<(i64, usize)> = values.zip(0..).map(|(value, at)| (descending(value), at)).collect();
    order.sort_unstable();
    order.into_iter().map(|(_, at)| at).collect()
}

/// A whole number that falls as a value rises, in the order of [`f64::total_cmp`].
fn descending(value: f64) -> i64 {
    let bits = value.to_bits().cast_signed();
    !(bits ^ ((bits >> 63).cast_unsigned() >> 1).cast_signed())
}

/// Where the first record of a kind and room is.
fn home_of(homes: &[((PathKind, Option<SpaceIndex>), usize)], of: (PathKind, Option<SpaceIndex>)) -> Option<usize> {
    homes.iter().find(|(other, _)| *other == of).map(|(_, at)| *at)
}

/// A way to a listener that may become a record.
#[derive(Debug, Clone, Copy)]
enum Way {
    /// A straight one, by its place among the records.
    Straight(usize),
    /// One of a crossing, by its place in their list.
    Across(usize, Pair),
}

/// Gives shares, folds the tiniest records together, sorts the strongest first. `straight` has the records of straight ways.
///
/// Ways across are written out as records only once their places are known: records are long, and moving them would take as long as all else.
pub(super) fn ranked(straight: &mut [PathRecord], crossings: &[Crossing<'_>], energy: &Spectrum) -> Vec<PathRecord> {
    let total = weighting::a_weighted_energy(energy);
    if total <= 0.0 {
        return Vec::new();
    }
    let mut ways: Vec<(f64, Way)> = Vec::with_capacity(straight.len() + USUAL_PAIRS);
    for (at, path) in straight.iter_mut().enumerate() {
        path.share = weighting::a_weighted_energy(&path.energy) / total;
        ways.push((path.share, Way::Straight(at)));
    }
    let mut rests: Vec<((PathKind, SpaceIndex), Spectrum)> = Vec::with_capacity(crossings.len());
    let mut large = Vec::with_capacity(USUAL_PAIRS);
    for (at, crossing) in crossings.iter().enumerate() {
        let rest = crossing.split(total, &mut large);
        ways.extend(large.drain(..).map(|pair| (pair.share, Way::Across(at, pair))));
        let of = (crossing.kind, crossing.via);
        match rests.iter_mut().find(|(other, _)| *other == of) {
            Some((_, sum)) => *sum = add(sum, &rest),
            None => rests.push((of, rest)),
        }
    }
    rests.sort_unstable_by_key(|(of, _)| *of);
    let order = strongest_first(ways.iter().map(|(share, _)| *share));
    let (large, small) = order.split_at(order.partition_point(|at| ways[*at].0 >= LEAST_SHARE));
    let mut kept: Vec<PathRecord> = Vec::with_capacity(large.len() + crossings.len() + USUAL_KINDS);
    kept.extend(large.iter().map(|at| match ways[*at].1 {
        Way::Straight(at) => straight[at].clone(),
        Way::Across(crossing, pair) => crossings[crossing].record(pair),
    }));
    // The first of each kind and room: few kinds and rooms, so that a list is as good as a map.
    let mut homes: Vec<((PathKind, Option<SpaceIndex>), usize)> = Vec::with_capacity(crossings.len() + USUAL_KINDS);
    for (at, path) in kept.iter().enumerate() {
        if home_of(&homes, (path.kind, path.via)).is_none() {
            homes.push(((path.kind, path.via), at));
        }
    }
    let mut stand_ins: Vec<(f64, PathRecord)> = Vec::with_capacity(rests.len());
    for ((kind, via), energy) in rests {
        let share = weighting::a_weighted_energy(&energy) / total;
        if let Some(home) = home_of(&homes, (kind, Some(via))) {
            let home = &mut kept[home];
            home.energy = add(&home.energy, &energy);
            home.share += share;
            continue;
        }
        // None of its room is large enough: the strongest stands for all.
        let alike = crossings.iter().filter(|crossing| crossing.kind == kind && crossing.via == via);
        let strongest = alike
            .filter_map(|crossing| Some((crossing, crossing.strongest(total)?)))
            .reduce(|best, next| if next.1.share > best.1.share { next } else { best });
        if let Some((crossing, pair)) = strongest {
            stand_ins.push((pair.share, PathRecord { energy, share, ..crossing.record(pair) }));
        }
    }
    // Those across are large, all of them.
    let small = small.iter().filter_map(|at| match ways[*at] {
        (share, Way::Straight(at)) => Some((share, &straight[at])),
        (_, Way::Across(..)) => None,
    });
    let mut small: Vec<(f64, &PathRecord)> =
        small.chain(stand_ins.iter().map(|(share, path)| (*share, path))).collect();
    small.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (_, path) in small {
        if let Some(home) = home_of(&homes, (path.kind, path.via)) {
            let home = &mut kept[home];
            home.energy = add(&home.energy, &path.energy);
            home.share += path.share;
        } else {
            homes.push(((path.kind, path.via), kept.len()));
            kept.push(path.clone());
        }
    }
    kept
}
