//! What a template asks, and the answers to it.

use std::fmt;

use super::Kind;
use crate::catalogue::Catalogue;

/// One plain question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The word it is answered by: "length".
    pub name: &'static str,
    /// What is asked: "How long is the room, from the street to the back?"
    pub asks: &'static str,
    /// What may be answered.
    pub offer: Offer,
}

/// What may be answered.
#[derive(Debug, Clone, PartialEq)]
pub enum Offer {
    /// A length, m.
    Length {
        /// At least, m.
        least_m: f64,
        /// At most, m.
        most_m: f64,
        /// When nothing is said, m.
        usual_m: f64,
    },
    /// One of several.
    OneOf {
        /// Which, in the order they are offered.
        choices: Vec<Choice>,
        /// Position of the one taken when nothing is said.
        usual: usize,
    },
}

/// Something that may be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The word it is chosen by.
    pub word: String,
    /// What it is called.
    pub name: String,
}

/// An answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A length, m.
    Length(f64),
    /// A choice, by its word.
    Word(String),
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length(length_m) => write!(f, "{length_m}"),
            Self::Word(word) => f.write_str(word),
        }
    }
}

/// Why an answer is not taken, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NotOffered(pub String);

impl Question {
    pub(super) fn length(name: &'static str, asks: &'static str, [least_m, usual_m, most_m]: [f64; 3]) -> Self {
        Self { name, asks, offer: Offer::Length { least_m, most_m, usual_m } }
    }

    /// The first choice is the usual one.
    pub(super) fn one_of(name: &'static str, asks: &'static str, choices: &[(&str, &str)]) -> Self {
        let choice = |(word, name): &(&str, &str)| Choice { word: (*word).to_owned(), name: (*name).to_owned() };
        Self { name, asks, offer: Offer::OneOf { choices: choices.iter().map(choice).collect(), usual: 0 } }
    }

    /// Who is loud: every source of the catalogue but the test noise.
    pub(super) fn loud(usual: &str) -> Self {
        let sources = &Catalogue::built_in_ref().sources;
        let choices: Vec<Choice> = sources
            .values()
            .filter(|source| source.id != "pink-noise-test")
            .map(|source| Choice { word: source.id.clone(), name: source.name.clone() })
            .collect();
        let usual = choices.iter().position(|choice| choice.word == usual).unwrap_or(0);
        Self { name: "loud", asks: "Who or what is loud?", offer: Offer::OneOf { choices, usual } }
    }

    /// The answer when nothing is said.
    #[must_use]
    pub fn usual(&self) -> Answer {
        match &self.offer {
            Offer::Length { usual_m, .. } => Answer::Length(*usual_m),
            Offer::OneOf { choices, usual } => {
                Answer::Word(choices.get(*usual).map(|choice| choice.word.clone()).unwrap_or_default())
            }
        }
    }

    /// Whether an answer is one of those offered.
    ///
    /// # Errors
    ///
    /// When it is not; says what is offered.
    pub fn check(&self, answer: &Answer) -> Result<(), NotOffered> {
        let name = self.name;
        match (&self.offer, answer) {
            (Offer::Length { least_m, most_m, .. }, Answer::Length(length_m))
                if *length_m >= *least_m && *length_m <= *most_m =>
            {
                Ok(())
            }
            (Offer::OneOf { choices, .. }, Answer::Word(word)) if choices.iter().any(|choice| choice.word == *word) => {
                Ok(())
            }
            (Offer::Length { least_m, most_m, .. }, other) => {
                Err(NotOffered(format!("\"{name}\" is {other}; it must be a length from {least_m} to {most_m} m.")))
            }
            (Offer::OneOf { choices, .. }, other) => {
                let known: Vec<&str> = choices.iter().map(|choice| choice.word.as_str()).collect();
                Err(NotOffered(format!("\"{name}\" is {other}; it must be one of {}.", known.join(", "))))
            }
        }
    }

    /// The answer that a text gives.
    ///
    /// # Errors
    ///
    /// When it is not one of those offered; says what is offered.
    pub fn read(&self, text: &str) -> Result<Answer, NotOffered> {
        let text = text.trim();
        let answer = match self.offer {
            Offer::Length { .. } => text.parse().map_or_else(|_| Answer::Word(text.to_owned()), Answer::Length),
            Offer::OneOf { .. } => Answer::Word(text.to_owned()),
        };
        self.check(&answer)?;
        Ok(answer)
    }
}

/// An answer to each question of a kind, each one of those offered.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    kind: Kind,
    questions: Vec<Question>,
    given: Vec<Answer>,
}

impl Answers {
    /// The usual answers.
    #[must_use]
    pub fn usual(kind: Kind) -> Self {
        let questions = kind.questions();
        let given = questions.iter().map(Question::usual).collect();
        Self { kind, questions, given }
    }

    /// Of which kind of building.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// The questions with their answers, in the order they are asked.
    pub fn each(&self) -> impl Iterator<Item = (&Question, &Answer)> {
        self.questions.iter().zip(&self.given)
    }

    /// Answers a question otherwise.
    ///
    /// # Errors
    ///
    /// When there is no such question, or the answer is not offered; the answers are then as before.
    pub fn set(&mut self, name: &str, answer: Answer) -> Result<(), NotOffered> {
        let at = self.position(name)?;
        self.questions[at].check(&answer)?;
        self.given[at] = answer;
        Ok(())
    }

    /// Answers a question otherwise, as text.
    ///
    /// # Errors
    ///
    /// As [`Answers::set`].
    pub fn set_text(&mut self, name: &str, text: &str) -> Result<(), NotOffered> {
        let at = self.position(name)?;
        self.given[at] = self.questions[at].read(text)?;
        Ok(())
    }

    fn position(&self, name: &str) -> Result<usize, NotOffered> {
        self.questions.iter().position(|question| question.name == name).ok_or_else(|| {
            let known: Vec<&str> = self.questions.iter().map(|question| question.name).collect();
            NotOffered(format!("\"{}\" does not ask \"{name}\"; it asks {}.", self.kind.word(), known.join(", ")))
        })
    }

    /// A length that was asked, m. Only templates ask, and only for what they ask themselves.
    pub(super) fn length_m(&self, name: &str) -> f64 {
        match self.position(name).map(|at| &self.given[at]) {
            Ok(Answer::Length(length_m)) => *length_m,
            other => unreachable!("\"{name}\" is no length that is asked: {other:?}"),
        }
    }

    /// The word of a choice that was asked.
    pub(super) fn word(&self, name: &str) -> &str {
        match self.position(name).map(|at| &self.given[at]) {
            Ok(Answer::Word(word)) => word,
            other => unreachable!("\"{name}\" is no choice that is asked: {other:?}"),
        }
    }

    /// What the choice that was asked is called.
    pub(super) fn chosen_name(&self, name: &str) -> String {
        let word = self.word(name);
        let question = self.questions.iter().find(|question| question.name == name);
        match question.map(|question| &question.offer) {
            Some(Offer::OneOf { choices, .. }) => {
                choices.iter().find(|choice| choice.word == word).map(|choice| choice.name.clone()).unwrap_or_default()
            }
            _ => String::new(),
        }
    }
}
