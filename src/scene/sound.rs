//! The types of a scene that make sound, hear it or lead it: sources with their contacts, listeners, ducts.

use serde::{Deserialize, Serialize};

use super::ids::{DuctId, ListenerId, SourceId, StoreyId, WallId, is_usual, is_yes, yes};
use crate::acoustics::NotPhysical;
use crate::acoustics::duct::Section;
use crate::acoustics::isolation::{Isolators, USUAL_PLACES, USUAL_PLATFORM_M2};
use crate::catalogue::{Force, SoundSource};

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
    /// Louder (+) or softer (−) than the catalogue's, dB: no level, but an offset. Its contacts follow it.
    #[serde(default, alias = "level_db", skip_serializing_if = "is_usual")]
    pub offset_db: f64,
    /// A level measured of it, which takes the place of the offset.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub measured: Option<Measured>,
    /// False while it is silent.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub playing: bool,
    /// False to take all its contacts away.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub touching: bool,
    /// Where it touches the floor or a wall, and with what force.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub contacts: Vec<Contact>,
}

impl Source {
    /// The contacts that count: none where it touches nothing.
    #[must_use]
    pub fn touches(&self) -> &[Contact] {
        if self.touching { &self.contacts } else { &[] }
    }
}

/// A level measured of a source while it plays: at a distance in the open or in its room.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measured {
    /// A-weighted level, mean over the playing, dB(A).
    pub la_db: f64,
    /// How far from the source, m; in a room it may be left out, for anywhere well away from the source.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub distance_m: Option<f64>,
    /// True when it was measured in the room the source stands in, whose sound counts then; else in the open, as data sheets state it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub in_room: bool,
}

/// A point where a source touches the floor or a wall: a pedal, a spur, a castor, a foot, a bracket, the back of a piano.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contact {
    /// Name people read: "bass drum pedal".
    pub name: String,
    /// Where, m; where the source stands when not given.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub at: Option<[f64; 2]>,
    /// What it touches: the floor when not given.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub touches: Touches,
    /// The force.
    pub force: ContactForce,
    /// Stronger (+) or weaker (−) than its force, beside what the source's loudness does to it, dB.
    #[serde(default, alias = "level_db", skip_serializing_if = "is_usual")]
    pub offset_db: f64,
    /// The platform or isolators under it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub mount: Option<Mount>,
}

impl Contact {
    /// What a sound of the catalogue touches the floor with, where it stands at a point.
    #[must_use]
    pub fn usual(sound: &SoundSource, at: [f64; 2]) -> Vec<Self> {
        let to_mm = |length_m: f64| (1000.0 * length_m).round() / 1000.0;
        let usual = |contact: &crate::catalogue::UsualContact| Self {
            name: contact.name.clone(),
            at: (contact.at != [0.0; 2]).then(|| [to_mm(at[0] + contact.at[0]), to_mm(at[1] + contact.at[1])]),
            touches: Touches::Floor,
            force: ContactForce::Known(contact.force.clone()),
            offset_db: contact.offset_db,
            mount: None,
        };
        sound.contacts.iter().map(usual).collect()
    }
}

/// Where, when and for what music is played. It changes nothing of what is heard, but limits hold in a country, at hours, for homes or businesses.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Played {
    /// Country, as the targets of the catalogue name it; empty where it is not said.
    #[serde(skip_serializing_if = "is_usual")]
    pub country: String,
    /// Clock hours it is played in, from and to; nothing where they are not said.
    #[serde(skip_serializing_if = "is_usual")]
    pub hours: Option<(f64, f64)>,
    /// How long it sounds within them, h a day: limits that are a mean over a longer time are held against that mean. Nothing where it is not
    /// said: then every limit is held against the level while playing.
    #[serde(skip_serializing_if = "is_usual")]
    pub hours_a_day: Option<f64>,
    /// How many people are in the loud room, who breathe, warm it and stand on its floor; one where it is not said.
    #[serde(skip_serializing_if = "is_usual")]
    pub people: Option<u32>,
    /// True for a business: a school, a studio, a venue. Else it is music at home.
    #[serde(skip_serializing_if = "is_usual")]
    pub business: bool,
}

impl Played {
    /// How many hours lie between the clock hours; nothing where they are not said. The same hour twice is a whole day.
    #[must_use]
    pub fn clock_hours(&self) -> Option<f64> {
        self.hours.map(|(from, to)| if from == to { 24.0 } else { (to - from).rem_euclid(24.0) })
    }
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
    #[serde(default, skip_serializing_if = "is_usual")]
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
