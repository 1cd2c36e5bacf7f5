//! The window while one listens: whose ears, what they get, by which ways; and the window while others look.

use bevy::prelude::DetectChangesMut as _;
use bevy_egui::egui::{Context, Margin, Panel, Ui, pos2};

use crate::app::command::{Command, Keys, pressed};
use crate::app::document::Version;
use crate::app::layout::head::head_ui;
use crate::app::layout::versions;
use crate::app::panels::bands::band_strip_ui;
use crate::app::panels::export::export_ui;
use crate::app::panels::heard::{gains_ui, heard_ui};
use crate::app::panels::lessons::lesson_ui;
use crate::app::panels::level_chart::level_chart_ui;
use crate::app::panels::listeners::listeners_ui;
use crate::app::panels::paths::paths_ui;
use crate::app::panels::problems::{problems_ui, remarks_ui};
use crate::app::panels::search::search_ui;
use crate::app::panels::status;
use crate::app::perform::Window;
use crate::app::theme::{Palette, SIDE, STRIP, size};
use crate::app::view::{Hearing, Highlight};
use crate::app::viewer::canvas::canvas_ui;
use crate::app::viewer::canvas_view::CanvasView;
use crate::app::viewer::caption::{caption, caption_ui, laid_out};
use crate::app::viewer::present::saved_view;
use crate::app::viewer::saved_views::saved_views_ui;
use crate::app::viewer::side_drawings::SectionFrame;
use crate::app::widgets::{floating, label, part, rule, scrolling};
use crate::output::drawing::Shown;

/// Height of the foot while others look: a line, logical pixels.
const FOOT: f32 = 46.0;
/// The list of paths scrolls by itself where so much is left for it; else the side scrolls as a whole, logical pixels.
const LIST: f32 = 190.0;

/// Lays out the window; what is asked of it. Keys are left alone while `busy`.
pub(super) fn listen(ui: &mut Ui, window: &mut Window, commands: &mut Vec<Command>, busy: bool) {
    let context = ui.ctx().clone();
    let view = window.view.clone();
    let palette = Palette::of(view.theme);
    if window.editor.search.is_some() {
        commands.extend(search_ui(&context, &mut window.editor, &palette));
    }
    let (current, base) = (window.current.solved.clone(), window.baseline.clone());
    let asks = window.teaching.asks();
    let hearing = current.as_deref().filter(|_| !asks).and_then(|solved| Hearing::of(solved, &view));
    let hearing = hearing.map(|hearing| hearing.against(&base));
    let mut path = None;
    part(ui, Panel::right("side"), &palette, (SIDE, Margin::symmetric(18, 14)), |ui| {
        head_ui(ui, window, commands);
        if !window.current.problems.is_empty() {
            let asked = problems_ui(ui, view.theme, window.document.scene.as_deref(), &window.current.problems);
            commands.extend(asked);
        } else if let Some(hearing) = &hearing {
            path = side_ui(ui, hearing, &window.highlight, commands);
        } else {
            let (text, advice) = match current {
                Some(_) if asks => ("First predict: the answer stands here once you have chosen.", ""),
                Some(_) => ("Nobody is listening.", "Press M to draw, then E, and click where somebody listens."),
                None => ("Solving …", ""),
            };
            label(ui, text, size::SENTENCE, palette.soft_ink);
            label(ui, advice, size::TEXT, palette.soft_ink);
        }
    });
    versions::bar_ui(ui, window, &palette, commands);
    if !versions::foot_ui(ui, window, &palette, commands)
        && let Some(hearing) = &hearing
    {
        part(ui, Panel::bottom("bands"), &palette, (STRIP, Margin::symmetric(18, 8)), |ui| {
            commands.extend(band_strip_ui(ui, hearing));
        });
    }
    let shown = canvas(ui, window, commands, false);
    let highlight = Highlight { path, shown, pinned: window.highlight.pinned };
    if window.highlight.set_if_neq(highlight) {
        context.request_repaint();
    }
    if !busy {
        commands.extend(pressed(&context, &window.editor, Keys::Chosen));
    }
    status::show(&context, &window.editor, &palette, window.frame.rect);
    boxes(&context, window, &palette, commands);
    versions::about(&context, window, &palette, commands);
    versions::list(&context, window, &palette, commands);
}

