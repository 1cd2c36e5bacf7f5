//! Names by which the parts of a scene know each other, and what their types share.

use serde::{Deserialize, Serialize};

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl From<&str> for $name {
            fn from(word: &str) -> Self {
                Self(word.to_owned())
            }
        }
    )+};
}

ids! {
    /// A storey, unique in the scene.
    StoreyId,
    /// A node, unique in its storey.
    NodeId,
    /// A wall, unique in its storey.
    WallId,
    /// An opening, unique in its storey.
    OpeningId,
    /// A room marker, unique in the scene.
    RoomId,
    /// A source, unique in the scene.
    SourceId,
    /// A listener, unique in the scene.
    ListenerId,
    /// A duct, unique in the scene.
    DuctId,
}

/// What has its usual value is left out of the file, so that a written one reads like one made by hand.
pub(super) fn is_usual<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

pub(super) fn yes() -> bool {
    true
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
pub(super) fn is_yes(value: &bool) -> bool {
    *value
}
