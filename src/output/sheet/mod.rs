//! What every sheet is made with: a canvas that keeps what is drawn and where letters may go, marks, rows of letters, chains of
//! dimensions, and the column beside the drawing. The plan and the section draw on it.

mod chain;
mod column;
pub(super) mod geometry;
mod listed;
mod marks;
mod rows;

use crate::building::{Building, PlacedOpening};
use crate::catalogue::{Catalogue, Construction, ConstructionKind};
use crate::scene::Scene;
use crate::solve::{BandChoice, ListenerAnswer, Surface};

use super::drawing::{Anchor, Drawing, Form, Part, Point, Shape, Shown, Stroke};
use super::glow::{Glow, Scale};
use super::leaks::By;
use super::length::Units;
use super::names;
use super::palette::{Colour, Quiet, Theme};
pub(super) use chain::{ABOVE, BELOW, LEFT, RIGHT, Side};
pub(super) use column::{COLUMN, Cursor};
use geometry::Patch;
pub(super) use listed::Listed;
pub(super) use marks::{LISTENER_REACH, SOURCE_REACH};
pub(super) use rows::{Name, Row};

/// How many faces are numbered and listed.
pub const LISTED: usize = 5;
/// A face with a smaller share is not numbered.
pub const LISTED_SHARE: f64 = 0.001;

/// What every view says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Look {
    /// Whose ears, position in the answer's listeners.
    pub(super) listener: usize,
    /// Which bands.
    pub(super) band: BandChoice,
    /// Which end of the paths lights the sheet.
    pub(super) by: By,
    /// Dark or light.
    pub(super) theme: Theme,
    /// What the light means.
    pub(super) scale: Scale,
    /// How lengths and areas are written.
    pub(super) units: Units,
}

impl Look {
    /// What lights the sheet of a listener.
    pub(super) fn glow(&self, heard: &ListenerAnswer) -> Glow {
        Glow::of(heard, self.band, self.by, self.theme, self.scale)
    }
}

/// A way of looking at the building.
pub(super) trait View {
    /// What it is called: "plan", "section".
    const NAME: &'static str;
    /// What it does not show.
    const ELSEWHERE: &'static str;

    /// What it says as every view does.
    fn look(&self) -> Look;

    /// True when a face can be seen on its sheet.
    fn shows(&self, building: &Building, heard: &ListenerAnswer, face: Surface) -> bool;
}

/// What is drawn: a scene, what was built and computed from it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Subject<'a> {
    pub(super) scene: &'a Scene,
    pub(super) catalogue: &'a Catalogue,
    pub(super) building: &'a Building,
    pub(super) heard: &'a ListenerAnswer,
}

/// A sheet with nothing on it.
pub(super) fn empty(scene: &Scene, theme: Theme) -> Drawing {
    Drawing {
        min: [0.0, 0.0],
        max: [1.0, 1.0],
        background: theme.quiet().sheet,
        title: scene.name.clone(),
        shapes: vec![],
    }
}

/// What the drawing is made with, and what has been drawn.
pub(in crate::output) struct Canvas<'a, V> {
    pub(in crate::output) scene: &'a Scene,
    pub(in crate::output) catalogue: &'a Catalogue,
    pub(in crate::output) building: &'a Building,
    pub(in crate::output) heard: &'a ListenerAnswer,
    pub(in crate::output) view: &'a V,
    /// What every view says.
    pub(in crate::output) look: Look,
    pub(in crate::output) quiet: Quiet,
    /// The size of ordinary letters, m: everything on the sheet is measured in it.
    pub(in crate::output) unit: f64,
    /// What colours the faces.
    pub(in crate::output) glow: Glow,
    /// The faces that carry a number, in their order.
    pub(in crate::output) listed: Vec<Listed>,
    /// The build a difference is to, with the same listener in it.
    pub(in crate::output) base: Option<(&'a Building, &'a ListenerAnswer)>,
    pub(in crate::output) shapes: Vec<Shape>,
    /// Where no label may go.
    pub(in crate::output) taken: Vec<Patch>,
    /// Sentences for the side of the sheet.
    pub(in crate::output) remarks: Vec<String>,
    /// The walls' bounds.
    pub(in crate::output) extent: Patch,
    /// The bounds of everything in the plan, listeners outdoors and dimensions included.
    pub(in crate::output) frame: Patch,
}

