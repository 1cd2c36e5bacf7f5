//! Rooms and paths turned into what each listener gets: a record for every path, whose energies add up to the level.

use std::collections::BTreeMap;

use super::answer::{Audibility, ListenerAnswer, PathKind, PathRecord, RoomPairRating, Surface};
use super::construction::add;
use super::criteria::{self, Level};
use super::crossing::{Crossing, Surfaces, ranked};
use super::direct;
use super::indirect::IndirectPaths;
use super::low_frequency::{Confidence, RoomModes};
use super::odds::{Modal, Odds};
use super::outdoors::{RadiatingFace, ShellPath, shell_paths};
use super::paths::Injection;
use super::room::RoomAcoustics;
use super::solution::Solution;
use super::sources::SourceRoom;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::rating::weighting;
use crate::acoustics::{Spectrum, hearing};
use crate::building::{JunctionIndex, PlacedListener, SpaceIndex, SpaceKind, marker_of};
use crate::scene::Listener;

/// The shell by room, as paths out of it.
fn by_room(shell: &[ShellPath]) -> Vec<(SpaceIndex, Surfaces)> {
    let mut by_room: BTreeMap<SpaceIndex, Vec<(Surface, Spectrum)>> = BTreeMap::new();
    for face in shell {
        by_room.entry(face.room).or_default().push((face.surface, face.energy));
    }
    by_room.into_iter().map(|(room, exits)| (room, Surfaces::leaving(exits.into_iter()))).collect()
}

