//! What a scene can name: materials, constructions, finishes, sources, targets, seals. Read from `assets/*.ron`, each with its source.

mod check;
pub mod construction;
mod contents;
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

pub use crate::acoustics::bridges::Bridge;
pub use construction::{Build, Construction, ConstructionKind, Layer, LeafSize, UsualRw};
pub use contents::Catalogue;
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
