//! A room is clicked to be named: what is typed is its name.

use bevy::prelude::*;

use leaklight::app::editor::state::{Mode, Tool};
use leaklight::edit::Pick;

use super::canvas::{Window, room};

/// Keys that are shortcuts, were they not letters of a name.
fn type_den(window: &mut Window) {
    for (code, letter) in [(KeyCode::KeyD, "d"), (KeyCode::KeyE, "e"), (KeyCode::KeyN, "n"), (KeyCode::KeyM, "m")] {
        window.key(code, letter);
    }
}

fn begin() -> Window {
    let mut window = Window::of(room());
    window.key(KeyCode::KeyN, "n");
    window.click([2.0, 2.0]);
    window.frames(2);
    assert!(matches!(window.editor().picks[..], [Pick::Room(..)]));
    window
}

fn name(window: &Window) -> String {
    window.scene().storeys[0].rooms[0].name.clone()
}

#[test]
fn what_is_typed_after_a_click_with_the_naming_tool_is_the_name() {
    let mut window = begin();
    assert_eq!(name(&window), "Room");
    type_den(&mut window);
    assert_eq!((window.editor().mode, window.editor().tool), (Mode::Draw, Tool::Name));
    window.key(KeyCode::Enter, "");
    assert_eq!(name(&window), "denm");
    // The keyboard is the plan's again.
    window.key(KeyCode::KeyW, "w");
    assert_eq!(window.editor().tool, Tool::Walls);
    assert_eq!(name(&window), "denm");
}

#[test]
fn escape_leaves_the_name_as_it_was_and_the_room_picked() {
    let mut window = begin();
    type_den(&mut window);
    window.key(KeyCode::Escape, "");
    assert_eq!(name(&window), "Room");
    assert_eq!(window.editor().picks.len(), 1);
    window.key(KeyCode::KeyW, "w");
    assert_eq!(window.editor().tool, Tool::Walls);
}

#[test]
fn the_next_room_that_is_clicked_is_named_next() {
    let mut window = begin();
    type_den(&mut window);
    // Another space: a wall across the room.
    window.key(KeyCode::Enter, "");
    window.key(KeyCode::KeyW, "w");
    window.click([3.0, 0.0]);
    window.click([3.0, 4.0]);
    window.key(KeyCode::KeyN, "n");
    window.click([4.0, 2.0]);
    window.frames(2);
    type_den(&mut window);
    // A click into the first room counts what was typed in the second.
    window.click([1.0, 1.0]);
    let mut names: Vec<String> = window.scene().storeys[0].rooms.iter().map(|room| room.name.clone()).collect();
    assert_eq!(names, ["denm", "denm"]);
    window.frames(2);
    window.key(KeyCode::KeyA, "a");
    window.key(KeyCode::Enter, "");
    names = window.scene().storeys[0].rooms.iter().map(|room| room.name.clone()).collect();
    names.sort();
    assert_eq!(names, ["a", "denm"]);
}
