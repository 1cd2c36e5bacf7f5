//! The lessons of the program, and lessons from files.

use std::path::Path;
use std::sync::LazyLock;

use super::change::changed;
use super::record::{Ask, Record, letter};
use crate::catalogue::{Catalogue, UnknownId};
use crate::project::{Built, Project};
use crate::scene::shown::shown;
use crate::scene::{Edit, Scene, Severity, file, reader, whole};

/// Name, record and scene of each lesson, in the order they are best taken.
macro_rules! lessons {
    ($($name:literal),+ $(,)?) => {
        [$((
            $name,
            include_str!(concat!("../../scenes/lessons/", $name, ".lesson.ron")),
            include_str!(concat!("../../scenes/lessons/", $name, ".ron")),
        )),+]
    };
}

static ALL: LazyLock<Vec<Lesson>> = LazyLock::new(|| {
    let texts = lessons![
        "mass",
        "gap",
        "seals",
        "composite",
        "triple",
        "coincidence",
        "foam",
        "flanking",
        "floor-or-window",
        "ceiling-or-floor",
        "shell",
    ];
    let read = texts.into_iter().map(|(name, record, scene)| {
        // Part of the program, and a test reads them: this cannot be a user's doing.
        Lesson::from_texts(name, record, scene).unwrap_or_else(|fault| panic!("{fault}"))
    });
    read.collect()
});

/// Why a lesson cannot be given, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("lesson \"{lesson}\": {}{}", shown(.why), if .why.ends_with('?') { "" } else { "." })]
pub struct LessonFault {
    /// Name of the lesson, or its file.
    pub lesson: String,
    /// What is wrong, as a clause.
    pub why: String,
}

/// A lesson: its record and its scene.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    name: String,
    record: Record,
    scene: Scene,
}

impl Lesson {
    /// All lessons of the program, read once.
    #[must_use]
    pub fn all() -> &'static [Self] {
        &ALL
    }

    /// A lesson of the program by its name.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        ALL.iter().find(|lesson| lesson.name == name)
    }

    /// Reads a lesson from the text of its record and of its scene.
    ///
    /// # Errors
    ///
    /// When one of them cannot be read (line and column are named), or the record makes no question: fewer than two or more than four
    /// choices, a range missing or not wanted, an expected answer that is none, a source the bibliography lacks, anything measured or changed that the
    /// scene does not have.
    pub fn from_texts(name: &str, record: &str, scene: &str) -> Result<Self, LessonFault> {
        let fault = |why: String| LessonFault { lesson: name.to_owned(), why };
        let plain = |why: String| fault(why.trim_end_matches('.').to_owned());
        let record: Record = reader::read_as(record).map_err(|problem| plain(problem.to_string()))?;
        check(&record).map_err(plain)?;
        let scene = file::from_text(scene).map_err(|problem| plain(format!("its scene, {problem}")))?;
        check_references(&record, &scene).map_err(plain)?;
        Ok(Self { name: name.to_owned(), record, scene })
    }

    /// Reads a lesson from its record `NAME.lesson.ron`; its scene is `NAME.ron` beside it.
    ///
    /// # Errors
    ///
    /// When a file cannot be read, and as [`Self::from_texts`].
    pub fn from_path(path: &Path) -> Result<Self, LessonFault> {
        let shown = path.display().to_string();
        let fault = |why: String| LessonFault { lesson: shown.clone(), why };
        let file_name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        let Some(name) = file_name.strip_suffix(".lesson.ron") else {
            return Err(fault("the name of its file must end in \".lesson.ron\"".to_owned()));
        };
        let text = |path: &Path| {
            let unread = |why: String| fault(format!("{} cannot be read ({why})", path.display()));
            let bytes = whole::read(path).map_err(|error| unread(error.to_string()))?;
            String::from_utf8(bytes).map_err(|error| unread(error.to_string()))
        };
        let scene = path.with_file_name(format!("{name}.ron"));
        let lesson = Self::from_texts(name, &text(path)?, &text(&scene)?);
        lesson.map_err(|found| fault(found.why))
    }

    /// Its name, a word.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What its file says.
    #[must_use]
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// The scene it is about, as it stands before anything is changed.
    #[must_use]
    pub fn scene(&self) -> &Scene {
        &self.scene
    }

    /// Its choices with their letters.
    pub fn choices(&self) -> impl Iterator<Item = (char, &str)> {
        self.record.choices.iter().enumerate().map(|(at, choice)| (letter(at), choice.words.as_str()))
    }

    /// The position of a choice by its letter or its words, whatever their case.
    #[must_use]
    pub fn choice(&self, said: &str) -> Option<usize> {
        let said = said.trim().trim_end_matches([')', '.']).to_lowercase();
        let same = |words: &str| words.trim_end_matches('.').to_lowercase() == said;
        self.choices().position(|(letter, words)| said == letter.to_string() || same(words))
    }

    pub(super) fn fault(&self, why: String) -> LessonFault {
        LessonFault { lesson: self.name.clone(), why: why.trim_end_matches('.').to_owned() }
    }
}

fn check(record: &Record) -> Result<(), String> {
    let count = record.choices.len();
    if !(2..=4).contains(&count) {
        return Err(format!("it has {count} choices; give it two to four"));
    }
    if record.expected >= count {
        return Err(format!("it expects choice {}, but the last is {}", record.expected, count - 1));
    }
    for (choice, letter) in record.choices.iter().zip('a'..) {
        match choice.within {
            Some(_) if record.ask.compares() => {
                return Err(format!("choice {letter} has a range, but choices are compared"));
            }
            Some((from, to)) if from.partial_cmp(&to) != Some(std::cmp::Ordering::Less) => {
                return Err(format!("choice {letter} has an empty range"));
            }
            None if !record.ask.compares() => return Err(format!("choice {letter} lacks its range `within`")),
            _ => {}
        }
        if !record.ask.compares() && !choice.changes.is_empty() {
            return Err(format!("choice {letter} changes the scene, but is a range"));
        }
    }
    if let Ask::PartOfDrop { whole, .. } = &record.ask
        && whole.is_empty()
    {
        return Err("there is nothing the part is a part of".to_owned());
    }
    let key = &record.source.source;
    if !key.is_empty() && !Catalogue::built_in_ref().references.contains_key(key) {
        let known = Catalogue::built_in_ref().references.keys().map(String::as_str);
        return Err(UnknownId::among("source", key, known).to_string());
    }
    Ok(())
}

/// The first thing that is measured or changed and not there, or a scene that cannot be built; a clause. Said when a lesson is read, not when somebody has
/// answered.
fn check_references(record: &Record, scene: &Scene) -> Result<(), String> {
    let catalogue = Catalogue::built_in_ref();
    let start = built(scene.clone())?;
    record.ask.measure().refers(scene, &start.building)?;
    let asked: Vec<&[Edit]> = match &record.ask {
        Ask::Least(_) | Ask::Greatest(_) | Ask::Value(_) => vec![],
        Ask::Drop { by, .. } => vec![by],
        Ask::PartOfDrop { by, whole, .. } => vec![by, whole],
    };
    let changes = record.choices.iter().map(|choice| choice.changes.as_slice()).chain(asked);
    for changes in changes.filter(|changes| !changes.is_empty()) {
        built(changed(scene, catalogue, changes)?)?;
    }
    Ok(())
}

fn built(scene: Scene) -> Result<Built, String> {
    Project::of(scene).build().map_err(|problems| {
        let error = problems.iter().find(|problem| problem.severity == Severity::Error);
        error.map_or_else(|| "its scene cannot be built".to_owned(), |problem| format!("its scene, {problem}"))
    })
}
