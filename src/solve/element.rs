//! What every element of a building does to sound: straight through, and as one leg of a flanking path.

use super::Conditions;
use super::construction::{Body, Resolved, add, gains_db, held, twin_tau};
use super::front::{self, Before, FrontPart};
use super::library::{Faults, Library};
use super::opening::{OpeningPart, opening_part};
use super::workmanship;
use crate::acoustics::Spectrum;
use crate::acoustics::edge_loss::{edge_absorption, edge_sum_m};
use crate::acoustics::flanking::{self, Leg};
use crate::acoustics::heavy::{InSitu, laboratory_loss, resonant_r_of_light_db, thin_resonant_transmission};
use crate::acoustics::impact::light_floor_sigma;
use crate::acoustics::junction;
use crate::acoustics::junction_node::{Arm, Build, JunctionNode, Standing};
use crate::acoustics::layers::Stack;
use crate::acoustics::mobility::{PointMobility, plate_m_n_s};
use crate::acoustics::plate::Plate;
use crate::acoustics::radiation::PanelSides;
use crate::building::{Building, Element, ElementIndex, ElementShape, Junction, PlacedOpening};
use crate::catalogue::Catalogue;
use crate::scene::{Override, Scene};

/// An element, ready for paths.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// τ·S straight through, its open edge included, without openings, m².
    pub tau_m2: Spectrum,
    /// τ·S of its open edge alone, m²: nothing when built as drawn.
    pub edge_m2: Spectrum,
    /// Its leg in a flanking path, seen from `sides[0]` and `sides[1]`.
    pub legs: [Leg; 2],
    /// True for two heavy leaves with a cavity: sound does not pass from one leaf's junctions to the other's.
    pub twin: bool,
    /// Area without openings, m².
    pub net_area_m2: f64,
    /// Area with openings, m².
    pub gross_area_m2: f64,
    /// Mass per area, kg/m².
    pub mass_kg_m2: f64,
    /// Its openings, in the element's order.
    pub openings: Vec<OpeningPart>,
    /// How it takes a force on the face of `sides[0]` and `sides[1]`; nothing where that is not known.
    pub struck: [Option<Struck>; 2],
    /// The faces of inner shells before it, by side; `tau_m2` and `legs` have their gain already.
    pub fronts: [Option<FrontPart>; 2],
}

/// How a floor or wall takes a force on one of its faces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Struck {
    /// Mobility under the force.
    pub mobility: PointMobility,
    /// Radiation efficiency of the struck face.
    pub sigma: Spectrum,
    /// What a force drives over what sound drives: a force makes no forced wave, and ISO 12354-2 no thick-plate limit. On all ways.
    pub driven_part: Spectrum,
}

impl Part {
    /// τ·S through element, openings and gaps together, m².
    #[must_use]
    pub fn all_tau_m2(&self) -> Spectrum {
        self.openings.iter().fold(self.tau_m2, |sum, opening| add(&add(&sum, &opening.tau_m2), &opening.gap_m2))
    }
}

/// Kij between the arms of one junction, dB, and whether a formula of the standard gave it.
#[derive(Debug, Clone, PartialEq)]
pub struct JunctionKij {
    /// `kij[i][j]`; an arm with itself has none.
    pub kij_db: Vec<Vec<Option<Spectrum>>>,
}

/// All elements of a building and the Kij of all its junctions.
#[derive(Debug, Clone, PartialEq)]
pub struct Elements {
    /// In the building's order.
    pub parts: Vec<Part>,
    /// In the building's order.
    pub junctions: Vec<JunctionKij>,
    /// For each duct of the building, the open area that passes as much, m².
    pub duct_m2: Vec<Spectrum>,
}

impl std::ops::Index<ElementIndex> for Elements {
    type Output = Part;

    fn index(&self, element: ElementIndex) -> &Part {
        &self.parts[element.0]
    }
}

impl Elements {
    /// The parts in order.
    pub fn iter(&self) -> std::slice::Iter<'_, Part> {
        self.parts.iter()
    }
}

