//! Small windows, and the ways to a place: what folds, what scrolls, what a card leads to, what Escape leaves, what is kept for how long.

use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy_egui::egui::{self, Key, Pos2, Rect};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::document::Document;
use leaklight::app::editor::state::{Editor, Mode};
use leaklight::app::files::state::Files;
use leaklight::app::files::worker::Job;
use leaklight::app::headless;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::view::{Baseline, Compare, View};
use leaklight::app::viewer::areas::Areas;
use leaklight::app::viewer::frame::Frame;
use leaklight::app::widgets::bound;
use leaklight::edit::{Pick, distance};
use leaklight::output::drawing::{Form, Part};
use leaklight::output::section::Cut;
use leaklight::output::{PlanView, plan, words};
use leaklight::project::Project;
use leaklight::scene::{Scene, file};

use super::editor::{Window, click, empty, key, listening, scene, write};
use super::terrace;

/// How long reading a file may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(30);

fn there(harness: &Harness<'_, Window>, label: &str) -> bool {
    harness.query_all_by_label(label).next().is_some()
}

/// The window in listening mode, with its plan.
fn drawn(scene: Scene) -> Harness<'static, Window> {
    let mut harness = listening(scene);
    harness.state_mut().describe();
    harness.run_ok();
    harness
}

/// It is there to read, and no part of it is out of sight.
fn text_is_whole(harness: &Harness<'_, Window>, text: &str, within: Rect) {
    // Notes are said as they are, the answer with its numbers bound to their units.
    let bound = bound(text);
    let said = harness.query_all_by_label(text).chain(harness.query_all_by_label(&bound));
    let found: Vec<Rect> = said.map(|node| node.rect()).collect();
    assert!(found.iter().any(|rect| within.expand(1.0).contains_rect(*rect)), "{text}: {found:?}");
}

#[test]
fn in_a_small_window_the_legends_fold_to_a_button_and_the_answer_is_whole() {
    let mut harness = drawn(terrace());
    assert!(!there(&harness, "Legend"));
    assert!(there(&harness, "kinds of paths"));
    harness.set_size(egui::vec2(1024.0, 700.0));
    harness.state_mut().get_mut::<Frame>().fitted = true;
    harness.run_ok();
    harness.state_mut().describe();
    harness.run_ok();
    harness.run_ok();
    assert!(!there(&harness, "kinds of paths"));
    let frame = *harness.state().get::<Frame>();
    // The button stands below the plan, not on it.
    let button = harness.get_by_label("Legend").rect();
    let lowest = scene(&harness)
        .storeys
        .iter()
        .flat_map(|storey| storey.nodes.iter().map(|node| node.at))
        .fold(f32::MIN, |low, at| low.max(frame.screen_from_plan(at).y));
    assert!(lowest < button.top(), "{lowest} {button:?}");

    let solved = harness.state().get::<CurrentAnswer>().solved.clone().expect("it is solved");
    let view = harness.state().get::<View>().clone();
    let said = words::lines(&solved.scene, &solved.building, view.heard(&solved).expect("somebody"), view.bands);
    let window = Rect::from_min_size(Pos2::ZERO, egui::vec2(1024.0, 700.0));
    for line in [&said.heard, &said.by, &said.advice] {
        assert!(!line.ends_with('…'));
        text_is_whole(&harness, line, window);
    }
    harness.get_by_label("Legend").click();
    harness.run_ok();
    assert!(there(&harness, "kinds of paths"));
    harness.get_by_label("Legend").click();
    harness.run_ok();
    assert!(!there(&harness, "kinds of paths"));
}

#[test]
fn the_section_takes_the_canvas_and_escape_brings_the_plan_back() {
    let mut harness = drawn(terrace());
    let is_whole = |harness: &Harness<'_, Window>| harness.state().get::<View>().whole_section;
    assert!(!there(&harness, "Alone"));
    key(&mut harness, Key::X);
    harness.get_by_label("Alone").click();
    harness.run_ok();
    assert!(is_whole(&harness));
    key(&mut harness, Key::Escape);
    assert!(!is_whole(&harness) && harness.state().get::<View>().cut.is_some());
    harness.get_by_label("Alone").click();
    harness.run_ok();
    harness.get_by_label("Alone").click();
    harness.run_ok();
    assert!(!is_whole(&harness));
    // What is not there cannot have the canvas.
    let whole = Rect::from_min_size(Pos2::ZERO, egui::vec2(900.0, 700.0));
    let view = View { whole_section: true, ..View::default() };
    assert_eq!(Areas::of(whole, &view, false, false).section, None);
}

#[test]
fn escape_closes_the_hints() {
    let mut harness = listening(terrace());
    harness.state_mut().get_mut::<Files>().hint = Some(1);
    harness.run_ok();
    assert!(there(&harness, "Choose whose ears"));
    key(&mut harness, Key::Escape);
    assert!(!there(&harness, "Choose whose ears"));
    assert_eq!(harness.state().get::<Files>().hint, None);
}

