//! Openings that are cut: breaks in the wall between sill and head, with what stands before them; and inner shells, the gap and the leaves
//! of a room within a room.

use crate::building::{ElementShape, OpeningFront, SpaceIndex};
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Part, Shown, Stroke};
use crate::output::page::geometry::{Patch, along, dot, left};
use crate::output::page::glyphs::{Break, LEAST_LEAF};
use crate::output::section::Canvas;
use crate::output::section::parts::{CutOpening, CutRoom};
use crate::scene::Cover;
use crate::solve::Surface;

impl Canvas<'_> {
    pub(super) fn openings(&mut self) {
        let parts = self.view.parts;
        for opening in &parts.openings {
            self.opening_cut(opening);
            self.fronts(opening);
        }
    }

    fn opening_cut(&mut self, found: &CutOpening) {
        let Patch { min: [left, sill], max: [right, head] } = found.patch;
        let middle = 0.5 * (left + right);
        let line = [[middle, sill], [middle, head]];
        let opening = &self.building.elements[found.element.0].openings[found.at];
        let (aside, ring) = ([0.5 * (right - left), 0.0], found.patch.ring());
        let hole = Break { element: found.element, at: found.at, opening, line, aside, ring, bars: 4 };
        self.opening(&hole, |canvas, ink| canvas.line(Part::Plan, &line, ink, 0.24 * canvas.unit));
    }

    /// Covers and doors of shells, on the sides they stand on.
    fn fronts(&mut self, found: &CutOpening) {
        let element = &self.building.elements[found.element.0];
        let ElementShape::Wall { line, .. } = &element.shape else { return };
        let normal = left(along(*line));
        let towards = dot(normal, self.view.cut.direction());
        for (side, fronts) in element.openings[found.at].fronts.iter().enumerate() {
            // Which way along the cut leads into the room on this side; a wall that is cut lengthwise has none.
            let out = if side == 0 { towards } else { -towards };
            if out.abs() < 0.2 {
                continue;
            }
            for front in fronts {
                match front {
                    OpeningFront::Cover(cover) => self.cover(found, cover, out),
                    OpeningFront::Leaf { gap_mm, .. } => {
                        self.shell_opening(found, element.sides[side], gap_mm / 1000.0, out);
                    }
                    OpeningFront::Shell(_) => {}
                }
            }
        }
    }

    /// A thin bar on the room's side; dashed while it stands aside.
    fn cover(&mut self, found: &CutOpening, cover: &Cover, out: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        let deep_m = self.thickness_m(&cover.construction).max(0.26 * unit);
        let near_m = (cover.gap_mm / 1000.0).max(0.3 * unit);
        let more_m = cover.overlap_mm / 1000.0;
        let bar = beside(&found.patch, out, near_m, deep_m).taller(more_m);
        let face = Surface::Opening(found.element, found.at);
        if cover.on {
            self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![bar.ring()], quiet.soft_ink);
        } else {
            let x = bar.centre()[0];
            self.cover_off(face, &[[x, bar.min[1]], [x, bar.max[1]]]);
        }
        self.taken.push(bar.grown(0.15 * unit));
    }

    /// The gap and the leaves round what is left of a room.
    pub(super) fn shell(&mut self, room: &CutRoom, bare: Patch) {
        let (unit, quiet) = (self.unit, self.quiet);
        let shows = Some(Shown::Space(room.space));
        self.polygon(Part::Plan, shows, vec![bare.ring()], quiet.sheet);
        let [wall_m, floor_m, ceiling_m] = self.leaves_m(room.space);
        // Only where the shell takes something, and never beyond what it takes.
        let deep = |leaf_m: f64, taken_m: f64| {
            if taken_m > 0.01 && leaf_m > 0.0 { leaf_m.max(LEAST_LEAF * unit).min(taken_m) } else { 0.0 }
        };
        let (clear, [left, foot], [right, top]) = (room.clear, bare.min, bare.max);
        let outer = Patch {
            min: [clear.min[0] - deep(wall_m, clear.min[0] - left), clear.min[1] - deep(floor_m, clear.min[1] - foot)],
            max: [
                clear.max[0] + deep(wall_m, right - clear.max[0]),
                clear.max[1] + deep(ceiling_m, top - clear.max[1]),
            ],
        };
        let stroke = Some(Stroke::full(quiet.wall_edge, 0.07 * unit));
        let rings = vec![outer.ring(), clear.ring()];
        self.push(Part::Plan, shows, Form::Polygon { rings, fill: Some(quiet.wall), stroke });
    }

    /// A break in the shell's leaf before an opening, with its own door or pane.
    fn shell_opening(&mut self, found: &CutOpening, space: SpaceIndex, gap_m: f64, out: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        let deep_m = self.leaves_m(space)[0].max(LEAST_LEAF * unit);
        let mut hole = beside(&found.patch, out, gap_m, deep_m);
        // A cut that ends in the doorway ends there.
        let end = self.view.cut.length_m();
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

/// A strip beside a box, `near_m` off it and `deep_m` wide, on its right (`out` above 0) or left, as high as the box.
fn beside(patch: &Patch, out: f64, near_m: f64, deep_m: f64) -> Patch {
    let [from, to] = if out > 0.0 {
        [patch.max[0] + near_m, patch.max[0] + near_m + deep_m]
    } else {
        [patch.min[0] - near_m - deep_m, patch.min[0] - near_m]
    };
    Patch { min: [from, patch.min[1]], max: [to, patch.max[1]] }
}
