//! One storey's plan: its graph and faces, and the rooms in them with their clear outlines; and all storeys together.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::geometry::{
    DVec2, Extent, Faces, Graph, ROUNDING_M, Ring, SNAP_M, Shape, Stroke, area, contains, distance, line, near, sides,
    without,
};
use crate::scene::{NodeId, Problem, Room, RoomId, Scene, Storey, Thing, Usage, Wall};

use super::constructions::{Constructions, refuse};
use super::model::SpaceIndex;

/// Coordinates beyond this are a slip of the pen, m.
const FARTHEST_M: f64 = 1e5;
/// Rooms of different storeys farther apart than this in the plan have nothing to do with one another, m. Far more than rounding.
const APART_M: f64 = SNAP_M;
/// Shapes smaller than this are left over from walls of differing thickness, not rooms or slabs, m².
pub(super) const SLIVER_M2: f64 = 0.05;

/// A room of a storey.
#[derive(Debug)]
pub(super) struct PlanRoom {
    /// Its marker, or one made up for a face without.
    pub marker: Room,
    /// Its space.
    pub space: SpaceIndex,
    /// Clear of the walls: all pieces they leave, the largest first.
    pub clear: Vec<Shape>,
    /// Up to the middle lines of the walls.
    pub face: Shape,
    /// Round the clear part.
    pub clear_extent: Extent,
    /// Round the face.
    pub extent: Extent,
}

/// One storey's plan.
#[derive(Debug)]
pub(super) struct Plan {
    pub graph: Graph,
    pub rooms: Vec<PlanRoom>,
    /// For each half, the room on its left; nothing where that is the open air.
    pub left: Vec<Option<usize>>,
}

/// All storeys with their plans. Spaces are numbered by storey and room; the outdoors and the ground come last.
pub(super) struct Site<'a> {
    pub storeys: &'a [Storey],
    pub plans: Vec<Plan>,
    pub constructions: &'a Constructions<'a>,
    pub outdoors: SpaceIndex,
    pub ground: SpaceIndex,
}

impl<'a> Site<'a> {
    /// Reads all storeys. What cannot be built is added to `problems`.
    pub(super) fn new(
        storeys: &'a [Storey],
        constructions: &'a Constructions<'a>,
        problems: &mut Vec<Problem>,
    ) -> Self {
        let (mut plans, mut count) = (vec![], 0);
        for storey in storeys {
            let plan = Plan::new(storey, constructions, count, problems);
            count += plan.rooms.len();
            plans.push(plan);
        }
        Self { storeys, plans, constructions, outdoors: SpaceIndex(count), ground: SpaceIndex(count + 1) }
    }
}

impl Plan {
    /// Reads a storey, with spaces numbered from `first_space`. What cannot be built is added to `problems`.
    pub(super) fn new(
        storey: &Storey,
        constructions: &Constructions,
        first_space: usize,
        problems: &mut Vec<Problem>,
    ) -> Self {
        let graph = Graph::new(&strokes(storey, constructions));
        let faces = Faces::new(&graph);
        let owners = owners(storey, &faces, problems);
        let clear = cleared(&graph, &faces);
        // Rooms in the order of their markers, then the faces without one in the order of their walls.
        let mut order: Vec<usize> = (0..faces.shapes.len()).collect();
        order.sort_by_key(|&at| owners[at].unwrap_or(usize::MAX));
        let mut room_of_face = vec![None; order.len()];
        let (mut rooms, mut unnamed): (Vec<PlanRoom>, usize) = (vec![], 0);
        for (face, _) in faces.shapes.iter().zip(&clear).filter(|(_, clear)| clear.is_empty()) {
            let what = format!("the walls near {} enclose nothing but themselves", readable(face[0][0]));
            refuse(problems, storey, Thing::Storey, what, "move them apart, or draw them as one thicker wall");
        }
        for at in order.into_iter().filter(|&at| !clear[at].is_empty()) {
            let (clear, face) = (clear[at].clone(), faces.shapes[at].clone());
            let marker = owners[at].map(|owner| storey.rooms[owner].clone()).unwrap_or_else(|| {
                unnamed += 1;
                unnamed_room(storey, unnamed, clear[0][0][0])
            });
            room_of_face[at] = Some(rooms.len());
            let clear_extent = Extent::round(clear.iter().flatten().flatten().copied(), APART_M);
            let extent = Extent::round(face.iter().flatten().copied(), APART_M);
            let space = SpaceIndex(first_space + rooms.len());
            rooms.push(PlanRoom { marker, space, clear, face, clear_extent, extent });
        }
        let left = faces.left.iter().map(|face| face.and_then(|face| room_of_face[face])).collect();
        Self { graph, rooms, left }
    }

