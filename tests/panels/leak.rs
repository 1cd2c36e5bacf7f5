//! The leak view, driven by keys and pointer in a whole window without a screen; and its panels alone.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use bevy::input::keyboard::Key;
use bevy::prelude::*;
use bevy_egui::egui;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::command::Command;
use leaklight::app::document::Document;
use leaklight::app::headless;
use leaklight::app::panels::export::{Wanted, make};
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::theme::Palette;
use leaklight::app::view::{Baseline, Compare, View};
use leaklight::app::viewer::drawing::CurrentDrawing;
use leaklight::app::viewer::frame::Frame;
use leaklight::app::viewer::particle_controls::{controls_ui, kinds_ui};
use leaklight::app::viewer::particles::Particles;
use leaklight::app::viewer::present::{Present, saved_view};
use leaklight::app::viewer::saved_views::saved_views_ui;
use leaklight::app::viewer::side_drawings::SideDrawings;
use leaklight::catalogue::Catalogue;
use leaklight::edit::{Edit, Item, apply};
use leaklight::output::drawing::{Drawing, Form, Shown};
use leaklight::output::{By, Leaks, Theme};
use leaklight::scene::{SavedView, Scene};
use leaklight::solve::{BandChoice, Surface};

use super::{SOLVED, terrace, view};

/// How long a solve may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(120);

/// A window on the worked example, its answer there.
fn window() -> App {
    let mut app = headless::app(Document::of(terrace()), 1440, 900);
    wait(&mut app);
    app
}

fn wait(app: &mut App) {
    let begun = Instant::now();
    loop {
        app.update();
        let current = app.world().resource::<CurrentAnswer>();
        if current.solved.is_some() && current.revision == app.world().resource::<Document>().revision {
            break;
        }
        assert!(begun.elapsed() < PATIENCE, "the worked example is not solved in time");
        std::thread::sleep(Duration::from_millis(2));
    }
    frames(app, 3);
}

fn frames(app: &mut App, count: usize) {
    (0..count).for_each(|_| app.update());
}

fn press(app: &mut App, code: KeyCode, logical: Key) {
    for pressed in [true, false] {
        headless::key(app, code, logical.clone(), pressed);
        frames(app, 2);
    }
}

fn letter(app: &mut App, code: KeyCode, letter: &str) {
    press(app, code, Key::Character(letter.into()));
}

fn look(app: &App) -> &View {
    app.world().resource()
}

#[test]
fn motes_run_until_they_are_paused_and_rest_when_hidden() {
    let mut app = window();
    assert!(app.world().resource::<Particles>().moves());
    let places = |app: &App| app.world().resource::<Particles>().spots().map(|spot| spot.at).collect::<Vec<_>>();
    let before = places(&app);
    std::thread::sleep(Duration::from_millis(20));
    frames(&mut app, 2);
    assert_ne!(places(&app), before);
    press(&mut app, KeyCode::Space, Key::Space);
    assert!(!app.world().resource::<Particles>().moves());
    let paused = places(&app);
    std::thread::sleep(Duration::from_millis(20));
    frames(&mut app, 2);
    assert_eq!(places(&app), paused);
    letter(&mut app, KeyCode::KeyH, "h");
    assert_eq!(app.world().resource::<Particles>().count(), 0);
}

/// The stream stands for the energy: what is stopped thins it, until another listener or band is chosen.
#[test]
fn a_better_building_thins_the_stream() {
    let mut app = window();
    let full = app.world().resource::<Particles>().count();
    let mut source = terrace().sources[0].clone();
    source.offset_db -= 10.0;
    app.world_mut().resource_mut::<Document>().edit(&[Edit::Put(Item::Source(source))]).expect("it can be made softer");
    wait(&mut app);
    let thin = app.world().resource::<Particles>().count();
    // A tenth of the energy; faint paths keep one dim mote each.
    assert!(thin < full / 3, "{thin} of {full}");
    letter(&mut app, KeyCode::ArrowRight, "");
    press(&mut app, KeyCode::ArrowRight, Key::ArrowRight);
    frames(&mut app, 2);
    assert!(app.world().resource::<Particles>().count() > thin, "another band is a particles of its own");
}

