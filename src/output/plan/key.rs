//! What the lines of the plan mean.

use crate::output::sheet::{COLUMN, Cursor};

use super::{Canvas, Form, Lettering, Part, Point, Stroke};

impl Canvas<'_> {
    pub(super) fn key(&mut self, cursor: &mut Cursor) {
        let (unit, quiet) = (self.unit, self.quiet);
        let part = Part::Sheet;
        let colour = self.glow.colour_at(0.8);
        let half = cursor.x + COLUMN * unit / 2.0;
        let style = Lettering::new(0.85 * unit, quiet.soft_ink);
        for (x, dash_m, name) in
            [(cursor.x, None, "leaks by the floor"), (half, Some([0.4 * unit; 2]), "leaks by the ceiling")]
        {
            let y = cursor.y;
            let patch = vec![
                [x, y - 0.5 * unit],
                [x + 2.0 * unit, y - 0.5 * unit],
                [x + 2.0 * unit, y + 0.5 * unit],
                [x, y + 0.5 * unit],
            ];
            self.polygon(part, None, vec![patch], colour.faded(0.22));
            for line in [0.25, -0.25] {
                let stroke = Stroke { colour, width_m: 0.13 * unit, dash_m };
                let points = vec![[x, y + line * unit], [x + 2.0 * unit, y + line * unit]];
                self.push(part, None, Form::Line { points, stroke });
            }
            self.text(part, [x + 2.6 * unit, y], name, style);
        }
        cursor.y -= 1.9 * unit;
        let corner = [cursor.x, cursor.y - 0.4 * unit];
        let box_of = |corner: Point| {
            vec![
                corner,
                [corner[0] + 2.0 * unit, corner[1]],
                [corner[0] + 2.0 * unit, corner[1] + 0.8 * unit],
                [corner[0], corner[1] + 0.8 * unit],
            ]
        };
        let form = Form::Polygon {
            rings: vec![box_of(corner)],
            fill: Some(quiet.wall),
            stroke: Some(Stroke::full(quiet.wall_edge, 0.09 * unit)),
        };
        self.push(part, None, form);
        self.text(part, [cursor.x + 2.6 * unit, cursor.y], &self.glow.grey(), style);
        let spark = self.glow.colour_at(0.85);
        for x in [half + 0.4 * unit, half + 1.6 * unit] {
            self.line(part, &[[x, cursor.y - 0.6 * unit], [x, cursor.y + 0.6 * unit]], spark, 0.3 * unit);
        }
        self.text(part, [half + 2.6 * unit, cursor.y], "leaks by the gap round it", style);
        let kinds = self.kinds();
        let mut drawn = vec![];
        if kinds.shell {
            drawn.push((0.16, None, quiet.wall_edge, "inner shell"));
        }
        if kinds.cover {
            drawn.push((0.26, None, quiet.soft_ink, "cover panel"));
        }
        if kinds.cover_off {
            drawn.push((0.12, Some([0.5 * unit, 0.4 * unit]), quiet.soft_ink, "cover taken off"));
        }
        for (at, (wide, dash_m, colour, name)) in drawn.into_iter().enumerate() {
            if at % 2 == 0 {
                cursor.y -= 1.9 * unit;
            }
            let x = if at % 2 == 0 { cursor.x } else { half };
            let points = vec![[x, cursor.y], [x + 2.0 * unit, cursor.y]];
            let stroke = Stroke { colour, width_m: wide * unit, dash_m };
            self.push(part, None, Form::Line { points, stroke });
            self.text(part, [x + 2.6 * unit, cursor.y], name, style);
        }
        cursor.y -= 2.6 * unit;
    }
}
