//! The window while one listens: whose ears, what they get, by which ways; and the window while others look.

use bevy::prelude::DetectChangesMut as _;
use bevy_egui::egui::{self, Margin, Panel, RichText, Ui};

use super::news::news_ui;
use super::search::search_ui;
use super::{
    Hearing, SIDE, STRIP, Window, asked_by_key, asked_by_look, band_strip_ui, drawing, head_ui, side_ui, stream_by_key,
    troubles_ui,
};
use crate::app::canvas::{CanvasView, Frame, SectionFrame, canvas_ui};
use crate::app::desk::actions::{Action, Looking};
use crate::app::document::Document;
use crate::app::export::{ExportAsk, export_ui, waker};
use crate::app::lessons::{LessonAsk, lesson_ui};
use crate::app::present::{kept, look_as, present_ui, views_ui};
use crate::app::stream::StreamAsk;
use crate::app::theme::{Palette, size};
use crate::app::view::{Ask, Compare, Pointed};
use crate::edit::{Edit, Item};

/// Height of the foot while others look, logical pixels.
const FOOT: f32 = 138.0;

/// Lays out the window and does what is asked of it.
pub(super) fn listen(window: &mut Ui, shown: &mut Window, pressed: Vec<Action>, busy: bool) {
    let context = window.ctx().clone();
    let palette = Palette::of(shown.view.theme);
    let searched = if shown.desk.search.is_some() { search_ui(&context, &mut shown.desk, &palette) } else { None };
    for action in pressed.into_iter().chain(searched) {
        drawing::act(action, &mut shown.document, &mut shown.desk, &mut shown.view, &mut shown.frame);
        context.request_repaint();
    }
    let current = shown.current.solved.clone();
    let solved = current.as_deref();
    let view = shown.view.clone();
    let base = shown.base.0.clone();
    let hearing = solved.and_then(|solved| Hearing::of(solved, &view)).map(|hearing| hearing.against(base.as_deref()));
    let mut asks: Vec<Ask> = vec![];
    let mut picked = None;
    let mut now = Pointed { path: None, shown: None, pinned: shown.pointed.pinned };

    let mut fit_anew = false;
    let side = egui::Frame::new().fill(palette.panel).inner_margin(Margin::symmetric(18, 14));
    Panel::right("side").exact_size(SIDE).resizable(false).frame(side).show(window, |ui| {
        let mut switched = shown.desk.clone();
        picked = head_ui(ui, &mut switched);
        fit_anew = shown.desk.set_if_neq(switched);
        ui.add_space(4.0);
        if !shown.current.problems.is_empty() {
            troubles_ui(ui, view.theme, shown.document.scene.as_deref(), &shown.current.problems);
        } else if let Some(hearing) = &hearing {
            let answer = side_ui(ui, hearing, &shown.pointed);
            asks.extend(answer.asked);
            now.path = answer.under;
        } else {
            let text = if solved.is_some() { "Nobody is listening." } else { "Solving …" };
            ui.label(RichText::new(text).size(size::SENTENCE).color(palette.soft_ink));
        }
    });
    let strip = egui::Frame::new().fill(palette.panel).inner_margin(Margin { left: 18, right: 18, top: 8, bottom: 8 });
    if let Some(hearing) = &hearing {
        Panel::bottom("bands").exact_size(STRIP).resizable(false).frame(strip).show(window, |ui| {
            asks.extend(band_strip_ui(ui, hearing));
        });
    }
    let mut laid = *shown.frame;
    laid.fitted |= fit_anew;
    let (mut section, answer) = on_canvas(window, shown, &mut laid, false);
    now.shown = answer.under;
    asks.extend(answer.asked);
    let mut of_stream = answer.stream;
    if !busy {
        asks.extend(asked_by_key(&context, hearing.as_ref(), &shown.pointed));
        of_stream = of_stream.or_else(|| stream_by_key(&context, &shown.stream.look));
    }
    let way = shown.desk.looking;
    if let Some(way) = way {
        shown.desk.looking = None;
        match way {
            Looking::Motes => of_stream = Some(shown.stream.look.run_or_stand()),
            Looking::Hide => of_stream = Some(StreamAsk::Show(!shown.stream.look.shown)),
            way => asks.extend(hearing.as_ref().and_then(|hearing| asked_by_look(way, hearing))),
        }
    }
    news_ui(&context, &shown.desk, &palette, laid.rect);
    asks.extend(list(&context, shown, &palette));
    teach(&context, shown, &palette);
    export(&context, shown, &palette);
    stream(&context, shown, of_stream);

    let mut looked = view.clone();
    for ask in &asks {
        looked.apply(ask);
        match ask {
            Ask::Fit => laid.fitted = true,
            Ask::Zoom(factor) => laid.zoom(laid.rect.center(), *factor),
            Ask::Pin(path) => now.pinned = if now.pinned == Some(*path) { None } else { Some(*path) },
            Ask::Keep(keep) => shown.base.0 = current.clone().filter(|_| *keep),
            // What shares the canvas has changed: the plan is laid out anew.
            Ask::Section(cut) if cut.is_some() != view.cut.is_some() => laid.fitted = true,
            Ask::Compare(compare) if matches!(compare, Compare::Beside) != matches!(view.compare, Compare::Beside) => {
                laid.fitted = true;
            }
            Ask::ListViews => shown.present.list = !shown.present.list,
            Ask::KeepView => keep_view(shown),
            Ask::Present => begin(shown, 0, &mut looked, &mut laid),
            Ask::PresentFrom(at) => begin(shown, *at, &mut looked, &mut laid),
            Ask::Lessons => shown.teaching.open = !shown.teaching.open,
            Ask::Export => shown.export.begin(shown.document.path.as_deref()),
            Ask::Listen(_) => now.pinned = None,
            _ => {}
        }
    }
    if shown.base.0.is_none() {
        looked.compare = Compare::Off;
    }
    if let Some(solved) = solved {
        looked.follow(solved);
    }
    // What is drawn next frame differs from what was drawn in this one: without this the window would rest on the old picture.
    if let Some(action) = picked {
        drawing::act(action, &mut shown.document, &mut shown.desk, &mut shown.view, &mut shown.frame);
        context.request_repaint();
    }
    section.fitted = true;
    let stale = shown.view.set_if_neq(looked)
        | shown.pointed.set_if_neq(now)
        | shown.frame.set_if_neq(laid)
        | shown.section.set_if_neq(SectionFrame(section));
    if stale || asks.contains(&Ask::Fit) {
        context.request_repaint();
    }
}

