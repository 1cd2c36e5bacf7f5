//! Motes and courses as shapes, for pictures: what the window paints live.

use super::course::{Courses, Medium, Point3, Spread};
use super::drawing::{Form, Part, Point, Shape, Shown, Stroke};
use super::kinds::{look, outline};
use super::motes::{Motes, Spot};
use super::palette::Theme;
use super::section::Cut;
use crate::scene::Storey;
use crate::solve::ListenerAnswer;

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
