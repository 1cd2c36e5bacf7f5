//! Rooms and paths turned into what each listener gets: a record for every way, whose energies add up to the level.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::balance::Balance;
use super::between::Between;
use super::construction::add;
use super::criteria::{self, Level};
use super::crossing::{Bit, Crossing, Exits, ranked};
use super::element::Elements;
use super::low_frequency::{Confidence, RoomModes};
use super::odds::{Face, Known, Odds};
use super::outdoors::{OpenAir, Outward, faces, outward};
use super::paths::{Injection, Origins, Transfers};
use super::room::RoomPart;
use super::{Audibility, Conditions, ListenerAnswer, Memory, PathKind, PathRecord, RoomPairRating, Surface};
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::rating::weighting;
use crate::acoustics::{Spectrum, hearing, room_field};
use crate::building::{Building, JunctionIndex, OpeningFront, PlacedListener, SpaceIndex, SpaceKind, marker_of};
use crate::catalogue::Catalogue;
use crate::scene::{Listener, Scene};

/// So many records there are at one listener of a small building, about.
const USUAL_RECORDS: usize = 512;

/// All the listeners' answers stand on.
pub(super) struct Heard<'a> {
    /// The document.
    pub scene: &'a Scene,
    /// Its names.
    pub catalogue: &'a Catalogue,
    /// Its geometry.
    pub building: &'a Building,
    /// Its elements.
    pub elements: &'a Elements,
    /// All first-order ways.
    pub transfers: &'a Transfers,
    /// What lies outdoors.
    pub open_air: &'a OpenAir,
    /// What contacts with floors and walls bring into rooms and outdoors.
    pub injections: &'a [Injection],
    /// All spaces.
    pub rooms: &'a [RoomPart],
    /// Their modes.
    pub modes: &'a [RoomModes],
    /// Their energies.
    pub balance: &'a Balance,
    /// p² in each of them, by all that is heard.
    pub energies: &'a [Spectrum],
    /// Where sound begins.
    pub origins: &'a Origins,
    /// Air and bands.
    pub conditions: &'a Conditions,
}

/// What every listener gets, in the building's order. Nothing when overtaken.
pub(super) fn listeners(
    memory: &mut Memory,
    heard: &Heard<'_>,
    overtaken: &dyn Fn() -> bool,
) -> Option<Vec<ListenerAnswer>> {
    let shell = faces(heard.building, heard.elements);
    // One list serves all listeners; with about as much room as the solve before had use for, so that it seldom grows.
    let usual = memory.record_count + memory.record_count / 8;
    let mut found = Found {
        records: Vec::with_capacity(if usual == 0 { USUAL_RECORDS } else { usual }),
        crossings: Vec::with_capacity(heard.rooms.len()),
    };
    let mut most_records = 0;
    let mut between = Between::new(heard);
    let mut answers = Vec::with_capacity(heard.building.listeners.len());
    for placed in &heard.building.listeners {
        let Some(listener) = heard.scene.listeners.iter().find(|listener| listener.id == placed.listener) else {
            continue;
        };
        if overtaken() {
            return None;
        }
        let outdoors = !heard.rooms[placed.space.0].enclosed;
        let Heard { open_air, origins, energies, conditions, .. } = heard;
        let outward = |left_out| outward(open_air, &shell, placed, origins, energies, left_out);
        let shell = if outdoors { outward(conditions.left_out) } else { Vec::new() };
        answers.push(answer(heard, &mut between, &shell, placed, listener, &mut found));
        most_records = most_records.max(found.records.len());
    }
    memory.record_count = most_records;
    Some(answers)
}

/// The shell by room, as ways out of it.
fn by_room(shell: &[Outward]) -> Rc<[(SpaceIndex, Rc<Exits>)]> {
    let mut by_room: BTreeMap<SpaceIndex, Vec<Bit>> = BTreeMap::new();
    for face in shell {
        by_room.entry(face.room).or_default().push(Bit { surface: face.surface, energy: face.energy });
    }
    by_room.into_iter().map(|(room, exits)| (room, Rc::new(Exits::of(&exits)))).collect()
}

/// The ways to one listener.
struct Found {
    records: Vec<PathRecord>,
    crossings: Vec<Crossing>,
}