/// Lays out the window while others look: the canvas, and below it what is said.
pub(super) fn present(window: &mut Ui, shown: &mut Window) {
    let context = window.ctx().clone();
    let palette = Palette::of(shown.view.theme);
    let Some(at) = shown.present.at else { return };
    let current = shown.current.solved.clone();
    let view = shown.view.clone();
    let hearing = current.as_deref().and_then(|solved| Hearing::of(solved, &view));
    let views = shown.document.scene.as_ref().map(|scene| scene.views.clone()).unwrap_or_default();
    let foot = egui::Frame::new().fill(palette.panel).inner_margin(Margin::symmetric(26, 16));
    let asked = Panel::bottom("said")
        .exact_size(FOOT)
        .resizable(false)
        .frame(foot)
        .show(window, |ui| present_ui(ui, &views, at, hearing.as_ref(), &palette));
    let mut laid = *shown.frame;
    let (section, answer) = on_canvas(window, shown, &mut laid, true);
    let by_key = stream_by_key(&context, &shown.stream.look);
    stream(&context, shown, by_key);
    let mut looked = view;
    for ask in &answer.asked {
        looked.apply(ask);
    }
    match asked.inner.to {
        Some(Some(to)) => begin(shown, to, &mut looked, &mut laid),
        Some(None) => {
            if let Some(before) = shown.present.before.take() {
                looked = *before;
            }
            shown.present.at = None;
            laid.fitted = true;
        }
        None => {}
    }
    if let Some(solved) = current.as_deref() {
        looked.follow(solved);
    }
    let stale = shown.view.set_if_neq(looked)
        | shown.frame.set_if_neq(laid)
        | shown.section.set_if_neq(SectionFrame(section))
        | asked.inner.to.is_some();
    if stale {
        context.request_repaint();
    }
}

/// Draws the canvas; the section's frame and what is asked.
fn on_canvas(
    window: &mut Ui,
    shown: &Window,
    laid: &mut Frame,
    plain: bool,
) -> (Frame, crate::app::canvas::CanvasAnswer) {
    let canvas = CanvasView {
        solved: shown.current.solved.as_deref(),
        problems: &shown.current.problems,
        drawn: &shown.drawn,
        leaks: shown.drawn.leaks.as_ref(),
        view: &shown.view,
        pointed: &shown.pointed,
        stream: &shown.stream,
        sheets: &shown.sheets,
        base: shown.base.0.as_deref(),
        plain,
        waiting: shown.current.revision != shown.document.revision,
    };
    let mut section = shown.section.0;
    let answer = canvas_ui(window, laid, &mut section, &canvas);
    (section, answer)
}

