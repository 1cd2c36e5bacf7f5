//! What a scene can name: materials, constructions, finishes, sources, targets, seals. Read from `assets/*.ron`, each with its source.

mod check;
pub mod construction;
pub mod finish;
pub mod force;
pub(crate) mod limits;
pub mod load;
pub mod lookup;
pub mod material;
pub mod provenance;
pub mod reference;
pub mod seal;
pub mod source;
pub mod target;

use std::collections::BTreeMap;

pub use crate::acoustics::bridges::Bridge;
pub use construction::{Build, Construction, ConstructionKind, Layer, LeafSize, UsualRw};
pub use finish::Finish;
pub use force::{FloorForce, Force};
pub use load::{CatalogueFault, CatalogueFaults, CatalogueText};
pub use lookup::UnknownId;
pub use material::Material;
pub use provenance::{Provenance, Standing};
pub use reference::Reference;
pub use seal::Seal;
pub use source::SoundSource;
pub use target::Target;

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