    /// The room whose clear outline holds a point.
    pub(super) fn room_at(&self, point: DVec2) -> Option<usize> {
        let within = |shape: &Shape| contains(shape, point);
        // What stands right at a wall's face stands in the room, to whichever side roundoff of a turned plan put it.
        let at_face =
            |shape: &Shape| shape.iter().flat_map(|ring| sides(ring)).any(|side| distance(point, side) < ROUNDING_M);
        let room = |held: &dyn Fn(&Shape) -> bool| {
            self.rooms.iter().position(|room| room.clear_extent.holds(point) && room.clear.iter().any(held))
        };
        room(&within).or_else(|| room(&at_face))
    }
}

/// For each face, what the walls leave of it: all pieces, the largest first.
fn cleared(graph: &Graph, faces: &Faces) -> Vec<Vec<Shape>> {
    let bands = graph.bands();
    // Bands that only touch a face take nothing from it.
    let round = |ring: &Ring| Extent::round(ring.iter().copied(), -ROUNDING_M);
    let extents: Vec<Extent> = faces.shapes.iter().map(|face| round(&face[0])).collect();
    let near = near(&extents, &bands.iter().map(round).collect::<Vec<_>>());
    let clear = |(face, near): (&Shape, Vec<usize>)| {
        let bands: Vec<Shape> = near.into_iter().map(|at| vec![bands[at].clone()]).collect();
        let mut clear = without(std::slice::from_ref(face), &bands);
        clear.retain(|shape| area(shape) >= SLIVER_M2);
        clear.sort_by(|a, b| area(b).total_cmp(&area(a)));
        clear
    };
    faces.shapes.iter().zip(near).map(clear).collect()
}

/// A point as people read it.
pub(super) fn readable(at: [f64; 2]) -> String {
    let [x, y] = at.map(no_minus_zero);
    format!("({x:.2}, {y:.2})")
}

/// Zero for minus zero, which is equal to it, and yet has another sign and another angle: what is equal shall be built alike.
fn no_minus_zero(value: f64) -> f64 {
    value + 0.0
}

/// The room taken for a face without a marker: something like a hall, plain finishes, nothing in it, no background stated.
fn unnamed_room(storey: &Storey, number: usize, at: [f64; 2]) -> Room {
    let which = if number == 1 { String::new() } else { format!(" {number}") };
    let id = RoomId(format!("unnamed-{}-{number}", storey.id));
    let name = format!("unnamed room{which} on {}", storey.name);
    Room { usage: Usage::Circulation, ..Room::new(id, name, at) }
}

/// The marker of a room as [`super::RoomSpace::room`] names it; of a face without one, what was taken instead.
/// Nothing when the scene has no such room.
#[must_use]
pub fn marker_of<'a>(scene: &'a Scene, room: &RoomId) -> Option<Cow<'a, Room>> {
    let known = scene.storeys.iter().flat_map(|storey| &storey.rooms).find(|marker| marker.id == *room);
    known.map(Cow::Borrowed).or_else(|| {
        scene.storeys.iter().find_map(|storey| {
            let number = room.0.strip_prefix(&format!("unnamed-{}-", storey.id))?.parse().ok()?;
            Some(Cow::Owned(unnamed_room(storey, number, [0.0, 0.0])))
        })
    })
}

/// For each face, the marker in it.
fn owners(storey: &Storey, faces: &Faces, problems: &mut Vec<Problem>) -> Vec<Option<usize>> {
    let mut owners: Vec<Option<usize>> = vec![None; faces.shapes.len()];
    for (at, room) in storey.rooms.iter().enumerate() {
        let thing = Thing::Room(room.id.0.clone());
        let Some(face) = faces.at(room.at) else {
            let what = format!("its marker at {} lies in no space that walls enclose", readable(room.at));
            refuse(problems, storey, thing, what, "move the marker, or close the walls round it");
            continue;
        };
        match owners[face] {
            None => owners[face] = Some(at),
            Some(other) => {
                let what = format!("it lies in the same space as room \"{}\"", storey.rooms[other].id);
                refuse(problems, storey, thing, what, "draw a wall between the two, or delete one of the markers");
            }
        }
    }
    owners
}

/// The storey's walls, without those that cannot be drawn.
fn strokes(storey: &Storey, constructions: &Constructions) -> Vec<Stroke> {
    let mut places: BTreeMap<&NodeId, [f64; 2]> = BTreeMap::new();
    for node in &storey.nodes {
        places.entry(&node.id).or_insert(node.at);
    }
    let stroke = |(wall, drawn): (usize, &Wall)| {
        let ends = [*places.get(&drawn.from)?, *places.get(&drawn.to)?];
        let half_m = 0.5 * constructions.thickness_m(&drawn.construction)?;
        let within = ends.iter().flatten().all(|value| value.abs() < FARTHEST_M);
        let line = line(ends.map(|at| at.map(no_minus_zero)));
        (within && (0.0..FARTHEST_M).contains(&half_m)).then_some(Stroke { wall, line, half_m })
    };
    storey.walls.iter().enumerate().filter_map(stroke).collect()
}
