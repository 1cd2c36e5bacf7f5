//! What must be said of voids: how low they are, and what taking them as even rooms does.

use super::conditions::Conditions;
use super::room::RoomAcoustics;
use crate::acoustics::bands::Bands;
use crate::acoustics::plenum::Plenum;
use crate::building::{Building, RoomSpace, SpaceKind};
use crate::scene::Usage;

/// Less than this, dB, is not mentioned.
const LEAST_MENTIONED_DB: f64 = 0.5;

/// A sentence for each void.
pub(super) fn notes(building: &Building, rooms: &[RoomAcoustics], conditions: &Conditions) -> Vec<String> {
    let void = |(at, space): (usize, &crate::building::Space)| {
        let SpaceKind::Room(room) = &space.kind else { return None };
        let part = rooms.get(at).filter(|part| part.enclosed && room.usage == Usage::Void)?;
        let plenum = Plenum::new(room.height_m, longest_m(room), room.volume_m3).ok()?;
        let too_even_db = plenum.too_even_db(part.absorption_m2[Bands::nearest(500.0)]);
        let uneven = if too_even_db >= LEAST_MENTIONED_DB {
            format!(
                " Sound dies off along it: from end to end up to {too_even_db:.0} dB less may come through than said."
            )
        } else {
            String::new()
        };
        Some(format!(
            "{} is {:.2} m high and taken as a room with an even field: below {:.0} Hz that is rough.{uneven}",
            heading(&space.name),
            room.height_m,
            plenum.flat_below_hz(conditions.air.speed_m_s()),
        ))
    };
    building.spaces.iter().enumerate().filter_map(void).collect()
}

/// The diagonal of the rectangle round it, m.
fn longest_m(room: &RoomSpace) -> f64 {
    let extent = |axis: usize| {
        let places = || room.outline.iter().flatten().map(|at| at[axis]);
        places().fold(f64::NEG_INFINITY, f64::max) - places().fold(f64::INFINITY, f64::min)
    };
    extent(0).hypot(extent(1))
}

fn heading(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
