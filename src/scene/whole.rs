//! Files read within bounds, and written whole: whoever reads one, and whenever the machine stops, finds the old file or the new one, never half of one.

use std::fs::{self, File, TryLockError};
use std::io::{self, Read, Write};
use std::path::Path;

use tempfile::NamedTempFile;

/// Begins and ends the name of a file that is being written.
const PREFIX: &str = ".leaklight-";
const SUFFIX: &str = ".tmp";
/// So many times a temporary file is made anew that somebody swept away before it was locked.
const MOST_TRIES: usize = 20;

/// Puts a file in the place of what has its name: written beside it, flushed to disk, then renamed. It has the stated permissions before it holds
/// anything, else those of what is there. Temporary files that a killed program left in the folder are taken away.
///
/// # Errors
///
/// When it cannot be written; what had its name is then untouched.
pub fn replace(path: &Path, bytes: &[u8], permissions: Option<fs::Permissions>) -> io::Result<()> {
    // Through a link to the file itself: renaming over the link would cut it.
    let path = &path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let own = match fs::metadata(path) {
        // A pipe or a device takes what is written as it comes, and nothing may be put in its place.
        Ok(found) if !found.is_file() && !found.is_dir() => return fs::write(path, bytes),
        Ok(found) => Some(found.permissions()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(error),
    };
    let written = beside(path, bytes, permissions.or(own))?;
    written.persist(path).map_err(|error| error.error)?;
    flush_folder(path);
    Ok(())
}

/// As [`replace`], for a file that must not be there yet: of two who try at once, one wins.
///
/// # Errors
///
/// [`io::ErrorKind::AlreadyExists`] when there is one of that name; as [`replace`].
pub fn create(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    beside(path, bytes, None)?.persist_noclobber(path).map_err(|error| error.error)?;
    flush_folder(path);
    Ok(())
}

/// Largest file that is read, bytes: far more than any scene has, and less than would fill the memory.
pub const MOST_BYTES: u64 = 64 << 20;

/// The bytes of a file, which may be a pipe.
///
/// # Errors
///
/// When it cannot be read, or holds more than [`MOST_BYTES`].
pub fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = vec![];
    File::open(path)?.take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, "it holds more than 64 MB"));
    }
    Ok(bytes)
}

/// Takes away what killed programs left half written in a folder. What is being written is left alone.
pub fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let ours = name.to_str().is_some_and(|name| name.starts_with(PREFIX) && name.ends_with(SUFFIX));
        if !ours || !entry.file_type().is_ok_and(|kind| kind.is_file()) {
            continue;
        }
        // Whoever still writes it holds the lock. Where there are no locks, nobody can tell.
        if let Ok(file) = File::open(entry.path())
            && file.try_lock().is_ok()
        {
            let _gone = fs::remove_file(entry.path());
        }
    }
}

/// The bytes in a temporary file of the same folder, on disk.
fn beside(path: &Path, bytes: &[u8], permissions: Option<fs::Permissions>) -> io::Result<NamedTempFile> {
    let folder = folder_of(path);
    sweep(folder);
    let mut file = locked(folder)?;
    if let Some(permissions) = permissions {
        file.as_file().set_permissions(permissions)?;
    }
    file.write_all(bytes)?;
    file.flush()?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// A new temporary file that no [`sweep`] takes away.
fn locked(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: the user's mask decides, not the strict one of temporary files.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    for _ in 0..MOST_TRIES {
        let file = builder.tempfile_in(folder)?;
        match file.as_file().try_lock() {
            Err(TryLockError::WouldBlock) => {}
            // It may have been swept away before the lock was taken.
            Ok(()) if !file.path().exists() => {}
            Ok(()) | Err(TryLockError::Error(_)) => return Ok(file),
        }
    }
    Err(io::Error::other("its temporary file is taken away again and again"))
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The new name is on disk only when the folder is; a system that cannot flush a folder still has the file.
fn flush_folder(path: &Path) {
    #[cfg(unix)]
    if let Ok(folder) = File::open(folder_of(path)) {
        let _flushed = folder.sync_all();
    }
    #[cfg(not(unix))]
    let _ = path;
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left(folder: &Path) -> usize {
        fs::read_dir(folder).unwrap().count()
    }

    #[test]
    fn what_a_killed_program_left_is_swept_away_and_what_is_written_is_not() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(".leaklight-abc.tmp"), "half").unwrap();
        let busy = locked(folder.path()).unwrap();
        replace(&folder.path().join("new.txt"), b"whole", None).unwrap();
        assert!(busy.path().exists());
        drop(busy);
        assert_eq!(left(folder.path()), 1);
    }

    #[cfg(unix)]
    #[test]
    fn permissions_are_kept() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("private.txt");
        fs::write(&path, "old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
        replace(&path, b"new", None).unwrap();
        replace(&folder.path().join("copy.txt"), b"new", Some(fs::metadata(&path).unwrap().permissions())).unwrap();
        for name in ["private.txt", "copy.txt"] {
            let mode = fs::metadata(folder.path().join(name)).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600, "{name}");
        }
    }

    #[test]
    fn one_of_many_at_once_makes_a_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("scene.ron");
        let won: Vec<bool> = std::thread::scope(|scope| {
            let tries: Vec<_> = (0..8_u8)
                .map(|who| {
                    scope.spawn({
                        let path = &path;
                        move || create(path, &[who; 1000])
                    })
                })
                .collect();
            tries.into_iter().map(|made| made.join().unwrap().is_ok()).collect()
        });
        assert_eq!(won.iter().filter(|won| **won).count(), 1, "{won:?}");
        let winner = won.iter().position(|won| *won).unwrap();
        assert_eq!(fs::read(&path).unwrap(), [u8::try_from(winner).unwrap(); 1000]);
        assert_eq!(create(&path, b"x").unwrap_err().kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(left(folder.path()), 1);
    }

    /// The temporary file of a write that fails goes with it, and the old file stays.
    #[cfg(unix)]
    #[test]
    fn a_write_that_fails_leaves_all_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let taken = folder.path().join("taken");
        fs::create_dir(&taken).unwrap();
        assert!(replace(&taken, b"x", None).is_err());
        assert!(taken.is_dir() && left(folder.path()) == 1);
    }
}
