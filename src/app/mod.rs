//! The window: the plan, coloured by what leaks, and beside it what one listener gets. The only place that names Bevy or egui.
//!
//! The scene is a plain value in [`document`], changed by edits alone; [`desk`] makes them of gestures; [`solving`] keeps the answer in step with it off the main thread; [`view`]
//! holds what the user looks at; [`canvas`] and [`panels`] read all three and return what the user asks for as [`view::Ask`].
//! Nothing runs while nothing changes.

pub mod canvas;
pub mod desk;
pub mod display;
pub mod document;
pub mod export;
pub mod files;
pub mod headless;
pub mod lessons;
pub mod panels;
pub mod present;
pub mod solving;
pub mod stream;
pub mod theme;
pub mod view;

mod shot;
mod window;

use std::path::PathBuf;

use bevy::prelude::*;

pub use display::NoWindow;

/// What the window is opened with.
#[derive(Debug, Clone, Default)]
pub struct WindowOptions {
    /// The scene to open; the worked example when there is none.
    pub scene: Option<PathBuf>,
    /// Save a picture of the window here (PNG) as soon as the answer is drawn, then close it.
    pub shot: Option<PathBuf>,
}

/// The order of things within one update. A system that reacts to input goes into `Ask`, one that changes what is drawn into `Draw`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, SystemSet)]
enum Stage {
    /// Take in answers that have arrived, start the solve of a changed scene.
    Solve,
    /// Bring the view in line with the answer: a listener that exists, the storey they are on.
    Look,
    /// Describe the plan and hand it to the GPU.
    Draw,
}

/// What the window knows of earlier sessions, and leaves for later ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Memories {
    /// Files opened last, hints seen, unsaved work: what this user's sessions left.
    OfThisUser,
    /// Nothing: the window is there for a picture or a test, asks nothing and leaves nothing.
    None,
}

/// Adds all of ours to an [`App`] that has Bevy's and egui's plugins: the program, the tests and the benches share it.
pub fn plugins(app: &mut App, document: document::Document, memories: Memories) {
    app.configure_sets(Update, (Stage::Solve, Stage::Look, Stage::Draw).chain());
    app.add_plugins((
        document::plugin,
        solving::plugin,
        theme::plugin,
        view::plugin,
        stream::plugin,
        export::plugin,
        canvas::plugin,
        panels::plugin,
    ));
    app.init_resource::<desk::Desk>().init_resource::<present::Present>().init_resource::<lessons::Teaching>();
    app.insert_resource(document);
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
