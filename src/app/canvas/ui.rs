//! What the pointer does on the plan, and what egui paints over the mesh.

use bevy_egui::egui::{Align2, CursorIcon, Label, PointerButton, Pos2, Rect, RichText, Sense, Ui, UiBuilder, Vec2};

use super::storeys::stack_height;
use super::{CurrentDrawing, Frame, floating, hover, legend_ui, letters, scale_bar, storeys_ui};
use crate::app::solving::Solved;
use crate::app::theme::{Palette, font, size};
use crate::app::view::{Ask, Pointed, View};
use crate::output::drawing::Shown;
use crate::output::{By, Leaks, words};
use crate::scene::{Problem, Thing};
use crate::solve::BandChoice;

/// What stays free round a fitted plan for what floats over it, logical pixels: left, right, top, bottom.
const MARGINS: [f32; 4] = [26.0, 26.0, 84.0, 112.0];
/// The same beside the stack of storeys.
const BESIDE_STACK: f32 = 158.0;
/// In a narrower canvas there is no room for hints, logical pixels.
const HINTS_FROM: f32 = 620.0;
/// How many names that found no room in the plan are listed beside it.
const UNPLACED: usize = 5;
/// How near the pointer must be to a thin thing, logical pixels.
const REACH: f64 = 4.0;

/// What the canvas shows.
#[derive(Debug, Clone, Copy)]
pub struct CanvasView<'a> {
    /// The answer, if there is one.
    pub solved: Option<&'a Solved>,
    /// Why there is none.
    pub problems: &'a [Problem],
    /// The plan.
    pub drawn: &'a CurrentDrawing,
    /// What the plan is coloured by.
    pub leaks: Option<&'a Leaks>,
    /// What is looked at.
    pub view: &'a View,
    /// What is marked.
    pub pointed: &'a Pointed,
    /// True while the answer belongs to an earlier scene, or there is none yet.
    pub waiting: bool,
}

/// What the canvas returns.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CanvasAnswer {
    /// What the user asks for.
    pub asked: Option<Ask>,
    /// What lies under the pointer.
    pub under: Option<Shown>,
}

/// Moves the plan, paints its letters and marks, and says what lies under the pointer. Changes nothing but the frame.
pub fn canvas_ui(ui: &mut Ui, frame: &mut Frame, canvas: &CanvasView) -> CanvasAnswer {
    let palette = Palette::of(canvas.view.theme);
    let rect = ui.available_rect_before_wrap();
    let response = ui.interact(rect, ui.id().with("plan"), Sense::click_and_drag());
    frame.rect = rect;
    let mut answer = CanvasAnswer::default();

    let Some((drawing, solved)) = canvas.drawn.drawing.as_ref().zip(canvas.solved) else {
        let (heading, advice) = why_empty(canvas);
        empty(ui, &palette, rect, heading, advice);
        return answer;
    };
    if frame.fitted {
        fit(frame, canvas.drawn, solved.scene.storeys.len());
    }
    if response.dragged_by(PointerButton::Primary) || response.dragged_by(PointerButton::Middle) {
        frame.drag(response.drag_delta());
    }
    let pointer = response.hover_pos();
    if let Some(pointer) = pointer {
        let (scrolled, pinched) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
        let factor = (0.004 * scrolled).exp() * pinched;
        if (factor - 1.0).abs() > 1e-4 {
            frame.zoom(pointer, factor);
        }
    }

    let painter = ui.painter_at(rect);
    let under = pointer
        .filter(|_| !response.dragged())
        .and_then(|pointer| drawing.shown_at(frame.plan_from_screen(pointer), REACH / frame.px_per_m));
    if let Some(path) = marked_path(canvas, solved) {
        for face in [path.entry, path.exit] {
            hover::outline(&painter, frame, drawing, Shown::Surface(face), palette.listener, 2.5);
        }
    }
    if let Some(under) = under.filter(|under| !matches!(under, Shown::Space(_))) {
        hover::outline(&painter, frame, drawing, under, palette.ink, 1.5);
    }
    letters::paint(&painter, frame, drawing);

    answer.asked = over_plan(ui, frame, solved, canvas, &palette);
    if let (Some(pointer), Some(under)) = (pointer, under) {
        if let Some(told) = hover::told(canvas, under) {
            hover::paint_box(&painter, &palette, rect, pointer, &told);
        }
        if let Shown::Listener(at) = under {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
            let listener = solved.building.listeners.get(at).map(|placed| placed.listener.clone());
            if response.clicked() {
                answer.asked = listener.map(Ask::Listen);
            }
        }
    }
    if response.dragged() {
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    }
    answer.under = under;
    answer
}

/// Shows the whole plan.
fn fit(frame: &mut Frame, drawn: &CurrentDrawing, storeys: usize) {
    let [left, right, top, bottom] = MARGINS;
    let (mut beside, mut below) = (*frame, *frame);
    beside.fit(drawn.extent.0, drawn.extent.1, [BESIDE_STACK, right, top, bottom]);
    below.fit(drawn.extent.0, drawn.extent.1, [left, right, top + stack_height(storeys), bottom]);
    // Beside the stack of storeys or below it, wherever the plan comes out larger.
    *frame = if beside.px_per_m >= below.px_per_m { beside } else { below };
}

fn marked_path<'a>(canvas: &CanvasView, solved: &'a Solved) -> Option<&'a crate::solve::PathRecord> {
    let heard = solved.answer.listeners.get(canvas.view.listener_at(solved)?)?;
    heard.paths.get(canvas.pointed.marked()?)
}

