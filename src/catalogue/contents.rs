//! All that can be named, in one value.

use std::collections::BTreeMap;

use super::construction::Construction;
use super::finish::Finish;
use super::force::FloorForce;
use super::material::Material;
use super::reference::Reference;
use super::seal::Seal;
use super::source::SoundSource;
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
}
