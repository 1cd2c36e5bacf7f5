//! Motes and lines on the screen.

use bevy_egui::egui::epaint::Mesh;
use bevy_egui::egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2};

use crate::app::theme::color;
use crate::app::viewer::frame::Frame;
use crate::app::viewer::particles::Particles;
use crate::output::Theme;
use crate::output::drawing::Drawing;
use crate::output::kinds::{Look, Symbol, look};
use crate::output::particles::Spot;
use crate::output::route::{Medium, Point3};
use crate::output::streaming::Sight;
use crate::solve::PathKind;

/// Corners of a soft disc's rim.
const RIM: usize = 8;
/// Half the size of a mote: part of a metre, and the least and the most of it, logical pixels.
const HALF_M: f64 = 0.05;
const HALF: [f32; 2] = [1.7, 3.2];
/// How far its glow reaches, times its half size.
const GLOW: f32 = 2.6;

/// A drawing on the screen.
#[derive(Debug, Clone, Copy)]
pub struct OnScreen<'a> {
    /// How the drawing lies on the screen.
    pub frame: &'a Frame,
    /// Where its names and numbers stand: nothing is painted over them.
    pub names: &'a [Rect],
    /// How points in space lie on the drawing.
    pub sight: Sight,
}

impl OnScreen<'_> {
    fn place(&self, at: Point3, medium: Medium) -> (Pos2, f32) {
        let (place, strength) = self.sight.place(at, medium);
        (self.frame.screen_from_plan(place), strength as f32)
    }
}

/// Where the names and numbers of a drawing stand on the screen.
pub fn names_on(frame: &Frame, drawing: &Drawing) -> Vec<Rect> {
    let boxes = drawing.lettered_boxes().into_iter();
    boxes.map(|corners| Rect::from_points(&corners.map(|corner| frame.screen_from_plan(corner)))).collect()
}

pub fn paint_particles(painter: &Painter, particles: &Particles, theme: Theme, beside: &OnScreen) {
    let clip = painter.clip_rect().expand(20.0);
    let half = ((HALF_M * beside.frame.px_per_m) as f32).clamp(HALF[0], HALF[1]);
    let mut mesh = Mesh::default();
    mesh.reserve_vertices(particles.count() * (RIM + 5));
    mesh.reserve_triangles(particles.count() * (RIM + 2));
    for spot in particles.spots() {
        let (place, strength) = beside.place(spot.at, spot.medium);
        let shown = strength * spot.brightness;
        let on_name = || beside.names.iter().any(|name| name.expand(1.2 * half).contains(place));
        if shown < 0.02 || !clip.contains(place) || on_name() {
            continue;
        }
        let ahead = beside.place([0, 1, 2].map(|axis| spot.at[axis] + 0.05 * spot.heading[axis]), spot.medium).0;
        particle(&mut mesh, &spot, place, (ahead - place).normalized(), shown, half, theme);
    }
    painter.add(Shape::mesh(mesh));
}

fn particle(mesh: &mut Mesh, spot: &Spot, place: Pos2, heading: Vec2, shown: f32, half: f32, theme: Theme) {
    let Look { colour, symbol, .. } = look(spot.kind, theme);
    let (ink, dark) = (color(colour), theme.is_dark());
    if dark {
        glow(mesh, place, half * GLOW, ink.gamma_multiply(0.34 * shown));
    }
    let ink = ink.gamma_multiply(if dark { 0.35 + 0.65 * shown } else { 0.25 + 0.75 * shown });
    let ahead = half * if heading == Vec2::ZERO { Vec2::X } else { heading };
    let aside = Vec2::new(-ahead.y, ahead.x);
    let parts: &[&[[f32; 2]]] = match symbol {
        Symbol::Round => return disc(mesh, place, 0.9 * half, ink, ink),
        Symbol::Ring => return ring(mesh, place, 0.7 * half, 1.25 * half, ink),
        Symbol::Square => &[&[[-0.9, -0.9], [0.9, -0.9], [0.9, 0.9], [-0.9, 0.9]]],
        Symbol::Diamond => &[&[[-1.4, 0.0], [0.0, -1.0], [1.4, 0.0], [0.0, 1.0]]],
        Symbol::Bar => &[&[[-0.4, -1.4], [0.4, -1.4], [0.4, 1.4], [-0.4, 1.4]]],
        Symbol::Dash => &[&[[-2.4, -0.4], [1.2, -0.4], [1.2, 0.4], [-2.4, 0.4]]],
        Symbol::Chevron => &[
            &[[-1.2, -1.2], [-0.2, -1.2], [1.2, 0.0], [0.1, 0.0]],
            &[[-1.2, 1.2], [-0.2, 1.2], [1.2, 0.0], [0.1, 0.0]],
        ],
        Symbol::Triangle => &[&[[1.5, 0.0], [-1.0, -1.1], [-1.0, 1.1]]],
        Symbol::Cross => &[
            &[[-1.4, -0.4], [1.4, -0.4], [1.4, 0.4], [-1.4, 0.4]],
            &[[-0.4, -1.4], [0.4, -1.4], [0.4, 1.4], [-0.4, 1.4]],
        ],
    };
    for part in parts {
        fan(mesh, part.iter().map(|[x, y]| (place + ahead * *x + aside * *y, ink)));
    }
}

fn rim(place: Pos2, radius: f32) -> impl Iterator<Item = Pos2> {
    (0..=RIM).map(move |at| {
        let angle = std::f32::consts::TAU * (at % RIM) as f32 / RIM as f32;
        place + radius * Vec2::angled(angle)
    })
}

