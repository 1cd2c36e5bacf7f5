//! How sure a level is: what each path may be off by, and what of it the paths have in common.
//!
//! A path is off by several errors at once, each with a standard uncertainty in dB; they add along the way. A level of several paths is off by the
//! mean of theirs by energy (the first order of 10 lg Σ). An error that two paths share is the same in both: that of the model for all that is built
//! alike, that of the work for all by one face, that of a junction for all round it, that of buildings for all paths but the residual. Different
//! errors are independent. So the variance is the sum over the errors, each first added up over the paths that have it. Source: ISO/IEC Guide 98-3
//! (GUM), 5.1.2 and 5.2.2.
//!
//! Left out: the absorption of rooms in which no source is heard straight, about 1 dB beside these (own judgement).

use std::collections::BTreeMap;

use super::answer::{Answer, ListenerAnswer, PathKind, PathRecord, Surface};
use super::criteria::Sure;
use super::known::Known;
use super::spread::Spread;
use crate::acoustics::{BAND_COUNT, Spectrum};
use crate::building::{JunctionIndex, SpaceIndex};
use crate::scene::Residual;

/// What buildings differ by from a prediction whose elements are known, dB. "A 3 dB prediction margin to a required performance appears reasonable"
/// (Simmons, Systematic comparison of sound insulation measured in situ with values calculated according to EN 12354), taken as what nine in ten
/// keep to: 3/1.28 (own reading). EN 12354-1:2000, clause 5, states 1.5 to 2.5 dB (from memory, unverified).
pub const IN_PLACE_DB: f64 = 2.3;
/// Of a junction's vibration reduction index, dB. 95 % lie within ±4 dB: Hopkins (2003), quoted in a thesis, second-hand; more below 100 Hz.
pub const JUNCTION_DB: f64 = 2.0;
/// Of a gap, or what else leaks, dB. Own judgement: one step of the table of seals, three times the gap.
const LEAK_DB: f64 = 5.0;
/// Of the path through the open air, dB. Source: ISO 9613-2:1996, Table 5, ±3 dB (from memory, unverified).
const OPEN_AIR_DB: f64 = 3.0;
/// Of what a floor or wall takes up of a force, against what it takes up of sound, dB. Own judgement: light floors by reciprocity are given as ±5 dB.
const STRUCK_DB: f64 = 5.0;
/// Of the level a source makes in its own room, dB. Own judgement: absorption from handbook values of finishes is good to about 40 %.
const OWN_ROOM_DB: f64 = 1.5;

/// How much of an error of the model is common to neighbouring octaves. Computed minus published of the builds, over their spread: 0.6 in
/// neighbouring octaves, 0.2 two octaves apart, none farther off, where this has 0.5, 0.25 and less; `errors_of_neighbouring_octaves_are_alike`
/// computes it anew.
pub const OCTAVE_CORRELATION: f64 = 0.5;

/// Paths that bring less than this of the energy in every band are left out, so that long lists cost nothing. Own choice: together some per cent at
/// most.
pub(super) const LEAST_PART: f64 = 1e-4;

/// Something that a path may be off by. All but [`Cause::Build`] are taken as the same in all bands, on the safe side: an open edge is open to them
/// all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The model, for all of one construction: its position in [`Known::constructions`].
    Build(usize),
    /// The work at an element or opening.
    Work(Surface),
    /// A gap, hole or duct.
    Leak(Surface),
    /// How much a junction passes on.
    Junction(JunctionIndex),
    /// What buildings differ by from a prediction.
    InPlace,
    /// The way through the open air.
    OpenAir,
    /// What a floor or wall takes up of a force.
    Struck(Surface),
    /// The level a source makes in its own room.
    OwnRoom,
    /// What every building has besides.
    Residual,
    /// How loud the sources of a room are.
    Source(SpaceIndex),
    /// What the sources of a room do to the floor.
    Force(SpaceIndex),
    /// Single modes of rooms.
    Modes,
}

