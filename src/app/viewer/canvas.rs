//! What the pointer does on the plan, and what egui paints over the mesh.

use bevy_egui::egui::{Align2, CursorIcon, Painter, PointerButton, Pos2, Rect, Sense, Stroke, Ui, Vec2};

use crate::app::command::Command;
use crate::app::theme::{Palette, font, size};
use crate::app::view::Compare;
use crate::app::viewer::areas::Areas;
use crate::app::viewer::canvas_view::CanvasView;
use crate::app::viewer::cut::cut_ui;
use crate::app::viewer::floating::{floating_ui, head_height};
use crate::app::viewer::frame::Frame;
use crate::app::viewer::hover::{about, outline, paint_box};
use crate::app::viewer::letters::paint_letters;
use crate::app::viewer::particle_paint::{OnScreen, names_on, paint_lines, paint_particles};
use crate::app::viewer::storeys::stack_height;
use crate::app::widgets::empty;
use crate::output::drawing::Shown;
use crate::output::streaming::Sight;
use crate::project::Solved;
use crate::scene::Thing;

/// What stays free round a fitted plan for what floats over it, logical pixels: left, right, top, bottom.
const MARGINS: [f32; 4] = [26.0, 26.0, 84.0, 120.0];
/// The same at the foot where the legends are folded, or while the plan shares the canvas with the section below.
const FOLDED: f32 = 52.0;
const ABOVE_SECTION: f32 = 14.0;
/// The same beside the stack of storeys.
const BESIDE_STACK: f32 = 158.0;
/// What stays free round a section, logical pixels: left, right, top, bottom.
const SECTION_MARGINS: [f32; 4] = [26.0, 26.0, 26.0, 136.0];
/// How near the pointer must be to a thin thing, logical pixels.
const REACH: f64 = 4.0;

/// Moves the plan, paints its letters and marks, and returns what lies under the pointer. Changes nothing but the frames: of the plan, and of
/// the section below it.
pub fn canvas_ui(
    ui: &mut Ui,
    frame: &mut Frame,
    section: &mut Frame,
    canvas: &CanvasView,
    commands: &mut Vec<Command>,
) -> Option<Shown> {
    let palette = Palette::of(canvas.view.theme);
    let areas = Areas::of(ui.available_rect_before_wrap(), canvas.view, canvas.base.is_some(), canvas.plain);
    let rect = areas.plan;
    let response = ui.interact(rect, ui.id().with("plan"), Sense::click_and_drag());
    frame.rect = rect;

    let Some((drawing, solved)) = canvas.drawn.drawing.as_ref().zip(canvas.solved) else {
        let (heading, advice) = why_empty(canvas);
        empty(ui, &palette, areas.whole, heading, advice);
        return None;
    };
    if frame.fitted {
        fit(frame, canvas, solved.scene.storeys.len(), &areas);
    }
    if areas.section_is_whole() {
        let under = section_ui(ui, section, areas.whole, canvas, solved, &palette);
        floating_ui(ui, section, solved, canvas, &palette, &areas, commands);
        return under;
    }
    if response.dragged_by(PointerButton::Primary) || response.dragged_by(PointerButton::Middle) {
        frame.drag(response.drag_delta());
    }
    let pointer = response.hover_pos();
    frame.zoom_by_wheel(ui, pointer);

    let painter = ui.painter_at(rect);
    let under = pointer
        .filter(|_| !response.dragged())
        .and_then(|pointer| drawing.shown_at(frame.plan_from_screen(pointer), REACH / frame.px_per_m));
    let marked = canvas.highlight.marked();
    let heard = canvas.view.heard(solved);
    if let Some(path) = marked.zip(heard).and_then(|(marked, heard)| heard.paths.get(marked)) {
        for face in [path.entry, path.exit] {
            outline(&painter, frame, drawing, Shown::Surface(face), palette.listener, 2.5);
        }
    }
    if let Some(under) = under.filter(|under| !matches!(under, Shown::Space(_))) {
        outline(&painter, frame, drawing, under, palette.ink, 1.5);
    }
    let storey = canvas.view.storey_at(solved).and_then(|at| solved.scene.storeys.get(at));
    let names = names_on(frame, drawing);
    let on_plan = OnScreen { frame, names: &names, sight: storey.map_or(Sight::Plan([0.0; 2]), Sight::of_storey) };
    streaming(&painter, canvas, solved, &on_plan);
    paint_letters(&painter, frame, drawing);
    if let Some(cut) = canvas.view.cut {
        commands.extend(cut_ui(ui, frame, &palette, cut).map(Command::Cut));
    }
    commands.extend(baseline_ui(ui, frame, &palette, canvas, &areas));
    let in_section = areas.section.and_then(|area| section_ui(ui, section, area, canvas, solved, &palette));
    floating_ui(ui, frame, solved, canvas, &palette, &areas, commands);
    if let (Some(pointer), Some(under)) = (pointer, under) {
        if let Some(text) = about(canvas, under) {
            paint_box(&painter, &palette, rect, pointer, &text);
        }
        if let Shown::Listener(at) = under {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
            let listener = solved.building.listeners.get(at).map(|placed| placed.listener.clone());
            if response.clicked() {
                commands.extend(listener.map(Command::Listen));
            }
        }
    }
    if response.dragged() {
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    }
    under.or(in_section)
}

