//! A drawing as a list of shapes, which knows no way of showing it: the window, the SVG and the PNG paint the same list.
//!
//! Everything is in metres of the building, x to the right, y up; letters and line widths too, so that one number sets the scale.

use crate::building::SpaceIndex;
use crate::geometry::{contains, distance, line};
use crate::solve::Surface;

use super::lettering;
use super::palette::Colour;

/// A point of the plan, m.
pub type Point = [f64; 2];

/// A sheet with shapes on it, the lowest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Lower left corner of the sheet, m.
    pub min: Point,
    /// Upper right corner of the sheet, m.
    pub max: Point,
    /// Colour of the sheet.
    pub background: Colour,
    /// What the drawing shows, in a line: the title of the picture file.
    pub title: String,
    /// Shapes, the lowest first.
    pub shapes: Vec<Shape>,
}

/// One shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Its form.
    pub form: Form,
    /// Which part of the sheet it belongs to.
    pub part: Part,
    /// What it stands for, so that a click finds it.
    pub shows: Option<Shown>,
}

impl Shape {
    /// The same elsewhere: `by` is added to every point, m.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        let mut shape = self.clone();
        let shift = |point: &mut Point| *point = [point[0] + by[0], point[1] + by[1]];
        match &mut shape.form {
            Form::Polygon { rings, .. } => rings.iter_mut().flatten().for_each(shift),
            Form::Line { points, .. } => points.iter_mut().for_each(shift),
            Form::Circle { centre: at, .. } | Form::Text { at, .. } => shift(at),
        }
        shape
    }
}

/// Which part of the sheet a shape belongs to. A window that has its own legend and lists paints only the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Rooms, walls, openings, sources, listeners and their names.
    Plan,
    /// Dimension lines and the scale bar.
    Dimensions,
    /// Title, legend, lists and remarks beside the plan.
    Page,
}

/// What a shape stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// A face of the building that sound passes.
    Surface(Surface),
    /// A space.
    Space(SpaceIndex),
    /// A source: its position in `Building::sources`.
    Source(usize),
    /// A listener: their position in `Building::listeners`.
    Listener(usize),
}

/// The form of a shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// An area: outer rings and holes, told apart by the even-odd rule.
    Polygon {
        /// Rings, not closed by a repeated point, m.
        rings: Vec<Vec<Point>>,
        /// Colour of the area.
        fill: Option<Colour>,
        /// Its outline.
        stroke: Option<Stroke>,
    },
    /// An open line.
    Line {
        /// Corners, m.
        points: Vec<Point>,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// A circle.
    Circle {
        /// Middle, m.
        centre: Point,
        /// Radius, m.
        radius_m: f64,
        /// Colour of the disc.
        fill: Option<Colour>,
        /// Its outline.
        stroke: Option<Stroke>,
    },
    /// A line of text.
    Text {
        /// Where the anchor is: at half the height of the capitals, m.
        at: Point,
        /// The text.
        text: String,
        /// How it is set.
        style: Lettering,
    },
}

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lettering {
    /// Letter size (the em), m.
    pub size_m: f64,
    /// Which end of the text is where it is put.
    pub anchor: Anchor,
    /// Turned counter-clockwise about there, degrees.
    pub rotation_deg: f64,
    /// Colour of the letters.
    pub colour: Colour,
    /// True for heavier letters.
    pub strong: bool,
    /// A rim round the letters that keeps them apart from what they lie on.
    pub halo: Option<Colour>,
}

impl Lettering {
    pub(crate) fn new(size_m: f64, colour: Colour) -> Self {
        Self { size_m, anchor: Anchor::Start, rotation_deg: 0.0, colour, strong: false, halo: None }
    }

    pub(crate) fn middle(self) -> Self {
        Self { anchor: Anchor::Middle, ..self }
    }

    pub(crate) fn end(self) -> Self {
        Self { anchor: Anchor::End, ..self }
    }

