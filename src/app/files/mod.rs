//! Scenes and their files: begun, opened, saved, found again after a crash, watched on disk. What the user is asked stands in
//! [`dialogs`], [`listing`] and [`new_scene`]; what touches the disk runs on the thread of [`worker`].

pub mod dialogs;
pub mod listing;
pub mod menu;
pub mod native;
pub mod new_scene;
mod pictures;
pub mod places;
pub mod recovery;
pub mod trail;
pub mod worker;

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use bevy::app::AppExit;
use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task};
use bevy::window::{FileDragAndDrop, WindowCloseRequested};
use bevy::winit::{EventLoopProxyWrapper, WinitUserEvent};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass, egui};

use super::canvas::Frame;
use super::desk::actions::Action;
use super::desk::{Desk, Mode, Tool};
use super::document::Document;
use super::lessons::Teaching;
use super::present::Present;
use super::solving::Solved;
use super::theme::Palette;
use super::view::View;
use crate::catalogue::Catalogue;
use crate::project::Project;
use crate::scene::{Problem, Scene};
use dialogs::FileAsk;
use listing::{Listing, Purpose};
use native::Picked;
use new_scene::NewScene;
use places::Remembered;
use recovery::Recovered;
use worker::{Job, Over, Report, Stamp, Worker};

/// How often the open file is looked at while the window is awake.
const LOOK_EVERY: Duration = Duration::from_secs(2);

/// What is asked of the user.
#[derive(Debug)]
pub enum Dialog {
    /// A new scene.
    New(Box<NewScene>),
    /// A file, from the window's own list.
    Files(Listing),
    /// The files opened last.
    Recent,
    /// What to do with unsaved changes before going on.
    Unsaved,
    /// Whether to write over a file.
    Over(PathBuf),
    /// What to do with a file that was changed by someone else when it should be written.
    Clash(PathBuf),
    /// Whether to take over what the file says now.
    Changed(PathBuf, Box<Scene>),
    /// Nothing: a file cannot be read or written.
    Trouble(&'static str, Option<PathBuf>, Problem),
    /// Whether to take up work left behind.
    Left(Vec<Recovered>),
    /// Nothing, while a dialog of the desktop is open.
    Elsewhere,
}

/// What goes on once the scene is saved, or its changes are given up.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
enum Next {
    #[default]
    Nothing,
    Leave,
    New,
    Browse,
    Recent,
    Open(PathBuf),
}

/// The state of all that has to do with files.
#[derive(Resource)]
pub struct Files {
    /// What is asked now.
    pub dialog: Option<Dialog>,
    /// The hint shown, counted from the first.
    pub hint: Option<usize>,
    remembered: Remembered,
    worker: Worker,
    next: Next,
    stamp: Option<Stamp>,
    /// What the file held when the scene was last read from it or written to it; another stamp than that last seen once it was changed elsewhere.
    known: Option<Stamp>,
    /// The folder that unsaved work is not kept in, and why.
    not_kept: Option<(PathBuf, String)>,
    looked: Instant,
    /// The scene that is kept, or the one that needs no keeping.
    kept: Option<Arc<Scene>>,
    first: FirstAnswer,
}

/// Solves what is begun, off the main thread; only the latest counts.
struct FirstAnswer {
    sender: Sender<Arc<Solved>>,
    receiver: Mutex<Receiver<Arc<Solved>>>,
    begun: Option<Arc<Scene>>,
    task: Option<Task<()>>,
}

impl Files {
    fn remember(&self) {
        self.worker.ask(Job::Remember(self.remembered.clone()));
    }

    fn trouble(&mut self, title: &'static str, path: Option<PathBuf>, problem: Problem) {
        self.next = Next::Nothing;
        self.dialog = Some(Dialog::Trouble(title, path, problem));
    }

    fn folder(&self, document: &Document) -> Option<PathBuf> {
        let of = |path: &PathBuf| path.parent().filter(|folder| !folder.as_os_str().is_empty()).map(Path::to_owned);
        document.path.as_ref().and_then(of).or_else(|| self.remembered.recent.first().and_then(of))
    }

