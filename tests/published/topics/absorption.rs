//! Coefficients of finishes.

use leaklight::catalogue::Catalogue;

use crate::published::{Case, Outcome};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        id if id.starts_with("bies-6-2-") => finish(case)?,
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

/// Which finish of the catalogue stands for a surface of the handbook's table. Those marked own are rows of that very table, so
/// for them the check is one of copying; the others come from other books.
const FINISHES: [(&str, &str); 16] = [
    ("bies-6-2-01", "brick-bare"),
    ("bies-6-2-03", "render-on-brick"),
    ("bies-6-2-05", "plaster-on-lath"),
    ("bies-6-2-06", "door-timber"),
    ("bies-6-2-11", "glass-wool-100-exposed"), // own
    ("bies-6-2-21", "foam-15"),                // own
    ("bies-6-2-23", "wood-floor-joists"),      // own
    ("bies-6-2-25", "block-painted"),
    ("bies-6-2-26", "linoleum-on-concrete"),
    ("bies-6-2-28", "carpet-heavy"), // own
    ("bies-6-2-30", "carpet-thin"),
    ("bies-6-2-31", "carpet-on-felt"),
    ("bies-6-2-33", "ceiling-tile-suspended"), // own
    ("bies-6-2-35", "velour-light"),           // own
    ("bies-6-2-36", "velour-medium"),          // own
    ("bies-6-2-38", "glass-pane"),
];

fn finish(case: &Case) -> Result<(), String> {
    let (_, id) = FINISHES.iter().find(|(listed, _)| *listed == case.id()).ok_or("no finish stands for this")?;
    let finish = Catalogue::built_in_ref().finishes.get(*id).ok_or(format!("no finish {id}"))?;
    case.compare("sabine_alpha", &finish.alpha_octaves, case.tolerance("abs"))
}
