//! Inner shells: the gap and the leaves of a room within a room.

use crate::building::{ElementShape, SpaceIndex};
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Part, Shown, Stroke};
use crate::output::page::geometry::Patch;
use crate::output::section::openings::beside;
use crate::output::section::page::Canvas;
use crate::output::section::sawn::{SawnOpening, SawnRoom};

/// A leaf thinner than this on the page could not be seen, letters.
const LEAST_LEAF: f64 = 0.16;

/// Thickness of a shell's leaves, m; 0 where it has none.
#[derive(Debug, Clone, Copy, Default)]
struct Leaves {
    wall_m: f64,
    floor_m: f64,
    ceiling_m: f64,
}

impl Canvas<'_> {
    /// The gap and the leaves round what is left of a room.
    pub(super) fn shell(&mut self, room: &SawnRoom, bare: Patch) {
        let (unit, quiet) = (self.unit, self.quiet);
        let shows = Some(Shown::Space(room.space));
        self.polygon(Part::Plan, shows, vec![bare.ring()], quiet.sheet);
        let leaves = self.leaves(room.space);
        // Only where the shell takes something, and never beyond what it takes.
        let deep = |leaf_m: f64, taken_m: f64| {
            if taken_m > 0.01 && leaf_m > 0.0 { leaf_m.max(LEAST_LEAF * unit).min(taken_m) } else { 0.0 }
        };
        let (clear, [left, foot], [right, top]) = (room.clear, bare.min, bare.max);
        let outer = Patch {
            min: [
                clear.min[0] - deep(leaves.wall_m, clear.min[0] - left),
                clear.min[1] - deep(leaves.floor_m, clear.min[1] - foot),
            ],
            max: [
                clear.max[0] + deep(leaves.wall_m, right - clear.max[0]),
                clear.max[1] + deep(leaves.ceiling_m, top - clear.max[1]),
            ],
        };
        let stroke = Some(Stroke::full(quiet.wall_edge, 0.07 * unit));
        let rings = vec![outer.ring(), clear.ring()];
        self.push(Part::Plan, shows, Form::Polygon { rings, fill: Some(quiet.wall), stroke });
    }

    fn leaves(&self, space: SpaceIndex) -> Leaves {
        let mut leaves = Leaves::default();
        for element in self.building.elements.iter() {
            for (side, front) in element.sides.iter().zip(&element.fronts).enumerate() {
                let (0 | 1, (here, Some(front))) = (side, front) else { continue };
                if *here != space {
                    continue;
                }
                let deep_m = self.thickness_m(&front.face.construction);
                let leaf = match (&element.shape, side) {
                    (ElementShape::Wall { .. }, _) => &mut leaves.wall_m,
                    (ElementShape::Slab { .. }, 0) => &mut leaves.floor_m,
                    (ElementShape::Slab { .. }, _) => &mut leaves.ceiling_m,
                };
                *leaf = leaf.max(deep_m);
            }
        }
        leaves
    }

    /// A break in the shell's leaf before an opening, with its own door or pane.
    pub(super) fn shell_opening(&mut self, sawn: &SawnOpening, space: SpaceIndex, gap_m: f64, out: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        let deep_m = self.leaves(space).wall_m.max(LEAST_LEAF * unit);
        let mut hole = beside(&sawn.patch, out, gap_m, deep_m);
        // A cut that ends in the doorway ends there.
        let end = self.view.view.cut.length_m();
        (hole.min[0], hole.max[0]) = (hole.min[0].clamp(0.0, end), hole.max[0].clamp(0.0, end));
        if hole.max[0] - hole.min[0] <= 0.0 {
            return;
        }
        let shows = Some(Shown::Space(space));
        let stroke = Some(Stroke::full(quiet.wall_edge, 0.07 * unit));
        let rings = vec![hole.ring()];
        self.push(Part::Plan, shows, Form::Polygon { rings, fill: Some(quiet.room), stroke });
        let x = hole.centre()[0];
        self.line(Part::Plan, &[[x, hole.min[1]], [x, hole.max[1]]], quiet.wall_edge, 0.12 * unit);
    }
}
