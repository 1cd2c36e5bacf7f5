//! The plan of a storey, coloured by where sound leaks.
//!
//! Walls and openings are lit by what a [`Glow`] says of them – their share of what the chosen listener hears, the level they bring, or
//! how that changes – rooms by their floor and ceiling; what passes nothing stays grey. The numbers on the plan are those of the list beside it.

mod difference;
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
use crate::scene::{Scene, Storey};
use crate::solve::{Answer, BandChoice, ListenerAnswer, Surface};

use super::drawing::{Drawing, Form, Part, Point, Shown, Stroke};
use super::glow::{Glow, Scale};
use super::leaks::By;
use super::length::Units;
use super::palette::{Colour, Theme};
use super::sheet::geometry::{self, Patch, WallBand};
use super::sheet::{self, Lettering, Listed, Look, Subject, View};
use super::words;

pub use super::sheet::{LISTED, LISTED_SHARE};
pub use difference::{compared, difference};

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
    /// What the colours stand for.
    pub scale: Scale,
    /// How lengths and areas are written.
    pub units: Units,
}

/// A scene with what was computed from it.
#[derive(Debug, Clone, Copy)]
pub struct Variant<'a> {
    /// The scene.
    pub scene: &'a Scene,
    /// Its building.
    pub building: &'a Building,
    /// Its answer.
    pub answer: &'a Answer,
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
            // For someone outdoors: where it comes out of the building.
            .or_else(|| {
                let exit = answer.listeners.get(listener)?.paths.first()?.exit;
                face_storey(building, exit)
            })
            .or_else(|| building.listeners.get(listener).map(|placed| placed.storey))
            .unwrap_or(0);
        Self {
            storey,
            listener,
            band: BandChoice::AWeighted,
            by,
            theme: Theme::default(),
            scale: Scale::default(),
            units: Units::Metric,
        }
    }

    /// What lights the plan of a listener in this view.
    #[must_use]
    pub fn glow(&self, heard: &ListenerAnswer) -> Glow {
        Glow::of(heard, self.band, self.by, self.theme, self.scale)
    }
}

/// The storey a room is on.
fn storey_of(building: &Building, space: SpaceIndex) -> Option<usize> {
    match &building.spaces.get(space.0)?.kind {
        SpaceKind::Room(room) => Some(room.storey),
        SpaceKind::Outdoors | SpaceKind::Ground => None,
    }
}

/// The storey a face is on; of a slab, the one of the room over it, or under it where there is none over it.
fn face_storey(building: &Building, face: Surface) -> Option<usize> {
    if let Surface::Duct(at) = face {
        return building.ducts.get(at).map(|duct| duct.ends[1].storey);
    }
    let element = building.elements.get(face.element()?.0)?;
    match &element.shape {
        ElementShape::Wall { storey, .. } => Some(*storey),
        ElementShape::Slab { .. } => element.sides.iter().find_map(|side| storey_of(building, *side)),
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
    let variant = Variant { scene, building, answer };
    let mut canvas = on_canvas(catalogue, variant, heard, view, view.glow(heard), letter_m);
    canvas.listed = canvas.loudest();
    canvas.storey(true);
    let legends = [canvas.glow.clone()];
    canvas.with_column(storey, &legends)
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

/// An empty canvas for the plan of a view.
fn on_canvas<'a>(
    catalogue: &'a Catalogue,
    variant: Variant<'a>,
    heard: &'a ListenerAnswer,
    view: &'a PlanView,
    glow: Glow,
    letter_m: Option<f64>,
) -> Canvas<'a> {
    let Variant { scene, building, .. } = variant;
    let walls = storey_walls(building, view.storey);
    let corners: Vec<Point> = walls.iter().flat_map(|(_, wall)| geometry::band(wall.line, wall.thickness_m)).collect();
    let mut extent = Patch::around(&corners);
    if !extent.min[0].is_finite() {
        extent = Patch::about([0.0, 0.0], 10.0, 10.0);
    }
    Canvas::new(Subject { scene, catalogue, building, heard }, view, glow, extent, letter_m)
}

impl Canvas<'_> {
    /// Draws the storey, with or without its dimension lines.
    fn storey(&mut self, dimensions: bool) {
        let walls = storey_walls(self.building, self.view.storey);
        let bands: Vec<WallBand> = walls.iter().map(|(_, wall)| *wall).collect();
        self.rooms();
        self.walls(&walls, &bands);
        self.openings(&walls);
        self.ducts();
        self.gone();
        self.marks();
        self.badges(&walls, &bands);
        self.duct_badges();
        self.gone_badges();
        self.room_labels();
        if dimensions {
            self.dimensions(&walls);
        }
    }

    /// The drawing with everything beside the plan, and the names that found no room.
    fn with_column(mut self, storey: &Storey, legends: &[Glow]) -> (Drawing, Vec<String>) {
        let title = format!("{} – {}", self.scene.name, storey.name);
        let unplaced = self.remarks.clone();
        let (min, max) = self.sheet(&words::heading(&storey.name), legends, Canvas::key);
        (self.finished(title, min, max), unplaced)
    }
}
impl View for PlanView {
    const NAME: &'static str = "plan";
    const ELSEWHERE: &'static str = "walls and slabs of other storeys";

    fn look(&self) -> Look {
        Look {
            listener: self.listener,
            band: self.band,
            by: self.by,
            theme: self.theme,
            scale: self.scale,
            units: self.units,
        }
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
