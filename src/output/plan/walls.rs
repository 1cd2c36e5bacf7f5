//! Walls of their real thickness, openings with their doors, ducts.

use crate::building::ElementIndex;
use crate::output::draw::Draw;
use crate::output::drawing::{Part, Point};
use crate::output::names;
use crate::output::page::geometry::{
    Patch, WallBand, add, along, band, clear_line, left, length, scale, sub, wall_outline,
};
use crate::output::page::glyphs::{Break, Solid};
use crate::output::plan::Canvas;
use crate::solve::Surface;

impl Canvas<'_> {
    /// Bands of the walls, lit where they leak.
    pub(super) fn walls(&mut self, walls: &[(ElementIndex, WallBand)], bands: &[WallBand]) {
        let solid = |(element, wall): &(ElementIndex, WallBand)| {
            let (line, thickness_m) = (clear_line(*wall, bands), wall.thickness_m);
            Solid { face: Surface::Element(*element), line, thickness_m, ring: band(line, thickness_m) }
        };
        self.solids(wall_outline(bands), walls.iter().map(solid).collect());
    }

    pub(super) fn openings(&mut self, walls: &[(ElementIndex, WallBand)]) {
        let building = self.building;
        for (element, wall) in walls {
            for (at, opening) in building.elements[element.0].openings.iter().enumerate() {
                let (line, element) = (opening.line, *element);
                let aside = scale(left(along(line)), wall.thickness_m / 2.0);
                let ring = band(line, wall.thickness_m);
                let hole = Break { element, at, opening, line, aside, ring, bars: 5 };
                self.opening(&hole, |canvas, _| {
                    let turn = canvas.leaf_side(element, line, length(sub(line[1], line[0])));
                    canvas.swung(line, scale(aside, turn), turn);
                });
                self.fronts(Surface::Opening(element, at), opening, *wall, building.elements[element.0].sides);
            }
        }
    }

    /// Which way a leaf swings, 1 to the left of the line and −1 to its right: indoors, into the larger room, off any mark.
    /// The scene does not say; it is a glyph, not a statement.
    fn leaf_side(&self, element: ElementIndex, line: [Point; 2], radius_m: f64) -> f64 {
        let building = self.building;
        let sides = building.elements[element.0].sides;
        let score = |turn: f64| {
            let normal = scale(left(along(line)), turn);
            let swept =
                Patch::around(&[line[0], line[1], add(line[0], scale(normal, radius_m))]).grown(1.4 * self.unit);
            let marks = building.sources.iter().map(|placed| (placed.storey, placed.at));
            let mut marks = marks.chain(building.listeners.iter().map(|placed| (placed.storey, placed.at)));
            let crowded = marks.any(|(storey, at)| storey == self.view.storey && swept.holds(at));
            let beyond = sides[usize::from(turn < 0.0)];
            let area_m2 = names::room(building, beyond).map_or(-1e6, |room| room.area_m2);
            // A door opens away from the shell before it.
            let shelled = building.elements[element.0].fronts[usize::from(turn < 0.0)].is_some();
            area_m2 - if crowded || shelled { 1e3 } else { 0.0 }
        };
        if score(1.0) >= score(-1.0) { 1.0 } else { -1.0 }
    }

    /// A door leaf standing open at a right angle, with the arc it sweeps: to the left of the line (`turn` 1) or to its right (−1), from the
    /// face that lies `aside` of the line.
    pub(super) fn swung(&mut self, line: [Point; 2], aside: Point, turn: f64) {
        const STEPS: usize = 16;
        let (unit, colour) = (self.unit, self.quiet.wall_edge);
        let radius_m = length(sub(line[1], line[0]));
        let (direction, normal) = (along(line), scale(left(along(line)), turn));
        let hinge = add(line[0], aside);
        let arc: Vec<Point> = (0..=STEPS)
            .map(|step| {
                let (sin, cos) = (std::f64::consts::FRAC_PI_2 * step as f64 / STEPS as f64).sin_cos();
                add(hinge, add(scale(direction, radius_m * cos), scale(normal, radius_m * sin)))
            })
            .collect();
        self.line(Part::Plan, &arc, colour.faded(0.7), 0.06 * unit);
        self.line(Part::Plan, &[hinge, arc[STEPS]], colour, 0.2 * unit);
        self.taken.push(Patch::around(&arc));
        self.taken.push(Patch::around(&[hinge, arc[STEPS]]).grown(0.2 * unit));
    }

    /// Ducts from mouth to mouth, lit by what they pass, with a ring at each mouth on the shown storey.
    pub(super) fn ducts(&mut self) {
        let unit = self.unit;
        for (at, duct) in self.building.ducts.iter().enumerate() {
            let face = Surface::Duct(at);
            if !self.visible(face) {
                continue;
            }
            let mouths = duct.ends.iter().filter(|end| end.storey == self.view.storey).map(|end| end.at);
            let mouths: Vec<Point> = mouths.collect();
            let colour = self.lit(face).unwrap_or(self.quiet.wall_edge);
            self.duct(face, duct.ends.map(|end| end.at), &mouths, colour);
            for mouth in mouths {
                self.frame.include(sub(mouth, [unit; 2]));
                self.frame.include(add(mouth, [unit; 2]));
            }
        }
    }
}