fn answer(
    heard: &Heard<'_>,
    between: &mut Between<'_>,
    shell: &[Outward],
    placed: &PlacedListener,
    listener: &Listener,
    found: &mut Found,
) -> ListenerAnswer {
    let indoors = heard.rooms[placed.space.0].enclosed;
    let loud: Vec<SpaceIndex> = (0..heard.rooms.len())
        .map(SpaceIndex)
        .filter(|space| heard.rooms[space.0].power.iter().any(|power| *power > 0.0))
        .collect();
    found.records.clear();
    found.crossings.clear();
    let exits = if indoors { between.exits_into(placed.space) } else { by_room(shell) };
    for source in &loud {
        if indoors && placed.space == *source {
            own_sound(heard, placed, &mut found.records);
            continue;
        }
        if indoors {
            indoor_paths(heard, *source, placed.space, &mut found.records);
        } else {
            outdoor_paths(heard, shell, *source, &mut found.records);
        }
        // What comes by another room, or by a loft or void: each way into it with each way out of it.
        for (room, exits) in exits.iter().filter(|(room, _)| room != source) {
            let kind = if heard.building.is_void(*room) { PathKind::ByVoid } else { PathKind::ByRoom };
            let entries = between.entries(*source, *room);
            found.crossings.push(Crossing::new(kind, *source, *room, entries, exits.clone()));
        }
    }
    structure_borne_paths(heard, between, shell, &exits, placed, found);
    // The sum is taken before small records are folded together, which leaves it as it is.
    let straight = found.records.iter().fold(Spectrum::ZERO, |sum, path| add(&sum, &path.energy));
    let energy = found.crossings.iter().fold(straight, |sum, crossing| add(&sum, &crossing.energy()));
    let mut paths = ranked(&mut found.records, &found.crossings, &energy);
    for path in &mut paths {
        let leaves_by = shell.iter().find(|face| face.surface == path.exit);
        path.route = path.route.take().or_else(|| leaves_by?.route.clone());
    }
    let level_db = energy.to_db();
    let background = match &heard.building.spaces[placed.space.0].kind {
        SpaceKind::Room(room) => {
            marker_of(heard.scene, &room.room).map(|marker| marker.background.clone()).unwrap_or_default()
        }
        SpaceKind::Outdoors | SpaceKind::Ground => listener.background.clone(),
    };
    let background_db = criteria::background_db(&background);
    let (audible_margin_db, audible_band, audibility) = if criteria::is_silent(&energy) {
        (f64::NEG_INFINITY, 0, Audibility::Inaudible)
    } else {
        criteria::audibility(&level_db, &background_db)
    };
    let most = |value: fn(&RoomPart) -> f64| loud.iter().map(|at| value(&heard.rooms[at.0])).fold(0.0, f64::max);
    let air_peak_db = most(|room| room.peak_db);
    // Structure-borne strokes and the instrument's own peaks, each on its share of the energy.
    let floor_most = |value: fn(&Injection) -> f64| heard.injections.iter().map(value).fold(0.0, f64::max);
    let raised = |db: f64| 10f64.powf(db / 10.0);
    let Parts { by_floor, of_sources } = Parts::of(&paths, &loud);
    let peaks = (1.0 - by_floor) * raised(air_peak_db) + by_floor * raised(floor_most(|injection| injection.peak_db));
    let peak_db = 10.0 * peaks.max(1.0).log10();
    let sources: Vec<(&RoomModes, Spectrum)> =
        loud.iter().zip(of_sources).map(|(source, energy)| (&heard.modes[source.0], energy)).collect();
    let confidence = Confidence::of(&heard.modes[placed.space.0], &sources, &heard.conditions.bands);
    let mut odds = odds(heard, &paths, &energy, !indoors);
    odds.widen(&confidence);
    let uncertainty_db = |weights: &Spectrum| odds.of_sum_db(weights);
    let level = Level { energy: &energy, peak_db, background_db: &background_db };
    let target = listener
        .target
        .as_ref()
        .and_then(|id| heard.catalogue.targets.get(id))
        .filter(|_| !loud.is_empty())
        .map(|target| criteria::against(target, &level, &uncertainty_db));
    let la_db = 10.0 * weighting::a_weighted_energy(&energy).log10();
    ListenerAnswer {
        listener: listener.id.clone(),
        name: listener.name.clone(),
        space: placed.space,
        energy,
        la_db,
        lc_db: 10.0 * weighting::c_weighted_energy(&energy).log10(),
        lafmax_db: la_db + peak_db,
        uncertainty_db: uncertainty_db(&weighting::a_weighted(&Spectrum::splat(1.0))),
        first_confident_band: confidence.first_confident_band,
        band_uncertainty_db: odds.in_bands_db(),
        background_db,
        threshold_db: hearing::THRESHOLD_DIFFUSE_DB,
        audible_margin_db,
        audible_band,
        audibility,
        target,
        ratings: ratings(heard, &loud, placed),
        paths,
    }
}