fn why_empty(canvas: &CanvasView) -> (&'static str, &'static str) {
    match canvas.solved {
        None if canvas.waiting => ("Solving …", "The plan appears as soon as the answer is there."),
        None if canvas.problems.is_empty() => ("Nothing is open", "Start the program with the name of a scene file."),
        None if canvas.problems.iter().any(|problem| matches!(problem.thing, Thing::Text { .. })) => {
            ("This file cannot be read", "Put it right in a text editor: it is read again once it is saved.")
        }
        None => ("This scene cannot be solved yet", "What is wrong, and what to do about it, stands on the right."),
        Some(solved) if solved.scene.storeys.is_empty() => {
            ("This building has no storey", "Add one with walls and rooms to the scene file.")
        }
        Some(_) => ("Nobody is listening", "Add a listener to the scene file: a point in a room or outdoors."),
    }
}

/// A sentence in the middle of an empty canvas, and what to do about it.
fn empty(ui: &mut Ui, palette: &Palette, canvas: Rect, heading: &str, advice: &str) {
    for (text, letters, ink, below) in
        [(heading, 22.0, palette.ink, -16.0), (advice, size::TEXT, palette.soft_ink, 16.0)]
    {
        let place =
            Rect::from_center_size(canvas.center() + Vec2::new(0.0, below), Vec2::new(canvas.width() - 60.0, 30.0));
        ui.put(place, Label::new(RichText::new(text).size(letters).color(ink)));
    }
}

/// Title, storeys, legend, scale and hints.
fn over_plan(ui: &mut Ui, frame: &Frame, solved: &Solved, canvas: &CanvasView, palette: &Palette) -> Option<Ask> {
    let rect = frame.rect;
    let painter = ui.painter_at(rect);
    let storey = canvas.view.storey_at(solved).and_then(|at| solved.scene.storeys.get(at));
    let left_top = rect.left_top() + Vec2::new(18.0, 14.0);
    let title = painter.layout(solved.scene.name.clone(), font(22.0), palette.ink, rect.width() - 36.0);
    let bands = match canvas.view.bands {
        BandChoice::AWeighted => "all bands, A-weighted".to_owned(),
        other => other.label(),
    };
    let by = match canvas.view.by {
        By::Entry => "lit where sound leaves the loud room",
        By::Exit => "lit where sound comes out at the listener",
    };
    let line = format!("{}  ·  {bands}  ·  {by}", storey.map_or(String::new(), |storey| words::heading(&storey.name)));
    let line = painter.layout(line, font(size::TEXT), palette.soft_ink, rect.width() - 36.0);
    // The sheet's own colour behind what stands on it: seen only where the plan has been moved beneath.
    let behind =
        |area: Rect| painter.rect_filled(area.expand2(Vec2::new(8.0, 5.0)), 6.0, palette.sheet.gamma_multiply(0.86));
    behind(Rect::from_min_size(left_top, Vec2::new(title.size().x.max(line.size().x), 48.0)));
    painter.galley(left_top, title, palette.ink);
    painter.galley(left_top + Vec2::new(0.0, 29.0), line, palette.soft_ink);
    if canvas.waiting {
        let place = rect.right_top() + Vec2::new(-18.0, 18.0);
        painter.text(place, Align2::RIGHT_TOP, "Solving …", font(size::TEXT), palette.alert);
    }

    let stack = Rect::from_min_size(left_top + Vec2::new(0.0, 62.0), Vec2::new(140.0, rect.height() - 200.0));
    let mut stack_ui = ui.new_child(UiBuilder::new().max_rect(stack));
    let asked = storeys_ui(&mut stack_ui, solved, canvas.view);

    let wide = (rect.width() - 36.0).min(330.0);
    let corner = Pos2::new(rect.left() + 14.0, rect.bottom() - 96.0);
    let legend = Rect::from_min_size(corner, Vec2::new(wide, 84.0));
    let mut legend_area = ui.new_child(UiBuilder::new().max_rect(legend));
    let heard = canvas.view.listener_at(solved).and_then(|at| solved.answer.listeners.get(at));
    let heading = heard.map_or(String::new(), |heard| format!("{}: share of the sound", words::heading(&heard.name)));
    floating(palette).show(&mut legend_area, |ui| legend_ui(ui, canvas.view.theme, &heading));

    let wide = if rect.width() > HINTS_FROM { 264.0 } else { 160.0 };
    behind(Rect::from_min_max(
        rect.right_bottom() - Vec2::new(wide, 62.0),
        rect.right_bottom() - Vec2::new(12.0, 12.0),
    ));
    scale_bar::paint(&painter, palette, frame, rect.right_bottom() - Vec2::new(18.0, 42.0));
    let mut foot = rect.right_bottom() - Vec2::new(18.0, 70.0);
    for name in canvas.drawn.unplaced.iter().take(UNPLACED).rev() {
        let line = painter.layout_no_wrap(name.clone(), font(size::SMALL), palette.soft_ink);
        let area = Align2::RIGHT_BOTTOM.anchor_size(foot, line.size());
        behind(area);
        painter.galley(area.min, line, palette.soft_ink);
        foot.y -= 16.0;
    }
    if rect.width() > HINTS_FROM {
        let place = rect.right_bottom() - Vec2::new(16.0, 14.0);
        let hint = "Drag to move  ·  wheel to zoom  ·  F shows all";
        painter.text(place, Align2::RIGHT_BOTTOM, hint, font(size::SMALL), palette.soft_ink);
    }
    asked
}
