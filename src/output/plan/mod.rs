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

use crate::building::{Building, SpaceKind};
use crate::output::drawing::{Drawing, Point};
use crate::output::glow::Glow;
use crate::output::names;
use crate::output::page::canvas::{self, View, empty};
use crate::output::page::geometry::{Patch, WallBand, band, storey_walls};
use crate::output::page::key::Sample;
use crate::output::view::PlanView;
use crate::output::words;
use crate::project::Solved;
use crate::scene::Storey;
use crate::solve::{ListenerAnswer, Surface};

pub use difference::{compared, difference};

/// Draws the plan of a storey; a view beyond the ends of scene or answer draws an empty page.
#[must_use]
pub fn plan(solved: &Solved, view: &PlanView) -> Drawing {
    lettered(solved, view, None).0
}

/// The same with ordinary letters of a stated size, m: a window draws the plan anew at every scale, so that letters, marks and
/// dimension lines keep their size on the screen. Without, they fit a printed page. The names that found no room come beside it.
#[must_use]
pub fn lettered(solved: &Solved, view: &PlanView, letter_m: Option<f64>) -> (Drawing, Vec<String>) {
    let canvas = on_canvas(solved, view, None, letter_m);
    alone(solved, view, canvas.map(|canvas| Canvas { listed: canvas.loudest(), ..canvas }))
}

/// One plan with its dimensions and its column; an empty page without a canvas or a storey.
fn alone(solved: &Solved, view: &PlanView, canvas: Option<Canvas>) -> (Drawing, Vec<String>) {
    let (Some(storey), Some(mut canvas)) = (solved.scene.storeys.get(view.storey), canvas) else {
        return (empty(&solved.scene, view.theme), vec![]);
    };
    canvas.storey(true);
    let legends = [canvas.glow.clone()];
    canvas.with_column(storey, &legends)
}

/// What the plan is drawn on.
type Canvas<'a> = canvas::Canvas<'a, PlanView>;

/// An empty canvas for the plan of a view, lit by `glow` or by what the view says; nothing without the listener.
fn on_canvas<'a>(
    solved: &'a Solved,
    view: &'a PlanView,
    glow: Option<Glow>,
    letter_m: Option<f64>,
) -> Option<Canvas<'a>> {
    let walls = storey_walls(&solved.building, view.storey);
    let corners: Vec<Point> = walls.iter().flat_map(|(_, wall)| band(wall.line, wall.thickness_m)).collect();
    let extent = if corners.is_empty() { Patch::about([0.0, 0.0], 10.0, 10.0) } else { Patch::around(&corners) };
    Canvas::new(solved, view, glow, extent, letter_m)
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
        match face {
            Surface::Air | Surface::Building => {
                names::room(building, heard.space).is_some_and(|room| room.storey == self.storey)
            }
            _ => names::on_storeys(building, face).contains(&self.storey),
        }
    }
}
