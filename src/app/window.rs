//! The window itself: Bevy's own plugins, set up for a desktop program that rests while nothing happens.

use std::sync::Mutex;
use std::time::Duration;

use bevy::app::PluginGroupBuilder;
use bevy::log::{Level, LogPlugin};
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::settings::RenderCreation;
use bevy::window::{PresentMode, WindowResolution};
use bevy::winit::{UpdateMode, WinitSettings};
use bevy_egui::{EguiGlobalSettings, EguiPlugin};

/// Everything of Bevy's and egui's that the window needs.
pub(super) struct WindowPlugins {
    /// The device found by [`super::display`].
    pub graphics: RenderCreation,
    /// True when a picture is to be taken: the window then draws on until it is saved.
    pub shot: bool,
}
