//! What the file of a lesson says.

use serde::{Deserialize, Serialize};

use super::measure::Measure;
use crate::catalogue::Provenance;
use crate::scene::Edit;

/// A lesson as its file has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// Title people read.
    pub title: String,
    /// What is there, and what is asked. Plain sentences.
    pub question: String,
    /// What decides.
    pub ask: Ask,
    /// What the figures are, in words: "level next door".
    pub figure: String,
    /// What may be answered, two to four.
    pub choices: Vec<Choice>,
    /// Position in `choices` of the answer the author expects. Never used to find the right one.
    pub expected: usize,
    /// Why it is so: one to three sentences.
    pub why: String,
    /// Where that is published.
    pub source: Provenance,
    /// What to try next.
    pub next: String,
}

/// What decides between the choices.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Ask {
    /// Each choice changes the scene; the one after which this is least is right.
    Least(Measure),
    /// Each choice changes the scene; the one after which this is greatest is right.
    Greatest(Measure),
    /// Each choice is a range; the one that holds the value of the scene as it stands is right.
    Value(Measure),
    /// Each choice is a range; the one that holds how far the changes lower this is right. Negative where they raise it.
    Drop {
        /// What is measured.
        of: Measure,
        /// Done to the scene together.
        by: Vec<Edit>,
    },
    /// As `Drop`, counted as a part of what other changes would do, in per cent.
    PartOfDrop {
        /// What is measured.
        of: Measure,
        /// Done to the scene together.
        by: Vec<Edit>,
        /// What would be done in full.
        whole: Vec<Edit>,
    },
}

impl Ask {
    /// What is measured.
    #[must_use]
    pub fn measure(&self) -> &Measure {
        match self {
            Self::Least(of) | Self::Greatest(of) | Self::Value(of) => of,
            Self::Drop { of, .. } | Self::PartOfDrop { of, .. } => of,
        }
    }

    /// True where choices are changes of the scene, false where they are ranges of one figure.
    #[must_use]
    pub fn compares(&self) -> bool {
        matches!(self, Self::Least(_) | Self::Greatest(_))
    }

    /// The unit of the figures.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        match self {
            Self::PartOfDrop { .. } => "%",
            // A difference of A-weighted levels is in dB.
            Self::Drop { .. } => "dB",
            _ => self.measure().unit(),
        }
    }
}

/// An answer to choose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// What people read.
    pub words: String,
    /// What it does to the scene; nothing where the choice is a range (or leaves all as it is).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<Edit>,
    /// The range of the figure that makes it right: from, to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<(f64, f64)>,
}

/// "a" for the first choice, "b" for the second.
#[must_use]
pub(super) fn letter(at: usize) -> char {
    char::from(b'a' + u8::try_from(at).unwrap_or(25).min(25))
}
