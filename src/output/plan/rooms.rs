//! Rooms: their fill, lit by floor and ceiling.

use crate::building::{ElementIndex, ElementShape, SpaceIndex, SpaceKind};
use crate::solve::Surface;

use super::geometry::hatch;
use super::{Canvas, Colour, Form, Part, Point, Shown, Stroke};

/// Which way a slab lies from the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lies {
    Under,
    Over,
}

/// A slab of a room that is lit.
pub(super) struct LitSlab {
    pub(super) element: ElementIndex,
    pub(super) lies: Lies,
    pub(super) colour: Colour,
    strength: f64,
}

impl Canvas<'_> {
    /// The slabs of a room that are worth a colour, the weakest first.
    pub(super) fn lit_slabs(&self, space: SpaceIndex) -> Vec<LitSlab> {
        let mut slabs: Vec<LitSlab> = self
            .building
            .facing(space)
            .filter_map(|element| {
                let found = &self.building.elements[element.0];
                let face = Surface::Element(element);
                let lies = if found.sides[0] == space { Lies::Under } else { Lies::Over };
                let slab = matches!(found.shape, ElementShape::Slab { .. });
                let colour = self.lit(face).filter(|_| slab)?;
                Some(LitSlab { element, lies, colour, strength: self.glow.strength(face) })
            })
            .collect();
        slabs.sort_by(|a, b| a.strength.total_cmp(&b.strength));
        slabs
    }

    pub(super) fn rooms(&mut self) {
        let building = self.building;
        for (at, space) in building.spaces.iter().enumerate() {
            let SpaceKind::Room(room) = &space.kind else { continue };
            if room.storey != self.view.storey {
                continue;
            }
            let here = SpaceIndex(at);
            let chosen = self.heard.space == here;
            let fill = if chosen { self.quiet.chosen_room } else { self.quiet.room };
            if let Some(before) = &room.before_shell {
                self.shell_band(here, room, before);
            }
            self.polygon(Part::Plan, Some(Shown::Space(here)), room.outline.clone(), fill);
            let slabs = self.lit_slabs(here);
            for slab in &slabs {
                self.tint(slab);
            }
            for slab in &slabs {
                self.hatching(slab);
            }
            // Someone in the source's own room hears it through the air alone; what comes by no one face comes from all round.
            for face in [Surface::Air, Surface::Building] {
                if chosen && let Some(colour) = self.lit(face) {
                    self.polygon(Part::Plan, Some(Shown::Surface(face)), room.outline.clone(), colour.faded(0.16));
                }
            }
        }
    }

    fn pieces(&self, element: ElementIndex) -> Vec<Vec<Vec<Point>>> {
        match &self.building.elements[element.0].shape {
            ElementShape::Slab { pieces, .. } => pieces.clone(),
            ElementShape::Wall { .. } => vec![],
        }
    }

    /// A veil of the leak's colour; thin, so that names and hatching stay legible on it.
    fn tint(&mut self, slab: &LitSlab) {
        for rings in self.pieces(slab.element) {
            self.polygon(
                Part::Plan,
                Some(Shown::Surface(Surface::Element(slab.element))),
                rings,
                slab.colour.faded(0.22),
            );
        }
    }

    /// Lines in the exact colour: full for the floor, dashed for what is overhead, along the joists where there are any.
    fn hatching(&mut self, slab: &LitSlab) {
        let (angle, unit) = (self.building.elements[slab.element.0].joist_direction_deg.unwrap_or(45.0), self.unit);
        let (phase, dash_m) = match slab.lies {
            Lies::Under => (0.25, None),
            Lies::Over => (0.75, Some([0.7 * unit, 0.7 * unit])),
        };
        let stroke = Stroke { colour: slab.colour, width_m: 0.13 * unit, dash_m };
        for rings in self.pieces(slab.element) {
            for points in hatch(&rings, angle, 1.5 * unit, phase) {
                self.push(Part::Plan, None, Form::Line { points: points.to_vec(), stroke });
            }
        }
    }
}
