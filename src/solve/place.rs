//! One construction in its place in the building: τ straight through, as part of flanking paths, and under a force.

use super::conditions::Conditions;
use super::construction::{
    Body, Lining, Resolved, add, at_most_all, both_faces_db, floating_gain_db, gains_db, twin_tau,
};
use super::curves::transmission;
use super::element::{ElementInSitu, ExcitedFace};
use super::kij::facing_critical_hz;
use super::library::Faults;
use super::opening::OpeningInSitu;
use super::spread::Spread;
use super::workmanship;
use crate::acoustics::Spectrum;
use crate::acoustics::flanking::{self, FlankingElement};
use crate::acoustics::heavy::{InSitu, laboratory_loss, resonant_tau_of_light, thin_resonant_transmission};
use crate::acoustics::mobility::PointMobility;
use crate::acoustics::plate::Plate;
use crate::acoustics::radiation::PanelSides;
use crate::acoustics::structure_borne::light_floor_sigma;
use crate::acoustics::tapping_machine::{CHIPBOARD_ACROSS_PA, HammerContact};
use crate::building::{Element, ElementShape, PlacedOpening};
use crate::scene::{Override, Scene};

/// What an element's place in the building decides.
pub(super) struct Place<'a> {
    pub scene: &'a Scene,
    pub bodies: &'a [Option<&'a Resolved>],
    /// Σ l·α over the junctions each element takes part in, m.
    pub edge_sums_m: &'a [Spectrum],
    pub conditions: &'a Conditions,
}

