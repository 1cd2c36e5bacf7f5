//! The table of commands: every key and button has one meaning, and the page of the window names the keys that are in it.

use bevy_egui::egui::Key;

use leaklight::app::command::{Command, PICKED_MENU, SCENE_MENU, TABLE, entry};
use leaklight::app::editor::state::{Mode, Tool};

#[test]
fn every_tool_has_a_key_and_keys_are_not_given_twice() {
    for tool in Tool::ALL {
        assert!(!entry(&Command::Tool(tool)).key_name().is_empty(), "{tool:?}");
    }
    for mode in [Mode::Draw, Mode::Listen] {
        let usable = TABLE.iter().filter(|entry| entry.is_for(mode));
        let mut keys: Vec<_> = usable.filter_map(|entry| entry.key).collect();
        let count = keys.len();
        keys.sort_by_key(|key| format!("{key:?}"));
        keys.dedup();
        assert_eq!(keys.len(), count, "{mode:?}");
    }
}

#[test]
fn every_line_of_a_menu_is_a_command_with_a_name() {
    for command in SCENE_MENU.iter().chain(PICKED_MENU) {
        let entry = entry(command);
        assert!(entry.command == *command && !(entry.name.is_empty() && entry.button.is_empty()), "{command:?}");
    }
}

/// What is said of a button ends with its key, where it has one: "(X)".
#[test]
fn the_keys_that_buttons_name_are_those_of_the_table() {
    for entry in TABLE {
        let named = entry.tip.strip_suffix(')').and_then(|tip| tip.rsplit_once('('));
        let is_known = |name: &str| TABLE.iter().any(|entry| entry.key_name() == name);
        assert!(named.is_none_or(|(_, name)| is_known(name)), "{}", entry.tip);
    }
}

/// docs/window.md: a letter between backticks is a key, and so is what stands behind "Ctrl+".
#[test]
fn the_keys_of_the_page_are_those_of_the_table() {
    let page = include_str!("../../docs/window.md");
    let mut seen = 0;
    for (ctrl, letter) in letters(page) {
        seen += 1;
        let is_it = |key: Key, command: bool| key.name() == letter && command == ctrl;
        let known = TABLE.iter().filter_map(|entry| entry.key).any(|key| is_it(key.logical_key, key.modifiers.command));
        assert!(known, "{}{letter} is no key of the program", if ctrl { "Ctrl+" } else { "" });
    }
    assert!(seen > 15, "only {seen} keys were found");
}

/// Single letters between backticks, and those behind "Ctrl+".
fn letters(page: &str) -> Vec<(bool, String)> {
    let quoted = page.split('`').skip(1).step_by(2).filter(|word| word.len() == 1);
    let held = page.split("Ctrl+").skip(1).filter_map(|rest| rest.get(..1));
    quoted.map(|letter| (false, letter.to_owned())).chain(held.map(|letter| (true, letter.to_owned()))).collect()
}