/// The side panel: whose ears, what they hear in a sentence, their level by octave, and by which paths; the path under the pointer.
fn side_ui(ui: &mut Ui, hearing: &Hearing, highlight: &Highlight, commands: &mut Vec<Command>) -> Option<usize> {
    let theme = hearing.view.theme;
    let solved = hearing.solved;
    let (high, mut asked) = (ui.available_height(), None);
    let under = scrolling(ui, "side", |ui| {
        commands.extend(listeners_ui(ui, hearing));
        ui.add_space(6.0);
        heard_ui(ui, hearing);
        ui.add_space(4.0);
        level_chart_ui(ui, hearing);
        ui.add_space(2.0);
        gains_ui(ui, hearing);
        rule(ui, &Palette::of(theme));
        let left = Some(high - ui.min_rect().height() - ui.spacing().item_spacing.y).filter(|left| *left >= LIST);
        paths_ui(ui, hearing, highlight, left, commands, |ui| {
            asked = remarks_ui(ui, theme, &solved.scene, &solved.warnings, &solved.answer.notes);
        })
    });
    commands.extend(asked);
    under
}

/// Lays out the window while others look: the canvas, and below it what is said; what is asked of it.
pub(super) fn present(ui: &mut Ui, window: &mut Window, commands: &mut Vec<Command>) {
    let view = window.view.clone();
    let palette = Palette::of(view.theme);
    let Some(at) = window.present.at else { return };
    commands.extend(pressed(ui.ctx(), &window.editor, Keys::Presenting));
    let current = window.current.solved.clone();
    let hearing = current.as_deref().and_then(|solved| Hearing::of(solved, &view));
    let scene = window.document.scene.clone();
    let views = scene.as_ref().map_or(&[][..], |scene| &scene.views);
    // Only what was written at length takes more than a line.
    let said = laid_out(ui, &caption(views, at, hearing.as_ref()), views.len(), &palette);
    let high = FOOT.max(said.size().y + 20.0);
    part(ui, Panel::bottom("said"), &palette, (high, Margin::symmetric(18, 6)), |ui| {
        commands.extend(caption_ui(ui, said, (at, views.len()), hearing.as_ref(), &palette));
    });
    canvas(ui, window, commands, true);
}

fn canvas(ui: &mut Ui, window: &mut Window, commands: &mut Vec<Command>, plain: bool) -> Option<Shown> {
    let canvas = CanvasView {
        solved: window.current.solved.as_deref(),
        problems: &window.current.problems,
        drawn: &window.drawn,
        view: &window.view,
        highlight: &window.highlight,
        particles: &window.particles,
        side_drawings: &window.side_drawings,
        base: window.baseline.solved.as_deref(),
        names: window.baseline.names(window.document.shown()),
        variant: matches!(window.document.shown(), Version::Variant(_)).then(|| window.document.shown().name()),
        unsaved: window.document.is_unsaved(),
        plain,
        waiting: window.current.revision != window.document.revision,
    };
    let (mut frame, mut section) = (*window.frame, window.section.0);
    let under = canvas_ui(ui, &mut frame, &mut section, &canvas, commands);
    // What is drawn next frame differs from what was drawn in this one: without this the window would rest on the old picture.
    if window.frame.set_if_neq(frame) | window.section.set_if_neq(SectionFrame(section)) {
        ui.ctx().request_repaint();
    }
    under
}

/// What floats over the plan while it is open: the list of kept views, the lessons, the box for pictures.
fn boxes(context: &Context, window: &mut Window, palette: &Palette, commands: &mut Vec<Command>) {
    if window.present.list
        && let Some(scene) = window.document.scene.clone()
    {
        let now = window.current.solved.as_deref().and_then(|solved| saved_view(&window.view, solved));
        let list = |ui: &mut Ui| saved_views_ui(ui, &scene, now, palette);
        commands.extend(floating(context, "Views to show", pos2(300.0, 90.0), palette, list).flatten());
    }
    if window.teaching.open {
        // Each opens a building of its own: what is not saved must be seen to first.
        let may_open = !window.document.is_unsaved();
        let lesson = |ui: &mut Ui| lesson_ui(ui, &window.teaching, may_open, palette);
        commands.extend(floating(context, "Lessons", pos2(24.0, 170.0), palette, lesson).flatten());
    }
    if window.export.open {
        let export = |ui: &mut Ui| export_ui(ui, &mut window.export, palette);
        commands.extend(floating(context, "Write a picture", pos2(300.0, 90.0), palette, export).flatten());
    }
}
