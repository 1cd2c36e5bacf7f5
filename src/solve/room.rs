//! What every room does to sound: its absorption, and the power its sources put in.

use super::conditions::Conditions;
use super::library::find;
use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::acoustics::room_field::{Furnishing, RoomField, direct_level_db, impedance_term_db, schroeder_frequency_hz};
use crate::acoustics::{Air, Spectrum, absorption, bands::INDEX_100_HZ};
use crate::building::{Building, ElementShape, SlabRole, SpaceIndex, SpaceKind, marker_of};
use crate::catalogue::{Build, Catalogue, SoundSource};
use crate::scene::{Room, Scene, Source};

/// Reference sound power over the square of the reference pressure, (m²·Pa·s/m)⁻¹: 1 pW/(20 µPa)².
pub const POWER_TO_PRESSURE: f64 = 1e-12 / 4e-10;
/// Absorption coefficient of a surface nothing is known of, and of bare rooms at least. Own fallback.
const UNKNOWN_ALPHA: f64 = 0.05;
/// Standard uncertainty of a source whose level was measured, dB: that of a hand-held measurement of playing, and of the spectrum, which stays the
/// catalogue's. Own judgement.
const MEASURED_DB: f64 = 2.5;
/// A hole in a wall takes all that meets it.
const HOLE_ALPHA: f64 = 1.0;

/// A space, ready for the balance. The outdoors and the ground have no absorption area of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomAcoustics {
    /// True for a room.
    pub enclosed: bool,
    /// Equivalent absorption area, m².
    pub absorption_m2: Spectrum,
    /// Reverberation time, s.
    pub reverberation_s: Spectrum,
    /// Schroeder frequency from the mean reverberation time of 100 to 400 Hz, Hz; 0 where there is no room.
    pub schroeder_hz: f64,
    /// Sound power of the sources playing in it, in pW.
    pub power: Spectrum,
    /// The largest LAFmax − LAeq and the largest uncertainty among those sources, dB.
    pub peak_db: f64,
    /// Standard uncertainty of the source power, dB.
    pub source_uncertainty_db: f64,
}