    fn list(&mut self, purpose: Purpose, folder: Option<PathBuf>, name: String) {
        let here = || std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
        let folder = folder.and_then(|folder| std::path::absolute(folder).ok()).or_else(std::env::home_dir);
        let folder = folder.unwrap_or_else(here);
        self.worker.ask(Job::List(folder.clone()));
        self.dialog = Some(Dialog::Files(Listing::of(purpose, folder, name)));
    }

    fn browse(&mut self, document: &Document) {
        let folder = self.folder(document);
        if native::is_offered() {
            self.dialog = Some(Dialog::Elsewhere);
            self.worker.ask(Job::PickOpen(folder));
        } else {
            self.list(Purpose::Open, folder, String::new());
        }
    }

    fn save_as(&mut self, document: &Document) {
        let (folder, name) = (self.folder(document), file_name(document));
        if native::is_offered() {
            self.dialog = Some(Dialog::Elsewhere);
            self.worker.ask(Job::PickSave(folder, name));
        } else {
            self.list(Purpose::Save, folder, name);
        }
    }

    fn write(&mut self, document: &Document, path: PathBuf, over: Over) {
        if let Some(scene) = document.standing().cloned() {
            self.worker.ask(Job::Write { path, scene, over });
        }
        self.dialog = None;
    }

