//! What the canvas shows.

use crate::app::view::{Highlight, View};
use crate::app::viewer::drawing::CurrentDrawing;
use crate::app::viewer::particles::Particles;
use crate::app::viewer::side_drawings::SideDrawings;
use crate::project::Solved;
use crate::scene::Problem;

/// What the canvas shows.
#[derive(Debug, Clone, Copy)]
pub struct CanvasView<'a> {
    /// The answer, if there is one.
    pub solved: Option<&'a Solved>,
    /// Why there is none.
    pub problems: &'a [Problem],
    /// The plan.
    pub drawn: &'a CurrentDrawing,
    /// What is looked at.
    pub view: &'a View,
    /// What is marked.
    pub highlight: &'a Highlight,
    /// The motes on it.
    pub particles: &'a Particles,
    /// What is drawn beside it.
    pub side_drawings: &'a SideDrawings,
    /// What was kept to compare with.
    pub base: Option<&'a Solved>,
    /// True while others look: no tools are shown.
    pub plain: bool,
    /// True while the answer belongs to an earlier scene, or there is none yet.
    pub waiting: bool,
}
