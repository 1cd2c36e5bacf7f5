//! The panels beside and below the plan. Each is a function of what it shows, and returns what the user asks for.

mod bands;
pub mod drawing;
mod heard;
pub mod inspector;
mod keys;
mod level_chart;
mod listeners;
mod paths;
mod troubles;

use bevy::prelude::*;
use bevy_egui::egui::{self, Margin, Panel, RichText, ScrollArea, Ui, UiBuilder};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use super::canvas::{CanvasView, CurrentDrawing, Frame, canvas_ui};
use super::desk::{Desk, Mode, actions, mode_ui};
use super::document::Document;
use super::files::{menu::menu_ui, question_is_open};
use super::solving::{CurrentAnswer, Solved};
use super::theme::{Palette, size};
use super::view::{Ask, Pointed, View};
use crate::output::words;
use crate::solve::{BandChoice, ListenerAnswer};

pub use bands::band_strip_ui;
pub use heard::heard_ui;
pub use keys::asked_by_key;
pub use level_chart::level_chart_ui;
pub use listeners::listeners_ui;
pub use paths::{PathsAnswer, paths_ui};
pub use troubles::{remarks_ui, troubles_ui};

/// Width of the side panel, logical pixels.
pub(super) const SIDE: f32 = 384.0;
/// In a window lower than this, texts and charts leave more room for the list, logical pixels.
const LOW_WINDOW: f32 = 820.0;
/// Height of the band strip, logical pixels.
pub(super) const STRIP: f32 = 116.0;

/// The answer of one listener, and how it is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Hearing<'a> {
    /// The whole answer.
    pub solved: &'a Solved,
    /// The listener's part of it.
    pub heard: &'a ListenerAnswer,
    /// What is looked at.
    pub view: &'a View,
}

impl<'a> Hearing<'a> {
    /// The chosen listener's answer; nothing when nobody is chosen.
    #[must_use]
    pub fn of(solved: &'a Solved, view: &'a View) -> Option<Self> {
        let heard = solved.answer.listeners.get(view.listener_at(solved)?)?;
        Some(Self { solved, heard, view })
    }
}

/// A level with its unit: dB(A) for all bands, dB for some.
#[must_use]
pub fn level_words(level_db: f64, bands: BandChoice) -> String {
    match bands {
        BandChoice::AWeighted => words::level(level_db),
        BandChoice::Range(..) if level_db >= -0.5 => format!("{:.0} dB", level_db.max(0.0)),
        BandChoice::Range(..) => "under 0 dB".to_owned(),
    }
}

/// The heading of a section.
fn section(ui: &mut Ui, palette: &Palette, heading: &str) {
    ui.label(RichText::new(heading).size(size::SMALL).color(palette.soft_ink));
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, show);
}

