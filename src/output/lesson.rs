//! Lessons as text and as JSON: the list, the question, and the verdict with all figures.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::json::rounded;
use super::text::{Column, paragraph, row, table};
use crate::catalogue::{Catalogue, Certainty, Provenance};
use crate::lesson::{Ask, Lesson, Verdict};

/// Columns of a sentence.
const COLUMNS: usize = 96;

/// All lessons, a line each.
pub(crate) fn list(lessons: &[Lesson]) -> String {
    let rows: Vec<_> = lessons.iter().map(|lesson| row([lesson.name(), &lesson.record().title])).collect();
    let heading = "Lessons: a small building, a question, and what the solver says.";
    format!("{heading}\n{}Take one: leaklight lesson NAME\n", table(&[Column::WORDS], &rows))
}

/// All lessons as JSON.
pub(crate) fn list_json(lessons: &[Lesson]) -> Value {
    lessons.iter().map(|lesson| json!({ "name": lesson.name(), "title": lesson.record().title })).collect()
}

/// The question and what may be answered.
pub(crate) fn question(lesson: &Lesson) -> String {
    let record = lesson.record();
    let mut out = format!("{}\n\n", record.title);
    out += &lines("", &record.question);
    out.push('\n');
    for (letter, words) in lesson.choices() {
        out += &lines(&format!("  {letter}) "), words);
    }
    out
}

/// The question as JSON.
pub(crate) fn question_json(lesson: &Lesson) -> Value {
    let record = lesson.record();
    let choices: Vec<Value> =
        lesson.choices().map(|(letter, words)| json!({ "choice": letter, "words": words })).collect();
    json!({ "name": lesson.name(), "title": record.title, "question": record.question, "choices": choices })
}

/// What a prediction was worth, the figure of every choice, why, and what to try next.
pub(crate) fn verdict(lesson: &Lesson, verdict: &Verdict, catalogue: &Catalogue) -> String {
    let (record, outcomes) = (lesson.record(), &verdict.outcomes);
    let (chosen, right) = (&outcomes.choices[verdict.chosen], &outcomes.choices[outcomes.right]);
    let mut out = if verdict.right {
        format!("{}) Right.\n\n", chosen.letter)
    } else {
        format!("{}) No, it is {}: {}\n\n", chosen.letter, right.letter, ended(&right.words))
    };
    let compares = record.ask.compares();
    if compares {
        let heads = format!("What the solver finds: {}, {}. As it stands:", record.figure, outcomes.unit);
        let _ = writeln!(out, "{heads} {}", figure(outcomes.before));
    } else {
        let _ = writeln!(out, "What the solver finds: {}, {} {}", record.figure, figure(chosen.figure), outcomes.unit);
        if !matches!(record.ask, Ask::Value(_)) {
            let _ = writeln!(out, "As it stands: {} {}", figure(outcomes.before), outcomes.before_unit);
        }
    }
    for choice in &outcomes.choices {
        let mark = if choice.right { '>' } else { ' ' };
        let found = if compares { format!("{:>5}  ", figure(choice.figure)) } else { String::new() };
        let _ = writeln!(out, "{mark} {}) {found}{}", choice.letter, choice.words);
    }
    out.push('\n');
    out += &lines("", &format!("Why: {}", record.why));
    out += &lines("", &format!("Source: {}", source(&record.source, catalogue)));
    out += &lines("", &format!("Next: {}", record.next));
    out += &lines("", "The building is invented, and the figures are estimates.");
    out
}

/// The same as JSON.
pub(crate) fn verdict_json(lesson: &Lesson, verdict: &Verdict, catalogue: &Catalogue) -> Value {
    let (record, outcomes) = (lesson.record(), &verdict.outcomes);
    let mut value = question_json(lesson);
    let choices = outcomes.choices.iter().map(|choice| {
        json!({
            "choice": choice.letter,
            "words": choice.words,
            "figure": rounded(choice.figure),
            "right": choice.right,
        })
    });
    value["choices"] = choices.collect();
    value["figure"] = json!(record.figure);
    value["unit"] = json!(outcomes.unit);
    value["before"] = json!(rounded(outcomes.before));
    value["before_unit"] = json!(outcomes.before_unit);
    value["answer"] = json!(outcomes.choices[verdict.chosen].letter);
    value["answer_right"] = json!(verdict.right);
    value["why"] = json!(record.why);
    value["source"] = json!(source(&record.source, catalogue));
    value["next"] = json!(record.next);
    value
}

/// A source in words, with how far it can be trusted.
#[must_use]
pub fn source(provenance: &Provenance, catalogue: &Catalogue) -> String {
    let reference = catalogue.references.get(&provenance.source).map(|found| found.reference.trim_end_matches('.'));
    let parts: Vec<&str> =
        [reference.unwrap_or(""), provenance.place.as_str()].into_iter().filter(|part| !part.is_empty()).collect();
    let mark = match provenance.certainty {
        Certainty::FromMemory => " (from memory, unverified)",
        Certainty::CommonPractice => " (common practice, no source)",
        Certainty::Invented => " (invented)",
        Certainty::Derived => " (derived)",
        Certainty::Printed | Certainty::Measured => "",
    };
    format!("{}{mark}.", parts.join(": "))
}

/// To a tenth: 47.3; without a sign before nothing.
fn figure(value: f64) -> String {
    format!("{:.1}", (10.0 * value).round() / 10.0 + 0.0)
}

fn ended(words: &str) -> String {
    format!("{}.", words.trim_end_matches('.'))
}

fn lines(mark: &str, text: &str) -> String {
    paragraph(mark, text, COLUMNS - mark.chars().count())
}
