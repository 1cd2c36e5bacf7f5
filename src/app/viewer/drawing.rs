//! The plan as it is drawn: described anew when the answer, the view, or the size of its letters changes.

use bevy::prelude::*;

use crate::app::panels::lessons::LessonState;
use crate::app::solving::CurrentAnswer;
use crate::app::view::{Baseline, View};
use crate::app::viewer::frame::Frame;
use crate::output::drawing::{Drawing, Form, Lettering, Part, Point};
use crate::output::{Glow, lettering, plan};

#[derive(Debug, Clone, Default, Resource)]
pub struct CurrentDrawing {
    /// Its shapes; nothing when there is no answer, no listener or no storey.
    pub drawing: Option<Drawing>,
    /// Lower left and upper right corner of the plan with its dimensions, without what stands beside it, m.
    pub extent: (Point, Point),
    /// What the plan is coloured by; nothing while a lesson asks.
    pub glow: Option<Glow>,
    /// Names that found no room in it.
    pub unplaced: Vec<String>,
    /// Counts the drawings.
    pub revision: u64,
    /// Revision of the document it shows.
    pub of: u64,
    /// Size of its ordinary letters, m; 0 before the first drawing.
    pub letter_m: f64,
}

/// Size of the plan's ordinary letters on the screen, logical pixels.
pub const LETTER: f64 = 11.5;
/// By how much they may be larger or smaller before the plan is drawn anew, as a factor.
const LETTER_SLACK: f64 = 1.2;

/// Whether letters of a size are about as large on the screen as they should be.
pub fn letter_fits(letter_m: f64, frame: &Frame) -> bool {
    let off = letter_m * frame.px_per_m / LETTER;
    (1.0 / LETTER_SLACK..LETTER_SLACK).contains(&off)
}

/// True when zooming has made the letters too large or too small.
pub fn letters_are_off(drawn: Res<CurrentDrawing>, frame: Res<Frame>) -> bool {
    drawn.drawing.is_some() && !letter_fits(drawn.letter_m, &frame)
}

pub fn describe(
    current: Res<CurrentAnswer>,
    base: Res<Baseline>,
    view: Res<View>,
    frame: Res<Frame>,
    teaching: Res<LessonState>,
    mut drawn: ResMut<CurrentDrawing>,
    mut clear: ResMut<ClearColor>,
) {
    let sheet = view.theme.quiet().sheet;
    clear.0 = Color::srgb_u8(sheet.r, sheet.g, sheet.b);
    let (revision, of) = (drawn.revision + 1, current.revision);
    // Names and dimensions lie a little differently in each view; the plan must not jump for that.
    let letter_m = if letter_fits(drawn.letter_m, &frame) { drawn.letter_m } else { LETTER / frame.px_per_m };
    let same = drawn.of == of && drawn.letter_m == letter_m && drawn.drawing.is_some();
    let before = same.then_some(drawn.extent);
    *drawn = current
        .solved
        .as_ref()
        .and_then(|solved| {
            let baseline = base.solved.as_deref();
            let plan_view = view.plan(solved, baseline)?;
            let (drawing, unplaced, glow) = match baseline.zip(view.change(solved, baseline)) {
                Some((base, glow)) => {
                    let (drawing, unplaced) = plan::difference(base, solved, &plan_view, Some(letter_m));
                    (drawing, unplaced, glow)
                }
                None => {
                    let (drawing, unplaced) = plan::lettered(solved, &plan_view, Some(letter_m));
                    (drawing, unplaced, plan_view.glow(view.heard(solved)?))
                }
            };
            let extent = before.into_iter().fold(extent(&drawing), |(min, max), (low, high)| {
                ([0, 1].map(|axis| low[axis].min(min[axis])), [0, 1].map(|axis| high[axis].max(max[axis])))
            });
            // While a lesson asks there is nothing to tell by colours.
            let glow = Some(glow).filter(|_| !teaching.asks());
            Some(CurrentDrawing { drawing: Some(drawing), extent, glow, unplaced, revision, of, letter_m })
        })
        .unwrap_or(CurrentDrawing { revision, of, letter_m, ..CurrentDrawing::default() });
}

/// The corners of everything but what stands beside the plan.
pub fn extent(drawing: &Drawing) -> (Point, Point) {
    let (mut min, mut max) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    let mut include = |point: Point, reach: [f64; 2]| {
        for axis in 0..2 {
            min[axis] = min[axis].min(point[axis] - reach[axis]);
            max[axis] = max[axis].max(point[axis] + reach[axis]);
        }
    };
    for shape in drawing.shapes.iter().filter(|shape| shape.part != Part::Page) {
        match &shape.form {
            Form::Polygon { rings, .. } => rings.iter().flatten().for_each(|point| include(*point, [0.0; 2])),
            Form::Line { points, stroke } => points.iter().for_each(|point| include(*point, [stroke.width_m / 2.0; 2])),
            Form::Circle { centre, radius_m, .. } => include(*centre, [*radius_m; 2]),
            // Wide enough whichever end the anchor is, or nearly: names stand in or beside what is counted already.
            Form::Text { at, text, style: Lettering { size_m, rotation_deg, .. } } => {
                let half = lettering::width(text) * size_m / 2.0;
                let turned = rotation_deg.to_radians();
                let reach = [half * turned.cos().abs() + 0.5 * size_m, half * turned.sin().abs() + 0.5 * size_m];
                include(*at, reach);
            }
        }
    }
    if min[0].is_finite() { (min, max) } else { (drawing.min, drawing.max) }
}
