//! Unsaved work, kept beside the file until it is saved or given up, and offered at the next start after a crash.
//!
//! Each session holds a lock of its own as long as it lives, so that what a running session keeps is not offered to another.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::app::files::places::write_whole;
use crate::scene::{Problem, Scene, file};

/// First line of a kept scene; the file it belongs to follows.
const OF: &str = "// Unsaved changes of ";
const OF_NONE: &str = "// Unsaved scene without a file";
const PREFIX: &str = "unsaved-";

/// One session's kept work.
#[derive(Debug)]
pub struct AutosaveFile {
    path: PathBuf,
    lock_path: PathBuf,
    _lock: File,
}

/// Work of a session that ended without saving it.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovered {
    pub path: PathBuf,
    /// The file it belongs to, from the root on, if it has one.
    pub of: Option<PathBuf>,
    pub written: SystemTime,
    pub bytes: u64,
    /// The scene, or why it cannot be read.
    pub scene: Result<Scene, Problem>,
}

impl AutosaveFile {
    /// Begins a session in a folder.
    ///
    /// # Errors
    ///
    /// When the folder cannot be made or written to.
    pub fn begin(folder: &Path) -> std::io::Result<Self> {
        std::fs::create_dir_all(folder)?;
        for number in 0.. {
            let word = format!("{PREFIX}{}-{number}", std::process::id());
            let lock_path = folder.join(format!("{word}.lock"));
            match File::options().write(true).create_new(true).open(&lock_path) {
                Ok(lock) => {
                    // Where there are no locks, a running session's work may be offered to another: better than none.
                    let _unlocked = lock.try_lock();
                    return Ok(Self { path: folder.join(format!("{word}.ron")), lock_path, _lock: lock });
                }
                Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Err(std::io::Error::other("no free name"))
    }

    /// Keeps a scene as it stands.
    ///
    /// # Errors
    ///
    /// When it cannot be written.
    pub fn write(&self, scene: &Scene, of: Option<&Path>) -> std::io::Result<()> {
        let text = file::to_text(scene).map_err(|problem| std::io::Error::other(problem.to_string()))?;
        let of = of.map(|of| std::path::absolute(of).unwrap_or_else(|_| of.to_owned()));
        let head = of.map_or_else(|| OF_NONE.to_owned(), |of| format!("{OF}{}", of.display()));
        write_whole(&self.path, &format!("{head}\n{text}"))
    }

    /// Saved, or given up: nothing is kept any more.
    pub fn forget(&self) {
        let _absent = std::fs::remove_file(&self.path);
    }
}

impl Drop for AutosaveFile {
    fn drop(&mut self) {
        let _absent = std::fs::remove_file(&self.lock_path);
    }
}

/// What sessions that are no more have left, the latest first.
pub fn left_behind(folder: &Path) -> Vec<Recovered> {
    let mut found: Vec<Recovered> = vec![];
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        let name = entry.file_name().to_string_lossy().into_owned();
        if !name.starts_with(PREFIX) || path.extension().is_none_or(|ending| ending != "ron") || is_alive(&path) {
            continue;
        }
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        let of = text.lines().next().and_then(|line| line.strip_prefix(OF)).map(PathBuf::from);
        let about = entry.metadata().ok();
        let written = about.as_ref().and_then(|about| about.modified().ok()).unwrap_or(SystemTime::UNIX_EPOCH);
        let bytes = about.map_or(0, |about| about.len());
        let scene = file::from_text(&text);
        found.push(Recovered { path, of, written, bytes, scene });
    }
    found.sort_by_key(|left| std::cmp::Reverse(left.written));
    found
}

/// Gives up what a session has left.
pub fn give_up(left: &Recovered) {
    let _absent = std::fs::remove_file(&left.path);
    let _absent = std::fs::remove_file(left.path.with_extension("lock"));
}

fn is_alive(path: &Path) -> bool {
    match File::open(path.with_extension("lock")) {
        Ok(lock) => matches!(lock.try_lock(), Err(std::fs::TryLockError::WouldBlock)),
        Err(_) => false,
    }
}
