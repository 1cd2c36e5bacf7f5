//! Ducts: two thin dashed lines from mouth to mouth, lit by what they pass, with a ring at each mouth on the shown storey.

use crate::solve::Surface;

use super::geometry::{Patch, add, along, between, left, length, scale, sub};
use super::{Canvas, Form, Part, Point, Shown, Stroke};

impl Canvas<'_> {
    pub(super) fn ducts(&mut self) {
        let building = self.building;
        let unit = self.unit;
        for (at, duct) in building.ducts.iter().enumerate() {
            let face = Surface::Duct(at);
            if !self.visible(face) {
                continue;
            }
            let line: [Point; 2] = duct.ends.map(|end| end.at);
            let colour = self.lit(face).unwrap_or(self.quiet.wall_edge);
            let shows = Some(Shown::Surface(face));
            let stroke = Stroke { colour, width_m: 0.12 * unit, dash_m: Some([0.6 * unit, 0.35 * unit]) };
            // One that goes straight up has no length in the plan.
            if length(sub(line[1], line[0])) > 0.01 {
                let aside = scale(left(along(line)), 0.22 * unit);
                for points in [line.map(|point| add(point, aside)), line.map(|point| sub(point, aside))] {
                    self.push(Part::Plan, shows, Form::Line { points: points.to_vec(), stroke });
                }
            }
            for end in duct.ends.iter().filter(|end| end.storey == self.view.storey) {
                let stroke = Some(Stroke::full(colour, 0.14 * unit));
                let fill = Some(self.quiet.room);
                self.push(Part::Plan, shows, Form::Circle { centre: end.at, radius_m: 0.4 * unit, fill, stroke });
                self.frame.include(sub(end.at, [unit; 2]));
                self.frame.include(add(end.at, [unit; 2]));
                self.taken.push(Patch::about(end.at, 0.9 * unit, 0.9 * unit));
            }
        }
    }

    /// The numbers of listed ducts, on the line or beside it.
    pub(super) fn duct_badges(&mut self) {
        let unit = self.unit;
        for (number, face) in self.numbered() {
            let Surface::Duct(at) = face else { continue };
            let Some(duct) = self.building.ducts.get(at).filter(|_| self.visible(face)) else { continue };
            let line: [Point; 2] = duct.ends.map(|end| end.at);
            let out = if length(sub(line[1], line[0])) > 0.01 { left(along(line)) } else { [1.0, 0.0] };
            let out = scale(out, 1.5 * unit);
            let feet = [0.5, 0.35, 0.65, 0.2, 0.8].map(|part| between(line[0], line[1], part));
            let places: Vec<Point> = feet.iter().flat_map(|foot| [*foot, sub(*foot, out), add(*foot, out)]).collect();
            let patch = |centre: Point| Patch::about(centre, 1.7 * unit, 1.7 * unit);
            let free = places.iter().find(|place| !self.taken.iter().any(|taken| taken.meets(&patch(**place))));
            if let Some(centre) = free.or(places.first()).copied() {
                self.taken.push(patch(centre));
                self.badge(Part::Plan, centre, number, Some(face));
            }
        }
    }
}
