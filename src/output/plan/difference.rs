//! What changes from one build to another, drawn on the plan of the other; and both builds beside it.

use crate::building::{Building, ElementShape};
use crate::catalogue::Catalogue;
use crate::output::changes::{Changes, Fate};
use crate::output::glow::Glow;
use crate::solve::Surface;

use super::geometry::{Patch, band, between};
use super::{Canvas, Drawing, Form, Part, PlanView, Point, Stroke, Variant, empty};

/// Draws what changes from `base` to `other` at a listener: blue where less passes, red where more, grey where nothing changes.
///
/// `view` is one of `other`; its scale has no say. Faces are matched by their stable ids; what is only in the base is outlined where it
/// was. As with [`super::lettered`], `letter_m` is the size of ordinary letters, m, and the names that found no room come beside the drawing.
/// A view beyond the ends of the scene, or a listener the base does not have, gives an empty sheet.
#[must_use]
pub fn difference(
    catalogue: &Catalogue,
    base: Variant,
    other: Variant,
    view: &PlanView,
    letter_m: Option<f64>,
) -> (Drawing, Vec<String>) {
    let (Some(storey), Some(mut canvas)) =
        (other.scene.storeys.get(view.storey), changed(catalogue, base, other, view, letter_m))
    else {
        return (empty(other.scene, view), vec![]);
    };
    canvas.storey(true);
    canvas.finished(storey)
}

/// A canvas lit by the difference, with its list.
fn changed<'a>(
    catalogue: &'a Catalogue,
    base: Variant<'a>,
    other: Variant<'a>,
    view: &'a PlanView,
    letter_m: Option<f64>,
) -> Option<Canvas<'a>> {
    let heard = other.answer.listeners.get(view.listener)?;
    let before = base.answer.listeners.iter().find(|before| before.listener == heard.listener)?;
    let changes = Changes::of((base.building, before), (other.building, heard), view.band, view.by);
    let glow = Glow::difference(changes, heard, view.band, view.by, view.theme);
    let mut canvas = Canvas::new(catalogue, other, heard, view, glow, letter_m);
    canvas.base = Some((base.building, before));
    canvas.listed = canvas.most_changed();
    Some(canvas)
}

/// Where a face of a building is on a storey: rings round it.
fn rings(building: &Building, face: Surface, shown: usize) -> Vec<Vec<Point>> {
    if let Surface::Duct(at) = face {
        let ends = building.ducts.get(at).map(|duct| duct.ends);
        let here = ends.filter(|ends| ends.iter().any(|end| end.storey == shown));
        return here.map(|ends| band(ends.map(|end| end.at), 0.1)).into_iter().collect();
    }
    let Some(element) = face.element().and_then(|at| building.elements.get(at.0)) else { return vec![] };
    match (&element.shape, face) {
        (ElementShape::Wall { storey, thickness_m, .. }, Surface::Opening(_, at) | Surface::Gap(_, at))
            if *storey == shown =>
        {
            element.openings.get(at).map(|opening| band(opening.line, *thickness_m)).into_iter().collect()
        }
        (ElementShape::Wall { storey, line, thickness_m, .. }, _) if *storey == shown => {
            vec![band(*line, *thickness_m)]
        }
        (ElementShape::Slab { pieces, .. }, _) => {
            let on = element.sides.iter().any(|side| super::storey_of(building, *side) == Some(shown));
            if on { pieces.iter().flatten().cloned().collect() } else { vec![] }
        }
        (ElementShape::Wall { .. }, _) => vec![],
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
                let stroke = Stroke { colour, width_m: 0.22 * unit, dash_m: Some([0.6 * unit, 0.45 * unit]) };
                self.push(Part::Plan, None, Form::Line { points, stroke });
            }
        }
    }

    /// The numbers of listed faces that are only in the base.
    pub(super) fn gone_badges(&mut self) {
        let Some((base, _)) = self.base else { return };
        let unit = self.unit;
        for at in 0..self.listed.len() {
            let (None, Some(face)) = (self.listed[at].face, self.listed[at].before) else { continue };
            let Some(ring) = rings(base, face, self.view.storey).into_iter().next() else { continue };
            let bounds = Patch::around(&ring);
            let spots = [0.5, 0.3, 0.7, 0.15, 0.85].map(|part| between(bounds.min, bounds.max, part));
            let patch = |centre: Point| Patch::about(centre, 1.7 * unit, 1.7 * unit);
            let free = spots.iter().find(|place| !self.taken.iter().any(|taken| taken.meets(&patch(**place))));
            let centre = *free.unwrap_or(&spots[0]);
            self.taken.push(patch(centre));
            self.badge(Part::Plan, centre, at + 1, None);
        }
    }
}
