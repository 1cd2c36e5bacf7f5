//! What the solver says: levels, and one record for every path the sound travels.

use std::sync::Arc;

use serde::Serialize;

use super::kij::JunctionKij;
use super::known::Known;
use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::acoustics::room_field::BoxMode;
use crate::acoustics::{BAND_COUNT, Spectrum, bands::NOMINAL_HZ};
use crate::building::{ElementIndex, JunctionIndex, SpaceIndex};
use crate::catalogue::Target;
use crate::scene::{ListenerId, SourceId};

/// Everything computed of a scene.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// One for each space of the building, in its order.
    pub spaces: Vec<SpaceAnswer>,
    /// One for each element of the building, in its order.
    pub elements: Vec<ElementAnswer>,
    /// One for each junction of the building, in its order.
    pub junctions: Vec<JunctionKij>,
    /// One for each listener of the building, in its order.
    pub listeners: Vec<ListenerAnswer>,
    /// One for each room with an inner shell.
    pub shells: Vec<ShellAnswer>,
    /// One for each cover panel that is on.
    pub covers: Vec<CoverAnswer>,
    /// One for each contact that stands on a platform or isolators.
    pub mounts: Vec<MountAnswer>,
    /// One for each construction with a plate on a resilient layer.
    pub floating: Vec<FloatingAnswer>,
    /// How far what it stands on may be off.
    pub known: Known,
    /// What a reader must know: overrides in force, fallbacks taken, bands of low confidence, cautions. Whole sentences.
    pub notes: Vec<String>,
}

/// A space, solved.
#[derive(Debug, Clone, PartialEq)]
pub struct SpaceAnswer {
    /// Mean squared sound pressure over (20 µPa)², a linear energy, each band. Zero outdoors and in the ground.
    pub energy: Spectrum,
    /// Equivalent absorption area, m².
    pub absorption_m2: Spectrum,
    /// Reverberation time, s.
    pub reverberation_s: Spectrum,
    /// Below this the field is not diffuse and the level is of low confidence, Hz. Source: Schroeder, 2000·√(T/V).
    pub schroeder_hz: f64,
    /// Number of standing waves (modes) in each third octave: counted where the room is a box, in the mean (Kuttruff, Room Acoustics,
    /// ch. 3) elsewhere. Zero outdoors and in the ground.
    pub mode_count: Spectrum,
    /// The single modes of a room that is a box, by frequency, up to the Schroeder frequency or the 25th; empty for other shapes.
    /// Walls are taken as hard: real ones shift a mode by a few per cent.
    pub single_modes: Vec<BoxMode>,
    /// True when a source sounds in it.
    pub has_source: bool,
}

/// An element, solved.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementAnswer {
    /// Sound reduction index of the element in situ without its openings, dB.
    pub r_db: Spectrum,
    /// Sound reduction index with openings and gaps, referred to the gross area, dB.
    pub r_composite_db: Spectrum,
    /// Weighted value of `r_db` by ISO 717-1, dB.
    pub rw_db: i32,
    /// Σ l·α in its place, m: what its edges lose. Of an element with its loss set by hand, what would be computed.
    pub edge_sum_m: Spectrum,
    /// Mass per area without openings, kg/m².
    pub mass_per_area_kg_m2: f64,
    /// For each opening: τ·S of the opening, m².
    pub opening_tau_m2: Vec<Spectrum>,
    /// For each opening: τ·S of the gap round it, m².
    pub gap_tau_m2: Vec<Spectrum>,
}

/// A room within a room: what it takes, what it weighs, what each face does.
#[derive(Debug, Clone, PartialEq)]
pub struct ShellAnswer {
    /// The room.
    pub space: SpaceIndex,
    /// Clear floor area without the shell, m².
    pub area_before_m2: f64,
    /// Clear floor area within it, m².
    pub area_m2: f64,
    /// Volume without the shell, m³.
    pub volume_before_m3: f64,
    /// Volume within it, m³.
    pub volume_m3: f64,
    /// Clear height without the shell, m.
    pub height_before_m: f64,
    /// Clear height within it, m.
    pub height_m: f64,
    /// How far its floor lies above the old one, m.
    pub step_m: f64,
    /// What stands on the old floor: its floor, its walls, a ceiling that rests on them, kg.
    pub on_floor_kg: f64,
    /// What hangs from the old ceiling, kg.
    pub hung_kg: f64,
    /// Weight of its heaviest wall for each metre along the floor, kg/m.
    pub wall_kg_m: f64,
    /// Its faces, each before one element.
    pub faces: Vec<ShellFaceAnswer>,
}

/// A face of an inner shell before one element.
#[derive(Debug, Clone, PartialEq)]
pub struct ShellFaceAnswer {
    /// The old wall, floor or ceiling.
    pub element: ElementIndex,
    /// On which of its two sides.
    pub side: usize,
    /// What it gains, dB; negative in bands where it makes things worse.
    pub gain_db: Spectrum,
    /// Resonance of its mass and that of the old element on gap and supports, Hz.
    pub resonance_hz: f64,
    /// Mass per area, kg/m².
    pub mass_kg_m2: f64,
}

