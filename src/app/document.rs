//! The document: the open scene with its history. The window changes it by edits alone.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bevy::prelude::*;

use crate::catalogue::Catalogue;
use crate::edit::{Edit, History, Refused, apply, edited_in, followed, varied};
use crate::scene::{Problem, Scene, Thing, Variant, file};

/// The scene the window opens with when none is named.
const WORKED_EXAMPLE: &str = include_str!("../../scenes/bookshop-terrace.ron");

/// What can be built of a scene: what is drawn, or what one of its variants makes of it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Version {
    #[default]
    Drawn,
    /// A variant, by its name.
    Variant(String),
}

impl Version {
    pub const DRAWN: &str = "As drawn";

    pub fn name(&self) -> &str {
        match self {
            Self::Drawn => Self::DRAWN,
            Self::Variant(name) => name,
        }
    }

    /// What is drawn, and all variants of it.
    pub fn all(scene: &Scene) -> Vec<Self> {
        let variants = scene.variants.iter().map(|variant| Self::Variant(variant.name.clone()));
        std::iter::once(Self::Drawn).chain(variants).collect()
    }

    /// Its position among the scene's variants; nothing for what is drawn, and for one that is gone.
    pub fn at(&self, variants: &[Variant]) -> Option<usize> {
        match self {
            Self::Drawn => None,
            Self::Variant(name) => variants.iter().position(|variant| variant.name == *name),
        }
    }
}

#[derive(Debug, Clone, Default, Resource)]
pub struct Document {
    /// The scene as it is shown: as it stands, or as a gesture under way would make it. Nothing when its file could not be read.
    pub scene: Option<Arc<Scene>>,
    /// Its file; nothing for the worked example and for a new scene.
    pub path: Option<PathBuf>,
    /// Counts every change, so that an answer can say which scene it belongs to.
    pub revision: u64,
    /// The revision it was opened with: answers from before belong to another scene.
    pub opened: u64,
    pub unreadable: Option<Problem>,
    /// What is drawn, with its variants and all that was done to them.
    history: Option<History>,
    /// Which of them is shown and changed.
    shown: Version,
    /// What is shown without a gesture under way: what is drawn, or what the variant shown makes of it.
    standing: Option<Arc<Scene>>,
    /// What of the variant shown no longer fits what is drawn, a sentence each.
    misfits: Vec<String>,
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
        let (saved, standing) = (scene.clone(), scene.clone());
        Self { scene, saved, standing, revision: 1, opened: 1, history: Some(history), ..Self::default() }
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

    /// What is drawn has changed, or something else of it is to be shown: makes and shows it.
    fn stand(&mut self) {
        let Some(history) = &self.history else { return };
        let drawn = history.scene().clone();
        let (standing, misfits) = match self.shown.at(&drawn.variants) {
            Some(at) => {
                let (made, misfits) = varied(&drawn, Catalogue::built_in_ref(), &drawn.variants[at]);
                (Arc::new(made), misfits)
            }
            None => {
                self.shown = Version::Drawn;
                (drawn, vec![])
            }
        };
        (self.standing, self.misfits) = (Some(standing.clone()), misfits);
        self.show(standing);
    }

    /// The same after a step; the variant shown is followed to its new name, and what is drawn is shown where it is gone.
    fn follow(&mut self, before: &Scene) {
        if let (Version::Variant(name), Some(history)) = (&self.shown, &self.history) {
            let now = followed(&before.variants, &history.scene().variants, name);
            self.shown = now.map_or(Version::Drawn, Version::Variant);
        }
        self.stand();
    }

    /// Which version is shown and changed.
    pub fn shown(&self) -> &Version {
        &self.shown
    }

    /// Shows what is drawn, or a variant, from now on; what is drawn where there is none of that name.
    pub fn show_version(&mut self, version: Version) {
        self.shown = version;
        self.stand();
    }

    /// What a version would be, with what of it does not fit; nothing where there is none of that name.
    pub fn made(&self, version: &Version) -> Option<(Arc<Scene>, Vec<String>)> {
        let drawn = self.committed()?;
        if *version == Version::Drawn {
            return Some((drawn.clone(), vec![]));
        }
        let (made, misfits) =
            varied(drawn, Catalogue::built_in_ref(), drawn.variants.get(version.at(&drawn.variants)?)?);
        Some((Arc::new(made), misfits))
    }

