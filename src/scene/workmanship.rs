//! How well a thing was built, against how it is drawn.

use serde::{Deserialize, Serialize};

/// How well a wall, floor or opening was built: edges, screws and holes decide as much as the layers do.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Workmanship {
    /// As drawn: every joint closed, everything that should give does. What a laboratory measures, and what only proof on site shows.
    AsDrawn,
    /// A usual good job: a joint that is closed nearly everywhere, here and there a fixing too long. What nothing else is said of.
    #[default]
    Usual,
    /// What a hurried job leaves: an edge not quite closed, a few screws too long, a seal that drags in places.
    SmallFaults,
    /// What should give is held fast, all of it, and the edge is no better than with small faults. Nothing an opening can be.
    Bridged,
    /// The edge was never closed, and everything that should give does; of an opening, the seal is missing.
    Unsealed,
    /// Both: held fast, and the edge never closed; of an opening, the seal is missing.
    ShortCircuited,
}

impl Workmanship {
    /// All states, the best first; bridged and unsealed are faults of two kinds, neither worse than the other in every band.
    pub const ALL: [Self; 6] =
        [Self::AsDrawn, Self::Usual, Self::SmallFaults, Self::Bridged, Self::Unsealed, Self::ShortCircuited];

    /// The word of a scene file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::AsDrawn => "as_drawn",
            Self::Usual => "usual",
            Self::SmallFaults => "small_faults",
            Self::Bridged => "bridged",
            Self::Unsealed => "unsealed",
            Self::ShortCircuited => "short_circuited",
        }
    }
}
