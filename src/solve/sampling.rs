//! How sure levels are, by drawing all that is not known many times over.
//!
//! Each cause of [`super::odds`] is drawn once a sample from a normal distribution, and shifts all paths that have it by as much as its standard
//! uncertainty says: the same wall, construction, junction or source for all listeners at once. The model is off by octave, neighbouring octaves alike
//! by [`OCTAVE_CORRELATION`]; single modes shift the bands of each listener by themselves. The energies are summed, and of the sums the levels are taken
//! that are not exceeded in 5, 50 and 95 of 100 samples. Source: ISO/IEC Guide 98-3 Supplement 1:2008 (GUM, Monte Carlo), clauses 5 and 7 (from memory,
//! unverified).
//!
//! Beside [`Odds`] this has what the first order leaves out: a sum of several ways is off to the loud side more than to the quiet one, for the loudest
//! decides. So the middle lies above the level that is computed, the more the more ways there are of one strength.

use std::collections::BTreeMap;

use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, StandardNormal};
use rayon::prelude::*;

use super::answer::{Answer, ListenerAnswer};
use super::criteria::{self, Asked};
use super::odds::{Cause, LEAST_PART, OCTAVE_CORRELATION, Odds, each_error, in_parts};
use crate::acoustics::bands::{BAND_COUNT, OCTAVE_HZ};
use crate::acoustics::{Spectrum, rating::weighting};

/// Samples that are drawn together, from one stream of random numbers: what one thread does at a time. Their band sums fit a core's own memory.
const CHUNK: usize = 128;
/// Octaves of the spectrum.
const OCTAVES: usize = OCTAVE_HZ.len();
/// Band sums, octave sums and the A-weighted sum of a listener.
const COLUMNS: usize = BAND_COUNT + OCTAVES + 1;
/// Of 100 samples so many lie at or below the levels that are told.
pub const PERCENT: [f64; 3] = [5.0, 50.0, 95.0];
/// dB to the exponent of e.
const PER_DB: f64 = std::f64::consts::LN_10 / 10.0;

/// What many samples of a building say.
#[derive(Debug, Clone, PartialEq)]
pub struct Sampled {
    /// How many were drawn.
    pub samples: usize,
    /// One for each listener of the answer, in its order.
    pub listeners: Vec<SampledListener>,
    /// The part of the samples in which the limits of all listeners are kept, 0 to 1; nothing where no listener has one.
    pub all_kept: Option<f64>,
}

/// What many samples say of a listener. Lists of three are levels, dB, not exceeded in [`PERCENT`] of the samples; −∞ where there is no sound.
#[derive(Debug, Clone, PartialEq)]
pub struct SampledListener {
    /// A-weighted.
    pub la_db: [f64; 3],
    /// Of the octaves of [`OCTAVE_HZ`].
    pub octaves_db: [[f64; OCTAVES]; 3],
    /// Of the bands.
    pub bands_db: [Spectrum; 3],
    /// The part of the samples in which the limit is kept, 0 to 1; nothing without a limit.
    pub kept: Option<f64>,
    /// What the margin to the limit is off by (without a limit the A-weighted level): each cause with its part of the variance, the greatest first;
    /// together 1. The squared correlation of what was drawn for the cause with the margin, over the sum of those of all causes; what chance alone
    /// would make of it is taken off. Causes of no part are left out.
    pub causes: Vec<(Cause, f64)>,
    /// The sum of those squared correlations, 0 to 1: near 1 where causes add up, less where they only matter together.
    pub explained: f64,
}

/// Draws everything that is not known of an answer `samples` times. The same seed gives the same numbers on any number of threads.
#[must_use]
pub fn sample(answer: &Answer, samples: usize, seed: u64) -> Sampled {
    let drawing = Drawing::of(answer);
    let chunks: Vec<Chunk> = (0..samples.div_ceil(CHUNK))
        .into_par_iter()
        .map(|at| drawing.chunk(seed, at, CHUNK.min(samples - at * CHUNK)))
        .collect();
    let part = |count: usize| count as f64 / samples.max(1) as f64;
    let listeners = drawing
        .listeners
        .par_iter()
        .enumerate()
        .map(|(at, listener)| {
            let columns: Vec<[f64; 3]> = (0..COLUMNS)
                .map(|column| {
                    levels_db(chunks.iter().flat_map(|chunk| chunk.column(at, column)).copied().collect::<Vec<f32>>())
                })
                .collect();
            let at_percent = |which: usize, column: usize| columns[column][which];
            let told = chunks.iter().fold(Told::none(listener), |sum, chunk| sum.and(&chunk.told[at]));
            let (causes, explained) = listener.causes(&drawing.rows, &told);
            SampledListener {
                la_db: columns[COLUMNS - 1],
                octaves_db: std::array::from_fn(|which| {
                    std::array::from_fn(|octave| at_percent(which, BAND_COUNT + octave))
                }),
                bands_db: std::array::from_fn(|which| Spectrum::from_fn(|band| at_percent(which, band))),
                kept: listener.asked.as_ref().map(|_| part(told.kept)),
                causes,
                explained,
            }
        })
        .collect();
    let limited = drawing.listeners.iter().any(|listener| listener.asked.is_some());
    let all_kept = limited.then(|| part(chunks.iter().map(|chunk| chunk.all_kept).sum()));
    Sampled { samples, listeners, all_kept }
}

