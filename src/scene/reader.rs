//! RON text read, and the reader's refusals as sentences.

use ron::error::{Error as RonError, SpannedError};
use serde::de::DeserializeOwned;

use super::file::options;
use super::model::FORMAT;
use super::problem::{Problem, Thing};
use super::validate::nearest;

/// Reads RON text as what it should hold: a scene, a construction, the record of a lesson.
///
/// # Errors
///
/// When the text is no RON or holds something else: one problem, with line and column, and what to do about it.
///
/// ```
/// # use leaklight::catalogue::Layer;
/// # use leaklight::scene::reader::read_as;
/// let error = read_as::<Layer>("Sheet(material: \"brick\", thickness: 12)").unwrap_err();
/// let expected = "line 1, column 26: there is no field \"thickness\" in \"Sheet\"; did you mean \"thickness_mm\"?";
/// assert_eq!(error.to_string(), expected);
/// ```
pub fn read_as<T: DeserializeOwned>(text: &str) -> Result<T, Problem> {
    options().from_str::<T>(text).map_err(|error| problem_of(text, &error))
}

fn problem_of(text: &str, error: &SpannedError) -> Problem {
    let start = error.span.start;
    // The reader points behind an unknown word; its beginning is of more use.
    let column = match &error.code {
        RonError::NoSuchStructField { found, .. }
        | RonError::NoSuchEnumVariant { found, .. }
        | RonError::ExpectedDifferentStructName { found, .. } => {
            column_of(text, error.span.end.line, error.span.end.col, found).unwrap_or(start.col)
        }
        _ => error.span.end.col,
    };
    let thing = Thing::Text { line: error.span.end.line, column };
    let (what, to_do) = match &error.code {
        RonError::ExpectedDifferentStructName { expected, found } => {
            let rest = text.lines().nth(error.span.end.line.saturating_sub(1)).unwrap_or_default();
            let behind: String = rest.chars().skip(error.span.end.col.saturating_sub(1)).collect();
            // The next field, since a list was not closed, or a name that nothing needs.
            let (kind, to_do) = if behind.trim_start().starts_with(':') {
                ("field", "close what stands before it with `]` or `)`, or begin with `(`")
            } else {
                ("word", "begin with `(` and no word before it")
            };
            (format!("{} should begin here, and the {kind} \"{found}\" does", part(expected)), to_do.into())
        }
        code => in_words(code),
    };
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
            let wanted: String = expected.chars().filter(char::is_ascii_digit).collect();
            let wanted = if wanted.is_empty() { "another number".to_owned() } else { wanted };
            let stand = if *found == 1 { "value stands" } else { "values stand" };
            (format!("{found} {stand} where {wanted} should"), "add or remove values".into())
        }
        RonError::InvalidValueForType { expected, found } => {
            let (found, (wanted, to_do)) = (found_in_words(found), wanted_in_words(expected));
            (format!("{found} stands where {wanted} should"), to_do.into())
        }
        RonError::Eof => ("the file ends too early".into(), "close what is open with `)` or `]`".into()),
        RonError::ExpectedComma => ("a comma is missing before this".into(), "put `,` between entries".into()),
        RonError::ExpectedArray => ("a list should begin here".into(), "open it with `[`".into()),
        RonError::ExpectedArrayEnd => {
            ("the list does not go on like this".into(), "put `,` between its entries, or close it with `]`".into())
        }
        RonError::ExpectedStructLike => ("an entry should begin here".into(), "open it with `(`".into()),
        RonError::ExpectedNamedStructLike(name) | RonError::ExpectedDifferentStructName { expected: name, .. } => {
            let wanted = if name.is_empty() { "an entry".to_owned() } else { part(name) };
            (format!("{wanted} should begin here"), "open it with `(`".into())
        }
        RonError::ExpectedStructName(name) => (format!("{} should begin here", part(name)), format!("write `{name}(`")),
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
        RonError::IntegerOutOfBounds => {
            ("the number is too large, or below zero where none can be".into(), "write a smaller one".into())
        }
        RonError::FloatUnderscore | RonError::UnderscoreAtBeginning => {
            ("a `_` stands in a number".into(), "write it with digits and a point alone, as 1200.5".into())
        }
        RonError::ExpectedOption | RonError::ExpectedOptionEnd => {
            ("a value that may be left out does not end".into(), "write the value alone, or `None`".into())
        }
        RonError::ExpectedAttribute | RonError::ExpectedAttributeEnd | RonError::NoSuchExtension(_) => (
            "a line that begins with `#` is none this program knows".into(),
            "write `#![enable(implicit_some)]`, or leave the line out".into(),
        ),
        RonError::InvalidEscape(_) => (
            "a `\\` in a text is followed by something that has no meaning".into(),
            "write `\\\\` for the sign itself".into(),
        ),
        RonError::ExpectedMap | RonError::ExpectedMapEnd => {
            ("`{` and `}` do not fit here".into(), "write entries in `(` and `)`, lists in `[` and `]`".into())
        }
        RonError::UnexpectedChar(letter) => (
            format!("the sign `{letter}` has no meaning here"),
            "remove it, or put the text it is of in quotation marks".into(),
        ),
        RonError::InvalidIdentifier(word) | RonError::SuggestRawIdentifier(word) => {
            (format!("\"{word}\" is no word of a file like this"), "write it with letters, digits and `_` alone".into())
        }
        RonError::UnclosedLineComment => ("a comment is not closed".into(), "end its line".into()),
        _ => ("this cannot be read".into(), "compare it with one of the files that come with the program".into()),
    }
}