#[test]
fn a_section_opens_below_the_plan_and_follows_its_line() {
    let mut app = window();
    let whole = app.world().resource::<Frame>().rect;
    letter(&mut app, KeyCode::KeyX, "x");
    frames(&mut app, 3);
    let cut = look(&app).cut.expect("a section is shown");
    let plan = *app.world().resource::<Frame>();
    assert!(plan.rect.height() < 0.7 * whole.height());
    assert!(app.world().resource::<SideDrawings>().section.is_some());
    // Its end is dragged a metre up the plan.
    let from = plan.screen_from_plan(cut.to);
    let to = plan.screen_from_plan([cut.to[0], cut.to[1] + 1.0]);
    headless::point(&mut app, Vec2::new(from.x, from.y));
    frames(&mut app, 2);
    headless::button(&mut app, MouseButton::Left, true);
    frames(&mut app, 2);
    for part in [0.5, 1.0] {
        headless::point(&mut app, Vec2::new(from.x + part * (to.x - from.x), from.y + part * (to.y - from.y)));
        frames(&mut app, 2);
    }
    headless::button(&mut app, MouseButton::Left, false);
    frames(&mut app, 2);
    let moved = look(&app).cut.expect("it is still shown");
    assert!((moved.to[1] - cut.to[1] - 1.0).abs() < 0.1 && moved.from == cut.from, "{cut:?} {moved:?}");
    letter(&mut app, KeyCode::KeyX, "x");
    frames(&mut app, 2);
    assert_eq!(look(&app).cut, None);
    assert!((app.world().resource::<Frame>().rect.height() - whole.height()).abs() < 1.0);
}

#[test]
fn what_was_kept_is_compared_with_what_is_changed() {
    let mut app = window();
    letter(&mut app, KeyCode::KeyK, "k");
    assert!(app.world().resource::<Baseline>().solved.is_some());
    let mut scene = terrace();
    scene.sources[0].offset_db += 3.0;
    let louder = Edit::Put(Item::Source(scene.sources[0].clone()));
    app.world_mut().resource_mut::<Document>().edit(&[louder]).expect("it can be made louder");
    wait(&mut app);
    for (compare, sheet) in [(Compare::Beside, true), (Compare::Wipe(0.4), true), (Compare::Change, false)] {
        app.world_mut().resource_mut::<View>().compare = compare;
        frames(&mut app, 3);
        assert_eq!(app.world().resource::<SideDrawings>().base.is_some(), sheet, "{compare:?}");
        assert_eq!(look(&app).compare, compare);
    }
    // All is 3 dB louder, feet and pedals too, and the difference says so.
    let drawn = app.world().resource::<CurrentDrawing>();
    let changes = drawn.glow.as_ref().and_then(|glow| glow.changes().cloned()).expect("a difference is drawn");
    let total_db = changes.total_db().expect("both are heard");
    assert!((total_db - 3.0).abs() < 0.02, "{total_db}");
}

/// The brightness of each face of a drawing: of the area that stands for it, drawn without letting anything through.
fn brightness(drawing: &Drawing) -> BTreeMap<Surface, f64> {
    let mut found = BTreeMap::new();
    for shape in &drawing.shapes {
        if let (Some(Shown::Surface(face)), Form::Polygon { fill: Some(fill), .. }) = (shape.shows, &shape.form) {
            found.insert(face, fill.luminance());
        }
    }
    found
}

