//! `leaklight lesson`: a question about a small building, and what the solver says.

use std::io::{self, BufRead as _, IsTerminal as _};
use std::path::Path;

use clap::Args;

use super::progress::Progress;
use super::{Failure, input, print, print_json};
use crate::catalogue::Catalogue;
use crate::lesson::{self, LessonFault};
use crate::output::{lesson as text, words};

/// Ask what would happen, then show what does: eleven small buildings to learn from
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight lesson
  leaklight lesson mass
  leaklight lesson mass --answer b

In a terminal it waits for the answer; an empty line leaves. The right answer is not written down anywhere: the solver finds it.
A lesson of your own is two files, my.lesson.ron and my.ron; see scenes/README.md.")]
pub(super) struct Lesson {
    /// Lesson by name, or a file ending in .lesson.ron; all are listed without
    #[arg(value_name = "NAME-or-FILE")]
    lesson: Option<String>,
    /// What you think: the letter of a choice
    #[arg(long, value_name = "CHOICE", requires = "lesson")]
    answer: Option<String>,
    /// As JSON
    #[arg(long)]
    json: bool,
}

impl Lesson {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let all = lesson::Lesson::all();
        let Some(wanted) = &self.lesson else {
            return if self.json { print_json(&text::list_json(all)) } else { print(&text::list(all)) };
        };
        let own;
        let lesson = if wanted.ends_with(".ron") {
            let path = Path::new(wanted);
            // A file that is not there is a wrong call.
            input::text(path)?;
            own = lesson::Lesson::from_path(path).map_err(wrong)?;
            &own
        } else {
            named(all, wanted)?
        };
        let catalogue = Catalogue::built_in_ref();
        if let Some(letter) = &self.answer {
            let verdict = judged(lesson, chosen(lesson, letter)?)?;
            return if self.json {
                print_json(&text::verdict_json(lesson, &verdict, catalogue))
            } else {
                print(&text::verdict(lesson, &verdict, catalogue))
            };
        }
        if self.json {
            return print_json(&text::question_json(lesson));
        }
        print(&text::question(lesson))?;
        if !(io::stdin().is_terminal() && io::stdout().is_terminal()) {
            let letters: Vec<String> = lesson.choices().map(|(letter, _)| letter.to_string()).collect();
            let letters = letters.join("|");
            return print(&format!("\nAnswer it: leaklight lesson {wanted} --answer {letters}\n"));
        }
        print("\nWhat do you think? ")?;
        let mut letter = String::new();
        let read = io::stdin().lock().read_line(&mut letter);
        if read.is_err() || letter.trim().is_empty() {
            return print("\n");
        }
        let verdict = judged(lesson, chosen(lesson, &letter)?)?;
        print(&format!("\n{}", text::verdict(lesson, &verdict, catalogue)))
    }
}

fn judged(lesson: &lesson::Lesson, chosen: usize) -> Result<lesson::Verdict, Failure> {
    let _progress = Progress::unmeasured("computing");
    lesson.judge(Catalogue::built_in_ref(), chosen).map_err(wrong)
}

fn wrong(fault: LessonFault) -> Failure {
    Failure::Scene(vec![words::heading(&fault.to_string())])
}

fn named<'a>(all: &'a [lesson::Lesson], wanted: &str) -> Result<&'a lesson::Lesson, Failure> {
    let lower = wanted.to_lowercase();
    let same = |lesson: &&lesson::Lesson| lesson.name() == lower || lesson.record().title.to_lowercase() == lower;
    all.iter().find(same).ok_or_else(|| {
        let known: Vec<String> = all.iter().map(|lesson| lesson.name().to_owned()).collect();
        let has = || format!("there are {}", input::listed(&known));
        input::unknown("lesson", wanted, known.iter().map(String::as_str), has)
    })
}

fn chosen(lesson: &lesson::Lesson, letter: &str) -> Result<usize, Failure> {
    lesson.choice(letter).ok_or_else(|| {
        let known: Vec<String> = lesson.choices().map(|(letter, _)| letter.to_string()).collect();
        let letter = letter.trim();
        Failure::Call(format!(
            "There is no choice \"{letter}\"; answer {}.",
            input::listed(&known).replace(" and ", " or ")
        ))
    })
}
