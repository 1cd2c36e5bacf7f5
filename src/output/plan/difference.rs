//! What changes from one build to another, drawn on the plan of the other; and both builds beside it.

use crate::building::{Building, ElementShape};
use crate::output::changes::{Changes, Fate};
use crate::output::draw::Draw;
use crate::output::drawing::{Drawing, Lettering, Part, Point, Stroke};
use crate::output::glow::{Glow, Scale};
use crate::output::lettering::{cut, width};
use crate::output::names;
use crate::output::page::canvas::{Listed, empty};
use crate::output::page::geometry::{Patch, band};
use crate::output::plan::{Canvas, alone, on_canvas};
use crate::output::view::PlanView;
use crate::project::Solved;
use crate::scene::Scene;
use crate::solve::Surface;

/// Width and height a plan may have among others, in letters.
const PANEL: [f64; 2] = [46.0, 40.0];
/// Between two plans, in letters.
const GAP: f64 = 4.0;

/// Draws what changes from `base` to `other` at a listener: blue where less passes, red where more, grey where nothing changes.
///
/// `view` is one of `other`; its scale has no say. Faces are matched by their stable ids; what is only in the base is outlined where it
/// was. As with [`lettered`](super::lettered), `letter_m` is the size of ordinary letters, m, and the names that found no room come beside the drawing.
/// A view beyond the ends of the scene, or a listener the base does not have, gives an empty page.
#[must_use]
pub fn difference(base: &Solved, other: &Solved, view: &PlanView, letter_m: Option<f64>) -> (Drawing, Vec<String>) {
    alone(other, view, changed(base, other, view, letter_m))
}

/// Draws both builds by level on one scale, and what changes: three plans in a row, with one list. The numbers are the same faces in each.
///
/// `view` is one of `other`. Where its scale is of shares, which cannot be compared, a scale of levels that fits both is taken.
/// A view beyond the ends of either scene, or a listener the base does not have, gives an empty page.
#[must_use]
pub fn compared(base: &Solved, other: &Solved, view: &PlanView) -> Drawing {
    panels(base, other, view).unwrap_or_else(|| empty(&other.scene, view.theme))
}

fn panels(base: &Solved, other: &Solved, view: &PlanView) -> Option<Drawing> {
    let storey = other.scene.storeys.get(view.storey)?;
    let heard = other.answer.listeners.get(view.listener)?;
    let (at, before) =
        base.answer.listeners.iter().enumerate().find(|(_, before)| before.listener == heard.listener)?;
    // The base may count its storeys and listeners otherwise.
    let shown = base.scene.storeys.iter().position(|found| found.id == storey.id);
    let [wide, high] = on_canvas(other, view, None, None)?.extent.size();
    let letter_m = Some((wide / PANEL[0]).max(high / PANEL[1]));
    let scale = match view.scale {
        Scale::Level { .. } => view.scale,
        Scale::Share => Scale::level_for([view.glow(before).leaks(), view.glow(heard).leaks()]),
    };
    let base_view = PlanView { storey: shown.unwrap_or(usize::MAX), listener: at, scale, ..*view };
    let other_view = PlanView { scale, ..*view };

    let mut change = changed(base, other, view, letter_m)?;
    let listed = change.listed.clone();
    change.storey(false);
    let mut first = on_canvas(base, &base_view, None, letter_m)?;
    first.listed = listed.iter().map(|face| Listed { face: face.before, ..face.clone() }).collect();
    let mut second = on_canvas(other, &other_view, None, letter_m)?;
    second.listed = listed;
    for canvas in [&mut first, &mut second] {
        canvas.storey(false);
    }

    // Side by side, the change last, so that what stands beside it stands beside all.
    let unit = change.unit;
    let mut frame = change.frame;
    for canvas in [&first, &second] {
        frame.include(canvas.frame.min);
        frame.include(canvas.frame.max);
    }
    let step = frame.size()[0] + GAP * unit;
    let mut shapes = Vec::new();
    for (place, canvas) in [&first, &second].into_iter().enumerate() {
        let by = [step * place as f64, 0.0];
        shapes.extend(canvas.shapes.iter().map(|shape| shape.moved(by)));
    }
    for shape in &mut change.shapes {
        *shape = shape.moved([2.0 * step, 0.0]);
    }
    let top = frame.max[1] + 1.6 * unit;
    let named = base.scene.name != other.scene.name;
    let level = |canvas: &Canvas, scene: &Scene| {
        let total = canvas.glow.total_label();
        if named { format!("{total}  ·  {}", scene.name) } else { total }
    };
    let total = change.glow.changes().and_then(Changes::total_db).map_or(String::new(), change_words);
    let heads = [
        ("Before", level(&first, &base.scene)),
        ("After", level(&second, &other.scene)),
        ("Change", format!("{total}blue passes less, red more")),
    ];
    for (place, (title, note)) in heads.into_iter().enumerate() {
        let x = frame.min[0] + step * place as f64;
        let style = Lettering::new(1.3 * unit, change.quiet.ink).strong();
        change.text(Part::Page, [x, top], title, style);
        let from = x + (width(title) * 1.3 + 0.8) * unit;
        let room = (x + frame.size()[0] - from) / unit;
        let style = Lettering::new(unit, change.quiet.soft_ink);
        change.text(Part::Page, [from, top], &cut(&note, room), style);
    }
    change.frame = Patch { min: frame.min, max: [frame.max[0] + 2.0 * step, frame.max[1] + 1.2 * unit] };
    let legends = [second.glow, change.glow.clone()];
    let (mut drawing, _) = change.with_column(storey, &legends);
    shapes.append(&mut drawing.shapes);
    drawing.shapes = shapes;
    Some(drawing)
}

