//! References: the bibliography that provenances point into.

use serde::{Deserialize, Serialize};

/// A publication.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reference {
    /// The word a [`super::Provenance`] names it by.
    pub id: String,
    /// Author, title, publisher, year, as a reader would look it up.
    pub reference: String,
}