/// A removable cover panel before an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverAnswer {
    /// The element the opening is in.
    pub element: ElementIndex,
    /// The opening, its position in the element's list.
    pub opening: usize,
    /// The room the cover stands in.
    pub space: SpaceIndex,
    /// What pane and cover gain over the pane alone, gaps not counted, dB; negative in bands where it makes things worse. Over a hole or a vent:
    /// what is kept back of all that passed before.
    pub gain_db: Spectrum,
    /// τ·S of the board alone, of the gap round its edge and of the joints between its pieces, m².
    pub board_edge_joints_m2: [Spectrum; 3],
    /// Resonance of pane and cover on the air between them, Hz; 0 where there is no pane.
    pub resonance_hz: f64,
    /// Pieces across and up.
    pub pieces: [u32; 2],
    /// Width and height of a piece, m.
    pub piece_m: [f64; 2],
    /// Mass of a piece, its battens not counted, kg.
    pub piece_kg: f64,
    /// Who can lift one.
    pub handling: Handling,
    /// True when the opening is large and low enough to be a way out in a fire.
    pub may_be_escape: bool,
}

/// A platform or isolators under a contact.
#[derive(Debug, Clone, PartialEq)]
pub struct MountAnswer {
    /// The source.
    pub source: SourceId,
    /// Name of the contact.
    pub contact: String,
    /// What rests on the springs, kg.
    pub load_kg: f64,
    /// Resonance of load and springs on a floor that does not give way, Hz.
    pub resonance_hz: f64,
    /// What it keeps from the floor, against the same force striking it bare, dB; negative in bands where it makes things worse.
    pub gain_db: Spectrum,
}

/// A plate that floats on a resilient layer: a screed, a dry floating floor.
#[derive(Debug, Clone, PartialEq)]
pub struct FloatingAnswer {
    /// Id of the construction it is part of.
    pub construction: String,
    /// The elements built so.
    pub elements: Vec<ElementIndex>,
    /// Resonance of plate and layer, Hz.
    pub resonance_hz: f64,
    /// What it gains, dB; negative in bands where it makes things worse.
    pub gain_db: Spectrum,
}

/// Who can lift a piece now and then, by published guidance; see [`super::shell::handling`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Handling {
    /// Anyone alone.
    One,
    /// One strong person.
    OneStrong,
    /// Two people.
    Two,
    /// Three people.
    Three,
    /// Too heavy: split it further.
    Split,
}

/// What one listener gets.
#[derive(Debug, Clone, PartialEq)]
pub struct ListenerAnswer {
    /// Who.
    pub listener: ListenerId,
    /// Name people read.
    pub name: String,
    /// The space they hear in.
    pub space: SpaceIndex,
    /// Mean squared sound pressure over (20 µPa)² each band: the sum over `paths`.
    pub energy: Spectrum,
    /// A-weighted level, dB.
    pub la_db: f64,
    /// C-weighted level, dB.
    pub lc_db: f64,
    /// A-weighted maximum level, time weighting F, dB: the loudest source's LAFmax − LAeq added.
    pub lafmax_db: f64,
    /// Standard uncertainty of `la_db`, dB, source included: see [`super::odds`].
    pub uncertainty_db: f64,
    /// Bands below this one are of low confidence: single modes of the source's or the listener's room decide. At least the 50 Hz
    /// band; [`BAND_COUNT`] where no band is confident. See [`super::low_frequency::Confidence`].
    pub first_confident_band: usize,
    /// Standard uncertainty of the level in each band, source included, dB: see [`super::odds`]. Never below ISO 12999-1:2020 Table 2; a lower
    /// bound below `first_confident_band`.
    pub band_uncertainty_db: Spectrum,
    /// What single modes add to that in each band, dB: see [`super::low_frequency::Confidence`].
    pub modes_db: Spectrum,
    /// What no band is surer than, sources apart, dB: see [`super::low_frequency::Confidence`].
    pub least_db: Spectrum,
    /// Background level each band, dB; −∞ where none is stated.
    pub background_db: Spectrum,
    /// Hearing threshold each band, dB.
    pub threshold_db: Spectrum,
    /// By how much the loudest audible band stands above background and threshold, dB.
    pub audible_margin_db: f64,
    /// The band that margin belongs to.
    pub audible_band: usize,
    /// How well it is heard.
    pub audibility: Audibility,
    /// The limit, and by how much the level keeps it.
    pub target: Option<TargetAnswer>,
    /// Between each source room and the listener's room.
    pub ratings: Vec<RoomPairRating>,
    /// Every path the sound travels, the strongest (A-weighted) first. Their shares sum to 1.
    pub paths: Vec<PathRecord>,
}

/// How well something is heard, by its margin over background and threshold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Audibility {
    /// Under the threshold or well under the background in every band.
    Inaudible,
    /// About at the threshold or the background in some band.
    JustAudible,
    /// Above it.
    Clear,
    /// Far above it.
    Loud,
}

