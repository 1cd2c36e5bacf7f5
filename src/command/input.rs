//! What several commands read: a scene and its answer, a listener by name.

use std::io::ErrorKind;
use std::path::Path;

use crate::catalogue::{Catalogue, UnknownId};
use crate::edit::varied;
use crate::output::words::{heading, series};
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

/// The scene one of its variants makes, by name; as it is drawn where none is named. What no longer fits goes to standard error.
pub(super) fn with_variant(scene: Scene, name: Option<&str>) -> Result<Scene, Failure> {
    let Some(name) = name else { return Ok(scene) };
    let named = scene.variants.iter().map(|variant| [variant.name.as_str(); 2]);
    let at = found("variant", name, named)?;
    let (made, problems) = varied(&scene, Catalogue::built_in_ref(), &scene.variants[at]);
    complain(problems.iter().map(String::as_str));
    Ok(made)
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
    let warnings: Vec<String> = solved.warnings.iter().map(problem_line).collect();
    complain(warnings.iter().map(String::as_str));
    Ok(solved)
}

/// The building of a scene, with what is doubtful about it, or every problem that keeps it from being one.
pub(super) fn built(scene: Scene) -> Result<Built, Failure> {
    Project::of(scene).build().map_err(|problems| Failure::Scene(problems.iter().map(problem_line).collect()))
}

/// A problem as a line: what only warns says so.
pub(super) fn problem_line(problem: &Problem) -> String {
    match problem.severity {
        Severity::Warning => format!("warning: {problem}"),
        Severity::Error => problem.to_string(),
    }
}

/// The position of a listener by id or name.
pub(super) fn listener(answer: &Answer, wanted: &str) -> Result<usize, Failure> {
    found("listener", wanted, answer.listeners.iter().map(|heard| [heard.listener.0.as_str(), &heard.name]))
}

/// The position of a storey by id or name.
pub(super) fn storey(scene: &Scene, wanted: &str) -> Result<usize, Failure> {
    found("storey", wanted, scene.storeys.iter().map(|storey| [storey.id.0.as_str(), &storey.name]))
}

/// The position of what goes by an id and a name, whatever the case of its letters.
fn found<'a>(what: &str, wanted: &str, mut all: impl Iterator<Item = [&'a str; 2]> + Clone) -> Result<usize, Failure> {
    let same = |name: &str| name.to_lowercase() == wanted.to_lowercase();
    let by_id = all.clone().position(|[id, _]| id == wanted);
    let known: Vec<String> = all.clone().map(|[id, _]| format!("\"{id}\"")).collect();
    by_id.or_else(|| all.position(|[id, name]| same(id) || same(name))).ok_or_else(|| {
        Failure::Call(format!("There is no {what} \"{wanted}\" in the scene; it has {}.", listed(&known)))
    })
}

/// Says that nothing goes by a name, with what looks like it; where nothing does, with all there `has`.
pub(super) fn unknown<'a>(
    what: &'static str,
    wanted: &str,
    known: impl IntoIterator<Item = &'a str>,
    has: impl FnOnce() -> String,
) -> Failure {
    let sentence = heading(&UnknownId::among(what, wanted, known).to_string());
    Failure::Call(if sentence.ends_with('?') { sentence } else { format!("{sentence}; {}.", has()) })
}

/// "a, b and c", or "none".
pub(super) fn listed(words: &[String]) -> String {
    if words.is_empty() { "none".to_owned() } else { series(words) }
}
