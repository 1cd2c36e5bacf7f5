//! Heights: a chain of clear heights and floors on the left, the storeys' levels on the right; below, the run of the lowest walls.

use std::collections::BTreeSet;

use crate::building::ElementShape;
use crate::output::draw::Draw;
use crate::output::drawing::{Lettering, Part};
use crate::output::length::{Units, dimension};
use crate::output::lettering::width;
use crate::output::names;
use crate::output::page::chain::{BELOW, LEFT};
use crate::output::page::geometry::Patch;
use crate::output::section::Canvas;
use crate::output::words;

/// Breaks nearer than this are one, m.
const SAME_M: f64 = 0.03;

impl Canvas<'_> {
    pub(super) fn levels(&mut self) {
        let rooms = self.view.parts.rooms.iter().filter_map(|room| names::room(self.building, room.space));
        let storeys: BTreeSet<usize> = rooms.map(|room| room.storey).collect();
        let Some(lowest) = storeys.first().copied() else { return };
        let (unit, drawn, structure) = (self.unit, self.frame, self.view.structure);
        let mut heights = vec![0.0];
        for storey in storeys.iter().map(|at| &self.scene.storeys[*at]) {
            heights.extend([storey.level_m, storey.level_m + storey.height_m]);
        }
        let heights = sorted(heights);
        // Lines to the walls, but not through someone who stands before them.
        let edge = if structure.min[0] - drawn.min[0] > 8.0 * unit { drawn.min[0] } else { structure.min[0] };
        self.chain(LEFT, &heights, -drawn.min[0] + 2.0 * unit, -edge);
        let mut runs = vec![structure.min[0], structure.max[0]];
        for wall in &self.view.parts.walls {
            let shape = &self.building.elements[wall.element.0].shape;
            if matches!(shape, ElementShape::Wall { storey, .. } if *storey == lowest) {
                runs.extend([wall.patch.min[0], wall.patch.max[0]]);
            }
        }
        let runs = sorted(runs);
        if runs.len() > 1 {
            self.chain(BELOW, &runs, -drawn.min[1] + 1.2 * unit, -drawn.min[1] - 0.5 * unit);
        }
        self.level_marks(&storeys);
    }

    /// A triangle on each storey's walking surface, with its height above the street.
    fn level_marks(&mut self, storeys: &BTreeSet<usize>) {
        let (unit, quiet) = (self.unit, self.quiet);
        let x = self.frame.max[0] + 0.6 * unit;
        let mut marks = vec![("street".to_owned(), 0.0)];
        for storey in storeys.iter().map(|at| &self.scene.storeys[*at]) {
            marks.push((words::heading(&storey.name), storey.level_m));
        }
        // Storeys first: the street gives way to a floor at nearly its height.
        marks.rotate_left(1);
        let mut taken: Vec<Patch> = vec![];
        for (name, level_m) in marks {
            let text = signed(level_m, self.look.units);
            let wide = width(&text).max(width(&name) * 0.8) * 0.85 * unit + 1.6 * unit;
            let centre = [x + wide / 2.0, level_m + 0.35 * unit];
            let patch = Patch::about(centre, wide, 2.5 * unit);
            let [x0, tip] = [x + 0.5 * unit, level_m];
            if taken.iter().any(|other| other.meets(&patch)) {
                continue;
            }
            self.line(Part::Dimensions, &[[x - 0.4 * unit, tip], [x + 1.4 * unit, tip]], quiet.soft_ink, 0.06 * unit);
            let ring = vec![[x0, tip], [x0 + 0.45 * unit, tip + 0.6 * unit], [x0 - 0.45 * unit, tip + 0.6 * unit]];
            self.polygon(Part::Dimensions, None, vec![ring], quiet.soft_ink);
            let style = Lettering::new(0.85 * unit, quiet.ink);
            self.text(Part::Dimensions, [x + 1.4 * unit, tip + 0.65 * unit], &text, style);
            let style = Lettering::new(0.72 * unit, quiet.soft_ink);
            self.text(Part::Dimensions, [x + 1.6 * unit, tip - 0.45 * unit], &name, style);
            self.frame.include([x + wide, tip - 0.9 * unit]);
            self.frame.include([x + wide, tip + 1.6 * unit]);
            taken.push(patch);
        }
    }
}

fn signed(level_m: f64, units: Units) -> String {
    let sign = match level_m {
        0.0 => "±",
        below if below < 0.0 => "−",
        _ => "+",
    };
    format!("{sign}{}", dimension(level_m.abs(), units))
}

fn sorted(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() < SAME_M);
    values
}
