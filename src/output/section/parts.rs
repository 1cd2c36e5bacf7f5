//! What a cut goes through: rooms, walls, openings and slabs as boxes on the section, and the mass that joins them.

use crate::building::{
    Building, Element, ElementIndex, ElementShape, PlacedOpening, RoomSpace, SlabRole, SpaceIndex, SpaceKind,
};
use crate::catalogue::{Catalogue, Construction};
use crate::output::drawing::Point;
use crate::output::names;
use crate::output::page::geometry::{Patch, WallBand, band, storey_walls, wall_outline};
use crate::output::section::cut::Cut;
use crate::scene::Scene;
use crate::solve::Surface;

/// Storeys further apart than this are not joined by their walls, m.
const FAR_APART_M: f64 = 1.5;
/// Boxes this near to each other touch, m.
const TOUCH_M: f64 = 0.05;
/// Least thickness of what is drawn as a solid, m.
const LEAST_M: f64 = 0.02;

/// A part of a room that the cut goes through.
#[derive(Debug, Clone)]
pub(super) struct CutRoom {
    pub(super) space: SpaceIndex,
    /// What is clear.
    pub(super) clear: Patch,
    /// What was clear without its inner shell.
    pub(super) bare: Option<Patch>,
}

/// A wall or slab that the cut goes through.
#[derive(Debug, Clone, Copy)]
pub(super) struct CutElement {
    pub(super) element: ElementIndex,
    pub(super) patch: Patch,
}

/// An opening that the cut goes through, or one seen behind it.
#[derive(Debug, Clone, Copy)]
pub(super) struct CutOpening {
    pub(super) element: ElementIndex,
    /// Its position in the element's list.
    pub(super) at: usize,
    pub(super) patch: Patch,
}

impl CutOpening {
    /// True for the face of the opening, and of the gap round it.
    pub(super) fn is(&self, face: Surface) -> bool {
        matches!(face, Surface::Opening(element, at) | Surface::Gap(element, at) if (element, at) == (self.element, self.at))
    }
}

/// Everything a cut goes through.
#[derive(Debug, Clone, Default)]
pub(super) struct Parts {
    pub(super) rooms: Vec<CutRoom>,
    pub(super) walls: Vec<CutElement>,
    pub(super) openings: Vec<CutOpening>,
    pub(super) slabs: Vec<CutElement>,
    /// Walls with their ends in the floors and roofs.
    pub(super) mass: Vec<Patch>,
    /// Walls and openings of the rooms cut that stand behind the cut, as far as the room shows them.
    pub(super) behind: Vec<CutElement>,
    pub(super) windows_behind: Vec<CutOpening>,
}

impl Parts {
    /// Cuts a building.
    pub(super) fn of(scene: &Scene, building: &Building, cut: &Cut) -> Self {
        let mut parts = Self::default();
        if !cut.is_line() {
            return parts;
        }
        for (at, space) in building.spaces.iter().enumerate() {
            if let SpaceKind::Room(room) = &space.kind
                && let Some(storey) = scene.storeys.get(room.storey)
            {
                parts.room(SpaceIndex(at), room, storey.level_m, cut);
            }
        }
        for (at, element) in building.elements.iter().enumerate() {
            let element_at = ElementIndex(at);
            match &element.shape {
                ElementShape::Wall { line, thickness_m, height_m, level_m, .. } => {
                    for run in cut.crossings(&[band(*line, thickness_m.max(LEAST_M))]) {
                        parts
                            .walls
                            .push(CutElement { element: element_at, patch: patch(run, *level_m, level_m + height_m) });
                    }
                    for (index, opening) in element.openings.iter().enumerate() {
                        let heights = opening_heights(opening, *level_m);
                        for run in cut.crossings(&[band(opening.line, thickness_m.max(LEAST_M))]) {
                            let patch = patch(run, heights[0], heights[1]);
                            parts.openings.push(CutOpening { element: element_at, at: index, patch });
                        }
                    }
                }
                ElementShape::Slab { role, pieces, level_m, .. } => {
                    let found = Catalogue::built_in_ref().resolve(&scene.constructions, &element.construction);
                    let deep_m = found.map_or(0.0, Construction::thickness_m).max(LEAST_M);
                    let [bottom, top] = match role {
                        SlabRole::Roof => [*level_m, level_m + deep_m],
                        SlabRole::Floor => [ceiling_below(scene, building, element, *level_m, deep_m), *level_m],
                        SlabRole::Ground | SlabRole::Soffit => [level_m - deep_m, *level_m],
                    };
                    for run in pieces.iter().flat_map(|rings| cut.crossings(rings)) {
                        parts.slabs.push(CutElement { element: element_at, patch: patch(run, bottom, top) });
                    }
                }
            }
        }
        parts.join(scene, building, cut);
        parts.look_behind(building, cut);
        parts
    }

