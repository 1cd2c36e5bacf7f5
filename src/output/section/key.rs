//! What the lines of the section mean.

use crate::building::OpeningFront;
use crate::output::sheet::{COLUMN, Cursor};

use super::behind::{FRAME, veil};
use super::{Canvas, Colour, Form, Lettering, Part, Patch, Stroke};

/// A sample of the key.
enum Sample {
    Box { fill: Colour, edge: Option<Colour> },
    Sparks,
    Line { colour: Colour, wide: f64, dashed: bool },
}

impl Canvas<'_> {
    pub(super) fn key(&mut self, cursor: &mut Cursor) {
        let (unit, quiet) = (self.unit, self.quiet);
        let style = Lettering::new(0.85 * unit, quiet.soft_ink);
        let lit = self.glow.colour_at(0.8);
        let grey = self.glow.grey();
        let mut samples = vec![
            (Sample::Box { fill: quiet.wall, edge: Some(quiet.wall_edge) }, grey.as_str()),
            (Sample::Sparks, "leaks by the gap round it"),
        ];
        let sawn = self.view.sawn;
        if sawn.behind.iter().any(|wall| self.lit(crate::solve::Surface::Element(wall.element)).is_some()) {
            samples.push((Sample::Box { fill: lit.faded(veil(0.77)), edge: None }, "leaks behind the cut"));
        }
        if !sawn.windows_behind.is_empty() {
            let fill = quiet.sheet.faded(0.4);
            samples.push((Sample::Box { fill, edge: Some(quiet.wall_edge.faded(FRAME)) }, "opening behind the cut"));
        }
        if sawn.rooms.iter().any(|room| room.bare.is_some()) {
            samples.push((Sample::Line { colour: quiet.wall_edge, wide: 0.16, dashed: false }, "inner shell"));
        }
        let fronts = sawn
            .openings
            .iter()
            .flat_map(|opening| self.building.elements[opening.element.0].openings[opening.at].fronts.iter().flatten());
        let (mut on, mut off) = (false, false);
        for front in fronts {
            if let OpeningFront::Cover(cover) = front {
                on |= cover.on;
                off |= !cover.on;
            }
        }
        for (wanted, wide, dashed, name) in [(on, 0.26, false, "cover panel"), (off, 0.12, true, "cover taken off")] {
            if wanted {
                samples.push((Sample::Line { colour: quiet.soft_ink, wide, dashed }, name));
            }
        }
        for (at, (sample, name)) in samples.into_iter().enumerate() {
            if at > 0 && at % 2 == 0 {
                cursor.y -= 1.9 * unit;
            }
            let x = if at % 2 == 0 { cursor.x } else { cursor.x + COLUMN * unit / 2.0 };
            self.sample(&sample, x, cursor.y);
            self.text(Part::Sheet, [x + 2.6 * unit, cursor.y], name, style);
        }
        cursor.y -= 2.6 * unit;
    }

    fn sample(&mut self, sample: &Sample, x: f64, y: f64) {
        let unit = self.unit;
        match *sample {
            Sample::Box { fill, edge } => {
                let rings = vec![Patch { min: [x, y - 0.4 * unit], max: [x + 2.0 * unit, y + 0.4 * unit] }.ring()];
                let stroke = edge.map(|edge| Stroke::full(edge, 0.09 * unit));
                self.push(Part::Sheet, None, Form::Polygon { rings, fill: Some(fill), stroke });
            }
            Sample::Sparks => {
                let spark = self.glow.colour_at(0.85);
                for y in [y - 0.35 * unit, y + 0.35 * unit] {
                    self.line(Part::Sheet, &[[x + 0.3 * unit, y], [x + 1.7 * unit, y]], spark, 0.3 * unit);
                }
            }
            Sample::Line { colour, wide, dashed } => {
                let dash_m = dashed.then_some([0.5 * unit, 0.4 * unit]);
                let stroke = Stroke { colour, width_m: wide * unit, dash_m };
                self.push(Part::Sheet, None, Form::Line { points: vec![[x, y], [x + 2.0 * unit, y]], stroke });
            }
        }
    }
}
