//! Shapes of a drawing → triangles with a colour at each corner, for the GPU. Knows no Bevy.

use earcut::Earcut;

use crate::geometry::{DVec2, contains};
use crate::output::drawing::{Drawing, Form, Part, Point, Stroke};
use crate::output::palette::Colour;

/// Corners of a circle.
const CIRCLE: usize = 40;
/// A line's corner is drawn out to no more than this many half-widths.
const MITRE_LIMIT: f64 = 2.0;

/// Triangles, the lowest first.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Triangles {
    /// Corners, m.
    pub corners: Vec<[f32; 3]>,
    /// Colour at each corner, linear light, not premultiplied.
    pub colours: Vec<[f32; 4]>,
    /// Three positions in `corners` for each triangle.
    pub indices: Vec<u32>,
}

/// Triangulates the plan and its dimensions; texts and what stands beside the plan are left out.
/// Lines are never thinner than `least_width_m`, about a pixel.
pub fn tessellate(drawing: &Drawing, least_width_m: f64) -> Triangles {
    let mut mesh = Builder { out: Triangles::default(), earcut: Earcut::new(), least_width_m };
    for shape in drawing.shapes.iter().filter(|shape| shape.part != Part::Page) {
        match &shape.form {
            Form::Polygon { rings, fill, stroke } => mesh.area(rings, *fill, *stroke),
            Form::Line { points, stroke } => mesh.line(points, false, *stroke),
            Form::Circle { centre, radius_m, fill, stroke } => {
                let ring = circle(*centre, *radius_m);
                mesh.area(std::slice::from_ref(&ring), *fill, *stroke);
            }
            Form::Text { .. } => {}
        }
    }
    mesh.out
}

fn circle(centre: Point, radius_m: f64) -> Vec<Point> {
    (0..CIRCLE)
        .map(|step| {
            let angle = std::f64::consts::TAU * step as f64 / CIRCLE as f64;
            [centre[0] + radius_m * angle.cos(), centre[1] + radius_m * angle.sin()]
        })
        .collect()
}

struct Builder {
    out: Triangles,
    earcut: Earcut<f64>,
    least_width_m: f64,
}

impl Builder {
    fn area(&mut self, rings: &[Vec<Point>], fill: Option<Colour>, stroke: Option<Stroke>) {
        if let Some(fill) = fill {
            for (outer, holes) in nested(rings) {
                self.polygon(outer, &holes, fill);
            }
        }
        if let Some(stroke) = stroke {
            for ring in rings {
                self.line(ring, true, stroke);
            }
        }
    }

    fn polygon(&mut self, outer: &[Point], holes: &[&[Point]], fill: Colour) {
        let mut points = outer.to_vec();
        let mut starts: Vec<u32> = vec![];
        for hole in holes {
            starts.push(points.len() as u32);
            points.extend_from_slice(hole);
        }
        let mut found = vec![];
        self.earcut.earcut(points.iter().copied(), &starts, &mut found);
        let points: Vec<DVec2> = points.into_iter().map(DVec2::from).collect();
        let first = self.corners(&points, fill);
        self.out.indices.extend(found.iter().map(|index| first + index));
    }

    fn corners(&mut self, points: &[DVec2], colour: Colour) -> u32 {
        let first = self.out.corners.len() as u32;
        self.out.corners.extend(points.iter().map(|point| [point.x as f32, point.y as f32, 0.0]));
        self.out.colours.extend(std::iter::repeat_n(linear(colour), points.len()));
        first
    }

    fn line(&mut self, points: &[Point], closed: bool, stroke: Stroke) {
        let mut path: Vec<DVec2> = points.iter().copied().map(DVec2::from).collect();
        path.dedup_by(|point, last| point.distance(*last) <= 1e-6);
        let joined = closed && path.len() > 2;
        if joined && path[0].distance(path[path.len() - 1]) <= 1e-6 {
            path.pop();
        }
        if path.len() < 2 {
            return;
        }
        let half = stroke.width_m.max(self.least_width_m) / 2.0;
        match stroke.dash_m {
            Some([dash, gap]) if dash > 0.0 && gap > 0.0 => {
                if joined {
                    path.push(path[0]);
                }
                for piece in dashes(&path, dash, gap) {
                    self.band(&piece, false, half, stroke.colour);
                }
            }
            _ => self.band(&path, joined, half, stroke.colour),
        }
    }

    /// A line as one band: its corners are mitred, so that a translucent one is nowhere painted twice.
    fn band(&mut self, path: &[DVec2], closed: bool, half: f64, colour: Colour) {
        let count = path.len();
        let mut edges = Vec::with_capacity(2 * count);
        for (at, point) in path.iter().enumerate() {
            let before = (at > 0 || closed).then(|| (point - path[(at + count - 1) % count]).normalize().perp());
            let after = (at + 1 < count || closed).then(|| (path[(at + 1) % count] - point).normalize().perp());
            let across = match (before, after) {
                (Some(before), Some(after)) => {
                    let middle = (before + after).try_normalize().unwrap_or(before);
                    middle / middle.dot(before).max(1.0 / MITRE_LIMIT)
                }
                (one, other) => one.or(other).unwrap_or_default(),
            };
            edges.extend([point + half * across, point - half * across]);
        }
        let first = self.corners(&edges, colour);
        let pieces = if closed { count } else { count - 1 };
        for piece in 0..pieces {
            let (a, b) = (2 * piece as u32, 2 * ((piece + 1) % count) as u32);
            self.out.indices.extend([a, a + 1, b, b, a + 1, b + 1].map(|corner| first + corner));
        }
    }
}

