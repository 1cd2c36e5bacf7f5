//! What was done is told, and not as if something were wrong.

use std::time::{Duration, Instant};

use bevy::prelude::*;
use bevy_egui::egui;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::document::Document;
use leaklight::app::editor::state::{Editor, Mode, Status};
use leaklight::app::editor::toolbox::status_ui;
use leaklight::app::headless;
use leaklight::app::view::View;
use leaklight::output::Theme;
use leaklight::scene::file;

use super::{canvas, editor};

/// How long writing a file may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(30);

fn save(window: &mut canvas::Window) {
    window.with_control(KeyCode::KeyS, "s");
    let begun = Instant::now();
    while window.editor().status.is_none() {
        assert!(begun.elapsed() < PATIENCE, "nothing was told");
        window.frames(1);
        std::thread::sleep(Duration::from_millis(2));
    }
}

#[test]
fn saving_is_told_in_both_modes_and_until_the_next_key_while_one_listens() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    std::fs::write(&path, file::to_text(&canvas::room()).unwrap()).unwrap();
    let mut window = canvas::Window(headless::app(Document::read(path, canvas::room()), 1440, 900));
    window.frames(3);
    assert_eq!(window.editor().mode, Mode::Listen);
    save(&mut window);
    let saved = Some(Status::Done("Saved as house.ron".to_owned()));
    assert_eq!(window.editor().status, saved);
    window.frames(3);
    assert!(window.editor().status.is_some());
    let context = window.0.world_mut().query::<&mut bevy_egui::EguiContext>().single_mut(window.0.world_mut());
    let shown = context.unwrap().get_mut().memory(|memory| memory.area_rect(egui::Id::new("what was done")));
    assert!(shown.is_some_and(|area| area.width() > 60.0), "{shown:?}");
    window.key(KeyCode::KeyF, "f");
    assert_eq!(window.editor().status, None);
    window.key(KeyCode::KeyM, "m");
    assert_eq!(window.editor().mode, Mode::Draw);
    save(&mut window);
    assert_eq!(window.editor().status, saved);
}

#[test]
fn the_line_below_tells_what_was_done() {
    let mut told = Editor::default();
    told.tell("Saved as house.ron".to_owned());
    Harness::new_ui(|ui| status_ui(ui, &told, Theme::Dark)).get_by_label("Saved as house.ron");
}

#[test]
fn a_storey_that_was_copied_upwards_is_shown_and_told() {
    let mut window = canvas::Window::of(canvas::room());
    for (words, storeys, told) in [("copy storey upwards", 2, "copied"), ("empty storey", 3, "Nothing is drawn")] {
        window.with_control(KeyCode::KeyK, "k");
        window.0.world_mut().resource_mut::<Editor>().search = Some(words.to_owned());
        window.frames(1);
        window.key(KeyCode::Enter, "");
        window.frames(2);
        let scene = window.scene();
        assert_eq!(scene.storeys.len(), storeys);
        let top = scene.storeys.last().unwrap();
        assert_eq!(window.0.world().resource::<View>().storey.as_ref(), Some(&top.id));
        let Some(Status::Done(done)) = &window.editor().status else { panic!("nothing is told") };
        assert!(done.contains(told) && done.contains(&top.name), "{done}");
    }
}

#[test]
fn the_summary_while_drawing_says_that_nothing_plays() {
    let mut scene = super::terrace();
    let harness = editor::window(scene.clone());
    assert!(harness.query_by_label_contains("nothing plays").is_none());
    scene.sources.iter_mut().for_each(|source| source.playing = false);
    let harness = editor::window(scene.clone());
    assert!(harness.query_by_label_contains("nothing plays, all that is loud is silenced").is_some());
    assert!(harness.query_by_label_contains("dB(A), not").is_none());
    scene.sources.clear();
    let harness = editor::window(scene);
    assert!(harness.query_by_label_contains("nothing plays. Place something loud (S).").is_some());
}
