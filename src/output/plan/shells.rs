//! Inner shells and cover panels: quiet lines beside the walls they stand before.

use crate::building::{Bare, OpeningFront, PlacedOpening, RoomSpace, SpaceIndex};
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Part, Point, Shown, Stroke};
use crate::output::page::geometry::{Patch, WallBand, add, along, band, dot, left, length, scale, sub};
use crate::output::page::glyphs::LEAST_LEAF;
use crate::output::plan::Canvas;
use crate::scene::{Cover, ShellOpening};
use crate::solve::Surface;

impl Canvas<'_> {
    /// The gap and the leaf of a room's shell, below the room that is left.
    pub(super) fn shell_band(&mut self, space: SpaceIndex, room: &RoomSpace, before: &Bare) {
        let (unit, quiet) = (self.unit, self.quiet);
        self.polygon(Part::Plan, Some(Shown::Space(space)), before.outline.clone(), quiet.sheet);
        let leaf_m = self.leaves_m(space)[0].max(LEAST_LEAF * unit);
        // The room is drawn over its inner half, walls over what lies beyond the gap.
        let stroke = Some(Stroke::full(quiet.wall_edge, 2.0 * leaf_m));
        self.push(Part::Plan, None, Form::Polygon { rings: room.outline.clone(), fill: None, stroke });
    }

    /// Doors of shells and covers before an opening.
    pub(super) fn fronts(&mut self, element: Surface, opening: &PlacedOpening, wall: WallBand, sides: [SpaceIndex; 2]) {
        for (side, fronts) in opening.fronts.iter().enumerate() {
            // From the wall's middle line into the room.
            let out = scale(left(along(wall.line)), if side == 0 { 1.0 } else { -1.0 });
            for front in fronts {
                match front {
                    OpeningFront::Cover(cover) => self.cover(element, opening, cover, wall.thickness_m, out),
                    OpeningFront::Leaf { leaf, gap_mm } => {
                        let near_m = 0.5 * wall.thickness_m + gap_mm / 1000.0;
                        self.shell_door(opening, leaf, near_m, out, sides[side]);
                    }
                    OpeningFront::Shell(_) => {}
                }
            }
        }
    }

    /// A break in the shell's leaf, with a door's leaf standing open in the room.
    fn shell_door(&mut self, opening: &PlacedOpening, leaf: &ShellOpening, near_m: f64, out: Point, space: SpaceIndex) {
        let (unit, quiet) = (self.unit, self.quiet);
        let deep_m = self.leaves_m(space)[0].max(LEAST_LEAF * unit);
        let shift = scale(out, near_m + 0.5 * deep_m);
        let line = opening.line.map(|end| add(end, shift));
        let ground = vec![band(line, deep_m + 0.06 * unit)];
        self.polygon(Part::Plan, Some(Shown::Space(space)), ground, quiet.room);
        let aside = scale(out, 0.5 * deep_m);
        let jamb = 0.09 * unit;
        for end in line {
            self.line(Part::Plan, &[sub(end, aside), add(end, aside)], quiet.wall_edge, jamb);
        }
        let door = self.thickness_m(&leaf.construction) > 0.0 && opening.sill_m < 0.05;
        if door {
            self.swung(line, aside, if dot(out, left(along(line))) > 0.0 { 1.0 } else { -1.0 });
        } else {
            self.line(Part::Plan, &line, quiet.wall_edge, 0.09 * unit);
        }
    }

    /// A thin bar on the room's side, in its pieces; dashed while it stands aside.
    fn cover(&mut self, face: Surface, opening: &PlacedOpening, cover: &Cover, thickness_m: f64, out: Point) {
        let (unit, quiet) = (self.unit, self.quiet);
        let deep_m = self.thickness_m(&cover.construction).max(0.26 * unit);
        let near_m = 0.5 * thickness_m + (cover.gap_mm / 1000.0).max(0.3 * unit);
        let direction = along(opening.line);
        let more = scale(direction, cover.overlap_mm / 1000.0);
        let shift = scale(out, near_m + 0.5 * deep_m);
        let [from, to] = [sub(opening.line[0], more), add(opening.line[1], more)].map(|end| add(end, shift));
        if !cover.on {
            self.cover_off(face, &[from, to]);
        } else {
            let pieces = cover.pieces[0].clamp(1, 12);
            let joint = scale(direction, 0.12 * unit);
            let step = scale(sub(to, from), 1.0 / f64::from(pieces));
            for piece in 0..pieces {
                let start = add(from, scale(step, f64::from(piece)));
                let end = add(start, step);
                let start = if piece == 0 { start } else { add(start, joint) };
                let end = if piece + 1 == pieces { end } else { sub(end, joint) };
                if length(sub(end, start)) > 0.0 {
                    let ring = band([start, end], deep_m);
                    self.polygon(Part::Plan, Some(Shown::Surface(face)), vec![ring], quiet.soft_ink);
                }
            }
        }
        self.taken.push(Patch::around(&band([from, to], deep_m)).grown(0.15 * unit));
    }
}
