//! The types of a scene, format 1. Metres, plan view: x to the right, y up, storeys from the lowest upwards.

use serde::{Deserialize, Serialize};

use crate::acoustics::NotPhysical;
use crate::acoustics::duct::Section;
use crate::acoustics::isolation::{Isolators, USUAL_PLACES, USUAL_PLATFORM_M2};
use crate::catalogue::{Construction, Force};
use crate::scene::saved_view::SavedView;
use crate::scene::shell::{Cover, InnerShell};
use crate::scene::workmanship::Workmanship;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl From<&str> for $name {
            fn from(word: &str) -> Self {
                Self(word.to_owned())
            }
        }
    )+};
}

ids! {
    /// A storey, unique in the scene.
    StoreyId,
    /// A node, unique in its storey.
    NodeId,
    /// A wall, unique in its storey.
    WallId,
    /// An opening, unique in its storey.
    OpeningId,
    /// A room marker, unique in the scene.
    RoomId,
    /// A source, unique in the scene.
    SourceId,
    /// A listener, unique in the scene.
    ListenerId,
    /// A duct, unique in the scene.
    DuctId,
}

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
    /// Its finishes: those of the file. In a void, surfaces with the plain finish of rooms are bare boards and brick instead.
    #[must_use]
    pub fn surfaces(&self) -> Finishes {
        if self.usage != Usage::Void {
            return self.finishes.clone();
        }
        let (plain, bare, own) = (Finishes::default(), Finishes::of_void(), self.finishes.clone());
        let given = |own: String, plain: &str, bare: String| if own == plain { bare } else { own };
        Finishes {
            floor: given(own.floor, &plain.floor, bare.floor),
            walls: given(own.walls, &plain.walls, bare.walls),
            ceiling: given(own.ceiling, &plain.ceiling, bare.ceiling),
            extra: own.extra,
        }
    }
}

impl Finishes {
    /// A bare void: the back of ceiling boards below, brick or joist ends around, floorboards above. Own choice.
    #[must_use]
    pub fn of_void() -> Self {
        Self {
            floor: "plasterboard-void".into(),
            walls: "brick-bare".into(),
            ceiling: "wood-floor-joists".into(),
            extra: vec![],
        }
    }
}

/// Background noise in a room or at a point outdoors.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Background {
    /// Not stated: the hearing threshold alone decides.
    #[default]
    Unstated,
    /// The shape of an NR curve.
    NoiseRating(f64),
    /// Levels in octaves 31.5 Hz to 4 kHz, dB.
    Octaves([f64; 8]),
}

/// Something loud.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Id, a word.
    pub id: SourceId,
    /// Name people read.
    pub name: String,
    /// Storey it stands on.
    pub storey: StoreyId,
    /// Where, m.
    pub at: [f64; 2],
    /// Source id of the catalogue.
    pub sound: String,
    /// Louder (+) or softer (−) than the catalogue's, dB.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub level_db: f64,
    /// False while it is silent.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub playing: bool,
    /// Where it touches the floor or a wall, and with what force.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub contacts: Vec<Contact>,
}

/// A point where a source touches the floor or a wall: a pedal, a spur, a castor, a foot, a bracket, the back of a piano.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contact {
    /// Name people read: "bass drum pedal".
    pub name: String,
    /// Where, m; where the source stands when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<[f64; 2]>,
    /// What it touches: the floor when not given.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub touches: Touches,
    /// The force.
    pub force: ContactForce,
    /// Stronger (+) or weaker (−), dB.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub level_db: f64,
    /// The platform or isolators under it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mount: Option<Mount>,
}

/// What a contact touches.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Touches {
    /// The floor under it.
    #[default]
    Floor,
    /// A wall of the source's storey, on the side of the source's room.
    Wall(WallId),
}

/// The force of a contact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum ContactForce {
    /// A contact force of the catalogue, by id.
    Known(String),
    /// One's own.
    Own(Force),
}

/// A platform or isolators under a contact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mount {
    /// What rests on the springs: platform, instrument, player, kg.
    pub load_kg: f64,
    /// The springs, all together.
    pub spring: Spring,
    /// Their loss factor.
    #[serde(default = "usual_loss")]
    pub loss: f64,
    /// Over how many places the load is spread; a mat bears everywhere.
    #[serde(default = "usual_places")]
    pub places: f64,
    /// Area of the platform, m²; that of the mat, or 1.5 m² on feet, where nothing is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area_m2: Option<f64>,
}

