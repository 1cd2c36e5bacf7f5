//! The types of a scene, format 1. Metres, plan view: x to the right, y up, storeys from the lowest upwards.

use serde::{Deserialize, Serialize};

use super::ids::{NodeId, OpeningId, RoomId, StoreyId, WallId, is_usual};
use super::prices::Prices;
use super::saved_view::SavedView;
use super::shell::{Cover, InnerShell};
use super::sound::{Background, Duct, Listener, Played, Source};
use super::variant::Variant;
use super::workmanship::Workmanship;
use crate::catalogue::Construction;

/// The file format this program writes.
pub const FORMAT: u32 = 1;

/// A whole scene: one file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scene {
    /// Version of the file format: [`FORMAT`].
    pub format: u32,
    /// Title people read.
    pub name: String,
    /// A few sentences on what it shows.
    #[serde(default)]
    pub about: String,
    /// Air indoors.
    #[serde(default)]
    pub air: AirConditions,
    /// What lies round the building.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub outdoors: Outdoors,
    /// Where, when and for what it is played: which limits hold.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub played: Played,
    /// What field work leaves between two rooms of it besides all that is drawn.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub residual: Residual,
    /// Storeys from the lowest upwards.
    pub storeys: Vec<Storey>,
    /// Constructions of this scene's own, beside the catalogue's.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub constructions: Vec<Construction>,
    /// What is loud.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub sources: Vec<Source>,
    /// Who hears it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub listeners: Vec<Listener>,
    /// Air ducts from room to room, or from a room into the open.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub ducts: Vec<Duct>,
    /// Derived quantities the user knows better. Shown as such wherever they act.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub overrides: Vec<Override>,
    /// Views to be stepped through before others, in their order.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub views: Vec<SavedView>,
    /// What else might be built, each a list of edits over all that stands above.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub variants: Vec<Variant>,
    /// What things cost: for build lists.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub prices: Prices,
}

impl Scene {
    /// A scene in which nothing is.
    #[must_use]
    pub fn empty(name: &str) -> Self {
        Self {
            format: FORMAT,
            name: name.to_owned(),
            about: String::new(),
            air: AirConditions::default(),
            outdoors: Outdoors::default(),
            played: Played::default(),
            residual: Residual::default(),
            storeys: vec![],
            constructions: vec![],
            sources: vec![],
            listeners: vec![],
            ducts: vec![],
            overrides: vec![],
            views: vec![],
            variants: vec![],
            prices: Prices::default(),
        }
    }
}

/// Air indoors.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirConditions {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Relative humidity, %.
    pub humidity_percent: f64,
}

impl Default for AirConditions {
    fn default() -> Self {
        Self { temperature_c: 20.0, humidity_percent: 50.0 }
    }
}

/// What lies round the building.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Outdoors {
    /// The ground between the building and who listens.
    pub ground: Ground,
}

/// What every building leaks from room to room by no way that a drawing shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Residual {
    /// DnT between two rooms that share a wall or floor, from 250 Hz up, dB; below 250 Hz it is 6 dB less for each octave.
    pub dnt_db: f64,
    /// What shows that this building is better than [`Residual::USUAL_DB`]: who measured what, where. Needed for every better value.
    pub proof: String,
}

impl Residual {
    /// What no one builds better than without proof, DnT in dB. Own judgement: the best separations in print have means of 65 to 80 dB (Plumb, BBC RD 1990/13;
    /// Meares, BBC RD 1987/1; UFC 4-171-04AN).
    pub const USUAL_DB: f64 = 70.0;
    /// Its standard uncertainty, dB. Own judgement, the spread of those separations.
    pub const UNCERTAINTY_DB: f64 = 5.0;
}

impl Default for Residual {
    fn default() -> Self {
        Self { dnt_db: Self::USUAL_DB, proof: String::new() }
    }
}

/// A kind of ground, as sound meets it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ground {
    /// Paving, asphalt, water, trodden earth: reflects everything.
    #[default]
    Hard,
    /// Grass, beds, loose soil.
    Soft,
}

