//! Earth, rooms, and the solids that are cut.

use crate::building::ElementShape;
use crate::output::sheet::geometry::{hatch, united};
use crate::solve::Surface;

use super::sawn::SawnElement;
use super::{Canvas, Form, Part, Patch, Point, Shown, Stroke};

/// Storeys this high above the street at most stand on the ground, m: as slabs are built.
const ON_GROUND_M: f64 = 1.0;

impl Canvas<'_> {
    /// What the building stands in: hatched below the street, and under floors on the ground.
    pub(super) fn earth(&mut self) {
        let (unit, quiet) = (self.unit, self.quiet);
        let bottom = self.extent.min[1].min(-2.0 * unit);
        self.frame.include([self.extent.min[0], bottom]);
        let mut pieces = vec![Patch { min: [self.extent.min[0], bottom], max: [self.extent.max[0], 0.0] }.ring()];
        for run in self.view.sawn.mass.iter().chain(self.view.sawn.slabs.iter().map(|slab| &slab.patch)) {
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
        let grounds = self.view.sawn.slabs.iter().filter(|slab| {
            let shape = &self.building.elements[slab.element.0].shape;
            matches!(shape, ElementShape::Slab { role: crate::building::SlabRole::Ground, level_m, .. } if *level_m <= ON_GROUND_M)
        });
        grounds.into_iter().any(|slab| {
            (slab.patch.min[1] - solid.min[1]).abs() < 1e-6
                && slab.patch.min[0] <= solid.max[0] + 0.1
                && solid.min[0] - 0.1 <= slab.patch.max[0]
        })
    }

    pub(super) fn rooms(&mut self) {
        let sawn = self.view.sawn;
        for room in &sawn.rooms {
            let chosen = self.heard.space == room.space;
            let fill = if chosen { self.quiet.chosen_room } else { self.quiet.room };
            let shows = Some(Shown::Space(room.space));
            if let Some(bare) = room.bare {
                self.shell(room, bare);
            }
            self.polygon(Part::Plan, shows, vec![room.clear.ring()], fill);
            // Someone in the source's own room hears it through the air alone; what comes by no one face comes from all round.
            for face in [Surface::Air, Surface::Building] {
                if chosen && let Some(colour) = self.lit(face) {
                    let shows = Some(Shown::Surface(face));
                    self.polygon(Part::Plan, shows, vec![room.clear.ring()], colour.faded(0.16));
                }
            }
        }
    }

    /// Walls and slabs, lit by what they pass, the brightest last.
    pub(super) fn structure(&mut self) {
        let (unit, quiet, sawn) = (self.unit, self.quiet, self.view.sawn);
        let outline = united(sawn.solids().map(|solid| solid.ring()).collect());
        let mut faces: Vec<(SawnElement, f64)> = sawn
            .walls
            .iter()
            .chain(&sawn.slabs)
            .map(|solid| (*solid, self.glow.strength(Surface::Element(solid.element))))
            .collect();
        faces.sort_by(|a, b| a.1.total_cmp(&b.1));
        for (solid, _) in &faces {
            let (line, thickness_m) = middle_line(&solid.patch);
            self.shine(Surface::Element(solid.element), line, thickness_m, 1.0);
        }
        for rings in &outline {
            self.polygon(Part::Plan, None, rings.clone(), quiet.wall);
        }
        for (solid, _) in &faces {
            let face = Surface::Element(solid.element);
            let fill = self.lit(face).unwrap_or(quiet.wall);
            self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![solid.patch.ring()], fill);
        }
        for rings in outline {
            let stroke = Some(Stroke::full(quiet.wall_edge, 0.09 * unit));
            self.push(Part::Plan, None, Form::Polygon { rings, fill: None, stroke });
        }
    }

    /// The street beside the building, and a broken line where the cut begins or ends within it.
    pub(super) fn ground_line(&mut self) {
        let (unit, quiet) = (self.unit, self.quiet);
        let (extent, structure) = (self.extent, self.view.structure);
        let feet = self.view.sawn.solids().filter(|solid| solid.min[1] <= ON_GROUND_M && solid.max[1] >= 0.0);
        let cellars =
            self.view.sawn.rooms.iter().map(|room| room.clear).filter(|room| room.min[1] < 0.0 && room.max[1] > 0.0);
        let covered: Vec<[f64; 2]> = feet.chain(cellars).map(|patch| [patch.min[0], patch.max[0]]).collect();
        let runs = uncovered([extent.min[0], extent.max[0]], covered);
        for run in runs {
            self.line(Part::Plan, &[[run[0], 0.0], [run[1], 0.0]], quiet.soft_ink, 0.16 * unit);
        }
        for (at, broken) in self.view.broken.into_iter().enumerate() {
            if broken {
                let x = if at == 0 { structure.min[0] } else { structure.max[0] };
                let stroke =
                    Stroke { colour: quiet.soft_ink, width_m: 0.1 * unit, dash_m: Some([1.2 * unit, 0.4 * unit]) };
                let points = vec![[x, structure.min[1] - unit], [x, structure.max[1] + unit]];
                self.push(Part::Plan, None, Form::Line { points, stroke });
            }
        }
    }
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
