//! One storey's plan: its graph and faces, and the rooms in them with their clear outlines.

use std::borrow::Cow;
use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use crate::scene::{Background, Finishes, Problem, Room, RoomId, Scene, Storey, Thing, Usage};

use super::faces::Faces;
use super::geometry::{
    Extent, Point, ROUNDING_M, Ring, SLIVER_M2, Shape, area, contains, cross, distance_to_segment, left_of, minus,
    moved, sides, signed_area, without,
};
use super::graph::{Graph, Half, Line};
use super::inset;
use super::lookup::Lookup;

/// Coordinates beyond this are a slip of the pen, m.
const FARTHEST_M: f64 = 1e5;
/// How far a mitred corner may reach, in units of the thicker wall's half thickness, before it is cut off.
const LONGEST_MITRE: f64 = 4.0;
/// Rooms of different storeys farther apart than this in the plan have nothing to do with one another, m. Far more than rounding.
const APART_M: f64 = 1e-3;
/// Bends up to this count as straight on where a corner's setback is concerned, rad (20 degrees).
const NEARLY_STRAIGHT: f64 = PI / 9.0;

/// A room of a storey.
#[derive(Debug, Clone)]
pub(super) struct PlanRoom {
    /// Its marker, or one made up for a face without.
    pub marker: Room,
    /// Where it is.
    pub outline: Arc<Outline>,
}

/// What walls enclose.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outline {
    /// Clear of the walls: all pieces they leave, the largest first.
    pub clear: Vec<Shape>,
    /// Up to the middle lines of the walls.
    pub face: Shape,
    /// Round the clear part, and round the face.
    extents: [Extent; 2],
}

/// A face, and the bands of ground that walls cover of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Walled {
    face: Shape,
    walls: Vec<Shape>,
}

/// What the walls of a storey enclose, found from their lines alone.
#[derive(Debug, Clone)]
pub(super) struct Outlines {
    graph: Arc<Graph>,
    faces: Faces,
    /// For each face, what the walls leave of it.
    outlines: Vec<Arc<Outline>>,
}

/// One storey's plan.
#[derive(Debug, Clone, Default)]
pub(super) struct Plan {
    pub graph: Arc<Graph>,
    pub rooms: Vec<PlanRoom>,
    /// For each half, the room on its left; nothing where that is the open air.
    pub left: Vec<Option<usize>>,
}

impl Outline {
    /// Whether it may have something in common with one of another storey, seen from above.
    pub(super) fn is_near(&self, other: &Self) -> bool {
        self.extents[1].meets(&other.extents[1])
    }

    /// Whether it may reach as far as what is clear of another.
    pub(super) fn reaches_clear_of(&self, other: &Self) -> bool {
        self.extents[1].meets(&other.extents[0])
    }
}

impl Plan {
    /// Reads a storey. What cannot be built is added to `problems`.
    pub(super) fn new(storey: &Storey, lookup: &Lookup, problems: &mut Vec<Problem>) -> Self {
        let height_is_right =
            storey.height_m > 0.0 && storey.height_m < FARTHEST_M && storey.level_m.abs() < FARTHEST_M;
        if !height_is_right {
            problems.push(Problem::error(
                Some(&storey.id),
                Thing::Storey,
                "its level or height is no length",
                "give a level, and a height above zero",
            ));
        }
        let lines = lines(storey, lookup, problems);
        let found = Outlines::new(&lines);
        let owners = owners(storey, &found.faces, problems);
        let mut unnamed = 0;
        let mut rooms: Vec<(usize, PlanRoom)> = vec![];
        for (at, outline) in found.outlines.iter().enumerate() {
            let Some(largest) = outline.clear.first() else {
                problems.push(Problem::error(
                    Some(&storey.id),
                    Thing::Storey,
                    format!("the walls near {} enclose nothing but themselves", readable(outline.face[0][0])),
                    "move them apart, or draw them as one thicker wall",
                ));
                continue;
            };
            let marker = owners[at].map(|owner| storey.rooms[owner].clone()).unwrap_or_else(|| {
                unnamed += 1;
                unnamed_room(storey, unnamed, largest[0][0])
            });
            rooms.push((at, PlanRoom { marker, outline: outline.clone() }));
        }
        // Rooms in the order of their markers, then the faces without one in the order of their walls.
        rooms.sort_by_key(|(at, _)| (owners[*at].unwrap_or(usize::MAX), *at));
        let room_of = |face: usize| rooms.iter().position(|(at, _)| *at == face);
        let left = found.faces.left.iter().map(|face| face.and_then(room_of)).collect();
        Self { left, rooms: rooms.into_iter().map(|(_, room)| room).collect(), graph: found.graph.clone() }
    }

