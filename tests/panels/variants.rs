//! Variants in the window: which is shown, what is changed, what is saved, what is compared, and the table of all.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy::prelude::App;
use bevy_egui::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::command::Command;
use leaklight::app::deciding::{Answers, Deciding, Foot};
use leaklight::app::document::{Document, Version};
use leaklight::app::headless;
use leaklight::app::panels::variants::{Table, table_ui};
use leaklight::app::panels::versions::about_ui;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::theme::Palette;
use leaklight::app::view::{Baseline, Compare, View};
use leaklight::app::viewer::drawing::CurrentDrawing;
use leaklight::catalogue::Catalogue;
use leaklight::edit::{Edit, Item, Pick, varied};
use leaklight::output::Theme;
use leaklight::output::length::Units;
use leaklight::output::variants;
use leaklight::project::{Project, Solved};
use leaklight::scene::{OpeningId, Scene, SceneProperties, Variant, file};

use super::editor::{Window, click, key, listening, press, scene, window, write};
use super::terrace;

/// How long an answer or a file may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(120);
const LINING: &str = "lining instead of foam";

fn foam() -> Scene {
    file::from_text(include_str!("../../scenes/foam-or-lining.ron")).expect("the scene is sound")
}

fn document<'a>(harness: &'a Harness<'_, Window>) -> &'a Document {
    harness.state().get()
}

fn standing(harness: &Harness<'_, Window>) -> Scene {
    (**document(harness).standing().expect("a scene is open")).clone()
}

fn variant(name: &str) -> Version {
    Version::Variant(name.to_owned())
}

/// Somebody who listens in the first room of the scene on foam.
fn listen(harness: &mut Harness<'_, Window>, at: [f64; 2]) {
    key(harness, Key::E);
    click(harness, at);
}

fn solved(scene: Scene) -> Solved {
    Project::of(scene).solve().expect("it can be solved")
}

/// What a variant makes of a scene, on a way of its own.
fn made(drawn: &Scene, name: &str) -> Scene {
    let variant = drawn.variants.iter().find(|variant| variant.name == name).expect("it is there");
    varied(drawn, Catalogue::built_in_ref(), variant).0
}

/// A click on its name shows a variant; what is done then belongs to it, as one step, and the drawing stays as it was.
#[test]
fn what_is_done_in_a_variant_leaves_the_drawing_as_it_is() {
    let mut harness = window(foam());
    let drawn = scene(&harness);
    press(&mut harness, LINING);
    assert_eq!(*document(&harness).shown(), variant(LINING));
    assert!(document(&harness).title().ends_with(&format!("{LINING} – Leaklight")));
    assert!(harness.query_all_by_label(&format!("in “{LINING}”")).next().is_some());
    assert_eq!(standing(&harness), made(&drawn, LINING));
    assert_ne!(standing(&harness).storeys, drawn.storeys);
    assert!(!document(&harness).is_unsaved(), "looking changes nothing");

    listen(&mut harness, [3.0, 1.0]);
    let now = scene(&harness);
    assert_eq!((now.listeners.len(), standing(&harness).listeners.len()), (4, 5));
    assert_eq!(now, Scene { variants: now.variants.clone(), ..drawn.clone() });
    assert_eq!(now.variants[0].edits.len(), 2);
    assert!(document(&harness).is_unsaved());
    assert!(document(&harness).steps().0.is_some_and(|step| step.ends_with(&format!("in “{LINING}”"))));

    // Beneath it the drawing changes, and the variant with it.
    press(&mut harness, "As drawn");
    assert_eq!(standing(&harness).listeners.len(), 4);
    listen(&mut harness, [3.0, 3.0]);
    assert_eq!((scene(&harness).listeners.len(), scene(&harness).variants[0].edits.len()), (5, 2));
    press(&mut harness, LINING);
    assert_eq!(standing(&harness).listeners.len(), 6);

    // Steps are taken back in the order they were done in; what is undone is shown.
    press(&mut harness, "As drawn");
    for (listeners, edits, shown) in [(4, 2, Version::Drawn), (4, 1, variant(LINING))] {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        harness.run_ok();
        let now = scene(&harness);
        assert_eq!((now.listeners.len(), now.variants[0].edits.len()), (listeners, edits));
        assert_eq!(*document(&harness).shown(), shown);
    }
    assert_eq!(scene(&harness), drawn);
    assert!(!document(&harness).is_unsaved());
}

