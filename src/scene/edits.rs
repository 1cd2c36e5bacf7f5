//! The types of edits: what can be picked, put and done. Values that are kept in files too: a variant is a list of them.

use serde::{Deserialize, Serialize};

use super::ids::{DuctId, ListenerId, NodeId, OpeningId, RoomId, SourceId, StoreyId, WallId};
use super::model::{AirConditions, Opening, Outdoors, Override, Room, Scene, Storey, Wall};
use super::saved_view::SavedView;
use super::shell::{Cover, InnerShell, ShellFace, ShellOpening};
use super::sound::{Duct, Listener, Mount, Played, Source};
use super::variant::Variant;
use crate::catalogue::Construction;

/// A point of the plan, m.
pub type Point = [f64; 2];

/// Something of a scene that can be picked.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Pick {
    /// A corner.
    Node(StoreyId, NodeId),
    /// A wall.
    Wall(StoreyId, WallId),
    /// An opening.
    Opening(StoreyId, OpeningId),
    /// A room, by its marker.
    Room(StoreyId, RoomId),
    /// A source.
    Source(SourceId),
    /// A contact point of a source: its position in the source's list.
    Contact(SourceId, usize),
    /// A listener.
    Listener(ListenerId),
    /// An air duct, with both mouths.
    Duct(DuctId),
    /// A mouth of an air duct: its position among the two.
    Mouth(DuctId, usize),
}

/// Something put into a scene whole: in the place of what has its id, else beside what is there.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(clippy::large_enum_variant, reason = "edits are few")]
pub enum Item {
    /// What the scene says of itself.
    Properties(SceneProperties),
    /// A storey of the scene, with all that is on it. What stands on higher ones rises with its ceiling.
    Storey(Storey),
    /// A wall between two corners that exist.
    Wall(StoreyId, Wall),
    /// An opening.
    Opening(StoreyId, Opening),
    /// A room marker.
    Room(StoreyId, Room),
    /// A source.
    Source(Source),
    /// A listener.
    Listener(Listener),
    /// An air duct.
    Duct(Duct),
    /// A construction of the scene's own.
    Construction(Construction),
    /// All overrides.
    Overrides(Vec<Override>),
    /// All views to be shown to others.
    Views(Vec<SavedView>),
    /// All variants.
    Variants(Vec<Variant>),
}

impl Pick {
    /// The storey it is on, where it is part of one.
    #[must_use]
    pub fn storey(&self) -> Option<&StoreyId> {
        match self {
            Self::Node(on, _) | Self::Wall(on, _) | Self::Opening(on, _) | Self::Room(on, _) => Some(on),
            Self::Source(_) | Self::Contact(..) | Self::Listener(_) | Self::Duct(_) | Self::Mouth(..) => None,
        }
    }
}

impl Item {
    /// What is picked as it stands: of a contact its source, of a mouth its duct. Nothing for a corner, and for what is not there.
    #[must_use]
    pub fn of(scene: &Scene, pick: &Pick) -> Option<Self> {
        let storey = |id: &StoreyId| scene.storeys.iter().find(|storey| storey.id == *id);
        Some(match pick {
            Pick::Wall(on, id) => Self::Wall(on.clone(), storey(on)?.walls.iter().find(|it| it.id == *id)?.clone()),
            Pick::Opening(on, id) => {
                Self::Opening(on.clone(), storey(on)?.openings.iter().find(|it| it.id == *id)?.clone())
            }
            Pick::Room(on, id) => Self::Room(on.clone(), storey(on)?.rooms.iter().find(|it| it.id == *id)?.clone()),
            Pick::Source(id) | Pick::Contact(id, _) => {
                Self::Source(scene.sources.iter().find(|it| it.id == *id)?.clone())
            }
            Pick::Listener(id) => Self::Listener(scene.listeners.iter().find(|it| it.id == *id)?.clone()),
            Pick::Duct(id) | Pick::Mouth(id, _) => Self::Duct(scene.ducts.iter().find(|it| it.id == *id)?.clone()),
            Pick::Node(..) => return None,
        })
    }
}

/// What a scene says of itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SceneProperties {
    /// Title people read.
    pub name: String,
    /// A few sentences.
    pub about: String,
    /// Air indoors.
    pub air: AirConditions,
    /// What lies round the building.
    pub outdoors: Outdoors,
    /// Where, when and for what it is played.
    pub played: Played,
}

impl SceneProperties {
    /// What a scene says now.
    #[must_use]
    pub fn of(scene: &Scene) -> Self {
        let Scene { name, about, air, outdoors, played, .. } = scene.clone();
        Self { name, about, air, outdoors, played }
    }
}

