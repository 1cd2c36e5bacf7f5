//! What the solver needs to know of a building.

use std::sync::Arc;

use serde::Serialize;

use crate::scene::{
    Cover, DuctId, ListenerId, OpeningId, RoomId, ShellFace, ShellOpening, SourceId, Usage, WallId, Workmanship,
};

/// Position of a space in [`Building::spaces`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct SpaceIndex(pub usize);

/// Position of an element in [`Building::elements`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct ElementIndex(pub usize);

/// Position of a junction in [`Building::junctions`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct JunctionIndex(pub usize);

/// A building as sound meets it.
#[derive(Debug, Clone, PartialEq)]
pub struct Building {
    /// Rooms first (in the order of storeys and room markers), then the outdoors, then the ground.
    pub spaces: Arc<[Space]>,
    /// Walls, slabs, roofs, ground floors.
    pub elements: Arc<[Element]>,
    /// Lines where elements meet.
    pub junctions: Arc<[Junction]>,
    /// Where each source is.
    pub sources: Vec<PlacedSource>,
    /// Where each listener is.
    pub listeners: Vec<PlacedListener>,
    /// Air ducts and the spaces at their ends.
    pub ducts: Vec<PlacedDuct>,
}

/// A space.
#[derive(Debug, Clone, PartialEq)]
pub struct Space {
    /// What it is.
    pub kind: SpaceKind,
    /// Name people read: "rehearsal room", "outdoors", "ground".
    pub name: String,
}

/// What a space is.
#[derive(Debug, Clone, PartialEq)]
pub enum SpaceKind {
    /// An enclosed face with a marker.
    Room(RoomSpace),
    /// Everything outside, as one space.
    Outdoors,
    /// What the lowest floors lie on: takes sound and gives none back.
    Ground,
}

/// An enclosed room.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomSpace {
    /// Its marker; see [`super::marker_of`] for a face without one.
    pub room: RoomId,
    /// Storey, position in the scene.
    pub storey: usize,
    /// What it is used as.
    pub usage: Usage,
    /// Clear outline between wall faces, m; the first ring is the outer one, counter-clockwise, any others are holes (clockwise),
    /// or further parts (counter-clockwise) where free-standing walls all but cut the room in two.
    pub outline: Vec<Vec<[f64; 2]>>,
    /// Clear floor area, m².
    pub area_m2: f64,
    /// Length of the clear outline, m.
    pub perimeter_m: f64,
    /// Clear height, m.
    pub height_m: f64,
    /// Volume, m³: area times height, or the user's.
    pub volume_m3: f64,
    /// The room without its inner shell; nothing for a room without one.
    pub before_shell: Option<Bare>,
}

/// A room as it was before an inner shell took its part. `outline` and all sizes of [`RoomSpace`] are those within the shell.
#[derive(Debug, Clone, PartialEq)]
pub struct Bare {
    /// Clear outline, m, as [`RoomSpace::outline`].
    pub outline: Vec<Vec<[f64; 2]>>,
    /// Clear floor area, m².
    pub area_m2: f64,
    /// Clear height, m.
    pub height_m: f64,
    /// How far the shell's walkable floor lies above the old one, m.
    pub step_m: f64,
}

/// A face of an inner shell before an element.
#[derive(Debug, Clone, PartialEq)]
pub struct Front {
    /// What it is.
    pub face: ShellFace,
    /// True when the construction's layers run from the old face into the room instead.
    pub reversed: bool,
}

/// What stands before an opening on a room's side.
#[derive(Debug, Clone, PartialEq)]
pub enum OpeningFront {
    /// A cover panel.
    Cover(Cover),
    /// The inner shell, closed there.
    Shell(Front),
    /// A door or window of the inner shell.
    Leaf {
        /// What it is.
        leaf: ShellOpening,
        /// Distance from the old opening, mm.
        gap_mm: f64,
    },
}

impl OpeningFront {
    /// How well it was built.
    #[must_use]
    pub fn workmanship(&self) -> Workmanship {
        match self {
            Self::Cover(cover) => cover.workmanship,
            Self::Shell(front) => front.face.workmanship,
            Self::Leaf { leaf, .. } => leaf.workmanship,
        }
    }
}

/// A wall, slab, roof or ground floor between two spaces.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// Stable id made of scene ids: "first/w3", or "floor:rehearsal/shop" (upper/lower), "roof:loft", "ground:shop".
    pub id: String,
    /// Name people read: "wall between rehearsal room and landing", "floor between rehearsal room and shop".
    pub name: String,
    /// What it is, with its place in the plan.
    pub shape: ElementShape,
    /// The spaces on both sides: of a wall left and right (seen from first to second node of its line), of a slab above and below.
    pub sides: [SpaceIndex; 2],
    /// Gross clear area common to both sides, openings included, m².
    pub area_m2: f64,
    /// Longer and shorter side of the rectangle taken for it, m; product equals `area_m2`.
    pub size_m: [f64; 2],
    /// Construction id. Layers run from `sides[0]` to `sides[1]`, unless `reversed`.
    pub construction: String,
    /// True when the construction's layers run from `sides[1]` to `sides[0]`.
    pub reversed: bool,
    /// What is set into it.
    pub openings: Vec<PlacedOpening>,
    /// Direction of its joists, degrees from the x axis.
    pub joist_direction_deg: Option<f64>,
    /// How well it was built.
    pub workmanship: Workmanship,
    /// The faces of inner shells before it, on the side of `sides[0]` and of `sides[1]`.
    pub fronts: [Option<Front>; 2],
}

