//! What a page is drawn on: it keeps what is drawn, what colours it, and where letters may go.

use crate::building::{Building, PlacedOpening};
use crate::catalogue::{Catalogue, Construction, ConstructionKind};
use crate::output::draw::Draw;
use crate::output::drawing::{Drawing, Form, Lettering, Part, Point, Shape, Shown, Stroke};
use crate::output::glow::Glow;
use crate::output::leaks::By;
use crate::output::names;
use crate::output::page::geometry::Patch;
use crate::output::palette::{Colour, Quiet, Theme};
use crate::output::view::PlanView;
use crate::project::Solved;
use crate::scene::Scene;
use crate::solve::{ListenerAnswer, Surface};

/// A way of looking at the building.
pub(crate) trait View {
    /// What it is called: "plan", "section".
    const NAME: &'static str;
    /// What it does not show.
    const ELSEWHERE: &'static str;

    /// What it says as a plan's view does; its storey has no say.
    fn look(&self) -> PlanView;

    /// True when a face can be seen on its page.
    fn shows(&self, building: &Building, heard: &ListenerAnswer, face: Surface) -> bool;
}

/// A numbered face.
#[derive(Debug, Clone)]
pub(crate) struct Listed {
    /// The face in the building that is drawn; none for one that is only in the base of a difference.
    pub(crate) face: Option<Surface>,
    /// The face in the base of a difference.
    pub(crate) before: Option<Surface>,
    pub(crate) name: String,
    /// What it passes: "61 %", "42 dB", "−6 dB".
    pub(crate) label: String,
    /// Lines below its name.
    pub(crate) notes: Vec<String>,
    /// How long its bar is, 0 to 1.
    pub(crate) length: f64,
    pub(crate) colour: Option<Colour>,
}

/// A page with nothing on it.
pub(crate) fn empty(scene: &Scene, theme: Theme) -> Drawing {
    let title = scene.name.clone();
    Drawing { min: [0.0, 0.0], max: [1.0, 1.0], background: theme.quiet().sheet, title, shapes: vec![] }
}

/// What the drawing is made with, and what has been drawn.
pub(crate) struct Canvas<'a, V> {
    pub(crate) scene: &'a Scene,
    pub(crate) building: &'a Building,
    pub(crate) heard: &'a ListenerAnswer,
    pub(crate) view: &'a V,
    /// What every view says.
    pub(crate) look: PlanView,
    pub(crate) quiet: Quiet,
    /// The size of ordinary letters, m: everything on the page is measured in it.
    pub(crate) unit: f64,
    /// What colours the faces.
    pub(crate) glow: Glow,
    /// The faces that carry a number, in their order.
    pub(crate) listed: Vec<Listed>,
    /// The build a difference is to, with the same listener in it.
    pub(crate) base: Option<(&'a Building, &'a ListenerAnswer)>,
    pub(crate) shapes: Vec<Shape>,
    /// Where no label may go.
    pub(crate) taken: Vec<Patch>,
    /// Sentences for the side of the page.
    pub(crate) remarks: Vec<String>,
    /// The walls' bounds.
    pub(crate) extent: Patch,
    /// The bounds of everything in the plan, listeners outdoors and dimensions included.
    pub(crate) frame: Patch,
}

impl<V> Draw for Canvas<'_, V> {
    fn push(&mut self, part: Part, shows: Option<Shown>, form: Form) {
        Draw::push(&mut self.shapes, part, shows, form);
    }
}

impl<'a, V: View> Canvas<'a, V> {
    /// An empty canvas for a drawing of this extent, lit by `glow` or by what the view says, with ordinary letters of `letter_m`, or such as
    /// fit a printed page; nothing for a listener beyond the end of the answer.
    pub(crate) fn new(
        solved: &'a Solved,
        view: &'a V,
        glow: Option<Glow>,
        extent: Patch,
        letter_m: Option<f64>,
    ) -> Option<Self> {
        let look = view.look();
        let heard = solved.answer.listeners.get(look.listener)?;
        let [wide, high] = extent.size();
        Some(Self {
            scene: &solved.scene,
            building: &solved.building,
            heard,
            view,
            look,
            quiet: look.theme.quiet(),
            unit: letter_m.unwrap_or((wide / 62.0).max(high / 46.0)),
            glow: glow.unwrap_or_else(|| look.glow(heard)),
            listed: Vec::new(),
            base: None,
            shapes: Vec::new(),
            taken: Vec::new(),
            remarks: Vec::new(),
            extent,
            frame: extent,
        })
    }