/// With something kept, a face is brighter than it was only where more comes by it, however both are looked at: side by side, under a wipe, or
/// the plan as it is now alone. The heavier wall keeps all its places, so that faces are the same in both buildings.
#[test]
fn what_became_quieter_is_never_brighter() {
    let mut app = window();
    let compare = |app: &mut App, compare: Compare| {
        app.world_mut().resource_mut::<View>().compare = compare;
        frames(app, 3);
    };
    let plan = |app: &App| app.world().resource::<CurrentDrawing>().clone();
    letter(&mut app, KeyCode::KeyK, "k");
    frames(&mut app, 3);
    let before = brightness(&plan(&app).drawing.expect("a plan"));
    let scene = terrace();
    let storey = &scene.storeys[1];
    let mut wall = storey.walls.iter().find(|wall| wall.id.0 == "party-10-front").expect("the wall is there").clone();
    assert_eq!(wall.construction, "brick-215-plastered");
    wall.construction = "brick-327-plastered".to_owned();
    let heavier = Edit::Put(Item::Wall(storey.id.clone(), wall));
    app.world_mut().resource_mut::<Document>().edit(&[heavier]).expect("it can be made heavier");
    wait(&mut app);
    let now = app.world().resource::<CurrentAnswer>().solved.clone().expect("an answer");
    let base = app.world().resource::<Baseline>().solved.clone().expect("a kept building");
    let [was, is] = [&base, &now].map(|solved| look(&app).heard(solved).expect("they listen").clone());
    assert!(is.la_db < was.la_db - 1.0, "{} {}", was.la_db, is.la_db);
    let [was, is] = [was, is].map(|heard| {
        let leaks = Leaks::of(&heard, BandChoice::AWeighted, By::Entry);
        move |face: Surface| leaks.share(face) * leaks.total
    });
    for how in [Compare::Off, Compare::Beside, Compare::Wipe(0.5)] {
        compare(&mut app, how);
        let drawn = plan(&app);
        assert!(drawn.glow.expect("it is lit").heading().starts_with("level at the listener"), "{how:?}");
        let after = brightness(&drawn.drawing.expect("a plan"));
        let beside = app.world().resource::<SideDrawings>().base.as_ref().map(|base| brightness(&base.drawing));
        let before = beside.as_ref().unwrap_or(&before);
        let mut darker = 0;
        for (face, bright) in &after {
            let Some(was_bright) = before.get(face) else { continue };
            assert!(bright <= was_bright || is(*face) > was(*face), "{how:?}, {face:?}: {was_bright} {bright}");
            darker += usize::from(bright < was_bright);
        }
        assert!(darker > 0, "{how:?}");
    }
}

#[test]
fn kept_views_are_shown_one_after_another_and_the_window_is_as_before() {
    let mut app = window();
    let before = look(&app).clone();
    letter(&mut app, KeyCode::KeyP, "p");
    frames(&mut app, 2);
    let shown = |app: &App| app.world().resource::<Present>().at;
    assert_eq!(shown(&app), Some(0));
    press(&mut app, KeyCode::ArrowRight, Key::ArrowRight);
    assert_eq!(shown(&app), Some(1));
    assert_eq!(look(&app).bands, BandChoice::Range(3, 5));
    press(&mut app, KeyCode::ArrowRight, Key::ArrowRight);
    assert!(look(&app).cut.is_some());
    for _ in 0..9 {
        press(&mut app, KeyCode::ArrowRight, Key::ArrowRight);
    }
    assert_eq!(shown(&app), Some(terrace().views.len() - 1));
    press(&mut app, KeyCode::Escape, Key::Escape);
    frames(&mut app, 3);
    assert_eq!(shown(&app), None);
    assert_eq!(*look(&app), before);
}

#[test]
fn a_view_is_kept_by_a_key_as_a_step_that_can_be_undone() {
    let mut app = window();
    let count = |app: &App| app.world().resource::<Document>().scene.as_ref().map_or(0, |scene| scene.views.len());
    let shipped = count(&app);
    letter(&mut app, KeyCode::KeyV, "v");
    assert_eq!(count(&app), shipped + 1);
    let name = app.world_mut().resource_mut::<Document>().undo();
    assert_eq!(name.as_deref(), Some("change the views to show"));
    assert_eq!(count(&app), shipped);
}

