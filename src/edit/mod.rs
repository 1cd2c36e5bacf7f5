//! Changes of a scene, as values. One enum, one function that applies it; nothing else in the window changes a scene.
//!
//! An edit gives a new scene and leaves the old one as it was, so that undoing is taking back the old one ([`History`]).

mod apply;
mod copying;
pub mod ducts;
mod graph;
mod history;
mod moving;
mod naming;
mod one_thing;
mod placing;
mod refused;
mod rooms;
pub mod snap;
mod storeys;
mod variants;

pub use crate::scene::{Edit, Item, Pick, Point, SceneProperties};
pub use apply::apply;
pub use copying::{beside, copies};
pub use graph::{distance, ends};
pub use history::{History, Step};
pub use naming::{fresh_id, put_by};
pub use one_thing::{opening, wall};
pub use refused::Refused;
pub use storeys::nothing_drawn;
pub use variants::{edited_in, fitting, followed, narrowed, recorded, varied};