/// Tells every error of a path, with its standard uncertainty in each band, dB; one of them may be told twice, and counts twice then.
pub(super) fn each_error(known: &Known, outdoors: bool, path: &PathRecord, tell: &mut dyn FnMut(Cause, &Spectrum)) {
    let structure_borne = path.kind == PathKind::StructureBorne;
    let room = &known.spaces[path.source_space.0];
    let (source, source_db) = match structure_borne {
        true => (Cause::Force(path.source_space), room.force_db),
        false => (Cause::Source(path.source_space), room.source_db),
    };
    tell(source, &Spectrum::splat(source_db));
    if path.kind == PathKind::Residual {
        return pass(known, path.entry, 1.0, tell);
    }
    if path.entry == Surface::Air {
        return tell(Cause::OwnRoom, &Spectrum::splat(OWN_ROOM_DB));
    }
    tell(Cause::InPlace, &Spectrum::splat(IN_PLACE_DB));
    if outdoors || path.kind == PathKind::ByOutdoors {
        tell(Cause::OpenAir, &Spectrum::splat(OPEN_AIR_DB));
    }
    if structure_borne {
        tell(Cause::Struck(path.entry), &Spectrum::splat(STRUCK_DB));
    }
    // Round a junction half the R of either element counts (ISO 12354-1:2017, formula for Rij); by a room between, both in full.
    let part = if let Some(junction) = path.junction {
        tell(Cause::Junction(junction), &Spectrum::splat(JUNCTION_DB));
        0.5
    } else {
        1.0
    };
    pass(known, path.entry, part, tell);
    if path.exit != path.entry {
        pass(known, path.exit, part, tell);
    }
}

fn pass(known: &Known, surface: Surface, part: f64, tell: &mut dyn FnMut(Cause, &Spectrum)) {
    let face = match surface {
        Surface::Gap(..) | Surface::Duct(_) => {
            return tell(Cause::Leak(surface), &Spectrum::splat(part * LEAK_DB));
        }
        Surface::Building => return tell(Cause::Residual, &Spectrum::splat(part * Residual::UNCERTAINTY_DB)),
        Surface::Air => return,
        Surface::Element(at) => known.elements[at.0].own,
        Surface::Opening(at, number) => known.elements[at.0].openings[number],
    };
    tell(Cause::Build(face.construction), &face.spread.db().map(|db| part * db));
    if face.spread != Spread::Hole {
        tell(Cause::Work(surface), &Spectrum::splat(part * face.work_db));
    }
}

/// What single modes do to a listener's bands: see [`super::low_frequency::Confidence`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Modal<'a> {
    /// What they add to the standard uncertainty of each band, dB.
    pub adds_db: &'a Spectrum,
    /// What no band is surer than, sources apart, dB.
    pub least_db: &'a Spectrum,
}

/// What a listener's level may be off by.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    energy: Spectrum,
    /// The mean of the energy over all that it may be: of a path of normally distributed level E·exp((c·σ)²/2), c = ln 10/10.
    mean: Spectrum,
    /// Energy times dB, over the paths that have the error.
    errors: BTreeMap<Cause, Spectrum>,
    /// What is said of bands without sound, dB.
    silent_db: Spectrum,
}

impl Odds {
    /// Of what a listener of an answer gets.
    #[must_use]
    pub fn of(answer: &Answer, heard: &ListenerAnswer) -> Self {
        let paths = heard.paths.iter().map(|path| (path, &path.energy));
        Self::of_listener(answer, heard, paths, &heard.energy)
    }

    /// The same with other energies of the paths, in the order of [`ListenerAnswer::paths`]. What single modes do, and what the faces are built as, is
    /// left as it was.
    #[must_use]
    pub fn with_energies(answer: &Answer, heard: &ListenerAnswer, energies: &[Spectrum]) -> Self {
        let all = energies.iter().fold(Spectrum::ZERO, |sum, own| sum.zip(own, |sum, own| sum + own));
        Self::of_listener(answer, heard, heard.paths.iter().zip(energies), &all)
    }

