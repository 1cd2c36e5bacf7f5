//! What plan and section draw alike: solids lit by what they pass, openings with the light through their cracks, ducts.

use crate::building::{ElementIndex, ElementShape, PlacedOpening, SpaceIndex};
use crate::catalogue::ConstructionKind;
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Part, Point, Shown, Stroke};
use crate::output::page::canvas::{Canvas, View};
use crate::output::page::geometry::{Patch, add, along, left, length, scale, sub};
use crate::output::palette::Colour;
use crate::solve::Surface;

/// The glow beyond a lit wall: how far it reaches in letters, and the layers it is laid on in, each as strong.
const GLOW_REACH: f64 = 3.2;
const GLOW_LAYERS: u32 = 14;
const GLOW_OPACITY: f64 = 0.036;

/// A leaf of a shell thinner than this on the page could not be seen, letters.
pub(crate) const LEAST_LEAF: f64 = 0.16;

/// A wall or slab on the page.
pub(crate) struct Solid {
    pub(crate) face: Surface,
    /// Its middle line, m.
    pub(crate) line: [Point; 2],
    pub(crate) thickness_m: f64,
    pub(crate) ring: Vec<Point>,
}

/// An opening on the page: a break in its wall.
pub(crate) struct Break<'b> {
    pub(crate) element: ElementIndex,
    /// Its position in the element's list.
    pub(crate) at: usize,
    pub(crate) opening: &'b PlacedOpening,
    /// Its middle line, m.
    pub(crate) line: [Point; 2],
    /// From there to one face of the wall, m.
    pub(crate) aside: Point,
    pub(crate) ring: Vec<Point>,
    /// How many bars the comb of a vent has.
    pub(crate) bars: u32,
}