    pub(crate) fn strong(self) -> Self {
        Self { strong: true, ..self }
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: Colour,
    /// Width, m.
    pub width_m: f64,
    /// Length of dash and gap, m; a full line without.
    pub dash_m: Option<[f64; 2]>,
}

impl Stroke {
    /// A full line.
    #[must_use]
    pub fn full(colour: Colour, width_m: f64) -> Self {
        Self { colour, width_m, dash_m: None }
    }

    /// A dashed line: length of dash and gap, m.
    pub(crate) fn dashed(colour: Colour, width_m: f64, dash_m: [f64; 2]) -> Self {
        Self { colour, width_m, dash_m: Some(dash_m) }
    }
}

/// Which end of a text its anchor is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

impl Drawing {
    /// Width and height of the sheet, m.
    #[must_use]
    pub fn size_m(&self) -> [f64; 2] {
        [self.max[0] - self.min[0], self.max[1] - self.min[1]]
    }

    /// Boxes round the names, labels and numbers in the plan, from the lower left corner to the upper right, m: what moves there keeps off them.
    #[must_use]
    pub fn lettered_boxes(&self) -> Vec<[Point; 2]> {
        let shapes = self.shapes.iter().filter(|shape| shape.part == Part::Plan);
        shapes
            .filter_map(|shape| {
                let Form::Text { at, text, style } = &shape.form else { return None };
                let size_m = style.size_m;
                let wide = lettering::width(text) * size_m;
                let from = match style.anchor {
                    Anchor::Start => 0.0,
                    Anchor::Middle => wide / 2.0,
                    Anchor::End => wide,
                };
                // A number stands in a disc about as wide as two letters.
                let aside = if text.len() == 1 && style.anchor == Anchor::Middle { 0.6 * size_m } else { 0.1 * size_m };
                // With what rises above the capitals and hangs below the line.
                let (low, high) = (0.62 * size_m, 0.6 * size_m);
                Some([[at[0] - from - aside, at[1] - low], [at[0] - from + wide + aside, at[1] + high]])
            })
            .collect()
    }

    /// What lies at a point, within `reach_m` of thin lines: the uppermost shape that stands for something.
    #[must_use]
    pub fn shown_at(&self, point: Point, reach_m: f64) -> Option<Shown> {
        self.shapes.iter().rev().filter(|shape| shape.shows.is_some()).find_map(|shape| {
            let hit = match &shape.form {
                Form::Polygon { rings, fill, .. } => fill.is_some() && contains(rings, point),
                Form::Line { points, stroke } => {
                    let near_m = reach_m + stroke.width_m / 2.0;
                    points.windows(2).any(|ends| distance(point.into(), line([ends[0], ends[1]])) <= near_m)
                }
                Form::Circle { centre, radius_m, .. } => {
                    (point[0] - centre[0]).hypot(point[1] - centre[1]) <= radius_m + reach_m
                }
                Form::Text { .. } => false,
            };
            if hit { shape.shows } else { None }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(x: f64, size: f64) -> Vec<Point> {
        vec![[x, x], [x + size, x], [x + size, x + size], [x, x + size]]
    }

    #[test]
    fn the_uppermost_shape_is_found() {
        let polygon = |rings, shows| Shape {
            form: Form::Polygon { rings, fill: Some(Colour::rgb(0, 0, 0)), stroke: None },
            part: Part::Plan,
            shows,
        };
        let drawing = Drawing {
            min: [0.0, 0.0],
            max: [4.0, 4.0],
            background: Colour::rgb(0, 0, 0),
            title: String::new(),
            shapes: vec![
                polygon(vec![ring(0.0, 4.0)], Some(Shown::Space(SpaceIndex(0)))),
                polygon(vec![ring(1.0, 2.0)], Some(Shown::Source(0))),
                polygon(vec![ring(0.0, 4.0)], None),
            ],
        };
        assert_eq!(drawing.shown_at([2.0, 2.0], 0.0), Some(Shown::Source(0)));
        assert_eq!(drawing.shown_at([0.5, 0.5], 0.0), Some(Shown::Space(SpaceIndex(0))));
        assert_eq!(drawing.shown_at([9.0, 0.5], 0.0), None);
    }
}
