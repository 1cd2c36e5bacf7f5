//! What a loud room can take yet: load, height, ways out, walls.

use super::ask::Ask;
use crate::building::{ElementShape, SlabRole, SpaceIndex, SpaceKind, marker_of};
use crate::catalogue::Catalogue;
use crate::project::Solved;
use crate::solve::limits;
use crate::solve::limits::figures::PERSON_KG;

/// Most of each resource that may be used in a room: load on the old floor, kg/m², clear height, m, ways out into the open, walls to be lined.
pub(super) fn most(base: &Solved, room: SpaceIndex, ask: &Ask) -> [f64; 4] {
    let SpaceKind::Room(space) = &base.building.spaces[room.0].kind else { return [f64::INFINITY; 4] };
    let load_kg_m2 = match on_ground(base, room) {
        true => f64::INFINITY,
        false => (ask.max_floor_load_kg_m2 - floor_kg_m2(base, room) - people_kg_m2(base, room)).max(0.0),
    };
    // One way out is left where there is one, and one wall where a flame needs the air.
    let [ways_out, walls] = left(base, room);
    let flames = marker_of(&base.scene, &space.room).is_some_and(|room| room.flames);
    let all_but_one = |count: f64| if count > 0.0 { count - 1.0 } else { f64::INFINITY };
    let walls = if flames { all_but_one(walls) } else { f64::INFINITY };
    [load_kg_m2, (space.height_m - ask.min_headroom_m).max(0.0), all_but_one(ways_out), walls]
}

/// What is open yet of a room: ways out into the open, and walls without a lining.
pub(super) fn left(solved: &Solved, room: SpaceIndex) -> [f64; 2] {
    let open = limits::open(&solved.scene, Catalogue::built_in_ref(), &solved.building, &solved.answer, room);
    open.map_or([0.0; 2], |open| [open.ways_out as f64, open.walls as f64])
}

/// What shells and platforms put on the old floor of a room, kg/m² in the mean.
pub(super) fn floor_kg_m2(solved: &Solved, room: SpaceIndex) -> f64 {
    let shell = solved.answer.shells.iter().find(|shell| shell.space == room);
    let SpaceKind::Room(space) = &solved.building.spaces[room.0].kind else { return 0.0 };
    let area_m2 = space.before_shell.as_ref().map_or(space.area_m2, |bare| bare.area_m2);
    let placed = solved.building.sources.iter().filter(|placed| placed.space == room);
    // Feet on one platform share its load.
    let platforms = placed.map(|placed| {
        let mounts = solved.answer.mounts.iter().filter(|mount| mount.source == placed.source);
        mounts.map(|mount| mount.load_kg).fold(0.0, f64::max)
    });
    shell.map_or(0.0, |shell| shell.on_floor_kg_m2()) + platforms.sum::<f64>() / area_m2
}

/// People in a loud room, kg/m² of its floor.
fn people_kg_m2(solved: &Solved, room: SpaceIndex) -> f64 {
    let SpaceKind::Room(space) = &solved.building.spaces[room.0].kind else { return 0.0 };
    f64::from(solved.scene.played.people.unwrap_or(1)) * PERSON_KG.value / space.area_m2
}

/// True where a room's floor lies on the ground, which carries more.
pub(super) fn on_ground(solved: &Solved, room: SpaceIndex) -> bool {
    let below = solved.building.elements.iter().filter(|element| element.sides[0] == room);
    let mut slabs = below.filter_map(|element| match &element.shape {
        ElementShape::Slab { role, .. } => Some(*role),
        ElementShape::Wall { .. } => None,
    });
    slabs.all(|role| role == SlabRole::Ground)
}
