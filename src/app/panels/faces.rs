//! The ways the sound takes, gathered under the faces that the plan lights and numbers.

use crate::app::view::Hearing;
use crate::output::glow::LISTED_SHARE;
use crate::output::names::{self, Naming};
use crate::output::{By, Glow, words};
use crate::solve::{PathKind, Surface};

/// A face, and the ways that pass it.
#[derive(Debug, Clone, PartialEq)]
pub struct FacePaths {
    /// The number it carries on the plan.
    pub number: Option<usize>,
    pub face: Surface,
    /// What it is called, and the storeys it is on.
    pub name: String,
    pub storeys: Option<String>,
    /// Energy and share of all that passes it.
    pub energy: f64,
    pub share: f64,
    /// The ways worth a line, the strongest first.
    pub paths: Vec<ListedPath>,
    /// How many more pass it.
    pub more: usize,
}

#[derive(Debug, Clone, PartialEq)]
pub struct ListedPath {
    /// Its position in the listener's paths.
    pub at: usize,
    pub kind: PathKind,
    pub energy: f64,
    pub share: f64,
    /// How it goes on from the face, and the whole of it.
    pub rest: String,
    pub clause: String,
}

/// The faces worth a heading: those that carry a number in its order, then others with a way worth a line, the strongest first; and how many
/// ways are left that get none.
pub fn faces(hearing: &Hearing, naming: &Naming, glow: &Glow) -> (Vec<FacePaths>, usize) {
    let (heard, view, building) = (hearing.heard, hearing.view, &hearing.solved.building);
    let numbered = glow.numbered();
    let leaks = glow.leaks();
    let mut found: Vec<FacePaths> = leaks
        .by_surface
        .iter()
        .map(|(face, share)| FacePaths {
            number: numbered.iter().position(|other| *other == Some(*face)).map(|at| at + 1),
            face: *face,
            name: words::heading(&naming.plain(building, *face)),
            storeys: names::storeys(&hearing.solved.scene, building, *face),
            energy: share * leaks.total,
            share: *share,
            paths: vec![],
            more: 0,
        })
        .collect();
    let mut left = 0;
    for (at, path) in heard.paths.iter().enumerate() {
        let energy = view.bands.energy(&path.energy);
        let face = if view.by == By::Entry { path.entry } else { path.exit };
        let Some(group) = found.iter_mut().find(|group| group.face == face).filter(|_| energy > 0.0) else { continue };
        let share = energy / leaks.total;
        if share < LISTED_SHARE {
            group.more += 1;
            left += 1;
            continue;
        }
        let rest = words::path_rest(building, naming, path, view.by);
        let clause = words::heading(&words::path_clause(building, naming, heard, path));
        group.paths.push(ListedPath { at, kind: path.kind, energy, share, rest, clause });
    }
    found.retain(|group| group.number.is_some() || !group.paths.is_empty());
    for group in &mut found {
        group.paths.sort_by(|a, b| b.energy.total_cmp(&a.energy));
    }
    found.sort_by_key(|group| group.number.unwrap_or(usize::MAX));
    (found, left)
}