    fn save(&mut self, document: &Document) {
        match document.path.clone() {
            Some(path) => self.write(document, path, Over::Known(self.known)),
            None => self.save_as(document),
        }
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
    format!("{word}.{}", listing::ENDING)
}

/// True while a question is open: keys then belong to it.
#[must_use]
pub fn question_is_open(context: &egui::Context) -> bool {
    context.memory(|memory| memory.top_modal_layer().is_some())
}

pub(super) fn plugin(app: &mut App, memories: super::Memories) {
    let alone = memories == super::Memories::None;
    let others = || places::other_folders().into_iter();
    let folder = if alone { None } else { places::state_folder().or_else(|| others().next()) };
    let wake = app.world().get_resource::<EventLoopProxyWrapper>().map(|wake| (**wake).clone());
    let wake = Mutex::new(wake);
    let worker = Worker::start(folder.clone(), move || {
        if let Some(wake) = &*wake.lock().unwrap_or_else(PoisonError::into_inner) {
            let _closed = wake.send_event(WinitUserEvent::WakeUp);
        }
    });
    let remembered = Remembered::read(folder.as_deref());
    let left =
        folder.iter().cloned().chain(others().filter(|_| !alone)).flat_map(|folder| recovery::left_behind(&folder));
    let left: Vec<Recovered> = left.collect();
    let document = app.world().resource::<Document>();
    let hint = (!alone && !remembered.hints_seen && document.path.is_none()).then_some(0);
    let (sender, receiver) = channel();
    let files = Files {
        dialog: (!left.is_empty()).then_some(Dialog::Left(left)),
        hint,
        stamp: document.path.as_deref().and_then(Stamp::of),
        known: document.path.as_deref().and_then(Stamp::of),
        not_kept: None,
        kept: document.standing().cloned(),
        remembered,
        worker,
        next: Next::Nothing,
        looked: Instant::now(),
        first: FirstAnswer { sender, receiver: Mutex::new(receiver), begun: None, task: None },
    };
    if let (Some(path), true) = (document.path.clone(), document.scene.is_some()) {
        let mut files = files;
        files.remembered.used(&path);
        files.remember();
        app.insert_resource(files);
    } else {
        app.insert_resource(files);
    }
    pictures::plugin(app);
    app.add_systems(PreUpdate, (dropped, closing))
        .add_systems(Update, (take_reports, keep, look, solve_first).chain().before(super::Stage::Solve))
        .add_systems(EguiPrimaryContextPass, show.after(super::panels::show))
        .add_systems(Last, (leave, stop).chain());
}

/// What a change of the document does to the rest of the window.
fn begin(document: &mut Document, other: Document, desk: &mut Desk, view: &mut View, frame: &mut Frame) {
    document.take_over(other);
    *desk = Desk { mode: desk.mode, choices: desk.choices.clone(), ..Desk::default() };
    (view.storey, view.listener) = (None, None);
    frame.fitted = true;
}

/// Files dropped onto the window.
fn dropped(mut messages: MessageReader<FileDragAndDrop>, mut files: ResMut<Files>, document: Res<Document>) {
    for message in messages.read() {
        if let FileDragAndDrop::DroppedFile { path_buf, .. } = message
            && files.dialog.is_none()
            && path_buf.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(listing::ENDING))
        {
            go_on_or_ask(&mut files, &document, Next::Open(path_buf.clone()));
        }
    }
}

/// The window's close button.
fn closing(mut messages: MessageReader<WindowCloseRequested>, mut files: ResMut<Files>, document: Res<Document>) {
    if messages.read().count() > 0 {
        go_on_or_ask(&mut files, &document, Next::Leave);
    }
}

/// Goes on, or asks first when something is unsaved.
fn go_on_or_ask(files: &mut Files, document: &Document, next: Next) {
    files.next = next;
    if document.is_unsaved() {
        files.dialog = Some(Dialog::Unsaved);
    } else {
        go_on(files, document);
    }
}

fn go_on(files: &mut Files, document: &Document) {
    files.dialog = None;
    match std::mem::take(&mut files.next) {
        Next::Nothing => {}
        // Read at the end of the frame.
        Next::Leave => {
            files.worker.ask(Job::Forget);
            files.next = Next::Leave;
        }
        Next::New => files.dialog = Some(Dialog::New(Box::default())),
        Next::Browse => files.browse(document),
        Next::Recent => files.dialog = Some(Dialog::Recent),
        Next::Open(path) => files.worker.ask(Job::Read(path)),
    }
}

/// What the thread beside has done.
fn take_reports(
    mut files: ResMut<Files>,
    mut document: ResMut<Document>,
    mut desk: ResMut<Desk>,
    mut view: ResMut<View>,
    mut frame: ResMut<Frame>,
) {
    for report in files.bypass_change_detection().worker.reports() {
        match report {
            Report::Read(path, stamp, Ok(scene)) => {
                files.dialog = None;
                begin(&mut document, Document::read(path.clone(), scene), &mut desk, &mut view, &mut frame);
                (files.stamp, files.known) = (stamp, stamp);
                files.kept = document.standing().cloned();
                files.worker.ask(Job::Forget);
                files.remembered.used(&path);
                files.remember();
                files.hint = None;
            }
            Report::Read(path, _, Err(problem)) => files.trouble("This file cannot be opened", Some(path), problem),
            Report::Changed(path, stamp, read) => {
                if document.path.as_ref() != Some(&path) || files.dialog.is_some() {
                    continue;
                }
                files.stamp = stamp;
                match read {
                    // It could not be read so far: whatever was put right is shown at once.
                    read if document.scene.is_none() => {
                        begin(&mut document, Document::of_read(path, read), &mut desk, &mut view, &mut frame);
                        files.known = stamp;
                        files.kept = document.standing().cloned();
                    }
                    Ok(scene) if document.standing().is_some_and(|standing| **standing == scene) => files.known = stamp,
                    Ok(scene) => files.dialog = Some(Dialog::Changed(path, Box::new(scene))),
                    Err(problem) => {
                        files.trouble("The file was changed elsewhere, and cannot be read now", Some(path), problem);
                    }
                }
            }
            Report::Written(path, stamp, scene) => {
                document.is_saved_as(path.clone(), scene);
                (files.stamp, files.known) = (stamp, stamp);
                if !document.is_unsaved() {
                    files.kept = document.standing().cloned();
                    files.worker.ask(Job::Forget);
                }
                files.remembered.used(&path);
                files.remember();
                desk.tell(format!("Saved as {}", dialogs::name_of(&path)));
                if files.next != Next::Nothing {
                    go_on(&mut files, &document);
                }
            }
            Report::IsThere(path) => files.dialog = Some(Dialog::Over(path)),
            Report::ChangedMeanwhile(path) => files.dialog = Some(Dialog::Clash(path)),
            Report::NotKept(folder, why) => files.not_kept = Some((folder, why)),
            Report::Kept => files.not_kept = None,
            Report::NotWritten(problem) => files.trouble("The scene cannot be saved", None, problem),
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
                let path = if path.extension().is_none() { path.with_extension(listing::ENDING) } else { path };
                files.write(&document, path, Over::Yes);
            }
            Report::PickedOpen(Picked::Nothing) | Report::PickedSave(Picked::Nothing) => {
                files.dialog = None;
                files.next = Next::Nothing;
            }
            Report::PickedOpen(Picked::NoDialog) => {
                let folder = files.folder(&document);
                files.list(Purpose::Open, folder, String::new());
            }
            Report::PickedSave(Picked::NoDialog) => {
                let (folder, name) = (files.folder(&document), file_name(&document));
                files.list(Purpose::Save, folder, name);
            }
        }
    }
}

