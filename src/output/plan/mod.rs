//! The plan of a storey, coloured by where sound leaks.
//!
//! Walls and openings are lit by what a [`Glow`] says of them – their share of what the chosen listener hears, the level they bring, or
//! how that changes – rooms by their floor and ceiling; what passes nothing stays grey. The numbers on the plan are those of the list beside it.

mod difference;
mod dimensions;
mod ducts;
mod geometry;
mod labels;
mod listed;
mod marks;
mod openings;
mod rooms;
mod sheet;
mod shells;
mod walls;

use crate::building::{Building, ElementIndex, ElementShape, SpaceIndex, SpaceKind};
use crate::catalogue::Catalogue;
use crate::scene::{Scene, Storey};
use crate::solve::{Answer, BandChoice, ListenerAnswer, Surface};

use super::drawing::{Anchor, Drawing, Form, Part, Point, Shape, Shown, Stroke};
use super::glow::{Glow, Scale};
use super::leaks::By;
use super::names;
use super::palette::{Colour, Quiet, Theme};
use geometry::{Patch, WallBand};
use listed::Listed;

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
        Self { storey, listener, band: BandChoice::AWeighted, by, theme: Theme::default(), scale: Scale::default() }
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

/// How many faces are numbered and listed.
pub const LISTED: usize = 5;
/// A face with a smaller share is not numbered.
pub const LISTED_SHARE: f64 = 0.001;

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
        return (empty(scene, view), vec![]);
    };
    let variant = Variant { scene, building, answer };
    let mut canvas = Canvas::new(catalogue, variant, heard, view, view.glow(heard), letter_m);
    canvas.listed = canvas.loudest();
    canvas.storey(true);
    let legends = [canvas.glow.clone()];
    canvas.finished(storey, &legends)
}

/// A sheet with nothing on it.
fn empty(scene: &Scene, view: &PlanView) -> Drawing {
    let background = view.theme.quiet().sheet;
    Drawing { min: [0.0, 0.0], max: [1.0, 1.0], background, title: scene.name.clone(), shapes: vec![] }
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

/// What the drawing is made with, and what has been drawn.
struct Canvas<'a> {
    scene: &'a Scene,
    catalogue: &'a Catalogue,
    building: &'a Building,
    heard: &'a ListenerAnswer,
    view: &'a PlanView,
    quiet: Quiet,
    /// The size of ordinary letters, m: everything on the sheet is measured in it.
    unit: f64,
    /// What colours the faces.
    glow: Glow,
    /// The faces that carry a number, in their order.
    listed: Vec<Listed>,
    /// The build a difference is to, with the same listener in it.
    base: Option<(&'a Building, &'a ListenerAnswer)>,
    shapes: Vec<Shape>,
    /// Where no label may go.
    taken: Vec<Patch>,
    /// Sentences for the side of the sheet.
    remarks: Vec<String>,
    /// The walls' bounds.
    extent: Patch,
    /// The bounds of everything in the plan, listeners outdoors and dimensions included.
    frame: Patch,
}

impl<'a> Canvas<'a> {
    fn new(
        catalogue: &'a Catalogue,
        variant: Variant<'a>,
        heard: &'a ListenerAnswer,
        view: &'a PlanView,
        glow: Glow,
        letter_m: Option<f64>,
    ) -> Self {
        let walls = storey_walls(variant.building, view.storey);
        let corners: Vec<Point> =
            walls.iter().flat_map(|(_, wall)| geometry::band(wall.line, wall.thickness_m)).collect();
        let mut extent = Patch::around(&corners);
        if !extent.min[0].is_finite() {
            extent = Patch::about([0.0, 0.0], 10.0, 10.0);
        }
        let [wide, high] = extent.size();
        Self {
            scene: variant.scene,
            catalogue,
            building: variant.building,
            heard,
            view,
            quiet: view.theme.quiet(),
            unit: letter_m.unwrap_or((wide / 62.0).max(high / 46.0)),
            glow,
            listed: Vec::new(),
            base: None,
            shapes: Vec::new(),
            taken: Vec::new(),
            remarks: Vec::new(),
            extent,
            frame: extent,
        }
    }

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
        // Dimension lines lie under everything: they may pass the name of a listener outdoors.
        self.shapes.sort_by_key(|shape| shape.part != Part::Dimensions);
    }

    /// The drawing with everything beside the plan, and the names that found no room.
    fn finished(mut self, storey: &Storey, legends: &[Glow]) -> (Drawing, Vec<String>) {
        let title = format!("{} – {}", self.scene.name, storey.name);
        let unplaced = self.remarks.clone();
        let (min, max) = self.sheet(storey, legends);
        (Drawing { min, max, background: self.quiet.sheet, title, shapes: self.shapes }, unplaced)
    }
}