/// Outer rings with the holes in each, told apart by how deep they lie in the others (the even-odd rule).
fn nested(rings: &[Vec<Point>]) -> Vec<(&[Point], Vec<&[Point]>)> {
    let rings: Vec<&Vec<Point>> = rings.iter().filter(|ring| ring.len() >= 3).collect();
    let within = |inner: usize, outer: usize| {
        // A corner may lie on the other ring; the middle of an edge seldom does as well.
        let (a, b) = (rings[inner][0], rings[inner][1]);
        let probe = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
        inner != outer && contains(std::slice::from_ref(rings[outer]), probe)
    };
    let depth: Vec<usize> =
        (0..rings.len()).map(|inner| (0..rings.len()).filter(|outer| within(inner, *outer)).count()).collect();
    (0..rings.len())
        .filter(|outer| depth[*outer].is_multiple_of(2))
        .map(|outer| {
            let holes = (0..rings.len()).filter(|hole| depth[*hole] == depth[outer] + 1 && within(*hole, outer));
            (rings[outer].as_slice(), holes.map(|hole| rings[hole].as_slice()).collect())
        })
        .collect()
}

/// Pieces of a path, each `dash` long with `gap` between.
fn dashes(path: &[DVec2], dash: f64, gap: f64) -> Vec<Vec<DVec2>> {
    let mut pieces = vec![];
    let mut piece = vec![path[0]];
    let (mut drawn, mut left) = (true, dash);
    for ends in path.windows(2) {
        let (mut from, to) = (ends[0], ends[1]);
        while from.distance(to) > left {
            from += (to - from).normalize() * left;
            if drawn {
                piece.push(from);
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![from];
            }
            drawn = !drawn;
            left = if drawn { dash } else { gap };
        }
        left -= from.distance(to);
        if drawn {
            piece.push(to);
        }
    }
    if drawn && piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

/// Source: IEC 61966-2-1:1999, transfer function of sRGB.
fn linear(colour: Colour) -> [f32; 4] {
    let channel = |value: u8| {
        let v = f32::from(value) / 255.0;
        if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
    };
    [channel(colour.r), channel(colour.g), channel(colour.b), f32::from(colour.a) / 255.0]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::drawing::Shape;

    const INK: Colour = Colour::rgb(255, 255, 255);

    fn square(low: f64, side: f64) -> Vec<Point> {
        vec![[low, low], [low + side, low], [low + side, low + side], [low, low + side]]
    }

    fn drawn(form: Form) -> Triangles {
        let shapes = vec![Shape { form, part: Part::Plan, shows: None }];
        let drawing = Drawing { min: [0.0; 2], max: [9.0; 2], background: INK, title: String::new(), shapes };
        tessellate(&drawing, 0.0)
    }

    fn area(mesh: &Triangles) -> f32 {
        let corner = |at: usize| mesh.corners[mesh.indices[at] as usize];
        (0..mesh.indices.len() / 3)
            .map(|triangle| {
                let [a, b, c] = [corner(3 * triangle), corner(3 * triangle + 1), corner(3 * triangle + 2)];
                ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs() / 2.0
            })
            .sum()
    }

    #[test]
    fn an_island_in_a_hole_is_filled_by_the_even_odd_rule() {
        let rings = vec![square(2.0, 2.0), square(0.0, 9.0), square(1.0, 5.0)];
        let mesh = drawn(Form::Polygon { rings, fill: Some(INK), stroke: None });
        assert!((area(&mesh) - (81.0 - 25.0 + 4.0)).abs() < 1e-4, "{}", area(&mesh));
    }

    #[test]
    fn a_line_has_the_area_of_its_length_times_its_width() {
        let straight = Form::Line { points: vec![[0.0, 0.0], [3.0, 4.0]], stroke: Stroke::full(INK, 0.2) };
        assert!((area(&drawn(straight)) - 1.0).abs() < 1e-5);
        // Round a square the mitres close the frame: outer 4.2² less inner 3.8².
        let stroke = Some(Stroke::full(INK, 0.2));
        let mesh = drawn(Form::Polygon { rings: vec![square(1.0, 4.0)], fill: None, stroke });
        assert!((area(&mesh) - (4.2 * 4.2 - 3.8 * 3.8)).abs() < 1e-4, "{}", area(&mesh));
    }

    #[test]
    fn dashes_go_on_round_corners() {
        let pieces = dashes(&[DVec2::ZERO, DVec2::X, DVec2::ONE], 0.75, 0.5);
        assert_eq!(pieces.len(), 2);
        assert_eq!(pieces[0], vec![DVec2::ZERO, DVec2::new(0.75, 0.0)]);
        assert!((pieces[1][0].y - 0.25).abs() < 1e-12 && pieces[1][1] == DVec2::ONE);
    }

    #[test]
    fn lines_never_vanish_when_the_plan_is_small() {
        let stroke = Stroke::full(INK, 0.001);
        let shapes = vec![Shape {
            form: Form::Line { points: vec![[0.0, 0.0], [5.0, 0.0]], stroke },
            part: Part::Plan,
            shows: None,
        }];
        let drawing = Drawing { min: [0.0; 2], max: [9.0; 2], background: INK, title: String::new(), shapes };
        assert!((area(&tessellate(&drawing, 0.1)) - 0.5).abs() < 1e-5);
    }
}
