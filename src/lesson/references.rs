//! Whether all that a lesson speaks of is there: told when it is read, not when somebody has answered.

use super::change::Change;
use super::record::{Ask, Record};
use crate::catalogue::Catalogue;
use crate::edit;
use crate::project::{Built, Project};
use crate::scene::{Scene, Severity};

/// The first thing that is measured or changed and not there, or a scene that cannot be built; a clause.
pub(super) fn check(record: &Record, scene: &Scene) -> Result<(), String> {
    let catalogue = Catalogue::built_in_ref();
    let start = built(scene.clone())?;
    record.ask.measure().refers(scene, &start.building)?;
    let asked: Vec<&[Change]> = match &record.ask {
        Ask::Least(_) | Ask::Greatest(_) | Ask::Value(_) => vec![],
        Ask::Drop { by, .. } => vec![by],
        Ask::PartOfDrop { by, whole, .. } => vec![by, whole],
    };
    for changes in record.choices.iter().map(|choice| choice.changes.as_slice()).chain(asked) {
        if changes.is_empty() {
            continue;
        }
        let mut after = scene.clone();
        for change in changes {
            let edit = change.edit(&after)?;
            after = edit::apply(&after, catalogue, &edit).map_err(|why| why.to_string())?;
        }
        built(after)?;
    }
    Ok(())
}

fn built(scene: Scene) -> Result<Built, String> {
    Project::of(scene).build().map_err(|problems| {
        let error = problems.iter().find(|problem| problem.severity == Severity::Error);
        error.map_or_else(|| "its scene cannot be built".to_owned(), |problem| format!("its scene, {problem}"))
    })
}
