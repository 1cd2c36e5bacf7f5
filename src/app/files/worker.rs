//! Everything that touches files, on one thread beside the main one, in the order it was asked for: the window never waits for a disk.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant, SystemTime};

use crate::app::files::listing::{self, Entry};
use crate::app::files::native::{self, Picked};
use crate::app::files::places::Remembered;
use crate::app::files::recovery::{self, AutosaveFile, Recovered};
use crate::scene::{Problem, Scene, file, whole};

/// How long after the first step that is not kept the scene is kept, whether or not more steps follow: no more work than that is ever lost.
const AUTOSAVE_WITHIN: Duration = Duration::from_secs(2);

/// What tells two versions of a file apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    written: Option<SystemTime>,
    bytes: u64,
    hash: u64,
}

impl Stamp {
    /// Of a file as it is now; nothing when it is not there.
    pub fn of(path: &Path) -> Option<Self> {
        let about = std::fs::metadata(path).ok()?;
        Some(Self { written: about.modified().ok(), bytes: about.len(), hash: hash_of(&std::fs::read(path).ok()?) })
    }

    /// Whether the file still looks the same, without reading it.
    fn is_still_of(&self, path: &Path) -> bool {
        std::fs::metadata(path).is_ok_and(|about| about.modified().ok() == self.written && about.len() == self.bytes)
    }
}

fn hash_of(bytes: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    bytes.hash(&mut hasher);
    hasher.finish()
}

/// Whether a file that is there may be written over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Overwrite {
    /// Not without asking.
    No,
    /// When it holds what is known of it.
    Known(Option<Stamp>),
    /// Whatever it holds: the user has said so.
    Yes,
}

