//! What the sources of each room make in all rooms.

use rayon::prelude::*;

use super::balance::Balance;
use super::room::{POWER_TO_PRESSURE, RoomAcoustics};
use crate::acoustics::{Air, Spectrum};
use crate::building::SpaceIndex;

/// A room with sources, and what they make of each room.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SourceRoom {
    pub room: SpaceIndex,
    /// 4ρ0c0·W over (20 µPa)² of its sources, m².
    drive_m2: Spectrum,
    /// p² in each space for each m² of that, 1/m².
    per_m2: Vec<Spectrum>,
}

impl SourceRoom {
    /// Each of some rooms.
    pub(super) fn all(of: &[SpaceIndex], rooms: &[RoomAcoustics], balance: &Balance, air: &Air) -> Vec<Self> {
        let factor = 4.0 * air.impedance_pa_s_m() * POWER_TO_PRESSURE;
        let source = |room: &SpaceIndex| Self {
            room: *room,
            drive_m2: rooms[room.0].power.map(|power| factor * power),
            per_m2: balance.field([(*room, Spectrum::splat(1.0))]),
        };
        of.par_iter().map(source).collect()
    }

    /// p² in a space by these sources alone.
    pub(super) fn energy_in(&self, space: SpaceIndex) -> Spectrum {
        self.per_m2[space.0].zip(&self.drive_m2, |per_m2, drive| per_m2 * drive)
    }

    /// p² in the room itself.
    pub(super) fn own_energy(&self) -> Spectrum {
        self.energy_in(self.room)
    }

    /// p² in `space` over p² in the room itself: what the level difference D is made of.
    pub(super) fn ratio(&self, space: SpaceIndex) -> Spectrum {
        self.per_m2[space.0].zip(&self.per_m2[self.room.0], |there, here| there / here)
    }

    /// With the room held at its level: what is left in a space of a field that some of its surfaces make, when all that comes by the room itself is taken off.
    /// By Schur's complement of the room.
    pub(super) fn held(&self, field: &[Spectrum], space: SpaceIndex) -> Spectrum {
        let (all, back) = (&field[space.0], &field[self.room.0]);
        let ratio = self.ratio(space);
        Spectrum::from_fn(|band| (all[band] - ratio[band] * back[band]).max(0.0))
    }
}