/// The levels at [`PERCENT`] of some energies, dB: each the least one that so many do not exceed.
fn levels_db(mut energies: Vec<f32>) -> [f64; 3] {
    if energies.is_empty() {
        return [f64::NEG_INFINITY; 3];
    }
    let count = energies.len();
    PERCENT.map(|percent| {
        let rank = ((percent / 100.0 * count as f64).ceil() as usize).clamp(1, count) - 1;
        10.0 * f64::from(*energies.select_nth_unstable_by(rank, f32::total_cmp).1).log10()
    })
}

/// What is drawn, and what it does.
struct Drawing {
    /// The first row of what is drawn for a cause, and how many it has: one for all bands, or one for each octave.
    rows: Vec<(usize, usize)>,
    row_count: usize,
    listeners: Vec<Ears>,
}

/// What a listener's samples are made of.
struct Ears {
    groups: Vec<Group>,
    /// What single modes shift each band by, in powers of e.
    modes: Spectrum,
    /// Causes, with their positions in [`Drawing::rows`]; the last is that of its modes.
    causes: Vec<(Cause, usize)>,
    asked: Option<Asked>,
    /// Margin, or A-weighted level, as computed, dB.
    computed_db: f64,
}

/// Paths that are off by the same.
struct Group {
    energy: Spectrum,
    /// Position of a cause in [`Drawing::rows`], and what it shifts each band by, in powers of e.
    shifts: Vec<(usize, Spectrum)>,
    /// True when the thirds of every octave shift alike.
    by_octave: bool,
}

/// Sums over the samples of a chunk.
struct Chunk {
    /// For each listener the energies of its columns, sample by sample.
    columns: Vec<Vec<f32>>,
    length: usize,
    told: Vec<Told>,
    all_kept: usize,
}

impl Chunk {
    fn column(&self, listener: usize, column: usize) -> &[f32] {
        &self.columns[listener][column * self.length..(column + 1) * self.length]
    }
}

/// What the samples of a listener tell of its causes.
#[derive(Clone)]
struct Told {
    count: f64,
    kept: usize,
    /// Margin (or level) less the computed one, and its square.
    sum: f64,
    square: f64,
    /// For each row of each of its causes: what was drawn, its square, its product with the margin.
    drawn: Vec<[f64; 3]>,
}

impl Told {
    fn none(listener: &Ears) -> Self {
        Self { count: 0.0, kept: 0, sum: 0.0, square: 0.0, drawn: vec![[0.0; 3]; OCTAVES * listener.causes.len()] }
    }

    fn and(mut self, other: &Self) -> Self {
        self.count += other.count;
        self.kept += other.kept;
        self.sum += other.sum;
        self.square += other.square;
        for (own, other) in self.drawn.iter_mut().zip(&other.drawn) {
            *own = std::array::from_fn(|at| own[at] + other[at]);
        }
        self
    }

    /// Squared correlation of a row with the margin.
    fn squared_correlation(&self, row: usize) -> f64 {
        let [sum, square, product] = self.drawn[row];
        let (of_drawn, of_margin) = (square - sum * sum / self.count, self.square - self.sum * self.sum / self.count);
        let together = product - sum * self.sum / self.count;
        if of_drawn > 0.0 && of_margin > 0.0 { together * together / (of_drawn * of_margin) } else { 0.0 }
    }
}

