//! Slabs: floors between storeys, roofs, floors on the ground and over open air, by polygon overlay.
//!
//! Areas add up seen from above. The clear floor of a room is shared among what lies below up to the middle lines of the walls
//! below: what stands over a wall belongs to the room on its side of the middle line. So the floor elements, ground and
//! soffit of a room sum to its clear area exactly, and a partition below takes nothing from the floor that runs over it.
//! Strips and crumbs that differing wall thicknesses leave over (see `is_sliver`) join the largest piece they touch.
//! A roof is the clear area of a room that no room above covers up to its walls' middle lines.

use crate::scene::{FloorBuild, Problem, Scene, Thing, Workmanship};

use super::geometry::{
    Shape, area, common, contains, is_sliver, joined, rectangle_like, total_area, total_perimeter, without,
};
use super::lookup::Lookup;
use super::model::{Element, ElementIndex, ElementShape, SlabRole, SpaceIndex};
use super::plan::{Plan, PlanRoom};

/// A storey this high above the street at most stands on the ground where nothing lies below it, m (our choice): a cellar
/// under one half of a house does not lift the other half off the ground.
const GROUND_LEVEL_M: f64 = 1.0;

/// A slab with what junctions ask of it.
#[derive(Debug, Clone)]
pub(super) struct Slab {
    /// The element.
    pub element: ElementIndex,
    /// The storey it is the floor of, counted from the lowest; the number of storeys for roofs of the highest.
    pub boundary: usize,
    /// Where it lies.
    pub pieces: Vec<Shape>,
    /// The same up to the middle lines of the walls, so that slabs side by side leave no gap where a wall runs between them.
    pub reach: Vec<Shape>,
    /// Construction id.
    pub construction: String,
    /// Direction of its joists, if known, degrees from the x axis.
    pub joist_direction_deg: Option<f64>,
}

/// What slabs are built from.
pub(super) struct Slabs<'a> {
    pub scene: &'a Scene,
    pub plans: &'a [Plan],
    pub lookup: Lookup<'a>,
    /// For each storey and room, its space.
    pub spaces: &'a [Vec<SpaceIndex>],
    pub outdoors: SpaceIndex,
    pub ground: SpaceIndex,
}

