//! Showing the building to others: the whole window, large letters, no tools, one kept view after another with what is said to it.

mod saved;
mod show;
mod views;

use bevy::prelude::Resource;

pub use saved::{kept, look_as};
pub use show::{PresentAnswer, present_ui};
pub use views::{ViewsAnswer, views_ui};

/// Letters and everything else are so much larger while others look.
pub const LARGER: f32 = 1.3;

/// Whether the building is shown to others, and what is kept to show.
#[derive(Debug, Clone, Default, PartialEq, Resource)]
pub struct Present {
    /// Which of the scene's views is shown, by position; nothing while the window is worked in.
    pub at: Option<usize>,
    /// True while the list of views is open.
    pub list: bool,
    /// What was looked at before, to come back to.
    pub before: Option<Box<super::view::View>>,
}

impl Present {
    /// Begins to show, or shows another view, or ends. Keeps within the views there are; without any, what is looked at is shown.
    pub fn step(&mut self, to: Option<usize>, views: usize, now: &super::view::View) {
        if to.is_some() && self.at.is_none() {
            self.before = Some(Box::new(now.clone()));
            self.list = false;
        }
        self.at = to.map(|at| at.min(views.saturating_sub(1)));
    }
}
