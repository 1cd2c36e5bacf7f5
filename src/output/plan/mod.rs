//! The plan of a storey, coloured by where sound leaks.
//!
//! Walls and openings are lit by what a [`Glow`] says of them – their share of what the chosen listener hears, the level they bring, or
//! how that changes – rooms by their floor and ceiling; what passes nothing stays grey. The numbers on the plan are those of the list beside it.

mod difference;
mod dimensions;
mod marks;
mod rooms;
mod shells;
mod walls;

use crate::building::{Building, ElementIndex, ElementShape, SpaceIndex, SpaceKind};
use crate::catalogue::Catalogue;
use crate::output::changes::Variant;
use crate::output::drawing::{Drawing, Point};
use crate::output::glow::Glow;
use crate::output::page::canvas::{self, View, empty};
use crate::output::page::geometry::{Patch, WallBand, band};
use crate::output::page::key::Sample;
use crate::output::view::{PlanView, storey_of};
use crate::output::words;
use crate::scene::{Scene, Storey};
use crate::solve::{Answer, ListenerAnswer, Surface};

pub use crate::output::page::column::{LISTED, LISTED_SHARE};
pub use difference::{compared, difference};

/// Draws the plan of a storey. `answer` and `building` belong to `scene`; a view beyond their ends draws an empty page.
#[must_use]
pub fn plan(scene: &Scene, catalogue: &Catalogue, building: &Building, answer: &Answer, view: &PlanView) -> Drawing {
    lettered(catalogue, Variant { scene, building, answer }, view, None).0
}

/// The same with ordinary letters of a stated size, m: a window draws the plan anew at every scale, so that letters, marks and
/// dimension lines keep their size on the screen. Without, they fit a printed page. The names that found no room come beside it.
#[must_use]
pub fn lettered(
    catalogue: &Catalogue,
    variant: Variant,
    view: &PlanView,
    letter_m: Option<f64>,
) -> (Drawing, Vec<String>) {
    let Variant { scene, answer, .. } = variant;
    let (Some(storey), Some(heard)) = (scene.storeys.get(view.storey), answer.listeners.get(view.listener)) else {
        return (empty(scene, view.theme), vec![]);
    };
    let mut canvas = on_canvas(catalogue, variant, heard, view, view.glow(heard), letter_m);
    canvas.listed = canvas.loudest();
    canvas.storey(true);
    let legends = [canvas.glow.clone()];
    canvas.with_column(storey, &legends)
}

/// What the plan is drawn on.
type Canvas<'a> = canvas::Canvas<'a, PlanView>;

/// The walls on a storey.
fn storey_walls(building: &Building, shown: usize) -> Vec<(ElementIndex, WallBand)> {
    let wall = |(at, shape): (usize, &ElementShape)| match shape {
        ElementShape::Wall { storey, line, thickness_m, .. } if *storey == shown => {
            Some((ElementIndex(at), WallBand { line: *line, thickness_m: thickness_m.max(0.02) }))
        }
        _ => None,
    };
    building.elements.iter().map(|element| &element.shape).enumerate().filter_map(wall).collect()
}

/// An empty canvas for the plan of a view.
fn on_canvas<'a>(
    catalogue: &'a Catalogue,
    variant: Variant<'a>,
    heard: &'a ListenerAnswer,
    view: &'a PlanView,
    glow: Glow,
    letter_m: Option<f64>,
) -> Canvas<'a> {
    let walls = storey_walls(variant.building, view.storey);
    let corners: Vec<Point> = walls.iter().flat_map(|(_, wall)| band(wall.line, wall.thickness_m)).collect();
    let extent = if corners.is_empty() { Patch::about([0.0, 0.0], 10.0, 10.0) } else { Patch::around(&corners) };
    Canvas::new(catalogue, variant, heard, view, glow, extent, letter_m)
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
        let key = self.key();
        let corners = self.column(&words::heading(&storey.name), legends, &key);
        (self.finished(title, corners), unplaced)
    }

    /// What the lines of the plan mean.
    fn key(&self) -> Vec<(Sample, String)> {
        let shelled = self.building.spaces.iter().any(|space| match &space.kind {
            SpaceKind::Room(room) if room.storey == self.view.storey => {
                room.before_shell.as_ref().is_some_and(|before| room.area_m2 < before.area_m2 - 1e-6)
            }
            _ => false,
        });
        let openings = self.building.elements.iter().flat_map(|element| &element.openings);
        let shown = openings.filter(|opening| opening.storey == self.view.storey);
        let mut key = vec![
            (Sample::Hatched(false), "leaks by the floor".to_owned()),
            (Sample::Hatched(true), "leaks by the ceiling".to_owned()),
            (Sample::Area(self.quiet.wall, Some(self.quiet.wall_edge)), self.glow.grey()),
            (Sample::Sparks(true), "leaks by the gap round it".to_owned()),
        ];
        key.extend(self.front_samples(shelled, shown.flat_map(|opening| opening.fronts.iter().flatten())));
        key
    }
}

impl View for PlanView {
    const NAME: &'static str = "plan";
    const ELSEWHERE: &'static str = "walls and slabs of other storeys";

    fn look(&self) -> PlanView {
        *self
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