impl Place<'_> {
    /// The element `at` with its openings and what is wrong with it.
    pub(super) fn part(
        &self,
        at: usize,
        element: &Element,
        faults: Option<&Faults<'_>>,
        openings: Vec<OpeningInSitu>,
    ) -> ElementInSitu {
        let net_area_m2 = net_area_m2(element);
        let Some(resolved) = self.bodies[at] else {
            return ElementInSitu { openings, ..silent_part(element, net_area_m2) };
        };
        let mut part = ElementInSitu { openings, ..self.whole(at, element, resolved, net_area_m2) };
        if let Some(faults) = faults {
            self.spoil(&mut part, faults, (at, element), resolved.mass_kg_m2);
        }
        if element.reversed {
            part.flanking.swap(0, 1);
            part.excited.swap(0, 1);
        }
        self.measured_instead(element, &mut part);
        part
    }

    /// Holds fast what the faults do, and opens the edge.
    fn spoil(&self, part: &mut ElementInSitu, faults: &Faults<'_>, (at, element): (usize, &Element), mass_kg_m2: f64) {
        if let Some(held) = faults.held {
            let held = self.whole(at, element, held, part.net_area_m2);
            let share = workmanship::held_share(element.workmanship);
            part.tau_m2 = workmanship::side_by_side(&part.tau_m2, &held.tau_m2, share);
            for (drawn, held) in part.flanking.iter_mut().zip(&held.flanking) {
                *drawn = workmanship::flanking_side_by_side(drawn, held, share);
            }
            part.twin &= share < 1.0;
        }
        let slab = matches!(element.shape, ElementShape::Slab { .. });
        let edge_m2 = faults.edge_share * workmanship::edge_m2(element.workmanship, slab, mass_kg_m2, element.size_m);
        part.edge_m2 = Spectrum::splat(edge_m2);
        part.tau_m2 = add(&part.tau_m2, &part.edge_m2);
    }

    /// A construction in the element's place, free of faults and openings; layers still from the first face to the last. R and what flanks of one that lies
    /// between two models are mixed by share, in decibels, as in [`Resolved::ideal_tau`]; a force finds the model of the greater share.
    fn whole(&self, at: usize, element: &Element, resolved: &Resolved, net_area_m2: f64) -> ElementInSitu {
        let mut part = self.as_body(at, element, &resolved.body, net_area_m2);
        part.mass_kg_m2 = resolved.mass_kg_m2;
        part.spread = Spread::of(resolved);
        let own = part.clone();
        for (share, body) in &resolved.nearly {
            let other = self.as_body(at, element, body, net_area_m2);
            let toward = |mixed: &Spectrum, other: &Spectrum, own: &Spectrum| {
                mixed.zip(&other.zip(own, |other, own| (other / own).powf(*share)), |mixed, factor| mixed * factor)
            };
            part.tau_m2 = toward(&part.tau_m2, &other.tau_m2, &own.tau_m2);
            for ((side, other), own) in part.flanking.iter_mut().zip(&other.flanking).zip(&own.flanking) {
                let nearer = |mixed: &Spectrum, other: &Spectrum, own: &Spectrum| {
                    mixed.zip(&other.zip(own, |other, own| share * (other - own)), |mixed, step| mixed + step)
                };
                side.tau = toward(&side.tau, &other.tau, &own.tau);
                side.absorption_length_m =
                    nearer(&side.absorption_length_m, &other.absorption_length_m, &own.absorption_length_m);
                side.delta_r_db = nearer(&side.delta_r_db, &other.delta_r_db, &own.delta_r_db);
            }
        }
        part
    }

    /// One model of a construction in the element's place.
    fn as_body(&self, at: usize, element: &Element, body: &Body, net_area_m2: f64) -> ElementInSitu {
        let mut part = silent_part(element, net_area_m2);
        let (air, bands) = (&self.conditions.element_air, &self.conditions.bands);
        let size = (element.size_m[0].max(0.1), element.size_m[1].max(0.1));
        match body {
            Body::Heavy { plate, bare, linings } => {
                let Some(placed) = self.in_situ(at, element, plate, size) else { return part };
                let gains = [0, 1].map(|face| gains_db(bare, &linings[face], size, self.conditions));
                let both = both_faces_db(&gains[0], &gains[1], self.conditions);
                let tau = at_most_all(&placed.tau.less_db(&both));
                part.tau_m2 = tau.map(|tau| tau * net_area_m2);
                part.flanking = gains.map(|delta_r_db| flanking_element(&placed, net_area_m2, delta_r_db));
                part.excited = [0, 1].map(|face| {
                    let stroke_db = self.stroke_gain_db(&linings[face], &gains[face]);
                    Some(self.excited_plate(plate, &placed).with_linings(
                        &placed.tau,
                        &tau,
                        [&gains[face], &gains[1 - face]],
                        &stroke_db,
                    ))
                });
            }
            Body::Twin { plates, stack } => {
                part.twin = true;
                let [first, last] = [0, 1].map(|face| self.in_situ(at, element, &plates[face], size));
                let (Some(first), Some(last)) = (first, last) else { return part };
                let leaves = [first, last];
                part.tau_m2 =
                    at_most_all(&twin_tau(&leaves, stack, size, self.conditions)).map(|tau| tau * net_area_m2);
                for (face, (plate, placed)) in plates.iter().zip(&leaves).enumerate() {
                    part.flanking[face] = flanking_element(placed, net_area_m2, Spectrum::ZERO);
                    part.excited[face] = Some(self.excited_plate(plate, placed));
                }
            }
            Body::Light { stack, linings } => {
                let base = transmission(stack, size, self.conditions);
                let gains = [0, 1].map(|face| gains_db(stack, &linings[face], size, self.conditions));
                let both = both_faces_db(&gains[0], &gains[1], self.conditions);
                let tau = at_most_all(&base.less_db(&both));
                part.tau_m2 = tau.map(|tau| tau * net_area_m2);
                let sigma = PanelSides::new(size.0, size.1)
                    .map_or(Spectrum::splat(1.0), |sides| light_floor_sigma(sides, bands, air));
                part.excited = [0, 1].map(|face| {
                    let mobility = stack.mobility_of_face(face);
                    let hammer = Some(HammerContact::on_boards(CHIPBOARD_ACROSS_PA, mobility.at(1000.0).re));
                    let whole = Spectrum::splat(1.0);
                    let bare = ExcitedFace { mobility, sigma, hammer, driven_part: whole, straight_part: whole };
                    let stroke_db = self.stroke_gain_db(&linings[face], &gains[face]);
                    Some(bare.with_linings(&base, &tau, [&gains[face], &gains[1 - face]], &stroke_db))
                });
                part.flanking = [0, 1].map(|face| {
                    let critical_hz = facing_critical_hz(stack, face, self.conditions);
                    light_flanking(resonant_tau_of_light(&base, critical_hz, bands), net_area_m2, gains[face])
                });
            }
            Body::Measured { r_db } => {
                part.tau_m2 = r_db.map(|r| net_area_m2 * 10f64.powf(-r / 10.0));
                part.flanking = [light_flanking(r_db.tau_from_r_db(), net_area_m2, Spectrum::ZERO); 2];
            }
            Body::Small { dne_db } => part.tau_m2 = flanking::path_area_from_dn_m2(dne_db),
            Body::Open => part.tau_m2 = Spectrum::splat(net_area_m2),
        }
        part
    }

    fn excited_plate(&self, plate: &Plate, placed: &InSitu) -> ExcitedFace {
        let (bands, air) = (&self.conditions.bands, &self.conditions.element_air);
        let driven_part =
            thin_resonant_transmission(plate, placed, bands, air).zip(&placed.tau, |driven, all| driven / all);
        ExcitedFace {
            mobility: PointMobility::Plate { bending_nm: plate.bending_stiffness_nm(), mass_kg_m2: plate.mass_kg_m2() },
            hammer: None,
            sigma: placed.sigma,
            driven_part,
            straight_part: driven_part,
        }
    }

    /// What the linings of the struck face keep of a stroke, dB. A floating plate holds it from the floor by its whole line (ISO 12354-2:2017
    /// Annex C), for the paths beside a lining are those of airborne sound; what the plate's mass adds to a light floor is left out, as under platforms. A lining with a cavity does what it does for airborne sound.
    fn stroke_gain_db(&self, linings: &[Lining], airborne_db: &Spectrum) -> Spectrum {
        let floating = |lining: &Lining| match lining {
            Lining::Floating { resonance_hz, dry, .. } => Some(floating_gain_db(*resonance_hz, *dry, self.conditions)),
            Lining::Leaves { .. } => None,
        };
        let all: Option<Vec<Spectrum>> = linings.iter().map(floating).collect();
        all.map_or(*airborne_db, |all| all.iter().fold(Spectrum::ZERO, |sum, gain| add(&sum, gain)))
    }

    fn measured_instead(&self, element: &Element, part: &mut ElementInSitu) {
        for rule in &self.scene.overrides {
            if let Override::Reduction { element: id, r_db } = rule
                && *id == element.id
                && let Some(r_db) = super::construction::widen_measured_db(r_db)
            {
                part.tau_m2 = r_db.map(|r| part.net_area_m2 * 10f64.powf(-r / 10.0));
                part.edge_m2 = Spectrum::ZERO;
                part.spread = Spread::Measured;
                for side in &mut part.flanking {
                    side.tau = r_db.tau_from_r_db();
                    side.delta_r_db = Spectrum::ZERO;
                }
            }
        }
    }

    fn in_situ(&self, at: usize, element: &Element, plate: &Plate, size: (f64, f64)) -> Option<InSitu> {
        let sides = PanelSides::new(size.0, size.1).ok()?;
        let (bands, air) = (&self.conditions.bands, &self.conditions.element_air);
        let by_hand = self.scene.overrides.iter().find_map(|rule| match rule {
            Override::EdgeLoss { element: id, sum_m } if *id == element.id => Some(Spectrum::splat(*sum_m)),
            _ => None,
        });
        let edges = by_hand.unwrap_or(self.edge_sums_m[at]);
        if edges == Spectrum::ZERO {
            // No junction was found: nothing is known of its edges, so that the laboratory's loss is the better guess.
            return Some(InSitu::with_loss(plate, sides, &laboratory_loss(plate, bands), bands, air));
        }
        Some(InSitu::new(plate, sides, &edges, bands, air))
    }
}

