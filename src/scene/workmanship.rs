//! How well a thing was built, against how it is drawn.

use serde::{Deserialize, Serialize};

/// How well a wall, floor or opening was built: edges, screws and holes decide as much as the layers do.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Workmanship {
    /// As drawn: every joint closed, everything that should give does.
    #[default]
    AsDrawn,
    /// What a hurried job leaves: an edge not quite closed, a few screws too long, a seal that drags in places.
    SmallFaults,
    /// What should give is held fast, and the edge was never closed; of an opening, the seal is missing.
    ShortCircuited,
}