/// What one listener gets. `shell`: all faces of the building.
pub(super) fn answer(
    solution: &Solution<'_>,
    indirect: &IndirectPaths<'_>,
    shell: &[RadiatingFace],
    (placed, listener): (&PlacedListener, &Listener),
) -> ListenerAnswer {
    let (here, loud) = (placed.space, &solution.origins.loud);
    let indoors = solution.rooms[here.0].enclosed;
    let shell = if indoors {
        Vec::new()
    } else {
        shell_paths(solution.open_air, shell, placed, solution.origins, solution.energies, solution.conditions.left_out)
    };
    let out_of_shell = by_room(&shell);
    let exits = if indoors { indirect.exits_into(here) } else { &out_of_shell };
    let (mut records, mut crossings) = (Vec::new(), Vec::new());
    for source in solution.sources {
        if indoors && here == source.room {
            own_sound(solution, source, placed, &mut records);
            continue;
        }
        if indoors {
            indoor_paths(solution, source, here, &mut records);
        } else {
            outdoor_paths(&shell, source, &mut records);
        }
        // What comes by another room, or by a loft or void: each path into it with each path out of it.
        for (via, exits) in exits.iter().filter(|(room, _)| *room != source.room) {
            let kind = if solution.building.is_void(*via) { PathKind::ByVoid } else { PathKind::ByRoom };
            let entries = indirect.entries(source.room, *via);
            crossings.push(Crossing { kind, source: source.room, via: *via, entries, exits });
        }
    }
    structure_borne_paths(solution, &shell, here, &mut records);
    for (via, exits) in exits {
        for (source, entries) in indirect.structure_borne(*via).iter().filter(|(source, _)| *source != here) {
            crossings.push(Crossing { kind: PathKind::StructureBorne, source: *source, via: *via, entries, exits });
        }
    }
    // The sum is taken before small records are folded together, which leaves it as it is.
    let straight = records.iter().fold(Spectrum::ZERO, |sum, path| add(&sum, &path.energy));
    let energy = crossings.iter().fold(straight, |sum, crossing| add(&sum, &crossing.energy()));
    let mut paths = ranked(records, &crossings, &energy);
    for path in &mut paths {
        let leaves_by = shell.iter().find(|face| face.surface == path.exit);
        path.route = path.route.take().or_else(|| leaves_by?.route.clone());
    }
    let level_db = energy.to_db();
    let background = match &solution.building.spaces[here.0].kind {
        SpaceKind::Room(room) => {
            marker_of(solution.scene, &room.room).map(|marker| marker.background.clone()).unwrap_or_default()
        }
        SpaceKind::Outdoors | SpaceKind::Ground => listener.background.clone(),
    };
    let background_db = criteria::background_db(&background);
    let (audible_margin_db, audible_band, audibility) = if criteria::is_silent(&energy) {
        (f64::NEG_INFINITY, 0, Audibility::Inaudible)
    } else {
        criteria::audibility(&level_db, &background_db)
    };
    let most =
        |value: fn(&RoomAcoustics) -> f64| loud.iter().map(|at| value(&solution.rooms[at.0])).fold(0.0, f64::max);
    let air_peak_db = most(|room| room.peak_db);
    // Structure-borne strokes and the instrument's own peaks, each on its share of the energy.
    let floor_most = |value: fn(&Injection) -> f64| solution.injections.iter().map(value).fold(0.0, f64::max);
    let raised = |db: f64| 10f64.powf(db / 10.0);
    let Parts { by_floor, of_sources } = Parts::of(&paths, loud);
    let peaks = (1.0 - by_floor) * raised(air_peak_db) + by_floor * raised(floor_most(|injection| injection.peak_db));
    let peak_db = 10.0 * peaks.max(1.0).log10();
    let sources: Vec<(&RoomModes, Spectrum)> =
        loud.iter().zip(of_sources).map(|(source, energy)| (&solution.modes[source.0], energy)).collect();
    let confidence = Confidence::of(&solution.modes[here.0], &sources, &solution.conditions.bands);
    let each_energy = paths.iter().map(|path| (path, &path.energy));
    let mut odds = Odds::of_paths(solution.known, !indoors, each_energy, &energy);
    odds.widen(&Modal { adds_db: &confidence.modes_db, least_db: &confidence.least_db });
    let uncertainty_db = |weights: &Spectrum| odds.of_sum_db(weights);
    let sure = |weights: &Spectrum| odds.sure(weights);
    let hours_a_day = solution.scene.played.hours_a_day;
    let level = Level { energy: &energy, peak_db, background_db: &background_db, hours_a_day };
    let target = listener
        .target
        .as_ref()
        .and_then(|id| solution.catalogue.targets.get(id))
        .filter(|_| !loud.is_empty())
        .map(|target| criteria::against(target, &level, &sure));
    let la_db = 10.0 * weighting::a_weighted_energy(&energy).log10();
    ListenerAnswer {
        listener: listener.id.clone(),
        name: listener.name.clone(),
        space: here,
        energy,
        la_db,
        lc_db: 10.0 * weighting::c_weighted_energy(&energy).log10(),
        lafmax_db: la_db + peak_db,
        uncertainty_db: uncertainty_db(&weighting::a_weighted(&Spectrum::splat(1.0))),
        first_confident_band: confidence.first_confident_band,
        band_uncertainty_db: odds.in_bands_db(),
        modes_db: confidence.modes_db,
        least_db: confidence.least_db,
        background_db,
        threshold_db: hearing::THRESHOLD_DIFFUSE_DB,
        audible_margin_db,
        audible_band,
        audibility,
        target,
        ratings: ratings(solution, here),
        paths,
    }
}

/// What the paths to a listener bring together.
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
fn own_sound(solution: &Solution<'_>, source: &SourceRoom, placed: &PlacedListener, paths: &mut Vec<PathRecord>) {
    let here = placed.space;
    for energy in [source.own_energy(), direct_energy(solution, placed)] {
        paths.push(record(PathKind::Through, here, Surface::Air, None, None, Surface::Air, energy));
    }
}

