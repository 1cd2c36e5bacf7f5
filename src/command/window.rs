//! `leaklight` without a subcommand: the window, or, where there can be none, the answer in the terminal and as a picture.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::{Failure, finish, input, print};
use crate::output::{By, PlanView, picture, plan, table};
use crate::scene::{file, whole};

/// Opens the window, or tells why not and does its job without.
pub(super) fn open(scene: Option<PathBuf>, shot: Option<PathBuf>) -> ExitCode {
    match scene.as_deref().map(input::scene) {
        // What is wrong with the text is told here, and shown in the window where there is one: it can be put right meanwhile. A picture of that
        // was not asked for.
        Some(Err(Failure::Scene(problems))) if shot.is_none() => {
            super::complain(problems.iter().map(String::as_str));
            return window(scene, None).unwrap_or(ExitCode::from(1));
        }
        // A file that is not there is a wrong call.
        Some(Err(failure)) => return finish(Err(failure)),
        Some(Ok(_)) | None => {}
    }
    match window(scene.clone(), shot.as_deref()) {
        Ok(code) => code,
        Err(why) => finish(without(&why, scene)),
    }
}

/// Runs the window to its end; else why there can be none.
#[cfg(feature = "window")]
fn window(scene: Option<PathBuf>, shot: Option<&Path>) -> Result<ExitCode, String> {
    use crate::app::{self, NoWindow, WindowOptions};
    match app::run(WindowOptions { scene, shot: shot.map(Path::to_owned) }) {
        Ok(()) => Ok(ExitCode::SUCCESS),
        // A picture that was asked for and is not there is no success, whatever else is printed.
        Err(why @ NoWindow::NoShot { .. }) => {
            super::complain([format!("{why}.").as_str()]);
            Ok(ExitCode::FAILURE)
        }
        Err(why) if shot.is_some() => {
            super::complain([format!("No picture of the window: {why}.").as_str()]);
            Ok(ExitCode::FAILURE)
        }
        Err(why) => Err(why.to_string()),
    }
}

/// Runs the window to its end; else why there can be none.
#[cfg(not(feature = "window"))]
fn window(_scene: Option<PathBuf>, _shot: Option<&Path>) -> Result<ExitCode, String> {
    Err("this build has no window".to_owned())
}

fn without(why: &str, path: Option<PathBuf>) -> Result<(), Failure> {
    print(&format!("No window: {why}. Here is the answer as a table.\n\n"))?;
    let scene = match path {
        Some(path) => input::scene(&path)?,
        None => file::from_text(input::WORKED_EXAMPLE).map_err(|problem| Failure::Scene(vec![problem.to_string()]))?,
    };
    let solved = input::solved(scene)?;
    let all: Vec<usize> = (0..solved.answer.listeners.len()).collect();
    print(&table::text(&solved, &all))?;
    let view = PlanView::of(&solved, 0, By::Entry);
    let bytes = picture::png(&plan(&solved, &view), picture::USUAL_WIDTH_PX).map_err(|error| error.to_string());
    match bytes.and_then(|bytes| beside_others(&bytes)) {
        Ok(name) => print(&format!("\nThe plan is in {name}.\n")),
        Err(why) => {
            // The picture was not asked for: the table alone is still an answer.
            super::complain([format!("The plan cannot be written ({why}).").as_str()]);
            Ok(())
        }
    }
}

/// Writes the plan under a name that is free in the folder the program is called from, since nobody asked for it; returns the name.
fn beside_others(bytes: &[u8]) -> Result<String, String> {
    let later = (2..100).map(|number| format!("leaklight-plan-{number}.png"));
    for name in std::iter::once("leaklight-plan.png".to_owned()).chain(later) {
        match whole::create(Path::new(&name), bytes) {
            Ok(()) => return Ok(name),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error.to_string()),
        }
    }
    Err("there are a hundred already".to_owned())
}