/// One storey: a graph of nodes and straight walls; the rooms are the faces the walls enclose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Storey {
    /// Id, a word.
    pub id: StoreyId,
    /// Name people read.
    pub name: String,
    /// Height of the walking surface above the street, m.
    pub level_m: f64,
    /// Clear height from walking surface to ceiling, m.
    pub height_m: f64,
    /// Construction between this storey and the one below (from walking surface to ceiling), where a room lies below.
    pub floor: FloorBuild,
    /// Construction of the floor where nothing lies below: construction id.
    pub ground: String,
    /// Construction of the roof where nothing lies above: construction id.
    pub roof: String,
    /// Corners.
    pub nodes: Vec<Node>,
    /// Walls between nodes.
    pub walls: Vec<Wall>,
    /// Windows, doors, hatches, vents and holes in walls.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub openings: Vec<Opening>,
    /// What the enclosed faces are.
    pub rooms: Vec<Room>,
    /// A picture to trace.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub underlay: Option<Underlay>,
}

/// A picture of a floor plan that lies under a storey's plan, to be traced. It changes nothing of the answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Underlay {
    /// File of the picture (PNG or JPEG), as seen from the scene file.
    pub file: String,
    /// Its lower left corner, m.
    pub at: [f64; 2],
    /// Its width, m.
    pub width_m: f64,
    /// How strongly it shows, 0 to 1.
    #[serde(default = "half")]
    pub strength: f64,
}

fn half() -> f64 {
    0.5
}

/// A floor: which construction, and how its joists lie.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FloorBuild {
    /// Construction id, from the walking surface down.
    pub construction: String,
    /// Direction the joists run in, degrees from the x axis; nothing for a slab.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub joist_direction_deg: Option<f64>,
    /// How well it was built.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub workmanship: Workmanship,
}

impl FloorBuild {
    /// A floor of which nothing more is said.
    #[must_use]
    pub fn plain(construction: String) -> Self {
        Self { construction, joist_direction_deg: None, workmanship: Workmanship::Usual }
    }
}

/// A corner of the wall graph.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Node {
    /// Id, a word.
    pub id: NodeId,
    /// Where it is, m.
    pub at: [f64; 2],
}

/// A straight wall. Its line is its middle; its thickness is its construction's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wall {
    /// Id, a word.
    pub id: WallId,
    /// First node: the layers of the construction are listed from the left face, seen from here to the second.
    pub from: NodeId,
    /// Second node.
    pub to: NodeId,
    /// Construction id.
    pub construction: String,
    /// True when the floor joists run on through this wall, under or over it, to the other side.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub joists_run_on: bool,
    /// True when this wall stops at the ceiling and does not divide the loft above it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub stops_at_ceiling: bool,
    /// How well it was built.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub workmanship: Workmanship,
}

/// Something set into a wall.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// Id, a word.
    pub id: OpeningId,
    /// Name people read; the construction's when empty.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub name: String,
    /// The wall it sits in.
    pub wall: WallId,
    /// Construction id: a window, door, vent or hole.
    pub construction: String,
    /// Distance along the wall's line from its first node to the opening's near edge, m.
    pub offset_m: f64,
    /// Width, m.
    pub width_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// Height of its lower edge above the walking surface, m.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub sill_m: f64,
    /// Seal id: what closes the gap round it. Nothing for fixed panes, vents and holes.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub seal: Option<String>,
    /// A gap under a door, mm, beside the seal's own gap.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub undercut_mm: f64,
    /// A removable panel before it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub cover: Option<Cover>,
    /// How well it was built.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub workmanship: Workmanship,
}

/// A marker that names the face it lies in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// Id, a word.
    pub id: RoomId,
    /// Name people read.
    pub name: String,
    /// A point inside the face, m.
    pub at: [f64; 2],
    /// What it is used as.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub usage: Usage,
    /// Finish ids of the surfaces; the plain ones of the program when not given.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub finishes: Finishes,
    /// Absorption area of people and furniture beside the finishes, m², the same in every band above 125 Hz, half of it below.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub furniture_m2: f64,
    /// Another floor than the storey's: its construction from the walking surface down.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub floor: Option<FloorBuild>,
    /// Another roof than the storey's: construction id.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub roof: Option<String>,
    /// Background noise.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub background: Background,
    /// Known volume, m³, instead of area times height.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub volume_m3: Option<f64>,
    /// Measured reverberation time, s, octaves 31.5 Hz to 4 kHz, instead of the computed one.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub reverberation_s: Option<[f64; 8]>,
    /// A room within this room.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub inner_shell: Option<InnerShell>,
    /// Of a [`Usage::Cavity`]: its porous fill, material id and thickness in mm.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub fill: Option<(String, f64)>,
    /// A boiler, stove, gas fire or open fire stands in it or draws its air from it: it is not to be closed.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub flames: bool,
    /// Old textured coating on its walls or ceiling, not tested for asbestos: nothing is to be fixed to them.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub untested_coating: bool,
}

