//! Slabs: floors between storeys, roofs, floors on the ground and over open air, by polygon overlay.
//!
//! Areas add up seen from above. The clear floor of a room is shared among what lies below up to the middle lines of the walls
//! below: what stands over a wall belongs to the room on its side of the middle line. So the floor elements, ground and
//! soffit of a room sum to its clear area exactly, and a partition below takes nothing from the floor that runs over it.
//! Strips and crumbs that differing wall thicknesses leave over (see `is_sliver`) join the largest piece they touch.
//! A roof is the clear area of a room that no room above covers up to its walls' middle lines.

use crate::geometry::{
    DVec2, Extent, PINHOLE_M2, Ring, Shape, area, common, contains, distance, joined, near, sides, total_area,
    total_perimeter, without,
};
use crate::scene::FloorBuild;

use super::model::{Element, ElementIndex, ElementShape, SlabRole, SpaceIndex};
use super::plan::{Plan, PlanRoom, SLIVER_M2, Site};

/// A storey this high above the street at most stands on the ground where nothing lies below it, m (our choice): a cellar
/// under one half of a house does not lift the other half off the ground.
const GROUND_LEVEL_M: f64 = 1.0;
/// Strips narrower than this in the mean are left over from walls of differing thickness, m.
const SLIVER_WIDTH_M: f64 = 0.10;

/// A slab with what junctions ask of it.
#[derive(Debug)]
pub(super) struct Slab<'a> {
    /// The element.
    pub element: ElementIndex,
    /// The storey it is the floor of, counted from the lowest; the number of storeys for roofs of the highest.
    pub boundary: usize,
    /// Where it lies.
    pub footprint: Footprint<'a>,
    /// Construction id.
    pub construction: String,
    /// Direction of its joists, if known, degrees from the x axis.
    pub joist_direction_deg: Option<f64>,
}

/// Where a slab lies: its clear pieces, and up to the middle lines of the walls, so that slabs side by side leave no gap where a wall runs between them.
#[derive(Debug)]
pub(super) struct Footprint<'a> {
    /// Its clear pieces.
    pieces: Vec<Shape>,
    /// Its room, up to the middle lines.
    room: &'a PlanRoom,
    /// Rooms of the storey below (of a roof: above).
    others: Vec<&'a PlanRoom>,
    /// True where it lies over the one of them, false where it lies over none of them.
    over: bool,
}

impl Footprint<'_> {
    /// Round all of it.
    pub(super) fn extent(&self) -> Extent {
        self.room.extent
    }

    /// Whether its clear pieces hold a point.
    pub(super) fn lies_at(&self, point: DVec2) -> bool {
        self.extent().holds(point) && self.pieces.iter().any(|piece| contains(piece, point))
    }

    /// Whether a point lies in it, up to the middle lines.
    pub(super) fn reaches(&self, point: DVec2) -> bool {
        let within = |room: &PlanRoom| room.extent.holds(point) && contains(&room.face, point);
        within(self.room) && self.others.iter().any(|other| within(other)) == self.over
    }

    /// Every ring along which it may end.
    pub(super) fn rings(&self) -> impl Iterator<Item = &Ring> {
        let faces = self.others.iter().copied().chain([self.room]).map(|room| &room.face);
        self.pieces.iter().chain(faces).flatten()
    }
}

/// What slabs are added to.
struct Slabs<'a> {
    site: &'a Site<'a>,
    elements: &'a mut Vec<Element>,
    slabs: Vec<Slab<'a>>,
}

/// Adds all slabs to `elements`.
pub(super) fn build<'a>(site: &'a Site, elements: &'a mut Vec<Element>) -> Vec<Slab<'a>> {
    let mut slabs = Slabs { site, elements, slabs: vec![] };
    for (storey, plan) in site.plans.iter().enumerate() {
        let other = |at: Option<usize>| at.and_then(|at| site.plans.get(at)).filter(|plan| !plan.rooms.is_empty());
        let (below, above) = (other(storey.checked_sub(1)), other(Some(storey + 1)));
        for (room, near) in plan.rooms.iter().zip(near_rooms(plan, below)) {
            slabs.floors(storey, room, &near, below.is_some());
        }
        for (room, near) in plan.rooms.iter().zip(near_rooms(plan, above)) {
            slabs.roof(storey, room, near, above.is_some());
        }
    }
    slabs.slabs
}