    fn room(&mut self, space: SpaceIndex, room: &RoomSpace, level_m: f64, cut: &Cut) {
        let before = room.before_shell.as_ref();
        let foot = level_m + before.map_or(0.0, |bare| bare.step_m);
        let whole: Vec<[f64; 2]> = before.map_or_else(Vec::new, |bare| cut.crossings(&bare.outline));
        for run in cut.crossings(&room.outline) {
            let clear = patch(run, foot, foot + room.height_m);
            let bare = whole.iter().find(|outer| outer[0] <= run[0] + TOUCH_M && run[1] <= outer[1] + TOUCH_M);
            let bare = bare.zip(before).map(|(outer, bare)| patch(*outer, level_m, level_m + bare.height_m));
            self.rooms.push(CutRoom { space, clear, bare });
        }
    }

    /// Walls reach through the floors they stand on and carry, and to the top of the roof beside them.
    fn join(&mut self, scene: &Scene, building: &Building, cut: &Cut) {
        let runs: Vec<Vec<[f64; 2]>> =
            (0..scene.storeys.len()).map(|storey| solid_runs(building, storey, cut)).collect();
        let built = |storey: usize, s: f64| {
            let holds = |run: &[f64; 2]| run[0] - TOUCH_M <= s && s <= run[1] + TOUCH_M;
            runs[storey].iter().any(holds)
                || building.spaces.iter().any(|space| match &space.kind {
                    SpaceKind::Room(room) if room.storey == storey => cut.crossings(&room.outline).iter().any(holds),
                    _ => false,
                })
        };
        for (at, storey) in scene.storeys.iter().enumerate() {
            let (foot, ceiling) = (storey.level_m, storey.level_m + storey.height_m);
            for run in &runs[at] {
                let middle = 0.5 * (run[0] + run[1]);
                let over = scene.storeys.get(at + 1).filter(|_| built(at + 1, middle)).map(|upper| upper.level_m);
                let over = over.filter(|level| (ceiling..ceiling + FAR_APART_M).contains(level));
                let under = at.checked_sub(1).filter(|lower| built(*lower, middle)).map(|lower| &scene.storeys[lower]);
                let under = under.map(|lower| lower.level_m + lower.height_m);
                let under = under.filter(|ceiling| (foot - FAR_APART_M..foot).contains(ceiling));
                let beside = |wanted: &dyn Fn(&Patch) -> bool| -> Vec<Patch> {
                    let near = self.slabs.iter().map(|slab| slab.patch);
                    let touches = |slab: &Patch| slab.min[0] <= run[1] + TOUCH_M && run[0] - TOUCH_M <= slab.max[0];
                    near.filter(|slab| touches(slab) && wanted(slab)).collect()
                };
                let top = over.unwrap_or_else(|| {
                    let roofs = beside(&|slab| (slab.min[1] - ceiling).abs() < TOUCH_M);
                    roofs.iter().map(|slab| slab.max[1]).fold(ceiling, f64::max)
                });
                let bottom = under.unwrap_or_else(|| {
                    let floors = beside(&|slab| (slab.max[1] - foot).abs() < TOUCH_M);
                    floors.iter().map(|slab| slab.min[1]).fold(foot, f64::min)
                });
                self.mass.push(patch(*run, bottom, top));
            }
        }
    }

