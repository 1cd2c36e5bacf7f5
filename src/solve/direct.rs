//! The direct sound of what plays in a room, before any wall has sent it back.

use super::room::source_power;
use crate::acoustics::{Air, Spectrum, room_field};
use crate::building::{Building, SpaceIndex};
use crate::catalogue::Catalogue;
use crate::scene::Scene;

/// p² over (20 µPa)² each band at a point of a room's plan, of all that plays in the room; nothing is nearer than `nearest_m`.
pub(super) fn energy(
    (scene, catalogue, building): (&Scene, &Catalogue, &Building),
    (space, at): (SpaceIndex, [f64; 2]),
    nearest_m: f64,
    absorption_m2: &Spectrum,
    air: &Air,
) -> Spectrum {
    let mut sum = Spectrum::ZERO;
    let term_db = room_field::impedance_term_db(air);
    for other in building.sources.iter().filter(|source| source.space == space) {
        let Some(source) = scene.sources.iter().find(|source| source.id == other.source && source.playing) else {
            continue;
        };
        let Some(sound) = catalogue.sources.get(&source.sound) else { continue };
        let distance_m = (other.at[0] - at[0]).hypot(other.at[1] - at[1]).max(nearest_m);
        let power = source_power(source, sound, absorption_m2, air);
        let factor = 10f64.powf((room_field::direct_level_db(0.0, 1.0, distance_m) + term_db) / 10.0);
        sum = sum.zip(&power, |sum, power| sum + factor * power);
    }
    sum
}
