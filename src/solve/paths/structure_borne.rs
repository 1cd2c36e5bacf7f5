//! From feet, pedals and machines on a floor, and from what touches a wall, into every room: straight through, and round the junctions.
//!
//! By reciprocity a force on a floor sends on what a certain airborne power falling on it would: each airborne path that enters by that floor
//! is a structure-borne path too. Sources: Heckl & Rathe, JASA 35 (1963) 1825 (from memory, unverified); ISO 12354-2:2017 and EN 12354-5:2009 give the same for
//! homogeneous floors (see [`equivalent_incident_power_w`]).

use std::collections::BTreeMap;

use super::super::answer::Surface;
use super::super::conditions::Conditions;
use super::super::element::{ElementInSitu, Elements};
use super::super::room::{RoomAcoustics, offset_db};
use super::transfer::Transfers;
use crate::acoustics::fast_level::fast_max_over_mean_db;
use crate::acoustics::structure_borne::equivalent_incident_power_w;
use crate::acoustics::{Bands, Spectrum};
use crate::building::{Building, JunctionIndex, SpaceIndex};
use crate::catalogue::{Catalogue, Force};
use crate::scene::{Contact, ContactForce, Scene};

/// (20 µPa)², Pa².
const REFERENCE_PA2: f64 = 4e-10;
/// Reverberation time taken for how strokes run together, s: that of a furnished room.
const USUAL_T_S: f64 = 0.5;

/// What a contact brings into a room by one path.
#[derive(Debug, Clone, PartialEq)]
pub struct Injection {
    /// The room the source stands in.
    pub source: SpaceIndex,
    /// The room it comes out in, or the outdoors.
    pub to: SpaceIndex,
    /// The floor or wall.
    pub entry: Surface,
    /// Where it comes out.
    pub exit: Surface,
    /// The junction it goes round, if it does.
    pub junction: Option<JunctionIndex>,
    /// A·p² over (20 µPa)² that it brings, m². To the outdoors: the p² over (20 µPa)² before the face inside that would send out as much.
    pub drive_m2: Spectrum,
    /// LAFmax over LAeq by its strokes, dB.
    pub peak_db: f64,
    /// Standard uncertainty of the force, dB.
    pub uncertainty_db: f64,
}

/// All contacts of all playing sources that touch anything, by every path that starts at the floor under them or the wall they touch.
#[must_use]
pub fn injections(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    elements: &Elements,
    rooms: &[RoomAcoustics],
    transfers: &Transfers,
    conditions: &Conditions,
) -> Vec<Injection> {
    let mut all = Vec::with_capacity(64);
    for placed in &building.sources {
        let Some(source) = scene.sources.iter().find(|source| source.id == placed.source) else { continue };
        let Some(sound) = catalogue.sources.get(&source.sound) else { continue };
        // Who plays softer treads softer: the force goes with the pressure (own judgement).
        let louder_db = offset_db(source, sound, &rooms[placed.space.0].absorption_m2, &conditions.air);
        for (contact, touched) in source.touches().iter().zip(&placed.touched).filter(|_| source.playing) {
            let Some(force) = force(contact, catalogue, &conditions.bands) else { continue };
            let Some(touched) = *touched else { continue };
            let part = &elements[touched];
            let sides = building.elements[touched.0].sides;
            let Some(excited) = &part.excited[usize::from(sides[0] != placed.space)] else { continue };
            let mount_db =
                contact.mount.as_ref().and_then(|mount| mount.isolators().ok()).map_or(Spectrum::ZERO, |isolators| {
                    isolators.platform_loss_db(&excited.mobility, part.gross_area_m2, &conditions.bands)
                });
            let hammers = excited.hammer.filter(|_| is_tapping_machine(contact, catalogue));
            let drive = Spectrum::from_fn(|band| {
                let hz = conditions.bands.hz(band);
                let met = hammers.map_or(1.0, |hammer| hammer.force_ratio(hz));
                let n2 = met * force.n2[band] * 10f64.powf((louder_db + contact.offset_db - mount_db[band]) / 10.0);
                let power_w = equivalent_incident_power_w(n2, excited.sigma[band], hz, &conditions.air);
                4.0 * conditions.air.impedance_pa_s_m() * power_w / REFERENCE_PA2
            });
            let of = |share: &Spectrum| drive.zip(share, |drive, share| drive * share / part.net_area_m2);
            let all_of_it = of(&excited.driven_part);
            let before = of(&excited.straight_part).zip(&beside_the_edge(part), |all, part| all * part);
            let entry = Surface::Element(touched);
            let injection = |to, exit, junction, drive_m2| Injection {
                source: placed.space,
                to,
                entry,
                exit,
                junction,
                drive_m2,
                peak_db: force.peak_db,
                uncertainty_db: force.uncertainty_db,
            };
            for path in transfers.out_of(placed.space).filter(|path| path.entry == entry) {
                let driven = if path.junction.is_none() { before } else { all_of_it };
                all.push(injection(
                    path.to,
                    path.exit,
                    path.junction,
                    driven.zip(path.area_m2, |before, area| before * area),
                ));
            }
            if sides.contains(&building.outdoors()) {
                all.push(injection(building.outdoors(), entry, None, before));
            }
        }
    }
    merged(all)
}

