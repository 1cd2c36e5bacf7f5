//! Building → paths → answer.
//!
//! [`element`] gives every element its sound reduction index in situ and its part in flanking; [`paths`] lists every first-order path
//! from space to space as an area with τ = 1; [`balance`] solves the rooms' energies from them; [`listen`] turns both into what each
//! listener gets, a record for each path; [`low_frequency`] says in which bands that is of low confidence, [`odds`] how sure it is, from what is [`known`], and [`sampling`] the same drawn many times; [`removal`] what a listener would gain if some of it were stopped.

pub mod answer;
mod assumed;
pub mod balance;
pub mod cancelled;
pub mod conditions;
pub mod construction;
pub mod criteria;
mod crossing;
mod curves;
mod direct;
mod duct;
mod edges;
pub mod element;
mod foot;
pub mod front;
pub mod grouped_odds;
mod indirect;
mod kij;
pub mod known;
mod layer_reader;
mod library;
pub mod limits;
pub mod listen;
pub mod low_frequency;
pub mod mount;
pub mod odds;
pub mod opening;
mod outdoors;
pub mod paths;
mod place;
pub mod removal;
pub mod room;
pub mod sampling;
pub mod shell;
mod solution;
mod sources;
pub mod spread;
mod voids;
pub mod workmanship;

pub use answer::*;
pub use conditions::{Conditions, LEFT_OUT};
pub use removal::{Removal, Stopped};

use balance::Balance;
use cancelled::{Cancelled, each};
use construction::add;
use indirect::IndirectPaths;
use known::{Known, KnownSpace};
use library::Library;
use outdoors::OpenAir;
use paths::{Injection, Origins, PathInputs, Transfers};
use room::RoomAcoustics;
use solution::Solution;
use sources::SourceRoom;

use crate::acoustics::Spectrum;
use crate::building::{Building, PlacedListener, SpaceIndex};
use crate::catalogue::Catalogue;
use crate::scene::{Listener, Scene};

/// Solves a building: every space's level and what every listener gets.
///
/// Meant for scenes that validated. What cannot be computed (an unknown material) is left out and said in [`Answer::notes`].
#[must_use]
pub fn solve(scene: &Scene, catalogue: &Catalogue, building: &Building) -> Answer {
    solve_under(scene, catalogue, building, &Conditions::of(scene))
}

/// As [`solve`], with stated air and midbands.
#[must_use]
pub fn solve_under(scene: &Scene, catalogue: &Catalogue, building: &Building, conditions: &Conditions) -> Answer {
    solve_all(scene, catalogue, building, conditions, &|| false).expect("only a cancelled solve has no answer")
}

/// As [`solve`], for a scene that may be edited meanwhile: nothing as soon as `cancelled` says that no one waits for the answer any more.
///
/// It is asked often, before each element, face and listener, and should be quick.
#[must_use]
pub fn solve_unless(
    cancelled: &Cancelled<'_>,
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
) -> Option<Answer> {
    solve_all(scene, catalogue, building, &Conditions::of(scene), cancelled)
}

fn solve_all(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    conditions: &Conditions,
    cancelled: &Cancelled<'_>,
) -> Option<Answer> {
    let mut notes = Vec::new();
    let library = Library::of(scene, catalogue, building, &mut notes);
    let elements = element::elements(&library, building, conditions, &mut notes, cancelled)?;
    let open_air = OpenAir::round(building, conditions);
    let rooms = room::rooms(scene, catalogue, building, conditions, &mut notes);
    let origins = Origins::of(scene, building, &rooms);
    let inputs = PathInputs { building, elements: &elements, rooms: &rooms, origins: &origins, conditions };
    let mut transfers = paths::indoors(&inputs);
    outdoors::transfers(&inputs, &open_air, &mut transfers, cancelled)?;
    let transfers = Transfers::new(transfers, building.spaces.len());
    notes.extend(voids::notes(building, &rooms, conditions));
    let modes = low_frequency::modes(building, &rooms, conditions);
    let balance = Balance::new(&rooms, transfers.as_slice());
    let injections = paths::injections(scene, catalogue, building, &elements, &rooms, &transfers, conditions);
    let sources = SourceRoom::all(&origins.loud, &rooms, &balance, &conditions.air);
    let energies = energies(&sources, &balance, &injections);
    let spread = |at, opening: Option<usize>| {
        let element = &elements[at];
        opening.map_or(element.spread, |number| element.openings[number].spread)
    };
    let known = Known::of(building, &spread, known_spaces(&rooms, &injections));
    let solution = Solution {
        scene,
        catalogue,
        building,
        transfers: &transfers,
        open_air: &open_air,
        injections: &injections,
        rooms: &rooms,
        modes: &modes,
        balance: &balance,
        sources: &sources,
        energies: &energies,
        known: &known,
        origins: &origins,
        conditions,
    };
    let (indirect, faces) = (IndirectPaths::new(&solution), outdoors::faces(building, &elements));
    let ears: Vec<(&PlacedListener, &Listener)> = building
        .listeners
        .iter()
        .filter_map(|placed| Some((placed, scene.listeners.iter().find(|listener| listener.id == placed.listener)?)))
        .collect();
    let listeners = each(ears.len(), cancelled, |at| listen::answer(&solution, &indirect, &faces, ears[at]))?;
    let spaces = rooms
        .iter()
        .zip(&modes)
        .zip(&energies)
        .map(|((room, modes), energy)| SpaceAnswer {
            energy: *energy,
            absorption_m2: room.absorption_m2,
            reverberation_s: room.reverberation_s,
            schroeder_hz: room.schroeder_hz,
            mode_count: modes.mode_count,
            single_modes: modes.single_modes.clone(),
            has_source: room.power.iter().any(|power| *power > 0.0),
        })
        .collect();
    let (shells, covers) = (shell::shells(building, &elements), shell::covers(building, &elements));
    let mounts = mount::mounts(scene, building, &elements, conditions);
    let floating = mount::floating(&library, building, conditions);
    let junctions = elements.junctions;
    let elements = elements.solved.into_iter().map(|solved| solved.answer).collect();
    notes.extend(shell::cautions(scene, catalogue, building));
    notes.extend(assumed::notes(scene, catalogue, building));
    notes.push(
        "All values are estimates. One third octave may be 5 dB off, bands below 50 Hz more; an A-weighted level as said beside it."
            .to_owned(),
    );
    Some(Answer { spaces, elements, junctions, listeners, shells, covers, mounts, floating, known, notes })
}

/// How sure the sources of every space are: of several the least sure.
fn known_spaces(rooms: &[RoomAcoustics], injections: &[Injection]) -> Vec<KnownSpace> {
    let space = |(at, room): (usize, &RoomAcoustics)| {
        let forces = injections.iter().filter(|one| one.source == SpaceIndex(at)).map(|one| one.uncertainty_db);
        KnownSpace {
            outdoors: !room.enclosed,
            source_db: room.source_uncertainty_db,
            force_db: forces.fold(0.0, f64::max),
        }
    };
    rooms.iter().enumerate().map(space).collect()
}

/// p² in every space, by all sources and all that they shake.
fn energies(sources: &[SourceRoom], balance: &Balance, injections: &[Injection]) -> Vec<Spectrum> {
    let mut energies = balance.field(injections.iter().map(|injection| (injection.to, injection.drive_m2)));
    for (at, energy) in energies.iter_mut().enumerate() {
        *energy = sources.iter().fold(*energy, |sum, source| add(&sum, &source.energy_in(SpaceIndex(at))));
    }
    energies
}