/// For each room of a plan, those of another storey that may lie over or under it.
fn near_rooms<'a>(plan: &Plan, other: Option<&'a Plan>) -> Vec<Vec<&'a PlanRoom>> {
    let others = other.map_or(&[][..], |other| &other.rooms);
    let extents = |rooms: &[PlanRoom]| rooms.iter().map(|room| room.extent).collect::<Vec<_>>();
    let near = near(&extents(&plan.rooms), &extents(others));
    near.into_iter().map(|near| near.into_iter().map(|at| &others[at]).collect()).collect()
}

/// The clear part of a room that no other covers.
fn uncovered(room: &PlanRoom, others: &[&PlanRoom]) -> Vec<Shape> {
    let faces = others.iter().filter(|other| other.extent.meets(&room.clear_extent)).map(|other| other.face.clone());
    let faces: Vec<Shape> = faces.collect();
    if faces.is_empty() { room.clear.clone() } else { without(&room.clear, &faces) }
}

impl<'a> Slabs<'a> {
    /// What a room stands on.
    fn floors(&mut self, storey: usize, room: &'a PlanRoom, below: &[&'a PlanRoom], any_below: bool) {
        let part_over = |other: &&PlanRoom| {
            let reaches = other.extent.meets(&room.clear_extent);
            if reaches { common(&room.clear, std::slice::from_ref(&other.face)) } else { vec![] }
        };
        let mut parts: Vec<Vec<Shape>> = below.iter().map(part_over).collect();
        // Mostly the rooms below leave nothing of it, and their parts say so.
        let covered_m2: f64 = parts.iter().map(|pieces| total_area(pieces)).sum();
        let covers_all = any_below && total_area(&room.clear) - covered_m2 < PINHOLE_M2;
        parts.push(if covers_all { vec![] } else { uncovered(room, below) });
        absorb_slivers(&mut parts);
        let scene_storey = &self.site.storeys[storey];
        let floor = room.marker.floor.as_ref().unwrap_or(&scene_storey.floor);
        let (upper_id, upper) = (&room.marker.id, &room.marker.name);
        for (at, pieces) in parts.into_iter().enumerate().filter(|(_, pieces)| !pieces.is_empty()) {
            let on_ground = storey == 0 || scene_storey.level_m <= GROUND_LEVEL_M;
            let lower = below.get(at);
            let (role, other, build, id, name) = if let Some(lower) = lower {
                let name = format!("floor between {upper} and {}", lower.marker.name);
                (SlabRole::Floor, lower.space, floor.clone(), format!("floor:{upper_id}/{}", lower.marker.id), name)
            } else if on_ground {
                let build = FloorBuild::plain(scene_storey.ground.clone());
                let name = format!("ground floor of {upper}");
                (SlabRole::Ground, self.site.ground, build, format!("ground:{upper_id}"), name)
            } else {
                let name = format!("floor of {upper} over open air");
                (SlabRole::Soffit, self.site.outdoors, floor.clone(), format!("soffit:{upper_id}"), name)
            };
            let others = lower.map_or_else(|| below.to_vec(), |lower| vec![*lower]);
            let footprint = Footprint { pieces, room, others, over: lower.is_some() };
            self.add(role, storey, (id, name), [room.space, other], build, footprint);
        }
    }

    /// What lies over a room where no other room does.
    fn roof(&mut self, storey: usize, room: &'a PlanRoom, above: Vec<&'a PlanRoom>, any_above: bool) {
        let mut pieces = uncovered(room, &above);
        if any_above {
            pieces.retain(|piece| !is_sliver(piece));
        }
        if pieces.is_empty() {
            return;
        }
        let scene_storey = &self.site.storeys[storey];
        let build = FloorBuild::plain(room.marker.roof.clone().unwrap_or_else(|| scene_storey.roof.clone()));
        let (id, name) = (format!("roof:{}", room.marker.id), format!("roof over {}", room.marker.name));
        let footprint = Footprint { pieces, room, others: above, over: false };
        self.add(SlabRole::Roof, storey, (id, name), [self.site.outdoors, room.space], build, footprint);
    }

    fn add(
        &mut self,
        role: SlabRole,
        storey: usize,
        (id, name): (String, String),
        sides: [SpaceIndex; 2],
        build: FloorBuild,
        footprint: Footprint<'a>,
    ) {
        let at = &self.site.storeys[storey];
        let (boundary, level_m) = match role {
            SlabRole::Roof => (storey + 1, at.level_m + at.height_m),
            SlabRole::Floor | SlabRole::Ground | SlabRole::Soffit => (storey, at.level_m),
        };
        let FloorBuild { construction, joist_direction_deg, workmanship } = build;
        let area_m2 = total_area(&footprint.pieces);
        let element = ElementIndex(self.elements.len());
        self.elements.push(Element {
            id,
            name,
            size_m: rectangle_like(area_m2, total_perimeter(&footprint.pieces)),
            shape: ElementShape::Slab { role, storey, pieces: footprint.pieces.clone(), level_m },
            sides,
            area_m2,
            construction: construction.clone(),
            reversed: false,
            openings: vec![],
            joist_direction_deg,
            workmanship,
            fronts: [None, None],
        });
        self.slabs.push(Slab { element, boundary, footprint, construction, joist_direction_deg });
    }
}

