//! What every element of a building does to sound: straight through, and as one element of a flanking path.

use super::answer::ElementAnswer;
use super::cancelled::{Cancelled, each};
use super::conditions::Conditions;
use super::construction::{Resolved, add, at_most_all};
use super::edges::edge_sums_m;
use super::front::{self, FrontGain, FrontLayers};
use super::kij::{ArmFacts, JunctionKij, arm_of, junctions};
use super::library::Library;
use super::opening::{OpeningInSitu, opening_in_situ};
use super::place::Place;
use super::spread::Spread;
use crate::acoustics::Spectrum;
use crate::acoustics::flanking::{FlankingElement, FlankingFactors};
use crate::acoustics::mobility::PointMobility;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::tapping_machine::HammerContact;
use crate::building::{Building, Element, ElementIndex};
use crate::scene::Override;

/// An element, ready for paths.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementInSitu {
    /// τ·S straight through, its open edge included, without openings, m².
    pub tau_m2: Spectrum,
    /// τ·S of its open edge alone, m²: nothing when built as drawn.
    pub edge_m2: Spectrum,
    /// What it is in a flanking path, seen from `sides[0]` and `sides[1]`.
    pub flanking: [FlankingElement; 2],
    /// True for two heavy leaves with a cavity: sound does not pass from one leaf's junctions to the other's.
    pub twin: bool,
    /// Area without openings, m².
    pub net_area_m2: f64,
    /// Area with openings, m².
    pub gross_area_m2: f64,
    /// Mass per area, kg/m².
    pub mass_kg_m2: f64,
    /// How far its R may be off.
    pub spread: Spread,
    /// Its openings, in the element's order.
    pub openings: Vec<OpeningInSitu>,
    /// How it takes a force on the face of `sides[0]` and `sides[1]`; nothing where that is not known.
    pub excited: [Option<ExcitedFace>; 2],
    /// The faces of inner shells before it, by side; `tau_m2` and `flanking` have their gain already.
    pub fronts: [Option<FrontGain>; 2],
}

/// How a floor or wall takes a force on one of its faces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExcitedFace {
    /// Mobility under the force.
    pub mobility: PointMobility,
    /// Radiation efficiency of the struck face.
    pub sigma: Spectrum,
    /// What a force drives over what sound drives, on the paths round junctions: a force makes no forced wave, and ISO 12354-2 no thick-plate limit.
    pub driven_part: Spectrum,
    /// The same on the path straight through: there the linings of both faces keep all they can, ISO 12354-2:2017, 4.2.
    pub straight_part: Spectrum,
    /// How the tapping machine's hammers meet it; nothing where it is hard and heavy.
    pub hammer: Option<HammerContact>,
}

impl ExcitedFace {
    /// With linings on a plate that is struck bare: `bare_tau` its own τ, `tau` what is left straight through, `gains_db` for airborne sound of the
    /// struck face and the other, `stroke_db` for a stroke of the struck face.
    #[must_use]
    pub fn with_linings(
        self,
        bare_tau: &Spectrum,
        tau: &Spectrum,
        gains_db: [&Spectrum; 2],
        stroke_db: &Spectrum,
    ) -> Self {
        let driven_part =
            self.driven_part.zip(gains_db[0], |part, gain| part * 10f64.powf(gain / 10.0)).less_db(stroke_db);
        let straight_part = self
            .driven_part
            .zip(bare_tau, |part, bare| part * bare)
            .less_db(&add(stroke_db, gains_db[1]))
            .zip(tau, |stroke, all| stroke / all);
        Self { driven_part, straight_part, ..self }
    }
}

impl ElementInSitu {
    /// τ·S through element, openings and gaps together, m².
    #[must_use]
    pub fn all_tau_m2(&self) -> Spectrum {
        self.openings.iter().fold(self.tau_m2, |sum, opening| add(&add(&sum, &opening.tau_m2), &opening.gap_m2))
    }
}

/// A solved element with all that is said of it.
#[derive(Debug, Clone)]
pub(super) struct Solved {
    pub part: ElementInSitu,
    /// The same, ready to be joined.
    pub flanking: [FlankingFactors; 2],
    pub answer: ElementAnswer,
    pub notes: Vec<String>,
}

/// All elements of a building and the Kij of all its junctions.
#[derive(Debug, Clone)]
pub struct Elements {
    /// In the building's order.
    pub(super) solved: Vec<Solved>,
    /// In the building's order.
    pub junctions: Vec<JunctionKij>,
    /// For each duct of the building, the open area that passes as much, m².
    pub duct_m2: Vec<Spectrum>,
}

impl std::ops::Index<ElementIndex> for Elements {
    type Output = ElementInSitu;

    fn index(&self, element: ElementIndex) -> &ElementInSitu {
        &self.solved[element.0].part
    }
}

impl Elements {
    /// The parts in order.
    pub fn iter(&self) -> impl Iterator<Item = &ElementInSitu> {
        self.solved.iter().map(|solved| &solved.part)
    }
}

