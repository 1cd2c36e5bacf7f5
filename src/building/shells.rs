//! Inner shells and cover panels put in their place: which face of which element has what before it, and what is left of the room.

use crate::scene::{InnerShell, Problem, RoomId, ShellFace, Storey, Thing, WallId};

use super::geometry::{self, Point, Shape, direction, left_of, moved, total_area, total_perimeter, without};
use super::lookup::Lookup;
use super::model::{
    Bare, Element, ElementShape, Front, OpeningFront, PlacedOpening, RoomSpace, Space, SpaceIndex, SpaceKind,
};
use super::plan::{Plan, PlanRoom};

/// Lower rooms are none, m. Own limit.
const LOWEST_M: f64 = 0.3;

/// What shells are placed with.
pub(super) struct Place<'a> {
    pub storeys: &'a [Storey],
    pub plans: &'a [Plan],
    /// For each storey and room, its space.
    pub of_room: &'a [Vec<SpaceIndex>],
    pub lookup: &'a Lookup<'a>,
    /// Faces whose layers run from the old wall into the room.
    pub reversed: &'a [(RoomId, WallId)],
}

impl Place<'_> {
    /// Puts all inner shells and covers before their elements and openings, and takes their place from the rooms.
    pub(super) fn shells(&self, spaces: &mut [Space], elements: &mut [Element], problems: &mut Vec<Problem>) {
        for ((storey, plan), here) in self.storeys.iter().zip(self.plans).zip(self.of_room) {
            for (room, &space) in plan.rooms.iter().zip(here) {
                let Some(shell) = &room.marker.inner_shell else { continue };
                let shelled = Shelled { shell, room, space, lookup: self.lookup, reversed: self.reversed };
                shelled.before_elements(elements);
                let SpaceKind::Room(body) = &mut spaces[space.0].kind else { continue };
                if !shelled.shrink(body, elements) {
                    problems.push(Problem::error(
                        Some(&storey.id),
                        Thing::Room(room.marker.id.0.clone()),
                        "its inner shell leaves nothing of it",
                        "make its gaps and layers thinner",
                    ));
                }
            }
        }
        covers(self.storeys, spaces, elements, problems);
    }
}

/// A room with a shell, and where it is.
struct Shelled<'a> {
    shell: &'a InnerShell,
    room: &'a PlanRoom,
    space: SpaceIndex,
    lookup: &'a Lookup<'a>,
    reversed: &'a [(RoomId, WallId)],
}