/// Lays out the window and does what is asked of it.
#[allow(clippy::too_many_arguments, reason = "a system takes what it reads and writes")]
pub(super) fn show(
    mut contexts: EguiContexts,
    mut document: ResMut<Document>,
    mut desk: ResMut<Desk>,
    current: Res<CurrentAnswer>,
    drawn: Res<CurrentDrawing>,
    mut frame: ResMut<Frame>,
    mut view: ResMut<View>,
    mut pointed: ResMut<Pointed>,
) -> Result {
    let context = contexts.ctx_mut()?.clone();
    let layer = egui::LayerId::background();
    let all = UiBuilder::new().layer_id(layer).max_rect(context.viewport_rect());
    let mut window = Ui::new(context.clone(), "window".into(), all);
    let palette = Palette::of(view.theme);
    if let Some(scene) = &document.scene
        && desk.picks.iter().any(|pick| !super::desk::exists(scene, pick))
    {
        let scene = scene.clone();
        desk.follow(&scene);
    }
    let busy = context.text_edit_focused() || question_is_open(&context);
    let pressed = if busy { vec![] } else { actions::pressed(&context, &desk) };
    if desk.mode == Mode::Draw {
        let mut shown = drawing::Shown {
            current: &current,
            drawn: &drawn,
            document: &mut document,
            desk: &mut desk,
            view: &mut view,
            frame: &mut frame,
        };
        drawing::show(&mut window, &mut shown, &pressed);
        return Ok(());
    }
    let searched = if desk.search.is_some() { drawing::search_ui(&context, &mut desk, &palette) } else { None };
    for action in pressed.into_iter().chain(searched) {
        drawing::act(action, &mut document, &mut desk, &mut view, &mut frame);
        context.request_repaint();
    }
    let solved = current.solved.as_deref();
    let hearing = solved.and_then(|solved| Hearing::of(solved, &view));
    let mut asks: Vec<Ask> = vec![];
    let mut picked = None;
    let mut now = Pointed { path: None, shown: None, pinned: pointed.pinned };

    let mut fit_anew = false;
    let side = egui::Frame::new().fill(palette.panel).inner_margin(Margin::symmetric(18, 14));
    Panel::right("side").exact_size(SIDE).resizable(false).frame(side).show(&mut window, |ui| {
        let mut switched = desk.clone();
        picked = head_ui(ui, &mut switched);
        if desk.set_if_neq(switched) {
            fit_anew = true;
        }
        ui.add_space(4.0);
        if !current.problems.is_empty() {
            troubles_ui(ui, view.theme, &current.problems);
        } else if let Some(hearing) = &hearing {
            let answer = side_ui(ui, hearing, &pointed);
            asks.extend(answer.asked);
            now.path = answer.under;
        } else {
            let text = if solved.is_some() { "Nobody is listening." } else { "Solving …" };
            ui.label(RichText::new(text).size(size::SENTENCE).color(palette.soft_ink));
        }
    });
    let strip = egui::Frame::new().fill(palette.panel).inner_margin(Margin { left: 18, right: 18, top: 8, bottom: 8 });
    if let Some(hearing) = &hearing {
        Panel::bottom("bands").exact_size(STRIP).resizable(false).frame(strip).show(&mut window, |ui| {
            asks.extend(band_strip_ui(ui, hearing));
        });
    }
    let canvas = CanvasView {
        solved,
        problems: &current.problems,
        drawn: &drawn,
        leaks: drawn.leaks.as_ref(),
        view: &view,
        pointed: &pointed,
        waiting: current.revision != document.revision,
    };
    let before = *frame;
    let mut laid = before;
    laid.fitted |= fit_anew;
    let answer = canvas_ui(&mut window, &mut laid, &canvas);
    now.shown = answer.under;
    asks.extend(answer.asked);
    if !busy {
        asks.extend(asked_by_key(&context, hearing.as_ref(), &pointed));
    }

    for ask in &asks {
        match ask {
            Ask::Fit => laid.fitted = true,
            Ask::Zoom(factor) => laid.zoom(laid.rect.center(), *factor),
            Ask::Pin(path) => now.pinned = if now.pinned == Some(*path) { None } else { Some(*path) },
            Ask::Listen(_) | Ask::Bands(_) => now.pinned = now.pinned.filter(|_| matches!(ask, Ask::Bands(_))),
            _ => {}
        }
    }
    let mut looked = view.clone();
    for ask in &asks {
        looked.apply(ask);
    }
    if let Some(solved) = solved {
        looked.follow(solved);
    }
    // What is drawn next frame differs from what was drawn in this one: without this the window would rest on the old picture.
    if let Some(action) = picked {
        drawing::act(action, &mut document, &mut desk, &mut view, &mut frame);
        context.request_repaint();
    }
    let stale = view.set_if_neq(looked) | pointed.set_if_neq(now) | frame.set_if_neq(laid);
    if stale || asks.contains(&Ask::Fit) {
        context.request_repaint();
    }
    Ok(())
}

/// The head of the side panel: listening or drawing, and the menu of files.
fn head_ui(ui: &mut Ui, desk: &mut Desk) -> Option<actions::Action> {
    ui.horizontal(|ui| {
        mode_ui(ui, desk);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), menu_ui).inner
    })
    .inner
}

/// What the side panel returns.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SideAnswer {
    /// What the user asks for.
    pub asked: Option<Ask>,
    /// The path under the pointer.
    pub under: Option<usize>,
}

/// The side panel: whose ears, what they hear in a sentence, their level by octave, and by which paths.
pub fn side_ui(ui: &mut Ui, hearing: &Hearing, pointed: &Pointed) -> SideAnswer {
    let palette = Palette::of(hearing.view.theme);
    let mut asked = listeners_ui(ui, hearing);
    ui.add_space(6.0);
    heard_ui(ui, hearing);
    ui.add_space(4.0);
    level_chart_ui(ui, hearing);
    ui.add_space(2.0);
    rule(ui, &palette);
    let answer = paths_ui(ui, hearing, pointed, |ui| {
        remarks_ui(ui, hearing.view.theme, &hearing.solved.warnings, &hearing.solved.answer.notes);
    });
    asked = asked.or(answer.asked);
    SideAnswer { asked, under: answer.under }
}

fn rule(ui: &mut Ui, palette: &Palette) {
    let (area, _) = ui.allocate_exact_size(egui::vec2(ui.available_width(), 5.0), egui::Sense::hover());
    ui.painter().hline(area.x_range(), area.center().y, egui::Stroke::new(1.0, palette.rule));
}

/// A list that scrolls within what is left of the panel.
fn scrolling<R>(ui: &mut Ui, id: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, contents).inner
}
