//! Contact forces: what a foot, a pedal, a castor or a machine does to the floor it stands on.

use serde::{Deserialize, Serialize};

use super::provenance::Provenance;
use crate::acoustics::contact_force::{ContactForce, HalfSine};
use crate::acoustics::{Bands, NotPhysical, Spectrum};

/// A contact force that can be named.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FloorForce {
    /// The word scenes use.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// The force.
    pub force: Force,
    /// Standard uncertainty, dB.
    pub uncertainty_db: f64,
    /// Where the values come from.
    pub provenance: Provenance,
}

/// A force on a floor that does not give way, while playing goes on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Force {
    /// Equal strokes, each a half-sine pulse.
    Strokes {
        /// Impulse of one stroke, N·s.
        impulse_n_s: f64,
        /// Duration of one stroke, ms.
        duration_ms: f64,
        /// Strokes a second.
        strokes_per_s: f64,
    },
    /// A steady force level, dB re 1 N, octaves 31.5 Hz to 4 kHz; spread evenly over the thirds.
    Steady {
        /// Eight octave levels.
        level_octaves_db: [f64; 8],
    },
    /// The heavy and soft rubber ball of ISO 10140-5, dropped from 1 m.
    RubberBall {
        /// Drops a second.
        drops_per_s: f64,
    },
    /// Somebody walking.
    Footsteps {
        /// Steps a second.
        steps_per_s: f64,
    },
    /// The standard tapping machine.
    TappingMachine,
}

impl Force {
    /// The force per band.
    ///
    /// # Errors
    ///
    /// When a value is none a force can have; says which.
    pub fn spectrum(&self, bands: &Bands) -> Result<ContactForce, NotPhysical> {
        match self {
            Self::Strokes { impulse_n_s, duration_ms, strokes_per_s } => {
                ContactForce::strokes(&HalfSine::new(*impulse_n_s, duration_ms / 1000.0)?, *strokes_per_s, bands)
            }
            Self::Steady { level_octaves_db } => {
                let thirds_db = Spectrum::from_fn(|band| level_octaves_db[band / 3] - 10.0 * 3f64.log10());
                ContactForce::stated(&thirds_db, None)
            }
            Self::RubberBall { drops_per_s } => ContactForce::rubber_ball(*drops_per_s),
            Self::Footsteps { steps_per_s } => ContactForce::footsteps(*steps_per_s, bands),
            Self::TappingMachine => Ok(ContactForce::tapping_machine(bands)),
        }
    }
}