/// What a platform rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Spring {
    /// Steel springs that give by so much under the load, mm.
    SteelDeflection(f64),
    /// Rubber or foam that gives by so much under the load (mm), and how many times stiffer it is when it moves (1.3 to 3).
    RubberDeflection(f64, f64),
    /// A mat: dynamic stiffness (MN/m³) and area of contact (m²).
    Mat(f64, f64),
    /// Dynamic stiffness, N/m.
    Stiffness(f64),
}

impl Mount {
    /// The springs with their load.
    ///
    /// # Errors
    ///
    /// When load, spring, loss factor or area is none there can be; says which.
    pub fn isolators(&self) -> Result<Isolators, NotPhysical> {
        let isolators = match self.spring {
            Spring::SteelDeflection(mm) => Isolators::steel_springs(mm, self.loss, self.load_kg),
            Spring::RubberDeflection(mm, ratio) => Isolators::elastomers(mm, ratio, self.loss, self.load_kg),
            Spring::Mat(stiffness, area_m2) => Isolators::mat(stiffness, area_m2, self.loss, self.load_kg),
            Spring::Stiffness(n_m) => Isolators::new(n_m, self.loss, self.load_kg),
        }?;
        let (places, of_mat) = match self.spring {
            Spring::Mat(_, area_m2) => (f64::INFINITY, Some(area_m2)),
            _ => (self.places, None),
        };
        isolators.under_platform(self.area_m2.or(of_mat).unwrap_or(USUAL_PLATFORM_M2), places)
    }
}

fn usual_loss() -> f64 {
    0.2
}

fn usual_places() -> f64 {
    USUAL_PLACES
}

fn yes() -> bool {
    true
}

/// What has its usual value is left out of the file, so that a written one reads like one made by hand.
pub(super) fn is_usual<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
fn is_yes(value: &bool) -> bool {
    *value
}

/// Someone who hears it: in a room, or outdoors where no room is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Listener {
    /// Id, a word.
    pub id: ListenerId,
    /// Name people read.
    pub name: String,
    /// Storey whose plan the point lies in; outdoors it gives the plan, and `height_m` counts from its walking surface.
    pub storey: StoreyId,
    /// Where, m.
    pub at: [f64; 2],
    /// Height of the ears above the walking surface, m.
    #[serde(default = "ear_height_m")]
    pub height_m: f64,
    /// Target id, if a limit applies.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub target: Option<String>,
    /// Background outdoors; indoors the room's own counts.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub background: Background,
}

fn ear_height_m() -> f64 {
    1.5
}

/// An air duct with two open ends: a vent through a wall with a length of pipe, a trunk that serves two rooms, an extract to the open air.
///
/// A main with several mouths is drawn as one duct for each pair of rooms.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Duct {
    /// Id, a word.
    pub id: DuctId,
    /// Name people read.
    pub name: String,
    /// Its two mouths.
    pub ends: [DuctEnd; 2],
    /// Its clear section, inside any lining.
    pub section: DuctSection,
    /// Length of the run, m.
    pub length_m: f64,
    /// Number of bends by about a right angle.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub bends: u32,
    /// Finish id of a lining along its whole length.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub lining: Option<String>,
    /// Insertion loss of a silencer in it, octaves 31.5 Hz to 4 kHz, dB.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub silencer_db: Option<[f64; 8]>,
}

/// A mouth of a duct: in a room, or in the open where no room is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DuctEnd {
    /// Storey in whose plan the point lies.
    pub storey: StoreyId,
    /// Where, m.
    pub at: [f64; 2],
    /// Height above the walking surface, m.
    #[serde(default = "mouth_height_m", skip_serializing_if = "is_mouth_height")]
    pub height_m: f64,
}

fn mouth_height_m() -> f64 {
    2.2
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
fn is_mouth_height(value: &f64) -> bool {
    *value == mouth_height_m()
}

/// The clear section of a duct.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum DuctSection {
    /// Diameter, mm.
    Round(f64),
    /// Width and height, mm.
    Rectangular(f64, f64),
}

impl DuctSection {
    /// What the physics takes.
    ///
    /// # Errors
    ///
    /// When a side is not finite and above zero.
    pub fn clear(self) -> Result<Section, NotPhysical> {
        match self {
            Self::Round(mm) => Section::round(mm / 1000.0),
            Self::Rectangular(wide_mm, high_mm) => Section::rectangular(wide_mm / 1000.0, high_mm / 1000.0),
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
