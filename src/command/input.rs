//! What several commands read: a scene and its answer, a listener by name.

use std::io::ErrorKind;
use std::path::Path;

use crate::project::{Built, Project, Solved};
use crate::scene::{Problem, Scene, Severity, file, whole};
use crate::solve::Answer;

use super::progress::Progress;
use super::{Failure, complain};

/// The worked example, part of the program so that it runs anywhere.
pub(super) const WORKED_EXAMPLE: &str = include_str!("../../scenes/bookshop-terrace.ron");

/// The text of a file; a file that cannot be read is a wrong call, one that is no text a wrong scene.
pub(super) fn text(path: &Path) -> Result<String, Failure> {
    let bytes = whole::read(path).map_err(|error| {
        let shown = path.display();
        Failure::Call(match error.kind() {
            ErrorKind::NotFound => format!("There is no file \"{shown}\"; check its name and folder."),
            ErrorKind::IsADirectory => format!("\"{shown}\" is a folder; name a file in it."),
            _ => format!("{shown} cannot be read ({error})."),
        })
    })?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Failure::Scene(vec![format!("{} is no UTF-8 text from byte {at} on; save it as UTF-8.", path.display())])
    })
}

/// A scene from a file, with names as they may be printed and painted.
pub(super) fn scene(path: &Path) -> Result<Scene, Failure> {
    scene_as_written(path).map(Scene::shown)
}

/// A scene from a file, for JSON, which can write any name.
pub(super) fn scene_as_written(path: &Path) -> Result<Scene, Failure> {
    let text = text(path)?;
    file::from_text(&text).map_err(|problem| Failure::Scene(vec![format!("{}: {problem}", path.display())]))
}

/// Everything computed of a scene. What is doubtful about it goes to standard error, so that the answer stays clean.
pub(super) fn solved(scene: Scene) -> Result<Solved, Failure> {
    let built = built(scene)?;
    // Each element is asked for, each listener, and before most elements' faces outdoors.
    let progress = Progress::of("computing", 2 * built.building.elements.len() + built.building.listeners.len());
    let counted = || {
        progress.step();
        false
    };
    let solved = built.solve_unless(&counted).expect("nothing overtakes a command");
    drop(progress);
    let warnings: Vec<String> = solved.warnings.iter().map(said).collect();
    complain(warnings.iter().map(String::as_str));
    Ok(solved)
}

/// The building of a scene, with what is doubtful about it, or every problem that keeps it from being one.
pub(super) fn built(scene: Scene) -> Result<Built, Failure> {
    Project::of(scene).build().map_err(|problems| Failure::Scene(problems.iter().map(said).collect()))
}

/// A problem as a line: what only warns says so.
pub(super) fn said(problem: &Problem) -> String {
    match problem.severity {
        Severity::Warning => format!("warning: {problem}"),
        Severity::Error => problem.to_string(),
    }
}

/// The position of a listener by id or name, whatever the case of its letters.
pub(super) fn listener(answer: &Answer, wanted: &str) -> Result<usize, Failure> {
    let same = |name: &str| name.to_lowercase() == wanted.to_lowercase();
    let by_id = answer.listeners.iter().position(|heard| heard.listener.0 == wanted);
    by_id.or_else(|| answer.listeners.iter().position(|heard| same(&heard.listener.0) || same(&heard.name))).ok_or_else(
        || {
            let known: Vec<String> = answer.listeners.iter().map(|heard| format!("\"{}\"", heard.listener)).collect();
            Failure::Call(format!("There is no listener \"{wanted}\" in the scene; it has {}.", listed(&known)))
        },
    )
}

/// "a, b and c", or "none".
pub(super) fn listed(words: &[String]) -> String {
    match words {
        [] => "none".to_owned(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