impl<V: View> Canvas<'_, V> {
    /// Light round a leak, as much as it shines: on dark pages only.
    fn shine(&mut self, face: Surface, line: [Point; 2], thickness_m: f64, strength: f64) {
        let Some(colour) = self.lit(face) else { return };
        let bright = strength * self.glow.strength(face);
        if !self.look.theme.is_dark() || bright <= 0.02 {
            return;
        }
        for layer in 1..=GLOW_LAYERS {
            // Closer together near the wall, so that the light falls off as it does from a crack.
            let reach = GLOW_REACH * (f64::from(layer) / f64::from(GLOW_LAYERS)).powf(1.6);
            let width_m = thickness_m + 2.0 * reach * self.unit * bright.sqrt();
            self.line(Part::Plan, &line, colour.faded(GLOW_OPACITY * (0.4 + 0.6 * bright)), width_m);
        }
    }

    /// Outlines without areas.
    pub(crate) fn outlines(&mut self, outlines: Vec<Vec<Vec<Point>>>, width_m: f64) {
        let stroke = Some(Stroke::full(self.quiet.wall_edge, width_m));
        for rings in outlines {
            self.push(Part::Plan, None, Form::Polygon { rings, fill: None, stroke });
        }
    }

    /// Walls and slabs within their common outline, each lit by what it passes.
    pub(crate) fn solids(&mut self, outline: Vec<Vec<Vec<Point>>>, mut solids: Vec<Solid>) {
        for solid in &solids {
            self.shine(solid.face, solid.line, solid.thickness_m, 1.0);
        }
        for rings in &outline {
            self.polygon(Part::Plan, None, rings.clone(), self.quiet.wall);
        }
        // The weakest first, so that a bright wall is not cut by its neighbour.
        solids.sort_by(|a, b| self.glow.strength(a.face).total_cmp(&self.glow.strength(b.face)));
        for Solid { face, ring, .. } in solids {
            let fill = self.lit(face).unwrap_or(self.quiet.wall);
            self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![ring], fill);
        }
        self.outlines(outline, 0.09 * self.unit);
    }

    /// Light in the listener's own room: in the source's room sound comes through the air alone; what comes by no one face comes from all round.
    pub(crate) fn own_room(&mut self, rings: &[Vec<Point>]) {
        for face in [Surface::Air, Surface::Building] {
            if let Some(colour) = self.lit(face) {
                self.polygon(Part::Plan, Some(Shown::Surface(face)), rings.to_vec(), colour.faded(0.16));
            }
        }
    }

    /// A window is two panes of line, a door as `door` draws it in a given colour, a vent a comb, a hole dashed; then the light through its cracks.
    pub(crate) fn opening(&mut self, hole: &Break, door: impl FnOnce(&mut Self, Colour)) {
        let (unit, quiet, line) = (self.unit, self.quiet, hole.line);
        let face = Surface::Opening(hole.element, hole.at);
        let (lit, thin) = (self.lit(face), 0.09 * unit);
        self.shine(face, line, 2.0 * length(hole.aside), 0.9);
        self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![hole.ring.clone()], lit.unwrap_or(quiet.room));
        // Drawn on a lit opening, lines must stand out from it.
        let ink = if lit.is_some() { quiet.sheet } else { quiet.wall_edge };
        let beside = |part: f64| line.map(|end| add(end, scale(hole.aside, part)));
        match self.opening_kind(hole.opening) {
            ConstructionKind::Door => door(self, ink),
            ConstructionKind::Vent => {
                for bar in 1..=hole.bars {
                    let foot = add(line[0], scale(sub(line[1], line[0]), f64::from(bar) / f64::from(hole.bars + 1)));
                    let half = scale(hole.aside, 0.7);
                    self.line(Part::Plan, &[sub(foot, half), add(foot, half)], ink, thin);
                }
            }
            ConstructionKind::Open => {
                let stroke = Stroke::dashed(quiet.wall_edge, thin, [0.4 * unit; 2]);
                for part in [-1.0, 1.0] {
                    self.stroke(Part::Plan, None, &beside(part), stroke);
                }
            }
            _ => {
                for part in [-0.3, 0.3] {
                    self.line(Part::Plan, &beside(part), ink, thin);
                }
            }
        }
        self.outlines(vec![vec![hole.ring.clone()]], thin);
        self.gap(hole);
        self.taken.push(Patch::around(&hole.ring));
    }

    /// Light through the cracks: a spark across the wall at either end.
    fn gap(&mut self, hole: &Break) {
        let face = Surface::Gap(hole.element, hole.at);
        let Some(colour) = self.lit(face) else { return };
        let out = scale(along([[0.0; 2], hole.aside]), 0.55 * self.unit);
        for end in hole.line {
            let spark = [sub(sub(end, hole.aside), out), add(add(end, hole.aside), out)];
            self.shine(face, spark, 0.2 * self.unit, 0.7);
            self.stroke(Part::Plan, Some(Shown::Surface(face)), &spark, Stroke::full(colour, 0.3 * self.unit));
        }
    }

    /// Two thin dashed lines, with a ring at each mouth that is shown.
    pub(crate) fn duct(&mut self, face: Surface, line: [Point; 2], mouths: &[Point], colour: Colour) {
        let (unit, shows) = (self.unit, Some(Shown::Surface(face)));
        let stroke = Stroke::dashed(colour, 0.12 * unit, [0.6 * unit, 0.35 * unit]);
        // One that goes straight up has no length in the plan.
        if length(sub(line[1], line[0])) > 0.01 {
            let aside = scale(left(along(line)), 0.22 * unit);
            for points in [line.map(|point| add(point, aside)), line.map(|point| sub(point, aside))] {
                self.stroke(Part::Plan, shows, &points, stroke);
            }
        }
        let (fill, stroke) = (Some(self.quiet.room), Some(Stroke::full(colour, 0.14 * unit)));
        for centre in mouths.iter().copied() {
            self.push(Part::Plan, shows, Form::Circle { centre, radius_m: 0.4 * unit, fill, stroke });
            self.taken.push(Patch::about(centre, 0.9 * unit, 0.9 * unit));
        }
    }

    /// Thickness of a room's shell before its walls, floor and ceiling, each where it is thickest, m; 0 where it has none.
    pub(crate) fn leaves_m(&self, space: SpaceIndex) -> [f64; 3] {
        let mut leaves_m = [0.0; 3];
        for element in self.building.elements.iter() {
            for (side, (here, front)) in element.sides.iter().zip(&element.fronts).enumerate() {
                let Some(front) = front.as_ref().filter(|_| *here == space) else { continue };
                let leaf = if matches!(element.shape, ElementShape::Wall { .. }) { 0 } else { 1 + side };
                leaves_m[leaf] = self.thickness_m(&front.face.construction).max(leaves_m[leaf]);
            }
        }
        leaves_m
    }

    /// A cover that stands aside.
    pub(crate) fn cover_off(&mut self, face: Surface, points: &[Point]) {
        let unit = self.unit;
        let stroke = Stroke::dashed(self.quiet.soft_ink, 0.12 * unit, [0.5 * unit, 0.4 * unit]);
        self.stroke(Part::Plan, Some(Shown::Surface(face)), points, stroke);
    }
}
