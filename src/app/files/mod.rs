//! Scenes and their files: begun, opened, saved, found again after a crash, watched on disk. What the user is asked stands in [`dialogs`], [`listing`]
//! and [`new_scene`]; what touches the disk runs on the thread of [`worker`].

pub mod dialogs;
pub mod hints;
pub mod listing;
pub mod native;
pub mod new_scene;
pub mod pictures;
pub mod places;
pub mod recovery;
pub mod state;
pub mod systems;
pub mod worker;

use std::time::Instant;

use bevy::prelude::*;
use bevy::winit::EventLoopProxyWrapper;

use crate::app::background::waker;
use crate::app::document::Document;
use crate::app::files::places::Remembered;
use crate::app::files::recovery::Recovered;
use crate::app::files::state::{Dialog, Files, Next};
use crate::app::files::worker::{Stamp, Worker};

/// What the window knows of earlier sessions, and leaves for later ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Memories {
    /// Files opened last, hints seen, unsaved work: what this user's sessions left.
    OfThisUser,
    /// Nothing: the window is there for a picture or a test, asks nothing and leaves nothing.
    None,
}

pub(super) fn plugin(app: &mut App, memories: Memories) {
    let alone = memories == Memories::None;
    let others = if alone { vec![] } else { places::other_folders() };
    let folder = if alone { None } else { places::state_folder().or_else(|| others.first().cloned()) };
    let worker = Worker::start(folder.clone(), waker(app.world().get_resource::<EventLoopProxyWrapper>()));
    let remembered = Remembered::read(folder.as_deref());
    let left: Vec<Recovered> = folder.iter().chain(&others).flat_map(|folder| recovery::left_behind(folder)).collect();
    let document = app.world().resource::<Document>();
    let stamp = document.path.as_deref().and_then(Stamp::of);
    let mut files = Files {
        dialog: (!left.is_empty()).then_some(Dialog::Recovered(left)),
        hint: (!alone && !remembered.hints_seen && document.path.is_none()).then_some(0),
        stamp,
        known: stamp,
        autosave_failure: None,
        autosaved: document.committed().cloned(),
        remembered,
        worker,
        next: Next::Nothing,
        looked: Instant::now(),
    };
    if let (Some(path), Some(_)) = (&document.path, &document.scene) {
        files.remember_used(path);
    }
    app.insert_resource(files).add_plugins((pictures::plugin, systems::plugin));
}
