//! Particles and routes as shapes, for pictures: what the window paints live.

use super::draw::Draw;
use super::drawing::{Drawing, Form, Lettering, Part, Point, Shape, Shown, Stroke};
use super::kinds::{self, look, outline};
use super::page::geometry::along;
use super::palette::Theme;
use super::particles::{Stream, StreamChoice, shares};
use super::route::{Medium, Point3, Routes, Spread};
use super::section::Cut;
use super::{lettering, words};
use crate::project::Solved;
use crate::scene::Storey;
use crate::solve::{BandChoice, ListenerAnswer, PathKind};

/// How much above and below a storey's rooms belongs to it, m.
const SLAB_M: f64 = 0.45;
/// How strongly particles on other storeys show.
const ELSEWHERE: f64 = 0.16;
/// Radius of a particle, in ordinary letters.
const PARTICLE: f64 = 0.27;
/// So many of the strongest paths are drawn as lines, weaker ones than this share are not.
const LINES: usize = 6;
const LINE_SHARE: f64 = 0.01;

/// How points in space lie on a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sight {
    /// In the plan of a storey that reaches from one height to another, m.
    Plan([f64; 2]),
    /// In a section.
    Section(Cut),
}

impl Sight {
    /// In the plan of a storey, its floor and ceiling included.
    #[must_use]
    pub fn of_storey(storey: &Storey) -> Self {
        Self::Plan([storey.level_m - SLAB_M, storey.level_m + storey.height_m + SLAB_M])
    }

    /// Where a point lies on the drawing, and how strongly what is there shows: 1, or less for what lies elsewhere.
    #[must_use]
    pub fn place(&self, at: Point3, medium: Medium) -> (Point, f64) {
        match self {
            Self::Plan([low, high]) => {
                let here = medium == Medium::Open || (*low..=*high).contains(&at[2]);
                ([at[0], at[1]], if here { 1.0 } else { ELSEWHERE })
            }
            Self::Section(cut) => {
                let off_m = cut.off_m([at[0], at[1]]).abs();
                (cut.project(at), (1.0 - (off_m - 1.0) / 5.0).clamp(0.3, 1.0))
            }
        }
    }
}

/// Kinds of path with less than this share are not named in the key.
const LEAST_NAMED: f64 = 1e-3;
/// Where the key begins and ends, letters from the left.
const KEY_FROM: f64 = 26.0;
const KEY_TO: f64 = 66.0;
/// How many ordinary letters a printed sheet is wide.
const LETTERS: f64 = 95.0;
/// The moment a still picture shows, s.
const STILL_S: f64 = 20.0;
/// Frames of an animation a second.
pub const PER_SECOND: u16 = 15;
/// How long an animation may be, s.
pub const SECONDS: [f64; 2] = [0.5, 30.0];

/// What moves on a drawing of what a listener hears.
#[derive(Debug, Clone)]
pub struct Moving {
    particles: Stream,
    lines: Vec<Shape>,
    /// The kinds of path worth naming.
    kinds: Vec<PathKind>,
    sight: Sight,
    letter_m: f64,
    theme: Theme,
}

/// Puts shapes under the letters and numbers of a drawing.
fn below_letters(drawing: &mut Drawing, shapes: Vec<Shape>) {
    let is_text = |shape: &Shape| shape.part == Part::Plan && matches!(shape.form, Form::Text { .. });
    let at = drawing.shapes.iter().position(is_text).unwrap_or(drawing.shapes.len());
    drawing.shapes.splice(at..at, shapes);
}

impl Moving {
    /// On a printed drawing; `listener` is a position in the answer's. Nothing moves for a listener beyond its end.
    #[must_use]
    pub fn on(
        drawing: &Drawing,
        solved: &Solved,
        listener: usize,
        bands: BandChoice,
        sight: Sight,
        theme: Theme,
    ) -> Self {
        let letter_m = drawing.size_m()[0] / LETTERS;
        let heard = solved.answer.listeners.get(listener);
        let routes = Routes::new(solved, listener).zip(heard);
        Self {
            particles: Stream::new(solved, listener, &StreamChoice { bands, ..StreamChoice::default() }),
            lines: routes
                .map_or_else(Vec::new, |(routes, heard)| lines(&routes, heard, bands, &sight, letter_m, theme)),
            kinds: heard.map_or_else(Vec::new, |heard| kinds_heard(heard, bands)),
            sight,
            letter_m,
            theme,
        }
    }

    /// Puts the lines of the strongest paths on the drawing, and at its foot what the kinds of path look like.
    pub fn lay_lines(&self, drawing: &mut Drawing) {
        let key = self.key(drawing);
        below_letters(drawing, self.lines.clone());
        drawing.shapes.extend(key);
    }

    /// Puts the particles of one moment on the drawing.
    pub fn lay_particles(&self, drawing: &mut Drawing) {
        below_letters(drawing, particles(&self.particles, STILL_S, &self.sight, self.letter_m, self.theme));
    }

