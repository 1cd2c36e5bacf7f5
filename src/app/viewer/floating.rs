//! What floats over the canvas: title, storeys, legend, the key to the motes, and the ways to look.

use bevy_egui::egui::{self, Align, Align2, Button, Id, Layout, Pos2, Rect, RichText, Ui, UiBuilder, Vec2};

use crate::app::command::Command;
use crate::app::theme::{Palette, font, size};
use crate::app::view::Compare;
use crate::app::viewer::areas::Areas;
use crate::app::viewer::canvas_view::CanvasView;
use crate::app::viewer::frame::Frame;
use crate::app::viewer::legend::{legend_ui, scale_bar};
use crate::app::viewer::particle_controls::{controls_ui, kinds_height, kinds_ui};
use crate::app::viewer::storeys::storeys_ui;
use crate::app::widgets::{boxed, small_button};
use crate::output::glow::SHARED;
use crate::output::{By, words};
use crate::project::Solved;
use crate::solve::BandChoice;

/// In a narrower canvas there is no room for hints, logical pixels.
const HINTS_FROM: f32 = 620.0;
/// How many names that found no room in the plan are listed beside it.
const UNPLACED: usize = 5;
/// Width of the legend, of what stands beside it and of the scale on the right, logical pixels.
const LEGEND_WIDE: f32 = 330.0;
const STREAM_WIDE: f32 = 560.0;
const STREAM_LEAST: f32 = 380.0;
const SCALE_WIDE: f32 = 276.0;
/// In a narrower canvas the ways to look stand below the title: with something kept to compare with, and without, logical pixels.
const ROW_KEPT: f32 = 1120.0;
const ROW_ALONE: f32 = 860.0;
/// Between the foot of the canvas and what floats there, and height of the controls of the motes, logical pixels.
const FOOT: f32 = 13.0;
const CONTROLS: f32 = 34.0;
/// Height of the button that opens folded legends, with what is free above it, logical pixels.
const LEGEND_BUTTON: f32 = 34.0;
/// Heights of the title and of a row of ways to look, with what is free below, logical pixels.
const TITLE: f32 = 62.0;
const ROW: f32 = 36.0;

/// Rows of ways to look that stand below the title, where they do not fit beside it.
fn rows_below(rect: Rect, canvas: &CanvasView) -> usize {
    match (canvas.plain, canvas.base.is_some()) {
        (true, _) => 0,
        (false, false) => usize::from(rect.width() < ROW_ALONE),
        (false, true) if rect.width() < ROW_ALONE => 2,
        (false, true) => usize::from(rect.width() < ROW_KEPT),
    }
}

/// How far down title and ways to look reach, logical pixels.
pub fn head_height(areas: &Areas, canvas: &CanvasView) -> f32 {
    TITLE + ROW * rows_below(areas.whole, canvas) as f32
}

/// Whether the legends are to be seen: always where there is room for them, else once their button was pressed.
fn legends_are_open(ui: &mut Ui, areas: &Areas) -> bool {
    if !areas.folded {
        return true;
    }
    let id = Id::new("legends are open");
    let mut open = ui.data(|data| data.get_temp(id).unwrap_or(false));
    let place = Rect::from_min_size(areas.whole.left_bottom() + Vec2::new(14.0, -FOOT - 26.0), Vec2::new(72.0, 26.0));
    let button = Button::new(RichText::new("Legend").size(size::SMALL)).selected(open);
    if ui.put(place, button).on_hover_text("What colours and motes mean, and how the motes run").clicked() {
        open = !open;
        ui.data_mut(|data| data.insert_temp(id, open));
    }
    open
}

