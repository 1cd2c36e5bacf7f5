//! What elements lose at their edges in the building: Σ l·α of each, from the Kij of the junctions it takes part in.

use rayon::prelude::*;

use super::conditions::Conditions;
use super::construction::{Body, Resolved, add};
use super::kij::{ArmFacts, JunctionKij};
use super::place::net_area_m2;
use crate::acoustics::Spectrum;
use crate::acoustics::edge_loss::{edge_absorption, link_m, loss_of_driven, most_edge_sum_m, own_loss_length_m};
use crate::acoustics::junction::most_kij_factor;
use crate::acoustics::junction_node::Build;
use crate::acoustics::plate::Plate;
use crate::acoustics::radiation::PanelSides;
use crate::building::{Building, Junction};

/// What goes on over more joints than this of a straight run is not followed back (own judgement: it is some tenths of a decibel).
const FOLLOWED: usize = 3;

/// The other pieces of a straight run that an element is joined to, and how strongly, m.
type Links = Vec<(usize, Spectrum)>;

/// Σ l·α over the junctions that each element takes part in, m.
///
/// Every Kij is held to its lower bound first. A heavy element that runs straight on, at a joint where no other heavy one meets it, has no
/// edge there: what goes on is lost only as far as the rest of the run loses it (see [`loss_of_driven`]). What is lost to a joint's
/// other arms is held to [`most_edge_sum_m`].
pub(super) fn edge_sums_m(
    building: &Building,
    junctions: &[JunctionKij],
    bodies: &[Option<&Resolved>],
    facts: &[ArmFacts],
    conditions: &Conditions,
) -> Vec<Spectrum> {
    let plates: Vec<Option<&Plate>> = bodies.iter().map(|body| plate_of(*body)).collect();
    let mut sums_m = vec![Spectrum::ZERO; facts.len()];
    let mut links: Vec<Links> = vec![Vec::new(); facts.len()];
    for (junction, kij) in building.junctions.iter().zip(junctions) {
        let factor = |i: usize, j: usize| {
            let [own, other] = [i, j].map(|arm| junction.arms[arm].element);
            let [own_m2, other_m2] = [own, other].map(|element| net_area_m2(&building.elements[element.0]));
            let most = most_kij_factor(junction.length_m, own_m2, other_m2);
            Some(kij.factor[i][j].as_ref()?.map(|factor| factor.min(most)))
        };
        let critical_hz = |arm: usize| facts[junction.arms[arm].element.0].2;
        for (i, arm) in junction.arms.iter().enumerate() {
            let own = arm.element.0;
            let runs_on = arm.straight.filter(|other| is_run(junction, facts, &plates, i, *other));
            let others = (0..junction.arms.len())
                .filter(|other| junction.arms[*other].element.0 != own && Some(*other) != runs_on)
                .filter_map(|other| Some((critical_hz(other), factor(i, other)?)));
            let alpha = edge_absorption(others);
            sums_m[own] = sums_m[own].zip(&alpha, |sum, alpha| sum + junction.length_m * alpha);
            if let Some((other, factor)) = runs_on.and_then(|other| Some((other, factor(i, other)?))) {
                let both_hz = [critical_hz(i), critical_hz(other)];
                let link = factor.map(|factor| link_m(junction.length_m, both_hz, factor));
                let to = junction.arms[other].element.0;
                match links[own].iter_mut().find(|(known, _)| *known == to) {
                    Some((_, sum)) => *sum = add(sum, &link),
                    None => links[own].push((to, link)),
                }
            }
        }
    }
    let air = &conditions.element_air;
    for (at, plate) in plates.iter().enumerate() {
        if let Some(plate) = plate {
            let most_m = most_edge_sum_m(building.elements[at].area_m2, plate.critical_hz(air), air);
            sums_m[at] = sums_m[at].map(|sum_m| sum_m.min(most_m));
        }
    }
    let own_loss_m: Vec<Spectrum> =
        (0..facts.len()).into_par_iter().map(|at| own_loss(building, &plates, &links, at, conditions)).collect();
    (0..facts.len())
        .into_par_iter()
        .map(|at| match plates[at].filter(|_| !links[at].is_empty()) {
            None => sums_m[at],
            Some(plate) => {
                let own_hz = plate.critical_hz(air);
                let most_m = most_edge_sum_m(building.elements[at].area_m2, own_hz, air);
                let lost = of_run(facts, &links, &sums_m, &own_loss_m, at);
                lost.zip(&own_loss_m[at], |lost, own_loss_m| (lost / own_hz.sqrt() - own_loss_m).clamp(0.0, most_m))
            }
        })
        .collect()
}

