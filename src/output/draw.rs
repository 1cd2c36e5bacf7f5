//! How shapes are put on a drawing, one after the other.

use super::drawing::{Form, Lettering, Part, Point, Shape, Shown, Stroke};
use super::palette::Colour;

/// What is drawn on: each shape lies over those before it.
pub(crate) trait Draw {
    /// Puts a shape over all others.
    fn push(&mut self, part: Part, shows: Option<Shown>, form: Form);

    /// An area without an edge.
    fn polygon(&mut self, part: Part, shows: Option<Shown>, rings: Vec<Vec<Point>>, fill: Colour) {
        self.push(part, shows, Form::Polygon { rings, fill: Some(fill), stroke: None });
    }

    /// A full line that stands for nothing.
    fn line(&mut self, part: Part, points: &[Point], colour: Colour, width_m: f64) {
        self.stroke(part, None, points, Stroke::full(colour, width_m));
    }

    /// A line of any form.
    fn stroke(&mut self, part: Part, shows: Option<Shown>, points: &[Point], stroke: Stroke) {
        self.push(part, shows, Form::Line { points: points.to_vec(), stroke });
    }

    /// A line of letters.
    fn text(&mut self, part: Part, at: Point, text: &str, style: Lettering) {
        self.push(part, None, Form::Text { at, text: text.to_owned(), style });
    }

    /// A small figure of radius 1 about the origin, drawn `radius_m` large about a point, turned from the x axis into `heading`.
    fn figure(&mut self, part: Part, rings: Vec<Vec<Point>>, at: Point, radius_m: f64, heading: Point, fill: Colour) {
        let [c, s] = heading;
        let place = |[x, y]: Point| [at[0] + radius_m * (c * x - s * y), at[1] + radius_m * (s * x + c * y)];
        let rings = rings.into_iter().map(|ring| ring.into_iter().map(place).collect()).collect();
        self.polygon(part, None, rings, fill);
    }
}

impl Draw for Vec<Shape> {
    fn push(&mut self, part: Part, shows: Option<Shown>, form: Form) {
        Self::push(self, Shape { form, part, shows });
    }
}