    /// The walls and openings that close the rooms cut towards the back.
    fn look_behind(&mut self, building: &Building, cut: &Cut) {
        for room in &self.rooms {
            for element in building.facing(room.space) {
                let found = &building.elements[element.0];
                let ElementShape::Wall { line, level_m, .. } = &found.shape else { continue };
                // A wall that is itself cut here is not behind.
                if line.iter().any(|end| cut.off_m(*end) < 0.0) {
                    continue;
                }
                let seen = |line: [Point; 2]| {
                    let ends = line.map(|end| cut.along_m(end));
                    let run =
                        [ends[0].min(ends[1]).max(room.clear.min[0]), ends[0].max(ends[1]).min(room.clear.max[0])];
                    (run[1] - run[0] > 0.1).then_some(run)
                };
                if let Some(run) = seen(*line) {
                    self.behind.push(CutElement { element, patch: patch(run, room.clear.min[1], room.clear.max[1]) });
                }
                for (at, opening) in found.openings.iter().enumerate() {
                    let Some(run) = seen(opening.line) else { continue };
                    let [low, high] = opening_heights(opening, *level_m);
                    let [low, high] = [low.max(room.clear.min[1]), high.min(room.clear.max[1])];
                    if high > low {
                        self.windows_behind.push(CutOpening { element, at, patch: patch(run, low, high) });
                    }
                }
            }
        }
    }

    /// Every solid the cut goes through.
    pub(super) fn solids(&self) -> impl Iterator<Item = Patch> + '_ {
        self.mass.iter().copied().chain(self.slabs.iter().chain(&self.walls).map(|solid| solid.patch))
    }

    /// The box round all of it; nothing where the cut meets nothing.
    pub(super) fn extent(&self) -> Option<Patch> {
        let clear = self.rooms.iter().map(|room| room.clear);
        let corners: Vec<Point> = self.solids().chain(clear).flat_map(|patch| [patch.min, patch.max]).collect();
        (!corners.is_empty()).then(|| Patch::around(&corners))
    }
}

/// Lower and upper edge of an opening above the street, m.
pub(super) fn opening_heights(opening: &PlacedOpening, level_m: f64) -> [f64; 2] {
    let sill_m = level_m + opening.sill_m;
    [sill_m, sill_m + opening.size_m[1]]
}

fn patch(run: [f64; 2], bottom: f64, top: f64) -> Patch {
    Patch { min: [run[0], bottom], max: [run[1], top] }
}

/// Where the cut runs in the walls of a storey, corners included, m.
fn solid_runs(building: &Building, storey: usize, cut: &Cut) -> Vec<[f64; 2]> {
    let bands: Vec<WallBand> = storey_walls(building, storey).into_iter().map(|(_, wall)| wall).collect();
    wall_outline(&bands).iter().flat_map(|rings| cut.crossings(rings)).collect()
}

/// Underside of a floor: the ceiling of the room below, or its own thickness below its top where that ceiling is not near.
fn ceiling_below(scene: &Scene, building: &Building, floor: &Element, level_m: f64, deep_m: f64) -> f64 {
    let rooms = floor.sides.iter().filter_map(|side| names::room(building, *side));
    let lower = rooms.filter_map(|room| scene.storeys.get(room.storey));
    let ceilings = lower.map(|storey| storey.level_m + storey.height_m).filter(|ceiling| *ceiling < level_m - LEAST_M);
    let found = ceilings.reduce(f64::max).filter(|ceiling| level_m - ceiling < FAR_APART_M);
    found.unwrap_or(level_m - deep_m)
}