/// The lines of the strongest paths, and the motes on their way.
fn streaming(painter: &Painter, canvas: &CanvasView, solved: &Solved, beside: &OnScreen) {
    let Some(heard) = canvas.view.heard(solved) else { return };
    let kind = |at: usize| heard.paths.get(at).map(|path| path.kind);
    paint_lines(painter, canvas.particles, kind, canvas.highlight.marked(), canvas.view.theme, beside);
    paint_particles(painter, canvas.particles, canvas.view.theme, beside);
}

/// The plan that was kept: beside the plan as it is, or over its left part, with a line to drag.
fn baseline_ui(ui: &mut Ui, frame: &Frame, palette: &Palette, canvas: &CanvasView, areas: &Areas) -> Option<Command> {
    let sheet = canvas.side_drawings.base.as_ref()?;
    let (area, own) = match (areas.base, canvas.view.compare) {
        (Some(area), _) => (area, Frame { rect: area, ..*frame }),
        (None, Compare::Wipe(part)) => {
            let edge = frame.rect.left() + part.clamp(0.02, 0.98) * frame.rect.width();
            (Rect::from_min_max(frame.rect.min, Pos2::new(edge, frame.rect.bottom())), *frame)
        }
        _ => return None,
    };
    sheet.paint(&ui.painter_at(area), &own);
    paint_letters(&ui.painter_at(area), &own, &sheet.drawing);
    let painter = ui.painter();
    // Below the title and what stands beside it.
    let top = area.top() + 92.0;
    let long = bevy_egui::egui::Rangef::new(top, area.bottom());
    painter.vline(area.right(), long, Stroke::new(1.5, palette.listener));
    let mark = |text: &str, right: bool| {
        let (x, align) =
            if right { (area.right() + 10.0, Align2::LEFT_TOP) } else { (area.right() - 10.0, Align2::RIGHT_TOP) };
        painter.text(Pos2::new(x, top), align, text, font(size::TEXT), palette.listener);
    };
    let [kept, now] = canvas.names;
    mark(kept, false);
    mark(now, true);
    let Compare::Wipe(_) = canvas.view.compare else { return None };
    let grip = Rect::from_center_size(Pos2::new(area.right(), area.center().y), Vec2::new(14.0, 44.0));
    let response = ui.interact(grip, ui.id().with("wipe"), Sense::drag()).on_hover_cursor(CursorIcon::ResizeHorizontal);
    let lit = response.hovered() || response.dragged();
    ui.painter().rect_filled(grip.shrink2(Vec2::new(3.0, 6.0)), 4.0, if lit { palette.ink } else { palette.listener });
    let pointer = response.interact_pointer_pos().filter(|_| response.dragged())?;
    Some(Command::Compare(Compare::Wipe(((pointer.x - frame.rect.left()) / frame.rect.width()).clamp(0.02, 0.98))))
}

