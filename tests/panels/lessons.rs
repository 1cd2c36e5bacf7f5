//! Lessons ask first: until somebody predicts, the window gives nothing away. A whole window, its systems too, driven by its labels.

use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use bevy::ecs::system::SystemState;
use bevy::prelude::App;
use bevy_egui::egui;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::document::Document;
use leaklight::app::headless;
use leaklight::app::layout::show_in;
use leaklight::app::perform;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::view::Baseline;
use leaklight::app::viewer::drawing::CurrentDrawing;
use leaklight::app::viewer::particles::Particles;
use leaklight::lesson::Lesson;
use leaklight::output::drawing::{Form, Part, Shown};

use super::terrace;

/// How long a solve may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(120);

type Window = Harness<'static, App>;

fn window() -> Window {
    let both = |ui: &mut egui::Ui, app: &mut App| {
        let world = app.world_mut();
        SystemState::<perform::Window>::new(world).get_mut(world).map(|mut window| show_in(ui, &mut window)).unwrap();
        app.update();
    };
    let app = headless::app(Document::of(terrace()), 1440, 900);
    let mut window = Harness::builder().with_size(egui::vec2(1440.0, 900.0)).build_ui_state(both, app);
    wait(&mut window);
    window
}

/// Goes on until the answer belongs to the scene in sight.
fn wait(window: &mut Window) {
    let begun = Instant::now();
    window.run_steps(2);
    loop {
        window.run_steps(2);
        let world = window.state().world();
        let current = world.resource::<CurrentAnswer>();
        if current.solved.is_some() && current.revision == world.resource::<Document>().revision {
            break;
        }
        assert!(begun.elapsed() < PATIENCE, "no answer");
        std::thread::sleep(Duration::from_millis(2));
    }
    window.run_steps(4);
}

fn click(window: &mut Window, label: &str) {
    window.get_all_by_label_contains(label).last().unwrap().click();
    window.run_steps(4);
}

/// Texts and colours of what the plan shows of walls, openings and gaps.
fn shown(window: &Window) -> (BTreeSet<String>, BTreeSet<[u8; 3]>) {
    let drawn = window.state().world().resource::<CurrentDrawing>().drawing.as_ref().expect("there is a plan");
    let (mut texts, mut fills) = (BTreeSet::new(), BTreeSet::new());
    for shape in drawn.shapes.iter().filter(|shape| shape.part != Part::Page) {
        match &shape.form {
            Form::Text { text, .. } => drop(texts.insert(text.clone())),
            Form::Polygon { fill: Some(fill), .. } if matches!(shape.shows, Some(Shown::Surface(_))) => {
                fills.insert([fill.r, fill.g, fill.b]);
            }
            _ => {}
        }
    }
    (texts, fills)
}

/// What somebody could read the answer off: levels, shares, ways.
fn given_away(window: &Window) -> Vec<String> {
    let mut found = vec![];
    for telling in ["dB(A)", " %", "round a junction", "louder", "1. ", "Level by octave", "All bands", "share of"] {
        // The titles of lessons are numbered; none is in sight here.
        found.extend(window.query_all_by_label_contains(telling).map(|node| format!("{node:?}")));
    }
    found
}

#[test]
fn nothing_is_given_away_before_a_choice_and_all_is_there_after_it() {
    let mut window = window();
    assert!(!given_away(&window).is_empty() && shown(&window).1.len() > 1, "the worked example tells");
    let at = Lesson::all().iter().position(|lesson| lesson.name() == "floor-or-window").unwrap();
    let record = Lesson::all()[at].record();
    click(&mut window, "Lessons");
    click(&mut window, &record.title);
    wait(&mut window);
    window.get_by_label(&record.question);
    window.get_by_label_contains("First predict");
    assert_eq!(given_away(&window), Vec::<String>::new());
    let world = window.state().world();
    assert!(!world.resource::<Particles>().moves() && world.resource::<Particles>().lines().is_empty(), "no motes");
    let (texts, fills) = shown(&window);
    assert!(texts.iter().all(|text| !text.contains('%') && !text.contains("dB")), "{texts:?}");
    let quiet = leaklight::output::Theme::Dark.quiet();
    let quiet = [quiet.wall, quiet.room, quiet.chosen_room, quiet.sheet].map(|colour| [colour.r, colour.g, colour.b]);
    assert!(fills.iter().all(|fill| quiet.contains(fill)), "{fills:?} beside {quiet:?}");
    assert!(world.resource::<CurrentDrawing>().glow.is_none(), "no legend");
    // Nor is it kept to compare with, and so given away by what is drawn beside it; nor told while one draws.
    click(&mut window, "Keep to compare");
    assert!(window.state().world().resource::<Baseline>().solved.is_none());
    window.get_by_label_contains("First answer the question of the lesson");
    window.key_press(egui::Key::M);
    window.run_steps(4);
    window.get_by_label_contains("First predict");
    assert_eq!(window.query_all_by_label_contains("dB(A)").count(), 0);
    window.key_press(egui::Key::M);
    window.run_steps(4);
    // A choice: levels, ways, colours, motes.
    click(&mut window, &record.choices[0].words);
    window.run_steps(6);
    window.get_by_label_contains("No, the solver finds otherwise");
    assert!(!given_away(&window).is_empty());
    assert!(shown(&window).1.iter().any(|fill| !quiet.contains(fill)), "the floor glows");
    let world = window.state().world();
    assert!(world.resource::<Particles>().moves() && world.resource::<CurrentDrawing>().glow.is_some());
}

#[test]
fn whoever_closes_the_lesson_sees_the_building() {
    let mut window = window();
    click(&mut window, "Lessons");
    click(&mut window, &Lesson::all()[0].record().title);
    wait(&mut window);
    assert!(!window.state().world().resource::<Particles>().moves());
    click(&mut window, "Close");
    window.run_steps(6);
    assert!(window.state().world().resource::<Particles>().moves());
    assert!(!given_away(&window).is_empty());
}
