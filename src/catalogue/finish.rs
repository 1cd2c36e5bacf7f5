//! Room finishes: absorption coefficients in octaves.

use serde::{Deserialize, Serialize};

use super::provenance::Provenance;

/// A surface finish.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Finish {
    /// The word scenes use.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// Absorption coefficient, octaves 125 Hz to 4 kHz. Lower bands take the 125 Hz value, with wider uncertainty.
    pub alpha_octaves: [f64; 6],
    /// Where the values come from.
    pub provenance: Provenance,
    /// A caution to show with it (fire class of foam and curtains), or empty.
    #[serde(default)]
    pub caution: String,
}