    /// A mark, a line and a name for each kind of path, right of the scale bar.
    fn key(&self, drawing: &Drawing) -> Vec<Shape> {
        let (unit, ink) = (self.letter_m, self.theme.quiet().soft_ink);
        let (first, last) = (drawing.min[0] + KEY_FROM * unit, drawing.min[0] + KEY_TO * unit);
        let (mut x, mut y) = (first, drawing.min[1] + 4.0 * unit);
        let mut shapes: Vec<Shape> = vec![];
        for kind in self.kinds.iter().copied() {
            let (look, name) = (look(kind, self.theme), words::kind(kind));
            let wide = (4.6 + 0.9 * lettering::width(name)) * unit;
            if x > first && x + wide > last {
                (x, y) = (first, y - 1.7 * unit);
            }
            shapes.stroke(Part::Page, None, &[[x, y], [x + 2.6 * unit, y]], look.stroke(0.12 * unit));
            shapes.figure(Part::Page, outline(look.symbol), [x + 1.3 * unit, y], 0.4 * unit, [1.0, 0.0], look.colour);
            shapes.text(Part::Page, [x + 3.1 * unit, y], name, Lettering::new(0.9 * unit, ink));
            x += wide;
        }
        shapes
    }

    /// The particles at every moment of so many seconds, [`PER_SECOND`] of them a second; after the last comes the first again.
    #[must_use]
    pub fn frames(self, seconds: f64) -> Vec<Vec<Shape>> {
        let seconds = seconds.clamp(SECONDS[0], SECONDS[1]);
        let count = (seconds * f64::from(PER_SECOND)).round().max(1.0) as usize;
        let round = self.particles.going_round(seconds);
        let moment = |at: usize| seconds * at as f64 / count as f64;
        (0..count).map(|at| particles(&round, moment(at), &self.sight, self.letter_m, self.theme)).collect()
    }
}

/// The particles at a time, s, on a drawing with ordinary letters of `letter_m`.
fn particles(stream: &Stream, time_s: f64, sight: &Sight, letter_m: f64, theme: Theme) -> Vec<Shape> {
    let mut shapes: Vec<Shape> = vec![];
    for spot in stream.at(time_s) {
        let (place, strength) = sight.place(spot.at, spot.medium);
        let shown = strength * f64::from(spot.brightness);
        if shown < 0.03 {
            continue;
        }
        let ahead = sight.place([0, 1, 2].map(|axis| spot.at[axis] + 0.1 * spot.heading[axis]), spot.medium).0;
        let look = look(spot.kind, theme);
        let fill = look.colour.faded(0.25 + 0.75 * shown);
        shapes.figure(Part::Plan, outline(look.symbol), place, PARTICLE * letter_m, along([place, ahead]), fill);
    }
    shapes
}

/// The paths worth a line in the chosen bands, the strongest first: positions in the listener's. None weaker than `least_share`.
#[must_use]
pub fn strongest(heard: &ListenerAnswer, bands: BandChoice, least_share: f64) -> Vec<usize> {
    let shares = shares(heard, bands);
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|a, b| shares[*b].total_cmp(&shares[*a]));
    order.into_iter().take(LINES).filter(|at| shares[*at] >= LINE_SHARE.max(least_share)).collect()
}

/// The kinds of path worth naming in the chosen bands, in the order they are listed.
pub(crate) fn kinds_heard(heard: &ListenerAnswer, bands: BandChoice) -> Vec<PathKind> {
    let shares = shares(heard, bands);
    let seen = |kind: &PathKind| {
        heard.paths.iter().zip(&shares).any(|(path, share)| path.kind == *kind && *share >= LEAST_NAMED)
    };
    kinds::ALL.into_iter().filter(seen).collect()
}

/// The routes of the strongest paths as thin lines, each kind with its colour and dashes.
fn lines(
    routes: &Routes,
    heard: &ListenerAnswer,
    bands: BandChoice,
    sight: &Sight,
    letter_m: f64,
    theme: Theme,
) -> Vec<Shape> {
    let mut shapes: Vec<Shape> = vec![];
    for path in strongest(heard, bands, 0.0).into_iter().map(|at| &heard.paths[at]) {
        let Some(route) = routes.of(path, &Spread::MIDDLE) else { continue };
        for (leg, medium) in route.points.windows(2).zip(&route.media) {
            let [(a, from), (b, to)] = [leg[0], leg[1]].map(|point| sight.place(point, *medium));
            let stroke = look(path.kind, theme).stroke(0.12 * letter_m);
            let stroke = Stroke { colour: stroke.colour.faded(0.55 * from.max(to)), ..stroke };
            let shows = Some(Shown::Surface(path.entry));
            shapes.stroke(Part::Plan, shows, &[a, b], stroke);
        }
    }
    shapes
}