/// Computes every element in situ. What cannot be resolved passes nothing and is said in `notes`.
pub fn elements(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> Elements {
    let mut library = Library::new(scene, catalogue);
    let bodies: Vec<Option<Resolved>> =
        building.elements.iter().map(|element| library.get(&element.construction, notes)).collect();
    let junctions = junctions(scene, building, &bodies, conditions, notes);
    let faults: Vec<Option<Faults>> = building.elements.iter().map(|element| library.faults(element, notes)).collect();
    let parts = building
        .elements
        .iter()
        .enumerate()
        .map(|(at, element)| {
            let openings: Vec<OpeningPart> =
                element.openings.iter().map(|opening| opening_part(opening, &mut library, conditions, notes)).collect();
            let place = Place { scene, building, bodies: &bodies, faults: &faults, junctions: &junctions, conditions };
            let mut part = place.part(at, element, openings);
            stand_before(&mut part, element, &library, conditions, notes);
            part
        })
        .collect();
    for rule in &scene.overrides {
        notes.push(match rule {
            Override::Kij { from, to, kij_db } => format!("Kij between {from} and {to} is set by hand to {kij_db} dB."),
            Override::EdgeLoss { element, sum_m } => format!("The edge loss of {element} is set by hand to {sum_m} m."),
            Override::Reduction { element, .. } => format!("The sound reduction index of {element} is as measured."),
        });
    }
    let duct_m2 = super::duct::open_areas_m2(scene, catalogue, building, conditions, notes);
    Elements { parts, junctions, duct_m2 }
}

/// Mass (kg/m²), build and critical frequency (Hz) of an element as an arm of a junction.
fn arm_of(body: Option<&Resolved>, conditions: &Conditions) -> (f64, Build, f64) {
    const NOTHING: (f64, Build, f64) = (1.0, Build::Light, 10_000.0);
    let Some(resolved) = body else { return NOTHING };
    let air = &conditions.air;
    match &resolved.body {
        Body::Heavy { plate, .. } => (plate.mass_kg_m2(), Build::Heavy, plate.critical_hz(air)),
        Body::Twin { plates, .. } => {
            let mean_kg_m2 = (plates[0].mass_kg_m2() + plates[1].mass_kg_m2()) / 2.0;
            (mean_kg_m2, Build::Heavy, plates[0].critical_hz(air))
        }
        Body::Light { stack, .. } => {
            (stack.mass_per_area_kg_m2(), Build::Light, facing_critical_hz(stack, 0, conditions))
        }
        // A measured element says nothing of its stiffness: the mass decides, as for drawn ones.
        Body::Measured { .. } if resolved.mass_kg_m2 >= 60.0 => (resolved.mass_kg_m2, Build::Heavy, 200.0),
        Body::Measured { .. } => (resolved.mass_kg_m2.max(1.0), Build::Light, 2500.0),
        Body::Small { .. } | Body::Open => NOTHING,
    }
}

/// Critical frequency of the leaf that faces a side, Hz; limp leaves count as 10 kHz.
fn facing_critical_hz(stack: &Stack, side: usize, conditions: &Conditions) -> f64 {
    let leaves = stack.leaves();
    let leaf = if side == 0 { leaves.first() } else { leaves.last() };
    leaf.map_or(10_000.0, |leaf| leaf.critical_hz(&conditions.air).min(10_000.0))
}

fn junctions(
    scene: &Scene,
    building: &Building,
    bodies: &[Option<Resolved>],
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> Vec<JunctionKij> {
    let (mut pairs, mut extended) = (0, 0);
    let all = building
        .junctions
        .iter()
        .map(|junction| {
            let facts: Vec<_> =
                junction.arms.iter().map(|arm| arm_of(bodies[arm.element.0].as_ref(), conditions)).collect();
            let straight = junction
                .arms
                .iter()
                .enumerate()
                .filter_map(|(at, arm)| arm.straight.filter(|other| at < *other).map(|other| (at, other)))
                .collect();
            let arms = facts.iter().filter_map(|(mass, build, _)| Arm::new(*mass, *build).ok()).collect();
            let node = JunctionNode::new(arms, straight).ok();
            let n = junction.arms.len();
            let mut kij_db = vec![vec![None; n]; n];
            for (i, row) in kij_db.iter_mut().enumerate() {
                for (j, cell) in row.iter_mut().enumerate() {
                    let Some(kij) = node.as_ref().and_then(|node| node.kij(i, j, &conditions.bands)) else { continue };
                    pairs += usize::from(i < j);
                    extended += usize::from(i < j && kij.standing == Standing::Extension);
                    let run_on = run_on_db(junction, &facts, i, j);
                    let by_hand = by_hand_db(scene, building, junction, i, j);
                    *cell = Some(by_hand.or(run_on).map_or(kij.db, Spectrum::splat));
                }
            }
            JunctionKij { kij_db }
        })
        .collect();
    if extended > 0 {
        notes.push(format!(
            "{extended} of {pairs} pairs of elements meet in a way ISO 12354-1 Annex E does not list; the nearest formula was used, \
             which may be 5 dB off."
        ));
    }
    all
}

/// Joists or boards that run on through a heavy wall are one light element passing it: ISO 12354-1:2017 Annex E, lightweight façade.
/// Own use of that formula, the nearest listed case.
fn run_on_db(junction: &Junction, facts: &[(f64, Build, f64)], i: usize, j: usize) -> Option<f64> {
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

struct Place<'a> {
    scene: &'a Scene,
    building: &'a Building,
    bodies: &'a [Option<Resolved>],
    faults: &'a [Option<Faults>],
    junctions: &'a [JunctionKij],
    conditions: &'a Conditions,
}

impl Place<'_> {
    fn part(&self, at: usize, element: &Element, openings: Vec<OpeningPart>) -> Part {
        let opening_m2: f64 = element.openings.iter().map(PlacedOpening::area_m2).sum();
        // Frames leave something of the wall even where windows fill it.
        let net_area_m2 = (element.area_m2 - opening_m2).max(0.02 * element.area_m2).max(1e-3);
        let Some(resolved) = &self.bodies[at] else {
            return Part { openings, ..silent_part(element, net_area_m2) };
        };
        let mut part = Part { openings, ..self.whole(at, element, resolved, net_area_m2) };
        if let Some(faults) = &self.faults[at] {
            self.spoil(&mut part, faults, (at, element), resolved.mass_kg_m2);
        }
        if element.reversed {
            part.legs.swap(0, 1);
            part.struck.swap(0, 1);
        }
        self.measured_instead(element, &mut part);
        part
    }

    /// Holds fast what the faults do, and opens the edge.
    fn spoil(&self, part: &mut Part, faults: &Faults, (at, element): (usize, &Element), mass_kg_m2: f64) {
        if let Some(held) = &faults.held {
            let held = self.whole(at, element, held, part.net_area_m2);
            let share = workmanship::held_share(element.workmanship);
            part.tau_m2 = workmanship::side_by_side(&part.tau_m2, &held.tau_m2, share);
            for (drawn, held) in part.legs.iter_mut().zip(&held.legs) {
                *drawn = workmanship::leg_side_by_side(drawn, held, share);
            }
            part.twin &= share < 1.0;
        }
        let slab = matches!(element.shape, ElementShape::Slab { .. });
        let edge_m2 = workmanship::edge_m2(element.workmanship, slab, mass_kg_m2, element.size_m);
        part.edge_m2 = Spectrum::splat(edge_m2);
        part.tau_m2 = add(&part.tau_m2, &part.edge_m2);
    }

    /// A construction in the element's place, free of faults and openings; layers still from the first face to the last.
    fn whole(&self, at: usize, element: &Element, resolved: &Resolved, net_area_m2: f64) -> Part {
        let mut part = silent_part(element, net_area_m2);
        part.mass_kg_m2 = resolved.mass_kg_m2;
        let (air, bands) = (&self.conditions.air, &self.conditions.bands);
        let size = (element.size_m[0].max(0.1), element.size_m[1].max(0.1));
        match &resolved.body {
            Body::Heavy { plate, bare, linings } => {
                let Some(placed) = self.in_situ(at, element, plate, size) else { return part };
                let gains = [0, 1].map(|face| gains_db(bare, &linings[face], size, self.conditions));
                let both = add(&gains[0], &gains[1]);
                let tau = held(&placed.tau.zip(&both, |tau, gain| tau * 10f64.powf(-gain / 10.0)), self.conditions);
                part.tau_m2 = tau.map(|tau| tau * net_area_m2);
                part.legs = gains.map(|delta_r_db| leg(&placed, net_area_m2, delta_r_db));
                part.struck = [Some(self.struck_plate(plate, &placed)); 2];
            }
            Body::Twin { plates, stack } => {
                part.twin = true;
                part.tau_m2 =
                    held(&twin_tau(plates, stack, size, self.conditions), self.conditions).map(|tau| tau * net_area_m2);
                for (face, plate) in plates.iter().enumerate() {
                    let Some(placed) = self.in_situ(at, element, plate, size) else { return part };
                    part.legs[face] = leg(&placed, net_area_m2, Spectrum::ZERO);
                    part.struck[face] = Some(self.struck_plate(plate, &placed));
                }
            }
            Body::Light { stack, linings } => {
                let base = stack.transmission(size, air, bands);
                let gains = [0, 1].map(|face| gains_db(stack, &linings[face], size, self.conditions));
                let both = add(&gains[0], &gains[1]);
                let tau = held(&base.zip(&both, |tau, gain| tau * 10f64.powf(-gain / 10.0)), self.conditions);
                part.tau_m2 = tau.map(|tau| tau * net_area_m2);
                // The boards between joists or studs.
                let leaves = stack.leaves();
                part.struck = [leaves.first(), leaves.last()].map(|boards| {
                    boards.map(|boards| Struck {
                        mobility: PointMobility::Plate(plate_m_n_s(
                            boards.bending_stiffness_nm().max(1.0),
                            boards.mass_per_area_kg_m2(),
                        )),
                        sigma: PanelSides::new(size.0, size.1)
                            .map_or(Spectrum::splat(1.0), |sides| light_floor_sigma(sides, bands, air)),
                        driven_part: Spectrum::splat(1.0),
                    })
                });
                part.legs = [0, 1].map(|face| {
                    let r_db = resonant_r_of_light_db(
                        &base.r_db_from_tau(),
                        facing_critical_hz(stack, face, self.conditions),
                        bands,
                    );
                    light_leg(&r_db, net_area_m2, gains[face])
                });
            }
            Body::Measured { r_db } => {
                part.tau_m2 = r_db.map(|r| net_area_m2 * 10f64.powf(-r / 10.0));
                part.legs = [light_leg(r_db, net_area_m2, Spectrum::ZERO); 2];
            }
            Body::Small { dne_db } => part.tau_m2 = flanking::path_area_from_dn_m2(dne_db),
            Body::Open => part.tau_m2 = Spectrum::splat(net_area_m2),
        }
        part
    }

    fn struck_plate(&self, plate: &Plate, placed: &InSitu) -> Struck {
        Struck {
            mobility: PointMobility::Plate(plate.point_mobility_m_n_s()),
            sigma: placed.sigma,
            driven_part: thin_resonant_transmission(plate, placed, &self.conditions.bands, &self.conditions.air)
                .zip(&placed.tau, |driven, all| driven / all),
        }
    }

    fn measured_instead(&self, element: &Element, part: &mut Part) {
        for rule in &self.scene.overrides {
            if let Override::Reduction { element: id, r_db } = rule
                && *id == element.id
                && let Some(r_db) = super::construction::widen_measured_db(r_db)
            {
                part.tau_m2 = r_db.map(|r| part.net_area_m2 * 10f64.powf(-r / 10.0));
                part.edge_m2 = Spectrum::ZERO;
                for leg in &mut part.legs {
                    leg.tau = r_db.tau_from_r_db();
                    leg.delta_r_db = Spectrum::ZERO;
                }
            }
        }
    }

    fn in_situ(&self, at: usize, element: &Element, plate: &Plate, size: (f64, f64)) -> Option<InSitu> {
        let sides = PanelSides::new(size.0, size.1).ok()?;
        let (bands, air) = (&self.conditions.bands, &self.conditions.air);
        let by_hand = self.scene.overrides.iter().find_map(|rule| match rule {
            Override::EdgeLoss { element: id, sum_m } if *id == element.id => Some(Spectrum::splat(*sum_m)),
            _ => None,
        });
        let edges = by_hand.unwrap_or_else(|| self.edge_sum_m(at));
        if edges == Spectrum::ZERO {
            // No junction was found: nothing is known of its edges, so that the laboratory's loss is the better guess.
            return Some(InSitu::with_loss(plate, sides, &laboratory_loss(plate, bands), bands, air));
        }
        Some(InSitu::new(plate, sides, &edges, bands, air))
    }

    /// Σ l·α over the junctions an element takes part in.
    fn edge_sum_m(&self, at: usize) -> Spectrum {
        let edges = self.building.junctions.iter().zip(self.junctions).flat_map(|(junction, kij)| {
            let arms = junction.arms.iter().enumerate().filter(|(_, arm)| arm.element.0 == at);
            arms.map(|(own, _)| {
                let others = junction.arms.iter().enumerate().filter_map(|(other, arm)| {
                    let kij_db = kij.kij_db[own][other]?;
                    Some((arm_of(self.bodies[arm.element.0].as_ref(), self.conditions).2, kij_db))
                });
                (junction.length_m, edge_absorption(others))
            })
            .collect::<Vec<_>>()
        });
        edge_sum_m(edges)
    }
}

/// Puts the faces of inner shells before an element: what they gain comes off every way through that side.
fn stand_before(
    part: &mut Part,
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
        let gain = Before::shell(front, &|id| library.find(id).cloned(), library.catalogue)
            .and_then(|before| front::gain(library.catalogue, base, &before, at_start, size_m, conditions));
        match gain {
            Ok(gain) => {
                let less = gain.gain_db.map(|gain| 10f64.powf(-gain / 10.0));
                part.edge_m2 = part.edge_m2.zip(&less, |edge, less| edge * less);
                let tau = part.tau_m2.zip(&less, |tau, less| tau * less / part.net_area_m2);
                part.tau_m2 = held(&tau, conditions).map(|tau| tau * part.net_area_m2);
                part.legs[side].delta_r_db = add(&part.legs[side].delta_r_db, &gain.gain_db);
                part.fronts[side] = Some(gain);
            }
            Err(why) => notes.push(format!("The inner shell before {} ({}): {why}", element.name, element.id)),
        }
    }
}

