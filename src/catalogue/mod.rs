//! What a scene can name: materials, constructions, finishes, sources, targets, seals. Read from `assets/*.ron`, each with its source.

mod check;
pub mod construction;
mod contents;
pub mod force;
pub mod goods;
pub(crate) mod limits;
pub mod load;
pub mod lookup;
pub mod material;
pub mod provenance;
pub mod target;

pub use crate::acoustics::bridges::Bridge;
pub use construction::{Build, Construction, ConstructionKind, Layer, UsualRw};
pub use contents::{Catalogue, Finish, Reference, Seal, SoundSource, UsualContact};
pub use force::{FloorForce, Force};
pub use goods::Good;
pub use load::CatalogueFault;
pub use lookup::UnknownId;
pub use material::Material;
pub use provenance::{Certainty, Provenance};
pub use target::Target;