/// Has unsaved work kept.
fn keep(mut files: ResMut<Files>, document: Res<Document>) {
    let Some(standing) = document.standing() else { return };
    if files.kept.as_ref().is_some_and(|kept| Arc::ptr_eq(kept, standing)) {
        return;
    }
    let files = files.bypass_change_detection();
    files.kept = Some(standing.clone());
    files.worker.ask(if document.is_unsaved() {
        Job::Keep(standing.clone(), document.path.clone())
    } else {
        Job::Forget
    });
}

/// Has the open file looked at.
fn look(mut files: ResMut<Files>, document: Res<Document>) {
    if files.looked.elapsed() < LOOK_EVERY || files.dialog.is_some() {
        return;
    }
    let files = files.bypass_change_detection();
    files.looked = Instant::now();
    if let Some(path) = &document.path {
        files.worker.ask(Job::Look(path.clone(), files.stamp));
    }
}

/// Keeps the first answer in step with the answers given.
fn solve_first(mut files: ResMut<Files>, wake: Option<Res<EventLoopProxyWrapper>>) {
    let files = files.bypass_change_detection();
    let Some(Dialog::New(new)) = &mut files.dialog else {
        (files.first.begun, files.first.task) = (None, None);
        return;
    };
    let arrived = files.first.receiver.get_mut().unwrap_or_else(PoisonError::into_inner).try_iter().last();
    if let Some(solved) = arrived {
        new.first = Some(solved);
    }
    if files.first.begun.as_ref().is_some_and(|begun| Arc::ptr_eq(begun, &new.scene)) {
        return;
    }
    files.first.begun = Some(new.scene.clone());
    let (scene, sender) = (new.scene.clone(), files.first.sender.clone());
    let wake = wake.map(|wake| (**wake).clone());
    files.first.task = Some(AsyncComputeTaskPool::get().spawn(async move {
        if let Ok(solved) = Project::of(scene).solve()
            && sender.send(Arc::new(solved)).is_ok()
            && let Some(wake) = wake
        {
            let _closed = wake.send_event(WinitUserEvent::WakeUp);
        }
    }));
}

