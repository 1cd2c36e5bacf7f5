//! Sound sources: sound power in octaves, with how far peaks stand above the mean.

use serde::{Deserialize, Serialize};

use super::provenance::Provenance;

/// An instrument, a voice or a machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoundSource {
    /// The word scenes use.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// Sound power level LW while playing, dB re 1 pW, octaves 31.5 Hz to 4 kHz (8 values); spread evenly over the thirds.
    pub lw_octaves_db: [f64; 8],
    /// LAFmax − LAeq at a distance, dB.
    pub lafmax_minus_laeq_db: f64,
    /// Standard uncertainty of the power level, dB.
    pub uncertainty_db: f64,
    /// Where the values come from.
    pub provenance: Provenance,
}
