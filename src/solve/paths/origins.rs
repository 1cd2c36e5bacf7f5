//! Where sound begins: whether there, and not how loud, decides which ways are worth following.

use super::super::room::RoomPart;
use crate::building::{Building, ElementIndex, SpaceIndex};
use crate::scene::Scene;

/// Rooms with a source, and floors and walls that one shakes.
#[derive(Debug, Clone, PartialEq)]
pub struct Origins {
    /// Rooms in which a source gives off sound, in order.
    pub loud: Vec<SpaceIndex>,
    /// Rooms in which a source touches something, and what, in order.
    pub struck: Vec<(SpaceIndex, ElementIndex)>,
}

impl Origins {
    /// Of the sources that play.
    #[must_use]
    pub fn of(scene: &Scene, building: &Building, rooms: &[RoomPart]) -> Self {
        let loud = (0..rooms.len()).filter(|at| rooms[*at].power.iter().any(|power| *power > 0.0)).map(SpaceIndex);
        let mut struck: Vec<_> = building
            .sources
            .iter()
            .filter_map(|placed| Some((placed, scene.sources.iter().find(|source| source.id == placed.source)?)))
            .filter(|(_, source)| source.playing)
            .flat_map(|(placed, _)| placed.touched.iter().map(|touched| Some((placed.space, (*touched)?))))
            .flatten()
            .collect();
        struck.sort_unstable();
        struck.dedup();
        Self { loud: loud.collect(), struck }
    }

    /// Whether sound begins in a room.
    pub(in crate::solve) fn lie_in(&self, room: SpaceIndex) -> bool {
        self.loud.binary_search(&room).is_ok() || self.struck.binary_search_by_key(&room, |(from, _)| *from).is_ok()
    }
}