/// Computes every element in situ. What cannot be computed is said in `notes`. Nothing when cancelled.
pub(super) fn elements(
    library: &Library<'_>,
    building: &Building,
    conditions: &Conditions,
    notes: &mut Vec<String>,
    cancelled: &Cancelled<'_>,
) -> Option<Elements> {
    let (scene, catalogue) = (library.scene, library.catalogue);
    let bodies: Vec<Option<&Resolved>> =
        building.elements.iter().map(|element| library.get(&element.construction)).collect();
    let arms: Vec<ArmFacts> = bodies.iter().map(|body| arm_of(*body, conditions)).collect();
    let junctions = junctions(scene, building, &arms, conditions, notes);
    notes.extend(building.elements.iter().filter_map(|element| library.fault_words(element)));
    let edge_sums_m = edge_sums_m(building, &junctions, &bodies, &arms, conditions);
    let place = Place { scene, bodies: &bodies, edge_sums_m: &edge_sums_m, conditions };
    let solved = each(building.elements.len(), cancelled, |at| solved(&place, library, &building.elements[at], at))?;
    notes.extend(solved.iter().flat_map(|solved| solved.notes.iter().cloned()));
    for rule in &scene.overrides {
        notes.push(match rule {
            Override::Kij { from, to, kij_db } => format!("Kij between {from} and {to} is set by hand to {kij_db} dB."),
            Override::EdgeLoss { element, sum_m } => format!("The edge loss of {element} is set by hand to {sum_m} m."),
            Override::Reduction { element, .. } => format!("The sound reduction index of {element} is as measured."),
        });
    }
    let duct_m2 = super::duct::open_areas_m2(scene, catalogue, building, conditions, notes);
    Some(Elements { solved, junctions, duct_m2 })
}

/// The element `at` in its place.
fn solved(place: &Place<'_>, library: &Library<'_>, element: &Element, at: usize) -> Solved {
    let mut notes = Vec::new();
    let openings = element.openings.iter();
    let openings = openings.map(|opening| opening_in_situ(opening, library, place.conditions, &mut notes)).collect();
    let mut part = place.part(at, element, library.faults(element).as_ref(), openings);
    stand_before(&mut part, element, library, place.conditions, &mut notes);
    let flanking = [0, 1].map(|side| FlankingFactors::of(&part.flanking[side]));
    Solved { answer: answer(&part, place.edge_sums_m[at]), part, flanking, notes }
}

fn answer(part: &ElementInSitu, edge_sum_m: Spectrum) -> ElementAnswer {
    let all = part.all_tau_m2();
    let r_db = part.tau_m2.map(|tau_m2| -10.0 * (tau_m2 / part.net_area_m2).log10());
    let plain = part.openings.is_empty() && part.net_area_m2 == part.gross_area_m2;
    ElementAnswer {
        r_db,
        r_composite_db: if plain { r_db } else { all.map(|tau_m2| -10.0 * (tau_m2 / part.gross_area_m2).log10()) },
        rw_db: rated_db(&r_db),
        edge_sum_m,
        mass_per_area_kg_m2: part.mass_kg_m2,
        opening_tau_m2: part.openings.iter().map(|opening| opening.tau_m2).collect(),
        gap_tau_m2: part.openings.iter().map(|opening| opening.gap_m2).collect(),
    }
}

/// Rw, dB; 0 for what passes nothing or everything, which no curve can rate.
fn rated_db(r_db: &Spectrum) -> i32 {
    if r_db.is_finite() { Airborne::rw_db_of_spectrum(r_db) } else { 0 }
}

/// Puts the faces of inner shells before an element: what they gain comes off every path through that side.
fn stand_before(
    part: &mut ElementInSitu,
    element: &Element,
    library: &Library<'_>,
    conditions: &Conditions,
    notes: &mut Vec<String>,
) {
    let Some(base) = library.find(&element.construction) else { return };
    let size_m = element.size_m.map(|side| side.max(0.1));
    for (side, front) in element.fronts.iter().enumerate() {
        let Some(front) = front else { continue };
        let at_start = (side == 0) != element.reversed;
        let gain = FrontLayers::shell(front, library)
            .and_then(|before| front::gain(library.catalogue, base, &before, at_start, size_m, conditions));
        match gain {
            Ok(gain) => {
                let less = gain.gain_db.map(|gain| 10f64.powf(-gain / 10.0));
                part.edge_m2 = part.edge_m2.zip(&less, |edge, less| edge * less);
                let tau = part.tau_m2.zip(&less, |tau, less| tau * less / part.net_area_m2);
                part.tau_m2 = at_most_all(&tau).map(|tau| tau * part.net_area_m2);
                part.flanking[side].delta_r_db = add(&part.flanking[side].delta_r_db, &gain.gain_db);
                part.spread = part.spread.behind_a_leaf();
                part.fronts[side] = Some(gain);
            }
            Err(why) => notes.push(format!("The inner shell before {} ({}): {why}", element.name, element.id)),
        }
    }
}
