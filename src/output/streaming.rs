//! Motes and courses as shapes, for pictures: what the window paints live.

use super::course::{Courses, Medium, Point3, Spread};
use super::drawing::{Drawing, Form, Part, Point, Shape, Shown, Stroke};
use super::kinds::{look, outline};
use super::motes::{MoteChoice, Motes, Spot};
use super::palette::Theme;
use super::plan::Variant;
use super::section::Cut;
use crate::scene::Storey;
use crate::solve::{BandChoice, ListenerAnswer};

/// How much above and below a storey's rooms belongs to it, m.
const SLAB_M: f64 = 0.45;
/// How strongly motes on other storeys show.
const ELSEWHERE: f64 = 0.16;
/// Radius of a mote, in ordinary letters.
const MOTE: f64 = 0.27;
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
    motes: Motes,
    lines: Vec<Shape>,
    sight: Sight,
    letter_m: f64,
    theme: Theme,
}

impl Moving {
    /// On a printed drawing; `listener` is a position in the answer's. Nothing moves for a listener beyond its end.
    #[must_use]
    pub fn on(
        drawing: &Drawing,
        variant: Variant,
        listener: usize,
        bands: BandChoice,
        sight: Sight,
        theme: Theme,
    ) -> Self {
        let Variant { scene, building, answer } = variant;
        let letter_m = drawing.size_m()[0] / LETTERS;
        let heard = answer.listeners.get(listener);
        let courses = Courses::new(scene, building, listener).zip(heard);
        let choice = MoteChoice { bands, ..MoteChoice::default() };
        Self {
            motes: heard.map_or_else(Motes::default, |heard| Motes::new(scene, building, heard, listener, &choice)),
            lines: courses.map_or_else(Vec::new, |(courses, heard)| lines(&courses, heard, &sight, letter_m, theme)),
            sight,
            letter_m,
            theme,
        }
    }

    /// The lines of the strongest paths.
    #[must_use]
    pub fn lines(&self) -> &[Shape] {
        &self.lines
    }

    /// The motes at one moment.
    #[must_use]
    pub fn still(&self) -> Vec<Shape> {
        motes(&self.motes, STILL_S, &self.sight, self.letter_m, self.theme)
    }

    /// The motes at every moment of so many seconds, [`PER_SECOND`] of them a second; after the last comes the first again.
    #[must_use]
    pub fn frames(self, seconds: f64) -> Vec<Vec<Shape>> {
        let seconds = seconds.clamp(SECONDS[0], SECONDS[1]);
        let count = (seconds * f64::from(PER_SECOND)).round().max(1.0) as usize;
        let round = self.motes.going_round(seconds);
        let moment = |at: usize| seconds * at as f64 / count as f64;
        (0..count).map(|at| motes(&round, moment(at), &self.sight, self.letter_m, self.theme)).collect()
    }
}

/// The motes at a time, s, on a drawing with ordinary letters of `letter_m`.
#[must_use]
pub fn motes(motes: &Motes, time_s: f64, sight: &Sight, letter_m: f64, theme: Theme) -> Vec<Shape> {
    motes.at(time_s).filter_map(|spot| mote(&spot, sight, MOTE * letter_m, theme)).collect()
}

fn mote(spot: &Spot, sight: &Sight, radius_m: f64, theme: Theme) -> Option<Shape> {
    let (place, strength) = sight.place(spot.at, spot.medium);
    let shown = strength * f64::from(spot.brightness);
    if shown < 0.03 {
        return None;
    }
    let ahead = sight.place([0, 1, 2].map(|axis| spot.at[axis] + 0.1 * spot.heading[axis]), spot.medium).0;
    let d = [ahead[0] - place[0], ahead[1] - place[1]];
    let length = d[0].hypot(d[1]);
    let [c, s] = if length > 1e-9 { [d[0] / length, d[1] / length] } else { [1.0, 0.0] };
    let look = look(spot.kind, theme);
    let on = |[x, y]: Point| [place[0] + radius_m * (c * x - s * y), place[1] + radius_m * (s * x + c * y)];
    let rings = outline(look.mote).into_iter().map(|ring| ring.into_iter().map(on).collect()).collect();
    let fill = Some(look.colour.faded(0.25 + 0.75 * shown));
    Some(Shape { form: Form::Polygon { rings, fill, stroke: None }, part: Part::Plan, shows: None })
}

/// The courses of the strongest paths as thin lines, each kind with its colour and dashes.
#[must_use]
pub fn lines(courses: &Courses, heard: &ListenerAnswer, sight: &Sight, letter_m: f64, theme: Theme) -> Vec<Shape> {
    let mut shapes = vec![];
    for path in heard.paths.iter().take(LINES).filter(|path| path.share >= LINE_SHARE) {
        let Some(course) = courses.of(path, &Spread::MIDDLE) else { continue };
        for (leg, medium) in course.points.windows(2).zip(&course.media) {
            let [(a, from), (b, to)] = [leg[0], leg[1]].map(|point| sight.place(point, *medium));
            let stroke = look(path.kind, theme).stroke(0.12 * letter_m);
            let stroke = Stroke { colour: stroke.colour.faded(0.55 * from.max(to)), ..stroke };
            let shows = Some(Shown::Surface(path.entry));
            shapes.push(Shape { form: Form::Line { points: vec![a, b], stroke }, part: Part::Plan, shows });
        }
    }
    shapes
}
