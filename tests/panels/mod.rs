//! Panels driven by what they say, without a GPU.

mod canvas;
mod desk;
mod files;
mod inspector;
mod leak;
mod naming;
mod news;
mod search;
mod units;

use std::sync::{Arc, LazyLock};

use bevy_egui::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::canvas::{CanvasView, CurrentDrawing, Frame, Sheets, canvas_ui, storeys_ui};
use leaklight::app::panels::{
    Hearing, asked_by_key, band_strip_ui, heard_ui, level_chart_ui, listeners_ui, paths_ui, troubles_ui,
};
use leaklight::app::stream::Stream;
use leaklight::app::view::{Ask, Pointed, View};
use leaklight::output::{Theme, words};
use leaklight::project::{Project, Solved};
use leaklight::scene::{Problem, Scene, Severity, Thing, file};
use leaklight::solve::BandChoice;

fn terrace() -> Scene {
    file::from_text(include_str!("../../scenes/bookshop-terrace.ron")).expect("the worked example is sound")
}

/// The worked example, solved once for all tests.
static SOLVED: LazyLock<Solved> =
    LazyLock::new(|| Project::of(terrace()).solve().expect("the worked example can be solved"));

fn view() -> View {
    let mut view = View::default();
    view.follow(&SOLVED);
    view
}

fn hearing(view: &View) -> Hearing<'_> {
    Hearing::of(&SOLVED, view).expect("somebody listens")
}

/// Lets `panel` run, does something to it, and returns the first thing it asked for.
fn asked(mut panel: impl FnMut(&mut egui::Ui) -> Option<Ask>, act: impl FnOnce(&mut Harness)) -> Option<Ask> {
    let mut asked = None;
    let mut harness =
        Harness::builder().with_size(egui::vec2(900.0, 700.0)).build_ui(|ui| asked = asked.take().or(panel(ui)));
    act(&mut harness);
    harness.run();
    drop(harness);
    asked
}

#[test]
fn a_click_on_a_name_asks_to_listen_there() {
    let view = view();
    let other = SOLVED.answer.listeners.last().expect("there are listeners");
    assert_ne!(Some(&other.listener), view.listener.as_ref());
    let name = words::heading(&other.name);
    let asked = asked(
        |ui| listeners_ui(ui, &hearing(&view)),
        |harness| harness.get_by_label_contains(&format!("{name}, ")).click(),
    );
    assert_eq!(asked, Some(Ask::Listen(other.listener.clone())));
}

#[test]
fn the_level_and_the_whole_sentence_are_there_to_read() {
    let view = view();
    let hearing = hearing(&view);
    let harness = Harness::new_ui(|ui| {
        heard_ui(ui, &hearing);
        level_chart_ui(ui, &hearing);
    });
    let told = words::listener(&SOLVED.scene, &SOLVED.building, hearing.heard);
    let end = told.rsplit(". ").next().expect("a sentence");
    let word = words::heading(words::audibility_word(hearing.heard.audibility));
    // A label is there twice, as itself and as the run of text in it.
    for text in [&words::level(hearing.heard.la_db), &word, end] {
        assert!(harness.query_all_by_label_contains(text).next().is_some(), "{text}");
    }
    harness.get_by_label_contains("Level by octave: 31.5 Hz");
}

#[test]
fn the_strongest_path_stands_first_and_a_click_marks_it() {
    let view = view();
    let hearing = hearing(&view);
    let pointed = Pointed::default();
    let first = hearing.heard.paths.first().expect("there are paths");
    let way = words::heading(&words::way(&SOLVED.building, hearing.heard, first));
    let label = format!("1. {way}, {}, {}", words::kind(first.kind), words::percent(first.share));
    let asked = asked(
        |ui| paths_ui(ui, &hearing, &pointed, |_| {}).asked,
        |harness| harness.get_by_label_contains(&label).click(),
    );
    assert_eq!(asked, Some(Ask::Pin(0)));
}

