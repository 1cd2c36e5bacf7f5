//! Older file formats brought up to the present one.

use serde::Deserialize;

use super::file;
use super::model::{FORMAT, Scene};
use super::problem::{Problem, Thing};

/// The number alone, whatever else the file holds.
#[derive(Deserialize)]
struct Head {
    #[serde(default)]
    format: Option<i64>,
}

/// The format number a text states; nothing when it states none, or cannot be read that far.
#[must_use]
pub fn stated_format(text: &str) -> Option<i64> {
    file::options().from_str::<Head>(text).ok().and_then(|head| head.format)
}

/// Reads a scene of any format known.
///
/// Format 1 is the first. When a format 2 comes, the types of format 1 move to a module of their own here, get a
/// `From` into those of format 2, and an arm below.
///
/// # Errors
///
/// When the format is not known, or the text is no scene of the format it states.
pub fn read_any(text: &str) -> Result<Scene, Problem> {
    match stated_format(text) {
        Some(number) if number == i64::from(FORMAT) => file::parse(text),
        Some(number) if number > i64::from(FORMAT) => Err(Problem::error(
            None,
            Thing::Scene,
            format!("it has format {number}, and this program knows formats up to {FORMAT}"),
            "open it with a newer version of this program",
        )),
        Some(number) => Err(Problem::error(
            None,
            Thing::Scene,
            format!("it has format {number}, which never existed"),
            format!("write `format: {FORMAT}` if the file was made by hand"),
        )),
        // Either no number or no RON: the whole reading says which, and where.
        None => file::parse(text),
    }
}
