//! README.md, DEVELOPERS.md and the pages of docs/ name nothing that is not there, and stay short.

use super::{page, root};

const PAGES: [&str; 6] =
    ["README.md", "DEVELOPERS.md", "docs/window.md", "docs/commands.md", "docs/scene_format.md", "docs/json.md"];
/// The two pages that everyone reads are read in one sitting.
const LONGEST_LINES: usize = 250;
/// What a path into the package begins with.
const ROOTS: [&str; 8] = ["src/", "tests/", "assets/", "scenes/", "docs/", "benches/", ".ci/", "LICENSE-"];

/// What stands between backticks, outside of fenced blocks.
fn quoted(text: &str) -> Vec<String> {
    let mut fenced = false;
    let mut words = vec![];
    for line in text.lines() {
        if line.starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            words.extend(line.split('`').skip(1).step_by(2).map(str::to_owned));
        }
    }
    words
}

#[test]
fn every_file_and_folder_named_exists() {
    let mut named = 0;
    let mut absent = vec![];
    for name in PAGES {
        for word in quoted(&page(name)) {
            // A word with blanks is a command, one with a placeholder or a star is no single file.
            let path = ROOTS.iter().any(|start| word.starts_with(start)) && !word.contains([' ', '<', '*', '…']);
            if !path {
                continue;
            }
            named += 1;
            if !root().join(&word).exists() {
                absent.push(format!("{name} names {word}"));
            }
        }
    }
    assert!(absent.is_empty(), "{}", absent.join("\n"));
    assert!(named > 60, "only {named} paths were found: has the map moved?");
}

/// The map in DEVELOPERS.md is whole: every folder of `src/` and of `tests/`, and every data file, is named.
#[test]
fn every_folder_is_on_the_map() {
    let text = page("DEVELOPERS.md");
    for folder in ["src", "tests", "assets", "benches"] {
        for entry in std::fs::read_dir(root().join(folder)).unwrap().flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = format!("{folder}/{name}");
            assert!(text.contains(&path), "DEVELOPERS.md does not name {path}");
        }
    }
}

/// Every picture and every page linked to is there.
#[test]
fn every_link_into_the_package_leads_somewhere() {
    for name in PAGES {
        let text = page(name);
        let links = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
        let mut absent = vec![];
        for link in links.filter(|link| !link.contains("://") && !link.starts_with('#')) {
            let file = link.split('#').next().unwrap_or(link);
            let beside = root().join(name).parent().expect("a folder").join(file);
            if !beside.exists() {
                absent.push(link);
            }
        }
        assert!(absent.is_empty(), "{name} links to {absent:?}");
    }
}

#[test]
fn the_first_pages_are_short() {
    for name in ["README.md", "DEVELOPERS.md"] {
        let lines = page(name).lines().count();
        assert!(lines <= LONGEST_LINES, "{name} has {lines} lines");
    }
}
