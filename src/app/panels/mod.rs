//! The panels beside and below the plan. Each is a function of what it shows, and returns what the user asks for.

pub mod advice;
pub mod advice_chart;
pub mod bands;
pub mod build_list;
pub mod checks;
pub mod export;
pub mod faces;
pub mod heard;
pub mod inspector;
pub mod lessons;
pub mod level_chart;
pub mod listeners;
pub mod paths;
pub mod problems;
pub mod search;
pub mod status;
pub mod summary;
pub mod variants;
pub mod versions;

use bevy::prelude::App;

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<lessons::LessonState>().add_plugins(export::plugin);
}