/// What stands in the file, from the reader's words.
fn found_in_words(found: &str) -> String {
    let value = found.split_once('`').map(|(_, value)| value.trim_end_matches('`'));
    match (found.split(' ').nth(1), value) {
        (Some("string"), _) => format!("the text {}", found.trim_start_matches("the string ")),
        (Some("boolean"), Some(value)) => format!("`{value}`"),
        (Some("unsigned" | "signed" | "integer" | "floating"), Some(value)) => format!("the number {value}"),
        (Some("sequence"), _) => "a list".to_owned(),
        (Some("unit"), _) => "nothing".to_owned(),
        _ => "something else".to_owned(),
    }
}

/// What should stand there, from the reader's words, and how it is written.
fn wanted_in_words(wanted: &str) -> (String, &'static str) {
    let number = ["f64", "f32", "u8", "u16", "u32", "u64", "i8", "i16", "i32", "i64", "usize"].contains(&wanted);
    let count: String = wanted.chars().filter(char::is_ascii_digit).collect();
    if number {
        ("a number".to_owned(), "write it with a point, as 2.5, without a unit")
    } else if wanted.contains("string") {
        ("a text".to_owned(), "put it in quotation marks")
    } else if wanted.contains("bool") {
        ("`true` or `false`".to_owned(), "write one of them")
    } else if (wanted.contains("array") || wanted.contains("tuple of")) && !count.is_empty() {
        (format!("{count} values"), "write them in `(` and `)` with commas between")
    } else if wanted.contains("sequence") {
        ("a list".to_owned(), "open it with `[`")
    } else if let Some(name) = wanted.strip_prefix("struct ").or_else(|| wanted.strip_prefix("enum ")) {
        (part(name), "open it with `(`")
    } else {
        ("something else".to_owned(), "compare it with one of the files that come with the program")
    }
}

/// A name of our types as people call it.
fn part(name: &str) -> String {
    match name {
        "Scene" => "a scene".into(),
        "AirConditions" => "the air".into(),
        "Outdoors" => "the outdoors".into(),
        "Played" => "where and when it is played".into(),
        "Measured" => "a measured level".into(),
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
        "Underlay" => "a picture to trace".into(),
        "Contact" => "a contact".into(),
        "ContactForce" | "Force" => "the force of a contact".into(),
        "Mount" => "a platform".into(),
        "Spring" => "what a platform rests on".into(),
        "InnerShell" => "an inner shell".into(),
        "ShellFace" => "a face of a shell".into(),
        "ShellOpening" => "a door or window of a shell".into(),
        "Support" => "what holds a face of a shell".into(),
        "Cover" => "a cover".into(),
        "SavedView" => "a view".into(),
        "Lit" => "what lights a view".into(),
        "Light" => "what the light of a view means".into(),
        "ConstructionKind" => "a construction's kind".into(),
        "Build" => "what a construction is made of".into(),
        "Layer" => "a layer".into(),
        "Bridge" => "what joins two leaves".into(),
        "UsualRw" => "a usual Rw".into(),
        "Provenance" => "a provenance".into(),
        "Certainty" => "how well something is known".into(),
        "Record" => "a lesson".into(),
        "Ask" => "what a lesson asks".into(),
        "Choice" => "a choice".into(),
        "Change" => "a change".into(),
        "Measure" => "what a lesson measures".into(),
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