    /// The room whose clear outline holds a point.
    pub(super) fn room_at(&self, point: Point) -> Option<usize> {
        let within = |shape: &Shape| contains(shape, point);
        // What stands right at a wall's face stands in the room, to whichever side roundoff of a turned plan put it.
        let at_face = |shape: &Shape| {
            shape.iter().flat_map(|ring| sides(ring)).any(|(a, b)| distance_to_segment(point, a, b) < ROUNDING_M)
        };
        let room =
            |held: &dyn Fn(&Shape) -> bool| self.rooms.iter().position(|room| room.outline.clear.iter().any(held));
        room(&within).or_else(|| room(&at_face))
    }

    /// Whether a point lies inside a wall's thickness.
    pub(super) fn is_in_wall(&self, point: Point) -> bool {
        self.graph.pieces.iter().any(|piece| {
            let [a, b] = piece.ends.map(|end| self.graph.points[end]);
            distance_to_segment(point, a, b) < piece.half_m
        })
    }
}

impl Outlines {
    fn new(lines: &[Line]) -> Self {
        let graph = Graph::new(lines);
        let faces = Faces::new(&graph);
        // Bands that only touch a face take nothing from it.
        let bands: Vec<(Extent, Ring)> =
            bands(&graph).into_iter().map(|band| (Extent::round(band.iter().copied(), -ROUNDING_M), band)).collect();
        let outline = |face: &Shape| {
            let extent = Extent::round(face.iter().flatten().copied(), -ROUNDING_M);
            let near = bands.iter().filter(|(band, _)| band.meets(&extent)).map(|(_, band)| vec![band.clone()]);
            Arc::new(Walled { face: face.clone(), walls: near.collect() }.cleared())
        };
        let outlines = faces.shapes.iter().map(outline).collect();
        Self { graph: Arc::new(graph), faces, outlines }
    }
}

impl Walled {
    fn cleared(&self) -> Outline {
        let mut clear = inset::of_rectangle(&self.face, &self.walls)
            .map_or_else(|| without(std::slice::from_ref(&self.face), &self.walls), |inner| vec![vec![inner]]);
        clear.retain(|shape| area(shape) >= SLIVER_M2);
        clear.sort_by(|a, b| area(b).total_cmp(&area(a)));
        let round = |shapes: &[Shape]| Extent::round(shapes.iter().flatten().flatten().copied(), APART_M);
        let extents = [round(&clear), round(std::slice::from_ref(&self.face))];
        Outline { clear, face: self.face.clone(), extents }
    }
}

/// A point as people read it.
pub(super) fn readable(at: Point) -> String {
    let [x, y] = at.map(no_minus_zero);
    format!("({x:.2}, {y:.2})")
}

/// Zero for minus zero, which is equal to it, and yet has another sign and another angle: what is equal shall be built alike.
fn no_minus_zero(value: f64) -> f64 {
    value + 0.0
}

/// The room taken for a face without a marker: something like a hall, plain finishes, nothing in it, no background stated.
fn unnamed_room(storey: &Storey, number: usize, at: Point) -> Room {
    let which = if number == 1 { String::new() } else { format!(" {number}") };
    Room {
        id: RoomId(format!("unnamed-{}-{number}", storey.id)),
        name: format!("unnamed room{which} on {}", storey.name),
        at,
        usage: Usage::Circulation,
        finishes: Finishes::default(),
        furniture_m2: 0.0,
        floor: None,
        roof: None,
        background: Background::Unstated,
        volume_m3: None,
        reverberation_s: None,
        inner_shell: None,
        fill: None,
    }
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
        match faces.at(room.at) {
            None => problems.push(Problem::error(
                Some(&storey.id),
                thing,
                format!("its marker at {} lies in no space that walls enclose", readable(room.at)),
                "move the marker, or close the walls round it",
            )),
            Some(face) => match owners[face] {
                None => owners[face] = Some(at),
                Some(other) => problems.push(Problem::error(
                    Some(&storey.id),
                    thing,
                    format!("it lies in the same space as room \"{}\"", storey.rooms[other].id),
                    "draw a wall between the two, or delete one of the markers",
                )),
            },
        }
    }
    owners
}

