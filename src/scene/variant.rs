//! Variants: what else might be built, over the same building.

use serde::{Deserialize, Serialize};

use super::edits::Edit;
use super::ids::is_usual;

/// A named list of edits over the scene as it is drawn, so that the scene can change beneath it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    /// What it is called; no two of a scene alike.
    pub name: String,
    /// A sentence on it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub about: String,
    /// What is done, in this order.
    pub edits: Vec<Edit>,
}
