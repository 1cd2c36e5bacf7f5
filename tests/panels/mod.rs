//! Panels driven by what they say, without a GPU.

mod advice;
mod canvas;
mod commands;
mod editor;
mod files;
mod inspector;
mod leak;
mod lessons;
mod naming;
mod search;
mod small;
mod status;
mod units;
mod variants;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use bevy_egui::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::command::Command;
use leaklight::app::panels::bands::band_strip_ui;
use leaklight::app::panels::faces::faces;
use leaklight::app::panels::heard::{gains_ui, heard_ui};
use leaklight::app::panels::level_chart::level_chart_ui;
use leaklight::app::panels::listeners::listeners_ui;
use leaklight::app::panels::paths::paths_ui;
use leaklight::app::panels::problems::problems_ui;
use leaklight::app::view::{Hearing, Highlight, View};
use leaklight::app::viewer::canvas::canvas_ui;
use leaklight::app::viewer::canvas_view::CanvasView;
use leaklight::app::viewer::drawing::CurrentDrawing;
use leaklight::app::viewer::frame::Frame;
use leaklight::app::viewer::legend::legend_ui;
use leaklight::app::viewer::particles::Particles;
use leaklight::app::viewer::side_drawings::SideDrawings;
use leaklight::app::viewer::storeys::storeys_ui;
use leaklight::app::widgets::{bound, explained};
use leaklight::output::drawing::{Form, Part, Shown};
use leaklight::output::glossary;
use leaklight::output::names::Naming;
use leaklight::output::plan::lettered;
use leaklight::output::{By, PlanView, Theme, words};
use leaklight::project::{Project, Solved};
use leaklight::scene::{Problem, Scene, Severity, Thing, file};
use leaklight::solve::{BandChoice, PathRecord, Surface, removal};

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
fn asked(mut panel: impl FnMut(&mut egui::Ui) -> Option<Command>, act: impl FnOnce(&mut Harness)) -> Option<Command> {
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
    assert_eq!(asked, Some(Command::Listen(other.listener.clone())));
}

#[test]
fn the_level_and_the_whole_sentence_are_there_to_read() {
    let view = view();
    let hearing = hearing(&view);
    let harness = Harness::new_ui(|ui| {
        heard_ui(ui, &hearing);
        level_chart_ui(ui, &hearing);
    });
    let said = words::lines(&SOLVED.scene, &SOLVED.building, hearing.heard, hearing.view.bands);
    let advice = bound(&said.advice);
    let end = advice.rsplit(". ").next().expect("a sentence");
    let word = words::heading(words::audibility_word(hearing.heard.audibility));
    // A label is there twice, as itself and as the run of text in it.
    for text in [&words::level(hearing.heard.la_db), &word, end] {
        assert!(harness.query_all_by_label_contains(text).next().is_some(), "{text}");
    }
    harness.get_by_label_contains("Level by octave: 31.5 Hz");
}

/// The term stands in the label; where the pointer rests on it the tooltip says the two lines of the glossary.
#[test]
fn a_term_of_the_trade_is_explained_where_the_pointer_rests_on_it() {
    let view = view();
    let mut harness = Harness::builder()
        .with_size(egui::vec2(900.0, 700.0))
        .build_ui(|ui| drop(explained(ui, "Rw 44 dB, 23 kg/m²", 13.0, egui::Color32::WHITE)));
    harness.run();
    let rw = glossary::terms().iter().find(|term| term.term == "Rw").expect("it is a term");
    assert!(harness.query_by_label(&rw.what).is_none());
    harness.get_by_label("Rw 44 dB, 23 kg/m²").hover();
    harness.run();
    for line in [&rw.term, &rw.what, &rw.tells, &rw.source()] {
        harness.get_by_label(line);
    }
    // So is what is painted: the large level, the chart.
    let mut harness = Harness::builder().with_size(egui::vec2(900.0, 700.0)).build_ui(|ui| {
        heard_ui(ui, &hearing(&view));
        level_chart_ui(ui, &hearing(&view));
    });
    harness.run();
    for (label, term) in [(words::level(hearing(&view).heard.la_db), "dB(A)"), ("Level by octave".into(), "octave")] {
        let term = glossary::terms().iter().find(|known| known.term == term).expect("it is a term");
        harness.get_all_by_label_contains(&label).next().expect("it is there").hover();
        harness.run();
        harness.get_by_label(&term.tells);
    }
}

#[test]
fn a_click_on_the_strongest_path_marks_it() {
    let view = view();
    let hearing = hearing(&view);
    let highlight = Highlight::default();
    let first = hearing.heard.paths.first().expect("there are paths");
    let way = words::heading(&words::path_clause(
        &SOLVED.building,
        &Naming::of(&SOLVED.building, hearing.heard),
        hearing.heard,
        first,
    ));
    let label = format!("{way}, {}, {}", words::kind(first.kind), words::percent(first.share));
    let asked = asked(
        |ui| {
            let mut commands = vec![];
            paths_ui(ui, &hearing, &highlight, Some(600.0), &mut commands, |_| {});
            commands.pop()
        },
        |harness| harness.get_by_label_contains(&label).click(),
    );
    assert_eq!(asked, Some(Command::Pin(0)));
}

