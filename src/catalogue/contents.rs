//! All that can be named, in one value, and its plainest entries.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::construction::Construction;
use super::force::FloorForce;
use super::goods::Good;
use super::material::Material;
use super::provenance::Provenance;
use super::target::Target;

/// Everything that can be named, by id. A scene may add constructions of its own.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Catalogue {
    /// Publications the provenances point to.
    pub references: BTreeMap<String, Reference>,
    /// Solids, limp sheets and porous fills.
    pub materials: BTreeMap<String, Material>,
    /// Walls, floors, roofs, windows, doors, vents.
    pub constructions: BTreeMap<String, Construction>,
    /// Room surfaces with absorption coefficients.
    pub finishes: BTreeMap<String, Finish>,
    /// Instruments and machines.
    pub sources: BTreeMap<String, SoundSource>,
    /// What feet, pedals and machines do to the floor.
    pub forces: BTreeMap<String, FloorForce>,
    /// Limits a listener's level is compared with.
    pub targets: BTreeMap<String, Target>,
    /// What closes the gap round a door or an opening light.
    pub seals: BTreeMap<String, Seal>,
    /// What a shop sells for all that.
    pub goods: BTreeMap<String, Good>,
}

/// A publication.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reference {
    /// The word a [`Provenance`] names it by.
    pub id: String,
    /// Author, title, publisher, year, as a reader would look it up.
    pub reference: String,
}

/// A surface finish of a room.
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
    /// What of it stands on the floor, and shakes it.
    #[serde(default)]
    pub contacts: Vec<UsualContact>,
    /// Where the values come from.
    pub provenance: Provenance,
}

/// A pedal, foot, spike or castor that usually belongs to an instrument.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualContact {
    /// The name people read.
    pub name: String,
    /// Its contact force, by id.
    pub force: String,
    /// Where it stands from the middle of the instrument, m.
    #[serde(default)]
    pub at: [f64; 2],
    /// Stronger (+) or weaker (−) than that force while it sounds as loud as the catalogue says, dB.
    #[serde(default)]
    pub offset_db: f64,
}

/// A seal round a door or an opening light, as the width of the slit that leaks as much.
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
