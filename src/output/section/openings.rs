//! Openings that are cut: breaks in the wall between sill and head, with what stands before them.

use crate::building::{ElementShape, OpeningFront};
use crate::catalogue::ConstructionKind;
use crate::output::sheet::geometry::{dot, left};
use crate::scene::Cover;
use crate::solve::Surface;

use super::sawn::SawnOpening;
use super::{Canvas, Form, Part, Patch, Shown, Stroke};

impl Canvas<'_> {
    pub(super) fn openings(&mut self) {
        let sawn = self.view.sawn;
        for opening in &sawn.openings {
            self.opening(opening);
            self.fronts(opening);
            self.taken.push(opening.patch);
        }
    }

    fn opening(&mut self, sawn: &SawnOpening) {
        let (unit, quiet) = (self.unit, self.quiet);
        let face = Surface::Opening(sawn.element, sawn.at);
        let Patch { min: [left, sill], max: [right, head] } = sawn.patch;
        let lit = self.lit(face);
        let (middle, wide, thin) = (0.5 * (left + right), right - left, 0.09 * unit);
        self.shine(face, [[middle, sill], [middle, head]], wide, 0.9);
        let rings = vec![sawn.patch.ring()];
        self.polygon(Part::Plan, Some(Shown::Surface(face)), rings.clone(), lit.unwrap_or(quiet.room));
        // Drawn on a lit opening, lines must stand out from it.
        let ink = if lit.is_some() { quiet.sheet } else { quiet.wall_edge };
        let opening = &self.building.elements[sawn.element.0].openings[sawn.at];
        match self.opening_kind(opening) {
            ConstructionKind::Door => self.line(Part::Plan, &[[middle, sill], [middle, head]], ink, 0.24 * unit),
            ConstructionKind::Vent => {
                for step in 1..5 {
                    let y = sill + (head - sill) * f64::from(step) / 5.0;
                    self.line(Part::Plan, &[[left + 0.15 * wide, y], [right - 0.15 * wide, y]], ink, thin);
                }
            }
            ConstructionKind::Open => {
                for x in [left, right] {
                    let stroke = Stroke { colour: quiet.wall_edge, width_m: thin, dash_m: Some([0.4 * unit; 2]) };
                    self.push(Part::Plan, None, Form::Line { points: vec![[x, sill], [x, head]], stroke });
                }
            }
            _ => {
                for part in [-0.15, 0.15] {
                    let x = middle + part * wide;
                    self.line(Part::Plan, &[[x, sill], [x, head]], ink, thin);
                }
            }
        }
        let stroke = Some(Stroke::full(quiet.wall_edge, thin));
        self.push(Part::Plan, None, Form::Polygon { rings, fill: None, stroke });
        self.gap(sawn);
    }

    /// Light through the cracks: a spark across the wall at sill and head.
    fn gap(&mut self, sawn: &SawnOpening) {
        let face = Surface::Gap(sawn.element, sawn.at);
        let Some(colour) = self.lit(face) else { return };
        let out = 0.55 * self.unit;
        for y in [sawn.patch.min[1], sawn.patch.max[1]] {
            let spark = [[sawn.patch.min[0] - out, y], [sawn.patch.max[0] + out, y]];
            self.shine(face, spark, 0.2 * self.unit, 0.7);
            let stroke = Stroke::full(colour, 0.3 * self.unit);
            self.push(Part::Plan, Some(Shown::Surface(face)), Form::Line { points: spark.to_vec(), stroke });
        }
    }

    /// Covers and doors of shells, on the sides they stand on.
    fn fronts(&mut self, sawn: &SawnOpening) {
        let element = &self.building.elements[sawn.element.0];
        let ElementShape::Wall { line, .. } = &element.shape else { return };
        let normal = left(super::geometry::along(*line));
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
                        let space = element.sides[side];
                        self.shell_opening(sawn, space, gap_mm / 1000.0, out);
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
            let stroke =
                Stroke { colour: quiet.soft_ink, width_m: 0.12 * unit, dash_m: Some([0.5 * unit, 0.4 * unit]) };
            let points = vec![[x, bar.min[1]], [x, bar.max[1]]];
            self.push(Part::Plan, Some(Shown::Surface(face)), Form::Line { points, stroke });
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
