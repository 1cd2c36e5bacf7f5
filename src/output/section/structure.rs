//! Earth, rooms with their names, the solids that are cut, and what closes the rooms behind the cut.

use crate::building::{ElementShape, SlabRole, SpaceKind};
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Part, Point, Shown, Stroke};
use crate::output::length::{self, area};
use crate::output::page::geometry::{Patch, hatch, united};
use crate::output::page::glyphs::Solid;
use crate::output::section::Canvas;
use crate::solve::Surface;

/// Storeys this high above the street at most stand on the ground, m: as slabs are built.
const ON_GROUND_M: f64 = 1.0;

impl Canvas<'_> {
    /// What the building stands in: hatched below the street, and under floors on the ground.
    pub(super) fn earth(&mut self) {
        let (unit, quiet) = (self.unit, self.quiet);
        let bottom = self.extent.min[1].min(-2.0 * unit);
        self.frame.include([self.extent.min[0], bottom]);
        let mut pieces = vec![Patch { min: [self.extent.min[0], bottom], max: [self.extent.max[0], 0.0] }.ring()];
        for run in self.view.parts.mass.iter().chain(self.view.parts.slabs.iter().map(|slab| &slab.patch)) {
            // Under a floor a little above the street the earth rises.
            let grounded = self.on_ground(run);
            if run.min[1] > 0.0 && grounded {
                pieces.push(Patch { min: [run.min[0], bottom], max: [run.max[0], run.min[1]] }.ring());
            }
        }
        for rings in united(pieces) {
            self.polygon(Part::Plan, None, rings.clone(), quiet.rule.faded(0.28));
            for line in hatch(&rings, 45.0, 0.8 * unit, 0.5) {
                self.line(Part::Plan, &line, quiet.rule.faded(0.8), 0.05 * unit);
            }
        }
    }

    /// True for the foot of a storey that stands on the ground.
    fn on_ground(&self, solid: &Patch) -> bool {
        let grounds = self.view.parts.slabs.iter().filter(|slab| {
            let shape = &self.building.elements[slab.element.0].shape;
            matches!(shape, ElementShape::Slab { role: SlabRole::Ground, level_m, .. } if *level_m <= ON_GROUND_M)
        });
        grounds.into_iter().any(|slab| {
            (slab.patch.min[1] - solid.min[1]).abs() < 1e-6
                && slab.patch.min[0] <= solid.max[0] + 0.1
                && solid.min[0] - 0.1 <= slab.patch.max[0]
        })
    }

    pub(super) fn rooms(&mut self) {
        let parts = self.view.parts;
        for room in &parts.rooms {
            let chosen = self.heard.space == room.space;
            let fill = if chosen { self.quiet.chosen_room } else { self.quiet.room };
            let shows = Some(Shown::Space(room.space));
            if let Some(bare) = room.bare {
                self.shell(room, bare);
            }
            self.polygon(Part::Plan, shows, vec![room.clear.ring()], fill);
            if chosen {
                self.own_room(&[room.clear.ring()]);
            }
        }
    }

    /// Names of rooms with their areas and heights, placed where nothing else is.
    pub(super) fn room_labels(&mut self) {
        let (building, units) = (self.building, self.look.units);
        let mut letter = b'a';
        for (at, space) in building.spaces.iter().enumerate() {
            let SpaceKind::Room(room) = &space.kind else { continue };
            // A room that is cut twice is named once, where there is most of it.
            let parts = self.view.parts.rooms.iter().filter(|part| part.space.0 == at).map(|part| part.clear);
            let Some(patch) = parts.max_by(|a, b| a.size()[0].total_cmp(&b.size()[0])) else { continue };
            // Sizes in one line, or in two where the room is narrow.
            let (area, high) = (area(room.area_m2, units), format!("{} high", length::write(room.height_m, units)));
            let sizes = format!("{area}, {high}");
            let fact = |text: &str| self.row(text, 1.0, false);
            let facts = [vec![fact(&sizes)], vec![fact(&area), fact(&high)]];
            if self.name_room(&space.name, &facts, &[patch.ring()], false) {
                continue;
            }
            // Too small for its name: a letter here, the name beside the section. What the cut only grazes goes without.
            let key = char::from(letter).to_string();
            let rows = [self.row(&key, 0.9, true)];
            if let Some(centre) = self.free_place(&rows, &[patch.ring()], 0.1) {
                letter = if letter < b'z' { letter + 1 } else { b'a' };
                self.remarks.push(format!("{key}: {}, {sizes}", space.name));
                self.rows(&rows, centre, false);
            }
        }
    }

    /// Walls and slabs, lit by what they pass.
    pub(super) fn structure(&mut self) {
        let parts = self.view.parts;
        let outline = united(parts.solids().map(|solid| solid.ring()).collect());
        let mut solids: Vec<Solid> = parts
            .walls
            .iter()
            .chain(&parts.slabs)
            .map(|solid| {
                let (line, thickness_m) = middle_line(&solid.patch);
                Solid { face: Surface::Element(solid.element), line, thickness_m, ring: solid.patch.ring() }
            })
            .collect();
        solids.sort_by(|a, b| self.glow.strength(a.face).total_cmp(&self.glow.strength(b.face)));
        self.solids(outline, solids);
    }

    /// What closes the rooms behind the cut: walls as a veil of their light, openings as thin frames.
    pub(super) fn behind(&mut self) {
        let (unit, quiet, parts) = (self.unit, self.quiet, self.view.parts);
        for wall in &parts.behind {
            let face = Surface::Element(wall.element);
            if let Some(colour) = self.lit(face) {
                let veil = colour.faded(veil(self.glow.position(face).unwrap_or(0.0)));
                self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![wall.patch.ring()], veil);
            }
        }
        for opening in &parts.windows_behind {
            let (face, gap) =
                (Surface::Opening(opening.element, opening.at), Surface::Gap(opening.element, opening.at));
            let fill = Some(self.lit(face).map_or(quiet.sheet.faded(0.4), |colour| colour.faded(0.42)));
            let edge = self.lit(gap).unwrap_or(quiet.wall_edge.faded(FRAME));
            let wide = if self.lit(gap).is_some() { 0.16 } else { 0.07 };
            let stroke = Some(Stroke::full(edge, wide * unit));
            let rings = vec![opening.patch.ring()];
            self.push(Part::Plan, Some(Shown::Surface(face)), Form::Polygon { rings, fill, stroke });
            // Names keep off what is lit.
            if self.lit(face).is_some() {
                self.taken.push(opening.patch);
            }
        }
    }

    /// The street beside the building, and a broken line where the cut begins or ends within it.
    pub(super) fn ground_line(&mut self) {
        let (unit, quiet) = (self.unit, self.quiet);
        let (extent, structure) = (self.extent, self.view.structure);
        let feet = self.view.parts.solids().filter(|solid| solid.min[1] <= ON_GROUND_M && solid.max[1] >= 0.0);
        let cellars =
            self.view.parts.rooms.iter().map(|room| room.clear).filter(|room| room.min[1] < 0.0 && room.max[1] > 0.0);
        let covered: Vec<[f64; 2]> = feet.chain(cellars).map(|patch| [patch.min[0], patch.max[0]]).collect();
        let runs = uncovered([extent.min[0], extent.max[0]], covered);
        for run in runs {
            self.line(Part::Plan, &[[run[0], 0.0], [run[1], 0.0]], quiet.soft_ink, 0.16 * unit);
        }
        for (at, broken) in self.view.broken.into_iter().enumerate() {
            if broken {
                let x = if at == 0 { structure.min[0] } else { structure.max[0] };
                let stroke = Stroke::dashed(quiet.soft_ink, 0.1 * unit, [1.2 * unit, 0.4 * unit]);
                self.stroke(Part::Plan, None, &[[x, structure.min[1] - unit], [x, structure.max[1] + unit]], stroke);
            }
        }
    }
}

