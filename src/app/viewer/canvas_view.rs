//! What the canvas shows.

use crate::app::view::{Highlight, View};
use crate::app::viewer::drawing::CurrentDrawing;
use crate::app::viewer::particles::Particles;
use crate::app::viewer::side_drawings::SideDrawings;
use crate::project::Solved;
use crate::scene::Problem;

#[derive(Debug, Clone, Copy)]
pub struct CanvasView<'a> {
    pub solved: Option<&'a Solved>,
    pub problems: &'a [Problem],
    pub drawn: &'a CurrentDrawing,
    pub view: &'a View,
    pub highlight: &'a Highlight,
    pub particles: &'a Particles,
    pub side_drawings: &'a SideDrawings,
    pub base: Option<&'a Solved>,
    /// What the base and what is shown beside it are called.
    pub names: [&'a str; 2],
    /// The variant that is shown, if it is one.
    pub variant: Option<&'a str>,
    /// True when there is something to save: a dot stands beside the name.
    pub unsaved: bool,
    /// True while others look: no tools are shown.
    pub plain: bool,
    /// True while the answer belongs to an earlier scene, or there is none yet.
    pub waiting: bool,
}