impl Shelled<'_> {
    /// The face before an element on the room's side.
    fn face(&self, element: &Element, side: usize) -> Option<&ShellFace> {
        match &element.shape {
            ElementShape::Wall { walls, .. } => {
                let own = self.shell.each_wall.iter().find(|(wall, _)| walls.contains(wall));
                own.map_or(self.shell.walls.as_ref(), |(_, face)| face.as_ref())
            }
            // Of a slab the first side is the one above: for the room there it is the floor.
            ElementShape::Slab { .. } if side == 0 => self.shell.floor.as_ref(),
            ElementShape::Slab { .. } => self.shell.ceiling.as_ref(),
        }
    }

    fn is_reversed(&self, element: &Element) -> bool {
        let ElementShape::Wall { walls, .. } = &element.shape else { return false };
        self.reversed.iter().any(|(room, wall)| *room == self.room.marker.id && walls.contains(wall))
    }

    fn before_elements(&self, elements: &mut [Element]) {
        for element in elements {
            for side in [0, 1].into_iter().filter(|&side| element.sides[side] == self.space) {
                let Some(face) = self.face(element, side) else { continue };
                let front = Front { face: face.clone(), reversed: self.is_reversed(element) };
                for opening in &mut element.openings {
                    let leaf = self.shell.openings.iter().find(|leaf| leaf.before == opening.opening);
                    opening.fronts[side].push(match leaf {
                        Some(leaf) => OpeningFront::Leaf { leaf: leaf.clone(), gap_mm: face.gap_mm },
                        None => OpeningFront::Shell(front.clone()),
                    });
                }
                element.fronts[side] = Some(front);
            }
        }
    }

    fn depth_m(&self, face: &ShellFace) -> f64 {
        let thickness_m = self.lookup.facts(&face.construction).map_or(0.0, |found| found.thickness_m);
        face.gap_mm / 1000.0 + thickness_m
    }

    /// Takes the shell's place from the room; false when nothing is left.
    fn shrink(&self, body: &mut RoomSpace, elements: &[Element]) -> bool {
        let bands: Vec<Shape> = elements
            .iter()
            .filter_map(|element| {
                let side = element.sides.iter().position(|side| *side == self.space)?;
                let ElementShape::Wall { line, thickness_m, .. } = &element.shape else { return None };
                let depth_m = self.depth_m(&element.fronts[side].as_ref()?.face);
                Some(band(*line, side == 0, 0.5 * thickness_m, depth_m))
            })
            .collect();
        let clear =
            if bands.is_empty() { self.room.outline.clear.clone() } else { without(&self.room.outline.clear, &bands) };
        let [step_m, drop_m] =
            [&self.shell.floor, &self.shell.ceiling].map(|face| face.as_ref().map_or(0.0, |face| self.depth_m(face)));
        let height_m = body.height_m - step_m - drop_m;
        let area_m2 = total_area(&clear);
        if area_m2 < geometry::SLIVER_M2 || height_m < LOWEST_M || !area_m2.is_finite() {
            return false;
        }
        let bare = Bare { outline: body.outline.clone(), area_m2: body.area_m2, height_m: body.height_m, step_m };
        // A volume the user knows is that of the room as it stands: the shell takes its share of it.
        body.volume_m3 *= area_m2 * height_m / (bare.area_m2 * bare.height_m);
        body.area_m2 = area_m2;
        body.height_m = height_m;
        body.perimeter_m = total_perimeter(&clear);
        body.outline = clear.into_iter().flatten().collect();
        body.before_shell = Some(bare);
        true
    }
}

/// The strip of `depth_m` before the face of a wall, on its left or right; a little longer than the wall, for outer corners.
fn band(line: [Point; 2], left: bool, half_m: f64, depth_m: f64) -> Shape {
    let along = direction(line[0], line[1]);
    let out = left_of(along);
    let sign = if left { 1.0 } else { -1.0 };
    let more_m = half_m + depth_m;
    let (from, to) = (moved(line[0], along, -more_m), moved(line[1], along, more_m));
    let [near, far] = [0.0, sign * (half_m + depth_m)];
    let mut ring = vec![moved(from, out, near), moved(to, out, near), moved(to, out, far), moved(from, out, far)];
    if !left {
        ring.reverse();
    }
    vec![ring]
}

/// Puts each cover before its opening.
fn covers(storeys: &[Storey], spaces: &[Space], elements: &mut [Element], problems: &mut Vec<Problem>) {
    let is_room = |space: SpaceIndex| matches!(spaces[space.0].kind, SpaceKind::Room(_));
    for element in elements {
        let sides = element.sides;
        for placed in &mut element.openings {
            let storey = &storeys[placed.storey];
            let opening = storey.openings.iter().find(|opening| opening.id == placed.opening);
            let Some(cover) = opening.and_then(|opening| opening.cover.as_ref()) else { continue };
            let side = match &cover.room {
                Some(id) => sides.iter().position(|space| is_of(&spaces[space.0], id)),
                None => sides.iter().position(|space| is_room(*space)),
            };
            match side {
                Some(side) => set(placed, side, OpeningFront::Cover(cover.clone())),
                None => problems.push(Problem::error(
                    Some(&storey.id),
                    Thing::Opening(placed.opening.0.clone()),
                    "its cover stands in a room that this opening does not lead to",
                    "name a room on one of its two sides",
                )),
            }
        }
    }
}

/// The cover sits at the opening, whatever else stands before it further out.
fn set(placed: &mut PlacedOpening, side: usize, cover: OpeningFront) {
    placed.fronts[side].insert(0, cover);
}

fn is_of(space: &Space, room: &RoomId) -> bool {
    matches!(&space.kind, SpaceKind::Room(body) if body.room == *room)
}