/// Strength of the frame of an opening behind the cut that passes nothing.
pub(super) const FRAME: f64 = 0.45;

/// Strength of the veil of a wall behind the cut: the higher it stands on the legend, the thicker.
pub(super) fn veil(position: f64) -> f64 {
    0.05 + 0.15 * position.clamp(0.0, 1.0)
}

/// A box as a band along its longer side: its middle line and thickness.
pub(super) fn middle_line(patch: &Patch) -> ([Point; 2], f64) {
    let ([wide, high], centre) = (patch.size(), patch.centre());
    if wide > high {
        ([[patch.min[0], centre[1]], [patch.max[0], centre[1]]], high)
    } else {
        ([[centre[0], patch.min[1]], [centre[0], patch.max[1]]], wide)
    }
}

/// What is left of a run beside others.
fn uncovered(run: [f64; 2], mut covered: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    covered.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (mut left, mut from) = (vec![], run[0]);
    for [start, end] in covered {
        if start - from > SEAM_M {
            left.push([from, start]);
        }
        from = from.max(end);
    }
    if run[1] - from > SEAM_M {
        left.push([from, run[1]]);
    }
    left
}

/// Gaps no wider than this between walls and floors are no open ground, m.
const SEAM_M: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::uncovered;

    #[test]
    fn the_street_goes_on_between_two_houses() {
        let left = uncovered([0.0, 20.0], vec![[12.0, 18.0], [2.0, 5.0], [5.01, 8.0]]);
        assert_eq!(left, [[0.0, 2.0], [8.0, 12.0], [18.0, 20.0]]);
        assert_eq!(uncovered([0.0, 4.0], vec![]), [[0.0, 4.0]]);
    }
}
