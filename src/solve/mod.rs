//! Building → paths → answer.
//!
//! [`element`] gives every element its sound reduction index in situ and its part in flanking; [`paths`] lists every first-order way
//! from space to space as an area with τ = 1; [`balance`] solves the rooms' energies from them; [`listen`] turns both into what each
//! listener gets, a record for each way; [`low_frequency`] says in which bands that is of low confidence, [`odds`] how sure it is; [`removal`] what a listener would gain if some of it were stopped.

pub mod answer;
pub mod balance;
mod between;
pub mod construction;
pub mod criteria;
mod crossing;
mod duct;
mod edges;
pub mod element;
mod foot;
pub mod front;
mod kij;
mod layer_reader;
mod library;
pub mod listen;
pub mod low_frequency;
pub mod memory;
pub mod mount;
pub mod odds;
pub mod opening;
mod outdoors;
pub mod paths;
mod place;
pub mod removal;
pub mod room;
pub mod shell;
pub mod spread;
mod voids;
pub mod workmanship;

pub use answer::*;
pub use memory::Memory;
pub use removal::{Removal, Stopped};

use balance::Balance;
use paths::Injection;
use room::RoomPart;

use crate::acoustics::{Air, Bands, Spectrum};
use crate::building::{Building, SpaceIndex};
use crate::catalogue::Catalogue;
use crate::scene::{Ground, Scene};

/// What a solve may be told beside the scene: only to follow printed examples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Midband frequencies.
    pub bands: Bands,
    /// The air in the rooms.
    pub air: Air,
    /// The air that elements are computed in. A scene's are in that of laboratories: ISO 12354-1:2017 takes R as measured (ISO 10140), whatever the season, and an
    /// outer wall lies between two airs anyway. From 0 to 30 °C the mass law would differ by up to 0.3 dB from 20 °C, as τ goes with (ρ0c0)²; more only in the
    /// bands round a critical frequency, which goes with c0² and moves by up to 7 %.
    pub element_air: Air,
    /// The ground outdoors.
    pub ground: Ground,
    /// What field work leaves between two rooms of one building by no way that a drawing shows: DnT from 250 Hz up, dB; infinite to follow a printed example that
    /// knows nothing of it.
    pub residual_db: f64,
    /// True to follow a printed example that takes floating floors as ideal: no loss at their resonance, no end to their gain.
    pub ideal_linings: bool,
    /// How much of a room's energy in a band may be left out with ways through the open air that next to nothing comes by; 0 follows them all.
    pub left_out: f64,
}

/// 0.01 dB. Own choice: less than is shown of any level, and far within every uncertainty.
pub const LEFT_OUT: f64 = 2.3e-3;

impl Conditions {
    /// An element by itself in some air.
    #[must_use]
    pub fn of_laboratory(air: &Air, bands: &Bands) -> Self {
        let (bands, air, element_air) = (*bands, *air, *air);
        Self {
            bands,
            air,
            element_air,
            ground: Ground::Hard,
            residual_db: f64::INFINITY,
            ideal_linings: false,
            left_out: 0.0,
        }
    }

    /// Exact midbands and the scene's air; out of range, the usual 20 °C and 50 %, which are also those of laboratories.
    #[must_use]
    pub fn of(scene: &Scene) -> Self {
        let air = Air::at(scene.air.temperature_c, scene.air.humidity_percent).unwrap_or_default();
        Self {
            bands: Bands::exact(),
            air,
            element_air: Air::default(),
            ground: scene.outdoors.ground,
            residual_db: scene.residual.dnt_db,
            ideal_linings: false,
            left_out: LEFT_OUT,
        }
    }
}

/// Solves a building: every space's level and what every listener gets.
///
/// Meant for scenes that validated. What cannot be computed (an unknown material) is left out and said in [`Answer::notes`].
#[must_use]
pub fn solve(scene: &Scene, catalogue: &Catalogue, building: &Building) -> Answer {
    solve_under(scene, catalogue, building, &Conditions::of(scene))
}

/// As [`solve`], with what earlier solves left in a memory: the same answer, much sooner when little was changed since.
#[must_use]
pub fn solve_with(memory: &mut Memory, scene: &Scene, catalogue: &Catalogue, building: &Building) -> Answer {
    solve_all(memory, scene, catalogue, building, &Conditions::of(scene), &|| false).expect(NOTHING_OVERTAKES)
}