/// The section below the plan or beside it, with its motes; what lies under the pointer in it.
fn section_ui(
    ui: &mut Ui,
    frame: &mut Frame,
    area: Rect,
    canvas: &CanvasView,
    solved: &Solved,
    palette: &Palette,
) -> Option<Shown> {
    let painter = ui.painter_at(area);
    painter.rect_filled(area, 0.0, palette.sheet);
    let (sheet, cut) = (canvas.side_drawings.section.as_ref()?, canvas.view.cut?);
    frame.rect = area;
    let [left, right, mut top, mut bottom] = SECTION_MARGINS;
    let areas = Areas::of(ui.available_rect_before_wrap(), canvas.view, canvas.base.is_some(), canvas.plain);
    if areas.folded {
        bottom = FOLDED;
    }
    let below = areas.section_is_below();
    if !below {
        top = 26.0 + head_height(&areas, canvas);
    }
    frame.fit(sheet.extent.0, sheet.extent.1, [left, right, top, bottom]);
    sheet.paint(&painter, frame);
    let rule = Stroke::new(1.0, palette.rule);
    if below {
        painter.hline(area.x_range(), area.top(), rule);
    } else {
        painter.vline(area.left() + 0.5, area.y_range(), rule);
    }
    let names = names_on(frame, &sheet.drawing);
    streaming(&painter, canvas, solved, &OnScreen { frame, names: &names, sight: Sight::Section(cut) });
    paint_letters(&painter, frame, &sheet.drawing);
    let ends = [("A", cut.from), ("B", cut.to)];
    for (name, end) in ends {
        let place = frame.screen_from_plan([cut.project([end[0], end[1], 0.0])[0], sheet.extent.1[1]]);
        let place = Pos2::new(place.x, area.top() + top - 12.0);
        painter.text(place, Align2::CENTER_CENTER, name, font(size::TEXT), palette.listener);
    }
    let pointer = ui.input(|input| input.pointer.hover_pos()).filter(|pointer| area.contains(*pointer))?;
    let under = sheet.drawing.shown_at(frame.plan_from_screen(pointer), REACH / frame.px_per_m)?;
    if !matches!(under, Shown::Space(_)) {
        outline(&painter, frame, &sheet.drawing, under, palette.ink, 1.5);
    }
    if let Some(text) = about(canvas, under) {
        paint_box(&painter, palette, area, pointer, &text);
    }
    Some(under)
}

/// Shows the whole plan.
fn fit(frame: &mut Frame, canvas: &CanvasView, storeys: usize, areas: &Areas) {
    let drawn = canvas.drawn;
    let [left, right, top, mut bottom] = MARGINS;
    let head = head_height(areas, canvas);
    let top = top.max(head + 18.0);
    if areas.section_is_below() {
        bottom = ABOVE_SECTION;
    } else if areas.folded {
        bottom = FOLDED;
    }
    if areas.base.is_some() {
        // The stack of storeys and the title stand over the plan that was kept.
        frame.fit(drawn.extent.0, drawn.extent.1, [left, right, top, bottom]);
        return;
    }
    let (mut beside, mut below) = (*frame, *frame);
    beside.fit(drawn.extent.0, drawn.extent.1, [BESIDE_STACK, right, top, bottom]);
    below.fit(drawn.extent.0, drawn.extent.1, [left, right, head + stack_height(storeys) + 22.0, bottom]);
    // Beside the stack of storeys or below it, wherever the plan comes out larger.
    *frame = if beside.px_per_m >= below.px_per_m { beside } else { below };
}

fn why_empty(canvas: &CanvasView) -> (&'static str, &'static str) {
    match canvas.solved {
        None if canvas.waiting => ("Solving …", "The plan appears as soon as the answer is there."),
        None if canvas.problems.is_empty() => {
            ("Nothing is open", "Press Ctrl+N to begin a scene, or Ctrl+O to open one.")
        }
        None if canvas.problems.iter().any(|problem| matches!(problem.thing, Thing::Text { .. })) => {
            ("This file cannot be read", "Put it right in a text editor: it is read again once it is saved.")
        }
        None => {
            ("This scene cannot be solved yet", "What is wrong stands on the right: click a card to see the place.")
        }
        Some(solved) if solved.scene.storeys.is_empty() => {
            ("This building has no storey", "Press M to draw, then “Add” for a storey, and R for its first room.")
        }
        Some(_) => ("Nobody is listening", "Press M to draw, then E, and click where somebody listens."),
    }
}