#[test]
fn a_card_leads_to_its_place_and_picks_what_it_is_about() {
    let mut broken = terrace();
    let (storey, opening) = (broken.storeys[0].id.clone(), broken.storeys[0].openings[0].id.clone());
    broken.storeys[0].openings[0].construction = "no-such-door".to_owned();
    let mut harness = listening(broken);
    let name = harness.query_all_by_label_contains("Show: ").next().expect("a card leads somewhere");
    name.click();
    harness.run_ok();
    harness.run_ok();
    assert_eq!(harness.state().get::<Editor>().mode, Mode::Draw);
    assert_eq!(harness.state().get::<View>().storey.as_ref(), Some(&storey));
    assert_eq!(harness.state().get::<Editor>().picks, [Pick::Opening(storey, opening.clone())]);
    let scene = scene(&harness);
    let drawn = &scene.storeys[0];
    let opening = drawn.openings.iter().find(|it| it.id == opening).unwrap();
    let wall = drawn.walls.iter().find(|wall| wall.id == opening.wall).unwrap();
    let [a, b] = [&wall.from, &wall.to].map(|end| drawn.nodes.iter().find(|node| node.id == *end).unwrap().at);
    let part = (opening.offset_m + 0.5 * opening.width_m) / distance(a, b);
    let middle = [0, 1].map(|way| a[way] + part * (b[way] - a[way]));
    let centre = harness.state().get::<Frame>().centre;
    assert!(distance(middle, centre) < 1e-6, "{middle:?} {centre:?}");
}

#[test]
fn what_was_kept_goes_when_another_file_is_opened() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("other.ron");
    let solved = Arc::new(Project::of(terrace()).solve().expect("it can be solved"));
    let mut app = headless::app(Document::of(terrace()), 1440, 900);
    app.update();
    app.world_mut().resource_mut::<Baseline>().solved = Some(solved);
    *app.world_mut().resource_mut::<View>() =
        View { compare: Compare::Change, cut: Some(Cut { from: [0.0, 0.0], to: [5.0, 0.0] }), ..View::default() };
    std::fs::write(&path, file::to_text(&super::canvas::room()).unwrap()).unwrap();
    app.world_mut().resource_mut::<Files>().worker.ask(Job::Read(path.clone()));
    let begun = Instant::now();
    while app.world().resource::<Document>().path.as_ref() != Some(&path) {
        assert!(begun.elapsed() < PATIENCE, "it was not read");
        app.update();
        std::thread::sleep(Duration::from_millis(2));
    }
    let world = app.world();
    assert!(world.resource::<Baseline>().solved.is_none());
    let view = world.resource::<View>();
    assert_eq!((view.compare, view.cut), (Compare::Off, None));
}

/// The dimensions on a plan, as they are written.
fn dimensions(scene: Scene) -> Vec<String> {
    let solved = Project::of(scene).solve().expect("it can be solved");
    let mut view = View::default();
    view.follow(&solved);
    let shown = view.plan(&solved, None).unwrap_or_else(|| PlanView::of(&solved, 0, view.by));
    let texts = plan(&solved, &shown).shapes.into_iter().filter(|shape| shape.part == Part::Dimensions);
    texts.filter_map(|shape| if let Form::Text { text, .. } = shape.form { Some(text) } else { None }).collect()
}

#[test]
fn the_sides_that_are_typed_are_those_on_the_plan() {
    let mut harness = super::editor::window(empty());
    key(&mut harness, Key::R);
    click(&mut harness, [0.0, 0.0]);
    write(&mut harness, "4.2 x 3.1");
    key(&mut harness, Key::Enter);
    key(&mut harness, Key::E);
    click(&mut harness, [2.0, 1.5]);
    let told = dimensions(scene(&harness));
    for side in ["4.20", "3.10"] {
        assert!(told.iter().any(|text| text == side), "{side}: {told:?}");
    }
}

#[test]
fn a_dot_beside_the_name_says_that_something_is_not_saved() {
    let mut harness = super::editor::window(super::canvas::room());
    let name = scene(&harness).name;
    assert!(there(&harness, &name));
    key(&mut harness, Key::W);
    for corner in [[0.0, 6.0], [2.0, 6.0]] {
        click(&mut harness, corner);
    }
    key(&mut harness, Key::Escape);
    assert!(there(&harness, &format!("• {name}")));
    assert!(harness.state().get::<Document>().title().starts_with("• "));
}

#[test]
fn while_others_look_the_sentence_stands_on_one_line_and_the_plan_has_the_rest() {
    let mut scene = terrace();
    scene.views.clear();
    let mut harness = drawn(scene);
    key(&mut harness, Key::P);
    harness.run_ok();
    let solved = harness.state().get::<CurrentAnswer>().solved.clone().expect("it is solved");
    let view = harness.state().get::<View>().clone();
    let said = words::lines(&solved.scene, &solved.building, view.heard(&solved).expect("somebody"), view.bands);
    let line = harness.query_all_by_label(&said.heard).next().expect("it is said").rect();
    assert!(line.height() < 32.0, "{line:?}");
    assert!(!there(&harness, "kinds of paths"));
    assert!(harness.state().get::<Frame>().rect.height() > 830.0);
}

#[test]
fn empty_places_say_what_to_press() {
    let mut nobody = terrace();
    nobody.listeners.clear();
    let harness = listening(nobody);
    assert!(harness.query_all_by_label_contains("Press M to draw, then E").next().is_some());
    let mut silent = terrace();
    silent.sources.clear();
    let harness = listening(silent);
    assert!(harness.query_all_by_label_contains("Press M to draw, then S").next().is_some());
    let harness = super::editor::window(terrace());
    assert!(harness.query_all_by_label_contains("Nothing is picked. Press V").next().is_some());
}
