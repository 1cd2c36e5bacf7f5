//! How sure a level is when groups of its paths get weaker or stronger: as [`super::odds`], summed once for each group.

use std::collections::BTreeMap;

use super::answer::{Answer, ListenerAnswer};
use super::criteria::Sure;
use super::odds::{Cause, IN_PLACE_DB, gather, middle_db, of_model_db, raise, raised};
use crate::acoustics::{BAND_COUNT, Spectrum};

/// What a listener's level may be off by, whatever is done to groups of its paths.
#[derive(Debug, Clone)]
pub struct GroupedOdds {
    /// Energy of each group that has any.
    energy: Vec<(usize, Spectrum)>,
    /// Its mean over all that it may be, modes apart.
    mean: Vec<(usize, Spectrum)>,
    /// Energy times dB of each group that has the error.
    errors: Vec<(Cause, Vec<(usize, Spectrum)>)>,
    modes_db: Spectrum,
    least_db: Spectrum,
}

impl GroupedOdds {
    /// Of a listener of an answer; the group of each of their paths, in the order of [`ListenerAnswer::paths`].
    #[must_use]
    pub fn of(answer: &Answer, heard: &ListenerAnswer, groups: &[usize]) -> Self {
        let outdoors = answer.known.spaces[heard.space.0].outdoors;
        let (mut energy, mut mean) = (BTreeMap::new(), BTreeMap::new());
        let mut errors: BTreeMap<Cause, BTreeMap<usize, Spectrum>> = BTreeMap::new();
        let add = |to: &mut BTreeMap<usize, Spectrum>, group: usize, what: &Spectrum| {
            let sum = to.entry(group).or_insert(Spectrum::ZERO);
            *sum = sum.zip(what, |sum, own| sum + own);
        };
        let mut own = vec![];
        for (path, group) in heard.paths.iter().zip(groups) {
            gather(&answer.known, outdoors, path, &mut own);
            add(&mut energy, *group, &path.energy);
            add(&mut mean, *group, &raised(&path.energy, &own));
            for (cause, db) in &own {
                add(errors.entry(*cause).or_default(), *group, &path.energy.zip(db, |energy, db| energy * db));
            }
        }
        Self {
            energy: energy.into_iter().collect(),
            mean: mean.into_iter().collect(),
            errors: errors.into_iter().map(|(cause, groups)| (cause, groups.into_iter().collect())).collect(),
            modes_db: heard.modes_db,
            least_db: heard.least_db,
        }
    }

    /// How sure the level of a weighted sum over bands is, with each group's energy times its factor; [`IN_PLACE_DB`] where there is no sound.
    #[must_use]
    pub fn sure(&self, factors: &[Spectrum], weights: &Spectrum) -> Sure {
        let summed = |groups: &[(usize, Spectrum)]| {
            let mut sum = Spectrum::ZERO;
            for (group, own) in groups {
                for band in 0..BAND_COUNT {
                    sum[band] += own[band] * factors[*group][band];
                }
            }
            sum
        };
        let energy = summed(&self.energy);
        let all = energy.dot(weights);
        if all.is_nan() || all <= 0.0 {
            return Sure { middle_db: 0.0, deviation_db: IN_PLACE_DB };
        }
        let (mut of_paths, mut square) = (Spectrum::ZERO, 0.0);
        for (cause, groups) in &self.errors {
            let own = summed(groups);
            if !matches!(cause, Cause::Source(_) | Cause::Force(_)) {
                of_paths = of_paths.zip(&own, |sum, own| sum + own * own);
            }
            let parts_db = own.zip(weights, |own, weight| own * weight / all);
            square += match cause {
                Cause::Build(_) => of_model_db(&parts_db),
                _ => parts_db.sum(),
            }
            .powi(2);
        }
        let by_modes = Spectrum::from_fn(|band| {
            if energy[band] <= 0.0 {
                return 0.0;
            }
            let paths_db = of_paths[band].sqrt() / energy[band];
            let whole_db = paths_db.hypot(self.modes_db[band]).max(self.least_db[band]);
            (whole_db.powi(2) - paths_db.powi(2)).max(0.0).sqrt()
        });
        let modes_db = (0..BAND_COUNT).map(|band| weights[band] * energy[band] * by_modes[band] / all).sum::<f64>();
        let deviation_db = (square + modes_db.powi(2)).sqrt();
        let mean = summed(&self.mean).zip(&by_modes, |mean, db| mean * raise(db.powi(2)));
        Sure { middle_db: middle_db(all, mean.dot(weights), deviation_db), deviation_db }
    }
}

#[cfg(test)]
mod tests {
    use super::super::odds::Odds;
    use super::*;
    use crate::acoustics::rating::weighting::a_weighted;
    use crate::project::Project;

    /// Against the odds of the paths one by one: as they are, and with every other path 20 dB weaker.
    #[test]
    fn groups_are_as_sure_as_their_paths() {
        let scene = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/shared-void.ron");
        let solved = Project::open(scene).unwrap().solve().unwrap();
        let weights = a_weighted(&Spectrum::splat(1.0));
        for heard in solved.answer.listeners.iter().filter(|heard| heard.paths.len() > 3) {
            let groups: Vec<usize> = (0..heard.paths.len()).map(|at| at % 2).collect();
            let grouped = GroupedOdds::of(&solved.answer, heard, &groups);
            for weaker in [1.0, 0.01] {
                let energies = heard.paths.iter().zip(&groups);
                let factor = |group: usize| if group == 1 { weaker } else { 1.0 };
                let energies: Vec<Spectrum> =
                    energies.map(|(path, group)| path.energy.map(|energy| energy * factor(*group))).collect();
                let one_by_one = Odds::with_energies(&solved.answer, heard, &energies).sure(&weights);
                let in_groups = grouped.sure(&[0, 1].map(|group| Spectrum::splat(factor(group))), &weights);
                // Paths of less than a ten-thousandth are left out there.
                let apart_db =
                    [one_by_one.deviation_db - in_groups.deviation_db, one_by_one.middle_db - in_groups.middle_db];
                assert!(apart_db.iter().all(|db| db.abs() < 0.03), "{}: {one_by_one:?} {in_groups:?}", heard.name);
            }
        }
    }
}