/// What is said of the whole is said of the drawing, whichever version is shown; the rest of it stays the variant's.
#[test]
fn names_and_views_belong_to_the_drawing() {
    let mut document = Document::of(foam());
    document.show_version(variant(LINING));
    let mut properties = SceneProperties::of(document.standing().unwrap());
    properties.name = "Foam, or what?".to_owned();
    document.edit(&[Edit::Put(Item::Properties(properties))]).unwrap();
    let mut storey = document.standing().unwrap().storeys[0].clone();
    storey.name = "The floor".to_owned();
    document.edit(&[Edit::Put(Item::Storey(storey))]).unwrap();
    let drawn = document.committed().unwrap().clone();
    assert_eq!((drawn.name.as_str(), drawn.storeys[0].name.as_str()), ("Foam, or what?", "The floor"));
    assert_eq!(drawn.variants, foam().variants);
    let bare = |scene: &Scene| scene.storeys[0].rooms.iter().all(|room| room.inner_shell.is_none());
    assert!(bare(&drawn) && !bare(document.standing().unwrap()));
    // The air is part of what one tries.
    let mut properties = SceneProperties::of(document.standing().unwrap());
    properties.air.temperature_c += 5.0;
    document.edit(&[Edit::Put(Item::Properties(properties))]).unwrap();
    assert_eq!(document.committed().unwrap().air, drawn.air);
    assert!(document.standing().unwrap().air.temperature_c > drawn.air.temperature_c + 4.0);
}

/// A gesture under way is seen in the variant, and leaves nothing behind when it is given up.
#[test]
fn a_gesture_in_a_variant_is_shown_and_given_up() {
    let mut document = Document::of(foam());
    document.show_version(variant(LINING));
    let before = document.standing().unwrap().clone();
    let away = [Edit::Move { picks: vec![Pick::Listener("foam-bed".into())], by: [0.5, 0.0] }];
    document.preview(&away).unwrap();
    let shown = document.scene.clone().unwrap();
    assert!(shown.listeners[1].at[0] > before.listeners[1].at[0] + 0.4);
    assert_eq!(shown.storeys, before.storeys);
    document.cancel_preview();
    assert_eq!(document.scene, Some(before.clone()));
    assert!(!document.is_unsaved());
    assert!(document.edit(&[Edit::Seal("no-such-door".into(), "mastic".into(), 0.0)]).is_err());
    assert_eq!(document.scene, Some(before));
}

/// A variant is begun, named, described and deleted; each is a step.
#[test]
fn a_variant_is_begun_named_and_deleted() {
    let mut harness = window(foam());
    press(&mut harness, "New variant");
    assert_eq!(*document(&harness).shown(), variant("Variant 1"));
    // Its name has the keyboard.
    write(&mut harness, "doors");
    key(&mut harness, Key::Enter);
    assert_eq!(*document(&harness).shown(), variant("doors"));
    assert_eq!(scene(&harness).variants[1], Variant { name: "doors".into(), about: String::new(), edits: vec![] });
    listen(&mut harness, [3.0, 1.0]);
    // A copy has its steps.
    press(&mut harness, "Copy");
    assert_eq!(*document(&harness).shown(), variant("doors 2"));
    assert_eq!(scene(&harness).variants[2].edits, scene(&harness).variants[1].edits);
    assert_eq!(scene(&harness).variants[2].edits.len(), 1);
    press(&mut harness, "Take out");
    assert!(scene(&harness).variants[2].edits.is_empty());
    press(&mut harness, "Delete variant");
    assert_eq!(*document(&harness).shown(), Version::Drawn);
    assert_eq!(scene(&harness).variants.len(), 2);
    // One that disappears as a step is taken back leaves what is drawn.
    press(&mut harness, "doors");
    for _ in 0..6 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        harness.run_ok();
    }
    assert_eq!(scene(&harness), foam());
    assert_eq!(*document(&harness).shown(), Version::Drawn);
}

