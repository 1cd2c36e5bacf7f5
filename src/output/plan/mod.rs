//! The plan of a storey, coloured by where sound leaks.
//!
//! Walls and openings are lit by their share of what the chosen listener hears, rooms by their floor and ceiling;
//! what passes nothing stays grey. The numbers on the plan are those of the list beside it.

mod dimensions;
mod ducts;
mod key;
mod labels;
mod marks;
mod openings;
mod rooms;
mod shells;
mod walls;

use crate::building::{Building, ElementIndex, ElementShape, SpaceIndex, SpaceKind};
use crate::catalogue::Catalogue;
use crate::scene::Scene;
use crate::solve::{Answer, BandChoice, ListenerAnswer, Surface};

use super::drawing::{Drawing, Form, Part, Point, Shown, Stroke};
use super::leaks::By;
use super::palette::Theme;
use super::sheet::geometry::{self, Patch, WallBand};
use super::sheet::{self, Lettering, Look, Subject, View};
use super::words;

pub use super::sheet::{LISTED, LISTED_SHARE};

/// What the plan shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanView {
    /// Storey, position in the scene.
    pub storey: usize,
    /// Whose ears, position in the answer's listeners.
    pub listener: usize,
    /// Which bands.
    pub band: BandChoice,
    /// Which end of the paths lights the plan.
    pub by: By,
    /// Dark or light.
    pub theme: Theme,
}

impl PlanView {
    /// The view that tells most about a listener: A-weighted, dark, the storey where most of their sound enters (or comes out).
    #[must_use]
    pub fn of(building: &Building, answer: &Answer, listener: usize, by: By) -> Self {
        let storey = answer
            .listeners
            .get(listener)
            .and_then(|heard| match by {
                By::Entry => heard.paths.first().map(|path| path.source_space),
                By::Exit => Some(heard.space),
            })
            .and_then(|space| storey_of(building, space))
            .or_else(|| building.listeners.get(listener).map(|placed| placed.storey))
            .unwrap_or(0);
        Self { storey, listener, band: BandChoice::AWeighted, by, theme: Theme::default() }
    }
}

/// The storey a room is on.
fn storey_of(building: &Building, space: SpaceIndex) -> Option<usize> {
    match &building.spaces.get(space.0)?.kind {
        SpaceKind::Room(room) => Some(room.storey),
        SpaceKind::Outdoors | SpaceKind::Ground => None,
    }
}

/// Draws the plan of a storey. `answer` and `building` belong to `scene`; a view beyond their ends draws an empty sheet.
#[must_use]
pub fn plan(scene: &Scene, catalogue: &Catalogue, building: &Building, answer: &Answer, view: &PlanView) -> Drawing {
    lettered(scene, catalogue, building, answer, view, None).0
}

/// The same with ordinary letters of a stated size, m: a window draws the plan anew at every scale, so that letters, marks and
/// dimension lines keep their size on the screen. Without, they fit a printed sheet. The names that found no room come beside it.
#[must_use]
pub fn lettered(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    view: &PlanView,
    letter_m: Option<f64>,
) -> (Drawing, Vec<String>) {
    let (Some(storey), Some(heard)) = (scene.storeys.get(view.storey), answer.listeners.get(view.listener)) else {
        return (sheet::empty(scene, view.theme), vec![]);
    };
    let walls = storey_walls(building, view.storey);
    let bands: Vec<WallBand> = walls.iter().map(|(_, wall)| *wall).collect();
    let mut extent = Patch::around(
        &bands.iter().flat_map(|wall| geometry::band(wall.line, wall.thickness_m)).collect::<Vec<Point>>(),
    );
    if !extent.min[0].is_finite() {
        extent = Patch::about([0.0, 0.0], 10.0, 10.0);
    }
    let mut canvas = Canvas::new(Subject { scene, catalogue, building, heard }, view, extent, letter_m);
    canvas.rooms();
    canvas.walls(&walls, &bands);
    canvas.openings(&walls);
    canvas.ducts();
    canvas.marks();
    canvas.badges(&walls, &bands);
    canvas.duct_badges();
    canvas.room_labels();
    canvas.dimensions(&walls);
    let title = format!("{} – {}", scene.name, storey.name);
    let unplaced = canvas.remarks.clone();
    let (min, max) = canvas.sheet(&words::heading(&storey.name), Canvas::key);
    (canvas.finished(title, min, max), unplaced)
}

/// The walls on a storey.
fn storey_walls(building: &Building, shown: usize) -> Vec<(ElementIndex, WallBand)> {
    building
        .elements
        .iter()
        .enumerate()
        .filter_map(|(at, element)| match &element.shape {
            ElementShape::Wall { storey, line, thickness_m, .. } if *storey == shown => {
                Some((ElementIndex(at), WallBand { line: *line, thickness_m: thickness_m.max(0.02) }))
            }
            _ => None,
        })
        .collect()
}

/// What the plan is drawn on.
type Canvas<'a> = sheet::Canvas<'a, PlanView>;

impl View for PlanView {
    const NAME: &'static str = "plan";
    const ELSEWHERE: &'static str = "walls and slabs of other storeys";

    fn look(&self) -> Look {
        Look { listener: self.listener, band: self.band, by: self.by, theme: self.theme }
    }

    /// True when a face can be seen in this plan: its wall stands on the storey, or its slab lies over or under it.
    fn shows(&self, building: &Building, heard: &ListenerAnswer, face: Surface) -> bool {
        let here = |space: SpaceIndex| storey_of(building, space) == Some(self.storey);
        if let Surface::Duct(at) = face {
            let ends = building.ducts.get(at).map(|duct| duct.ends);
            return ends.is_some_and(|ends| ends.iter().any(|end| end.storey == self.storey));
        }
        let Some(element) = face.element().and_then(|at| building.elements.get(at.0)) else {
            return here(heard.space);
        };
        match &element.shape {
            ElementShape::Wall { storey, .. } => *storey == self.storey,
            ElementShape::Slab { .. } => element.sides.iter().any(|side| here(*side)),
        }
    }
}
