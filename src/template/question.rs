//! What a template asks, and the answers to it.

use std::collections::BTreeMap;
use std::fmt;

use serde::Deserialize;

use super::BuildingKind;

/// One plain question.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Question {
    /// The word it is answered by: "length".
    pub name: &'static str,
    /// What is asked: "How long is the room, from the street to the back?"
    pub text: &'static str,
    /// What may be answered.
    pub offer: Offer,
}

/// What may be answered.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
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
        #[serde(default)]
        usual: usize,
    },
}

/// Something that may be chosen.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// The word it is chosen by.
    pub word: String,
    /// What it is called.
    pub name: String,
    /// Words for the texts of a plan that change with it.
    #[serde(default)]
    pub(super) gives: BTreeMap<String, String>,
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
        let (fits, offered) = match &self.offer {
            Offer::Length { least_m, most_m, .. } => (
                matches!(answer, Answer::Length(length_m) if (*least_m..=*most_m).contains(length_m)),
                format!("a length from {least_m} to {most_m} m"),
            ),
            Offer::OneOf { choices, .. } => {
                let known: Vec<&str> = choices.iter().map(|choice| choice.word.as_str()).collect();
                let fits = matches!(answer, Answer::Word(word) if known.contains(&word.as_str()));
                (fits, format!("one of {}", known.join(", ")))
            }
        };
        if fits { Ok(()) } else { Err(NotOffered(format!("\"{}\" is {answer}; it must be {offered}.", self.name))) }
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
    kind: BuildingKind,
    questions: Vec<Question>,
    given: Vec<Answer>,
}

impl Answers {
    /// The usual answers.
    #[must_use]
    pub fn usual(kind: BuildingKind) -> Self {
        let questions = kind.questions();
        let given = questions.iter().map(Question::usual).collect();
        Self { kind, questions, given }
    }

    /// Of which kind of building.
    #[must_use]
    pub fn kind(&self) -> BuildingKind {
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

    /// By the name of each question the answer to it, and all that the choices give.
    pub(super) fn words(&self) -> BTreeMap<&str, String> {
        let mut words = BTreeMap::new();
        for (question, answer) in self.each() {
            let text = answer.to_string();
            if let Offer::OneOf { choices, .. } = &question.offer {
                let chosen = choices.iter().find(|choice| choice.word == text);
                let gives = chosen.into_iter().flat_map(|choice| &choice.gives);
                words.extend(gives.map(|(name, text)| (name.as_str(), text.clone())));
            }
            words.insert(question.name, text);
        }
        words
    }
}