/// What openings leave of an element, m². Frames leave something of the wall even where windows fill it.
pub(super) fn net_area_m2(element: &Element) -> f64 {
    let opening_m2: f64 = element.openings.iter().map(PlacedOpening::area_m2).sum();
    (element.area_m2 - opening_m2).max(0.02 * element.area_m2).max(1e-3)
}

fn flanking_element(placed: &InSitu, area_m2: f64, delta_r_db: Spectrum) -> FlankingElement {
    // The whole R in situ, as ISO 12354-1:2017 Annex L does for heavy elements.
    FlankingElement { tau: placed.tau, area_m2, absorption_length_m: placed.absorption_length_m, delta_r_db }
}

fn light_flanking(tau: Spectrum, area_m2: f64, delta_r_db: Spectrum) -> FlankingElement {
    FlankingElement { tau, area_m2, absorption_length_m: flanking::absorption_length_light_m(area_m2), delta_r_db }
}

fn silent_part(element: &Element, net_area_m2: f64) -> ElementInSitu {
    ElementInSitu {
        tau_m2: Spectrum::ZERO,
        edge_m2: Spectrum::ZERO,
        flanking: [silent_flanking(net_area_m2); 2],
        twin: false,
        net_area_m2,
        gross_area_m2: element.area_m2.max(1e-3),
        mass_kg_m2: 0.0,
        spread: Spread::Hole,
        openings: Vec::new(),
        excited: [None; 2],
        fronts: [None, None],
    }
}

fn silent_flanking(area_m2: f64) -> FlankingElement {
    FlankingElement {
        tau: Spectrum::ZERO,
        area_m2,
        absorption_length_m: flanking::absorption_length_light_m(area_m2),
        delta_r_db: Spectrum::ZERO,
    }
}
