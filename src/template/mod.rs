//! Whole scenes from a few plain answers: for whoever wants a first answer before drawing anything.
//!
//! A [`Kind`] asks [`Question`]s; [`Answers`] hold an answer to each, always one of those offered, so that building a scene of them
//! ([`Answers::scene`]) cannot fail. All dimensions are invented; what goes with which age of building is common practice, no source.

mod concrete;
mod garage;
mod house;
mod joists;
mod parts;
mod question;
mod school;
mod sheet;
mod timber;

pub use question::{Answer, Answers, Choice, NotOffered, Offer, Question};

use crate::scene::Scene;

/// A kind of building a scene can begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
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

impl Kind {
    /// All, in the order they are offered.
    pub const ALL: [Self; 7] =
        [Self::Terrace, Self::Semi, Self::ConcreteFlat, Self::JoistFlat, Self::TimberFrame, Self::Garage, Self::School];

    /// The word it is asked for by.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Terrace => "terrace",
            Self::Semi => "semi-detached",
            Self::ConcreteFlat => "concrete-flat",
            Self::JoistFlat => "joist-flat",
            Self::TimberFrame => "timber-frame",
            Self::Garage => "garage",
            Self::School => "school",
        }
    }

    /// What it is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Terrace => "Room in a terraced house",
            Self::Semi => "Room in a semi-detached house",
            Self::ConcreteFlat => "Flat in a block of concrete",
            Self::JoistFlat => "Flat over wooden floors",
            Self::TimberFrame => "Timber-frame house",
            Self::Garage => "Detached garage",
            Self::School => "Practice room in a school",
        }
    }

    /// What it shows, in a line.
    #[must_use]
    pub fn about(self) -> &'static str {
        match self {
            Self::Terrace => "Houses on both sides, a hall beside the room, one loft or several.",
            Self::Semi => "One house shares a wall with yours; the room lies against it, or the hall between.",
            Self::ConcreteFlat => "Neighbours beside, above and below; slabs and walls of concrete.",
            Self::JoistFlat => "A divided old house: someone lives below the boards, perhaps someone above.",
            Self::TimberFrame => "Light walls and floors, alone in its garden or against a twin.",
            Self::Garage => "A light building some metres from your own house and the neighbour's.",
            Self::School => "Practice rooms side by side on a corridor, a classroom near.",
        }
    }

    /// The kind of a word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// What it asks.
    #[must_use]
    pub fn questions(self) -> Vec<Question> {
        match self {
            Self::Terrace => house::terrace_questions(),
            Self::Semi => house::semi_questions(),
            Self::ConcreteFlat => concrete::questions(),
            Self::JoistFlat => joists::questions(),
            Self::TimberFrame => timber::questions(),
            Self::Garage => garage::questions(),
            Self::School => school::questions(),
        }
    }

    fn build(self, answers: &Answers) -> Scene {
        match self {
            Self::Terrace => house::terrace(answers),
            Self::Semi => house::semi(answers),
            Self::ConcreteFlat => concrete::build(answers),
            Self::JoistFlat => joists::build(answers),
            Self::TimberFrame => timber::build(answers),
            Self::Garage => garage::build(answers),
            Self::School => school::build(answers),
        }
    }
}

impl Answers {
    /// The scene these answers give.
    #[must_use]
    pub fn scene(&self) -> Scene {
        self.kind().build(self)
    }
}
