//! Openings that are cut: breaks in the wall between sill and head, with what stands before them.

use crate::building::{ElementShape, OpeningFront};
use crate::output::draw::Draw;
use crate::output::drawing::{Part, Shown};
use crate::output::page::geometry::{Patch, along, dot, left};
use crate::output::page::glyphs::Break;
use crate::output::section::page::Canvas;
use crate::output::section::sawn::SawnOpening;
use crate::scene::Cover;
use crate::solve::Surface;

impl Canvas<'_> {
    pub(super) fn openings(&mut self) {
        let sawn = self.view.sawn;
        for opening in &sawn.openings {
            self.opening_cut(opening);
            self.fronts(opening);
        }
    }

    fn opening_cut(&mut self, sawn: &SawnOpening) {
        let Patch { min: [left, sill], max: [right, head] } = sawn.patch;
        let middle = 0.5 * (left + right);
        let line = [[middle, sill], [middle, head]];
        let opening = &self.building.elements[sawn.element.0].openings[sawn.at];
        let (aside, ring) = ([0.5 * (right - left), 0.0], sawn.patch.ring());
        let hole = Break { element: sawn.element, at: sawn.at, opening, line, aside, ring, bars: 4 };
        self.opening(&hole, |canvas, ink| canvas.line(Part::Plan, &line, ink, 0.24 * canvas.unit));
    }

    /// Covers and doors of shells, on the sides they stand on.
    fn fronts(&mut self, sawn: &SawnOpening) {
        let element = &self.building.elements[sawn.element.0];
        let ElementShape::Wall { line, .. } = &element.shape else { return };
        let normal = left(along(*line));
        let towards = dot(normal, self.view.view.cut.direction());
        for (side, fronts) in element.openings[sawn.at].fronts.iter().enumerate() {
            // Which way along the cut leads into the room on this side; a wall that is cut lengthwise has none.
            let out = if side == 0 { towards } else { -towards };
            if out.abs() < 0.2 {
                continue;
            }
            for front in fronts {
                match front {
                    OpeningFront::Cover(cover) => self.cover(sawn, cover, out),
                    OpeningFront::Leaf { gap_mm, .. } => {
                        self.shell_opening(sawn, element.sides[side], gap_mm / 1000.0, out);
                    }
                    OpeningFront::Shell(_) => {}
                }
            }
        }
    }

    /// A thin bar on the room's side; dashed while it stands aside.
    fn cover(&mut self, sawn: &SawnOpening, cover: &Cover, out: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        let deep_m = self.thickness_m(&cover.construction).max(0.26 * unit);
        let near_m = (cover.gap_mm / 1000.0).max(0.3 * unit);
        let more_m = cover.overlap_mm / 1000.0;
        let bar = beside(&sawn.patch, out, near_m, deep_m).taller(more_m);
        let face = Surface::Opening(sawn.element, sawn.at);
        if cover.on {
            self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![bar.ring()], quiet.soft_ink);
        } else {
            let x = bar.centre()[0];
            self.cover_off(face, &[[x, bar.min[1]], [x, bar.max[1]]]);
        }
        self.taken.push(bar.grown(0.15 * unit));
    }
}

/// A strip beside a box, `near_m` off it and `deep_m` wide, on its right (`out` above 0) or left, as high as the box.
pub(super) fn beside(patch: &Patch, out: f64, near_m: f64, deep_m: f64) -> Patch {
    let [from, to] = if out > 0.0 {
        [patch.max[0] + near_m, patch.max[0] + near_m + deep_m]
    } else {
        [patch.min[0] - near_m - deep_m, patch.min[0] - near_m]
    };
    Patch { min: [from, patch.min[1]], max: [to, patch.max[1]] }
}