/// Draws what is asked, and does what is answered.
#[allow(clippy::too_many_arguments, reason = "a system takes what it reads and writes")]
fn show(
    mut contexts: EguiContexts,
    mut files: ResMut<Files>,
    mut document: ResMut<Document>,
    mut desk: ResMut<Desk>,
    mut view: ResMut<View>,
    mut frame: ResMut<Frame>,
    present: Res<Present>,
    teaching: Res<Teaching>,
    pictures: Res<pictures::Pictures>,
    wake: Option<Res<EventLoopProxyWrapper>>,
) -> Result {
    let context = contexts.ctx_mut()?.clone();
    let palette = Palette::of(view.theme);
    let files = files.bypass_change_detection();
    if let Some(action) = desk.bypass_change_detection().file_asked.take()
        && files.dialog.is_none()
    {
        desk.set_changed();
        match action {
            Action::New => go_on_or_ask(files, &document, Next::New),
            Action::Open => go_on_or_ask(files, &document, Next::Browse),
            Action::Recent => go_on_or_ask(files, &document, Next::Recent),
            Action::Save => files.save(&document),
            Action::SaveAs => files.save_as(&document),
            Action::Picture => {
                let folder = document.path.as_deref().and_then(Path::parent).map(Path::to_owned);
                if !pictures.ask(folder, wake.map(|wake| (*wake).clone())) {
                    desk.said = Some("Drop a PNG or JPEG picture of the floor plan onto the window.".to_owned());
                }
            }
            Action::Hints => {
                files.hint = Some(0);
                desk.mode = Mode::Listen;
            }
            _ => {}
        }
        context.request_repaint();
    }
    not_kept(&context, files, &palette);
    // Neither lessons nor what is shown to others has hints beside it.
    if present.at.is_none() && !teaching.open {
        trail(&context, files, &desk, &palette);
    }
    let Some(dialog) = &mut files.dialog else { return Ok(()) };
    let frame_of = egui::Frame::new()
        .fill(palette.panel)
        .stroke(egui::Stroke::new(1.0, palette.rule))
        .corner_radius(10)
        .inner_margin(egui::Margin::symmetric(22, 18));
    let mut asked = None;
    egui::Modal::new(egui::Id::new("question about files"))
        .frame(frame_of)
        .backdrop_color(egui::Color32::from_black_alpha(140))
        .show(&context, |ui| asked = dialog_ui(ui, dialog, &document, &files.remembered.recent, &view, &palette));
    if let Some(asked) = asked {
        answer(asked, files, &mut document, &mut desk, &mut view, &mut frame);
        context.request_repaint();
    }
    Ok(())
}

fn dialog_ui(
    ui: &mut egui::Ui,
    dialog: &mut Dialog,
    document: &Document,
    recent: &[PathBuf],
    view: &View,
    palette: &Palette,
) -> Option<FileAsk> {
    let name = || document.scene.as_ref().map_or("", |scene| scene.name.as_str());
    match dialog {
        Dialog::New(new) => new_scene::new_scene_ui(ui, new, view.theme, view.units),
        Dialog::Files(listing) => listing::listing_ui(ui, listing, palette),
        Dialog::Recent => dialogs::recent_ui(ui, recent, palette),
        Dialog::Unsaved => dialogs::unsaved_ui(ui, name(), palette),
        Dialog::Over(path) => dialogs::over_ui(ui, path, palette),
        Dialog::Clash(path) => dialogs::clash_ui(ui, path, palette),
        Dialog::Changed(path, _) => dialogs::changed_ui(ui, path, document.is_unsaved(), palette),
        Dialog::Trouble(title, path, problem) => dialogs::problem_ui(ui, title, path.as_deref(), problem, palette),
        Dialog::Left(left) => dialogs::recovered_ui(ui, left, palette),
        Dialog::Elsewhere => {
            ui.label("The desktop asks for a file …");
            None
        }
    }
}

