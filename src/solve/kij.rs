//! Kij of every junction of a building, from what its arms are made of.

use rayon::prelude::*;

use super::conditions::Conditions;
use super::construction::{Body, Resolved};
use crate::acoustics::Spectrum;
use crate::acoustics::junction;
use crate::acoustics::junction_node::{Arm, Build, JunctionNode};
use crate::acoustics::layers::Stack;
use crate::building::{Building, Junction};
use crate::scene::{Override, Scene};

/// What the arms of one junction pass on to each other.
#[derive(Debug, Clone, PartialEq)]
pub struct JunctionKij {
    /// `factor[i][j]` is 10^(−Kij/10) from arm to arm; an arm with itself has none.
    pub factor: Vec<Vec<Option<Spectrum>>>,
    /// How many pairs of arms there are, and how many of them were found by a neighbouring formula.
    pairs: [usize; 2],
}

impl JunctionKij {
    /// Kij from arm to arm, by their places in the junction's list, dB; nothing where an arm meets itself, or what it cannot pass anything to.
    #[must_use]
    pub fn kij_db(&self, from: usize, to: usize) -> Option<Spectrum> {
        let factor = self.factor.get(from)?.get(to)?.as_ref()?;
        Some(factor.map(|factor| -10.0 * factor.log10()))
    }
}

/// An element as an arm of a junction: mass (kg/m²), build, critical frequency (Hz), and the share in which it is heavy.
pub(super) type ArmFacts = (f64, Build, f64, f64);

/// An element as an arm of a junction. What lies between light and heavy has the build of its greater share, and of mass and critical frequency the geometric
/// mean by share.
pub(super) fn arm_of(body: Option<&Resolved>, conditions: &Conditions) -> ArmFacts {
    let Some(resolved) = body else { return (1.0, Build::Light, 10_000.0, 0.0) };
    let own = 1.0 - resolved.nearly.iter().map(|(share, _)| share).sum::<f64>();
    let bodies =
        std::iter::once((own, &resolved.body)).chain(resolved.nearly.iter().map(|(share, body)| (*share, body)));
    let (mut lg_mass, mut lg_critical, mut heavy) = (0.0, 0.0, 0.0);
    for (share, body) in bodies {
        let (kg_m2, build, hz) = alone(body, resolved.mass_kg_m2, conditions);
        if resolved.nearly.is_empty() {
            return (kg_m2, build, hz, f64::from(u8::from(build == Build::Heavy)));
        }
        (lg_mass, lg_critical) = (lg_mass + share * kg_m2.ln(), lg_critical + share * hz.ln());
        heavy += if build == Build::Heavy { share } else { 0.0 };
    }
    (lg_mass.exp(), if heavy >= 0.5 { Build::Heavy } else { Build::Light }, lg_critical.exp(), heavy)
}

/// Mass, build and critical frequency of one model of an element.
fn alone(body: &Body, mass_kg_m2: f64, conditions: &Conditions) -> (f64, Build, f64) {
    const NOTHING: (f64, Build, f64) = (1.0, Build::Light, 10_000.0);
    let air = &conditions.element_air;
    match body {
        Body::Heavy { plate, .. } => (plate.mass_kg_m2(), Build::Heavy, plate.critical_hz(air)),
        Body::Twin { plates, .. } => {
            let mean_kg_m2 = (plates[0].mass_kg_m2() + plates[1].mass_kg_m2()) / 2.0;
            // The same from whichever side it is drawn.
            (mean_kg_m2, Build::Heavy, (plates[0].critical_hz(air) * plates[1].critical_hz(air)).sqrt())
        }
        Body::Light { stack, .. } => {
            let [near, far] = [0, 1].map(|side| facing_critical_hz(stack, side, conditions));
            (stack.mass_per_area_kg_m2(), Build::Light, (near * far).sqrt())
        }
        // A measured element says nothing of its stiffness: the mass decides, as for drawn ones.
        Body::Measured { .. } if mass_kg_m2 >= 60.0 => (mass_kg_m2, Build::Heavy, 200.0),
        Body::Measured { .. } => (mass_kg_m2.max(1.0), Build::Light, 2500.0),
        Body::Small { .. } | Body::Open => NOTHING,
    }
}

/// Critical frequency of the leaf that faces a side, Hz; limp leaves count as 10 kHz.
pub(super) fn facing_critical_hz(stack: &Stack, side: usize, conditions: &Conditions) -> f64 {
    let leaves = stack.leaves();
    let leaf = if side == 0 { leaves.first() } else { leaves.last() };
    leaf.map_or(10_000.0, |leaf| leaf.critical_hz(&conditions.element_air).min(10_000.0))
}

