//! What can be wrong with a scene: what, where, and what to do about it. Gathered, never the first only.

use std::fmt;

use serde::Serialize;

use super::ids::StoreyId;
use super::shown::shown;

/// How much it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// The scene can be computed, and is probably not what was meant.
    Warning,
    /// The scene cannot be computed.
    Error,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Warning => "warning",
            Self::Error => "error",
        })
    }
}

/// The thing a problem is about, so that a view can select it. Ids are plain words here, since a wrong one may be meant.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Thing {
    /// The file or the scene as a whole.
    Scene,
    /// A line and column of the file, both from 1.
    Text {
        /// Line.
        line: usize,
        /// Column.
        column: usize,
    },
    /// A storey as a whole.
    Storey,
    /// A node.
    Node(String),
    /// A wall.
    Wall(String),
    /// An opening.
    Opening(String),
    /// A room marker.
    Room(String),
    /// A source.
    Source(String),
    /// A listener.
    Listener(String),
    /// A duct.
    Duct(String),
    /// A construction of the scene's own.
    Construction(String),
    /// An override, by its position counted from 1.
    Override(usize),
    /// A view to be shown to others, by its position counted from 1.
    View(usize),
    /// A variant, by its position in the list, counted from 1.
    Variant(usize),
}

impl fmt::Display for Thing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Scene => f.write_str("scene"),
            Self::Text { line, column } => write!(f, "line {line}, column {column}"),
            Self::Storey => f.write_str("storey"),
            Self::Node(id) => write!(f, "corner \"{id}\""),
            Self::Wall(id) => write!(f, "wall \"{id}\""),
            Self::Opening(id) => write!(f, "opening \"{id}\""),
            Self::Room(id) => write!(f, "room \"{id}\""),
            Self::Source(id) => write!(f, "source \"{id}\""),
            Self::Listener(id) => write!(f, "listener \"{id}\""),
            Self::Duct(id) => write!(f, "duct \"{id}\""),
            Self::Construction(id) => write!(f, "construction \"{id}\""),
            Self::Override(position) => write!(f, "override {position}"),
            Self::View(position) => write!(f, "view {position}"),
            Self::Variant(position) => write!(f, "variant {position}"),
        }
    }
}

/// Something wrong with a scene, told so that a musician can put it right.
///
/// ```
/// # use leaklight::scene::problem::{Problem, Thing};
/// let storey = "first".into();
/// let problem = Problem::error(Some(&storey), Thing::Wall("w3".into()), "it is 0.02 m long", "make it at least 0.05 m, or delete it");
/// assert_eq!(problem.to_string(), "storey \"first\", wall \"w3\": it is 0.02 m long; make it at least 0.05 m, or delete it.");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Problem {
    /// How much it matters.
    pub severity: Severity,
    /// The storey it is on, if on one.
    pub storey: Option<StoreyId>,
    /// What it is about.
    pub thing: Thing,
    /// What is wrong: the middle of a sentence.
    pub what: String,
    /// What to do: the end of that sentence.
    pub to_do: String,
}

impl Problem {
    /// Something that keeps the scene from being computed.
    pub fn error(storey: Option<&StoreyId>, thing: Thing, what: impl Into<String>, to_do: impl Into<String>) -> Self {
        Self { severity: Severity::Error, storey: storey.cloned(), thing, what: what.into(), to_do: to_do.into() }
    }

    /// Something that is probably not meant.
    pub fn warning(storey: Option<&StoreyId>, thing: Thing, what: impl Into<String>, to_do: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, storey: storey.cloned(), thing, what: what.into(), to_do: to_do.into() }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = match (&self.storey, &self.thing) {
            (Some(storey), Thing::Storey) => format!("storey \"{storey}\""),
            (Some(storey), thing) => format!("storey \"{storey}\", {thing}"),
            (None, thing) => thing.to_string(),
        };
        let stop = if self.to_do.ends_with('?') { "" } else { "." };
        // Ids and words of a file are in it, whatever they hold.
        f.write_str(&shown(&format!("{place}: {}; {}{stop}", self.what, self.to_do)))
    }
}

impl std::error::Error for Problem {}

/// So many problems of one severity are listed; nobody reads more, and a hostile file could make millions.
pub const MOST_LISTED: usize = 200;

/// Problems as they are found: the first [`MOST_LISTED`] errors and as many warnings, and how many more there are.
#[derive(Debug, Clone, Default)]
pub struct Gathered {
    listed: Vec<Problem>,
    /// Warnings and errors found.
    found: [usize; 2],
}

impl Gathered {
    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        let severity = problem.severity;
        if !self.is_full(severity) {
            self.listed.push(problem);
        }
        self.found[severity as usize] += 1;
    }

    /// Whether one more would only be counted.
    #[must_use]
    pub fn is_full(&self, severity: Severity) -> bool {
        self.found[severity as usize] >= MOST_LISTED
    }

    /// Counts some without listing them.
    pub fn count(&mut self, severity: Severity, more: usize) {
        self.found[severity as usize] += more;
    }

    /// Those listed in the order they were found, then how many are not.
    #[must_use]
    pub fn into_list(mut self) -> Vec<Problem> {
        for severity in [Severity::Error, Severity::Warning] {
            let listed = self.listed.iter().filter(|problem| problem.severity == severity).count();
            let more = self.found[severity as usize] - listed;
            if more > 0 {
                let what = format!("{more} more {severity}{} found", if more == 1 { " was" } else { "s were" });
                let to_do = "put right those that are listed first".to_owned();
                self.listed.push(Problem { severity, storey: None, thing: Thing::Scene, what, to_do });
            }
        }
        self.listed
    }
}

impl From<Vec<Problem>> for Gathered {
    fn from(problems: Vec<Problem>) -> Self {
        let mut gathered = Self::default();
        problems.into_iter().for_each(|problem| gathered.push(problem));
        gathered
    }
}

/// True when any of them keeps the scene from being computed.
#[must_use]
pub fn any_error(problems: &[Problem]) -> bool {
    problems.iter().any(|problem| problem.severity == Severity::Error)
}
