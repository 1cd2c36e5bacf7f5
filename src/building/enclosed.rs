//! What the walls of one storey enclose, for whoever edits it.

use crate::catalogue::Catalogue;
use crate::scene::{RoomId, Scene, WallId};

use super::geometry::{Point, Shape, area, contains, distance_to_segment, sides};
use super::graph::Half;
use super::lookup::Lookup;
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
    let plan = Plan::new(drawn, &Lookup::new(scene, catalogue), &mut vec![]);
    let marked = |id: &RoomId| drawn.rooms.iter().any(|room| room.id == *id);
    plan.rooms
        .iter()
        .enumerate()
        .map(|(at, room)| {
            let mut walls: Vec<WallId> = vec![];
            for half in (0..2 * plan.graph.pieces.len()).map(Half) {
                let wall = &drawn.walls[plan.graph.pieces[half.piece()].wall].id;
                if plan.left[half.0] == Some(at) && !walls.contains(wall) {
                    walls.push(wall.clone());
                }
            }
            Enclosed {
                room: Some(room.marker.id.clone()).filter(marked),
                walls,
                outline: room.outline.clear.iter().flatten().cloned().collect(),
                area_m2: room.outline.clear.iter().map(area).sum(),
                inside: room.outline.clear.first().map_or([0.0, 0.0], well_inside),
            }
        })
        .collect()
}

/// Of a grid of points over a shape, the one farthest from its sides.
fn well_inside(shape: &Shape) -> Point {
    const STEPS: usize = 24;
    let corners = || shape.iter().flatten();
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for corner in corners() {
        for way in [0, 1] {
            low[way] = low[way].min(corner[way]);
            high[way] = high[way].max(corner[way]);
        }
    }
    let room_m = |point: Point| {
        shape
            .iter()
            .flat_map(|ring| sides(ring))
            .map(|(a, b)| distance_to_segment(point, a, b))
            .fold(f64::INFINITY, f64::min)
    };
    let grid = (1..STEPS).flat_map(|x| (1..STEPS).map(move |y| [x, y]));
    grid.map(|at| [0, 1].map(|way| low[way] + (high[way] - low[way]) * at[way] as f64 / STEPS as f64))
        .filter(|point| contains(shape, *point))
        .max_by(|a, b| room_m(*a).total_cmp(&room_m(*b)))
        .or_else(|| corners().next().copied())
        .unwrap_or_default()
}