impl Slabs<'_> {
    /// Adds all slabs to `elements`.
    pub(super) fn build(&self, elements: &mut Vec<Element>, problems: &mut Vec<Problem>) -> Vec<Slab> {
        let mut slabs = vec![];
        for storey in 0..self.scene.storeys.len() {
            for (at, room) in self.plans[storey].rooms.iter().enumerate() {
                self.below(storey, at, room, elements, &mut slabs, problems);
            }
            for (at, room) in self.plans[storey].rooms.iter().enumerate() {
                self.roof(storey, at, room, elements, &mut slabs, problems);
            }
        }
        slabs
    }

    /// What a room stands on.
    fn below(
        &self,
        storey: usize,
        at: usize,
        room: &PlanRoom,
        elements: &mut Vec<Element>,
        slabs: &mut Vec<Slab>,
        problems: &mut Vec<Problem>,
    ) {
        let scene_storey = &self.scene.storeys[storey];
        let floor = room.marker.floor.as_ref().unwrap_or(&scene_storey.floor);
        let lower: &[PlanRoom] = storey.checked_sub(1).map_or(&[], |lower| &self.plans[lower].rooms);
        let mut parts: Vec<Vec<Shape>> =
            lower.iter().map(|below| common(&room.clear, std::slice::from_ref(&below.face))).collect();
        let faces: Vec<Shape> = lower.iter().map(|below| below.face.clone()).collect();
        parts.push(if lower.is_empty() { room.clear.clone() } else { without(&room.clear, &faces) });
        absorb_slivers(&mut parts);
        let face = std::slice::from_ref(&room.face);
        let upper = self.spaces[storey][at];
        let (id, name) = (&room.marker.id, &room.marker.name);
        for (below, pieces) in parts.into_iter().enumerate().filter(|(_, pieces)| !pieces.is_empty()) {
            let plain = FloorBuild {
                construction: scene_storey.ground.clone(),
                joist_direction_deg: None,
                workmanship: Workmanship::AsDrawn,
            };
            let on_ground = storey == 0 || scene_storey.level_m <= GROUND_LEVEL_M;
            let (role, other, build, id, name) = if let Some(lower) = lower.get(below) {
                let (other, lower) = (self.spaces[storey - 1][below], &lower.marker);
                let id = format!("floor:{id}/{}", lower.id);
                (SlabRole::Floor, other, floor, id, format!("floor between {name} and {}", lower.name))
            } else if on_ground {
                (SlabRole::Ground, self.ground, &plain, format!("ground:{id}"), format!("ground floor of {name}"))
            } else {
                let id = format!("soffit:{id}");
                (SlabRole::Soffit, self.outdoors, floor, id, format!("floor of {name} over open air"))
            };
            let reach = match lower.get(below) {
                Some(below) => common(face, std::slice::from_ref(&below.face)),
                None => without(face, &faces),
            };
            let draft = Draft {
                id,
                name,
                role,
                storey,
                boundary: storey,
                level_m: scene_storey.level_m,
                reach,
                room: room.marker.id.0.clone(),
            };
            self.add(draft, [upper, other], build, pieces, elements, slabs, problems);
        }
    }

    /// What lies over a room where no other room does.
    fn roof(
        &self,
        storey: usize,
        at: usize,
        room: &PlanRoom,
        elements: &mut Vec<Element>,
        slabs: &mut Vec<Slab>,
        problems: &mut Vec<Problem>,
    ) {
        let scene_storey = &self.scene.storeys[storey];
        let upper: Vec<Shape> = self
            .plans
            .get(storey + 1)
            .map_or_else(Vec::new, |plan| plan.rooms.iter().map(|above| above.face.clone()).collect());
        let mut pieces = if upper.is_empty() { room.clear.clone() } else { without(&room.clear, &upper) };
        if !upper.is_empty() {
            pieces.retain(|piece| !is_sliver(piece));
        }
        if pieces.is_empty() {
            return;
        }
        let build = FloorBuild {
            construction: room.marker.roof.clone().unwrap_or_else(|| scene_storey.roof.clone()),
            joist_direction_deg: None,
            workmanship: Workmanship::AsDrawn,
        };
        let draft = Draft {
            id: format!("roof:{}", room.marker.id),
            name: format!("roof over {}", room.marker.name),
            role: SlabRole::Roof,
            storey,
            boundary: storey + 1,
            level_m: scene_storey.level_m + scene_storey.height_m,
            reach: without(std::slice::from_ref(&room.face), &upper),
            room: room.marker.id.0.clone(),
        };
        self.add(draft, [self.outdoors, self.spaces[storey][at]], &build, pieces, elements, slabs, problems);
    }

    #[allow(clippy::too_many_arguments, reason = "one private call, every argument a different thing")]
    fn add(
        &self,
        draft: Draft,
        sides: [SpaceIndex; 2],
        build: &FloorBuild,
        pieces: Vec<Shape>,
        elements: &mut Vec<Element>,
        slabs: &mut Vec<Slab>,
        problems: &mut Vec<Problem>,
    ) {
        let Draft { id, name, role, storey, boundary, level_m, reach, room } = draft;
        let place = (&self.scene.storeys[storey].id, Thing::Room(room));
        self.lookup.require(&build.construction, place, problems);
        let area_m2 = total_area(&pieces);
        slabs.push(Slab {
            element: ElementIndex(elements.len()),
            boundary,
            pieces: pieces.clone(),
            reach,
            construction: build.construction.clone(),
            joist_direction_deg: build.joist_direction_deg,
        });
        elements.push(Element {
            id,
            name,
            size_m: rectangle_like(area_m2, total_perimeter(&pieces)),
            shape: ElementShape::Slab { role, storey, pieces, level_m },
            sides,
            area_m2,
            construction: build.construction.clone(),
            reversed: false,
            openings: vec![],
            joist_direction_deg: build.joist_direction_deg,
            workmanship: build.workmanship,
            fronts: [None, None],
        });
    }
}

/// What a slab is called and where it lies.
struct Draft {
    id: String,
    name: String,
    role: SlabRole,
    storey: usize,
    boundary: usize,
    level_m: f64,
    reach: Vec<Shape>,
    room: String,
}

/// Gives every sliver to the largest piece it touches, or to the largest of all; nothing happens when there are only slivers.
fn absorb_slivers(parts: &mut [Vec<Shape>]) {
    let mut slivers: Vec<Shape> = vec![];
    if parts.iter().flatten().all(is_sliver) {
        return;
    }
    for part in parts.iter_mut() {
        slivers.extend(part.extract_if(.., |shape| is_sliver(shape)));
    }
    for sliver in slivers {
        let largest = |touching: bool| {
            let mut best: Option<(usize, f64)> = None;
            for (at, part) in parts.iter().enumerate() {
                for shape in part.iter().filter(|shape| !touching || touches(shape, &sliver)) {
                    if best.is_none_or(|(_, most)| area(shape) > most) {
                        best = Some((at, area(shape)));
                    }
                }
            }
            best.map(|(at, _)| at)
        };
        if let Some(at) = largest(true).or_else(|| largest(false)) {
            parts[at] = joined(&parts[at], &sliver);
        }
    }
}

/// Whether the sliver has a corner or the middle of a side within a millimetre of the shape.
fn touches(shape: &Shape, sliver: &Shape) -> bool {
    let near = |point: [f64; 2]| {
        contains(shape, point)
            || shape
                .iter()
                .flat_map(|ring| super::geometry::sides(ring))
                .any(|(a, b)| super::geometry::distance_to_segment(point, a, b) < 1e-3)
    };
    sliver.iter().flat_map(|ring| super::geometry::sides(ring)).any(|(a, b)| near(super::geometry::middle(a, b)))
}
