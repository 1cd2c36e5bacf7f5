//! Everything that touches files, on one thread beside the main one, in the order it was asked for: the window never waits for a disk.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, SystemTime};

use super::listing::Entry;
use super::native::{self, Picked};
use super::places::Remembered;
use super::recovery::{self, Keeper, Recovered};
use crate::scene::{Problem, Scene, file};

/// How long after the last step the scene is kept.
const KEEP_AFTER: Duration = Duration::from_secs(2);

/// What tells two versions of a file apart without reading them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    written: Option<SystemTime>,
    bytes: u64,
}

impl Stamp {
    /// Of a file as it is now; nothing when it is not there.
    #[must_use]
    pub fn of(path: &Path) -> Option<Self> {
        let about = std::fs::metadata(path).ok()?;
        Some(Self { written: about.modified().ok(), bytes: about.len() })
    }
}

/// Something to be done.
#[derive(Debug)]
pub enum Job {
    /// Read a scene to open it.
    Read(PathBuf),
    /// Look whether a file is another than the one known, and read it if so.
    Look(PathBuf, Option<Stamp>),
    /// Write a scene; unless told so, not over another file.
    Write {
        /// Where.
        path: PathBuf,
        /// What.
        scene: Arc<Scene>,
        /// Whether a file that is there may be replaced.
        over: bool,
    },
    /// Keep unsaved work, once nothing has changed for a while.
    Keep(Arc<Scene>, Option<PathBuf>),
    /// Keep it at once.
    KeepNow(Arc<Scene>, Option<PathBuf>),
    /// Nothing is unsaved any more.
    Forget,
    /// Give up what earlier sessions have left.
    GiveUp(Vec<Recovered>),
    /// Remember recent files and hints.
    Remember(Remembered),
    /// List a folder.
    List(PathBuf),
    /// The desktop's dialog to open a file.
    PickOpen(Option<PathBuf>),
    /// The desktop's dialog to save in a file, with a name to begin with.
    PickSave(Option<PathBuf>, String),
    /// End, after all that was asked before.
    Stop,
}

/// What was done.
#[derive(Debug, Clone, PartialEq)]
pub enum Report {
    /// A scene was read, or cannot be.
    Read(PathBuf, Option<Stamp>, Result<Scene, Problem>),
    /// A file is another than the one known.
    Changed(PathBuf, Option<Stamp>, Result<Scene, Problem>),
    /// A scene was written.
    Written(PathBuf, Option<Stamp>, Arc<Scene>),
    /// It was not: a file is there already.
    IsThere(PathBuf),
    /// It was not: it cannot be.
    NotWritten(Problem),
    /// A folder's entries, or why there are none.
    Listed(PathBuf, Result<Vec<Entry>, String>),
    /// What the dialog to open came back with.
    PickedOpen(Picked),
    /// What the dialog to save came back with.
    PickedSave(Picked),
}

/// The thread, and the way to it and back.
#[derive(Debug)]
pub struct Worker {
    jobs: Sender<Job>,
    // A mutex only because a resource must be shareable and a receiver is not; one system reads it.
    reports: Mutex<Receiver<Report>>,
    thread: Option<JoinHandle<()>>,
}

impl Worker {
    /// Starts it. Unsaved work is kept in `folder`, if there is one; `wake` is called after each report.
    #[must_use]
    pub fn start(folder: Option<PathBuf>, wake: impl Fn() + Send + Sync + 'static) -> Self {
        let (jobs, asked) = channel();
        let (report, reports) = channel();
        let thread = std::thread::Builder::new().name("files".to_owned()).spawn(move || {
            work(&asked, folder.as_deref(), &Back { report, wake: Arc::new(wake) });
        });
        Self { jobs, reports: Mutex::new(reports), thread: thread.ok() }
    }

    /// Asks for something.
    pub fn ask(&self, job: Job) {
        let _stopped = self.jobs.send(job);
    }