    fn of_listener<'a>(
        answer: &Answer,
        heard: &ListenerAnswer,
        paths: impl Iterator<Item = (&'a PathRecord, &'a Spectrum)>,
        energy: &Spectrum,
    ) -> Self {
        let mut odds = Self::of_paths(&answer.known, answer.known.spaces[heard.space.0].outdoors, paths, energy);
        odds.widen(&Modal { adds_db: &heard.modes_db, least_db: &heard.least_db });
        odds
    }

    /// Of all paths to one listener, each with its energy, and the energy of all of them, modes apart.
    pub(super) fn of_paths<'a>(
        known: &Known,
        outdoors: bool,
        paths: impl Iterator<Item = (&'a PathRecord, &'a Spectrum)>,
        energy: &Spectrum,
    ) -> Self {
        let counts = |own: &Spectrum| (0..BAND_COUNT).any(|band| own[band] > LEAST_PART * energy[band]);
        let (energy, mean) = (Spectrum::ZERO, Spectrum::ZERO);
        let mut odds = Self { energy, mean, errors: BTreeMap::new(), silent_db: Spectrum::ZERO };
        let mut errors = vec![];
        for (path, own) in paths.filter(|(_, own)| counts(own)) {
            odds.energy = odds.energy.zip(own, |sum, own| sum + own);
            gather(known, outdoors, path, &mut errors);
            odds.mean = odds.mean.zip(&raised(own, &errors), |sum, own| sum + own);
            for (cause, db) in &errors {
                let sum = odds.errors.entry(*cause).or_insert(Spectrum::ZERO);
                *sum = Spectrum::from_fn(|band| sum[band] + own[band] * db[band]);
            }
        }
        odds
    }

    /// Widens bands in which single modes decide: what they add, and what no band there is surer than, sources apart. The same modes and places
    /// decide in neighbouring bands, so that this error is one for all: on the safe side.
    pub(super) fn widen(&mut self, modal: &Modal<'_>) {
        let paths_db = self.by_band_db(|cause| !matches!(cause, Cause::Source(_) | Cause::Force(_)));
        let more = Spectrum::from_fn(|band| {
            let whole_db = paths_db[band].hypot(modal.adds_db[band]).max(modal.least_db[band]);
            self.energy[band] * (whole_db.powi(2) - paths_db[band].powi(2)).max(0.0).sqrt()
        });
        let by_modes = more.zip(&self.energy, |more, energy| if energy > 0.0 { more / energy } else { 0.0 });
        self.mean = self.mean.zip(&by_modes, |mean, db| mean * raise(db.powi(2)));
        self.errors.insert(Cause::Modes, more);
        self.silent_db = *modal.least_db;
    }

    /// Standard uncertainty of the level in each band, dB; where there is no sound the least that one there would have.
    #[must_use]
    pub fn in_bands_db(&self) -> Spectrum {
        self.by_band_db(|_| true)
    }

    /// The part of it that single modes have, dB.
    #[must_use]
    pub fn by_modes_db(&self) -> Spectrum {
        self.by_band_db(|cause| *cause == Cause::Modes)
    }

    fn by_band_db(&self, counts: impl Fn(&Cause) -> bool) -> Spectrum {
        let squares = self
            .errors
            .iter()
            .filter(|(cause, _)| counts(cause))
            .fold(Spectrum::ZERO, |sum, (_, own)| Spectrum::from_fn(|band| sum[band] + own[band].powi(2)));
        Spectrum::from_fn(|band| match self.energy[band] {
            energy if energy > 0.0 => squares[band].sqrt() / energy,
            _ => self.silent_db[band],
        })
    }

    /// Standard uncertainty of the level of a weighted sum over bands, dB; [`IN_PLACE_DB`] where there is no sound.
    #[must_use]
    pub fn of_sum_db(&self, weights: &Spectrum) -> f64 {
        let Some(squares) = self.squares(weights) else { return IN_PLACE_DB };
        squares.map(|(_, square)| square).sum::<f64>().sqrt()
    }

    /// By how much the middle of all that the level of a weighted sum over bands may be lies above the computed level, dB: of several ways, what turns
    /// out worse is heard, and what turns out better the rest drowns.
    ///
    /// Of a sum of lognormal energies, taken as lognormal itself: the mean is the sum of the means, the middle exp((c·σ)²/2) below it. Source: Fenton,
    /// IRE Transactions on Communications Systems 8 (1960) 57 (from memory, unverified), with the standard deviation of the first order in the place
    /// of his: nearer to what is drawn ([`super::sampling`]), within 1 dB for up to forty ways of 5 dB in common and
    /// 9 dB of their own; too high by up to 3 dB where single ways are off by more.
    #[must_use]
    pub fn middle_db(&self, weights: &Spectrum) -> f64 {
        middle_db(self.energy.dot(weights), self.mean.dot(weights), self.of_sum_db(weights))
    }

    /// Both.
    #[must_use]
    pub fn sure(&self, weights: &Spectrum) -> Sure {
        Sure { middle_db: self.middle_db(weights), deviation_db: self.of_sum_db(weights) }
    }

    /// What the variance of the level of a weighted sum over bands comes from: each cause with its part, the greatest first; together 1. Nothing where
    /// there is no sound. Causes of no part are left out.
    #[must_use]
    pub fn causes(&self, weights: &Spectrum) -> Vec<(Cause, f64)> {
        let Some(squares) = self.squares(weights) else { return Vec::new() };
        in_parts(squares.collect())
    }

    /// The variance of each cause, dB².
    fn squares(&self, weights: &Spectrum) -> Option<impl Iterator<Item = (Cause, f64)>> {
        let all = self.energy.dot(weights);
        (all > 0.0).then(|| {
            self.errors.iter().map(move |(cause, own)| {
                let parts_db = own.zip(weights, |own, weight| own * weight / all);
                let of_all_db = match cause {
                    Cause::Build(_) => of_model_db(&parts_db),
                    _ => parts_db.sum(),
                };
                (*cause, of_all_db.powi(2))
            })
        })
    }
}

