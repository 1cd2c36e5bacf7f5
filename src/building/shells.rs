//! Inner shells and cover panels put in their place: which face of which element has what before it, and what is left of the room.

use crate::geometry::{Line, Shape, heading, line, total_area, total_perimeter, without};
use crate::scene::{InnerShell, Problem, RoomId, ShellFace, Storey, Thing, WallId};

use super::constructions::{Constructions, refuse};
use super::model::{Bare, Element, ElementShape, Front, OpeningFront, RoomSpace, Space, SpaceIndex, SpaceKind};
use super::plan::{PlanRoom, SLIVER_M2, Site};

/// Lower rooms are none, m. Own limit.
const LOWEST_M: f64 = 0.3;

/// Puts all inner shells and covers before their elements and openings, and takes their place from the rooms. Layers run from the old wall into
/// the room on the faces in `reversed`.
pub(super) fn place(
    site: &Site,
    reversed: &[(RoomId, WallId)],
    spaces: &mut [Space],
    elements: &mut [Element],
    problems: &mut Vec<Problem>,
) {
    for (storey, plan) in site.storeys.iter().zip(&site.plans) {
        for room in &plan.rooms {
            let Some(shell) = &room.marker.inner_shell else { continue };
            let shelled = Shelled { shell, room, space: room.space, constructions: site.constructions, reversed };
            shelled.before_elements(elements);
            let SpaceKind::Room(body) = &mut spaces[room.space.0].kind else { continue };
            if !shelled.shrink(body, elements) {
                let room = Thing::Room(room.marker.id.0.clone());
                let what = "its inner shell leaves nothing of it";
                refuse(problems, storey, room, what, "make its gaps and layers thinner");
            }
        }
    }
    covers(site.storeys, spaces, elements, problems);
}

/// A room with a shell, and where it is.
struct Shelled<'a> {
    shell: &'a InnerShell,
    room: &'a PlanRoom,
    space: SpaceIndex,
    constructions: &'a Constructions<'a>,
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

    fn before_elements(&self, elements: &mut [Element]) {
        for element in elements {
            for side in [0, 1].into_iter().filter(|&side| element.sides[side] == self.space) {
                let Some(face) = self.face(element, side) else { continue };
                let walls: &[WallId] = if let ElementShape::Wall { walls, .. } = &element.shape { walls } else { &[] };
                let is_here = |(room, wall): &(RoomId, WallId)| *room == self.room.marker.id && walls.contains(wall);
                let front = Front { face: face.clone(), reversed: self.reversed.iter().any(is_here) };
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
        face.gap_mm / 1000.0 + self.constructions.thickness_m(&face.construction).unwrap_or(0.0)
    }

    /// Takes the shell's place from the room; false when nothing is left.
    fn shrink(&self, body: &mut RoomSpace, elements: &[Element]) -> bool {
        let bands: Vec<Shape> = elements
            .iter()
            .filter_map(|element| {
                let side = element.sides.iter().position(|side| *side == self.space)?;
                let ElementShape::Wall { line: ends, thickness_m, .. } = &element.shape else { return None };
                let depth_m = self.depth_m(&element.fronts[side].as_ref()?.face);
                Some(band(line(*ends), side == 0, 0.5 * thickness_m, depth_m))
            })
            .collect();
        let clear = if bands.is_empty() { self.room.clear.clone() } else { without(&self.room.clear, &bands) };
        let [step_m, drop_m] =
            [&self.shell.floor, &self.shell.ceiling].map(|face| face.as_ref().map_or(0.0, |face| self.depth_m(face)));
        let height_m = body.height_m - step_m - drop_m;
        let area_m2 = total_area(&clear);
        if area_m2 < SLIVER_M2 || height_m < LOWEST_M || !area_m2.is_finite() {
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
fn band(wall: Line, left: bool, half_m: f64, depth_m: f64) -> Shape {
    let more_m = half_m + depth_m;
    let along = heading(wall) * more_m;
    let out = if left { along.perp() } else { -along.perp() };
    let (from, to) = (wall[0] - along, wall[1] + along);
    let mut ring = vec![from, to, to + out, from + out];
    if !left {
        ring.reverse();
    }
    vec![ring.into_iter().map(Into::into).collect()]
}

/// Puts each cover before its opening.
fn covers(storeys: &[Storey], spaces: &[Space], elements: &mut [Element], problems: &mut Vec<Problem>) {
    let room = |space: &SpaceIndex| match &spaces[space.0].kind {
        SpaceKind::Room(body) => Some(&body.room),
        SpaceKind::Outdoors | SpaceKind::Ground => None,
    };
    for element in elements {
        let sides = element.sides;
        for placed in &mut element.openings {
            let storey = &storeys[placed.storey];
            let opening = storey.openings.iter().find(|opening| opening.id == placed.opening);
            let Some(cover) = opening.and_then(|opening| opening.cover.as_ref()) else { continue };
            let fits =
                |space: &SpaceIndex| room(space).is_some_and(|room| cover.room.as_ref().is_none_or(|id| id == room));
            let side = sides.iter().position(fits);
            match side {
                // The cover sits at the opening, whatever else stands before it further out.
                Some(side) => placed.fronts[side].insert(0, OpeningFront::Cover(cover.clone())),
                None => {
                    let what = "its cover stands in a room that this opening does not lead to";
                    let opening = Thing::Opening(placed.opening.0.clone());
                    refuse(problems, storey, opening, what, "name a room on one of its two sides");
                }
            }
        }
    }
}