#[test]
fn a_click_on_a_band_asks_for_it_and_all_bands_for_their_sum() {
    let mut view = view();
    let asked_for =
        asked(|ui| band_strip_ui(ui, &hearing(&view)), |harness| harness.get_by_label_contains("63 Hz, ").click());
    assert_eq!(asked_for, Some(Ask::Bands(BandChoice::one(4))));
    view.bands = BandChoice::one(4);
    let asked_for =
        asked(|ui| band_strip_ui(ui, &hearing(&view)), |harness| harness.get_by_label("All bands, A-weighted").click());
    assert_eq!(asked_for, Some(Ask::Bands(BandChoice::AWeighted)));
}

#[test]
fn a_click_on_a_storey_asks_for_it() {
    let view = view();
    let top = SOLVED.scene.storeys.last().expect("there are storeys");
    let asked =
        asked(|ui| storeys_ui(ui, &SOLVED, &view), |harness| harness.get_by_label(&words::heading(&top.name)).click());
    assert_eq!(asked, Some(Ask::Storey(top.id.clone())));
}

#[test]
fn keys_step_through_the_bands() {
    let mut view = view();
    view.bands = BandChoice::one(4);
    let pointed = Pointed::default();
    let press = |modifiers: Modifiers, key: Key| {
        asked(
            |ui| asked_by_key(ui.ctx(), Some(&hearing(&view)), &pointed).into_iter().next(),
            |harness| harness.key_press_modifiers(modifiers, key),
        )
    };
    assert_eq!(press(Modifiers::NONE, Key::ArrowRight), Some(Ask::Bands(BandChoice::one(5))));
    assert_eq!(press(Modifiers::NONE, Key::ArrowLeft), Some(Ask::Bands(BandChoice::one(3))));
    assert_eq!(press(Modifiers::SHIFT, Key::ArrowRight), Some(Ask::Bands(BandChoice::Range(4, 5))));
    assert_eq!(press(Modifiers::NONE, Key::A), Some(Ask::Bands(BandChoice::AWeighted)));
    assert_eq!(press(Modifiers::NONE, Key::Num2), Some(Ask::Listen(SOLVED.answer.listeners[1].listener.clone())));
    assert_eq!(press(Modifiers::NONE, Key::F), Some(Ask::Fit));
}

#[test]
fn a_scene_that_cannot_be_solved_says_what_to_do() {
    let mut scene = terrace();
    scene.sources[0].sound = "kazoo-orchestra".to_owned();
    let troubles = Project::of(scene).solve().expect_err("there is no such sound");
    let trouble = troubles.iter().find(|trouble| trouble.severity == Severity::Error).expect("it is severe");
    let harness = Harness::new_ui(|ui| troubles_ui(ui, Theme::Dark, None, &troubles));
    harness.get_by_label_contains("from being solved");
    harness.get_by_label_contains("kazoo-orchestra");
    harness.get_by_label_contains(trouble.to_do.trim_start_matches(char::is_alphabetic).trim_end_matches('.'));
}

/// What the canvas says when it has nothing to draw.
fn empty_canvas(solved: Option<&Solved>, problems: &[Problem], waiting: bool) -> Harness<'static> {
    let (view, pointed, drawn) = (View::default(), Pointed::default(), CurrentDrawing::default());
    let (solved, problems) = (solved.cloned(), problems.to_vec());
    let (mut frame, mut section) = (Frame::default(), Frame::default());
    let (stream, sheets) = (Stream::default(), Sheets::default());
    Harness::builder().with_size(egui::vec2(700.0, 500.0)).build_ui(move |ui| {
        let solved = solved.as_ref();
        let canvas = CanvasView {
            solved,
            problems: &problems,
            drawn: &drawn,
            leaks: None,
            view: &view,
            pointed: &pointed,
            stream: &stream,
            sheets: &sheets,
            base: None,
            plain: false,
            waiting,
        };
        canvas_ui(ui, &mut frame, &mut section, &canvas);
    })
}

#[test]
fn an_empty_canvas_says_why() {
    empty_canvas(None, &[], true).get_by_label("Solving …");
    empty_canvas(None, &[], false).get_by_label("Nothing is open");
    let trouble = Problem::error(None, Thing::Scene, "it is odd", "mend it");
    empty_canvas(None, &[trouble], false).get_by_label("This scene cannot be solved yet");
    let mut silent = terrace();
    silent.listeners.clear();
    let solved = Project::of(silent).solve().expect("nobody need listen");
    empty_canvas(Some(&solved), &[], false).get_by_label("Nobody is listening");
}