/// Every space of the building, in its order.
pub fn rooms(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> Vec<RoomAcoustics> {
    (0..building.spaces.len()).map(|at| room(SpaceIndex(at), scene, catalogue, building, conditions, notes)).collect()
}

fn room(
    space: SpaceIndex,
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> RoomAcoustics {
    let mut part = RoomAcoustics {
        enclosed: false,
        absorption_m2: Spectrum::ZERO,
        reverberation_s: Spectrum::ZERO,
        schroeder_hz: 0.0,
        power: Spectrum::ZERO,
        peak_db: 0.0,
        source_uncertainty_db: 0.0,
    };
    let SpaceKind::Room(body) = &building.spaces[space.0].kind else { return part };
    let Some(marker) = &marker_of(scene, &body.room) else { return part };
    part.enclosed = true;
    let measured = marker.reverberation_s.and_then(|octaves| {
        let t_s = absorption::from_all_octaves(&octaves);
        RoomField::from_measured(body.volume_m3, &t_s, &conditions.air).ok()
    });
    let field = measured.or_else(|| {
        let finishes = finishes(space, marker, scene, catalogue, building, notes);
        // People and furniture: full area from the 100 Hz band up, half below (documented with the scene's field).
        let area_m2 = Spectrum::from_fn(|band| {
            if band < INDEX_100_HZ { 0.5 * marker.furniture_m2 } else { marker.furniture_m2 }.max(0.0)
        });
        let furnishing = Furnishing { area_m2, volume_m3: 0.0 };
        RoomField::from_finishes(body.volume_m3, &finishes, &furnishing, &conditions.air, &conditions.bands).ok()
    });
    let Some(field) = field else {
        notes.push(format!(
            "The absorption of {} could not be computed; it is left out.",
            building.spaces[space.0].name
        ));
        part.enclosed = false;
        return part;
    };
    part.absorption_m2 = *field.absorption_m2();
    part.reverberation_s = *field.t_s();
    let mean_t_s = part.reverberation_s.0[INDEX_100_HZ..INDEX_100_HZ + 7].iter().sum::<f64>() / 7.0;
    part.schroeder_hz = schroeder_frequency_hz(mean_t_s, field.volume_m3());
    for placed in building.sources.iter().filter(|placed| placed.space == space) {
        let Some(source) = scene.sources.iter().find(|source| source.id == placed.source) else { continue };
        let Some(sound) = catalogue.sources.get(&source.sound) else { continue };
        if !source.playing {
            continue;
        }
        part.power =
            part.power.zip(&source_power(source, sound, &part.absorption_m2, &conditions.air), |sum, own| sum + own);
        part.peak_db = part.peak_db.max(sound.lafmax_minus_laeq_db);
        let known_db = if source.measured.is_some() { MEASURED_DB } else { f64::INFINITY };
        part.source_uncertainty_db = part.source_uncertainty_db.max(sound.uncertainty_db.min(known_db));
    }
    part
}

/// Sound power in pW each band, in a room of that absorption: a third of its octave's.
pub(crate) fn source_power(source: &Source, sound: &SoundSource, absorption_m2: &Spectrum, air: &Air) -> Spectrum {
    let louder = 10f64.powf(offset_db(source, sound, absorption_m2, air) / 10.0);
    of_catalogue(sound).map(|power| louder * power)
}

/// By how much a source is louder than the catalogue's, dB: as its file says, or as its measured level shows.
///
/// A level is the sum over the bands of W·(1/(4πr²) + 4/A), the direct and the diffuse field, A-weighted; in the open A is without end, and
/// somewhere in a room r is. Sources: ISO 3744:2010, 3.20 and 8 (free field: Lp + 10 lg S, S = 4πr² of a whole sphere); Kuttruff, Room
/// Acoustics, eq. 5.41 (both from memory, unverified). The spectrum keeps the catalogue's shape.
pub(crate) fn offset_db(source: &Source, sound: &SoundSource, absorption_m2: &Spectrum, air: &Air) -> f64 {
    let Some(measured) = &source.measured else { return source.offset_db };
    let direct = measured.distance_m.map_or(0.0, |distance_m| 10f64.powf(direct_level_db(0.0, 1.0, distance_m) / 10.0));
    let energy = of_catalogue(sound).zip(absorption_m2, |power, absorption_m2| {
        let diffuse = if measured.in_room && absorption_m2 > 0.0 { 4.0 / absorption_m2 } else { 0.0 };
        power * (direct + diffuse)
    });
    let la_db = 10.0 * a_weighted_energy(&energy).log10() + impedance_term_db(air);
    if la_db.is_finite() { measured.la_db - la_db } else { source.offset_db }
}

fn of_catalogue(sound: &SoundSource) -> Spectrum {
    Spectrum::from_fn(|band| 10f64.powf(sound.lw_octaves_db[band / 3] / 10.0) / 3.0)
}

/// (area, α) of floor, walls, ceiling, holes and extra areas.
fn finishes(
    space: SpaceIndex,
    marker: &Room,
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    notes: &mut Vec<String>,
) -> Vec<(f64, Spectrum)> {
    let SpaceKind::Room(body) = &building.spaces[space.0].kind else { return Vec::new() };
    let surfaces = marker.surfaces();
    let mut alpha = |id: &str| match catalogue.finishes.get(id) {
        Some(finish) => absorption::from_octaves(&finish.alpha_octaves),
        None => {
            notes.push(format!("There is no finish \"{id}\" ({}): a plain hard one is taken.", marker.name));
            Spectrum::splat(UNKNOWN_ALPHA)
        }
    };
    // A hole to another room loses its sound in the balance of the rooms; a hole to the open air takes all that meets it.
    let (mut holes_m2, mut outer_holes_m2) = (0.0, 0.0);
    let outdoors = building.outdoors();
    for element in building.facing(space) {
        let element = &building.elements[element.0];
        if !matches!(element.shape, ElementShape::Wall { .. } | ElementShape::Slab { role: SlabRole::Floor, .. }) {
            continue;
        }
        let open = element.openings.iter().filter(|opening| {
            find(scene, catalogue, &opening.construction).is_some_and(|construction| construction.build == Build::Open)
        });
        let open_m2 = open.map(crate::building::PlacedOpening::area_m2).sum::<f64>();
        holes_m2 += open_m2;
        if element.sides.contains(&outdoors) {
            outer_holes_m2 += open_m2;
        }
    }
    let extra_m2: f64 = surfaces.extra.iter().map(|(_, area)| area.max(0.0)).sum();
    let walls_m2 = body.perimeter_m * body.height_m;
    // Extra areas hang before the walls and take their place as far as there is wall.
    let bare_walls_m2 = (walls_m2 - holes_m2 - extra_m2).max(0.0);
    let mut list = vec![
        (body.area_m2, alpha(&surfaces.floor)),
        (bare_walls_m2, alpha(&surfaces.walls)),
        (body.area_m2, alpha(&surfaces.ceiling)),
        (outer_holes_m2.min(walls_m2), Spectrum::splat(HOLE_ALPHA)),
    ];
    for (id, area_m2) in &surfaces.extra {
        list.push((area_m2.max(0.0), alpha(id)));
    }
    list
}