/// The Kij of all junctions; how many were found by a neighbouring formula is said in `notes`.
pub(super) fn junctions(
    scene: &Scene,
    building: &Building,
    elements: &[ArmFacts],
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> Vec<JunctionKij> {
    let kij_of = |junction: &Junction| {
        let facts: Vec<ArmFacts> = junction.arms.iter().map(|arm| elements[arm.element.0]).collect();
        kij_of(scene, building, junction, &facts, conditions)
    };
    let all: Vec<JunctionKij> = building.junctions.par_iter().map(kij_of).collect();
    let pairs = all.iter().map(|kij| kij.pairs);
    let [pairs, extended] = pairs.fold([0, 0], |sum, pairs| [sum[0] + pairs[0], sum[1] + pairs[1]]);
    if extended > 0 {
        notes.push(format!(
            "{extended} of {pairs} pairs of elements meet in a way ISO 12354-1 Annex E does not list; the nearest formula was used, \
             which may be 5 dB off."
        ));
    }
    all
}

fn kij_of(
    scene: &Scene,
    building: &Building,
    junction: &Junction,
    facts: &[ArmFacts],
    conditions: &Conditions,
) -> JunctionKij {
    let straight: Vec<(usize, usize)> = junction
        .arms
        .iter()
        .enumerate()
        .filter_map(|(at, arm)| arm.straight.filter(|other| at < *other).map(|other| (at, other)))
        .collect();
    let n = junction.arms.len();
    let mut pairs = [0, 0];
    let mut mean_db = vec![vec![None::<Spectrum>; n]; n];
    for (share, facts) in choices(facts) {
        let arms = facts.iter().filter_map(|(mass, build, ..)| Arm::new(*mass, *build).ok()).collect();
        let Ok(node) = JunctionNode::new(arms, straight.clone()) else { continue };
        let counted = pairs == [0, 0];
        for (i, row) in mean_db.iter_mut().enumerate() {
            for (j, cell) in row.iter_mut().enumerate() {
                let Some(kij) = node.kij(i, j, &conditions.bands) else { continue };
                if counted && i < j {
                    pairs[0] += 1;
                    pairs[1] += usize::from(!kij.listed);
                }
                let db = run_on_db(junction, &facts, i, j).map_or(kij.db, Spectrum::splat);
                let sum = cell.get_or_insert(Spectrum::ZERO);
                *sum = if share < 1.0 { sum.zip(&db, |sum, db| sum + share * db) } else { db };
            }
        }
    }
    let factor = mean_db.iter().enumerate().map(|(i, row)| {
        let cells = row.iter().enumerate().map(|(j, db)| {
            db.map(|db| factor_of(&by_hand_db(scene, building, junction, i, j).map_or(db, Spectrum::splat)))
        });
        cells.collect()
    });
    JunctionKij { factor: factor.collect(), pairs }
}

/// Every choice of arms to call heavy or light, with its share, the usual one first: what lies between them is both in part, and Kij is mixed in decibels.
fn choices(facts: &[ArmFacts]) -> Vec<(f64, Vec<ArmFacts>)> {
    let mut choices = vec![(1.0, facts.to_vec())];
    // Of more than four such arms at one line the rest keep their usual build.
    for at in (0..facts.len()).filter(|at| facts[*at].3 > 0.0 && facts[*at].3 < 1.0).take(4) {
        let (_, usual, _, heavy) = facts[at];
        let (own, other) = if usual == Build::Heavy { (heavy, Build::Light) } else { (1.0 - heavy, Build::Heavy) };
        for known in 0..choices.len() {
            let (share, mut turned) = choices[known].clone();
            turned[at].1 = other;
            choices[known].0 = share * own;
            choices.push((share * (1.0 - own), turned));
        }
    }
    choices
}

/// 10^(−Kij/10). One value in all bands, as most are, asks for one power only.
fn factor_of(db: &Spectrum) -> Spectrum {
    let first = 10f64.powf(-db[0] / 10.0);
    db.map(|db_here| if db_here == db[0] { first } else { 10f64.powf(-db_here / 10.0) })
}

/// Joists or boards that run on through a heavy wall are one light element passing it: ISO 12354-1:2017 Annex E, lightweight façade.
/// Own use of that formula, the nearest listed case.
fn run_on_db(junction: &Junction, facts: &[ArmFacts], i: usize, j: usize) -> Option<f64> {
    let through = junction.arms[i].straight == Some(j) && junction.arms[i].continuous;
    if !through || facts[i].1 != Build::Light || facts[j].1 != Build::Light {
        return None;
    }
    let across = facts.iter().enumerate().filter(|(at, fact)| *at != i && *at != j && fact.1 == Build::Heavy);
    let heaviest = across.map(|(_, fact)| fact.0).fold(0.0, f64::max);
    (heaviest > 0.0).then(|| junction::lightweight_facade((facts[i].0 * facts[j].0).sqrt(), heaviest).through_db)
}

fn by_hand_db(scene: &Scene, building: &Building, junction: &Junction, i: usize, j: usize) -> Option<f64> {
    let id = |arm: usize| &building.elements[junction.arms[arm].element.0].id;
    scene.overrides.iter().find_map(|rule| match rule {
        Override::Kij { from, to, kij_db } if (from == id(i) && to == id(j)) || (from == id(j) && to == id(i)) => {
            Some(*kij_db)
        }
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shares of all choices add up to one, the usual one comes first, and an arm that is all light or all heavy stays so.
    #[test]
    fn choices_share_one_whole() {
        let facts = [
            (55.0, Build::Light, 900.0, 0.4),
            (300.0, Build::Heavy, 100.0, 1.0),
            (70.0, Build::Heavy, 400.0, 0.7),
            (20.0, Build::Light, 2500.0, 0.0),
        ];
        let choices = choices(&facts);
        assert_eq!((choices.len(), &choices[0].1[..]), (4, &facts[..]));
        assert!((choices.iter().map(|(share, _)| share).sum::<f64>() - 1.0).abs() < 1e-12);
        let heavy = choices.iter().filter(|(_, facts)| facts[0].1 == Build::Heavy).map(|(share, _)| share).sum::<f64>();
        assert!((heavy - 0.4).abs() < 1e-12);
        assert!(choices.iter().all(|(_, facts)| facts[1].1 == Build::Heavy && facts[3].1 == Build::Light));
    }
}
