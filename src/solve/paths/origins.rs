//! Where sound begins: whether there, and not how loud, decides which paths are worth following.

use super::super::room::RoomAcoustics;
use crate::building::{Building, ElementIndex, SpaceIndex};
use crate::scene::Scene;

/// Rooms with a source, and floors and walls that one shakes.
#[derive(Debug, Clone, PartialEq)]
pub struct Origins {
    /// Rooms in which a source gives off sound, in order.
    pub loud: Vec<SpaceIndex>,
    /// Rooms in which a source touches something, and what, in order.
    pub excited: Vec<(SpaceIndex, ElementIndex)>,
}

impl Origins {
    /// Of the sources that play.
    #[must_use]
    pub fn of(scene: &Scene, building: &Building, rooms: &[RoomAcoustics]) -> Self {
        let loud = (0..rooms.len()).filter(|at| rooms[*at].power.iter().any(|power| *power > 0.0)).map(SpaceIndex);
        let mut excited: Vec<_> = building
            .sources
            .iter()
            .filter_map(|placed| Some((placed, scene.sources.iter().find(|source| source.id == placed.source)?)))
            .filter(|(_, source)| source.playing)
            .flat_map(|(placed, _)| placed.touched.iter().map(|touched| Some((placed.space, (*touched)?))))
            .flatten()
            .collect();
        excited.sort_unstable();
        excited.dedup();
        Self { loud: loud.collect(), excited }
    }

    /// Whether sound begins in a room.
    pub(in crate::solve) fn lie_in(&self, room: SpaceIndex) -> bool {
        self.loud.binary_search(&room).is_ok() || self.excited.binary_search_by_key(&room, |(from, _)| *from).is_ok()
    }
}
