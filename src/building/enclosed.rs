//! What the walls of one storey enclose, for whoever edits it.

use std::collections::BTreeSet;

use crate::catalogue::Catalogue;
use crate::geometry::{Half, Point, contains, total_area, well_inside};
use crate::scene::{RoomId, Scene, WallId};

use super::constructions::Constructions;
use super::plan::Plan;

/// A space that walls enclose.
#[derive(Debug, Clone, PartialEq)]
pub struct Enclosed {
    /// Its marker; nothing for a space without one.
    pub room: Option<RoomId>,
    /// The walls round it, each once.
    pub walls: Vec<WallId>,
    /// Clear outline between wall faces, m: rings as in [`super::RoomSpace::outline`].
    pub outline: Vec<Vec<Point>>,
    /// Clear area, m².
    pub area_m2: f64,
    /// A point well inside it, m.
    pub inside: Point,
}

impl Enclosed {
    /// Whether a point lies in it, clear of the walls.
    #[must_use]
    pub fn holds(&self, point: Point) -> bool {
        contains(&self.outline, point)
    }
}

/// The spaces of a storey, markers first; nothing for a storey that is not there. What is wrong with the plan is not said here.
#[must_use]
pub fn enclosed(scene: &Scene, catalogue: &Catalogue, storey: usize) -> Vec<Enclosed> {
    let Some(drawn) = scene.storeys.get(storey) else { return vec![] };
    let plan = Plan::new(drawn, &Constructions::new(scene, catalogue), 0, &mut vec![]);
    let marked = |id: &RoomId| drawn.rooms.iter().any(|room| room.id == *id);
    plan.rooms
        .iter()
        .enumerate()
        .map(|(at, room)| {
            let halves = (0..2 * plan.graph.pieces.len()).map(Half).filter(|half| plan.left[half.0] == Some(at));
            let walls: BTreeSet<usize> = halves.map(|half| plan.graph.pieces[half.piece()].wall).collect();
            Enclosed {
                room: Some(room.marker.id.clone()).filter(marked),
                walls: walls.into_iter().map(|wall| drawn.walls[wall].id.clone()).collect(),
                outline: room.clear.iter().flatten().cloned().collect(),
                area_m2: total_area(&room.clear),
                inside: room.clear.first().map_or([0.0; 2], |shape| well_inside(shape).into()),
            }
        })
        .collect()
}
