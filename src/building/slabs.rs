//! Slabs: floors between storeys, roofs, floors on the ground and over open air, by polygon overlay.
//!
//! Areas add up seen from above. The clear floor of a room is shared among what lies below up to the middle lines of the walls
//! below: what stands over a wall belongs to the room on its side of the middle line. So the floor elements, ground and
//! soffit of a room sum to its clear area exactly, and a partition below takes nothing from the floor that runs over it.
//! Strips and crumbs that differing wall thicknesses leave over (see `is_sliver`) join the largest piece they touch.
//! A roof is the clear area of a room that no room above covers up to its walls' middle lines.

use std::sync::Arc;

use crate::scene::{FloorBuild, Problem, Storey, Thing, Workmanship};

use super::lookup::Lookup;
use super::model::{Element, ElementIndex, ElementShape, SlabRole, SpaceIndex};
use super::overlaid::{Footprint, Over, Part};
use super::plan::{Outline, Plan, PlanRoom};

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
    pub footprint: Arc<Footprint>,
    /// Construction id.
    pub construction: String,
    /// Direction of its joists, if known, degrees from the x axis.
    pub joist_direction_deg: Option<f64>,
}

/// What slabs are built from.
pub(super) struct Slabs<'a> {
    pub storeys: &'a [Storey],
    pub plans: &'a [Plan],
    pub lookup: &'a Lookup<'a>,
    /// For each storey and room, its space.
    pub spaces: &'a [Vec<SpaceIndex>],
    pub outdoors: SpaceIndex,
    pub ground: SpaceIndex,
}

/// What slabs are added to.
struct Built<'a> {
    elements: &'a mut Vec<Element>,
    slabs: Vec<Slab>,
    problems: &'a mut Vec<Problem>,
}

impl Slabs<'_> {
    /// Adds all slabs to `elements`.
    pub(super) fn build(&self, elements: &mut Vec<Element>, problems: &mut Vec<Problem>) -> Vec<Slab> {
        let mut built = Built { elements, slabs: vec![], problems };
        for storey in 0..self.storeys.len() {
            for (at, room) in self.plans[storey].rooms.iter().enumerate() {
                let (over, positions) = self.over(&room.outline, storey.checked_sub(1));
                for part in over.floor() {
                    let below = part.over.map(|at| positions[at]);
                    self.floor(storey, at, room, below, &part, &mut built);
                }
            }
            for (at, room) in self.plans[storey].rooms.iter().enumerate() {
                let (over, _) = self.over(&room.outline, Some(storey + 1));
                if let Some(part) = over.roof() {
                    self.roof(storey, at, room, &part, &mut built);
                }
            }
        }
        built.slabs
    }

    /// A room with those of another storey that are near it in the plan, and their positions.
    fn over(&self, room: &Arc<Outline>, storey: Option<usize>) -> (Over, Vec<usize>) {
        let plan = storey.and_then(|storey| self.plans.get(storey)).filter(|plan| !plan.rooms.is_empty());
        let Some(plan) = plan else { return (Over { room: room.clone(), others: None }, vec![]) };
        let near = plan.rooms.iter().enumerate().filter(|(_, other)| other.outline.is_near(room));
        let (positions, others) = near.map(|(at, other)| (at, other.outline.clone())).unzip();
        (Over { room: room.clone(), others: Some(others) }, positions)
    }

    /// A part of what a room stands on.
    fn floor(&self, storey: usize, at: usize, room: &PlanRoom, below: Option<usize>, part: &Part, built: &mut Built) {
        let scene_storey = &self.storeys[storey];
        let floor = room.marker.floor.as_ref().unwrap_or(&scene_storey.floor);
        let (id, name) = (&room.marker.id, &room.marker.name);
        let plain = FloorBuild {
            construction: scene_storey.ground.clone(),
            joist_direction_deg: None,
            workmanship: Workmanship::Usual,
        };
        let on_ground = storey == 0 || scene_storey.level_m <= GROUND_LEVEL_M;
        let (role, other, build, id, name) = if let Some(below) = below {
            let (other, lower) = (self.spaces[storey - 1][below], &self.plans[storey - 1].rooms[below].marker);
            let id = format!("floor:{id}/{}", lower.id);
            (SlabRole::Floor, other, floor, id, format!("floor between {name} and {}", lower.name))
        } else if on_ground {
            (SlabRole::Ground, self.ground, &plain, format!("ground:{id}"), format!("ground floor of {name}"))
        } else {
            let id = format!("soffit:{id}");
            (SlabRole::Soffit, self.outdoors, floor, id, format!("floor of {name} over open air"))
        };
        let (boundary, level_m) = (storey, scene_storey.level_m);
        let sides = [self.spaces[storey][at], other];
        let draft = Draft { id, name, role, storey, boundary, level_m, sides, room: room.marker.id.0.clone() };
        self.add(draft, build, part, built);
    }

    /// What lies over a room where no other room does.
    fn roof(&self, storey: usize, at: usize, room: &PlanRoom, part: &Part, built: &mut Built) {
        let scene_storey = &self.storeys[storey];
        let build = FloorBuild {
            construction: room.marker.roof.clone().unwrap_or_else(|| scene_storey.roof.clone()),
            joist_direction_deg: None,
            workmanship: Workmanship::Usual,
        };
        let draft = Draft {
            id: format!("roof:{}", room.marker.id),
            name: format!("roof over {}", room.marker.name),
            role: SlabRole::Roof,
            storey,
            boundary: storey + 1,
            level_m: scene_storey.level_m + scene_storey.height_m,
            sides: [self.outdoors, self.spaces[storey][at]],
            room: room.marker.id.0.clone(),
        };
        self.add(draft, &build, part, built);
    }

    fn add(&self, draft: Draft, build: &FloorBuild, part: &Part, built: &mut Built) {
        let Draft { id, name, role, storey, boundary, level_m, sides, room } = draft;
        let place = (&self.storeys[storey].id, Thing::Room(room));
        self.lookup.require(&build.construction, place, built.problems);
        built.slabs.push(Slab {
            element: ElementIndex(built.elements.len()),
            boundary,
            footprint: part.footprint.clone(),
            construction: build.construction.clone(),
            joist_direction_deg: build.joist_direction_deg,
        });
        built.elements.push(Element {
            id,
            name,
            size_m: part.size_m,
            shape: ElementShape::Slab { role, storey, pieces: part.footprint.pieces.clone(), level_m },
            sides,
            area_m2: part.area_m2,
            construction: build.construction.clone(),
            reversed: false,
            openings: vec![],
            joist_direction_deg: build.joist_direction_deg,
            workmanship: build.workmanship,
            fronts: [None, None],
        });
    }
}

/// What a slab is called and what lies on its sides.
struct Draft {
    id: String,
    name: String,
    role: SlabRole,
    storey: usize,
    boundary: usize,
    level_m: f64,
    sides: [SpaceIndex; 2],
    room: String,
}