/// Title, storeys, legend, scale, hints, and what else there is to see.
pub fn floating_ui(
    ui: &mut Ui,
    frame: &Frame,
    solved: &Solved,
    canvas: &CanvasView,
    palette: &Palette,
    areas: &Areas,
    commands: &mut Vec<Command>,
) {
    let open = legends_are_open(ui, areas);
    if open {
        commands.extend(beside_legend(ui, areas, solved, canvas, palette));
    }
    let rect = areas.whole;
    let painter = ui.painter_at(rect);
    let storey = canvas.view.storey_at(solved).and_then(|at| solved.scene.storeys.get(at));
    let left_top = rect.left_top() + Vec2::new(18.0, 14.0);
    let dot = if canvas.unsaved { "• " } else { "" };
    let title = painter.layout_no_wrap(format!("{dot}{}", solved.scene.name), font(22.0), palette.ink);
    let bands = match canvas.view.bands {
        BandChoice::AWeighted => "all bands, A-weighted".to_owned(),
        other => other.label(),
    };
    let by = match canvas.view.by {
        By::Entry => "lit where sound leaves the loud room",
        By::Exit => "lit where sound comes out at the listener",
    };
    let variant = canvas.variant.map_or_else(String::new, |variant| format!("{variant}  ·  "));
    let line = format!(
        "{variant}{}  ·  {bands}  ·  {by}",
        storey.map_or(String::new(), |storey| words::heading(&storey.name))
    );
    let line = painter.layout_no_wrap(line, font(size::TEXT), palette.soft_ink);
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

    let stack = Rect::from_min_size(
        rect.left_top() + Vec2::new(18.0, 14.0 + head_height(areas, canvas)),
        Vec2::new(140.0, rect.height() - 200.0),
    );
    if !areas.section_is_whole() {
        let mut stack_ui = ui.new_child(UiBuilder::new().max_rect(stack));
        commands.extend(storeys_ui(&mut stack_ui, solved, canvas.view));
    }
    if !canvas.plain {
        looks_ui(ui, rect, canvas, commands);
    }

    let wide = (rect.width() - 36.0).min(LEGEND_WIDE);
    let raised = if areas.folded { LEGEND_BUTTON } else { 0.0 };
    let corner = Pos2::new(rect.left() + 14.0, rect.bottom() - 96.0 - raised);
    let legend = Rect::from_min_size(corner, Vec2::new(wide, 84.0));
    if let (true, Some(heard), Some(glow)) = (open, canvas.view.heard(solved), &canvas.drawn.glow) {
        let mut legend_area = ui.new_child(UiBuilder::new().max_rect(legend));
        let heading = format!("{}: {}", words::heading(&heard.name), glow.heading());
        plate(palette).show(&mut legend_area, |ui| {
            legend_ui(ui, glow, &heading, if canvas.base.is_some() { SHARED } else { "" })
        });
    }

    let hints = rect.width() > HINTS_FROM && !areas.folded && !areas.section_is_below() && !areas.section_is_whole();
    let wide = if hints { 264.0 } else { 160.0 };
    // The scale is that of the plan, and stands in it.
    let foot = if areas.section_is_below() { areas.plan.right_bottom() } else { rect.right_bottom() };
    // Without a hint below it stands at the very foot.
    let up = if hints { 0.0 } else { 26.0 };
    behind(Rect::from_min_max(
        foot - Vec2::new(wide, 62.0 - up),
        foot - Vec2::new(12.0, if hints { 12.0 } else { 4.0 }),
    ));
    scale_bar(&painter, palette, frame, canvas.view.units, foot - Vec2::new(18.0, 42.0 - up));
    let mut foot = foot - Vec2::new(18.0, 70.0 - up);
    if areas.folded && !canvas.drawn.unplaced.is_empty() {
        // Beside the button of the legends, where they cover nothing.
        let names = canvas.drawn.unplaced.iter().take(UNPLACED).cloned().collect::<Vec<_>>().join("  ·  ");
        let line = painter.layout(names, font(size::SMALL), palette.soft_ink, rect.width() - 98.0 - 190.0);
        let area = Align2::LEFT_BOTTOM.anchor_size(rect.left_bottom() + Vec2::new(98.0, -12.0), line.size());
        behind(area);
        painter.galley(area.min, line, palette.soft_ink);
    }
    let listed = if areas.folded { 0 } else { UNPLACED };
    for name in canvas.drawn.unplaced.iter().take(listed).rev() {
        let line = painter.layout_no_wrap(name.clone(), font(size::SMALL), palette.soft_ink);
        let area = Align2::RIGHT_BOTTOM.anchor_size(foot, line.size());
        behind(area);
        painter.galley(area.min, line, palette.soft_ink);
        foot.y -= 16.0;
    }
    if hints {
        let place = rect.right_bottom() - Vec2::new(16.0, 14.0);
        let hint = "Drag to move  ·  wheel to zoom  ·  F shows all";
        painter.text(place, Align2::RIGHT_BOTTOM, hint, font(size::SMALL), palette.soft_ink);
    }
}

