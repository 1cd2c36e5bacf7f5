//! One thing held against one limit.

use serde::Serialize;

use super::super::answer::Handling;
use crate::building::{ElementIndex, SpaceIndex};
use crate::scene::SourceId;

/// What is held against a limit, where, and how it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What is checked, with what there is to say of it.
    pub subject: Subject,
    /// The thing whose drawing decides it.
    pub place: Place,
    /// The room it concerns.
    pub room: SpaceIndex,
    /// What was found, in `unit`; nothing where it is a question and no number.
    pub found: Option<f64>,
    /// The limit, in `unit`; nothing where none is published, or where it is a question.
    pub limit: Option<f64>,
    /// "m", "kg/m²", "dB(A)"; "" where there is no number.
    pub unit: &'static str,
    /// How it stands.
    pub kept: Kept,
    /// Where the limit comes from, as it is cited.
    pub source: &'static str,
}

/// How something stands to its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kept {
    /// It is kept.
    Yes,
    /// Somebody must be asked, or something looked at.
    Ask,
    /// It is broken: not to be built or played so.
    No,
}

/// The thing in the scene whose drawing decides a check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// A room, mostly by its shell.
    Room(SpaceIndex),
    /// An opening: its element, and its position in the element's list.
    Opening(ElementIndex, usize),
    /// A source, with what it stands on.
    Source(SourceId),
}

/// A piece somebody has to lift.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// A full sheet of a face of a shell.
    Sheet {
        /// Name of its material.
        material: String,
        /// Thickness, mm.
        thickness_mm: f64,
        /// Length and width, m.
        size_m: [f64; 2],
    },
    /// A door or window of a shell, by the name of its construction.
    Leaf(String),
    /// A piece of a cover.
    Cover,
}

/// What is checked.
#[derive(Debug, Clone, PartialEq)]
pub enum Subject {
    /// A way out in a fire that a cover or a shell closes.
    Escape {
        /// True where no other is left.
        last: bool,
        /// True where the shell closes it, false where a cover does.
        by_shell: bool,
    },
    /// All that is put on a room's floor: kg/m².
    FloorLoad {
        /// By the shell, platforms and people, kg/m².
        parts_kg_m2: [f64; 3],
        /// True where the floor lies on the ground.
        on_ground: bool,
    },
    /// A platform on its own area: kg/m².
    PlatformLoad,
    /// A wall of a shell along its line on joists: kg/m.
    WallLine,
    /// What hangs from the old ceiling: kg/m².
    Hung,
    /// Clear height: m.
    Headroom,
    /// Air for people in a room that is closed: L/s that surely come in.
    Air {
        /// How many people.
        people: u32,
        /// What they need, seated and playing hard, L/s.
        needs_l_s: [f64; 2],
        /// By how much carbon dioxide rises in an hour without, ppm.
        co2_ppm_h: f64,
        /// True where a vent or duct leads in.
        has_way: bool,
    },
    /// A vent that is closed, or a room that is: what burns there? Broken where the scene says that something does.
    Combustion {
        /// True for a vent or hole.
        vent: bool,
    },
    /// Something is fixed to old plaster. Broken where the scene says that nobody tested its coating.
    Coating {
        /// To walls.
        walls: bool,
        /// To the ceiling.
        ceiling: bool,
    },
    /// Doors and smoke alarm of a shell.
    Alarm,
    /// Wires in a shell.
    Electrics,
    /// Heat of people in a room that is closed: W.
    Heat,
    /// Water between pane and cover.
    Damp,
    /// A piece that is lifted: kg.
    Lift {
        /// Which.
        piece: Piece,
        /// By whom.
        handling: Handling,
    },
    /// What the player gets: LEX,8h in dB(A).
    Hearing {
        /// Level at the player, dB(A).
        la_db: f64,
        /// Hours a day.
        hours: f64,
        /// True where the scene says how many.
        said: bool,
        /// Hours until 85 dB(A) are reached.
        until_85_h: f64,
    },
}

impl Subject {
    /// The word in JSON.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Self::Escape { .. } => "escape",
            Self::FloorLoad { .. } => "floor_load",
            Self::PlatformLoad => "platform_load",
            Self::WallLine => "wall_line",
            Self::Hung => "hung",
            Self::Headroom => "headroom",
            Self::Air { .. } => "air",
            Self::Combustion { .. } => "combustion",
            Self::Coating { .. } => "coating",
            Self::Alarm => "alarm",
            Self::Electrics => "electrics",
            Self::Heat => "heat",
            Self::Damp => "damp",
            Self::Lift { .. } => "lift",
            Self::Hearing { .. } => "hearing",
        }
    }
}