/// The numbers on the plans of all storeys with the faces they stand on: each is a disc with its number right after it.
fn numbers_on_plans(view: &View) -> BTreeMap<usize, Surface> {
    let mut found = BTreeMap::new();
    for storey in 0..SOLVED.scene.storeys.len() {
        let plan_view = PlanView { storey, ..view.plan(&SOLVED, None).expect("somebody listens") };
        let (drawing, _) = lettered(&SOLVED, &plan_view, None);
        for pair in drawing.shapes.windows(2).filter(|pair| pair[0].part == Part::Plan) {
            if let (Some(Shown::Surface(face)), Form::Circle { centre, .. }, Form::Text { at, text, .. }) =
                (pair[0].shows, &pair[0].form, &pair[1].form)
                && at == centre
            {
                found.insert(text.parse().expect("a number"), face);
            }
        }
    }
    found
}

/// Faces count 1, 2, 3 down the list, as on the plan; each has the share of all that passes it, and its ways below it.
#[test]
fn faces_are_numbered_in_order_as_on_the_plan() {
    for (by, levels, bands) in [
        (By::Entry, false, BandChoice::AWeighted),
        (By::Exit, false, BandChoice::AWeighted),
        (By::Entry, true, BandChoice::one(4)),
    ] {
        let view = View { by, levels, bands, ..view() };
        let hearing = hearing(&view);
        let end = |path: &PathRecord| if by == By::Entry { path.entry } else { path.exit };
        let on_plans = numbers_on_plans(&view);
        assert!(on_plans.len() >= 3, "{on_plans:?}");
        let naming = Naming::of(&SOLVED.building, hearing.heard);
        let (listed, _) = faces(&hearing, &naming, &view.lit(&SOLVED, hearing.heard, None));
        let numbers: Vec<usize> = listed.iter().filter_map(|face| face.number).collect();
        assert!(numbers.iter().copied().eq(1..=numbers.len()), "{numbers:?}");
        let total: f64 = hearing.heard.paths.iter().map(|path| bands.energy(&path.energy)).sum();
        for face in &listed {
            let on_plan = face.number.and_then(|number| on_plans.get(&number));
            assert!(on_plan.is_none_or(|on_plan| *on_plan == face.face), "{}: {on_plan:?}", face.name);
            let passes = hearing.heard.paths.iter().filter(|path| end(path) == face.face);
            let share = passes.map(|path| bands.energy(&path.energy)).sum::<f64>() / total;
            assert!((face.share - share).abs() < 1e-9, "{}: {} {share}", face.name, face.share);
            assert!(face.paths.iter().all(|path| end(&hearing.heard.paths[path.at]) == face.face), "{}", face.name);
            assert!(face.paths.is_sorted_by(|a, b| a.share >= b.share), "{}", face.name);
        }
        let highlight = Highlight::default();
        let harness = Harness::new_ui(|ui| {
            paths_ui(ui, &hearing, &highlight, None, &mut vec![], |_| {});
        });
        for face in listed.iter().filter(|face| face.number.is_some()) {
            let heading = format!("{}. {}, {}", face.number.unwrap_or(0), face.name, words::percent(face.share));
            assert!(harness.query_by_label_contains(&heading).is_some(), "{heading}");
        }
    }
}

/// When a band is picked, all that is said of the listener is about it, and says so.
#[test]
fn panels_follow_the_band_and_say_so() {
    let bands = BandChoice::one(4);
    let view = View { bands, ..view() };
    let hearing = hearing(&view);
    let heard = hearing.heard;
    let highlight = Highlight::default();
    let harness = Harness::builder().with_size(egui::vec2(900.0, 1400.0)).build_ui(|ui| {
        listeners_ui(ui, &hearing);
        heard_ui(ui, &hearing);
        gains_ui(ui, &hearing);
        paths_ui(ui, &hearing, &highlight, None, &mut vec![], |_| {});
    });
    let level = format!("{:.0} dB", 10.0 * heard.energy[4].log10());
    let within = removal::within(heard, bands).expect("one band is not all");
    let word = words::heading(words::audibility_word(within.audibility));
    let lines = words::gain_lines(&SOLVED.building, heard, bands, 1);
    let first = format!("1. {}, {}, then {}", lines[0].brief, lines[0].gain, lines[0].left);
    let chip = format!("{}, {level} at 63 Hz", words::heading(&heard.name));
    for text in [&level, &word, &first, &chip, "at 63 Hz, an estimate", "To stop at 63 Hz", "Ways at 63 Hz"] {
        assert!(harness.query_all_by_label_contains(text).next().is_some(), "{text}");
    }
    let glow = view.lit(&SOLVED, heard, None);
    let harness = Harness::new_ui(|ui| legend_ui(ui, &glow, &glow.heading(), ""));
    harness.get_by_label("share of what is heard in 63 Hz");
}

