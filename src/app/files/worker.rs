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
use crate::app::files::recovery::{self, Keeper, Recovered};
use crate::scene::{Problem, Scene, file, whole};

/// How long after the first step that is not kept the scene is kept, whether or not more steps follow: no more work than that is ever lost.
const KEEP_WITHIN: Duration = Duration::from_secs(2);

/// What tells two versions of a file apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    written: Option<SystemTime>,
    bytes: u64,
    hash: u64,
}

impl Stamp {
    /// Of a file as it is now; nothing when it is not there.
    #[must_use]
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
pub enum Over {
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
    /// Read a scene to open it.
    Read(PathBuf),
    /// Look whether a file is another than the one known, and read it if so.
    Look(PathBuf, Option<Stamp>),
    /// Write a scene.
    Write {
        /// Where.
        path: PathBuf,
        /// What.
        scene: Arc<Scene>,
        /// Whether a file that is there may be written over.
        over: Over,
    },
    /// Keep unsaved work, soon.
    Keep(Arc<Scene>, Option<PathBuf>),
    /// Keep it at once.
    KeepNow(Arc<Scene>, Option<PathBuf>),
    /// Nothing is unsaved any more.
    Forget,
    /// Keep what is unsaved in another folder from now on.
    KeepIn(PathBuf),
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
    /// It was not: the file holds something else than what was last read or written here.
    ChangedMeanwhile(PathBuf),
    /// It was not: it cannot be.
    NotWritten(Problem),
    /// Unsaved work is not kept in this folder, and why.
    NotKept(PathBuf, String),
    /// Unsaved work is kept again.
    Kept,
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
    if let Some(folder) = folder {
        whole::sweep(folder);
    }
    let mut keeping = Keeping::new(folder);
    keeping.begin(back);
    loop {
        let job = match keeping.left() {
            Some(left) if left.is_zero() => {
                keeping.keep(back);
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
            Job::Keep(scene, of) => keeping.soon(scene, of),
            Job::KeepNow(scene, of) => {
                keeping.soon(scene, of);
                keeping.keep(back);
            }
            Job::Forget => keeping.forget(),
            Job::KeepIn(folder) => {
                keeping.folder = Some(folder);
                keeping.begin(back);
                keeping.keep(back);
            }
            Job::Stop => {
                keeping.keep(back);
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

/// Writes a scene, or says why not.
fn write(path: PathBuf, scene: Arc<Scene>, over: Over) -> Report {
    let now = Stamp::of(&path);
    match over {
        Over::No if path.exists() => return Report::IsThere(path),
        Over::Known(known) if path.exists() && now.map(|now| now.hash) != known.map(|known| known.hash) => {
            return Report::ChangedMeanwhile(path);
        }
        _ => {}
    }
    match file::write(&path, &scene, over == Over::Yes) {
        Ok(()) => {
            // Of what was written: were the file another by now, the next save would ask.
            let hash = file::to_text(&scene).map_or(0, |text| hash_of(text.as_bytes()));
            let stamp = Stamp::of(&path).map(|stamp| Stamp { hash, ..stamp });
            Report::Written(path, stamp, scene)
        }
        Err(problem) => Report::NotWritten(problem),
    }
}

/// Keeps unsaved work.
struct Keeping {
    folder: Option<PathBuf>,
    keeper: Option<Keeper>,
    /// What is unsaved, the file it belongs to, and since when it is not kept; nothing of the last once it is.
    unsaved: Option<(Arc<Scene>, Option<PathBuf>)>,
    since: Option<Instant>,
    failed: bool,
}

impl Keeping {
    fn new(folder: Option<&Path>) -> Self {
        Self { folder: folder.map(Path::to_owned), keeper: None, unsaved: None, since: None, failed: false }
    }

    fn begin(&mut self, back: &Back) {
        let Some(folder) = &self.folder else { return };
        match Keeper::begin(folder) {
            Ok(keeper) => {
                self.keeper = Some(keeper);
                self.works(back);
            }
            Err(error) => self.fails(&error, back),
        }
    }

    fn fails(&mut self, error: &std::io::Error, back: &Back) {
        self.failed = true;
        back.tell(Report::NotKept(self.folder.clone().unwrap_or_default(), error.to_string()));
    }

    fn works(&mut self, back: &Back) {
        if std::mem::take(&mut self.failed) {
            back.tell(Report::Kept);
        }
    }

    fn soon(&mut self, scene: Arc<Scene>, of: Option<PathBuf>) {
        self.unsaved = Some((scene, of));
        self.since.get_or_insert_with(Instant::now);
    }

    /// Time left until it must be kept.
    fn left(&self) -> Option<Duration> {
        self.since.map(|since| KEEP_WITHIN.saturating_sub(since.elapsed()))
    }

    /// Keeps it. A folder that was away may be there again, so that each time is a new try.
    fn keep(&mut self, back: &Back) {
        self.since = None;
        let Some((scene, of)) = self.unsaved.clone() else { return };
        if self.keeper.is_none() {
            self.begin(back);
        }
        let Some(keeper) = &self.keeper else { return };
        match keeper.keep(&scene, of.as_deref()) {
            Ok(()) => self.works(back),
            Err(error) => {
                self.keeper = None;
                self.fails(&error, back);
            }
        }
    }

    fn forget(&mut self) {
        (self.unsaved, self.since) = (None, None);
        if let Some(keeper) = &self.keeper {
            keeper.forget();
        }
    }
}