/// Sides l1 ≥ l2 of the rectangle with the area and the perimeter given (a square when there is none), m.
/// Area and perimeter are what radiation from a plate depends on (ISO 12354-1:2017 Annex B), so these two are kept.
fn rectangle_like(area_m2: f64, perimeter_m: f64) -> [f64; 2] {
    let half_sum = 0.25 * perimeter_m;
    let root = (half_sum * half_sum - area_m2).max(0.0).sqrt();
    let longer = (half_sum + root).max(area_m2.sqrt());
    [longer, area_m2 / longer]
}

/// True for what differing wall thicknesses leave over: too small or too narrow to count for itself.
fn is_sliver(shape: &Shape) -> bool {
    let area = area(shape);
    area < SLIVER_M2 || 2.0 * area < SLIVER_WIDTH_M * total_perimeter(std::slice::from_ref(shape))
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
            // Of equal ones the first.
            let pieces =
                parts.iter().enumerate().rev().flat_map(|(at, part)| part.iter().rev().map(move |it| (at, it)));
            let fitting = pieces.filter(|(_, shape)| !touching || touches(shape, &sliver));
            fitting.max_by(|one, other| area(one.1).total_cmp(&area(other.1))).map(|(at, _)| at)
        };
        if let Some(at) = largest(true).or_else(|| largest(false)) {
            parts[at] = joined(&parts[at], &sliver);
        }
    }
}

/// Whether the middle of a side of the sliver lies in the shape, or within a millimetre of it.
fn touches(shape: &Shape, sliver: &Shape) -> bool {
    let all_sides = |shape: &'_ Shape| shape.iter().flat_map(|ring| sides(ring)).collect::<Vec<_>>();
    let own = all_sides(shape);
    all_sides(sliver)
        .into_iter()
        .map(|[a, b]| a.midpoint(b))
        .any(|point| contains(shape, point) || own.iter().any(|side| distance(point, *side) < 1e-3))
}

#[cfg(test)]
mod tests {
    use super::rectangle_like;

    #[test]
    fn a_rectangle_is_its_own_equivalent() {
        let [longer, shorter] = rectangle_like(20.0, 18.0);
        assert!((longer - 5.0).abs() < 1e-12 && (shorter - 4.0).abs() < 1e-12);
    }
}
