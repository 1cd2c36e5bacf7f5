//! A build of a house: what views and comparisons are of.

use crate::building::Building;
use crate::scene::Scene;
use crate::solve::Answer;

/// A scene with what was computed from it.
#[derive(Debug, Clone, Copy)]
pub struct Variant<'a> {
    /// The scene.
    pub scene: &'a Scene,
    /// Its building.
    pub building: &'a Building,
    /// Its answer.
    pub answer: &'a Answer,
}