/// The storey's walls, without those that cannot be drawn.
fn lines(storey: &Storey, lookup: &Lookup, problems: &mut Vec<Problem>) -> Vec<Line> {
    let mut lines = vec![];
    for (at, wall) in storey.walls.iter().enumerate() {
        let thing = Thing::Wall(wall.id.0.clone());
        let ends = [&wall.from, &wall.to].map(|id| storey.nodes.iter().find(|node| node.id == *id));
        let construction = lookup.require(&wall.construction, (&storey.id, thing.clone()), problems);
        let (Some(construction), [Some(from), Some(to)]) = (construction, ends) else {
            if ends.iter().any(Option::is_none) {
                problems.push(Problem::error(
                    Some(&storey.id),
                    thing,
                    "one of its corners is missing",
                    "name two corners of this storey",
                ));
            }
            continue;
        };
        let ends = [from.at, to.at].map(|at| at.map(no_minus_zero));
        let half_m = 0.5 * construction.thickness_m;
        if ends.iter().flatten().all(|value| value.abs() < FARTHEST_M) && half_m.is_finite() && half_m >= 0.0 {
            lines.push(Line { wall: at, ends, half_m });
        } else {
            problems.push(Problem::error(
                Some(&storey.id),
                thing,
                "its place or thickness is no length",
                "give metres, within 100 km",
            ));
        }
    }
    lines
}

/// The ground the walls cover: a band for each piece, and mitres that fill the outside of corners. All counter-clockwise.
fn bands(graph: &Graph) -> Vec<Ring> {
    let mut bands: Vec<Ring> = vec![];
    for (at, piece) in graph.pieces.iter().enumerate() {
        let half = Half(2 * at);
        let [a, b] = piece.ends.map(|end| graph.points[end]);
        let out = left_of(graph.direction(half));
        let (left, right) = (piece.half_m, -piece.half_m);
        // The points themselves are corners too, so that neighbours share them to the last digit.
        bands.push(vec![moved(a, out, right), moved(b, out, right), b, moved(b, out, left), moved(a, out, left), a]);
        for half in [half, half.back()] {
            bands.extend(mitre(graph, half));
        }
    }
    for band in &mut bands {
        if signed_area(band) < 0.0 {
            band.reverse();
        }
    }
    bands
}

/// What lies between the bands of a piece and its neighbour counter-clockwise, where they open by more than a half turn.
fn mitre(graph: &Graph, half: Half) -> Option<Ring> {
    let (other, turn) = graph.beside(half, true);
    if other == half || turn <= PI || turn >= TAU {
        return None;
    }
    let at = graph.at(half);
    let (along, along_other) = (graph.direction(half), graph.direction(other));
    let (half_m, other_m) = (graph.half_m(half), graph.half_m(other));
    let corner = moved(at, left_of(along), half_m);
    // Written as the band of the other piece writes its corner: minus the left is not rounded like the right.
    let out = left_of(along_other);
    let corner_other = moved(at, out, -other_m);
    let mut ring = vec![at, corner];
    let t = cross(minus(corner_other, corner), along_other) / cross(along, along_other);
    let tip = moved(corner, along, t);
    let reach = minus(tip, at);
    if t.is_finite() && reach[0].hypot(reach[1]) <= LONGEST_MITRE * half_m.max(other_m) {
        ring.push(tip);
    }
    ring.push(corner_other);
    Some(ring)
}

/// How far from the point a piece leaves its clear length begins, common to both sides, m: the neighbouring walls' faces
/// are in the way. Negative at an outer corner of one side never counts, as the other side is an inner one.
pub(super) fn setback(graph: &Graph, half: Half) -> f64 {
    [true, false]
        .map(|counter_clockwise| {
            let (other, turn) = graph.beside(half, counter_clockwise);
            let (own_m, other_m) = (graph.half_m(half), graph.half_m(other));
            if other == half {
                0.0
            } else if (turn - PI).abs() < NEARLY_STRAIGHT {
                own_m.min(other_m) / (0.5 * turn).tan()
            } else {
                (other_m + own_m * turn.cos()) / turn.sin()
            }
        })
        .into_iter()
        .fold(f64::NEG_INFINITY, f64::max)
}