/// Every error of a path once, with its standard uncertainty in each band, dB.
pub(super) fn gather(known: &Known, outdoors: bool, path: &PathRecord, errors: &mut Vec<(Cause, Spectrum)>) {
    errors.clear();
    each_error(known, outdoors, path, &mut |cause, db| match errors.iter_mut().find(|(told, _)| *told == cause) {
        Some((_, sum)) => *sum = sum.zip(db, |sum, db| sum + db),
        None => errors.push((cause, *db)),
    });
}

/// The mean of an energy over all that it may be.
pub(super) fn raised(energy: &Spectrum, errors: &[(Cause, Spectrum)]) -> Spectrum {
    let variance = errors.iter().fold(Spectrum::ZERO, |sum, (_, db)| sum.zip(db, |sum, db| sum + db * db));
    energy.zip(&variance, |energy, variance| energy * raise(variance))
}

/// By what the mean of a lognormal energy lies above its middle; variance of its level in dB².
pub(super) fn raise(variance_db2: f64) -> f64 {
    (0.5 * (std::f64::consts::LN_10 / 10.0).powi(2) * variance_db2).exp()
}

/// See [`Odds::middle_db`]: energy, its mean, and the standard uncertainty of its level, dB.
pub(super) fn middle_db(energy: f64, mean: f64, sure_db: f64) -> f64 {
    if energy > 0.0 && mean > 0.0 {
        10.0 * (mean / energy).log10() - 10.0 * raise(sure_db.powi(2)).log10()
    } else {
        0.0
    }
}

