//! The document: the open scene with its history. The window changes it by edits alone.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bevy::prelude::*;

use crate::catalogue::Catalogue;
use crate::edit::{Edit, History, Refused, apply};
use crate::scene::{Problem, Scene, file};

/// The scene the window opens with when none is named.
const WORKED_EXAMPLE: &str = include_str!("../../scenes/bookshop-terrace.ron");

#[derive(Debug, Clone, Default, Resource)]
pub struct Document {
    /// The scene as it is shown: as it is committed, or as a gesture under way would make it. Nothing when its file could not be read.
    pub scene: Option<Arc<Scene>>,
    /// Its file; nothing for the worked example and for a new scene.
    pub path: Option<PathBuf>,
    /// Counts every change, so that an answer can say which scene it belongs to.
    pub revision: u64,
    /// The revision it was opened with: answers from before belong to another scene.
    pub opened: u64,
    pub unreadable: Option<Problem>,
    history: Option<History>,
    /// The scene as it was last read or saved.
    saved: Option<Arc<Scene>>,
}

impl Document {
    /// Reads a scene file, or the worked example. A file that cannot be read leaves an empty document that says why.
    pub fn open(path: Option<PathBuf>) -> Self {
        let read = path.as_deref().map_or_else(|| file::from_text(WORKED_EXAMPLE), file::read);
        match path {
            Some(path) => Self::of_read(path, read),
            None => read.map_or_else(|problem| Self::unreadable(None, problem), Self::of),
        }
    }

    /// What came of reading a file.
    pub fn of_read(path: PathBuf, read: Result<Scene, Problem>) -> Self {
        match read {
            Ok(scene) => Self::read(path, scene),
            Err(problem) => Self::unreadable(Some(path), problem),
        }
    }

    fn unreadable(path: Option<PathBuf>, problem: Problem) -> Self {
        Self { path, revision: 1, opened: 1, unreadable: Some(problem), ..Self::default() }
    }

    /// A scene without a file, counted as saved until something is done to it.
    pub fn of(scene: Scene) -> Self {
        let history = History::new(scene);
        let scene = Some(history.scene().clone());
        let saved = scene.clone();
        Self { scene, saved, revision: 1, opened: 1, history: Some(history), ..Self::default() }
    }

    pub fn read(path: PathBuf, scene: Scene) -> Self {
        Self { path: Some(path), ..Self::of(scene) }
    }

    /// A scene that is in no file as it stands: begun from a template, or found again after a crash.
    pub fn unsaved(path: Option<PathBuf>, scene: Scene) -> Self {
        Self { path, saved: None, ..Self::of(scene) }
    }

    /// Another document in the place of this one; revisions go on counting.
    pub fn take_over(&mut self, other: Self) {
        let revision = self.revision + 1;
        *self = Self { revision, opened: revision, ..other };
    }

    fn show(&mut self, scene: Arc<Scene>) {
        if !self.scene.as_ref().is_some_and(|shown| Arc::ptr_eq(shown, &scene) || **shown == *scene) {
            self.revision += 1;
        }
        self.scene = Some(scene);
    }

    /// Does edits as one step; false when they change nothing.
    ///
    /// # Errors
    ///
    /// When one of them cannot be done; the scene is then as it stood.
    pub fn edit(&mut self, edits: &[Edit]) -> Result<bool, Refused> {
        let Some(history) = &mut self.history else { return Ok(false) };
        let done = history.edit(Catalogue::built_in_ref(), edits);
        let scene = history.scene().clone();
        self.show(scene);
        done
    }

    /// Shows what edits would do, without a step: a gesture under way.
    ///
    /// # Errors
    ///
    /// When one of them cannot be done; the scene as it stands is then shown.
    pub fn preview(&mut self, edits: &[Edit]) -> Result<(), Refused> {
        let Some(history) = &self.history else { return Ok(()) };
        let committed = history.scene().clone();
        let mut tried = (*committed).clone();
        for edit in edits {
            match apply(&tried, Catalogue::built_in_ref(), edit) {
                Ok(after) => tried = after,
                Err(refused) => {
                    self.show(committed);
                    return Err(refused);
                }
            }
        }
        self.show(Arc::new(tried));
        Ok(())
    }

    /// Shows the scene as it stands: a gesture was given up.
    pub fn cancel_preview(&mut self) {
        if let Some(history) = &self.history {
            let committed = history.scene().clone();
            self.show(committed);
        }
    }

    pub fn undo(&mut self) -> Option<String> {
        self.step(History::undo)
    }

    pub fn redo(&mut self) -> Option<String> {
        self.step(History::redo)
    }

    fn step(&mut self, step: impl FnOnce(&mut History) -> Option<String>) -> Option<String> {
        let history = self.history.as_mut()?;
        let name = step(history);
        let scene = history.scene().clone();
        self.show(scene);
        name
    }

    /// The scene as it stands, without a gesture under way.
    pub fn committed(&self) -> Option<&Arc<Scene>> {
        self.history.as_ref().map(History::scene)
    }

    pub fn folder(&self) -> Option<PathBuf> {
        let folder = self.path.as_deref().and_then(Path::parent)?;
        (!folder.as_os_str().is_empty()).then(|| folder.to_owned())
    }

    pub fn steps(&self) -> (Option<&str>, Option<&str>) {
        let history = self.history.as_ref();
        (
            history.and_then(|history| history.done().last()).map(|step| step.name.as_str()),
            history.and_then(|history| history.undone().last()).map(|step| step.name.as_str()),
        )
    }

    /// True when there is something to save. (Not `is_changed`: Bevy's handle to a resource has a method of that name, which would be taken instead.)
    pub fn is_unsaved(&self) -> bool {
        match (self.committed(), &self.saved) {
            (Some(now), Some(saved)) => !Arc::ptr_eq(now, saved) && **now != **saved,
            (Some(_), None) => true,
            (None, _) => false,
        }
    }

    /// Says that a scene is in this file. It is the one that stood when saving began.
    pub fn is_saved_as(&mut self, path: PathBuf, scene: Arc<Scene>) {
        self.saved = Some(scene);
        self.path = Some(path);
    }

    /// Takes over what the file says now, as one step that can be undone.
    pub fn take_from_file(&mut self, scene: Scene) {
        let Some(history) = &mut self.history else { return };
        history.replace("take over the file's changes".to_owned(), scene);
        let scene = history.scene().clone();
        self.saved = Some(scene.clone());
        self.show(scene);
    }

    /// Says that the file holds something else than what is shown.
    pub fn differs_from_file(&mut self) {
        self.saved = None;
    }

    /// What the window's title bar says; a dot stands for changes not saved.
    pub fn title(&self) -> String {
        let file = self.path.as_deref().and_then(Path::file_name).map(|name| name.to_string_lossy().into_owned());
        let scene = self.scene.as_ref().map(|scene| scene.name.clone());
        let mark = if self.is_unsaved() { "• " } else { "" };
        match scene.or(file) {
            Some(name) => format!("{mark}{name} – Leaklight"),
            None => "Leaklight".to_owned(),
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, name_window.run_if(resource_changed::<Document>));
}

fn name_window(document: Res<Document>, mut windows: Query<&mut Window>) {
    for mut window in &mut windows {
        let title = document.title();
        if window.title != title {
            window.title = title;
        }
    }
}