/// What a room is used as: decides wording, and which rooms lie open to the weather.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Usage {
    /// Practice, rehearsal, workshop.
    Practice,
    /// Sleeping.
    Bedroom,
    /// Living, dining, kitchen.
    #[default]
    Living,
    /// Teaching.
    Classroom,
    /// Office or shop.
    Work,
    /// Hall, landing, stairs, store.
    Circulation,
    /// Space under a roof.
    Loft,
    /// A floor void, a ceiling plenum, an eaves space, a shaft: no one stays in it.
    Void,
    /// The gap between the walls of an inner shell drawn as walls and the walls round it: no room, but the air spring of a double leaf.
    Cavity,
}

impl Usage {
    /// True for what sound passes on its way and no one lives in: lofts and voids.
    #[must_use]
    pub fn is_void(self) -> bool {
        matches!(self, Self::Loft | Self::Void)
    }
}

/// Finish ids.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Finishes {
    /// Of the floor.
    pub floor: String,
    /// Of the walls.
    pub walls: String,
    /// Of the ceiling.
    pub ceiling: String,
    /// Extra areas: finish id and m² (curtains, panels).
    pub extra: Vec<(String, f64)>,
}

impl Default for Finishes {
    fn default() -> Self {
        Self {
            floor: "wood-floor-joists".into(),
            walls: "plaster-on-masonry".into(),
            ceiling: "plasterboard-void".into(),
            extra: vec![],
        }
    }
}

impl Room {
    /// A room with usual values.
    #[must_use]
    pub fn new(id: RoomId, name: String, at: [f64; 2]) -> Self {
        Self {
            id,
            name,
            at,
            usage: Usage::default(),
            finishes: Finishes::default(),
            furniture_m2: 0.0,
            floor: None,
            roof: None,
            background: Background::default(),
            volume_m3: None,
            reverberation_s: None,
            inner_shell: None,
            fill: None,
            flames: false,
            untested_coating: false,
        }
    }

    /// Its finishes: those of the file. In a void, surfaces with the plain finish of rooms are bare boards and brick instead.
    #[must_use]
    pub fn surfaces(&self) -> Finishes {
        if self.usage != Usage::Void {
            return self.finishes.clone();
        }
        let (plain, own) = (Finishes::default(), self.finishes.clone());
        // The back of ceiling boards below, brick or joist ends around, floorboards above. Own choice.
        let given = |own: String, plain: &str, bare: &str| if own == plain { bare.to_owned() } else { own };
        Finishes {
            floor: given(own.floor, &plain.floor, "plasterboard-void"),
            walls: given(own.walls, &plain.walls, "brick-bare"),
            ceiling: given(own.ceiling, &plain.ceiling, "wood-floor-joists"),
            extra: own.extra,
        }
    }
}

/// A derived quantity the user knows better.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Override {
    /// Vibration reduction index between two elements, dB, in every band.
    Kij {
        /// Element id as the answer prints it.
        from: String,
        /// The other element id.
        to: String,
        /// Kij, dB.
        kij_db: f64,
    },
    /// Sum of l·α of an element's edges (ISO 12354-1 Annex C), m, instead of the one from its junctions.
    EdgeLoss {
        /// Element id as the answer prints it.
        element: String,
        /// Sum of l·α, m.
        sum_m: f64,
    },
    /// Sound reduction index of an element as measured, dB, 24 bands.
    Reduction {
        /// Element id as the answer prints it.
        element: String,
        /// R, dB, 24 values.
        r_db: Vec<f64>,
    },
}