/// What a listener's level may be off by, modes apart.
fn odds<'a>(heard: &Heard<'a>, paths: &[PathRecord], energy: &Spectrum, outdoors: bool) -> Odds<'a> {
    let (building, elements) = (heard.building, heard.elements);
    let face = |surface| match surface {
        Surface::Element(at) => {
            let element = &building.elements[at.0];
            let work = element.fronts.iter().flatten().map(|front| front.face.workmanship).chain([element.workmanship]);
            Some(Face::new(&element.construction, elements[at].spread, work))
        }
        Surface::Opening(at, number) => {
            let opening = &building.elements[at.0].openings[number];
            let work = opening.fronts.iter().flatten().map(OpeningFront::workmanship).chain([opening.workmanship]);
            Some(Face::new(&opening.construction, elements[at].openings[number].spread, work))
        }
        _ => None,
    };
    let source_db = |room: SpaceIndex, by_force: bool| {
        let forces = heard.injections.iter().filter(|one| by_force && one.source == room);
        let own_db = if by_force { 0.0 } else { heard.rooms[room.0].source_uncertainty_db };
        forces.map(|one| one.uncertainty_db).fold(own_db, f64::max)
    };
    Odds::of(paths, energy, &Known { face: &face, source_db: &source_db, outdoors })
}

/// What the ways to a listener bring together.
struct Parts {
    /// The share of what comes by feet and pedals on floors.
    by_floor: f64,
    /// By all rooms where sound begins.
    of_sources: Vec<Spectrum>,
}

impl Parts {
    fn of(paths: &[PathRecord], sources: &[SpaceIndex]) -> Self {
        let mut parts = Self { by_floor: 0.0, of_sources: vec![Spectrum::ZERO; sources.len()] };
        for path in paths {
            if path.kind == PathKind::StructureBorne {
                parts.by_floor += path.share;
            }
            for (sum, _) in parts.of_sources.iter_mut().zip(sources).filter(|(_, at)| **at == path.source_space) {
                *sum = add(sum, &path.energy);
            }
        }
        parts
    }
}

/// What a listener in the source's own room hears of it: the room, and the source itself.
fn own_sound(heard: &Heard<'_>, placed: &PlacedListener, paths: &mut Vec<PathRecord>) {
    let here = placed.space;
    for energy in [heard.balance.energy_from(here, here), direct_energy(heard, placed)] {
        paths.push(record(PathKind::Through, here, Surface::Air, None, None, Surface::Air, energy));
    }
}

fn indoor_paths(heard: &Heard<'_>, source: SpaceIndex, here: SpaceIndex, paths: &mut Vec<PathRecord>) {
    let loud = heard.balance.energy_from(source, source);
    let response = loud.zip(heard.balance.loss_m2(here), |loud, loss| loud / loss);
    for transfer in heard.transfers.into(here).filter(|transfer| transfer.from == source) {
        let energy = transfer.area_m2.zip(&response, |area, response| area * response);
        let via = (transfer.kind == PathKind::ByOutdoors).then(|| heard.building.outdoors());
        let (kind, entry, junction, exit) = (transfer.kind, transfer.entry, transfer.junction, transfer.exit);
        let route = transfer.route.map(|route| match transfer.backwards {
            true => route.iter().rev().copied().collect(),
            false => route.clone(),
        });
        paths.push(PathRecord { route, ..record(kind, source, entry, junction, via, exit, energy) });
    }
}

fn outdoor_paths(heard: &Heard<'_>, shell: &[Outward], source: SpaceIndex, paths: &mut Vec<PathRecord>) {
    let loud = heard.balance.energy_from(source, source);
    for face in shell.iter().filter(|face| face.room == source) {
        let energy = face.energy.zip(&loud, |way, loud| way * loud);
        paths.push(record(face.kind, source, face.surface, None, None, face.surface, energy));
    }
}