fn indoor_paths(solution: &Solution<'_>, source: &SourceRoom, here: SpaceIndex, paths: &mut Vec<PathRecord>) {
    let response = source.own_energy().zip(solution.balance.loss_m2(here), |loud, loss| loud / loss);
    for transfer in solution.transfers.into(here).filter(|transfer| transfer.from == source.room) {
        let energy = transfer.area_m2.zip(&response, |area, response| area * response);
        let via = (transfer.kind == PathKind::ByOutdoors).then(|| solution.building.outdoors());
        let (kind, entry, junction, exit) = (transfer.kind, transfer.entry, transfer.junction, transfer.exit);
        let route = transfer.route.map(|route| match transfer.backwards {
            true => route.iter().rev().copied().collect(),
            false => route.clone(),
        });
        paths.push(PathRecord { route, ..record(kind, source.room, entry, junction, via, exit, energy) });
    }
}

fn outdoor_paths(shell: &[ShellPath], source: &SourceRoom, paths: &mut Vec<PathRecord>) {
    let loud = source.own_energy();
    for face in shell.iter().filter(|face| face.room == source.room) {
        let energy = face.energy.zip(&loud, |path, loud| path * loud);
        paths.push(record(face.kind, source.room, face.surface, None, None, face.surface, energy));
    }
}

/// What contacts with floors and walls bring straight into the listener's room, or by a face outdoors. In the player's own room the instrument itself drowns it.
fn structure_borne_paths(solution: &Solution<'_>, shell: &[ShellPath], here: SpaceIndex, paths: &mut Vec<PathRecord>) {
    let loss_m2 = solution.balance.loss_m2(here);
    for injection in solution.injections.iter().filter(|injection| injection.source != here && injection.to == here) {
        let energy = if solution.rooms[here.0].enclosed {
            injection.drive_m2.zip(loss_m2, |drive, loss| drive / loss)
        } else {
            let Some(face) = shell.iter().find(|face| face.surface == injection.exit) else { continue };
            injection.drive_m2.zip(&face.energy, |drive, path| drive * path)
        };
        let Injection { source, entry, junction, exit, .. } = *injection;
        paths.push(record(PathKind::StructureBorne, source, entry, junction, None, exit, energy));
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
fn direct_energy(solution: &Solution<'_>, placed: &PlacedListener) -> Spectrum {
    let Solution { scene, catalogue, building, .. } = *solution;
    let (absorption_m2, air) = (&solution.rooms[placed.space.0].absorption_m2, &solution.conditions.air);
    // Half a metre is as near as a head gets to a whole instrument.
    direct::energy((scene, catalogue, building), (placed.space, placed.at), 0.5, absorption_m2, air)
}

fn ratings(solution: &Solution<'_>, here: SpaceIndex) -> Vec<RoomPairRating> {
    if !solution.rooms[here.0].enclosed {
        return Vec::new();
    }
    let others = solution.sources.iter().filter(|source| source.room != here);
    others
        .map(|source| {
            let d_db = source.ratio(here).map(|ratio| -10.0 * ratio.log10());
            let dnt_db = d_db.zip(&solution.rooms[here.0].reverberation_s, |d, t_s| d + 10.0 * (t_s / 0.5).log10());
            let shared_m2: f64 = solution
                .building
                .elements
                .iter()
                .filter(|element| element.sides.contains(&source.room) && element.sides.contains(&here))
                .map(|element| element.area_m2)
                .sum();
            let passed = solution
                .transfers
                .into(here)
                .filter(|transfer| transfer.from == source.room)
                .fold(Spectrum::ZERO, |sum, transfer| add(&sum, transfer.area_m2));
            let r_prime_db = (shared_m2 > 0.0).then(|| passed.map(|area_m2| 10.0 * (shared_m2 / area_m2).log10()));
            let rated = |db: &Spectrum| db.is_finite().then(|| Airborne::rw_db_of_spectrum(db));
            RoomPairRating {
                source_space: source.room,
                d_db,
                dnt_db,
                dntw_db: rated(&dnt_db),
                r_prime_w_db: r_prime_db.as_ref().and_then(rated),
                r_prime_db,
            }
        })
        .collect()
}