/// A name that is taken would make a scene nobody can solve: it is refused. A new name is followed.
#[test]
fn no_two_variants_get_one_name() {
    let mut two = foam();
    two.variants.push(Variant { name: "doors".into(), about: String::new(), edits: vec![] });
    let mut harness = listening(two.clone());
    press(&mut harness, "doors");
    press(&mut harness, "Steps");
    let rename = |harness: &mut Harness<'_, Window>, name: &str| {
        let field = harness.get_all_by_role(egui::accesskit::Role::TextInput).next().expect("a field for the name");
        field.focus();
        harness.run_ok();
        harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
        write(harness, name);
        key(harness, Key::Enter);
    };
    for taken in [LINING, "As drawn"] {
        rename(&mut harness, taken);
        assert_eq!(scene(&harness), two, "{taken}");
    }
    rename(&mut harness, "windows");
    assert_eq!(scene(&harness).variants[1].name, "windows");
    assert_eq!(*document(&harness).shown(), variant("windows"));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run_ok();
    assert_eq!(*document(&harness).shown(), variant("doors"));
}

#[test]
fn keys_go_from_one_version_to_the_next() {
    let mut harness = listening(terrace());
    let names: Vec<String> = terrace().variants.iter().map(|variant| variant.name.clone()).collect();
    for shown in [variant(&names[0]), variant(&names[1]), Version::Drawn] {
        key(&mut harness, Key::B);
        assert_eq!(*document(&harness).shown(), shown);
    }
    harness.key_press_modifiers(Modifiers::SHIFT, Key::B);
    harness.run_ok();
    assert_eq!(*document(&harness).shown(), variant(&names[1]));
}

/// What is saved is the drawing with its variants; what is read again makes the same of it.
#[test]
fn a_file_holds_the_drawing_and_its_variants() {
    let folder = tempfile::tempdir().unwrap();
    let path: PathBuf = folder.path().join("foam.ron");
    std::fs::write(&path, file::to_text(&foam()).unwrap()).unwrap();
    let mut app = headless::app(Document::open(Some(path.clone())), 1200, 800);
    app.update();
    let mut document = app.world_mut().resource_mut::<Document>();
    document.show_version(variant(LINING));
    let storey = document.standing().unwrap().storeys[0].id.clone();
    let wall = document.standing().unwrap().storeys[0].walls[0].clone();
    let heavier = leaklight::scene::Wall { construction: "brick-327-plastered".into(), ..wall };
    document.edit(&[Edit::Put(Item::Wall(storey, heavier))]).unwrap();
    assert!(document.is_unsaved());
    let (drawn, shown) = (document.committed().unwrap().clone(), document.standing().unwrap().clone());
    app.world_mut().resource_mut::<leaklight::app::files::state::Files>().worker.ask(
        leaklight::app::files::worker::Job::Write {
            path: path.clone(),
            scene: drawn.clone(),
            over: leaklight::app::files::worker::Overwrite::Yes,
        },
    );
    let begun = Instant::now();
    while app.world().resource::<Document>().is_unsaved() {
        assert!(begun.elapsed() < PATIENCE, "it was not saved");
        app.update();
        std::thread::sleep(Duration::from_millis(5));
    }
    assert_eq!(*app.world().resource::<Document>().shown(), variant(LINING), "it is still shown");
    let mut again = Document::open(Some(path));
    assert_eq!((again.committed(), again.shown()), (Some(&drawn), &Version::Drawn));
    again.show_version(variant(LINING));
    assert_eq!(again.standing(), Some(&shown));
    assert!(!again.is_unsaved());
}

fn run(app: &mut App, until: impl Fn(&App) -> bool) {
    let begun = Instant::now();
    loop {
        app.update();
        if until(app) {
            break;
        }
        assert!(begun.elapsed() < PATIENCE, "it takes too long");
        std::thread::sleep(Duration::from_millis(2));
    }
    (0..3).for_each(|_| app.update());
}