/// Variances as parts of their sum, the greatest first, without those of none.
pub(super) fn in_parts(mut variances: Vec<(Cause, f64)>) -> Vec<(Cause, f64)> {
    let all: f64 = variances.iter().map(|(_, own)| own).sum();
    variances.retain(|(_, own)| *own > 0.0);
    variances.iter_mut().for_each(|(_, own)| *own /= all);
    variances.sort_by(|a, b| b.1.total_cmp(&a.1));
    variances
}

/// Standard uncertainty of a level of several bands by the errors of the model, dB, from each band's own times its share of the energy: the thirds
/// of an octave are off together, octaves the less alike the farther they lie apart, by [`OCTAVE_CORRELATION`].
#[must_use]
pub fn of_model_db(parts_db: &Spectrum) -> f64 {
    let (mut square, mut below) = (0.0, 0.0);
    for own in parts_db.octave_sums() {
        square += own * (own + 2.0 * below);
        below = OCTAVE_CORRELATION * (below + own);
    }
    square.sqrt()
}

#[cfg(test)]
mod tests {
    use super::super::known::{KnownElement, KnownFace, KnownSpace};
    use super::*;
    use crate::acoustics::Bands;
    use crate::building::ElementIndex;

    const A: Surface = Surface::Element(ElementIndex(0));
    const B: Surface = Surface::Element(ElementIndex(1));
    /// Built as the first.
    const LIKE_A: Surface = Surface::Element(ElementIndex(2));

    fn path(kind: PathKind, entry: Surface, exit: Surface, energy: f64) -> PathRecord {
        let junction = (kind == PathKind::Flanking).then_some(JunctionIndex(0));
        let energy = Spectrum::splat(energy);
        PathRecord {
            kind,
            source_space: SpaceIndex(0),
            entry,
            junction,
            via: None,
            exit,
            energy,
            share: 0.0,
            route: None,
        }
    }

    fn through(face: Surface, energy: f64) -> PathRecord {
        path(PathKind::Through, face, face, energy)
    }

    /// Of boards on studs and of brick, a usual job; `source_db` of the source.
    fn odds_of(paths: &[PathRecord], source_db: f64) -> Odds {
        let element = |construction, spread| KnownElement {
            own: KnownFace { construction, spread, work_db: 2.0 },
            openings: vec![],
        };
        let known = Known {
            constructions: vec!["brick".into(), "studs".into()],
            elements: vec![element(1, Spread::Leaves), element(0, Spread::Masonry), element(1, Spread::Leaves)],
            spaces: vec![KnownSpace { outdoors: false, source_db, force_db: source_db }],
        };
        let energy = paths.iter().fold(Spectrum::ZERO, |sum, path| sum.zip(&path.energy, |sum, own| sum + own));
        Odds::of_paths(&known, false, paths.iter().map(|path| (path, &path.energy)), &energy)
    }

    fn at_500_hz(paths: &[PathRecord], source_db: f64) -> f64 {
        odds_of(paths, source_db).in_bands_db()[Bands::nearest(500.0)]
    }

    fn is(value: f64, expected: f64) {
        assert!((value - expected).abs() < 1e-9, "{value} for {expected}");
    }

    /// By hand at 500 Hz: studs 6 dB, a usual job 2 dB, buildings 2.3 dB, junction 2 dB.
    #[test]
    fn what_paths_share_does_not_average_out() {
        let one = at_500_hz(&[through(A, 1.0)], 0.0);
        is(one, (36.0 + 4.0 + IN_PLACE_DB.powi(2)).sqrt());
        // Twice through the same face is once; two faces of one construction share the model but not the work.
        is(at_500_hz(&[through(A, 1.0), through(A, 1.0)], 0.0), one);
        is(at_500_hz(&[through(A, 1.0), through(LIKE_A, 1.0)], 0.0), (36.0 + 2.0 + IN_PLACE_DB.powi(2)).sqrt());
        is(at_500_hz(&[through(A, 1.0), through(B, 1.0)], 0.0), (18.0 + 2.0 + IN_PLACE_DB.powi(2)).sqrt());
        // Half of either element round a junction.
        let round = path(PathKind::Flanking, A, LIKE_A, 1.0);
        is(at_500_hz(&[round], 0.0), (36.0 + 2.0 + 4.0 + IN_PLACE_DB.powi(2)).sqrt());
        // Both in full by a room between.
        is(at_500_hz(&[path(PathKind::ByRoom, A, B, 1.0)], 0.0), (72.0 + 8.0 + IN_PLACE_DB.powi(2)).sqrt());
        // The source is in all of it.
        is(at_500_hz(&[through(A, 1.0)], 5.0), one.hypot(5.0));
    }

