//! The window: the plan, coloured by what leaks, and beside it what one listener gets. The only place that names Bevy or egui.
//!
//! The scene is a plain value in [`document`], changed by edits alone; [`editor`] makes them of gestures; [`solving`] keeps the answer in step with it off the main thread;
//! [`view`] holds what the user looks at. [`viewer`], [`panels`], [`files`] and [`editor`] read them and return what the user asks for as [`command::Command`]s,
//! which [`perform`] does; [`layout`] says what stands where. Nothing runs while nothing changes.

pub mod advising;
pub mod background;
pub mod command;
pub mod deciding;
pub mod display;
pub mod document;
pub mod editor;
pub mod files;
pub mod headless;
pub mod layout;
pub mod listed;
pub mod panels;
pub mod perform;
pub mod solving;
pub mod theme;
pub mod view;
pub mod viewer;
pub mod widgets;

mod shot;
mod stage;
mod vary;
mod veil;
mod window;

use std::path::PathBuf;

use bevy::prelude::*;

use files::Memories;
use stage::Stage;

pub use display::NoWindow;

/// What the window is opened with.
#[derive(Debug, Clone, Default)]
pub struct WindowOptions {
    /// The scene to open; the worked example when there is none.
    pub scene: Option<PathBuf>,
    /// Save a picture of the window here (PNG) as soon as the answer is drawn, then close it.
    pub shot: Option<PathBuf>,
}

/// Adds all of ours to an [`App`] that has Bevy's and egui's plugins: the program, the tests and the benches share it.
pub fn plugins(app: &mut App, document: document::Document, memories: Memories) {
    app.configure_sets(Update, (Stage::Solve, Stage::Look, Stage::Draw).chain());
    app.insert_resource(document);
    app.add_plugins((
        document::plugin,
        solving::plugin,
        veil::plugin,
        deciding::plugin,
        advising::plugin,
        view::plugin,
        viewer::plugin,
        editor::plugin,
        panels::plugin,
        layout::plugin,
    ));
    files::plugin(app, memories);
}

/// Opens the window and stays until it is closed.
///
/// # Errors
///
/// [`NoWindow`] when no display or graphics adapter can be had, found out before anything is opened; or when the picture asked
/// for could not be saved.
pub fn run(options: WindowOptions) -> Result<(), NoWindow> {
    let graphics = display::graphics()?;
    let shot_failure = shot::Failure::default();
    let mut app = display::guarded(|| {
        let mut app = App::new();
        app.add_plugins(window::WindowPlugins::new(graphics, options.shot.is_some()));
        app
    })?;
    let memories = if options.shot.is_some() { Memories::None } else { Memories::OfThisUser };
    // From the root on, so that unsaved work is found to belong to this file from wherever the program is started next.
    let path = options.scene.map(|path| std::path::absolute(&path).unwrap_or(path));
    plugins(&mut app, document::Document::open(path), memories);
    if let Some(path) = options.shot {
        shot::plugin(&mut app, path, shot_failure.clone());
    }
    app.run();
    shot_failure.into_result()
}