impl Canvas<'_> {
    fn push(&mut self, part: Part, shows: Option<Shown>, form: Form) {
        self.shapes.push(Shape { form, part, shows });
    }

    fn polygon(&mut self, part: Part, shows: Option<Shown>, rings: Vec<Vec<Point>>, fill: Colour) {
        self.push(part, shows, Form::Polygon { rings, fill: Some(fill), stroke: None });
    }

    fn line(&mut self, part: Part, points: &[Point], colour: Colour, width_m: f64) {
        let stroke = Stroke::full(colour, width_m);
        self.push(part, None, Form::Line { points: points.to_vec(), stroke });
    }

    fn text(&mut self, part: Part, at: Point, text: &str, style: Lettering) {
        self.push(
            part,
            None,
            Form::Text {
                at,
                text: text.to_owned(),
                size_m: style.size_m,
                anchor: style.anchor,
                rotation_deg: style.rotation_deg,
                colour: style.colour,
                strong: style.strong,
                halo: style.halo,
            },
        );
    }

    /// The colour of a face; nothing for what stays grey.
    fn lit(&self, face: Surface) -> Option<Colour> {
        self.glow.colour(face)
    }

    /// The number a face carries in the list, counted from 1.
    fn number(&self, face: Surface) -> Option<usize> {
        self.listed.iter().position(|listed| listed.face == Some(face)).map(|at| at + 1)
    }

    /// The listed faces of this building with their numbers.
    fn numbered(&self) -> Vec<(usize, Surface)> {
        self.listed.iter().enumerate().filter_map(|(at, listed)| Some((at + 1, listed.face?))).collect()
    }

    /// True when a room of the shown storey is this space.
    fn on_storey(&self, space: SpaceIndex) -> bool {
        storey_of(self.building, space) == Some(self.view.storey)
    }

    /// True when a face can be seen in this plan: its wall stands on the storey, or its slab lies over or under it.
    fn visible(&self, face: Surface) -> bool {
        if let Surface::Duct(at) = face {
            let ends = self.building.ducts.get(at).map(|duct| duct.ends);
            return ends.is_some_and(|ends| ends.iter().any(|end| end.storey == self.view.storey));
        }
        let Some(element) = face.element().and_then(|at| self.building.elements.get(at.0)) else {
            return storey_of(self.building, self.heard.space) == Some(self.view.storey);
        };
        match &element.shape {
            ElementShape::Wall { storey, .. } => *storey == self.view.storey,
            ElementShape::Slab { .. } => element.sides.iter().any(|side| self.on_storey(*side)),
        }
    }

    /// What a face is called, seen from the side that colours the plan.
    fn face_name(&self, face: Surface) -> String {
        let from = match self.view.by {
            By::Exit => Some(self.heard.space),
            By::Entry => self.heard.paths.iter().find(|path| path.entry == face).map(|path| path.source_space),
        };
        from.map_or_else(|| names::surface(self.building, face), |from| names::seen_from(self.building, face, from))
    }

    /// A numbered disc.
    fn badge(&mut self, part: Part, centre: Point, number: usize, face: Option<Surface>) {
        let (unit, quiet) = (self.unit, self.quiet);
        self.push(
            part,
            face.map(Shown::Surface),
            Form::Circle {
                centre,
                radius_m: 0.78 * unit,
                fill: Some(quiet.ink),
                stroke: Some(Stroke::full(quiet.sheet, 0.16 * unit)),
            },
        );
        let style = Lettering { strong: true, ..Lettering::new(0.95 * unit, quiet.sheet).middle() };
        self.text(part, centre, &number.to_string(), style);
    }
}

/// How a text is set.
#[derive(Debug, Clone, Copy)]
struct Lettering {
    size_m: f64,
    anchor: Anchor,
    rotation_deg: f64,
    colour: Colour,
    strong: bool,
    halo: Option<Colour>,
}

impl Lettering {
    fn new(size_m: f64, colour: Colour) -> Self {
        Self { size_m, anchor: Anchor::Start, rotation_deg: 0.0, colour, strong: false, halo: None }
    }

    fn middle(self) -> Self {
        Self { anchor: Anchor::Middle, ..self }
    }

    fn end(self) -> Self {
        Self { anchor: Anchor::End, ..self }
    }

    fn strong(self) -> Self {
        Self { strong: true, ..self }
    }

    fn halo(self, colour: Colour) -> Self {
        Self { halo: Some(colour), ..self }
    }
}