/// "6 dB less in all  ·  ", in whole decibels.
fn change_words(db: f64) -> String {
    match db.round() {
        0.0 => "no change in all  ·  ".to_owned(),
        whole if whole < 0.0 => format!("{:.0} dB less in all  ·  ", -whole),
        whole => format!("{whole:.0} dB more in all  ·  "),
    }
}

/// A canvas lit by the difference, with its list.
fn changed<'a>(base: &'a Solved, other: &'a Solved, view: &'a PlanView, letter_m: Option<f64>) -> Option<Canvas<'a>> {
    let heard = other.answer.listeners.get(view.listener)?;
    let before = base.answer.listeners.iter().find(|before| before.listener == heard.listener)?;
    let changes = Changes::of((&base.building, before), (&other.building, heard), view.band, view.by);
    let glow = Glow::difference(changes, heard, view.band, view.by, view.theme);
    let mut canvas = on_canvas(other, view, Some(glow), letter_m)?;
    canvas.base = Some((&base.building, before));
    canvas.listed = canvas.most_changed();
    Some(canvas)
}

/// Where a face of a building is on a storey: rings round it.
pub(super) fn rings(building: &Building, face: Surface, shown: usize) -> Vec<Vec<Point>> {
    if !names::on_storeys(building, face).contains(&shown) {
        return vec![];
    }
    if let Surface::Duct(at) = face {
        return vec![band(building.ducts[at].ends.map(|end| end.at), 0.1)];
    }
    let Some(element) = face.element().and_then(|at| building.elements.get(at.0)) else { return vec![] };
    match (&element.shape, face) {
        (ElementShape::Wall { thickness_m, .. }, Surface::Opening(_, at) | Surface::Gap(_, at)) => {
            element.openings.get(at).map(|opening| band(opening.line, *thickness_m)).into_iter().collect()
        }
        (ElementShape::Wall { line, thickness_m, .. }, _) => vec![band(*line, *thickness_m)],
        (ElementShape::Slab { pieces, .. }, _) => pieces.iter().flatten().cloned().collect(),
    }
}

impl Canvas<'_> {
    /// Dashed outlines of what is only in the base.
    pub(super) fn gone(&mut self) {
        let (Some((base, _)), Some(changes)) = (self.base, self.glow.changes()) else { return };
        let lost: Vec<Surface> = changes
            .faces
            .iter()
            .filter(|face| face.other.is_none() && changes.fate(face) == Some(Fate::Goes))
            .filter_map(|face| face.base)
            .collect();
        let (unit, colour) = (self.unit, self.glow.colour_at(0.0));
        for face in lost {
            for mut points in rings(base, face, self.view.storey) {
                points.extend(points.first().copied());
                let stroke = Stroke::dashed(colour, 0.22 * unit, [0.6 * unit, 0.45 * unit]);
                self.stroke(Part::Plan, None, &points, stroke);
            }
        }
    }
}
