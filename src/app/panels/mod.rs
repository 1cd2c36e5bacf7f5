//! The panels beside and below the plan. Each is a function of what it shows, and returns what the user asks for.

mod bands;
pub mod drawing;
mod heard;
pub mod inspector;
mod keys;
mod level_chart;
mod listeners;
mod listening;
mod news;
mod paths;
mod search;
mod told;
mod troubles;

use bevy::ecs::system::SystemParam;
use bevy::prelude::*;
use bevy::winit::EventLoopProxyWrapper;
use bevy_egui::egui::{self, RichText, ScrollArea, Ui, UiBuilder};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use super::canvas::{CurrentDrawing, Frame, SectionFrame, Sheets};
use super::desk::{Desk, Mode, actions, mode_ui};
use super::document::Document;
use super::export::Export;
use super::files::{menu::menu_ui, question_is_open};
use super::lessons::Teaching;
use super::present::Present;
use super::solving::{CurrentAnswer, Solved};
use super::stream::Stream;
use super::theme::{Palette, size};
use super::view::{Ask, Base, Pointed, View};
use crate::output::words;
use crate::solve::{BandChoice, ListenerAnswer};

pub use bands::band_strip_ui;
pub use heard::{gains_ui, heard_ui};
pub use keys::{asked_by_key, asked_by_look, stream_by_key};
pub use level_chart::level_chart_ui;
pub use listeners::listeners_ui;
pub use paths::{PathsAnswer, paths_ui};
pub use troubles::{remarks_ui, troubles_ui};

/// Width of the side panel, logical pixels.
pub(super) const SIDE: f32 = 384.0;
/// In a window lower than this, texts and charts leave more room for the list, logical pixels.
const LOW_WINDOW: f32 = 820.0;
/// Height of the band strip, logical pixels.
pub(super) const STRIP: f32 = 126.0;

/// The answer of one listener, and how it is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Hearing<'a> {
    /// The whole answer.
    pub solved: &'a Solved,
    /// The listener's part of it.
    pub heard: &'a ListenerAnswer,
    /// What is looked at.
    pub view: &'a View,
    /// What was kept to compare with.
    pub base: Option<&'a Solved>,
}

impl<'a> Hearing<'a> {
    /// The same beside what was kept to compare with.
    #[must_use]
    pub fn against(self, base: Option<&'a Solved>) -> Self {
        Self { base, ..self }
    }

    /// The chosen listener's answer; nothing when nobody is chosen.
    #[must_use]
    pub fn of(solved: &'a Solved, view: &'a View) -> Option<Self> {
        let heard = solved.answer.listeners.get(view.listener_at(solved)?)?;
        Some(Self { solved, heard, view, base: None })
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

/// All that the window shows and changes.
#[derive(SystemParam)]
pub(super) struct Window<'w> {
    document: ResMut<'w, Document>,
    desk: ResMut<'w, Desk>,
    current: Res<'w, CurrentAnswer>,
    drawn: Res<'w, CurrentDrawing>,
    sheets: Res<'w, Sheets>,
    frame: ResMut<'w, Frame>,
    section: ResMut<'w, SectionFrame>,
    view: ResMut<'w, View>,
    base: ResMut<'w, Base>,
    pointed: ResMut<'w, Pointed>,
    stream: ResMut<'w, Stream>,
    present: ResMut<'w, Present>,
    teaching: ResMut<'w, Teaching>,
    export: ResMut<'w, Export>,
    wake: Option<Res<'w, EventLoopProxyWrapper>>,
}

/// Lays out the window and does what is asked of it.
pub(super) fn show(mut contexts: EguiContexts, mut shown: Window) -> Result {
    let context = contexts.ctx_mut()?.clone();
    let layer = egui::LayerId::background();
    let all = UiBuilder::new().layer_id(layer).max_rect(context.viewport_rect());
    let mut window = Ui::new(context.clone(), "window".into(), all);
    if let Some(scene) = shown.document.scene.clone()
        && shown.desk.picks.iter().any(|pick| !super::desk::exists(&scene, pick))
    {
        shown.desk.follow(&scene);
    }
    // Before any key is taken.
    let told = shown.desk.said.is_some() || shown.desk.news.is_some();
    if told && shown.desk.mode == Mode::Listen && news::is_read(&context) {
        shown.desk.hush();
    }
    let busy = context.text_edit_focused() || question_is_open(&context) || shown.desk.search.is_some();
    if shown.present.at.is_some() && shown.desk.mode == Mode::Listen {
        listening::present(&mut window, &mut shown);
        return Ok(());
    }
    let pressed = if busy { vec![] } else { actions::pressed(&context, &shown.desk) };
    if shown.desk.mode == Mode::Draw {
        let mut drawn = drawing::Shown {
            current: &shown.current,
            drawn: &shown.drawn,
            document: &mut shown.document,
            desk: &mut shown.desk,
            view: &mut shown.view,
            frame: &mut shown.frame,
        };
        drawing::show(&mut window, &mut drawn, &pressed);
        return Ok(());
    }
    listening::listen(&mut window, &mut shown, pressed, busy);
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
    gains_ui(ui, hearing);
    rule(ui, &palette);
    let answer = paths_ui(ui, hearing, pointed, |ui| {
        remarks_ui(
            ui,
            hearing.view.theme,
            &hearing.solved.scene,
            &hearing.solved.warnings,
            &hearing.solved.answer.notes,
        );
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