/// Something to be done.
#[derive(Debug)]
pub enum Job {
    Read(PathBuf),
    /// Look whether a file is another than the one known, and read it if so.
    Look(PathBuf, Option<Stamp>),
    Write {
        path: PathBuf,
        scene: Arc<Scene>,
        over: Overwrite,
    },
    /// Keep unsaved work, soon.
    Autosave(Arc<Scene>, Option<PathBuf>),
    /// Keep it at once.
    AutosaveNow(Arc<Scene>, Option<PathBuf>),
    /// Nothing is unsaved any more.
    Forget,
    /// Keep what is unsaved in another folder from now on.
    AutosaveIn(PathBuf),
    /// Give up what earlier sessions have left.
    GiveUp(Vec<Recovered>),
    Remember(Remembered),
    List(PathBuf),
    PickOpen(Option<PathBuf>),
    /// The desktop's dialog to save in a file, with a name to begin with.
    PickSave(Option<PathBuf>, String),
    /// End, after all that was asked before.
    Stop,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Report {
    Read(PathBuf, Option<Stamp>, Result<Scene, Problem>),
    Changed(PathBuf, Option<Stamp>, Result<Scene, Problem>),
    Written(PathBuf, Option<Stamp>, Arc<Scene>),
    /// It was not: a file is there already.
    IsThere(PathBuf),
    /// It was not: the file holds something else than what was last read or written here.
    ChangedMeanwhile(PathBuf),
    NotWritten(Problem),
    /// Unsaved work is not kept in this folder, and why.
    AutosaveFailed(PathBuf, String),
    Autosaved,
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
    pub fn start(folder: Option<PathBuf>, wake: impl Fn() + Send + Sync + 'static) -> Self {
        let (jobs, asked) = channel();
        let (report, reports) = channel();
        let thread = std::thread::Builder::new().name("files".to_owned()).spawn(move || {
            work(&asked, folder.as_deref(), &Back { report, wake: Arc::new(wake) });
        });
        Self { jobs, reports: Mutex::new(reports), thread: thread.ok() }
    }

    pub fn ask(&self, job: Job) {
        let _stopped = self.jobs.send(job);
    }

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
    if let Some(folder) = folder {
        whole::sweep(folder);
    }
    let mut autosave = Autosave::new(folder.map(Path::to_owned), back.clone());
    loop {
        let job = match autosave.left() {
            Some(left) if left.is_zero() => {
                autosave.save();
                continue;
            }
            Some(left) => match asked.recv_timeout(left) {
                Ok(job) => job,
                Err(RecvTimeoutError::Timeout) => continue,
                Err(RecvTimeoutError::Disconnected) => Job::Stop,
            },
            None => asked.recv().unwrap_or(Job::Stop),
        };
        match job {
            Job::Autosave(scene, of) => autosave.soon(scene, of),
            Job::AutosaveNow(scene, of) => {
                autosave.soon(scene, of);
                autosave.save();
            }
            Job::Forget => autosave.forget(),
            Job::AutosaveIn(folder) => {
                autosave.folder = Some(folder);
                autosave.begin();
                autosave.save();
            }
            Job::Stop => {
                autosave.save();
                return;
            }
            Job::Read(path) => {
                // What a killed program left half written beside it.
                path.parent().into_iter().for_each(whole::sweep);
                let (stamp, read) = (Stamp::of(&path), file::read(&path));
                report(Report::Read(path, stamp, read));
            }
            Job::Look(path, known) => {
                if known.is_some_and(|known| known.is_still_of(&path)) {
                    continue;
                }
                let stamp = Stamp::of(&path);
                if stamp.is_some() && stamp != known {
                    let read = file::read(&path);
                    report(Report::Changed(path, stamp, read));
                }
            }
            Job::Write { path, scene, over } => report(write(path, scene, over)),
            Job::GiveUp(left) => left.iter().for_each(recovery::give_up),
            Job::Remember(remembered) => {
                if let Some(folder) = folder {
                    // What is remembered is a comfort; without it the window works all the same.
                    let _failed = remembered.write(folder);
                }
            }
            Job::List(folder) => {
                let entries = listing::entries(&folder);
                report(Report::Listed(folder, entries));
            }
            Job::PickOpen(folder) => back.tell_later(move || Report::PickedOpen(native::open(folder.as_deref()))),
            Job::PickSave(folder, name) => {
                back.tell_later(move || Report::PickedSave(native::save(folder.as_deref(), &name)));
            }
        }
    }
}

fn write(path: PathBuf, scene: Arc<Scene>, over: Overwrite) -> Report {
    let now = Stamp::of(&path);
    match over {
        Overwrite::No if path.exists() => return Report::IsThere(path),
        Overwrite::Known(known) if path.exists() && now.map(|now| now.hash) != known.map(|known| known.hash) => {
            return Report::ChangedMeanwhile(path);
        }
        _ => {}
    }
    match file::write(&path, &scene, over == Overwrite::Yes) {
        Ok(()) => {
            // Of what was written: were the file another by now, the next save would ask.
            let hash = file::to_text(&scene).map_or(0, |text| hash_of(text.as_bytes()));
            let stamp = Stamp::of(&path).map(|stamp| Stamp { hash, ..stamp });
            Report::Written(path, stamp, scene)
        }
        Err(problem) => Report::NotWritten(problem),
    }
}

/// Unsaved work, kept in a folder within [`AUTOSAVE_WITHIN`].
struct Autosave {
    folder: Option<PathBuf>,
    file: Option<AutosaveFile>,
    /// What is unsaved, the file it belongs to, and since when it is not kept; nothing of the last once it is.
    unsaved: Option<(Arc<Scene>, Option<PathBuf>)>,
    since: Option<Instant>,
    failed: bool,
    back: Back,
}

impl Autosave {
    fn new(folder: Option<PathBuf>, back: Back) -> Self {
        let mut autosave = Self { folder, file: None, unsaved: None, since: None, failed: false, back };
        autosave.begin();
        autosave
    }

    fn begin(&mut self) {
        let Some(folder) = &self.folder else { return };
        let begun = AutosaveFile::begin(folder).map(|file| self.file = Some(file));
        self.tell(begun);
    }

    /// Says that work is not kept, and once that it is again.
    fn tell(&mut self, done: std::io::Result<()>) {
        let failed_before = std::mem::replace(&mut self.failed, done.is_err());
        if let Err(error) = done {
            self.file = None;
            self.back.tell(Report::AutosaveFailed(self.folder.clone().unwrap_or_default(), error.to_string()));
        } else if failed_before {
            self.back.tell(Report::Autosaved);
        }
    }

    fn soon(&mut self, scene: Arc<Scene>, of: Option<PathBuf>) {
        self.unsaved = Some((scene, of));
        self.since.get_or_insert_with(Instant::now);
    }

    /// Time left until it must be kept.
    fn left(&self) -> Option<Duration> {
        self.since.map(|since| AUTOSAVE_WITHIN.saturating_sub(since.elapsed()))
    }

    /// Keeps it. A folder that was away may be there again, so that each time is a new try.
    fn save(&mut self) {
        self.since = None;
        let Some((scene, of)) = self.unsaved.clone() else { return };
        if self.file.is_none() {
            self.begin();
        }
        if let Some(file) = &self.file {
            let done = file.write(&scene, of.as_deref());
            self.tell(done);
        }
    }

    fn forget(&mut self) {
        (self.unsaved, self.since) = (None, None);
        if let Some(file) = &self.file {
            file.forget();
        }
    }
}