/// What stands beside the legend: the key to the motes, and what can be done with them.
fn beside_legend(
    ui: &mut Ui,
    areas: &Areas,
    solved: &Solved,
    canvas: &CanvasView,
    palette: &Palette,
) -> Option<Command> {
    let (rect, heard) = (areas.whole, canvas.view.heard(solved)?);
    if heard.paths.is_empty() {
        return None;
    }
    let legend_right = rect.left() + 14.0 + LEGEND_WIDE.min(rect.width() - 36.0);
    let free = rect.right() - legend_right - 12.0 - SCALE_WIDE;
    // Beside the legend where there is room, else above it; both stand on one line.
    let beside = free >= STREAM_LEAST;
    let wide = if beside { free.min(STREAM_WIDE) } else { STREAM_WIDE.min(rect.width() - 36.0) };
    let controls = if canvas.plain { 0.0 } else { CONTROLS };
    let high = kinds_height(ui, heard, canvas.view.bands, canvas.view.theme, wide - 26.0) + controls + 20.0;
    let raised = if areas.folded { FOOT + LEGEND_BUTTON } else { FOOT };
    let (left, foot) = if beside { (legend_right + 10.0, raised) } else { (rect.left() + 14.0, raised + 92.0) };
    let corner = Pos2::new(left, rect.bottom() - foot - high);
    let mut area = ui.new_child(UiBuilder::new().max_rect(Rect::from_min_size(corner, Vec2::new(wide, high))));
    let marked = canvas.highlight.pinned.is_some();
    plate(palette)
        .show(&mut area, |ui| {
            ui.set_width(wide - 26.0);
            kinds_ui(ui, heard, canvas.view.bands, canvas.view.theme);
            if canvas.plain { None } else { controls_ui(ui, canvas.particles, marked) }
        })
        .inner
}

/// The ways to look: a section, and the comparison with what was kept.
fn looks_ui(ui: &mut Ui, rect: Rect, canvas: &CanvasView, commands: &mut Vec<Command>) {
    let view = canvas.view;
    // Below the title where both do not fit on one line; what compares below the rest where that is still too long.
    let rows = rows_below(rect, canvas);
    let mut rows_ui = |top: f32| {
        let (left, right) = (rect.left() + 18.0, rect.right() - 14.0);
        let area = Rect::from_min_max(Pos2::new(left, rect.top() + top), Pos2::new(right, rect.top() + top + 30.0));
        let mut row = ui.new_child(UiBuilder::new().max_rect(area).layout(Layout::right_to_left(Align::Center)));
        row.spacing_mut().item_spacing.x = 6.0;
        row
    };
    let top = if rows > 0 { TITLE } else { 12.0 };
    let mut row = rows_ui(top);
    let baseline = if canvas.base.is_none() { Command::KeepBaseline } else { Command::ForgetBaseline };
    let alone = view.cut.map(|_| (Command::WholeSection, view.whole_section));
    let looks = [
        (Command::Lessons, false),
        (Command::ListViews, false),
        (Command::Section, view.cut.is_some()),
        (Command::Levels, view.levels || canvas.base.is_some()),
        (baseline, false),
    ];
    let (after, before) = looks.split_at(2);
    for (command, lit) in after.iter().cloned().chain(alone).chain(before.iter().cloned()) {
        commands.extend(small_button(&mut row, command, lit));
    }
    if canvas.base.is_none() {
        return;
    }
    if rows > 1 {
        row = rows_ui(top + ROW);
    }
    let wipe = if let Compare::Wipe(part) = view.compare { part } else { 0.5 };
    for (compare, name, tip) in [
        (Compare::Change, "Change", "Each face by how its level has changed"),
        (Compare::Wipe(wipe), "Wipe", "One over the other, with a line to drag"),
        (Compare::Beside, "Side by side", "What is compared with on the left, what is shown on the right"),
    ] {
        let lit = view.compare == compare;
        let button = Button::new(RichText::new(name).size(size::SMALL)).selected(lit);
        if row.add(button).on_hover_text(tip).clicked() {
            commands.push(Command::Compare(if lit { Compare::Off } else { compare }));
        }
    }
}

fn plate(palette: &Palette) -> egui::Frame {
    boxed(palette.panel.gamma_multiply(0.94), palette.rule, 8, egui::Margin::symmetric(12, 9))
}