    /// The finished drawing, dimensions undermost: they may pass the name of a listener outdoors.
    pub(crate) fn finished(mut self, title: String, [min, max]: [Point; 2]) -> Drawing {
        self.shapes.sort_by_key(|shape| shape.part != Part::Dimensions);
        Drawing { min, max, background: self.quiet.sheet, title, shapes: self.shapes }
    }

    /// A construction of the scene's own, or of the catalogue.
    fn construction(&self, id: &str) -> Option<&'a Construction> {
        Catalogue::built_in_ref().resolve(&self.scene.constructions, id)
    }

    /// Thickness of a construction, m; 0 where it is not known.
    pub(crate) fn thickness_m(&self, id: &str) -> f64 {
        self.construction(id).map_or(0.0, Construction::thickness_m)
    }

    /// What an opening is: by its construction, or by its shape where that is not known.
    pub(crate) fn opening_kind(&self, opening: &PlacedOpening) -> ConstructionKind {
        let by_shape = || if opening.sill_m > 0.05 { ConstructionKind::Window } else { ConstructionKind::Door };
        self.construction(&opening.construction).map_or_else(by_shape, |construction| construction.kind)
    }

    /// The colour of a face; nothing for what stays grey.
    pub(crate) fn lit(&self, face: Surface) -> Option<Colour> {
        self.glow.colour(face)
    }

    /// The number a face carries in the list, counted from 1.
    pub(crate) fn number(&self, face: Surface) -> Option<usize> {
        self.listed.iter().position(|listed| listed.face == Some(face)).map(|at| at + 1)
    }

    /// The listed faces of this building with their numbers.
    pub(crate) fn numbered(&self) -> Vec<(usize, Surface)> {
        self.listed.iter().enumerate().filter_map(|(at, listed)| Some((at + 1, listed.face?))).collect()
    }

    /// True when a face can be seen on this page.
    pub(crate) fn visible(&self, face: Surface) -> bool {
        self.view.shows(self.building, self.heard, face)
    }

    /// What a face is called, seen from the side that colours the plan.
    pub(crate) fn face_name(&self, face: Surface) -> String {
        let from = match self.look.by {
            By::Exit => Some(self.heard.space),
            By::Entry => self.heard.paths.iter().find(|path| path.entry == face).map(|path| path.source_space),
        };
        from.map_or_else(|| names::surface(self.building, face), |from| names::seen_from(self.building, face, from))
    }

    /// True when nothing stands there that letters must keep off.
    pub(crate) fn is_free(&self, patch: &Patch) -> bool {
        !self.taken.iter().any(|taken| taken.meets(patch))
    }

    /// A numbered disc.
    pub(crate) fn badge(&mut self, part: Part, centre: Point, number: usize, face: Option<Surface>) {
        let (unit, quiet) = (self.unit, self.quiet);
        let (fill, stroke) = (Some(quiet.ink), Some(Stroke::full(quiet.sheet, 0.16 * unit)));
        let form = Form::Circle { centre, radius_m: 0.78 * unit, fill, stroke };
        self.push(part, face.map(Shown::Surface), form);
        let style = Lettering::new(0.95 * unit, quiet.sheet).middle().strong();
        self.text(part, centre, &number.to_string(), style);
    }

    /// Puts the number of a face at the first free of some places; `anyway` at the first of them where none is free. A number may lie on `own`.
    pub(crate) fn badge_at(
        &mut self,
        (number, face): (usize, Option<Surface>),
        places: &[Point],
        anyway: bool,
        own: Option<Patch>,
    ) {
        let patch = |centre: Point| Patch::about(centre, 1.7 * self.unit, 1.7 * self.unit);
        let free = places.iter().find(|place| {
            let patch = patch(**place);
            !self.taken.iter().any(|taken| Some(*taken) != own && taken.meets(&patch))
        });
        if let Some(centre) = free.or(places.first().filter(|_| anyway)).copied() {
            self.taken.push(patch(centre));
            self.badge(Part::Plan, centre, number, face);
        }
    }
}
