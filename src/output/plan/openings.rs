//! Openings: breaks in the wall's band. A window is two panes of line, a door its swung leaf, a vent a comb, a hole dashed.

use crate::building::{ElementIndex, PlacedOpening, SpaceKind};
use crate::catalogue::ConstructionKind;
use crate::solve::Surface;

use super::geometry::{Patch, WallBand, add, along, band, left, length, scale, sub};
use super::{Canvas, Form, Part, Point, Shown, Stroke};

impl Canvas<'_> {
    pub(super) fn openings(&mut self, walls: &[(ElementIndex, WallBand)]) {
        let building = self.building;
        for (element, wall) in walls {
            for (at, opening) in building.elements[element.0].openings.iter().enumerate() {
                self.opening(*element, at, opening, wall.thickness_m);
                let sides = building.elements[element.0].sides;
                self.fronts(Surface::Opening(*element, at), opening, *wall, sides);
            }
        }
    }

    fn opening(&mut self, element: ElementIndex, at: usize, opening: &PlacedOpening, thickness_m: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        let face = Surface::Opening(element, at);
        let line = opening.line;
        let direction = along(line);
        let aside = scale(left(direction), thickness_m / 2.0);
        let lit = self.lit(face);
        let thin = 0.09 * unit;
        self.shine(face, line, thickness_m, 0.9);
        let ground = vec![band(line, thickness_m)];
        self.polygon(Part::Plan, Some(Shown::Surface(face)), ground.clone(), lit.unwrap_or(quiet.room));
        // Drawn on a lit opening, lines must stand out from it.
        let ink = if lit.is_some() { quiet.sheet } else { quiet.wall_edge };
        let across = |part: f64| [add(line[0], scale(aside, part)), add(line[1], scale(aside, part))];
        match self.opening_kind(opening) {
            ConstructionKind::Door => self.leaf(element, line, aside),
            ConstructionKind::Vent => {
                for step in 1..6 {
                    let foot = add(line[0], scale(sub(line[1], line[0]), f64::from(step) / 6.0));
                    self.line(Part::Plan, &[sub(foot, scale(aside, 0.7)), add(foot, scale(aside, 0.7))], ink, thin);
                }
            }
            ConstructionKind::Open => {
                for part in [-1.0, 1.0] {
                    let stroke = Stroke { colour: quiet.wall_edge, width_m: thin, dash_m: Some([0.4 * unit; 2]) };
                    self.push(Part::Plan, None, Form::Line { points: across(part).to_vec(), stroke });
                }
            }
            _ => {
                for part in [-0.3, 0.3] {
                    self.line(Part::Plan, &across(part), ink, thin);
                }
            }
        }
        let stroke = Some(Stroke::full(quiet.wall_edge, thin));
        self.push(Part::Plan, None, Form::Polygon { rings: ground, fill: None, stroke });
        self.gap(element, at, line, aside);
        self.taken.push(Patch::around(&band(line, thickness_m)));
    }

    /// Light through the cracks: a spark across the wall at either jamb.
    fn gap(&mut self, element: ElementIndex, at: usize, line: [Point; 2], aside: Point) {
        let face = Surface::Gap(element, at);
        let Some(colour) = self.lit(face) else { return };
        let out = scale(left(along(line)), 0.55 * self.unit);
        for jamb in line {
            let spark = [sub(sub(jamb, aside), out), add(add(jamb, aside), out)];
            self.shine(face, spark, 0.2 * self.unit, 0.7);
            let stroke = Stroke::full(colour, 0.3 * self.unit);
            self.push(Part::Plan, Some(Shown::Surface(face)), Form::Line { points: spark.to_vec(), stroke });
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
            let within = |at: Point| (0..2).all(|axis| (swept.min[axis]..=swept.max[axis]).contains(&at[axis]));
            let marks = building.sources.iter().map(|placed| (placed.storey, placed.at));
            let marks = marks.chain(building.listeners.iter().map(|placed| (placed.storey, placed.at)));
            let crowded = marks.into_iter().any(|(storey, at)| storey == self.view.storey && within(at));
            let beyond = sides[usize::from(turn < 0.0)];
            let area_m2 = match &building.spaces[beyond.0].kind {
                SpaceKind::Room(room) => room.area_m2,
                SpaceKind::Outdoors | SpaceKind::Ground => -1e6,
            };
            // A door opens away from the shell before it.
            let shelled = building.elements[element.0].fronts[usize::from(turn < 0.0)].is_some();
            area_m2 - if crowded || shelled { 1e3 } else { 0.0 }
        };
        if score(1.0) >= score(-1.0) { 1.0 } else { -1.0 }
    }

    /// The door's own leaf, on the side it swings to.
    fn leaf(&mut self, element: ElementIndex, line: [Point; 2], aside: Point) {
        let turn = self.leaf_side(element, line, length(sub(line[1], line[0])));
        self.swung(line, scale(aside, turn), turn);
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
}
