//! Scene files: RON text to scene and back.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use ron::Options;
use ron::error::{Error as RonError, SpannedError};
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;

use super::validate::nearest;
use super::{FORMAT, Problem, Scene, Thing, upgrade, whole};

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
    upgrade::read_any(text)
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
    let bytes = fs::read(path).map_err(|error| {
        Problem::error(
            None,
            Thing::Scene,
            format!("{} cannot be read ({error})", path.display()),
            "check the name and that you may read it",
        )
    })?;
    let text = std::str::from_utf8(&bytes).map_err(|error| {
        Problem::error(
            None,
            Thing::Scene,
            format!("{} is no UTF-8 text from byte {} on", path.display(), error.valid_up_to()),
            "save it as UTF-8",
        )
    })?;
    from_text(text)
}

/// Writes a scene file: to a temporary file in the same folder, flushed to disk, then renamed, so that a crash leaves the old file or
/// the new one, never half of one. The previous file is kept beside it with `.bak` added to its name. Comments of a file made by hand
/// live on in the `.bak` alone.
///
/// # Errors
///
/// When a file cannot be written; the previous file is then untouched.
pub fn write(path: &Path, scene: &Scene) -> Result<(), Problem> {
    let text = to_text(scene)?;
    write_whole(path, text.as_bytes()).map_err(|error| unwritten(path, &error))
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

fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // Through a link to the file itself: the previous version stands beside that.
    let path = &path.canonicalize().unwrap_or_else(|_| path.to_owned());
    match fs::read(path) {
        Ok(previous) => {
            let backup = backup_path(path);
            whole::replace(&backup, &previous)?;
            fs::set_permissions(&backup, fs::metadata(path)?.permissions())?;
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(error) => return Err(error),
    }
    whole::replace(path, bytes)
}

/// Reads text of the present format.
pub(super) fn parse(text: &str) -> Result<Scene, Problem> {
    options().from_str::<Scene>(text).map_err(|error| told(text, &error))
}

/// A reader's error in words.
fn told(text: &str, error: &SpannedError) -> Problem {
    let start = error.span.start;
    // The reader points behind an unknown word; its beginning is of more use.
    let column = match &error.code {
        RonError::NoSuchStructField { found, .. } | RonError::NoSuchEnumVariant { found, .. } => {
            column_of(text, error.span.end.line, error.span.end.col, found).unwrap_or(start.col)
        }
        _ => error.span.end.col,
    };
    let thing = Thing::Text { line: error.span.end.line, column };
    let (what, to_do) = in_words(&error.code);
    Problem::error(None, thing, what, to_do)
}

fn column_of(text: &str, line: usize, before: usize, word: &str) -> Option<usize> {
    let line: Vec<char> = text.lines().nth(line.checked_sub(1)?)?.chars().take(before).collect();
    let line: String = line.into_iter().collect();
    line.rfind(word).map(|byte| line[..byte].chars().count() + 1)
}

fn in_words(code: &RonError) -> (String, String) {
    let place = |outer: &Option<String>| outer.as_ref().map_or("this place".to_owned(), |name| part(name));
    match code {
        RonError::NoSuchStructField { expected, found, outer } => {
            (format!("there is no field \"{found}\" in {}", place(outer)), choose(found, expected))
        }
        RonError::NoSuchEnumVariant { expected, found, outer } => {
            (format!("\"{found}\" is no choice for {}", place(outer)), choose(found, expected))
        }
        RonError::MissingStructField { field: "format", .. } => {
            ("the file states no format".into(), format!("begin it with `(format: {FORMAT},`"))
        }
        RonError::MissingStructField { field, outer } => {
            (format!("{} that ends here lacks its \"{field}\"", place(outer)), format!("add `{field}: …` to it"))
        }
        RonError::DuplicateStructField { field, outer } => {
            (format!("\"{field}\" stands twice in {}", place(outer)), "keep one of them".into())
        }
        RonError::ExpectedDifferentLength { expected, found } => {
            (format!("{found} values stand where {expected} are needed"), "add or remove values".into())
        }
        RonError::Eof => ("the file ends too early".into(), "close what is open with `)` or `]`".into()),
        RonError::ExpectedComma => ("a comma is missing before this".into(), "put `,` between entries".into()),
        RonError::ExpectedArray => ("a list should begin here".into(), "open it with `[`".into()),
        RonError::ExpectedArrayEnd => {
            ("the list does not go on like this".into(), "put `,` between its entries, or close it with `]`".into())
        }
        RonError::ExpectedStructLike | RonError::ExpectedNamedStructLike(_) => {
            ("an entry should begin here".into(), "open it with `(`".into())
        }
        RonError::ExpectedStructLikeEnd => {
            ("the entry does not go on like this".into(), "put `,` between its values, or close it with `)`".into())
        }
        RonError::ExpectedMapColon => ("a colon is missing".into(), "write `field: value`".into()),
        RonError::ExpectedString => ("a text should stand here".into(), "put it in quotation marks".into()),
        RonError::ExpectedStringEnd => ("a text is not closed".into(), "close it with a quotation mark".into()),
        RonError::ExpectedFloat | RonError::ExpectedInteger | RonError::InvalidIntegerDigit { .. } => {
            ("a number should stand here".into(), "write it with a point, as 2.5, without a unit".into())
        }
        RonError::ExpectedBoolean => ("`true` or `false` should stand here".into(), "write one of them".into()),
        RonError::ExpectedIdentifier => ("a field's name should stand here".into(), "write `field: value`".into()),
        RonError::TrailingCharacters => ("something stands behind the end of the scene".into(), "remove it".into()),
        RonError::UnclosedBlockComment => ("a comment is not closed".into(), "close it with `*/`".into()),
        RonError::ExceededRecursionLimit => {
            ("the file is nested too deeply for a scene".into(), "look for a missing `)` or `]`".into())
        }
        other => (
            format!("this cannot be read ({other})"),
            "compare it with one of the scenes that come with the program".into(),
        ),
    }
}

/// A name of our types as people call it.
fn part(name: &str) -> String {
    match name {
        "Scene" => "a scene".into(),
        "AirConditions" => "the air".into(),
        "Outdoors" => "the outdoors".into(),
        "Residual" => "what every building has besides".into(),
        "Ground" => "the ground outdoors".into(),
        "Storey" => "a storey".into(),
        "FloorBuild" => "a floor".into(),
        "Node" => "a corner".into(),
        "Wall" => "a wall".into(),
        "Opening" => "an opening".into(),
        "Room" => "a room".into(),
        "Finishes" => "the finishes".into(),
        "Background" => "a background".into(),
        "Source" => "a source".into(),
        "Listener" => "a listener".into(),
        "Duct" => "a duct".into(),
        "DuctEnd" => "the end of a duct".into(),
        "DuctSection" => "the section of a duct".into(),
        "Override" => "an override".into(),
        "Construction" => "a construction".into(),
        "Usage" => "a room's usage".into(),
        "Workmanship" => "a workmanship".into(),
        "Touches" => "what a contact touches".into(),
        other => format!("\"{other}\""),
    }
}

fn choose(found: &str, expected: &[&str]) -> String {
    match nearest(found, expected.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None if expected.is_empty() => "remove it".into(),
        None => format!("it may be one of {}", expected.join(", ")),
    }
}