impl<'a, V: View> Canvas<'a, V> {
    /// An empty canvas for a drawing of this extent, lit by `glow`, with ordinary letters of `letter_m`, or such as fit a printed sheet.
    pub(in crate::output) fn new(
        subject: Subject<'a>,
        view: &'a V,
        glow: Glow,
        extent: Patch,
        letter_m: Option<f64>,
    ) -> Self {
        let Subject { scene, catalogue, building, heard } = subject;
        let look = view.look();
        let [wide, high] = extent.size();
        Self {
            scene,
            catalogue,
            building,
            heard,
            view,
            look,
            quiet: look.theme.quiet(),
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

    /// The finished drawing, dimensions undermost: they may pass the name of a listener outdoors.
    pub(in crate::output) fn finished(mut self, title: String, min: Point, max: Point) -> Drawing {
        self.shapes.sort_by_key(|shape| shape.part != Part::Dimensions);
        Drawing { min, max, background: self.quiet.sheet, title, shapes: self.shapes }
    }

    /// A construction of the scene's own, or of the catalogue.
    fn construction(&self, id: &str) -> Option<&'a Construction> {
        self.catalogue.own_or_known(&self.scene.constructions, id)
    }

    /// Thickness of a construction, m; 0 where it is not known.
    pub(in crate::output) fn thickness_m(&self, id: &str) -> f64 {
        self.construction(id).map_or(0.0, Construction::thickness_m)
    }

    /// What an opening is: by its construction, or by its shape where that is not known.
    pub(in crate::output) fn opening_kind(&self, opening: &PlacedOpening) -> ConstructionKind {
        let by_shape = || if opening.sill_m > 0.05 { ConstructionKind::Window } else { ConstructionKind::Door };
        self.construction(&opening.construction).map_or_else(by_shape, |construction| construction.kind)
    }

    pub(in crate::output) fn push(&mut self, part: Part, shows: Option<Shown>, form: Form) {
        self.shapes.push(Shape { form, part, shows });
    }

    pub(in crate::output) fn polygon(
        &mut self,
        part: Part,
        shows: Option<Shown>,
        rings: Vec<Vec<Point>>,
        fill: Colour,
    ) {
        self.push(part, shows, Form::Polygon { rings, fill: Some(fill), stroke: None });
    }

    pub(in crate::output) fn line(&mut self, part: Part, points: &[Point], colour: Colour, width_m: f64) {
        let stroke = Stroke::full(colour, width_m);
        self.push(part, None, Form::Line { points: points.to_vec(), stroke });
    }

    pub(in crate::output) fn text(&mut self, part: Part, at: Point, text: &str, style: Lettering) {
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
    pub(in crate::output) fn lit(&self, face: Surface) -> Option<Colour> {
        self.glow.colour(face)
    }

    /// The number a face carries in the list, counted from 1.
    pub(in crate::output) fn number(&self, face: Surface) -> Option<usize> {
        self.listed.iter().position(|listed| listed.face == Some(face)).map(|at| at + 1)
    }

    /// The listed faces of this building with their numbers.
    pub(in crate::output) fn numbered(&self) -> Vec<(usize, Surface)> {
        self.listed.iter().enumerate().filter_map(|(at, listed)| Some((at + 1, listed.face?))).collect()
    }

    /// True when a face can be seen on this sheet.
    pub(in crate::output) fn visible(&self, face: Surface) -> bool {
        self.view.shows(self.building, self.heard, face)
    }

    /// What a face is called, seen from the side that colours the plan.
    pub(in crate::output) fn face_name(&self, face: Surface) -> String {
        let from = match self.look.by {
            By::Exit => Some(self.heard.space),
            By::Entry => self.heard.paths.iter().find(|path| path.entry == face).map(|path| path.source_space),
        };
        from.map_or_else(|| names::surface(self.building, face), |from| names::seen_from(self.building, face, from))
    }

    /// A numbered disc.
    pub(in crate::output) fn badge(&mut self, part: Part, centre: Point, number: usize, face: Option<Surface>) {
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
pub(in crate::output) struct Lettering {
    pub(in crate::output) size_m: f64,
    pub(in crate::output) anchor: Anchor,
    pub(in crate::output) rotation_deg: f64,
    pub(in crate::output) colour: Colour,
    pub(in crate::output) strong: bool,
    pub(in crate::output) halo: Option<Colour>,
}

impl Lettering {
    pub(in crate::output) fn new(size_m: f64, colour: Colour) -> Self {
        Self { size_m, anchor: Anchor::Start, rotation_deg: 0.0, colour, strong: false, halo: None }
    }

    pub(in crate::output) fn middle(self) -> Self {
        Self { anchor: Anchor::Middle, ..self }
    }

    pub(in crate::output) fn end(self) -> Self {
        Self { anchor: Anchor::End, ..self }
    }

    pub(in crate::output) fn strong(self) -> Self {
        Self { strong: true, ..self }
    }

    pub(in crate::output) fn halo(self, colour: Colour) -> Self {
        Self { halo: Some(colour), ..self }
    }
}