fn answered(app: &App) -> bool {
    let (current, document) = (app.world().resource::<CurrentAnswer>(), app.world().resource::<Document>());
    current.revision == document.revision && (current.solved.is_some() || !current.problems.is_empty())
}

/// What a variant does to a door that is gone is told among the problems, and can be taken out; the rest of it is done.
#[test]
fn what_no_longer_fits_is_told_and_taken_out() {
    let mut app = headless::app(Document::of(terrace()), 1440, 900);
    let door = Pick::Opening("first".into(), OpeningId("rehearsal-door".into()));
    let mut document = app.world_mut().resource_mut::<Document>();
    document.edit(&[Edit::Delete(vec![door])]).unwrap();
    document.show_version(variant("panels and seals"));
    assert_eq!(document.misfits().len(), 1);
    run(&mut app, answered);
    let solved = app.world().resource::<CurrentAnswer>().solved.clone().expect("the rest can be solved");
    let told = solved.warnings.iter().filter(|problem| problem.what.contains("cannot seal rehearsal-door")).count();
    assert_eq!(told, 1, "{:?}", solved.warnings);
    assert_eq!(solved.answer.covers.len(), 2);

    let mut broken = terrace();
    broken.variants[0].edits.push(Edit::Seal("no-such-door".into(), "mastic".into(), 0.0));
    let mut harness = window(broken);
    press(&mut harness, "panels and seals");
    press(&mut harness, "1 step does not fit");
    assert!(harness.query_all_by_label_contains("cannot seal no-such-door").next().is_some());
    press(&mut harness, "Take out what no longer fits");
    assert_eq!(scene(&harness).variants, terrace().variants);
}

/// Any two versions can be held against each other: the difference is that of two solves on their own.
#[test]
fn the_difference_between_two_variants_is_that_of_two_solves() {
    let mut app = headless::app(Document::of(terrace()), 1440, 900);
    let [shown, kept] = [0, 1].map(|at| terrace().variants[at].name.clone());
    app.world_mut().resource_mut::<Document>().show_version(variant(&shown));
    run(&mut app, answered);
    app.world_mut().resource_mut::<Baseline>().version = Some(variant(&kept));
    app.world_mut().resource_mut::<View>().compare = Compare::Change;
    run(&mut app, |app| app.world().resource::<Baseline>().solved.is_some());
    let [before, after] = [&kept, &shown].map(|name| solved(made(&terrace(), name)));
    let view = app.world().resource::<View>().clone();
    let [was, is] = [&before, &after].map(|solved| view.heard(solved).expect("they listen").la_db);
    assert!((is - was).abs() > 0.5, "the two differ: {was} {is}");
    let drawn = app.world().resource::<CurrentDrawing>();
    let total_db = drawn.glow.as_ref().and_then(|glow| glow.changes()?.total_db()).expect("a difference is drawn");
    assert!((total_db - (is - was)).abs() < 1e-6, "{total_db}, {is} - {was}");

    // It follows the drawing that changes beneath it, and goes with its variant.
    let mut source = terrace().sources[0].clone();
    source.offset_db += 3.0;
    let old = app.world().resource::<Baseline>().solved.clone().unwrap();
    app.world_mut().resource_mut::<Document>().show_version(Version::Drawn);
    app.world_mut().resource_mut::<Document>().edit(&[Edit::Put(Item::Source(source))]).unwrap();
    run(&mut app, |app| !Arc::ptr_eq(app.world().resource::<Baseline>().solved.as_ref().unwrap(), &old));
    let followed = app.world().resource::<Baseline>().solved.clone().unwrap();
    let louder_db = view.heard(&followed).unwrap().la_db - view.heard(&old).unwrap().la_db;
    assert!((louder_db - 3.0).abs() < 0.02, "{louder_db}");
    let left = vec![terrace().variants[0].clone()];
    app.world_mut().resource_mut::<Document>().edit(&[Edit::Put(Item::Variants(left))]).unwrap();
    run(&mut app, |app| app.world().resource::<Baseline>().version.is_none());
    assert_eq!(app.world().resource::<View>().compare, Compare::Off);
}