fn answer(
    asked: FileAsk,
    files: &mut Files,
    document: &mut ResMut<Document>,
    desk: &mut ResMut<Desk>,
    view: &mut ResMut<View>,
    frame: &mut ResMut<Frame>,
) {
    match asked {
        FileAsk::Cancel => {
            files.dialog = None;
            files.next = Next::Nothing;
        }
        FileAsk::Create(answers) => {
            files.dialog = None;
            begin(document, Document::unsaved(None, answers.scene()), desk, view, frame);
            (files.stamp, files.known) = (None, None);
            files.hint = None;
        }
        FileAsk::CreateEmpty => {
            files.dialog = None;
            let scene = crate::edit::nothing_drawn(Catalogue::built_in_ref());
            begin(document, Document::unsaved(None, scene), desk, view, frame);
            (desk.mode, files.stamp, files.known, files.hint) = (Mode::Draw, None, None, None);
            desk.take(Tool::Room);
        }
        FileAsk::Open(path) => files.worker.ask(Job::Read(path)),
        FileAsk::Browse => files.browse(document),
        FileAsk::List(folder) => {
            files.worker.ask(Job::List(folder.clone()));
            if let Some(Dialog::Files(listing)) = &mut files.dialog {
                (listing.folder, listing.entries) = (folder, None);
                if listing.purpose == Purpose::Open {
                    listing.written.clear();
                }
            }
        }
        FileAsk::SaveTo(path) => {
            let over = if document.path.as_ref() == Some(&path) { Over::Known(files.known) } else { Over::No };
            files.write(document, path, over);
        }
        FileAsk::SaveOver(path) => files.write(document, path, Over::Yes),
        FileAsk::SaveAs => files.save_as(document),
        FileAsk::Save => files.save(document),
        FileAsk::GiveUp => {
            files.worker.ask(Job::Forget);
            go_on(files, document);
        }
        FileAsk::TakeOver => {
            if let Some(Dialog::Changed(_, scene)) = files.dialog.take() {
                document.take_from_file(*scene);
                files.known = files.stamp;
                desk.stop();
            }
        }
        FileAsk::Keep => {
            files.dialog = None;
            document.differs_from_file();
            files.kept = None;
        }
        FileAsk::TakeUp(at) => {
            if let Some(Dialog::Left(mut left)) = files.dialog.take()
                && at < left.len()
            {
                let one = left.remove(at);
                if let Ok(scene) = &one.scene {
                    begin(document, Document::unsaved(one.of.clone(), scene.clone()), desk, view, frame);
                    // What the file holds now is not known to be what this was made from: saving asks.
                    (files.stamp, files.known) = (one.of.as_deref().and_then(Stamp::of), None);
                    files.kept = None;
                    files.hint = None;
                    // The session's own copy is asked for first, so that there is no moment without one.
                    files.worker.ask(Job::KeepNow(Arc::new(scene.clone()), one.of.clone()));
                    files.worker.ask(Job::GiveUp(vec![one]));
                }
            }
        }
        FileAsk::GiveUpOne(at) => {
            if let Some(Dialog::Left(left)) = &mut files.dialog
                && at < left.len()
            {
                files.worker.ask(Job::GiveUp(vec![left.remove(at)]));
            }
        }
        FileAsk::GiveUpLeft => {
            if let Some(Dialog::Left(left)) = files.dialog.take() {
                files.worker.ask(Job::GiveUp(left));
            }
        }
    }
}

/// Says that unsaved work is not kept, as long as it is not.
fn not_kept(context: &egui::Context, files: &mut Files, palette: &Palette) {
    let Some((folder, why)) = &files.not_kept else { return };
    let other = places::other_folders().into_iter().find(|other| other != folder);
    let taken = egui::Area::new(egui::Id::new("work is not kept"))
        .order(egui::Order::Foreground)
        .anchor(egui::Align2::CENTER_TOP, egui::vec2(0.0, 48.0))
        .show(context, |ui| {
            egui::Frame::new()
                .fill(palette.raised)
                .stroke(egui::Stroke::new(1.0, palette.alert))
                .corner_radius(6)
                .inner_margin(egui::Margin::symmetric(12, 8))
                .show(ui, |ui| {
                    ui.set_max_width(560.0);
                    dialogs::not_kept_ui(ui, folder, why, other.as_deref(), palette)
                })
                .inner
        })
        .inner;
    if let (true, Some(other)) = (taken, other) {
        files.worker.ask(Job::KeepIn(other));
    }
}

fn trail(context: &egui::Context, files: &mut Files, desk: &Desk, palette: &Palette) {
    let Some(at) = files.hint.filter(|_| files.dialog.is_none()) else { return };
    // Whoever draws has found the way.
    let done = desk.mode == Mode::Draw || at >= trail::COUNT;
    let asked = if done { Some(trail::TrailAsk::Close) } else { trail::trail_ui(context, at, palette) };
    match asked {
        Some(trail::TrailAsk::Next) => files.hint = Some(at + 1),
        Some(trail::TrailAsk::Close) => {
            files.hint = None;
            files.remembered.hints_seen = true;
            files.remember();
        }
        None => return,
    }
    context.request_repaint();
}

/// Leaves, once that was asked.
fn leave(files: Res<Files>, mut exit: MessageWriter<AppExit>) {
    if files.next == Next::Leave && files.dialog.is_none() {
        exit.write(AppExit::Success);
    }
}

/// Before the program ends, all files are written.
fn stop(mut files: ResMut<Files>, mut leaving: MessageReader<AppExit>) {
    if leaving.read().count() > 0 {
        files.bypass_change_detection().worker.stop();
    }
}
