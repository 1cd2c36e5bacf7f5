//! What has to do with files: what is asked now, what is known of the open file, and the way to the thread that touches the disk.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use bevy::prelude::Resource;

use crate::app::document::Document;
use crate::app::files::listing::{ENDING, Listing, Purpose};
use crate::app::files::native;
use crate::app::files::new_scene::NewScene;
use crate::app::files::places::Remembered;
use crate::app::files::recovery::Recovered;
use crate::app::files::worker::{Job, Overwrite, Stamp, Worker};
use crate::scene::{Problem, Scene};

#[derive(Debug)]
pub enum Dialog {
    New(Box<NewScene>),
    Files(Listing),
    Recent,
    Unsaved,
    /// Whether to write over a file.
    Overwrite(PathBuf),
    /// What to do with a file that was changed by someone else when it should be written.
    Conflict(PathBuf),
    /// Whether to take over what the file says now.
    Changed(PathBuf, Box<Scene>),
    /// Nothing: a file cannot be read or written.
    Problem(&'static str, Option<PathBuf>, Problem),
    Recovered(Vec<Recovered>),
    /// Nothing, while a dialog of the desktop is open.
    Native,
}

/// What goes on once the scene is saved, or its changes are given up.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Next {
    #[default]
    Nothing,
    Leave,
    New,
    Browse,
    Recent,
    Open(PathBuf),
}

#[derive(Resource)]
pub struct Files {
    pub dialog: Option<Dialog>,
    pub hint: Option<usize>,
    pub remembered: Remembered,
    pub worker: Worker,
    /// What goes on after the question that is open.
    pub next: Next,
    /// What the file looked like when it was seen last.
    pub stamp: Option<Stamp>,
    /// What it held when the scene was last read from it or written to it; another than `stamp` once it was changed elsewhere.
    pub known: Option<Stamp>,
    /// The folder that unsaved work is not kept in, and why.
    pub autosave_failure: Option<(PathBuf, String)>,
    pub looked: Instant,
    /// The scene that is kept, or the one that needs no keeping.
    pub autosaved: Option<Arc<Scene>>,
}

impl Files {
    /// Has recent files and hints remembered.
    pub fn remember(&self) {
        self.worker.ask(Job::Remember(self.remembered.clone()));
    }

    /// Puts a file on top of those opened last.
    pub fn remember_used(&mut self, path: &Path) {
        self.remembered.used(path);
        self.remember();
    }

    pub fn problem(&mut self, title: &'static str, path: Option<PathBuf>, problem: Problem) {
        self.next = Next::Nothing;
        self.dialog = Some(Dialog::Problem(title, path, problem));
    }

    /// The folder to begin in: the open file's, or that of the file opened last.
    fn folder(&self, document: &Document) -> Option<PathBuf> {
        let of = |path: &PathBuf| path.parent().filter(|folder| !folder.as_os_str().is_empty()).map(Path::to_owned);
        document.folder().or_else(|| self.remembered.recent.first().and_then(of))
    }

    pub fn list(&mut self, purpose: Purpose, document: &Document) {
        let absolute = |folder: PathBuf| std::path::absolute(folder).ok();
        let folder = self.folder(document).and_then(absolute).or_else(std::env::home_dir);
        let folder = folder.or_else(|| std::env::current_dir().ok()).unwrap_or_else(|| PathBuf::from("."));
        let name = if purpose == Purpose::Save { file_name(document) } else { String::new() };
        self.worker.ask(Job::List(folder.clone()));
        self.dialog = Some(Dialog::Files(Listing::of(purpose, folder, name)));
    }

    pub fn browse(&mut self, document: &Document) {
        if native::is_offered() {
            self.dialog = Some(Dialog::Native);
            self.worker.ask(Job::PickOpen(self.folder(document)));
        } else {
            self.list(Purpose::Open, document);
        }
    }