/// Triangles from the first corner to each pair of the others.
fn fan(mesh: &mut Mesh, corners: impl Iterator<Item = (Pos2, Color32)>) {
    let first = mesh.vertices.len() as u32;
    for (corner, ink) in corners {
        mesh.colored_vertex(corner, ink);
    }
    for at in first + 2..mesh.vertices.len() as u32 {
        mesh.add_triangle(first, at - 1, at);
    }
}

fn disc(mesh: &mut Mesh, place: Pos2, radius: f32, middle: Color32, edge: Color32) {
    fan(mesh, std::iter::once((place, middle)).chain(rim(place, radius).map(|corner| (corner, edge))));
}

/// A halo that fades towards its rim. Its light adds to what lies below.
fn glow(mesh: &mut Mesh, place: Pos2, radius: f32, colour: Color32) {
    let [r, g, b, _] = colour.to_array();
    disc(mesh, place, radius, Color32::from_rgba_premultiplied(r, g, b, 0), Color32::TRANSPARENT);
}

fn ring(mesh: &mut Mesh, place: Pos2, inner: f32, outer: f32, colour: Color32) {
    let first = mesh.vertices.len() as u32;
    for corner in rim(place, inner).zip(rim(place, outer)).flat_map(|(a, b)| [a, b]) {
        mesh.colored_vertex(corner, colour);
    }
    for a in (first..first + 2 * RIM as u32).step_by(2) {
        mesh.add_triangle(a, a + 1, a + 2);
        mesh.add_triangle(a + 2, a + 1, a + 3);
    }
}

/// One mote of a kind, for a key.
pub fn sample(painter: &Painter, place: Pos2, kind: PathKind, theme: Theme) {
    let mut mesh = Mesh::default();
    let spot = Spot { at: [0.0; 3], heading: [1.0, 0.0, 0.0], medium: Medium::Air, kind, path: 0, brightness: 1.0 };
    particle(&mut mesh, &spot, place, Vec2::X, 1.0, HALF[1], theme);
    painter.add(Shape::mesh(mesh));
}

/// Paints the routes of the strongest paths, and of the marked one, as thin lines, each kind with its dashes.
pub fn paint_lines(
    painter: &Painter,
    particles: &Particles,
    kinds: impl Fn(usize) -> Option<PathKind>,
    marked: Option<usize>,
    theme: Theme,
    beside: &OnScreen,
) {
    for (path, route) in particles.lines() {
        let Some(kind) = kinds(*path) else { continue };
        let strong = marked == Some(*path);
        for (ends, medium) in route.points.windows(2).zip(&route.media) {
            let (a, from) = beside.place(ends[0], *medium);
            let (b, to) = beside.place(ends[1], *medium);
            let strength = if strong { from.max(to).max(0.6) } else { 0.5 * from.max(to) };
            for piece in outside([a, b], beside.names) {
                line(painter, piece, kind, if strong { 2.2 } else { 1.2 }, strength, theme);
            }
        }
    }
}

/// The pieces of a line outside all of some boxes.
fn outside(ends: [Pos2; 2], boxes: &[Rect]) -> Vec<[Pos2; 2]> {
    let way = ends[1] - ends[0];
    let mut pieces = vec![[0.0, 1.0]];
    for area in boxes {
        // Where the line enters the box and leaves it, parts of its length. Source: Liang & Barsky, ACM Transactions on Graphics 3 (1984) 1.
        let mut within = [0.0_f32, 1.0_f32];
        for axis in 0..2 {
            let (from, step) = (ends[0][axis], way[axis]);
            let reach = [area.min[axis], area.max[axis]];
            if step.abs() < 1e-6 {
                within[1] = if (reach[0]..=reach[1]).contains(&from) { within[1] } else { -1.0 };
            } else {
                let [a, b] = reach.map(|edge| (edge - from) / step);
                within = [within[0].max(a.min(b)), within[1].min(a.max(b))];
            }
        }
        if within[0] < within[1] {
            let cut = |[from, to]: [f32; 2]| [[from, to.min(within[0])], [from.max(within[1]), to]];
            pieces = pieces.into_iter().flat_map(cut).filter(|[from, to]| to > from).collect();
        }
    }
    pieces.into_iter().map(|piece| piece.map(|part| ends[0] + part * way)).collect()
}

pub fn line(painter: &Painter, ends: [Pos2; 2], kind: PathKind, width: f32, strength: f32, theme: Theme) {
    let Look { colour, dash, .. } = look(kind, theme);
    let stroke = Stroke::new(width, color(colour).gamma_multiply(strength));
    match dash {
        None => {
            painter.add(Shape::line_segment(ends, stroke));
        }
        Some([dash, gap]) => {
            // Lines thinner than a dash is long by their own measure would look full.
            painter.extend(Shape::dashed_line(&ends, stroke, dash as f32 * 1.8, gap as f32 * 1.8));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line of 10 through a box from 2 to 4 is cut there; one that passes by is whole, and one within is gone.
    #[test]
    fn lines_stop_at_names() {
        let name = [Rect::from_min_max(Pos2::new(2.0, -1.0), Pos2::new(4.0, 1.0))];
        let at = |x: f32, y: f32| Pos2::new(x, y);
        assert_eq!(
            outside([at(0.0, 0.0), at(10.0, 0.0)], &name),
            [[at(0.0, 0.0), at(2.0, 0.0)], [at(4.0, 0.0), at(10.0, 0.0)]]
        );
        assert_eq!(outside([at(0.0, 5.0), at(10.0, 5.0)], &name), [[at(0.0, 5.0), at(10.0, 5.0)]]);
        assert_eq!(outside([at(2.5, 0.5), at(3.5, -0.5)], &name), [[Pos2::ZERO; 2]; 0]);
        assert_eq!(outside([at(3.0, -4.0), at(3.0, 0.0)], &name), [[at(3.0, -4.0), at(3.0, -1.0)]]);
    }
}