/// One change of a scene: what one gesture does, and one undo takes back.
///
/// Walls and openings are unique in their storey only: where the word alone would mean several, [`Edit::Wall`] and the like take "storey/word".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(clippy::large_enum_variant, reason = "edits are few")]
pub enum Edit {
    /// Puts something in whole.
    Put(Item),
    /// Walls from corner to corner. Ends that touch corners or walls join them, crossing walls are cut.
    Draw {
        /// Storey.
        storey: StoreyId,
        /// At least two points, m; closed when the last is the first.
        points: Vec<Point>,
        /// Construction id of the walls.
        construction: String,
    },
    /// Four walls and a marker.
    Rectangle {
        /// Storey.
        storey: StoreyId,
        /// Two opposite corners, m.
        corners: [Point; 2],
        /// Construction id of the walls.
        construction: String,
        /// Name of the room.
        name: String,
    },
    /// Moves things. Walls that hang on moved corners follow.
    Move {
        /// What.
        picks: Vec<Pick>,
        /// How far, m.
        by: Point,
    },
    /// Gives a wall a length by moving its second node along it; `false` moves the first.
    Length {
        /// Storey.
        storey: StoreyId,
        /// Wall.
        wall: WallId,
        /// New length, m.
        length_m: f64,
        /// Which end moves.
        second: bool,
    },
    /// Takes things away. Walls left over in one line become one again.
    Delete(Vec<Pick>),
    /// Copies things beside themselves; a single opening to where its wall has room.
    Duplicate {
        /// What.
        picks: Vec<Pick>,
        /// How far away, m; see `edit::beside`.
        by: Point,
    },
    /// Turns things over about the middle of all of them, left for right (or front for back).
    Mirror {
        /// What.
        picks: Vec<Pick>,
        /// False for front and back.
        sideways: bool,
    },
    /// A new storey on top with the plan of this one: walls, openings and rooms, no sources or listeners.
    CopyUp(StoreyId),
    /// An empty storey on top (or the first).
    AddStorey,
    /// Takes a storey away with all that is on it.
    RemoveStorey(StoreyId),
    /// Forgets a construction of the scene's own.
    ForgetConstruction(String),
    /// Builds a wall of something else: its id, the construction's id.
    Wall(WallId, String),
    /// Builds the floor under a storey of something else: the storey's id, the construction's id.
    Floor(StoreyId, String),
    /// Puts another window, door or vent in the place of one: its id, the construction's id.
    Opening(OpeningId, String),
    /// Seals an opening: its id, the seal's id, and the gap left under it, mm.
    Seal(OpeningId, String, f64),
    /// Puts a cover panel before an opening.
    Cover(OpeningId, Cover),
    /// Brings an area of a finish into a room: its id, the finish's id, m².
    Finish(RoomId, String, f64),
    /// Builds a room within a room, in place of the one it has.
    Shell(RoomId, InnerShell),
    /// Builds the face of an inner shell before one wall of a room.
    ShellWall(RoomId, WallId, ShellFace),
    /// Builds the ceiling of an inner shell.
    ShellCeiling(RoomId, ShellFace),
    /// Builds the floor of an inner shell.
    ShellFloor(RoomId, ShellFace),
    /// Sets a door or window into an inner shell.
    ShellOpening(RoomId, ShellOpening),
    /// Stands all of a source that touches the floor on the same platform or isolators.
    Mount(SourceId, Mount),
    /// Makes a source softer by so many dB, and what it does to the floor with it.
    Softer(SourceId, f64),
    /// Moves a source with all that it touches the floor with: to a storey, to a point, m.
    PlayAt(SourceId, StoreyId, Point),
    /// Plays at other clock hours, from and to, and for so many hours a day.
    Hours((f64, f64), f64),
    /// Holds a listener to another limit: the target's id.
    Limit(ListenerId, String),
}

impl Edit {
    /// What it is called in the list of steps: "Draw walls".
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Put(item) => match item {
                Item::Properties(_) => "change the scene's name or surroundings".to_owned(),
                Item::Storey(storey) => format!("change {}", storey.name),
                Item::Wall(_, wall) => format!("change wall {}", wall.id),
                Item::Opening(_, opening) => format!("set opening {}", opening.id),
                Item::Room(_, room) => format!("set room {}", room.name),
                Item::Source(source) => format!("set {}", source.name),
                Item::Listener(listener) => format!("set {}", listener.name),
                Item::Duct(duct) => format!("set {}", duct.name),
                Item::Construction(construction) => format!("set construction {}", construction.name),
                Item::Overrides(_) => "change what was measured".to_owned(),
                Item::Views(_) => "change the views to show".to_owned(),
                Item::Variants(_) => "change the variants".to_owned(),
            },
            Self::Draw { .. } => "draw walls".to_owned(),
            Self::Rectangle { name, .. } => format!("draw {name}"),
            Self::Move { .. } => "move".to_owned(),
            Self::Length { .. } => "set a length".to_owned(),
            Self::Delete(_) => "delete".to_owned(),
            Self::Duplicate { .. } => "duplicate".to_owned(),
            Self::Mirror { .. } => "mirror".to_owned(),
            Self::CopyUp(_) => "copy the storey upwards".to_owned(),
            Self::AddStorey => "add a storey".to_owned(),
            Self::RemoveStorey(_) => "remove a storey".to_owned(),
            Self::ForgetConstruction(_) => "forget a construction".to_owned(),
            Self::Wall(id, construction) => format!("build wall {id} as {construction}"),
            Self::Floor(id, construction) => format!("build the floor of {id} as {construction}"),
            Self::Opening(id, construction) => format!("put {construction} in the place of {id}"),
            Self::Seal(id, seal, _) => format!("seal {id} with {seal}"),
            Self::Cover(id, _) => format!("cover {id}"),
            Self::Finish(room, finish, area_m2) => format!("bring {area_m2} m² of {finish} into {room}"),
            Self::Shell(room, _) => format!("build a room within {room}"),
            Self::ShellWall(room, wall, face) => format!("build {} before wall {wall} of {room}", face.construction),
            Self::ShellCeiling(room, face) => format!("build {} below the ceiling of {room}", face.construction),
            Self::ShellFloor(room, face) => format!("build {} on the floor of {room}", face.construction),
            Self::ShellOpening(_, opening) => format!("set {} before {}", opening.construction, opening.before),
            Self::Mount(source, _) => format!("put {source} on a platform"),
            Self::Softer(source, db) => format!("play {source} {db} dB softer"),
            Self::PlayAt(source, storey, [x, y]) => format!("move {source} to {x}, {y} of {storey}"),
            Self::Hours((from, to), hours) => format!("play {hours} h a day between {from} and {to} h"),
            Self::Limit(listener, target) => format!("hold {listener} to {target}"),
        }
    }
}
