//! Whole scenes from a few plain answers: for whoever wants a first answer before drawing anything.
//!
//! A [`BuildingKind`] asks [`Question`]s; [`Answers`] hold an answer to each, always one of those offered, so that building a scene of them
//! ([`Answers::scene`]) cannot fail. What a kind asks, how it is drawn and what each answer changes are data: `assets/templates/*.ron`.

mod build;
mod plan;
mod question;
mod sheet;

pub use question::{Answer, Answers, Choice, NotOffered, Offer, Question};

use plan::{PLANS, PlanFile};

use crate::scene::Scene;

/// A kind of building a scene can begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BuildingKind {
    /// A room in a house of a terrace.
    Terrace,
    /// A room in one of two houses that share a wall.
    Semi,
    /// A flat in a block of concrete.
    ConcreteFlat,
    /// A flat between wooden floors.
    JoistFlat,
    /// A room in a house of timber frames.
    TimberFrame,
    /// A garage or shed that stands alone.
    Garage,
    /// A practice room of a school.
    School,
}

impl BuildingKind {
    /// All, in the order they are offered.
    pub const ALL: [Self; 7] =
        [Self::Terrace, Self::Semi, Self::ConcreteFlat, Self::JoistFlat, Self::TimberFrame, Self::Garage, Self::School];

    /// The word it is asked for by.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.file().file.trim_end_matches(".ron")
    }

    /// What it is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        &self.file().plan.name
    }

    /// What it shows, in a line.
    #[must_use]
    pub fn about(self) -> &'static str {
        &self.file().plan.about
    }

    /// The kind of a word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// What it asks.
    #[must_use]
    pub fn questions(self) -> Vec<Question> {
        self.file().questions().unwrap_or_else(|fault| panic!("a template built into the program is faulty: {fault}"))
    }

    fn file(self) -> &'static PlanFile {
        &PLANS[self as usize]
    }
}

impl Answers {
    /// The scene these answers give.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let scene = self.kind().file().scene(&self.words());
        // Part of the program, and a test builds every one: this cannot be a user's doing.
        scene.unwrap_or_else(|fault| panic!("a template built into the program is faulty: {fault}"))
    }
}
