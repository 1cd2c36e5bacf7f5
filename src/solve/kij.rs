//! Kij of every junction of a building, from what its arms are made of.

use std::sync::Arc;

use super::construction::{Body, Resolved};
use super::{Conditions, Memory};
use crate::acoustics::Spectrum;
use crate::acoustics::junction;
use crate::acoustics::junction_node::{Arm, Build, JunctionNode, Standing};
use crate::acoustics::layers::Stack;
use crate::building::{Building, Junction};
use crate::scene::{Override, Scene};

/// What the arms of one junction pass on to each other.
#[derive(Debug, Clone, PartialEq)]
pub struct JunctionKij {
    /// The same for any length of it.
    pub node: Arc<NodeKij>,
    /// How long the line is, m.
    pub length_m: f64,
}

/// What arms that meet pass on to each other, whatever the length of the line they meet at.
#[derive(Debug, Clone, PartialEq)]
pub struct NodeKij {
    /// `factor[i][j]` is 10^(−Kij/10) from arm to arm; an arm with itself has none.
    pub factor: Vec<Vec<Option<Spectrum>>>,
    /// How many pairs of arms there are, and how many of them were found by a neighbouring formula.
    pairs: [usize; 2],
}

impl JunctionKij {
    /// For a line of some length, m.
    pub(super) fn new(node: &Arc<NodeKij>, length_m: f64) -> Self {
        Self { node: node.clone(), length_m }
    }

    /// Kij from arm to arm, by their places in the junction's list, dB; nothing where an arm meets itself, or what it cannot pass anything to.
    #[must_use]
    pub fn kij_db(&self, from: usize, to: usize) -> Option<Spectrum> {
        let factor = self.node.factor.get(from)?.get(to)?.as_ref()?;
        Some(factor.map(|factor| -10.0 * factor.log10()))
    }
}

/// An element as an arm of a junction: mass (kg/m²), build and critical frequency (Hz).
pub(super) type ArmFacts = (f64, Build, f64);

/// Mass (kg/m²), build and critical frequency (Hz) of an element as an arm of a junction.
pub(super) fn arm_of(body: Option<&Resolved>, conditions: &Conditions) -> ArmFacts {
    const NOTHING: ArmFacts = (1.0, Build::Light, 10_000.0);
    let Some(resolved) = body else { return NOTHING };
    let air = &conditions.element_air;
    match &resolved.body {
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
        Body::Measured { .. } if resolved.mass_kg_m2 >= 60.0 => (resolved.mass_kg_m2, Build::Heavy, 200.0),
        Body::Measured { .. } => (resolved.mass_kg_m2.max(1.0), Build::Light, 2500.0),
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
    memory: &mut Memory,
    scene: &Scene,
    building: &Building,
    bodies: &[Option<Arc<Resolved>>],
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> Vec<Arc<JunctionKij>> {
    let arms: Vec<ArmFacts> = bodies.iter().map(|body| arm_of(body.as_deref(), conditions)).collect();
    let mut facts = Vec::new();
    let all: Vec<Arc<JunctionKij>> = building
        .junctions
        .iter()
        .map(|junction| {
            facts.clear();
            facts.extend(junction.arms.iter().map(|arm| arms[arm.element.0]));
            memory.elements.junction_or(junction, &facts, || kij_of(scene, building, junction, &facts, conditions))
        })
        .collect();
    let pairs = all.iter().map(|kij| kij.node.pairs);
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
) -> NodeKij {
    let straight = junction
        .arms
        .iter()
        .enumerate()
        .filter_map(|(at, arm)| arm.straight.filter(|other| at < *other).map(|other| (at, other)))
        .collect();
    let arms = facts.iter().filter_map(|(mass, build, _)| Arm::new(*mass, *build).ok()).collect();
    let node = JunctionNode::new(arms, straight).ok();
    let n = junction.arms.len();
    let mut pairs = [0, 0];
    let mut factor = vec![vec![None; n]; n];
    for (i, row) in factor.iter_mut().enumerate() {
        for (j, cell) in row.iter_mut().enumerate() {
            let Some(kij) = node.as_ref().and_then(|node| node.kij(i, j, &conditions.bands)) else { continue };
            pairs[0] += usize::from(i < j);
            pairs[1] += usize::from(i < j && kij.standing == Standing::Extension);
            let run_on = run_on_db(junction, facts, i, j);
            let by_hand = by_hand_db(scene, building, junction, i, j);
            *cell = Some(factor_of(&by_hand.or(run_on).map_or(kij.db, Spectrum::splat)));
        }
    }
    NodeKij { factor, pairs }
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