/// A limit and how the level stands to it.
#[derive(Debug, Clone, PartialEq)]
pub struct TargetAnswer {
    /// Id of the target.
    pub id: String,
    /// Name people read.
    pub name: String,
    /// Limit minus level in the worst band or metric, dB: negative when it is broken.
    pub margin_db: f64,
    /// Probability that it is kept, from margin and uncertainty (normal distribution).
    pub probability: f64,
    /// The limit itself, so that what is left when something is stopped can be held against it.
    pub record: Target,
    /// How long it is played a day, h; nothing where it is not said.
    pub hours_a_day: Option<f64>,
}

impl TargetAnswer {
    /// What silent time has taken off the level, dB, 0 or less: see [`Target::idle_db`].
    #[must_use]
    pub fn idle_db(&self) -> f64 {
        self.record.idle_db(self.hours_a_day)
    }
}

/// Standardised level difference and apparent sound reduction index between two rooms.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomPairRating {
    /// The source room.
    pub source_space: SpaceIndex,
    /// Level difference between the rooms, dB.
    pub d_db: Spectrum,
    /// Standardised to 0.5 s, dB. Source: ISO 16283-1:2014, 3.14.
    pub dnt_db: Spectrum,
    /// Weighted DnT,w, dB; nothing where the listener is outdoors.
    pub dntw_db: Option<i32>,
    /// Apparent sound reduction index, dB, where the rooms share an element; referred to its area.
    pub r_prime_db: Option<Spectrum>,
    /// Weighted R'w, dB.
    pub r_prime_w_db: Option<i32>,
}

/// One path the sound travels.
#[derive(Debug, Clone, PartialEq)]
pub struct PathRecord {
    /// What kind of path.
    pub kind: PathKind,
    /// The room the source sounds in.
    pub source_space: SpaceIndex,
    /// Where the sound leaves the source room.
    pub entry: Surface,
    /// The junction it goes round, if it does.
    pub junction: Option<JunctionIndex>,
    /// The room (or the outdoors) it passes last before the listener's room, if any.
    pub via: Option<SpaceIndex>,
    /// Where it comes out at the listener.
    pub exit: Surface,
    /// Mean squared sound pressure over (20 µPa)² it gives the listener, each band.
    pub energy: Spectrum,
    /// Its part of the A-weighted energy, 0 to 1.
    pub share: f64,
    /// Where it runs in the open air, if it does.
    pub route: Option<Route>,
}

/// The polyline in space, m (x and y in the plan, z above the street), that sound was followed along in the open air: from just before the face it leaves by, by
/// the edges it bends round or the point where it is reflected, to just before the face it enters by, or to the ears. Of all lines it takes, the one that
/// brings most.
pub type Route = Arc<[[f64; 3]]>;

/// What kind of path the sound takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PathKind {
    /// Straight through an element or an opening.
    Through,
    /// Round a junction: in by one element, out by another.
    Flanking,
    /// Through a gap or an open hole.
    Gap,
    /// By another room.
    ByRoom,
    /// By a loft, a floor void, a ceiling plenum: a space that rooms share and no one lives in.
    ByVoid,
    /// Through an air duct.
    Duct,
    /// By the open air.
    ByOutdoors,
    /// From a foot, pedal or machine into the floor, and out of it or round its junctions.
    StructureBorne,
    /// What every building has besides: by no path that a drawing shows.
    Residual,
}

/// A place where sound enters or leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// The element itself, without its openings.
    Element(ElementIndex),
    /// An opening of an element: its position in the element's list.
    Opening(ElementIndex, usize),
    /// The gap round that opening.
    Gap(ElementIndex, usize),
    /// The mouth of a duct: its position in the building's list.
    Duct(usize),
    /// Straight from the source, for a listener in the source's own room.
    Air,
    /// No face of its own: the building as a whole.
    Building,
}

impl Surface {
    /// The element it belongs to.
    #[must_use]
    pub fn element(self) -> Option<ElementIndex> {
        match self {
            Self::Element(element) | Self::Opening(element, _) | Self::Gap(element, _) => Some(element),
            Self::Duct(_) | Self::Air | Self::Building => None,
        }
    }
}

/// Which bands a view looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum BandChoice {
    /// All bands, A-weighted.
    AWeighted,
    /// The bands from one to another, both included, unweighted.
    Range(usize, usize),
}

impl BandChoice {
    /// One band.
    #[must_use]
    pub fn one(band: usize) -> Self {
        Self::Range(band, band)
    }

    /// The energy of a spectrum within the choice.
    #[must_use]
    pub fn energy(self, energy: &Spectrum) -> f64 {
        match self {
            Self::AWeighted => a_weighted_energy(energy),
            Self::Range(first, last) => (first..=last.min(BAND_COUNT - 1)).map(|band| energy[band]).sum(),
        }
    }

    /// What it is called: "A-weighted", "63 Hz", "50 to 80 Hz".
    #[must_use]
    pub fn label(self) -> String {
        match self {
            Self::AWeighted => "A-weighted".to_owned(),
            Self::Range(first, last) if first == last => format!("{} Hz", NOMINAL_HZ[first]),
            Self::Range(first, last) => format!("{} to {} Hz", NOMINAL_HZ[first], NOMINAL_HZ[last]),
        }
    }
}