/// A force does not go through the open edge, which only the path straight through has a part of.
pub(in crate::solve) fn beside_the_edge(part: &ElementInSitu) -> Spectrum {
    part.edge_m2.zip(&part.tau_m2, |edge_m2, tau_m2| if edge_m2 > 0.0 { 1.0 - edge_m2 / tau_m2 } else { 1.0 })
}

/// Contacts of one room that take the same path are one path: their drives add, the liveliest and least sure decide the rest.
fn merged(all: Vec<Injection>) -> Vec<Injection> {
    let mut paths: BTreeMap<(SpaceIndex, SpaceIndex, Surface, Surface), Injection> = BTreeMap::new();
    for one in all {
        paths
            .entry((one.source, one.to, one.entry, one.exit))
            .and_modify(|sum| {
                sum.drive_m2 = sum.drive_m2.zip(&one.drive_m2, |sum, own| sum + own);
                sum.peak_db = sum.peak_db.max(one.peak_db);
                sum.uncertainty_db = sum.uncertainty_db.max(one.uncertainty_db);
            })
            .or_insert(one);
    }
    paths.into_values().collect()
}

struct Strength {
    n2: Spectrum,
    peak_db: f64,
    uncertainty_db: f64,
}

fn force(contact: &Contact, catalogue: &Catalogue, bands: &Bands) -> Option<Strength> {
    /// Of a force one has written down oneself, dB. Own judgement.
    const OWN_UNCERTAINTY_DB: f64 = 5.0;
    let (force, uncertainty_db) = match &contact.force {
        ContactForce::Known(id) => {
            let known = catalogue.forces.get(id)?;
            (&known.force, known.uncertainty_db)
        }
        ContactForce::Own(own) => (own, OWN_UNCERTAINTY_DB),
    };
    let spectrum = force.spectrum(bands).ok()?;
    let peak_db = spectrum.strokes_per_s().map_or(0.0, |rate| fast_max_over_mean_db(rate, USUAL_T_S));
    Some(Strength { n2: *spectrum.mean_square_n2(), peak_db, uncertainty_db })
}

/// True for the hammers of the standard: hard, so that boards give way under them.
fn is_tapping_machine(contact: &Contact, catalogue: &Catalogue) -> bool {
    let force = match &contact.force {
        ContactForce::Known(id) => catalogue.forces.get(id).map(|known| &known.force),
        ContactForce::Own(own) => Some(own),
    };
    matches!(force, Some(Force::TappingMachine))
}
