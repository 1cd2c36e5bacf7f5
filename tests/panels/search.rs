//! The list of all actions: it opens, is searched and is closed, and while it is open the keys are its own.

use bevy::prelude::*;
use bevy_egui::egui::{self, Id, Key, Modifiers};

use leaklight::app::editor::state::{Editor, Gesture, Mode, Tool};
use leaklight::app::headless;

use super::{canvas, editor};

fn is_open(window: &canvas::Window) -> bool {
    window.editor().search.is_some()
}

fn open(window: &mut canvas::Window) {
    window.with_control(KeyCode::KeyK, "k");
    window.frames(2);
    assert!(is_open(window));
}

/// A press and a release on the plan, far from the list.
fn click_elsewhere(window: &mut canvas::Window) {
    headless::point(&mut window.0, Vec2::new(300.0, 700.0));
    window.frames(1);
    window.button(MouseButton::Left, true);
    window.button(MouseButton::Left, false);
    window.frames(1);
}

#[test]
fn escape_its_own_key_and_a_click_elsewhere_close_the_list_in_every_mode() {
    for mode in [Mode::Draw, Mode::Listen] {
        let mut window = canvas::Window::of(canvas::room());
        if mode == Mode::Listen {
            window.answer();
            window.key(KeyCode::KeyM, "m");
        }
        window.frames(2);
        assert_eq!(window.editor().mode, mode);
        open(&mut window);
        window.key(KeyCode::Escape, "");
        assert!(!is_open(&window), "Escape, {mode:?}");
        open(&mut window);
        window.with_control(KeyCode::KeyK, "k");
        assert!(!is_open(&window), "Ctrl+K, {mode:?}");
        open(&mut window);
        click_elsewhere(&mut window);
        assert!(!is_open(&window), "a click, {mode:?}");
    }
}

#[test]
fn what_closes_the_list_neither_gives_up_a_gesture_nor_lets_go_what_is_picked() {
    let mut window = canvas::Window::of(canvas::room());
    window.click([5.0, 2.0]);
    let picks = window.editor().picks.clone();
    assert_eq!(picks.len(), 1);
    open(&mut window);
    window.key(KeyCode::Escape, "");
    assert_eq!(window.editor().picks, picks);
    open(&mut window);
    click_elsewhere(&mut window);
    assert_eq!(window.editor().picks, picks);
    // A wall is begun.
    window.key(KeyCode::KeyW, "w");
    window.click([1.0, 1.0]);
    let gesture = window.editor().gesture.clone();
    assert!(matches!(gesture, Gesture::Walls(_)));
    open(&mut window);
    window.key(KeyCode::Escape, "");
    open(&mut window);
    click_elsewhere(&mut window);
    assert!(!is_open(&window));
    assert_eq!((window.editor().tool, &window.editor().gesture), (Tool::Walls, &gesture));
    assert_eq!(window.scene(), canvas::room());
    // With the list closed Escape means the wall again.
    window.key(KeyCode::Escape, "");
    assert_eq!(window.editor().gesture, Gesture::None);
}

#[test]
fn undo_in_the_list_takes_back_what_was_typed_and_nothing_else() {
    let mut harness = editor::window(editor::empty());
    editor::key(&mut harness, Key::E);
    editor::click(&mut harness, [1.0, 1.0]);
    let placed = editor::scene(&harness);
    assert_eq!(placed.listeners.len(), 1);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::K);
    harness.run_ok();
    editor::write(&mut harness, "storey");
    for _ in 0..2 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        harness.run_ok();
    }
    assert!(harness.state().get::<Editor>().search.is_some());
    assert_eq!(editor::scene(&harness), placed);
}

#[test]
fn the_list_is_as_high_as_what_it_lists() {
    let mut harness = editor::window(editor::empty());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::K);
    harness.run_ok();
    let high = |harness: &egui_kittest::Harness<'_, editor::Window>| {
        harness.ctx.memory(|memory| memory.area_rect(Id::new("all actions"))).map(|area: egui::Rect| area.height())
    };
    let whole = high(&harness).expect("it is open");
    assert!(whole > 400.0, "{whole}");
    editor::write(&mut harness, "scale the traced");
    harness.run_ok();
    let narrow = high(&harness).expect("it is open");
    assert!(narrow < 150.0, "{narrow}");
    editor::key(&mut harness, Key::Escape);
    assert!(harness.state().get::<Editor>().search.is_none());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::K);
    harness.run_ok();
    assert_eq!(high(&harness), Some(whole));
}