    pub fn save_as(&mut self, document: &Document) {
        if native::is_offered() {
            self.dialog = Some(Dialog::Native);
            self.worker.ask(Job::PickSave(self.folder(document), file_name(document)));
        } else {
            self.list(Purpose::Save, document);
        }
    }

    pub fn write(&mut self, document: &Document, path: PathBuf, over: Overwrite) {
        if let Some(scene) = document.committed().cloned() {
            self.worker.ask(Job::Write { path, scene, over });
        }
        self.dialog = None;
    }

    /// Saves the scene in its file, or looks for one.
    pub fn save(&mut self, document: &Document) {
        match document.path.clone() {
            Some(path) => self.write(document, path, Overwrite::Known(self.known)),
            None => self.save_as(document),
        }
    }

    /// Saves the scene in a file that was chosen from the list: a file of someone else's is asked about.
    pub fn save_to(&mut self, document: &Document, path: PathBuf) {
        let over = if document.path.as_ref() == Some(&path) { Overwrite::Known(self.known) } else { Overwrite::No };
        self.write(document, path, over);
    }

    /// Goes on, or asks first when something is unsaved.
    pub fn go_on_or_ask(&mut self, document: &Document, next: Next) {
        self.next = next;
        if document.is_unsaved() {
            self.dialog = Some(Dialog::Unsaved);
        } else {
            self.go_on(document);
        }
    }

    pub fn go_on(&mut self, document: &Document) {
        self.dialog = None;
        match std::mem::take(&mut self.next) {
            Next::Nothing => {}
            // Read at the end of the frame.
            Next::Leave => {
                self.worker.ask(Job::Forget);
                self.next = Next::Leave;
            }
            Next::New => self.dialog = Some(Dialog::New(Box::default())),
            Next::Browse => self.browse(document),
            Next::Recent => self.dialog = Some(Dialog::Recent),
            Next::Open(path) => self.worker.ask(Job::Read(path)),
        }
    }

    pub fn close(&mut self) {
        (self.dialog, self.next) = (None, Next::Nothing);
    }

    pub fn list_folder(&mut self, folder: PathBuf) {
        self.worker.ask(Job::List(folder.clone()));
        if let Some(Dialog::Files(listing)) = &mut self.dialog {
            (listing.folder, listing.entries) = (folder, None);
            if listing.purpose == Purpose::Open {
                listing.written.clear();
            }
        }
    }

    /// Takes up work left behind: the document it gives, and what is to be given up once that is kept.
    pub fn recover(&mut self, at: usize) -> Option<(Document, Recovered)> {
        let Some(Dialog::Recovered(mut left)) = self.dialog.take() else { return None };
        let one = if at < left.len() { left.remove(at) } else { return None };
        let scene = one.scene.as_ref().ok()?.clone();
        // What the file holds now is not known to be what this was made from: saving asks.
        (self.stamp, self.known) = (one.of.as_deref().and_then(Stamp::of), None);
        (self.autosaved, self.hint) = (None, None);
        Some((Document::unsaved(one.of.clone(), scene), one))
    }

    /// Gives up one piece of the work left behind.
    pub fn discard_recovered(&mut self, at: usize) {
        if let Some(Dialog::Recovered(left)) = &mut self.dialog
            && at < left.len()
        {
            self.worker.ask(Job::GiveUp(vec![left.remove(at)]));
        }
    }

    pub fn hints_are_seen(&mut self) {
        self.hint = None;
        self.remembered.hints_seen = true;
        self.remember();
    }
}

/// A name to begin with: the file's, or one made of the scene's name.
fn file_name(document: &Document) -> String {
    if let Some(name) = document.path.as_deref().and_then(Path::file_name) {
        return name.to_string_lossy().into_owned();
    }
    let name = document.scene.as_ref().map(|scene| scene.name.to_lowercase()).unwrap_or_default();
    let words: Vec<&str> =
        name.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let word = if words.is_empty() { "scene".to_owned() } else { words.join("-") };
    format!("{word}.{}", ENDING)
}