/// True when two arms are one heavy element that runs straight on, with no other heavy one at the joint.
fn is_run(junction: &Junction, facts: &[ArmFacts], plates: &[Option<&Plate>], i: usize, j: usize) -> bool {
    let of = |arm: usize| junction.arms[arm].element.0;
    let plain = |arm: usize| plates[of(arm)].is_some();
    let others = (0..junction.arms.len()).filter(|arm| *arm != i && *arm != j);
    plain(i) && plain(j) && of(i) != of(j) && others.into_iter().all(|arm| facts[of(arm)].1 == Build::Light)
}

/// The heavy plate of an element: of two leaves the first.
fn plate_of(body: Option<&Resolved>) -> Option<&Plate> {
    match &body?.body {
        Body::Heavy { plate, .. } => Some(plate),
        // The heavier leaf, whichever way it is drawn.
        Body::Twin { plates, .. } => plates.iter().max_by(|a, b| {
            let key = |plate: &Plate| (plate.mass_kg_m2(), plate.bending_stiffness_nm());
            let ((mass, bending), (other_mass, other_bending)) = (key(a), key(b));
            mass.total_cmp(&other_mass).then(bending.total_cmp(&other_bending))
        }),
        _ => None,
    }
}

/// What a piece of a run loses inside itself and to the air, as a length, m; nothing for what is no piece of one.
fn own_loss(
    building: &Building,
    plates: &[Option<&Plate>],
    links: &[Links],
    at: usize,
    conditions: &Conditions,
) -> Spectrum {
    let [long_m, short_m] = building.elements[at].size_m.map(|side| side.max(0.1));
    match (plates[at].filter(|_| !links[at].is_empty()), PanelSides::new(long_m, short_m)) {
        (Some(plate), Ok(sides)) => own_loss_length_m(plate, sides, &conditions.bands, &conditions.element_air),
        _ => Spectrum::ZERO,
    }
}

/// What the driven piece of a run loses in all, times the root of its critical frequency.
fn of_run(
    facts: &[ArmFacts],
    links: &[Links],
    sums_m: &[Spectrum],
    own_loss_m: &[Spectrum],
    driven: usize,
) -> Spectrum {
    // The pieces within reach, those of one distance after those of the distance before.
    let mut pieces = vec![driven];
    let mut ring = 0..1;
    for _ in 0..FOLLOWED {
        for at in ring.clone() {
            for (to, _) in &links[pieces[at]] {
                if !pieces.contains(to) {
                    pieces.push(*to);
                }
            }
        }
        ring = ring.end..pieces.len();
    }
    // The driven piece last, so that all others are eliminated before it.
    pieces.reverse();
    let n = pieces.len();
    let mut matrix = vec![0.0; n * n];
    Spectrum::from_fn(|band| {
        matrix.fill(0.0);
        for (row, piece) in pieces.iter().enumerate() {
            matrix[row * n + row] = facts[*piece].2.sqrt() * (sums_m[*piece][band] + own_loss_m[*piece][band]);
            for (to, link) in &links[*piece] {
                matrix[row * n + row] += link[band];
                if let Some(column) = pieces.iter().position(|other| other == to) {
                    matrix[row * n + column] -= link[band];
                }
            }
        }
        loss_of_driven(&mut matrix, n)
    })
}