#[test]
fn a_click_on_a_band_asks_for_it_and_all_bands_for_their_sum() {
    let mut view = view();
    let asked_for =
        asked(|ui| band_strip_ui(ui, &hearing(&view)), |harness| harness.get_by_label_contains("63 Hz, ").click());
    assert_eq!(asked_for, Some(Command::Bands(BandChoice::one(4))));
    view.bands = BandChoice::one(4);
    let asked_for =
        asked(|ui| band_strip_ui(ui, &hearing(&view)), |harness| harness.get_by_label("All bands, A-weighted").click());
    assert_eq!(asked_for, Some(Command::Bands(BandChoice::AWeighted)));
}

#[test]
fn a_click_on_a_storey_asks_for_it() {
    let view = view();
    let top = SOLVED.scene.storeys.last().expect("there are storeys");
    let asked =
        asked(|ui| storeys_ui(ui, &SOLVED, &view), |harness| harness.get_by_label(&words::heading(&top.name)).click());
    assert_eq!(asked, Some(Command::Storey(top.id.clone())));
}

#[test]
fn keys_step_through_the_bands() {
    let mut harness = editor::listening(terrace());
    let view = |harness: &Harness<'_, editor::Window>| harness.state().get::<View>().clone();
    let mut press = |modifiers: Modifiers, key: Key| {
        harness.state_mut().get_mut::<View>().bands = BandChoice::one(4);
        harness.key_press_modifiers(modifiers, key);
        harness.run_ok();
        view(&harness)
    };
    assert_eq!(press(Modifiers::NONE, Key::ArrowRight).bands, BandChoice::one(5));
    assert_eq!(press(Modifiers::NONE, Key::ArrowLeft).bands, BandChoice::one(3));
    assert_eq!(press(Modifiers::SHIFT, Key::ArrowRight).bands, BandChoice::Range(4, 5));
    assert_eq!(press(Modifiers::NONE, Key::A).bands, BandChoice::AWeighted);
    assert_eq!(press(Modifiers::NONE, Key::Num2).listener.as_ref(), Some(&SOLVED.answer.listeners[1].listener));
    harness.state_mut().get_mut::<Frame>().fitted = false;
    harness.key_press(Key::F);
    harness.run_ok();
    assert!(harness.state().get::<Frame>().fitted);
}

#[test]
fn a_scene_that_cannot_be_solved_says_what_to_do() {
    let mut scene = terrace();
    scene.sources[0].sound = "kazoo-orchestra".to_owned();
    let problems = Project::of(scene).solve().expect_err("there is no such sound");
    let problem = problems.iter().find(|problem| problem.severity == Severity::Error).expect("it is severe");
    let harness = Harness::new_ui(|ui| drop(problems_ui(ui, Theme::Dark, None, &problems)));
    harness.get_by_label_contains("from being solved");
    harness.get_by_label_contains("kazoo-orchestra");
    harness.get_by_label_contains(problem.to_do.trim_start_matches(char::is_alphabetic).trim_end_matches('.'));
}

/// What the canvas says when it has nothing to draw.
fn empty_canvas(solved: Option<&Solved>, problems: &[Problem], waiting: bool) -> Harness<'static> {
    let (view, highlight, drawn) = (View::default(), Highlight::default(), CurrentDrawing::default());
    let (solved, problems) = (solved.cloned(), problems.to_vec());
    let (mut frame, mut section) = (Frame::default(), Frame::default());
    let (particles, side_drawings) = (Particles::default(), SideDrawings::default());
    Harness::builder().with_size(egui::vec2(700.0, 500.0)).build_ui(move |ui| {
        let solved = solved.as_ref();
        let canvas = CanvasView {
            solved,
            problems: &problems,
            drawn: &drawn,
            view: &view,
            highlight: &highlight,
            particles: &particles,
            side_drawings: &side_drawings,
            base: None,
            names: ["as kept", "now"],
            variant: None,
            unsaved: false,
            plain: false,
            waiting,
        };
        canvas_ui(ui, &mut frame, &mut section, &canvas, &mut vec![]);
    })
}

#[test]
fn an_empty_canvas_says_why() {
    empty_canvas(None, &[], true).get_by_label("Solving …");
    empty_canvas(None, &[], false).get_by_label("Nothing is open");
    let problem = Problem::error(None, Thing::Scene, "it is odd", "mend it");
    empty_canvas(None, &[problem], false).get_by_label("This scene cannot be solved yet");
    let mut silent = terrace();
    silent.listeners.clear();
    let solved = Project::of(silent).solve().expect("nobody need listen");
    empty_canvas(Some(&solved), &[], false).get_by_label("Nobody is listening");
}
