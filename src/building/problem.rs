//! What keeps a scene from being a building.

use std::fmt;

/// Something in the scene that cannot be built, with its place and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where: `storey "first", wall w3`.
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub advice: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}. {}", self.place, self.what, self.advice)
    }
}

impl Problem {
    /// Puts the three together.
    pub(super) fn new(place: impl Into<String>, what: impl Into<String>, advice: impl Into<String>) -> Self {
        Self { place: place.into(), what: what.into(), advice: advice.into() }
    }
}
