//! What a storey draws, found again by id, so that checks need not compare all with all.

use std::collections::BTreeMap;

use crate::geometry::{Line, line};
use crate::scene::{NodeId, Storey, Wall, WallId};

/// Corners and walls of a storey by id: the first of each id.
pub(super) struct Drawn<'a> {
    nodes: BTreeMap<&'a NodeId, [f64; 2]>,
    walls: BTreeMap<&'a WallId, (usize, &'a Wall)>,
    meeting: BTreeMap<&'a NodeId, Vec<&'a Wall>>,
}

impl<'a> Drawn<'a> {
    pub(super) fn of(storey: &'a Storey) -> Self {
        let (mut nodes, mut walls, mut meeting) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::<_, Vec<_>>::new());
        for node in &storey.nodes {
            nodes.entry(&node.id).or_insert(node.at);
        }
        for (at, wall) in storey.walls.iter().enumerate() {
            walls.entry(&wall.id).or_insert((at, wall));
            meeting.entry(&wall.from).or_default().push(wall);
            if wall.to != wall.from {
                meeting.entry(&wall.to).or_default().push(wall);
            }
        }
        Self { nodes, walls, meeting }
    }

    pub(super) fn has_node(&self, id: &NodeId) -> bool {
        self.nodes.contains_key(id)
    }

    pub(super) fn wall(&self, id: &WallId) -> Option<&'a Wall> {
        self.walls.get(id).map(|(_, wall)| *wall)
    }

    /// Its position in the storey's list.
    pub(super) fn position(&self, id: &WallId) -> Option<usize> {
        self.walls.get(id).map(|(at, _)| *at)
    }

    /// Where a wall begins and ends, sound or not.
    pub(super) fn ends(&self, wall: &Wall) -> Option<Line> {
        Some(line([*self.nodes.get(&wall.from)?, *self.nodes.get(&wall.to)?]))
    }

    /// The walls that begin or end at a corner.
    pub(super) fn meeting(&self, corner: &NodeId) -> &[&'a Wall] {
        self.meeting.get(corner).map_or(&[], Vec::as_slice)
    }
}
