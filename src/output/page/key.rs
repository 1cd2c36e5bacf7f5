//! What the lines of a page mean.

use crate::building::OpeningFront;
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Lettering, Part, Stroke};
use crate::output::page::canvas::{Canvas, View};
use crate::output::page::column::{COLUMN, Cursor};
use crate::output::page::geometry::Patch;
use crate::output::palette::Colour;

/// A sample of the key.
pub(crate) enum Sample {
    /// An area, with or without an edge.
    Area(Colour, Option<Colour>),
    /// Light through cracks; standing where true.
    Sparks(bool),
    /// Two lines on a veil of their colour, dashed where true: slabs that leak.
    Hatched(bool),
    /// A line so many letters wide, dashed where true.
    Line(Colour, f64, bool),
}

impl<V: View> Canvas<'_, V> {
    /// Samples of shells and covers, where there are any.
    pub(crate) fn front_samples<'f>(
        &self,
        shell: bool,
        fronts: impl Iterator<Item = &'f OpeningFront>,
    ) -> Vec<(Sample, String)> {
        let quiet = self.quiet;
        let (mut on, mut off) = (false, false);
        for front in fronts {
            if let OpeningFront::Cover(cover) = front {
                on |= cover.on;
                off |= !cover.on;
            }
        }
        let all = [
            (shell, Sample::Line(quiet.wall_edge, 0.16, false), "inner shell"),
            (on, Sample::Line(quiet.soft_ink, 0.26, false), "cover panel"),
            (off, Sample::Line(quiet.soft_ink, 0.12, true), "cover taken off"),
        ];
        all.into_iter().filter(|found| found.0).map(|(_, sample, name)| (sample, name.to_owned())).collect()
    }

    /// Draws samples with their names, two in a row.
    pub(crate) fn samples(&mut self, cursor: &mut Cursor, samples: &[(Sample, String)]) {
        let unit = self.unit;
        let style = Lettering::new(0.85 * unit, self.quiet.soft_ink);
        for (at, (sample, name)) in samples.iter().enumerate() {
            if at > 0 && at % 2 == 0 {
                cursor.y -= 1.9 * unit;
            }
            let x = if at % 2 == 0 { cursor.x } else { cursor.x + COLUMN * unit / 2.0 };
            self.sample(sample, x, cursor.y);
            self.text(Part::Page, [x + 2.6 * unit, cursor.y], name, style);
        }
        cursor.y -= 2.6 * unit;
    }

    fn sample(&mut self, sample: &Sample, x: f64, y: f64) {
        let (unit, part) = (self.unit, Part::Page);
        let area = |half: f64| vec![Patch { min: [x, y - half * unit], max: [x + 2.0 * unit, y + half * unit] }.ring()];
        let along = |y: f64| [[x, y], [x + 2.0 * unit, y]];
        match *sample {
            Sample::Area(fill, edge) => {
                let stroke = edge.map(|edge| Stroke::full(edge, 0.09 * unit));
                self.push(part, None, Form::Polygon { rings: area(0.4), fill: Some(fill), stroke });
            }
            Sample::Sparks(standing) => {
                let spark = self.glow.colour_at(0.85);
                for aside in [-1.0, 1.0] {
                    let points = if standing {
                        let x = x + (1.0 + 0.6 * aside) * unit;
                        [[x, y - 0.6 * unit], [x, y + 0.6 * unit]]
                    } else {
                        let y = y + 0.35 * aside * unit;
                        [[x + 0.3 * unit, y], [x + 1.7 * unit, y]]
                    };
                    self.line(part, &points, spark, 0.3 * unit);
                }
            }
            Sample::Hatched(dashed) => {
                let colour = self.glow.colour_at(0.8);
                self.polygon(part, None, area(0.5), colour.faded(0.22));
                let stroke = Stroke { colour, width_m: 0.13 * unit, dash_m: dashed.then_some([0.4 * unit; 2]) };
                for line in [0.25, -0.25] {
                    self.stroke(part, None, &along(y + line * unit), stroke);
                }
            }
            Sample::Line(colour, wide, dashed) => {
                let dash_m = dashed.then_some([0.5 * unit, 0.4 * unit]);
                self.stroke(part, None, &along(y), Stroke { colour, width_m: wide * unit, dash_m });
            }
        }
    }
}
