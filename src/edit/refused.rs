//! Why an edit cannot be done.

use crate::scene::{Scene, Storey, StoreyId};

/// Why an edit cannot be done, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Refused(pub String);

impl Refused {
    pub(super) fn because(why: impl Into<String>) -> Self {
        Self(why.into())
    }
}

/// A storey to be changed.
pub(super) fn storey_mut<'a>(scene: &'a mut Scene, id: &StoreyId) -> Result<&'a mut Storey, Refused> {
    scene
        .storeys
        .iter_mut()
        .find(|storey| storey.id == *id)
        .ok_or_else(|| Refused::because(format!("There is no storey \"{id}\".")))
}
