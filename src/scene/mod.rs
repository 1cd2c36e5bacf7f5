//! The document: what is drawn and chosen. A plain value; nothing here knows what sound does.

pub mod edits;
pub mod file;
mod ids;
pub mod model;
mod prices;
pub mod problem;
pub mod reader;
pub mod saved_view;
pub mod shell;
pub mod shown;
mod sound;
pub mod validate;
mod variant;
pub mod whole;
pub mod workmanship;

pub use edits::{Edit, Item, Pick, Point, SceneProperties};
pub use ids::{DuctId, ListenerId, NodeId, OpeningId, RoomId, SourceId, StoreyId, WallId};
pub use model::*;
pub use prices::Prices;
pub use problem::{Problem, Severity, Thing};
pub use saved_view::{Light, Lit, SavedView};
pub use shell::{Cover, InnerShell, ShellFace, ShellOpening, Support};
pub use sound::*;
pub use variant::Variant;
pub use workmanship::Workmanship;