    /// What of the variant shown no longer fits what is drawn.
    pub fn misfits(&self) -> &[String] {
        &self.misfits
    }

    /// The same as problems of the scene.
    pub fn misfit_problems(&self) -> Vec<Problem> {
        let at = self.committed().and_then(|drawn| self.shown.at(&drawn.variants)).map_or(0, |at| at + 1);
        let to_do = "put back what it is about, or take the step out of the variant";
        self.misfits.iter().map(|what| Problem::warning(None, Thing::Variant(at), what.clone(), to_do)).collect()
    }

    /// Does edits as one step; false when they change nothing. While a variant is shown they become part of it.
    ///
    /// # Errors
    ///
    /// When one of them cannot be done; the scene is then as it stood.
    pub fn edit(&mut self, edits: &[Edit]) -> Result<bool, Refused> {
        let Some(history) = &mut self.history else { return Ok(false) };
        let (catalogue, before) = (Catalogue::built_in_ref(), history.scene().clone());
        let done = match (self.shown.at(&before.variants), edits.first()) {
            (Some(at), Some(first)) => edited_in(&before, catalogue, at, edits).map(|after| {
                let of_variant = after.variants.len() == before.variants.len()
                    && after.variants.iter().zip(&before.variants).any(|(after, before)| after.edits != before.edits);
                let place =
                    if of_variant { format!(", in \u{201c}{}\u{201d}", self.shown.name()) } else { String::new() };
                history.replace(format!("{}{place}", first.name()), after)
            }),
            _ => history.edit(catalogue, edits),
        };
        self.follow(&before);
        done
    }

    /// Shows what edits would do, without a step: a gesture under way.
    ///
    /// # Errors
    ///
    /// When one of them cannot be done; the scene as it stands is then shown.
    pub fn preview(&mut self, edits: &[Edit]) -> Result<(), Refused> {
        let Some(standing) = self.standing.clone() else { return Ok(()) };
        let mut tried = (*standing).clone();
        for edit in edits {
            match apply(&tried, Catalogue::built_in_ref(), edit) {
                Ok(after) => tried = after,
                Err(refused) => {
                    self.show(standing);
                    return Err(refused);
                }
            }
        }
        self.show(Arc::new(tried));
        Ok(())
    }

    /// Shows the scene as it stands: a gesture was given up.
    pub fn cancel_preview(&mut self) {
        if let Some(standing) = self.standing.clone() {
            self.show(standing);
        }
    }

    pub fn undo(&mut self) -> Option<String> {
        self.step(History::undo)
    }

    pub fn redo(&mut self) -> Option<String> {
        self.step(History::redo)
    }

    /// Takes a step back or forth. Where it changes one variant alone, that one is shown: nobody should have to search for what was undone.
    fn step(&mut self, step: impl FnOnce(&mut History) -> Option<String>) -> Option<String> {
        let history = self.history.as_mut()?;
        let before = history.scene().clone();
        let name = step(history);
        let after = history.scene();
        if before.variants.len() == after.variants.len() {
            let mut changed = before.variants.iter().zip(&after.variants).filter(|(old, new)| old.edits != new.edits);
            if let (Some((variant, _)), None) = (changed.next(), changed.next()) {
                self.shown = Version::Variant(variant.name.clone());
            }
        }
        self.follow(&before);
        name
    }

    /// What is drawn, with its variants, without a gesture under way: what files hold, whichever variant is shown.
    pub fn committed(&self) -> Option<&Arc<Scene>> {
        self.history.as_ref().map(History::scene)
    }

    /// What is shown, without a gesture under way.
    pub fn standing(&self) -> Option<&Arc<Scene>> {
        self.standing.as_ref()
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
        let before = history.scene().clone();
        history.replace("take over the file's changes".to_owned(), scene);
        self.saved = Some(history.scene().clone());
        self.follow(&before);
    }

    /// Says that the file holds something else than what is shown.
    pub fn differs_from_file(&mut self) {
        self.saved = None;
    }

    /// What the window's title bar says; a dot stands for changes not saved.
    pub fn title(&self) -> String {
        let file = self.path.as_deref().and_then(Path::file_name).map(|name| name.to_string_lossy().into_owned());
        let variant = if self.shown == Version::Drawn { String::new() } else { format!(": {}", self.shown.name()) };
        let scene = self.scene.as_ref().map(|scene| format!("{}{variant}", scene.name));
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