fn leg(placed: &InSitu, area_m2: f64, delta_r_db: Spectrum) -> Leg {
    // The whole R in situ, as ISO 12354-1:2017 Annex L does for heavy elements.
    Leg { tau: placed.tau, area_m2, absorption_length_m: placed.absorption_length_m, delta_r_db }
}

fn light_leg(r_db: &Spectrum, area_m2: f64, delta_r_db: Spectrum) -> Leg {
    Leg {
        tau: r_db.tau_from_r_db(),
        area_m2,
        absorption_length_m: flanking::absorption_length_light_m(area_m2),
        delta_r_db,
    }
}

fn silent_part(element: &Element, net_area_m2: f64) -> Part {
    Part {
        tau_m2: Spectrum::ZERO,
        edge_m2: Spectrum::ZERO,
        legs: [silent_leg(net_area_m2); 2],
        twin: false,
        net_area_m2,
        gross_area_m2: element.area_m2.max(1e-3),
        mass_kg_m2: 0.0,
        openings: Vec::new(),
        struck: [None; 2],
        fronts: [None, None],
    }
}

fn silent_leg(area_m2: f64) -> Leg {
    Leg {
        tau: Spectrum::ZERO,
        area_m2,
        absorption_length_m: flanking::absorption_length_light_m(area_m2),
        delta_r_db: Spectrum::ZERO,
    }
}