/// The table fills as answers come; its figures are those of the command, and a click on a name asks for that version.
#[test]
fn the_table_fills_with_what_each_version_does() {
    let mut app = headless::app(Document::of(terrace()), 1440, 900);
    app.world_mut().resource_mut::<Deciding>().foot = Foot::Variants;
    app.update();
    let labels = |app: &App, act: &dyn Fn(&mut Harness)| {
        let wanted = app.world().resource::<Answers>().wanted().to_vec();
        let listener = app.world().resource::<View>().listener.clone();
        let shown = app.world().resource::<Document>().shown().clone();
        let mut asked = None;
        let mut harness = Harness::builder().with_size(egui::vec2(1100.0, 240.0)).build_ui(|ui| {
            let table = Table { wanted: &wanted, shown: &shown, listener: listener.as_ref(), units: Units::Metric };
            asked = asked.take().or(table_ui(ui, &table, &Palette::of(Theme::Dark)));
        });
        harness.run();
        act(&mut harness);
        harness.run();
        drop(harness);
        asked
    };
    assert_eq!(app.world().resource::<Answers>().wanted().len(), 3);
    labels(&app, &|harness| assert_eq!(harness.get_all_by_label("Solving …").count(), 3));
    run(&mut app, |app| app.world().resource::<Answers>().wanted().iter().all(|wanted| wanted.fresh));

    let names = terrace().variants.into_iter().map(|variant| variant.name).collect::<Vec<_>>();
    let base = solved(terrace());
    let others = names.iter().map(|name| solved(made(&terrace(), name))).collect::<Vec<_>>();
    let others: Vec<(&str, &Solved)> = names.iter().map(String::as_str).zip(&others).collect();
    let listener = app.world().resource::<View>().listener.clone().expect("somebody listens");
    let rows = variants::table(&base, &others, &listener);
    // By a neighbour whose sound comes through the wall, panels before the windows are not heard; a second room is.
    let level = |at: usize| rows[at].level_db.expect("they listen");
    assert!((level(1) - level(0)).abs() < 0.1 && level(2) < level(0) - 5.0, "{rows:?}");
    let asked = labels(&app, &|harness| {
        for row in &rows {
            let level = format!("{:.1}", row.level_db.expect("they listen"));
            assert!(harness.query_all_by_label(&level).next().is_some(), "{level}");
        }
        let headroom = format!("{:.2} m", rows[2].headroom_m.expect("it plays there"));
        assert!(harness.query_all_by_label(&headroom).next().is_some(), "{headroom}");
        harness.get_by_label(&names[1]).click();
    });
    assert_eq!(asked, Some(Command::ShowVersion(variant(&names[1]))));
}

/// The box on a variant lists its steps by what they do.
#[test]
fn the_box_on_a_variant_says_what_it_changes() {
    let scene = terrace();
    let mut asked = vec![];
    let palette = Palette::of(Theme::Light);
    let mut harness = Harness::builder()
        .with_size(egui::vec2(460.0, 520.0))
        .build_ui(|ui| asked.extend(about_ui(ui, &scene, 0, &[], false, &palette)));
    harness.run();
    for step in ["1. Cover sash-1", "2. Cover sash-2", "3. Seal rehearsal-door with compression-double"] {
        harness.get_by_label(step);
    }
    harness.get_all_by_label("Take out").nth(1).expect("a button for each step").click();
    harness.run();
    drop(harness);
    let [Command::Edit(edits)] = &asked[..] else { panic!("{asked:?}") };
    let [Edit::Put(Item::Variants(variants))] = &edits[..] else { panic!("{edits:?}") };
    assert_eq!(variants[0].edits, [scene.variants[0].edits[0].clone(), scene.variants[0].edits[2].clone()]);
    assert_eq!(variants[1], scene.variants[1]);
}
