//! Motes and lines on the screen.

use bevy_egui::egui::epaint::Mesh;
use bevy_egui::egui::{Color32, Painter, Pos2, Shape, Stroke, Vec2};

use super::Stream;
use crate::app::canvas::Frame;
use crate::app::theme::color;
use crate::output::Theme;
use crate::output::course::{Medium, Point3};
use crate::output::kinds::{Look, Mote, look};
use crate::output::motes::Spot;
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
    /// How points in space lie on the drawing.
    pub sight: Sight,
}

impl OnScreen<'_> {
    fn place(&self, at: Point3, medium: Medium) -> (Pos2, f32) {
        let (place, strength) = self.sight.place(at, medium);
        (self.frame.screen_from_plan(place), strength as f32)
    }
}

/// Paints every mote.
pub fn paint_motes(painter: &Painter, stream: &Stream, theme: Theme, beside: &OnScreen) {
    let clip = painter.clip_rect().expand(20.0);
    let half = ((HALF_M * beside.frame.px_per_m) as f32).clamp(HALF[0], HALF[1]);
    let mut mesh = Mesh::default();
    mesh.reserve_vertices(stream.count() * (RIM + 5));
    mesh.reserve_triangles(stream.count() * (RIM + 2));
    for spot in stream.spots() {
        let (place, strength) = beside.place(spot.at, spot.medium);
        let shown = strength * spot.brightness;
        if shown < 0.02 || !clip.contains(place) {
            continue;
        }
        let ahead = beside.place([0, 1, 2].map(|axis| spot.at[axis] + 0.05 * spot.heading[axis]), spot.medium).0;
        mote(&mut mesh, &spot, place, (ahead - place).normalized(), shown, half, theme);
    }
    painter.add(Shape::mesh(mesh));
}

fn mote(mesh: &mut Mesh, spot: &Spot, place: Pos2, heading: Vec2, shown: f32, half: f32, theme: Theme) {
    let Look { colour, mote, .. } = look(spot.kind, theme);
    let (ink, dark) = (color(colour), theme.is_dark());
    if dark {
        glow(mesh, place, half * GLOW, ink.gamma_multiply(0.34 * shown));
    }
    let ink = ink.gamma_multiply(if dark { 0.35 + 0.65 * shown } else { 0.25 + 0.75 * shown });
    let ahead = if heading == Vec2::ZERO { Vec2::X } else { heading };
    let aside = Vec2::new(-ahead.y, ahead.x);
    let h = half;
    let at = |along: f32, across: f32| place + ahead * along + aside * across;
    let point = |[x, y]: [f32; 2]| at(x * h, y * h);
    match mote {
        Mote::Round => disc(mesh, place, 0.9 * h, ink, ink),
        Mote::Ring => ring(mesh, place, 0.7 * h, 1.25 * h, ink),
        Mote::Square => quad(mesh, [[-0.9, -0.9], [0.9, -0.9], [0.9, 0.9], [-0.9, 0.9]].map(point), ink),
        Mote::Diamond => quad(mesh, [[-1.4, 0.0], [0.0, -1.0], [1.4, 0.0], [0.0, 1.0]].map(point), ink),
        Mote::Bar => quad(mesh, [[-0.4, -1.4], [0.4, -1.4], [0.4, 1.4], [-0.4, 1.4]].map(point), ink),
        Mote::Dash => quad(mesh, [[-2.4, -0.4], [1.2, -0.4], [1.2, 0.4], [-2.4, 0.4]].map(point), ink),
        Mote::Chevron => {
            quad(mesh, [[-1.2, -1.2], [-0.2, -1.2], [1.2, 0.0], [0.1, 0.0]].map(point), ink);
            quad(mesh, [[-1.2, 1.2], [-0.2, 1.2], [1.2, 0.0], [0.1, 0.0]].map(point), ink);
        }
        Mote::Triangle => {
            let first = mesh.vertices.len() as u32;
            for corner in [[1.5, 0.0], [-1.0, -1.1], [-1.0, 1.1]].map(point) {
                mesh.colored_vertex(corner, ink);
            }
            mesh.add_triangle(first, first + 1, first + 2);
        }
        Mote::Cross => {
            for [a, b] in [[1.4, 0.4], [0.4, 1.4]] {
                quad(mesh, [[-a, -b], [a, -b], [a, b], [-a, b]].map(point), ink);
            }
        }
    }
}