fn stream(context: &egui::Context, shown: &mut Window, asked: Option<StreamAsk>) {
    if let Some(ask) = asked {
        shown.stream.apply(ask);
        context.request_repaint();
    }
}

/// The list of views kept with the scene, while it is open.
fn list(context: &egui::Context, shown: &mut Window, palette: &Palette) -> Option<Ask> {
    if !shown.present.list {
        return None;
    }
    let scene = shown.document.scene.clone()?;
    let now = shown.current.solved.as_deref().and_then(|solved| kept(&shown.view, solved));
    let answer = floating("Views to show", egui::pos2(300.0, 90.0), palette)
        .show(context, |ui| views_ui(ui, &scene, now, palette))?
        .inner?;
    if let Some(views) = answer.views {
        put(shown, views);
        context.request_repaint();
    }
    if answer.close {
        shown.present.list = false;
        context.request_repaint();
    }
    let at = answer.show?;
    Some(Ask::PresentFrom(at))
}

/// The lessons, while they are open. Each opens a building of its own: what is not saved must be seen to first.
fn teach(context: &egui::Context, shown: &mut Window, palette: &Palette) {
    if !shown.teaching.open {
        return;
    }
    let may_open = !shown.document.is_unsaved();
    let asked = floating("Lessons", egui::pos2(24.0, 170.0), palette)
        .show(context, |ui| lesson_ui(ui, &shown.teaching, may_open, palette))
        .and_then(|window| window.inner.flatten());
    let Some(asked) = asked else { return };
    match asked {
        // The building before the change stays to compare with.
        LessonAsk::See(_) if shown.base.0.is_none() => shown.base.0.clone_from(&shown.current.solved),
        LessonAsk::Take(_) => shown.base.0 = None,
        _ => {}
    }
    if let Some(scene) = shown.teaching.apply(&asked) {
        shown.document.take_over(Document::of(scene));
        shown.frame.fitted = true;
    }
    context.request_repaint();
}

/// The box for pictures, while it is open.
fn export(context: &egui::Context, shown: &mut Window, palette: &Palette) {
    if !shown.export.open {
        return;
    }
    let asked = floating("Write a picture", egui::pos2(300.0, 90.0), palette)
        .show(context, |ui| export_ui(ui, &mut shown.export, palette))
        .and_then(|window| window.inner.flatten());
    match asked {
        Some(ExportAsk::Make) => {
            if let Some(solved) = shown.current.solved.clone() {
                let (view, wake) = (shown.view.clone(), waker(shown.wake.as_deref()));
                shown.export.start(solved, view, wake);
            }
        }
        Some(ExportAsk::Close) => shown.export.open = false,
        None => return,
    }
    context.request_repaint();
}

/// A box that floats over the plan.
fn floating(title: &str, at: egui::Pos2, palette: &Palette) -> egui::Window<'static> {
    let frame = egui::Frame::new()
        .fill(palette.panel)
        .stroke(egui::Stroke::new(1.0, palette.rule))
        .corner_radius(8)
        .inner_margin(Margin::symmetric(16, 12));
    egui::Window::new(title.to_owned()).frame(frame).collapsible(false).resizable(false).default_pos(at)
}

/// Keeps what is looked at with the scene.
fn keep_view(shown: &mut Window) {
    let Some(now) = shown.current.solved.as_deref().and_then(|solved| kept(&shown.view, solved)) else { return };
    let Some(scene) = shown.document.scene.clone() else { return };
    put(shown, scene.views.iter().cloned().chain([now]).collect());
    shown.present.list = true;
}

fn put(shown: &mut Window, views: Vec<crate::scene::SavedView>) {
    if let Err(refused) = shown.document.edit(&[Edit::Put(Item::Views(views))]) {
        shown.desk.said = Some(refused.to_string());
    }
}

/// Shows a view to others; without kept views what is looked at.
fn begin(shown: &mut Window, at: usize, looked: &mut crate::app::view::View, laid: &mut Frame) {
    let views = shown.document.scene.as_ref().map(|scene| scene.views.clone()).unwrap_or_default();
    let now = shown.view.clone();
    shown.present.step(Some(at), views.len(), &now);
    if let Some(view) = views.get(at) {
        look_as(looked, view);
    }
    laid.fitted = true;
}
