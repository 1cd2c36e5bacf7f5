//! The document: the open scene as a plain value. The window changes it by replacing it whole.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bevy::prelude::*;

use crate::scene::{Problem, Scene, file};

/// The scene the window opens with when none is named.
const WORKED_EXAMPLE: &str = include_str!("../../scenes/bookshop-terrace.ron");

/// The open scene.
#[derive(Debug, Clone, Resource)]
pub struct Document {
    /// The scene; nothing when its file could not be read.
    pub scene: Option<Arc<Scene>>,
    /// Its file; nothing for the worked example.
    pub path: Option<PathBuf>,
    /// Counts every change, so that an answer can say which scene it belongs to.
    pub revision: u64,
    /// Why there is no scene.
    pub unreadable: Option<Problem>,
}

impl Document {
    /// Reads a scene file, or the worked example. A file that cannot be read leaves an empty document that says why.
    #[must_use]
    pub fn open(path: Option<PathBuf>) -> Self {
        let read = path.as_deref().map_or_else(|| file::from_text(WORKED_EXAMPLE), file::read);
        let (scene, unreadable) = match read {
            Ok(scene) => (Some(Arc::new(scene)), None),
            Err(problem) => (None, Some(problem)),
        };
        Self { scene, path, revision: 1, unreadable }
    }

    /// What the window's title bar says.
    #[must_use]
    pub fn title(&self) -> String {
        let file = self.path.as_deref().and_then(Path::file_name).map(|name| name.to_string_lossy().into_owned());
        let scene = self.scene.as_ref().map(|scene| scene.name.clone());
        match scene.or(file) {
            Some(name) => format!("{name} – Leaklight"),
            None => "Leaklight".to_owned(),
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, name_window.run_if(resource_changed::<Document>));
}

fn name_window(document: Res<Document>, mut windows: Query<&mut Window>) {
    for mut window in &mut windows {
        window.title = document.title();
    }
}
