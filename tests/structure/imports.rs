//! Imports point one way: what stands later in [`ORDER`] may use what stands earlier, never the reverse.

use super::{root, rust_files};

/// The stages of the data, first to last. See DEVELOPERS.md.
const ORDER: [&str; 12] = [
    "geometry",
    "acoustics",
    "catalogue",
    "scene",
    "template",
    "building",
    "edit",
    "solve",
    "lesson",
    "output",
    "command",
    "app",
];
/// Crates that only `src/app` may name: with them the library would not build without the window.
const WINDOW_CRATES: [&str; 6] = ["bevy", "bevy_egui", "egui", "wgpu", "x11rb", "winit"];
/// The one file that may open the window, for the builds that have one.
const OPENS_THE_WINDOW: &str = "command/window.rs";

#[test]
fn imports_point_one_way() {
    let mut wrong = vec![];
    for (at, stage) in ORDER.iter().enumerate() {
        let files = rust_files(&root().join("src").join(stage));
        assert!(!files.is_empty(), "src/{stage} is missing");
        for file in files {
            let text = std::fs::read_to_string(&file).unwrap();
            let used = modules_named(&text);
            let guarded = file.ends_with(OPENS_THE_WINDOW) && text.contains("#[cfg(feature = \"window\")]");
            for later in &ORDER[at + 1..] {
                if used.contains(later) && !(guarded && *later == "app") {
                    wrong.push(format!("{} uses crate::{later}", file.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_the_window_names_its_crates() {
    let mut wrong = vec![];
    for file in rust_files(&root().join("src")) {
        if file.starts_with(root().join("src/app")) {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        for (number, line) in text.lines().enumerate() {
            let code = line.split("//").next().unwrap_or_default();
            let words = code.split(|letter: char| !(letter.is_alphanumeric() || letter == '_'));
            if words.clone().any(|word| WINDOW_CRATES.contains(&word)) {
                wrong.push(format!("{}, line {}: {line}", file.display(), number + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What stands right behind `crate::`, one by one or in braces.
fn modules_named(text: &str) -> Vec<&str> {
    let word = |text: &'_ str| text.find(|letter: char| !(letter.is_alphanumeric() || letter == '_'));
    let mut named = vec![];
    for (at, found) in text.match_indices("crate::") {
        let rest = &text[at + found.len()..];
        let Some(list) = rest.strip_prefix('{') else {
            named.push(&rest[..word(rest).unwrap_or(rest.len())]);
            continue;
        };
        let (mut depth, mut begins) = (0, true);
        for (at, letter) in list.char_indices() {
            match letter {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => begins = true,
                letter if begins && depth == 0 && letter.is_alphabetic() => {
                    let rest = &list[at..];
                    named.push(&rest[..word(rest).unwrap_or(rest.len())]);
                    begins = false;
                }
                _ => {}
            }
        }
    }
    named
}

#[test]
fn imports_are_seen_in_every_form() {
    let text = "use crate::solve::{answer, paths}; use crate::{acoustics::Air, output, scene::{self, file}};";
    assert_eq!(modules_named(text), ["solve", "acoustics", "output", "scene"]);
}
