//! Views kept with a scene, to be stepped through before a client or a class. They change nothing of the answer.

use serde::{Deserialize, Serialize};

use super::ids::{ListenerId, StoreyId, is_usual};

/// A view someone kept, with what they want to say about it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SavedView {
    /// What is read out below it: a sentence or two.
    pub caption: String,
    /// Whose ears.
    pub listener: ListenerId,
    /// Which storey's plan; the one that tells most when not given.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub storey: Option<StoreyId>,
    /// The lowest and highest third octave looked at, by nominal frequency, Hz; all bands, A-weighted, when not given.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub hz: Option<(f64, f64)>,
    /// Which end of the paths lights it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub lit: Lit,
    /// What the light means.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub light: Light,
    /// Both ends of the line a vertical section is cut along, m; no section when not given.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub cut: Option<[[f64; 2]; 2]>,
}

/// Which end of the paths lights a plan.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Lit {
    /// Where sound leaves the loud room.
    #[default]
    GetsOut,
    /// Where it comes out at the listener.
    ComesIn,
}

/// What the light of a plan means.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Light {
    /// The share of what is heard.
    #[default]
    Share,
    /// The level at the listener.
    Level,
}
