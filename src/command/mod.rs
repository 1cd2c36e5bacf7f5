//! The subcommands, one file each: read the arguments, call the library, print.
//!
//! Exit codes: 0, or 1 when a scene or construction is wrong, or 2 when the call is wrong.

mod advise;
mod check;
mod compare;
mod element;
mod find;
mod input;
mod lesson;
mod list;
mod new;
mod picture;
mod progress;
mod rate;
mod solve;
mod uncertainty;
mod window;

use std::ffi::OsString;
use std::io::{self, Write as _};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::output::json;
use crate::scene::shown::{shown_in_json, shown_in_lines};

/// Shows by which paths a loud room leaks sound to its neighbours.
///
/// Without a subcommand it opens the window on a scene, or on the worked example.
#[derive(Debug, Parser)]
#[command(name = "leaklight", version, args_conflicts_with_subcommands = true, after_help = EXAMPLES)]
struct Call {
    #[command(subcommand)]
    command: Option<Command>,
    /// Scene to open in the window; the worked example without
    scene: Option<PathBuf>,
    /// Save a picture of the window to this PNG file and leave
    #[arg(long, value_name = "FILE.png")]
    shot: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  leaklight                                  the window on the worked example
  leaklight solve scenes/bookshop-terrace.ron
  leaklight rate airborne --help

Exit codes: 0 done, 1 the scene is wrong, 2 the call is wrong.";

#[derive(Debug, Subcommand)]
enum Command {
    New(new::New),
    Solve(solve::Solve),
    Uncertainty(uncertainty::Uncertainty),
    Picture(picture::Picture),
    Compare(compare::Compare),
    Advise(advise::Advise),
    Check(check::Check),
    Element(element::Element),
    Find(find::Find),
    Lesson(lesson::Lesson),
    List(list::List),
    #[command(subcommand)]
    Rate(rate::Rate),
}

/// Why a command ended early.
#[derive(Debug)]
enum Failure {
    /// The scene (or construction) is wrong: a sentence for each problem. Exit code 1.
    Scene(Vec<String>),
    /// The call is wrong: one sentence. Exit code 2.
    Call(String),
    /// Whoever read the output has stopped reading: not a fault.
    Unread,
}

/// Runs the program with its arguments, the first of which is its own name.
#[must_use]
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let call = match Call::try_parse_from(rate::guard_negative_numbers(arguments)) {
        Ok(call) => call,
        Err(message) => {
            // Help and version are no errors; where they cannot be printed there is nobody to tell.
            let _ = message.print();
            return ExitCode::from(u8::try_from(message.exit_code()).unwrap_or(2));
        }
    };
    let done = match call.command {
        Some(Command::New(new)) => new.run(),
        Some(Command::Solve(solve)) => solve.run(),
        Some(Command::Uncertainty(uncertainty)) => uncertainty.run(),
        Some(Command::Picture(picture)) => picture.run(),
        Some(Command::Compare(compare)) => compare.run(),
        Some(Command::Advise(advise)) => advise.run(),
        Some(Command::Check(check)) => check.run(),
        Some(Command::Element(element)) => element.run(),
        Some(Command::Find(find)) => find.run(),
        Some(Command::Rate(rate)) => rate.run(),
        Some(Command::Lesson(lesson)) => lesson.run(),
        Some(Command::List(list)) => list.run(),
        None => return window::open(call.scene, call.shot),
    };
    finish(done)
}

/// The exit code of a command, with what went wrong on standard error.
fn finish(done: Result<(), Failure>) -> ExitCode {
    match done {
        Ok(()) | Err(Failure::Unread) => ExitCode::SUCCESS,
        Err(Failure::Scene(problems)) => {
            complain(problems.iter().map(String::as_str));
            ExitCode::from(1)
        }
        Err(Failure::Call(problem)) => {
            complain([problem.as_str()]);
            ExitCode::from(2)
        }
    }
}

/// Lines on standard error. A closed one is nobody's loss. Names and paths are in them: none of it may steer the terminal.
fn complain<'a>(lines: impl IntoIterator<Item = &'a str>) {
    let mut stream = io::stderr().lock();
    for line in lines {
        let _ = writeln!(stream, "{}", shown_in_lines(line));
    }
}

/// Text on standard output; what would steer the terminal is shown.
fn print(text: &str) -> Result<(), Failure> {
    send(&shown_in_lines(text))
}

/// JSON on standard output, whose strings say the same and steer nothing.
fn print_json_text(text: &str) -> Result<(), Failure> {
    send(&format!("{}\n", shown_in_json(text)))
}

fn send(text: &str) -> Result<(), Failure> {
    let mut stream = io::stdout().lock();
    match stream.write_all(text.as_bytes()).and_then(|()| stream.flush()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Err(Failure::Unread),
        Err(error) if error.kind() == io::ErrorKind::StorageFull => {
            Err(Failure::Call("The output cannot be written: it is closed, or there is no room left.".to_owned()))
        }
        Err(error) => Err(Failure::Call(format!("The output cannot be written ({error})."))),
    }
}

/// A value as JSON on standard output.
fn print_json(value: &serde_json::Value) -> Result<(), Failure> {
    print_json_text(&json::pretty(value))
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory as _;

    use super::*;

    #[test]
    fn the_arguments_are_consistent() {
        Call::command().debug_assert();
    }

    #[test]
    fn every_help_shows_an_example() {
        fn each(command: &clap::Command, path: &str) {
            let path = format!("{path} {}", command.get_name());
            if command.get_subcommands().next().is_none() {
                let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
                assert!(help.contains("leaklight"), "{path} has no example");
            }
            command.get_subcommands().for_each(|sub| each(sub, &path));
        }
        each(&Call::command(), "");
    }
}