/// Lets the list of views run, does something to it, and returns the first thing it asked for.
fn listed(scene: &Scene, act: impl FnOnce(&mut Harness)) -> Option<Command> {
    let now = saved_view(&view(), &SOLVED);
    let mut asked = None;
    let palette = Palette::of(Theme::Dark);
    let mut harness = Harness::builder()
        .with_size(egui::vec2(520.0, 700.0))
        .build_ui(|ui| asked = asked.take().or(saved_views_ui(ui, scene, now.clone(), &palette)));
    act(&mut harness);
    harness.run();
    drop(harness);
    asked
}

/// The views a command puts into the scene.
fn put(asked: Option<Command>) -> Vec<SavedView> {
    let Some(Command::Edit(edits)) = asked else { panic!("{asked:?} is no edit") };
    let [Edit::Put(Item::Views(views))] = &edits[..] else { panic!("{edits:?} is not about views") };
    views.clone()
}

#[test]
fn the_list_of_views_keeps_orders_and_takes_away() {
    let scene = terrace();
    let kept = put(listed(&scene, |harness| harness.get_by_label("Keep this view").click()));
    assert_eq!(kept.len(), scene.views.len() + 1);
    let begun = listed(&scene, |harness| harness.get_by_label("Begin").click());
    assert_eq!(begun, Some(Command::Present(Some(0))));
    let mut two = scene.clone();
    two.views.truncate(2);
    let swapped = put(listed(&two, |harness| harness.get_all_by_label("Later").next().expect("a button").click()));
    assert_eq!([&swapped[0], &swapped[1]], [&two.views[1], &two.views[0]]);
    let one = put(listed(&two, |harness| harness.get_all_by_label("Remove").next().expect("a button").click()));
    assert_eq!(one, [two.views[1].clone()]);
    let after = apply(&two, Catalogue::built_in_ref(), &Edit::Put(Item::Views(vec![]))).expect("it can be done");
    assert!(after.views.is_empty());
}

#[test]
fn the_controls_of_the_motes_ask_for_what_they_say() {
    let ask = |label: &str| {
        let mut asked = None;
        let particles = Particles::default();
        let mut harness = Harness::builder()
            .with_size(egui::vec2(480.0, 60.0))
            .build_ui(|ui| asked = asked.take().or(controls_ui(ui, &particles, true)));
        harness.get_by_label(label).click();
        harness.run();
        drop(harness);
        asked
    };
    assert_eq!(ask("Pause"), Some(Command::RunParticles));
    assert_eq!(ask("Hide"), Some(Command::ShowParticles));
    assert_eq!(ask("all paths"), Some(Command::LeastShare(0.001)));
    assert_eq!(ask("marked alone"), Some(Command::MarkedAlone));
    let heard = &SOLVED.answer.listeners[0];
    Harness::new_ui(|ui| kinds_ui(ui, heard, BandChoice::AWeighted, Theme::Light)).get_by_label("kinds of paths");
}

/// A picture of what is looked at; one that is there already stays unless it may be written over.
#[test]
fn a_picture_is_written_and_none_is_lost() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("plan.svg");
    let wanted = Wanted { file: file.to_string_lossy().into_owned(), width_px: 600, ..Wanted::default() };
    assert_eq!(make(&SOLVED, &view(), &wanted), Ok(file.clone()));
    assert!(std::fs::read_to_string(&file).expect("it is there").starts_with("<svg"));
    std::fs::write(&file, "mine").expect("it can be written");
    let refused = make(&SOLVED, &view(), &wanted).expect_err("it is there already");
    assert!(refused.contains("is there already"), "{refused}");
    assert_eq!(std::fs::read_to_string(&file).expect("it is there"), "mine");
    assert!(make(&SOLVED, &view(), &Wanted { over: true, ..wanted.clone() }).is_ok());
    let moving = Wanted { seconds: 1.0, over: true, ..wanted };
    assert!(make(&SOLVED, &view(), &moving).is_err(), "SVG stands still");
}