    #[test]
    fn more_paths_of_equal_strength_never_make_it_less_sure() {
        let mut before = f64::INFINITY;
        for count in 1..20 {
            let gaps: Vec<_> =
                (0..count).map(|at| path(PathKind::Gap, Surface::Gap(ElementIndex(0), at), A, 1.0)).collect();
            let now = at_500_hz(&gaps, 3.0);
            assert!(now <= before + 1e-12, "{count}: {now} after {before}");
            assert!(now >= IN_PLACE_DB.hypot(3.0), "{count}: {now}");
            before = now;
        }
    }

    /// A listener whom the residual alone reaches has its uncertainty, source apart, in every sum of bands.
    #[test]
    fn the_residual_has_its_own() {
        let odds =
            odds_of(&[path(PathKind::Residual, Surface::Building, Surface::Building, 1.0), through(A, 1e-9)], 0.0);
        assert!((odds.in_bands_db()[12] - Residual::UNCERTAINTY_DB).abs() < 1e-6);
        assert!((odds.of_sum_db(&Spectrum::splat(1.0)) - Residual::UNCERTAINTY_DB).abs() < 1e-6);
    }

    /// By hand: an octave apart two equal bands of 6 dB, 0.5 alike, give 3·√(1 + 1 + 2·0.5) = 5.2 dB; far apart 3·√2 = 4.2, were it not for
    /// 2·0.5⁶ of the rest.
    #[test]
    fn bands_apart_average_out_in_part() {
        let two = |first: usize, second: usize| {
            of_model_db(&Spectrum::from_fn(|band| if band == first || band == second { 3.0 } else { 0.0 }))
        };
        is(two(9, 12), 27f64.sqrt());
        is(two(3, 21), 3.0 * (2.0 + 2.0 * 0.5f64.powi(6)).sqrt());
        let odds = odds_of(&[through(A, 1.0)], 0.0);
        let (sum_db, in_bands_db) = (odds.of_sum_db(&Spectrum::splat(1.0)), odds.in_bands_db());
        assert!(in_bands_db.iter().all(|one| sum_db < *one), "{sum_db}: {in_bands_db:?}");
        is(odds.of_sum_db(&Spectrum::from_fn(|band| if band == 12 { 7.0 } else { 0.0 })), in_bands_db[12]);
        is(odds_of(&[], 0.0).of_sum_db(&Spectrum::splat(1.0)), IN_PLACE_DB);
    }

    /// Modes widen what they decide, and no band falls below their least.
    #[test]
    fn modes_widen_low_bands() {
        let modal = Modal {
            adds_db: &Spectrum::from_fn(|band| if band < 6 { 5.6 } else { 0.0 }),
            least_db: &Spectrum::from_fn(|band| if band < 6 { 8.0 } else { 1.8 }),
        };
        let mut wide = odds_of(&[through(A, 1.0)], 0.0);
        let before = wide.in_bands_db();
        wide.widen(&modal);
        let after = wide.in_bands_db();
        is(after[12], before[12]);
        is(after[5], before[5].hypot(5.6).max(8.0));
        let mut own = odds_of(&[path(PathKind::Through, Surface::Air, Surface::Air, 1.0)], 0.0);
        own.widen(&modal);
        is(own.in_bands_db()[0], 8.0);
        is(own.in_bands_db()[12], 1.8);
    }
}