/// As [`solve_with`], for a scene that may be edited meanwhile: nothing as soon as `overtaken` says that no one waits for the answer any more.
///
/// It is asked often, before each element, face and listener, and should be quick. What was computed until then stays in the memory.
#[must_use]
pub fn solve_unless(
    overtaken: &dyn Fn() -> bool,
    memory: &mut Memory,
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
) -> Option<Answer> {
    solve_all(memory, scene, catalogue, building, &Conditions::of(scene), overtaken)
}

/// As [`solve`], with stated air and midbands.
#[must_use]
pub fn solve_under(scene: &Scene, catalogue: &Catalogue, building: &Building, conditions: &Conditions) -> Answer {
    solve_all(&mut Memory::default(), scene, catalogue, building, conditions, &|| false).expect(NOTHING_OVERTAKES)
}

const NOTHING_OVERTAKES: &str = "only an overtaken solve has no answer";

fn solve_all(
    memory: &mut Memory,
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    conditions: &Conditions,
    overtaken: &dyn Fn() -> bool,
) -> Option<Answer> {
    memory.begin(scene, catalogue, conditions);
    let mut notes = Vec::new();
    let mut library = library::Library::new(scene, catalogue, memory.elements.resolved.clone());
    let elements = element::elements(memory, &mut library, building, conditions, &mut notes, overtaken)?;
    let open_air = outdoors::OpenAir::round(building, conditions);
    let rooms = room::rooms(scene, catalogue, building, conditions, &mut notes);
    let origins = paths::Origins::of(scene, building, &rooms);
    let within = paths::Within { building, elements: &elements, rooms: &rooms, origins: &origins, conditions };
    let mut transfers = paths::indoors(memory, &within);
    outdoors::transfers(&within, &open_air, &mut transfers, overtaken)?;
    let transfers = paths::Transfers::new(transfers, building.spaces.len());
    notes.extend(voids::notes(building, &rooms, conditions));
    let modes = low_frequency::modes(memory, building, &rooms, conditions);
    let balance = Balance::new(&rooms, transfers.as_slice(), &conditions.air);
    let injections = paths::injections(scene, catalogue, building, &elements, &transfers, conditions);
    let energies = energies(&rooms, &balance, &injections);
    let listeners = listen::listeners(
        memory,
        &listen::Heard {
            scene,
            catalogue,
            building,
            elements: &elements,
            transfers: &transfers,
            open_air: &open_air,
            injections: &injections,
            rooms: &rooms,
            modes: &modes,
            balance: &balance,
            energies: &energies,
            origins: &origins,
            conditions,
        },
        overtaken,
    )?;
    let spaces = rooms
        .iter()
        .zip(modes)
        .zip(energies)
        .map(|((room, modes), energy)| SpaceAnswer {
            energy,
            absorption_m2: room.absorption_m2,
            reverberation_s: room.reverberation_s,
            schroeder_hz: room.schroeder_hz,
            mode_count: modes.mode_count,
            single_modes: modes.single_modes,
            has_source: room.power.iter().any(|power| *power > 0.0),
        })
        .collect();
    let (shells, covers) = (shell::shells(building, &elements), shell::covers(building, &elements));
    let mounts = mount::mounts(scene, building, &elements, conditions);
    let floating = mount::floating(memory, &library, building, conditions);
    let junctions = elements.junctions;
    let elements = elements.solved.iter().map(|solved| solved.answer.clone()).collect();
    notes.extend(shell::cautions(scene, catalogue, building));
    notes.push(
        "All values are estimates. One third octave may be 5 dB off, bands below 50 Hz more; an A-weighted level as said beside it."
            .to_owned(),
    );
    Some(Answer { spaces, elements, junctions, listeners, shells, covers, mounts, floating, notes })
}

/// p² in every space, by all sources and all that they shake.
fn energies(rooms: &[RoomPart], balance: &Balance, injections: &[Injection]) -> Vec<Spectrum> {
    let energy = |at: usize| {
        injections.iter().filter(|injection| rooms[injection.to.0].enclosed).fold(
            balance.energy(at),
            |sum, injection| {
                let way = balance.per_drive(SpaceIndex(at), injection.to);
                Spectrum::from_fn(|band| sum[band] + way[band] * injection.drive_m2[band])
            },
        )
    };
    (0..rooms.len()).map(energy).collect()
}
