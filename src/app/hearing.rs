//! The answer of one listener, and how it is looked at.

use crate::app::view::View;
use crate::output::words;
use crate::project::Solved;
use crate::solve::{BandChoice, ListenerAnswer};

/// The answer of one listener, and how it is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Hearing<'a> {
    /// The whole answer.
    pub solved: &'a Solved,
    /// The listener's part of it.
    pub heard: &'a ListenerAnswer,
    /// What is looked at.
    pub view: &'a View,
    /// What was kept to compare with.
    pub base: Option<&'a Solved>,
}

impl<'a> Hearing<'a> {
    /// The same beside what was kept to compare with.
    #[must_use]
    pub fn against(self, base: Option<&'a Solved>) -> Self {
        Self { base, ..self }
    }

    /// The chosen listener's answer; nothing when nobody is chosen.
    #[must_use]
    pub fn of(solved: &'a Solved, view: &'a View) -> Option<Self> {
        let heard = solved.answer.listeners.get(view.listener_at(solved)?)?;
        Some(Self { solved, heard, view, base: None })
    }
}

/// A level with its unit: dB(A) for all bands, dB for some.
#[must_use]
pub fn level_words(level_db: f64, bands: BandChoice) -> String {
    match bands {
        BandChoice::AWeighted => words::level(level_db),
        BandChoice::Range(..) if level_db >= -0.5 => format!("{:.0} dB", level_db.max(0.0)),
        BandChoice::Range(..) => "under 0 dB".to_owned(),
    }
}
