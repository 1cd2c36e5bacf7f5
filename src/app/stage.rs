//! The order of things within one update.

use bevy::prelude::SystemSet;

/// A system that starts or takes in work goes into `Solve`, one that changes what is drawn into `Draw`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, SystemSet)]
pub(super) enum Stage {
    /// Take in answers that have arrived, start the solve of a changed scene.
    Solve,
    /// Bring the view in line with the answer: a listener that exists, the storey they are on.
    Look,
    /// Describe the plan and hand it to the GPU.
    Draw,
}