impl Drawing {
    fn of(answer: &Answer) -> Self {
        let (mut known, mut rows, mut row_count) = (BTreeMap::new(), Vec::new(), 0);
        let mut place = |known: &mut BTreeMap<Cause, usize>, cause: Cause| {
            *known.entry(cause).or_insert_with(|| {
                let count = if matches!(cause, Cause::Build(_)) { OCTAVES } else { 1 };
                rows.push((row_count, count));
                row_count += count;
                rows.len() - 1
            })
        };
        let mut listeners = Vec::new();
        for heard in &answer.listeners {
            // Single modes are another matter for each listener.
            known.remove(&Cause::Modes);
            listeners.push(Ears::of(answer, heard, &mut |cause| place(&mut known, cause)));
        }
        Self { rows, row_count, listeners }
    }

    /// The samples of one chunk, from its own stream of random numbers.
    fn chunk(&self, seed: u64, at: usize, length: usize) -> Chunk {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        random.set_stream(at as u64);
        let drawn: Vec<f64> = (0..self.row_count * length).map(|_| StandardNormal.sample(&mut random)).collect();
        let mut values = drawn.clone();
        for (first, count) in &self.rows {
            for at in (first + 1) * length..(first + count) * length {
                values[at] = OCTAVE_CORRELATION * values[at - length]
                    + (1.0 - OCTAVE_CORRELATION * OCTAVE_CORRELATION).sqrt() * drawn[at];
            }
        }
        let rows = |first: usize| first * length..(first + 1) * length;
        let (mut columns, mut told) = (Vec::new(), Vec::new());
        let mut all_kept = vec![true; length];
        for listener in &self.listeners {
            let mut sums = vec![0.0; BAND_COUNT * length];
            let row = |cause: usize, octave: usize| {
                let (first, count) = self.rows[cause];
                &values[rows(first + octave.min(count - 1))]
            };
            listener.add_up(&row, length, &mut sums);
            let mut own = vec![0f32; COLUMNS * length];
            let mut sum = Told { count: length as f64, ..Told::none(listener) };
            let mut off_db = Vec::with_capacity(length);
            for at in 0..length {
                let energy = Spectrum::from_fn(|band| sums[band * length + at]);
                let a_weighted = weighting::a_weighted_energy(&energy);
                let all = energy.iter().copied().chain(energy.octave_sums()).chain([a_weighted]);
                all.enumerate().for_each(|(column, energy)| own[column * length + at] = energy as f32);
                let margin_db = listener.asked.as_ref().map(|asked| asked.margin_db(&energy));
                let kept = margin_db.is_none_or(|margin_db| margin_db >= 0.0);
                sum.kept += usize::from(kept);
                all_kept[at] &= kept;
                off_db.push(margin_db.unwrap_or(10.0 * a_weighted.log10()) - listener.computed_db);
            }
            sum.sum = off_db.iter().sum();
            sum.square = off_db.iter().map(|db| db * db).sum();
            for (at, (_, cause)) in listener.causes.iter().enumerate() {
                let (first, count) = self.rows[*cause];
                for octave in 0..count {
                    let drawn = &drawn[rows(first + octave)];
                    let product: f64 = drawn.iter().zip(&off_db).map(|(drawn, off)| drawn * off).sum();
                    let square: f64 = drawn.iter().map(|drawn| drawn * drawn).sum();
                    sum.drawn[OCTAVES * at + octave] = [drawn.iter().sum(), square, product];
                }
            }
            columns.push(own);
            told.push(sum);
        }
        let all_kept = all_kept.into_iter().filter(|kept| *kept).count();
        Chunk { columns, length, told, all_kept }
    }
}