fn rim(place: Pos2, radius: f32) -> impl Iterator<Item = Pos2> {
    (0..RIM).map(move |at| {
        let angle = std::f32::consts::TAU * at as f32 / RIM as f32;
        place + radius * Vec2::angled(angle)
    })
}

fn disc(mesh: &mut Mesh, place: Pos2, radius: f32, middle: Color32, edge: Color32) {
    let first = mesh.vertices.len() as u32;
    mesh.colored_vertex(place, middle);
    for corner in rim(place, radius) {
        mesh.colored_vertex(corner, edge);
    }
    for at in 0..RIM as u32 {
        mesh.add_triangle(first, first + 1 + at, first + 1 + (at + 1) % RIM as u32);
    }
}

/// A halo that fades towards its rim. Its light adds to what lies below.
fn glow(mesh: &mut Mesh, place: Pos2, radius: f32, colour: Color32) {
    let [r, g, b, _] = colour.to_array();
    disc(mesh, place, radius, Color32::from_rgba_premultiplied(r, g, b, 0), Color32::TRANSPARENT);
}

fn ring(mesh: &mut Mesh, place: Pos2, inner: f32, outer: f32, colour: Color32) {
    let first = mesh.vertices.len() as u32;
    for (a, b) in rim(place, inner).zip(rim(place, outer)) {
        mesh.colored_vertex(a, colour);
        mesh.colored_vertex(b, colour);
    }
    for at in 0..RIM as u32 {
        let [a, b] = [first + 2 * at, first + 2 * at + 1];
        let [c, d] = [first + 2 * ((at + 1) % RIM as u32), first + 2 * ((at + 1) % RIM as u32) + 1];
        mesh.add_triangle(a, b, c);
        mesh.add_triangle(c, b, d);
    }
}

fn quad(mesh: &mut Mesh, corners: [Pos2; 4], colour: Color32) {
    let first = mesh.vertices.len() as u32;
    for corner in corners {
        mesh.colored_vertex(corner, colour);
    }
    mesh.add_triangle(first, first + 1, first + 2);
    mesh.add_triangle(first, first + 2, first + 3);
}

/// One mote of a kind, for a key.
pub(super) fn sample(painter: &Painter, place: Pos2, kind: PathKind, theme: Theme) {
    let mut mesh = Mesh::default();
    let spot = Spot { at: [0.0; 3], heading: [1.0, 0.0, 0.0], medium: Medium::Air, kind, path: 0, brightness: 1.0 };
    mote(&mut mesh, &spot, place, Vec2::X, 1.0, HALF[1], theme);
    painter.add(Shape::mesh(mesh));
}

/// Paints the courses of the strongest paths, and of the marked one, as thin lines, each kind with its dashes.
pub fn paint_lines(
    painter: &Painter,
    stream: &Stream,
    kinds: impl Fn(usize) -> Option<PathKind>,
    marked: Option<usize>,
    theme: Theme,
    beside: &OnScreen,
) {
    for (path, course) in stream.lines() {
        let Some(kind) = kinds(*path) else { continue };
        let strong = marked == Some(*path);
        for (leg, medium) in course.points.windows(2).zip(&course.media) {
            let (a, from) = beside.place(leg[0], *medium);
            let (b, to) = beside.place(leg[1], *medium);
            let strength = if strong { from.max(to).max(0.6) } else { 0.5 * from.max(to) };
            line(painter, [a, b], kind, if strong { 2.2 } else { 1.2 }, strength, theme);
        }
    }
}

/// A line of a kind.
pub(super) fn line(painter: &Painter, ends: [Pos2; 2], kind: PathKind, width: f32, strength: f32, theme: Theme) {
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