/// What an element is, with its place.
#[derive(Debug, Clone, PartialEq)]
pub enum ElementShape {
    /// A wall along a straight line of the plan.
    Wall {
        /// Storey, position in the scene.
        storey: usize,
        /// The scene's walls it is made of (several where collinear pieces were joined).
        walls: Vec<WallId>,
        /// First and second end of the middle line, m.
        line: [[f64; 2]; 2],
        /// Thickness, m.
        thickness_m: f64,
        /// Height, m.
        height_m: f64,
        /// Height of its foot (the walking surface) above the street, m.
        level_m: f64,
    },
    /// A slab between storeys, a roof or a ground floor.
    Slab {
        /// What it is.
        role: SlabRole,
        /// Storey of the room above it (of a roof: of the room below it), position in the scene.
        storey: usize,
        /// Outline pieces, m: each a list of rings, the outer one first.
        pieces: Vec<Vec<Vec<[f64; 2]>>>,
        /// Height above the street, m.
        level_m: f64,
    },
}

/// What a slab is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SlabRole {
    /// Between two rooms.
    Floor,
    /// Above a room, open air over it.
    Roof,
    /// Below a room, ground under it.
    Ground,
    /// Below a room that stands out over open air.
    Soffit,
}

/// An opening in its element.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedOpening {
    /// Scene id.
    pub opening: OpeningId,
    /// Storey, position in the scene.
    pub storey: usize,
    /// Name people read.
    pub name: String,
    /// Construction id.
    pub construction: String,
    /// Middle of the opening in the plan, m.
    pub at: [f64; 2],
    /// Near and far end along the wall's line, m in the plan.
    pub line: [[f64; 2]; 2],
    /// Width and height, m.
    pub size_m: [f64; 2],
    /// Height of the lower edge above the walking surface, m.
    pub sill_m: f64,
    /// Seal id.
    pub seal: Option<String>,
    /// Gap under it, mm.
    pub undercut_mm: f64,
    /// How well it was built.
    pub workmanship: Workmanship,
    /// What stands before it, from the opening outwards, on the side of its element's `sides[0]` and of `sides[1]`.
    pub fronts: [Vec<OpeningFront>; 2],
}

impl PlacedOpening {
    /// Area, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.size_m[0] * self.size_m[1]
    }
}

/// A line where two to four elements meet (more where walls fan out).
#[derive(Debug, Clone, PartialEq)]
pub struct Junction {
    /// How it runs.
    pub kind: JunctionKind,
    /// Length, m.
    pub length_m: f64,
    /// Both ends of its line in the plan, m; of a vertical one twice the same point.
    pub line: [[f64; 2]; 2],
    /// Storey (of a horizontal junction: the one above; at the highest roof the one below), position in the scene.
    pub storey: usize,
    /// The elements that meet.
    pub arms: Vec<Arm>,
}

/// How a junction runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum JunctionKind {
    /// Upright: walls meeting at a node.
    #[serde(rename = "standing")]
    Vertical,
    /// Level: walls and slabs meeting along a line.
    #[serde(rename = "lying")]
    Horizontal,
}

/// One element at a junction.
#[derive(Debug, Clone, PartialEq)]
pub struct Arm {
    /// The element.
    pub element: ElementIndex,
    /// The arm that goes straight on from this one, as a position in [`Junction::arms`].
    pub straight: Option<usize>,
    /// True when this arm and its straight one are one piece, running through the junction (joists over a wall, a slab cast through).
    pub continuous: bool,
}

/// A source and the space it is in.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedSource {
    /// Scene id.
    pub source: SourceId,
    /// The space it sounds in.
    pub space: SpaceIndex,
    /// Storey, position in the scene.
    pub storey: usize,
    /// Where, m.
    pub at: [f64; 2],
    /// For each of its contacts the floor or wall it touches; nothing where its room has no floor.
    pub touched: Vec<Option<ElementIndex>>,
}

/// A listener and the space they are in.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedListener {
    /// Scene id.
    pub listener: ListenerId,
    /// The space they hear in.
    pub space: SpaceIndex,
    /// Storey, position in the scene.
    pub storey: usize,
    /// Where, m.
    pub at: [f64; 2],
    /// Height of the ears above the street, m.
    pub height_m: f64,
}

/// A duct and the spaces it joins.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedDuct {
    /// Scene id.
    pub duct: DuctId,
    /// Name people read.
    pub name: String,
    /// Its mouths, in two different spaces, one of them a room at least.
    pub ends: [PlacedMouth; 2],
}

/// A mouth of a duct.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedMouth {
    /// The space it opens into.
    pub space: SpaceIndex,
    /// Storey, position in the scene.
    pub storey: usize,
    /// Where, m.
    pub at: [f64; 2],
    /// Height above the street, m.
    pub height_m: f64,
}

impl Building {
    /// True for a loft or a void: a space sound passes, and no one lives in.
    #[must_use]
    pub fn is_void(&self, space: SpaceIndex) -> bool {
        matches!(self.spaces.get(space.0), Some(Space { kind: SpaceKind::Room(room), .. }) if room.usage.is_void())
    }

    /// The storey id's position is what every `storey` field holds; this finds the elements that face a space.
    pub fn facing(&self, space: SpaceIndex) -> impl Iterator<Item = ElementIndex> + '_ {
        self.elements
            .iter()
            .enumerate()
            .filter(move |(_, element)| element.sides.contains(&space))
            .map(|(at, _)| ElementIndex(at))
    }

    /// The outdoors.
    #[must_use]
    pub fn outdoors(&self) -> SpaceIndex {
        let at = self.spaces.iter().position(|space| space.kind == SpaceKind::Outdoors);
        SpaceIndex(at.expect("every building has an outdoors"))
    }
}
