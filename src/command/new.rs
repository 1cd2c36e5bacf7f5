//! `leaklight new`: a scene from a few answers.

use std::path::PathBuf;

use clap::Args;

use super::{Failure, input, print};
use crate::output::text::{Column, table};
use crate::scene::file;
use crate::solve::ListenerAnswer;
use crate::template::{Answer, Answers, BuildingKind, Offer, Question};

/// Make a scene from a few answers, without drawing
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight new                              the kinds of building there are
  leaklight new garage                       what is asked of a garage
  leaklight new garage garage.ron --answer length=6 --answer gate=doors

What is not answered has its usual answer. A file that is there already is left alone, unless --overwrite is given.")]
pub(super) struct New {
    /// Kind of building; without it the kinds are listed
    kind: Option<String>,
    /// Scene file to write (RON); without it the questions are listed
    file: Option<PathBuf>,
    /// An answer, as name=value; may be given many times
    #[arg(long = "answer", value_name = "NAME=VALUE")]
    answers: Vec<String>,
    /// Write over a file that is there already
    #[arg(long)]
    overwrite: bool,
}

impl New {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let Some(word) = &self.kind else { return print(&kinds()) };
        let Some(kind) = BuildingKind::of_word(word) else {
            let known: Vec<String> = BuildingKind::ALL.iter().map(|kind| format!("\"{}\"", kind.word())).collect();
            return Err(Failure::Call(format!(
                "There is no kind of building \"{word}\"; there are {}.",
                input::listed(&known)
            )));
        };
        let mut answers = Answers::usual(kind);
        for given in &self.answers {
            let Some((name, value)) = given.split_once('=') else {
                return Err(Failure::Call(format!("\"{given}\" is no answer; write it as name=value.")));
            };
            answers.set_text(name.trim(), value).map_err(|refused| Failure::Call(refused.to_string()))?;
        }
        let Some(path) = &self.file else { return print(&asked(&answers)) };
        let scene = answers.scene();
        let written = if self.overwrite { file::write(path, &scene, true) } else { file::write_new(path, &scene) };
        if let Err(problem) = written {
            let taken = !self.overwrite && std::fs::symlink_metadata(path).is_ok();
            return Err(Failure::Call(if taken {
                format!("{} is there already; name another file, or add --overwrite.", path.display())
            } else {
                problem.to_string()
            }));
        }
        let solved = input::solved(scene)?;
        let loudest =
            solved.answer.listeners.iter().max_by(|a: &&ListenerAnswer, b| a.la_db.total_cmp(&b.la_db)).map(|heard| {
                format!(" The most is heard {}: {}.", heard.name, crate::output::words::level(heard.la_db))
            });
        print(&format!("{} is written.{}\n", path.display(), loudest.unwrap_or_default()))
    }
}

/// The kinds of building, a line each.
fn kinds() -> String {
    let rows: Vec<Vec<String>> = BuildingKind::ALL
        .iter()
        .map(|kind| vec![kind.word().to_owned(), format!("{}. {}", kind.name(), kind.about())])
        .collect();
    let lines = table(&[Column::WORDS], &rows);
    format!("Kinds of building a scene can begin with:\n{lines}\nWhat is asked of one: leaklight new KIND\n")
}

/// The questions of a kind with what may be answered.
fn asked(answers: &Answers) -> String {
    let kind = answers.kind();
    let mut text = format!("{}. {}\n", kind.name(), kind.about());
    for (question, answer) in answers.each() {
        text.push_str(&format!("\n{}: {}\n{}", question.name, question.text, offered(question, answer)));
    }
    text.push_str(&format!("\nWrite it: leaklight new {} FILE --answer NAME=VALUE …\n", kind.word()));
    text
}

fn offered(question: &Question, answer: &Answer) -> String {
    match &question.offer {
        Offer::Length { least_m, most_m, .. } => format!("  {least_m} to {most_m} m (now {answer})\n"),
        Offer::OneOf { choices, .. } => {
            let line = |choice: &crate::template::Choice| {
                let now = if *answer == Answer::Word(choice.word.clone()) { " (now)" } else { "" };
                vec![choice.word.clone(), format!("{}{now}", choice.name)]
            };
            table(&[Column::WORDS], &choices.iter().map(line).collect::<Vec<_>>())
        }
    }
}
