//! What is drawn beside the plan: the plan that was kept, and the section. Painted by egui, which keeps each within its part.

use bevy::prelude::*;
use bevy_egui::egui::epaint::{Mesh, Vertex, WHITE_UV};
use bevy_egui::egui::{Painter, Shape};

use crate::app::solving::CurrentAnswer;
use crate::app::theme::color;
use crate::app::view::{Baseline, Compare, View};

use crate::app::viewer::drawing::{CurrentDrawing, LETTER, extent, letter_fits};
use crate::app::viewer::frame::Frame;
use crate::app::viewer::tessellate::{Triangles, tessellate};
use crate::output::drawing::{Drawing, Point};
use crate::output::{PlanView, plan, section};
use crate::project::Solved;

/// A drawing made ready for the screen.
#[derive(Debug, Clone, PartialEq)]
pub struct SideDrawing {
    pub drawing: Drawing,
    pub extent: (Point, Point),
    /// Size of its ordinary letters, m.
    pub letter_m: f64,
    triangles: Triangles,
}

impl SideDrawing {
    fn of(drawing: Drawing, letter_m: f64) -> Self {
        // Ordinary letters are LETTER pixels high: a pixel is that part of them.
        let triangles = tessellate(&drawing, letter_m / LETTER);
        Self { extent: extent(&drawing), letter_m, triangles, drawing }
    }

    /// Paints it without its letters where the frame says, on its own ground, within the painter's clip.
    pub fn paint(&self, painter: &Painter, frame: &Frame) {
        painter.rect_filled(painter.clip_rect(), 0.0, color(self.drawing.background));
        let corners = self.triangles.corners.iter().zip(&self.triangles.colours);
        let vertices = corners.map(|([x, y, _], [r, g, b, a])| Vertex {
            pos: frame.screen_from_plan([f64::from(*x), f64::from(*y)]),
            uv: WHITE_UV,
            color: bevy_egui::egui::Rgba::from_rgba_unmultiplied(*r, *g, *b, *a).into(),
        });
        let mesh = Mesh { vertices: vertices.collect(), indices: self.triangles.indices.clone(), ..Mesh::default() };
        painter.add(Shape::mesh(mesh));
    }
}

/// The drawings beside the plan, while they are shown.
#[derive(Debug, Clone, Default, Resource)]
pub struct SideDrawings {
    pub base: Option<SideDrawing>,
    pub section: Option<SideDrawing>,
}

/// Where the section lies on the screen.
#[derive(Debug, Clone, Copy, Default, PartialEq, Resource)]
pub struct SectionFrame(pub Frame);

/// True when their letters have become too large or too small.
pub fn letters_are_off(
    side_drawings: Res<SideDrawings>,
    frame: Res<Frame>,
    section: Res<SectionFrame>,
    drawn: Res<CurrentDrawing>,
) -> bool {
    let off = |drawing: &Option<SideDrawing>, frame: &Frame| {
        drawing.as_ref().is_some_and(|drawing| !letter_fits(drawing.letter_m, frame))
    };
    off(&side_drawings.base, &frame)
        || off(&side_drawings.section, &section.0)
        || side_drawings.base.as_ref().is_some_and(|base| base.letter_m != drawn.letter_m)
}

/// Draws what is shown beside the plan.
pub fn describe(
    current: Res<CurrentAnswer>,
    base: Res<Baseline>,
    view: Res<View>,
    drawn: Res<CurrentDrawing>,
    section_frame: Res<SectionFrame>,
    mut side_drawings: ResMut<SideDrawings>,
) {
    let solved = current.solved.as_deref();
    let baseline = base.solved.as_deref();
    let shown = matches!(view.compare, Compare::Beside | Compare::Wipe(_));
    side_drawings.base = solved.zip(baseline.filter(|_| shown)).and_then(|(solved, baseline)| {
        let mut plan_view = view.plan(baseline, Some(solved))?;
        plan_view.scale = view.scale(solved, Some(baseline));
        let letter_m = drawn.letter_m;
        let (drawing, _) = plan::lettered(baseline, &plan_view, Some(letter_m));
        Some(SideDrawing::of(drawing, letter_m))
    });
    let letter_m = LETTER / section_frame.0.px_per_m;
    side_drawings.section = solved.and_then(|solved| section_drawing(solved, &view, baseline, letter_m));
}

fn section_drawing(solved: &Solved, view: &View, baseline: Option<&Solved>, letter_m: f64) -> Option<SideDrawing> {
    let cut = view.cut?;
    let shown = PlanView { storey: usize::MAX, ..view.plan(solved, baseline)? };
    // While the plan shows changes, so does the section.
    let change = view.change(solved, baseline);
    let (drawing, _) = section::lit_by(solved, cut, &shown, change, Some(letter_m));
    Some(SideDrawing::of(drawing, letter_m))
}