impl Ears {
    fn of(answer: &Answer, heard: &ListenerAnswer, place: &mut dyn FnMut(Cause) -> usize) -> Self {
        let outdoors = answer.known.spaces[heard.space.0].outdoors;
        // A path that is next to nothing in an octave is left out of it, and the others stand for it.
        let counts = |energy: &Spectrum, octave: usize| {
            (3 * octave..3 * octave + 3).any(|band| energy[band] > LEAST_PART * heard.energy[band])
        };
        let mut groups: BTreeMap<Vec<(usize, [u64; BAND_COUNT])>, Spectrum> = BTreeMap::new();
        let mut causes = BTreeMap::new();
        let mut counted = Spectrum::ZERO;
        for path in &heard.paths {
            let energy = Spectrum::from_fn(|band| if counts(&path.energy, band / 3) { path.energy[band] } else { 0.0 });
            if criteria::is_silent(&energy) {
                continue;
            }
            counted = counted.zip(&energy, |sum, own| sum + own);
            let mut shifts: BTreeMap<usize, Spectrum> = BTreeMap::new();
            each_error(&answer.known, outdoors, path, &mut |cause, db| {
                let at = place(cause);
                causes.insert(cause, at);
                let sum = shifts.entry(at).or_insert(Spectrum::ZERO);
                *sum = sum.zip(db, |sum, db| sum + PER_DB * db);
            });
            let key = shifts.into_iter().map(|(at, shift)| (at, shift.0.map(f64::to_bits))).collect();
            let sum = groups.entry(key).or_insert(Spectrum::ZERO);
            *sum = sum.zip(&energy, |sum, own| sum + own);
        }
        let mut causes: Vec<(Cause, usize)> = causes.into_iter().collect();
        causes.push((Cause::Modes, place(Cause::Modes)));
        let whole = heard.energy.zip(&counted, |all, counted| if counted > 0.0 { all / counted } else { 0.0 });
        let groups = groups.into_iter().map(|(key, energy)| {
            let shifts: Vec<(usize, Spectrum)> =
                key.into_iter().map(|(at, bits)| (at, Spectrum(bits.map(f64::from_bits)))).collect();
            let alike = |shift: &Spectrum| shift.0.chunks(3).all(|thirds| thirds.iter().all(|own| *own == thirds[0]));
            let by_octave = shifts.iter().all(|(_, shift)| alike(shift));
            Group { energy: energy.zip(&whole, |own, whole| own * whole), shifts, by_octave }
        });
        let groups = groups.collect();
        let peak_db = heard.lafmax_db - heard.la_db;
        let peak_db = if peak_db.is_finite() { peak_db } else { 0.0 };
        let asked = heard
            .target
            .as_ref()
            .map(|target| Asked::of(&target.record, peak_db, &heard.background_db, target.hours_a_day));
        let computed_db = asked.as_ref().map_or(heard.la_db, |asked| asked.margin_db(&heard.energy));
        let modes = Odds::of(answer, heard).by_modes_db().map(|db| PER_DB * db);
        Self { groups, modes, causes, asked, computed_db }
    }

    /// Adds up the energies of each band, sample by sample; `row` has what was drawn for a cause, in an octave.
    fn add_up<'a>(&self, row: &dyn Fn(usize, usize) -> &'a [f64], length: usize, sums: &mut [f64]) {
        let mut factor = [0.0; CHUNK];
        let factor = &mut factor[..length];
        for group in &self.groups {
            let together = if group.by_octave { 3 } else { 1 };
            for bands in (0..BAND_COUNT).step_by(together).map(|first| first..first + together) {
                if bands.clone().all(|band| group.energy[band] <= 0.0) {
                    continue;
                }
                factor.fill(0.0);
                for (cause, shift) in &group.shifts {
                    let shift = shift[bands.start];
                    let drawn = row(*cause, bands.start / 3);
                    factor.iter_mut().zip(drawn).for_each(|(sum, drawn)| *sum += shift * drawn);
                }
                factor.iter_mut().for_each(|exponent| *exponent = exponent.exp());
                for band in bands {
                    let energy = group.energy[band];
                    let sums = &mut sums[band * length..(band + 1) * length];
                    sums.iter_mut().zip(&*factor).for_each(|(sum, factor)| *sum += energy * factor);
                }
            }
        }
        let modes = row(self.causes[self.causes.len() - 1].1, 0);
        for (band, sums) in sums.chunks_mut(length).enumerate().filter(|(band, _)| self.modes[*band] > 0.0) {
            let shift = self.modes[band];
            sums.iter_mut().zip(modes).for_each(|(sum, drawn)| *sum *= (shift * drawn).exp());
        }
    }

    /// Each cause with its part of the variance, and how much all of them explain.
    fn causes(&self, rows: &[(usize, usize)], told: &Told) -> (Vec<(Cause, f64)>, f64) {
        if !told.square.is_finite() {
            return (Vec::new(), 0.0);
        }
        let of_cause = |(at, (cause, place)): (usize, &(Cause, usize))| {
            let count = rows[*place].1;
            let squares: f64 = (0..count).map(|octave| told.squared_correlation(OCTAVES * at + octave)).sum();
            // Numbers that have nothing to do with each other correlate by 1/n in the mean square.
            (*cause, (squares - count as f64 / told.count).max(0.0))
        };
        let squares: Vec<(Cause, f64)> = self.causes.iter().enumerate().map(of_cause).collect();
        let explained = squares.iter().map(|(_, own)| own).sum();
        (in_parts(squares), explained)
    }
}
