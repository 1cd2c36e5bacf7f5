//! Where a value comes from and how far it can be trusted.

use serde::{Deserialize, Serialize};

/// How far a value can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Certainty {
    /// Stands so in the publication named.
    Printed,
    /// Measured, by whoever is named.
    Measured,
    /// Computed from other entries.
    Derived,
    /// From memory of the publication named, unverified.
    FromMemory,
    /// A rule of thumb of the trade, no source.
    CommonPractice,
    /// Demo data.
    Invented,
}

/// The source of an entry.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Provenance {
    /// Publication: a key of `assets/sources.ron`, empty for common practice and invented values.
    #[serde(default)]
    pub source: String,
    /// Table, clause or page in it.
    #[serde(default)]
    pub place: String,
    /// How far it can be trusted.
    #[serde(rename = "standing")]
    pub certainty: Certainty,
}
