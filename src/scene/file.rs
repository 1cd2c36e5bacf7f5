//! Scene files: RON text to scene and back.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use ron::Options;
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Deserialize;

use super::model::{FORMAT, Scene};
use super::problem::{Problem, Thing};
use super::{reader, whole};

/// Structs of a scene are written out line by line down to this depth; what lies deeper (nodes, walls, openings) takes one line each.
const OPEN_DEPTH: usize = 4;

/// How this program reads RON: an optional value needs no `Some(…)` round it.
#[must_use]
pub fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Reads a scene from RON text, of the present format or an older one.
///
/// What can be read is not yet sound: see [`super::validate::validate`].
///
/// # Errors
///
/// When the text is no RON, has a field this program does not know, lacks one it needs, or states a format it does not know.
/// The problem names line and column. Reading stops there, so it is one problem, not a list.
///
/// ```
/// let error = leaklight::scene::file::from_text("(format: 1, nam: \"x\", storeys: [])").unwrap_err();
/// assert_eq!(
///     error.to_string(),
///     "line 1, column 13: there is no field \"nam\" in a scene; did you mean \"name\"?"
/// );
/// ```
pub fn from_text(text: &str) -> Result<Scene, Problem> {
    // When a format 2 comes, the types of format 1 move to a module of their own, with a `From` into those of format 2, and are read here.
    let (what, to_do) = match stated_format(text) {
        Some(number) if number > i64::from(FORMAT) => (
            format!("it has format {number}, and this program knows formats up to {FORMAT}"),
            "open it with a newer version of this program".to_owned(),
        ),
        Some(number) if number != i64::from(FORMAT) => (
            format!("it has format {number}, which never existed"),
            format!("write `format: {FORMAT}` if the file was made by hand"),
        ),
        // Where there is no number, or no RON, the whole reading says which, and where.
        _ => return reader::read_as(text),
    };
    Err(Problem::error(None, Thing::Scene, what, to_do))
}

/// The format number a text states; nothing when it states none, or cannot be read that far.
fn stated_format(text: &str) -> Option<i64> {
    /// The number alone, whatever else the file holds.
    #[derive(Deserialize)]
    struct Stated {
        format: Option<i64>,
    }
    options().from_str::<Stated>(text).ok()?.format
}

/// Writes a scene as RON text, of the present format. Reading it gives an equal scene; writing that gives the same bytes.
///
/// # Errors
///
/// Never seen: only if the RON writer itself fails.
pub fn to_text(scene: &Scene) -> Result<String, Problem> {
    let config = PrettyConfig::new()
        .new_line("\n")
        .depth_limit(OPEN_DEPTH)
        .extensions(Extensions::IMPLICIT_SOME)
        .escape_strings(true);
    let mut text = Options::default().to_string_pretty(scene, config).map_err(|error| {
        Problem::error(None, Thing::Scene, format!("it cannot be written ({error})"), "report this as a fault")
    })?;
    text.push('\n');
    Ok(text)
}

/// Reads a scene file.
///
/// # Errors
///
/// When the file cannot be read, is not UTF-8, or [`from_text`] refuses it.
pub fn read(path: &Path) -> Result<Scene, Problem> {
    let bytes = whole::read(path).map_err(|error| {
        let what = format!("{} cannot be read ({error})", path.display());
        Problem::error(None, Thing::Scene, what, "check the name and that you may read it")
    })?;
    let text = std::str::from_utf8(&bytes).map_err(|error| {
        let what = format!("{} is no UTF-8 text from byte {} on", path.display(), error.valid_up_to());
        Problem::error(None, Thing::Scene, what, "save it as UTF-8")
    })?;
    from_text(text)
}

/// Writes a scene file: to a temporary file in the same folder, flushed to disk, then renamed, so that a crash leaves the old file or
/// the new one, never half of one. The previous file is kept beside it with `.bak` added to its name. Comments of a file made by hand
/// live on in the `.bak` alone.
///
/// A `.bak` of the last minute stays as it is. Where the previous file is `theirs`, and may hold what is nowhere else, it then gets a name with a number.
///
/// # Errors
///
/// When a file cannot be written; the previous file is then untouched.
pub fn write(path: &Path, scene: &Scene, theirs: bool) -> Result<(), Problem> {
    let text = to_text(scene)?;
    write_whole(path, text.as_bytes(), theirs).map_err(|error| unwritten(path, &error))
}

/// Where the previous version of a file is kept.
#[must_use]
pub fn backup_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// Writes a scene file that must not be there yet: of two programs that try at once, one wins.
///
/// # Errors
///
/// When there is a file of that name, or it cannot be written.
pub fn write_new(path: &Path, scene: &Scene) -> Result<(), Problem> {
    whole::create(path, to_text(scene)?.as_bytes()).map_err(|error| unwritten(path, &error))
}

fn unwritten(path: &Path, error: &io::Error) -> Problem {
    let shown = path.display();
    let (what, to_do) = if error.kind() == io::ErrorKind::AlreadyExists {
        (format!("{shown} is there already"), "name another file")
    } else {
        (format!("{shown} cannot be written ({error})"), "check that the folder exists, has room and lets you write")
    };
    Problem::error(None, Thing::Scene, what, to_do)
}

/// How long a `.bak` is not written over.
const BACKUP_STAYS: Duration = Duration::from_secs(60);

/// Where to keep the previous version now; nothing when it is kept, or need not be.
fn free_backup(path: &Path, previous: &[u8], theirs: bool) -> Option<PathBuf> {
    let usual = backup_path(path);
    let holds_it = |backup: &Path| fs::read(backup).is_ok_and(|bytes| bytes == previous);
    if holds_it(&usual) {
        return None;
    }
    let age = fs::metadata(&usual).and_then(|about| about.modified()).ok().and_then(|written| written.elapsed().ok());
    if age.is_none_or(|age| age > BACKUP_STAYS) {
        return Some(usual);
    }
    let mut numbered = (2..).map(|number| {
        let mut name = usual.clone().into_os_string();
        name.push(format!("-{number}"));
        PathBuf::from(name)
    });
    numbered.find(|backup| !backup.exists() || holds_it(backup)).filter(|backup| theirs && !backup.exists())
}

fn write_whole(path: &Path, bytes: &[u8], theirs: bool) -> io::Result<()> {
    // Through a link to the file itself: the previous version stands beside that.
    let path = &path.canonicalize().unwrap_or_else(|_| path.to_owned());
    match fs::read(path) {
        Ok(previous) => {
            if let Some(backup) = free_backup(path, &previous, theirs) {
                whole::replace(&backup, &previous, Some(fs::metadata(path)?.permissions()))?;
            }
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(error) => return Err(error),
    }
    whole::replace(path, bytes, None)
}
