//! Seals: the gap that is left round a door or an opening light.

use serde::{Deserialize, Serialize};

use super::provenance::Provenance;

/// A seal, as the width of the slit that leaks as much.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seal {
    /// The word scenes use.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// Effective slit width round the perimeter, mm: likely value.
    pub gap_mm: f64,
    /// Lower and upper end of what is met in practice, mm.
    pub gap_range_mm: (f64, f64),
    /// Where the values come from.
    pub provenance: Provenance,
}