/// What contacts with floors and walls bring: straight into the listener's room, and by other rooms.
fn structure_borne_paths(
    heard: &Heard<'_>,
    between: &mut Between<'_>,
    shell: &[Outward],
    exits: &[(SpaceIndex, Rc<Exits>)],
    placed: &PlacedListener,
    found: &mut Found,
) {
    const KIND: PathKind = PathKind::StructureBorne;
    let here = placed.space;
    let loss_m2 = heard.balance.loss_m2(here);
    // In the player's own room the instrument itself drowns it.
    let others = || heard.injections.iter().filter(|injection| injection.source != here);
    if others().next().is_none() {
        return;
    }
    for injection in others().filter(|injection| injection.to == here) {
        let energy = if heard.rooms[here.0].enclosed {
            injection.drive_m2.zip(loss_m2, |drive, loss| drive / loss)
        } else {
            let Some(face) = shell.iter().find(|face| face.surface == injection.exit) else { continue };
            injection.drive_m2.zip(&face.energy, |drive, way| drive * way)
        };
        let Injection { source, entry, junction, exit, .. } = *injection;
        found.records.push(record(KIND, source, entry, junction, None, exit, energy));
    }
    for (room, exits) in exits {
        for (source, entries) in between.struck(*room).iter().filter(|(source, _)| *source != here) {
            found.crossings.push(Crossing::new(KIND, *source, *room, entries.clone(), exits.clone()));
        }
    }
}

fn record(
    kind: PathKind,
    source_space: SpaceIndex,
    entry: Surface,
    junction: Option<JunctionIndex>,
    via: Option<SpaceIndex>,
    exit: Surface,
    energy: Spectrum,
) -> PathRecord {
    PathRecord { kind, source_space, entry, junction, via, exit, energy, share: 0.0, route: None }
}

/// The direct sound of the sources in the listener's own room.
fn direct_energy(heard: &Heard<'_>, placed: &PlacedListener) -> Spectrum {
    let mut sum = Spectrum::ZERO;
    let term_db = room_field::impedance_term_db(&heard.conditions.air);
    for other in heard.building.sources.iter().filter(|source| source.space == placed.space) {
        let Some(source) = heard.scene.sources.iter().find(|source| source.id == other.source && source.playing) else {
            continue;
        };
        let Some(sound) = heard.catalogue.sources.get(&source.sound) else { continue };
        // Half a metre is as near as a head gets to a whole instrument.
        let distance_m = (other.at[0] - placed.at[0]).hypot(other.at[1] - placed.at[1]).max(0.5);
        let power = super::room::source_power(source, &sound.lw_octaves_db);
        let factor = 10f64.powf((room_field::direct_level_db(0.0, 1.0, distance_m) + term_db) / 10.0);
        sum = sum.zip(&power, |sum, power| sum + factor * power);
    }
    sum
}

fn ratings(heard: &Heard<'_>, loud: &[SpaceIndex], placed: &PlacedListener) -> Vec<RoomPairRating> {
    let here = placed.space;
    if !heard.rooms[here.0].enclosed {
        return Vec::new();
    }
    let others = loud.iter().filter(|source| **source != here);
    others
        .map(|source| {
            let d_db = heard.balance.ratio(*source, here).map(|ratio| -10.0 * ratio.log10());
            let dnt_db = d_db.zip(&heard.rooms[here.0].reverberation_s, |d, t_s| d + 10.0 * (t_s / 0.5).log10());
            let shared_m2: f64 = heard
                .building
                .elements
                .iter()
                .filter(|element| element.sides.contains(source) && element.sides.contains(&here))
                .map(|element| element.area_m2)
                .sum();
            let passed = heard
                .transfers
                .into(here)
                .filter(|transfer| transfer.from == *source)
                .fold(Spectrum::ZERO, |sum, transfer| add(&sum, transfer.area_m2));
            let r_prime_db = (shared_m2 > 0.0).then(|| passed.map(|area_m2| 10.0 * (shared_m2 / area_m2).log10()));
            let rated = |db: &Spectrum| db.is_finite().then(|| Airborne::rw_db_of_spectrum(db));
            RoomPairRating {
                source_space: *source,
                d_db,
                dnt_db,
                dntw_db: rated(&dnt_db),
                r_prime_w_db: r_prime_db.as_ref().and_then(rated),
                r_prime_db,
            }
        })
        .collect()
}
