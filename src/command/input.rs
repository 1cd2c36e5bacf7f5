//! What several commands read: a scene and its answer, a listener by name.

use std::io::ErrorKind;
use std::path::Path;

use crate::building::{self, Building};
use crate::catalogue::Catalogue;
use crate::scene::problem::any_error;
use crate::scene::validate::validate;
use crate::scene::{Problem, Scene, Severity, file, whole};
use crate::solve::{self, Answer};

use super::Failure;
use super::progress::Progress;

/// The worked example, part of the program so that it runs anywhere.
pub(super) const WORKED_EXAMPLE: &str = include_str!("../../scenes/bookshop-terrace.ron");

/// A scene with everything computed from it.
pub(super) struct Solved {
    pub(super) scene: Scene,
    pub(super) catalogue: &'static Catalogue,
    pub(super) building: Building,
    pub(super) answer: Answer,
    /// What is doubtful about the scene, a line each: for standard error, so that the answer stays clean.
    pub(super) warnings: Vec<String>,
}

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

/// Everything computed of a scene.
pub(super) fn solved(scene: Scene) -> Result<Solved, Failure> {
    let catalogue = Catalogue::built_in_ref();
    let (building, problems) = built(&scene, catalogue)?;
    let warnings = problems.iter().map(said).collect();
    // Each element is asked for, each listener, and before most elements' faces outdoors.
    let progress = Progress::of("computing", 2 * building.elements.len() + building.listeners.len());
    let counted = || {
        progress.step();
        false
    };
    let answer = solve::solve_unless(&counted, &scene, catalogue, &building);
    let answer = answer.unwrap_or_else(|| solve::solve(&scene, catalogue, &building));
    Ok(Solved { scene, catalogue, building, answer, warnings })
}

/// The building of a scene and what is doubtful about it, or every problem that keeps it from being one.
pub(super) fn built(scene: &Scene, catalogue: &Catalogue) -> Result<(Building, Vec<Problem>), Failure> {
    let found = validate(scene, catalogue);
    if any_error(&found) {
        return Err(Failure::Scene(found.iter().map(said).collect()));
    }
    building::build(scene, catalogue)
        .map(|building| (building, found))
        .map_err(|problems| Failure::Scene(problems.iter().map(ToString::to_string).collect()))
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