    /// What has been done since.
    pub fn reports(&mut self) -> Vec<Report> {
        self.reports.get_mut().unwrap_or_else(PoisonError::into_inner).try_iter().collect()
    }

    /// Ends it, once all that was asked is done.
    pub fn stop(&mut self) {
        self.ask(Job::Stop);
        if let Some(thread) = self.thread.take() {
            let _panicked = thread.join();
        }
    }
}

/// The way back to the window.
#[derive(Clone)]
struct Back {
    report: Sender<Report>,
    wake: Arc<dyn Fn() + Send + Sync>,
}

impl Back {
    fn tell(&self, report: Report) {
        // Whoever closed the window meanwhile needs no report.
        let _closed = self.report.send(report);
        (self.wake)();
    }

    /// A dialog stays open for long: on a thread of its own, so that work is kept meanwhile.
    fn tell_later(&self, dialog: impl FnOnce() -> Report + Send + 'static) {
        let back = self.clone();
        std::thread::spawn(move || back.tell(dialog()));
    }
}

fn work(asked: &Receiver<Job>, folder: Option<&Path>, back: &Back) {
    let report = |done: Report| back.tell(done);
    let keeper = folder.and_then(|folder| Keeper::begin(folder).ok());
    let mut unsaved: Option<(Arc<Scene>, Option<PathBuf>)> = None;
    let keep = |unsaved: &mut Option<(Arc<Scene>, Option<PathBuf>)>| {
        if let (Some((scene, of)), Some(keeper)) = (unsaved.take(), &keeper) {
            // Nothing can be done about a full disk here; saving will say so.
            let _failed = keeper.keep(&scene, of.as_deref());
        }
    };
    loop {
        let job = if unsaved.is_some() {
            match asked.recv_timeout(KEEP_AFTER) {
                Ok(job) => job,
                Err(RecvTimeoutError::Timeout) => {
                    keep(&mut unsaved);
                    continue;
                }
                Err(RecvTimeoutError::Disconnected) => Job::Stop,
            }
        } else {
            asked.recv().unwrap_or(Job::Stop)
        };
        match job {
            Job::Keep(scene, of) => unsaved = Some((scene, of)),
            Job::KeepNow(scene, of) => {
                unsaved = Some((scene, of));
                keep(&mut unsaved);
            }
            Job::Forget => {
                unsaved = None;
                if let Some(keeper) = &keeper {
                    keeper.forget();
                }
            }
            Job::Stop => {
                keep(&mut unsaved);
                return;
            }
            Job::Read(path) => {
                let (stamp, read) = (Stamp::of(&path), file::read(&path));
                report(Report::Read(path, stamp, read));
            }
            Job::Look(path, known) => {
                let stamp = Stamp::of(&path);
                if stamp.is_some() && stamp != known {
                    let read = file::read(&path);
                    report(Report::Changed(path, stamp, read));
                }
            }
            Job::Write { path, over: false, .. } if path.exists() => report(Report::IsThere(path)),
            Job::Write { path, scene, .. } => match file::write(&path, &scene) {
                Ok(()) => {
                    let stamp = Stamp::of(&path);
                    report(Report::Written(path, stamp, scene));
                }
                Err(problem) => report(Report::NotWritten(problem)),
            },
            Job::GiveUp(left) => left.iter().for_each(recovery::give_up),
            Job::Remember(remembered) => {
                if let Some(folder) = folder {
                    // What is remembered is a comfort; without it the window works all the same.
                    let _failed = remembered.write(folder);
                }
            }
            Job::List(folder) => {
                let entries = super::listing::entries(&folder);
                report(Report::Listed(folder, entries));
            }
            Job::PickOpen(folder) => back.tell_later(move || Report::PickedOpen(native::open(folder.as_deref()))),
            Job::PickSave(folder, name) => {
                back.tell_later(move || Report::PickedSave(native::save(folder.as_deref(), &name)));
            }
        }
    }
}
