//! Lessons: a small building, a question about it, answers to choose from, and which of them is right as the solver finds it.
//!
//! The file of a lesson holds no right answer, only the one its author expects: [`Lesson::outcomes`] changes the scene as each choice
//! says, solves it, and picks the right choice from the figures. A test fails where the solver does not agree with the author.

mod change;
mod load;
mod measure;
mod outcome;
mod record;

pub use load::{Lesson, LessonFault};
pub use measure::Measure;
pub use outcome::{ChoiceOutcome, Outcomes, Verdict};
pub use record::{Ask, Choice, Record};
