//! Changes of a scene, as values. One enum, one function that applies it; nothing else in the window changes a scene.
//!
//! An edit gives a new scene and leaves the old one as it was, so that undoing is taking back the old one ([`History`]).

mod apply;
mod copying;
pub mod ducts;
mod graph;
mod history;
mod model;
mod moving;
mod naming;
mod placing;
mod rooms;
pub mod snap;
mod storeys;

pub use apply::apply;
pub use copying::{beside, copies};
pub use graph::{distance, ends};
pub use history::{History, Step};
pub use model::{Edit, Item, Pick, Point, Refused, SceneProperties};
pub use naming::fresh_id;
pub use storeys::nothing_drawn;
