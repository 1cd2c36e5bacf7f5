//! What goes on with files from frame to frame: what the thread beside the main one has done is taken in, unsaved work is kept, the open file is looked at.

use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy::app::AppExit;
use bevy::prelude::*;
use bevy::window::{FileDragAndDrop, WindowCloseRequested};
use bevy::winit::EventLoopProxyWrapper;

use crate::app::background::{Inbox, waker};
use crate::app::document::Document;
use crate::app::files::listing::{ENDING, Purpose};
use crate::app::files::native::Picked;
use crate::app::files::state::{Dialog, Files, Next};
use crate::app::files::worker::{Job, Overwrite, Report};
use crate::app::perform::Window;
use crate::app::stage::Stage;
use crate::app::widgets::name_of;
use crate::project::{Project, Solved};
use crate::scene::Scene;

/// How often the open file is looked at while the window is awake.
const LOOK_EVERY: Duration = Duration::from_secs(2);

pub(super) fn plugin(app: &mut App) {
    app.add_systems(PreUpdate, (dropped, closing))
        .add_systems(Update, (take_reports, autosave, look, solve_first).chain().before(Stage::Solve))
        .add_systems(Last, (leave, stop).chain());
}

fn dropped(mut messages: MessageReader<FileDragAndDrop>, mut files: ResMut<Files>, document: Res<Document>) {
    for message in messages.read() {
        if let FileDragAndDrop::DroppedFile { path_buf, .. } = message
            && files.dialog.is_none()
            && path_buf.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(ENDING))
        {
            files.go_on_or_ask(&document, Next::Open(path_buf.clone()));
        }
    }
}

fn closing(mut messages: MessageReader<WindowCloseRequested>, mut files: ResMut<Files>, document: Res<Document>) {
    if messages.read().count() > 0 {
        files.go_on_or_ask(&document, Next::Leave);
    }
}

/// What the thread beside has done.
fn take_reports(mut window: Window) {
    for report in window.files.worker.reports() {
        let files = &mut *window.files;
        match report {
            Report::Read(path, stamp, Ok(scene)) => {
                window.open(Document::read(path.clone(), scene), stamp);
                let files = &mut *window.files;
                (files.dialog, files.hint) = (None, None);
                files.worker.ask(Job::Forget);
                files.remember_used(&path);
            }
            Report::Read(path, _, Err(problem)) => files.problem("This file cannot be opened", Some(path), problem),
            Report::Changed(path, stamp, read) => {
                if window.document.path.as_ref() != Some(&path) || files.dialog.is_some() {
                    continue;
                }
                files.stamp = stamp;
                match read {
                    // It could not be read so far: whatever was put right is shown at once.
                    read if window.document.scene.is_none() => window.open(Document::of_read(path, read), stamp),
                    Ok(scene) if window.document.committed().is_some_and(|standing| **standing == scene) => {
                        files.known = stamp;
                    }
                    Ok(scene) => files.dialog = Some(Dialog::Changed(path, Box::new(scene))),
                    Err(problem) => {
                        files.problem("The file was changed elsewhere, and cannot be read now", Some(path), problem);
                    }
                }
            }
            Report::Written(path, stamp, scene) => {
                window.document.is_saved_as(path.clone(), scene);
                (files.stamp, files.known) = (stamp, stamp);
                if !window.document.is_unsaved() {
                    files.autosaved = window.document.committed().cloned();
                    files.worker.ask(Job::Forget);
                }
                files.remember_used(&path);
                window.editor.tell(format!("Saved as {}", name_of(&path)));
                if files.next != Next::Nothing {
                    files.go_on(&window.document);
                }
            }
            Report::IsThere(path) => files.dialog = Some(Dialog::Overwrite(path)),
            Report::ChangedMeanwhile(path) => files.dialog = Some(Dialog::Conflict(path)),
            Report::AutosaveFailed(folder, why) => files.autosave_failure = Some((folder, why)),
            Report::Autosaved => files.autosave_failure = None,
            Report::NotWritten(problem) => files.problem("The scene cannot be saved", None, problem),
            Report::Listed(folder, entries) => {
                if let Some(Dialog::Files(listing)) = &mut files.dialog
                    && listing.folder == folder
                {
                    listing.entries = Some(entries);
                }
            }
            Report::PickedOpen(Picked::File(path)) => {
                files.dialog = None;
                files.worker.ask(Job::Read(path));
            }
            // The desktop's dialog has asked itself whether to write over.
            Report::PickedSave(Picked::File(path)) => {
                let path = if path.extension().is_none() { path.with_extension(ENDING) } else { path };
                files.write(&window.document, path, Overwrite::Yes);
            }
            Report::PickedOpen(Picked::Nothing) | Report::PickedSave(Picked::Nothing) => files.close(),
            Report::PickedOpen(Picked::NoDialog) => files.list(Purpose::Open, &window.document),
            Report::PickedSave(Picked::NoDialog) => files.list(Purpose::Save, &window.document),
        }
    }
}

/// Has unsaved work kept.
fn autosave(mut files: ResMut<Files>, document: Res<Document>) {
    let Some(committed) = document.committed() else { return };
    if files.autosaved.as_ref().is_some_and(|saved| Arc::ptr_eq(saved, committed)) {
        return;
    }
    files.autosaved = Some(committed.clone());
    files.worker.ask(if document.is_unsaved() {
        Job::Autosave(committed.clone(), document.path.clone())
    } else {
        Job::Forget
    });
}

/// Has the open file looked at.
fn look(mut files: ResMut<Files>, document: Res<Document>) {
    if files.looked.elapsed() < LOOK_EVERY || files.dialog.is_some() {
        return;
    }
    files.looked = Instant::now();
    if let Some(path) = &document.path {
        files.worker.ask(Job::Look(path.clone(), files.stamp));
    }
}

/// Keeps the first answer of a new scene in step with what is answered to the questions about it.
fn solve_first(
    mut files: ResMut<Files>,
    mut solved: Local<Inbox<Solved>>,
    mut begun: Local<Option<Arc<Scene>>>,
    wake: Option<Res<EventLoopProxyWrapper>>,
) {
    let Some(Dialog::New(new)) = &mut files.dialog else {
        *begun = None;
        return;
    };
    for solved in solved.arrived() {
        // Of a scene that has changed meanwhile it is better than nothing.
        if Arc::ptr_eq(&solved.scene, &new.scene) || new.answer().is_none() {
            new.first = Some(Arc::new(solved));
        }
    }
    if !begun.as_ref().is_some_and(|begun| Arc::ptr_eq(begun, &new.scene)) {
        let scene = new.scene.clone();
        *begun = Some(scene.clone());
        solved.spawn(waker(wake.as_deref()), move || Project::of(scene).solve().ok());
    }
}

fn leave(files: Res<Files>, mut exit: MessageWriter<AppExit>) {
    if files.next == Next::Leave && files.dialog.is_none() {
        exit.write(AppExit::Success);
    }
}

/// Before the program ends, all files are written.
fn stop(mut files: ResMut<Files>, mut leaving: MessageReader<AppExit>) {
    if leaving.read().count() > 0 {
        files.worker.stop();
    }
}
