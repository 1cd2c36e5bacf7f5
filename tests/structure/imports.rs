//! Imports point one way, folder by folder and file by file: what stands later in [`ORDER`] may use what stands earlier, never the reverse,
//! and no more than a few files lean on each other.

use std::collections::{BTreeMap, BTreeSet};

use super::{root, rust_files};

/// The stages of the data, first to last. See DEVELOPERS.md.
const ORDER: [&str; 15] = [
    "geometry",
    "acoustics",
    "catalogue",
    "scene",
    "template",
    "building",
    "edit",
    "solve",
    "project",
    "build_list",
    "advise",
    "lesson",
    "output",
    "command",
    "app",
];
/// Crates that only `src/app` may name: with them the library would not build without the window.
const WINDOW_CRATES: [&str; 6] = ["bevy", "bevy_egui", "egui", "wgpu", "x11rb", "winit"];
/// The one file that may open the window, for the builds that have one.
const OPENS_THE_WINDOW: &str = "command/window.rs";
/// So many files may import each other in a circle. Own choice: what can still be read as one.
const LARGEST_CIRCLE: usize = 4;

/// A file of `src` and what it imports.
struct Module {
    /// From the root of the crate: `["solve", "paths"]`.
    path: Vec<String>,
    file: String,
    /// Its code without comments and tests.
    code: String,
}

/// Where a path leads.
#[derive(Debug, PartialEq)]
struct Import {
    /// The file that defines what is named.
    to: usize,
    /// True where a file names what stands beside it by way of the folder that re-exports it.
    roundabout: bool,
}

struct Modules(Vec<Module>);

impl Modules {
    fn read() -> Self {
        let from = root().join("src");
        let files = rust_files(&from).into_iter().map(|file| {
            let inside = file.strip_prefix(&from).unwrap().to_string_lossy().replace('\\', "/");
            (inside, std::fs::read_to_string(&file).unwrap())
        });
        Self(files.filter(|(file, _)| file != "main.rs").map(|(file, text)| Module::new(file, &text)).collect())
    }

    fn at(&self, path: &[String]) -> Option<usize> {
        self.0.iter().position(|module| module.path == path)
    }

    /// What a file imports, by whatever form of path.
    fn imports(&self, from: usize) -> Vec<Import> {
        let module = &self.0[from];
        let mut found = vec![];
        for path in paths(&module.code) {
            let Some(path) = absolute(&module.path, &path) else { continue };
            if let Some(to) = self.resolved(&path, 0)
                && to != from
            {
                let beside = self.deepest(&path).0;
                let roundabout = beside != to && Some(beside) == self.at(&module.path[..module.path.len().max(1) - 1]);
                found.push(Import { to, roundabout });
            }
        }
        found
    }

    /// The last module on a path, and how many words lead to it.
    fn deepest(&self, path: &[String]) -> (usize, usize) {
        let lengths = (0..=path.len()).rev();
        lengths.filter_map(|length| Some((self.at(&path[..length])?, length))).next().expect("lib.rs is there")
    }

    /// The file that defines what a path names: re-exports are followed.
    fn resolved(&self, path: &[String], depth: usize) -> Option<usize> {
        let (at, length) = self.deepest(path);
        let Some(item) = path.get(length) else { return Some(at) };
        if depth > 8 {
            return None;
        }
        if length == 0 {
            // A macro of the crate or a name of the library itself.
            return None;
        }
        let module = &self.0[at];
        for exported in re_exports(&module.code) {
            let Some(target) = absolute(&module.path, &exported) else { continue };
            let globbed = target.last().is_some_and(|last| last == "*");
            if globbed {
                let inside = &target[..target.len() - 1];
                if let Some(to) = self.at(inside)
                    && to != at
                    && defines(&self.0[to].code, item)
                {
                    return Some(to);
                }
            } else if target.last() == Some(item) && target[..] != path[..=length] {
                return self.resolved(&target, depth + 1);
            }
        }
        Some(at)
    }

    /// Files that import each other in a loop, the largest circle first.
    fn circles(&self) -> Vec<Vec<usize>> {
        let arrows: Vec<BTreeSet<usize>> =
            (0..self.0.len()).map(|from| self.imports(from).into_iter().map(|import| import.to).collect()).collect();
        let reached: Vec<BTreeSet<usize>> = (0..arrows.len())
            .map(|from| {
                let (mut seen, mut open) = (BTreeSet::new(), vec![from]);
                while let Some(at) = open.pop() {
                    open.extend(arrows[at].iter().filter(|to| seen.insert(**to)));
                }
                seen
            })
            .collect();
        let mut circles: BTreeMap<Vec<usize>, ()> = BTreeMap::new();
        for from in 0..arrows.len() {
            let circle: Vec<usize> = reached[from].iter().copied().filter(|to| reached[*to].contains(&from)).collect();
            if circle.len() > 1 {
                circles.insert(circle, ());
            }
        }
        let mut circles: Vec<_> = circles.into_keys().collect();
        circles.sort_by_key(|circle| std::cmp::Reverse(circle.len()));
        circles
    }
}

impl Module {
    fn new(file: String, text: &str) -> Self {
        let words = file.trim_end_matches(".rs").split('/').map(str::to_owned);
        let path = words.filter(|word| word != "mod" && word != "lib").collect();
        Self { path, code: code(text), file }
    }
}

/// Without comments, and without the tests at its end.
fn code(text: &str) -> String {
    let code = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
    code.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join("\n")
}

fn is_word(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

/// All paths of `use` statements, and those that begin with `crate`, `self` or `super` anywhere.
fn paths(code: &str) -> Vec<Vec<String>> {
    let mut found = vec![];
    for (at, _) in code.match_indices("use ") {
        if code[..at].chars().next_back().is_none_or(|before| !is_word(before))
            && let Some((tree, _)) = code[at + 4..].split_once(';')
        {
            spread(tree, &[], &mut found);
        }
    }
    for start in ["crate::", "super::", "self::"] {
        for (at, _) in code.match_indices(start) {
            // `pub(in crate::solve)` names who may see, not what is used.
            let before = &code[..at];
            let named = before.chars().next_back().is_none_or(|letter| !is_word(letter) && letter != ':');
            if named && !before.ends_with("(in ") {
                let path =
                    code[at..].split(|letter: char| !is_word(letter) && letter != ':').next().unwrap_or_default();
                found.push(path.split("::").filter(|word| !word.is_empty()).map(str::to_owned).collect());
            }
        }
    }
    found
}

/// The paths that `pub use` statements, of whatever reach, hand on.
fn re_exports(code: &str) -> Vec<Vec<String>> {
    let mut found = vec![];
    for (at, _) in code.match_indices("use ") {
        let before = code[..at].trim_end();
        let handed_on = before.ends_with("pub")
            || (before.ends_with(')') && before.rsplit("pub(").next().is_some_and(|reach| reach.len() < 12));
        if handed_on && let Some((tree, _)) = code[at + 4..].split_once(';') {
            spread(tree, &[], &mut found);
        }
    }
    found
}

/// `a::{b, c::d}` as a::b and a::c::d.
fn spread(tree: &str, before: &[String], found: &mut Vec<Vec<String>>) {
    let tree = tree.trim();
    let Some((head, rest)) = tree.split_once('{') else {
        let named = tree.split(" as ").next().unwrap_or_default();
        let words = named.split("::").map(|word| word.trim().to_owned()).filter(|word| !word.is_empty());
        let path: Vec<String> =
            before.iter().cloned().chain(words).filter(|word| word != "self" || before.is_empty()).collect();
        return found.push(path);
    };
    let mut path = before.to_vec();
    path.extend(head.split("::").map(|word| word.trim().to_owned()).filter(|word| !word.is_empty()));
    let inside = rest.rsplit_once('}').map_or(rest, |(inside, _)| inside);
    let (mut depth, mut start) = (0, 0);
    for (at, letter) in inside.char_indices().chain([(inside.len(), ',')]) {
        match letter {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                if !inside[start..at].trim().is_empty() {
                    spread(&inside[start..at], &path, found);
                }
                start = (at + 1).min(inside.len());
            }
            _ => {}
        }
    }
}

/// A path from the crate's root; nothing for one into another crate.
fn absolute(module: &[String], path: &[String]) -> Option<Vec<String>> {
    let mut at = module.to_vec();
    let mut words = path.iter();
    let first = words.next()?;
    match first.as_str() {
        "crate" => at.clear(),
        "self" => {}
        "super" => drop(at.pop()),
        // In a `use` of this edition: a module below this one, or another crate.
        child => at.push(child.to_owned()),
    }
    for word in words {
        if word == "super" {
            at.pop();
        } else {
            at.push(word.clone());
        }
    }
    Some(at)
}

/// Whether a file defines an item of that name.
fn defines(code: &str, item: &str) -> bool {
    ["struct", "enum", "fn", "const", "static", "type", "trait"].iter().any(|kind| {
        code.match_indices(&format!("{kind} {item}")).any(|(at, found)| !code[at + found.len()..].starts_with(is_word))
    })
}

#[test]
fn imports_point_one_way() {
    let modules = Modules::read();
    let stage =
        |module: &Module| ORDER.iter().position(|stage| module.path.first().is_some_and(|first| first == stage));
    let mut wrong = vec![];
    for (from, module) in modules.0.iter().enumerate() {
        let Some(own) = stage(module) else { continue };
        let opens = module.file == OPENS_THE_WINDOW;
        for import in modules.imports(from) {
            let to = &modules.0[import.to];
            if stage(to).is_some_and(|later| later > own && !(opens && ORDER[later] == "app")) {
                wrong.push(format!("{} uses {}", module.file, to.file));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let absent: Vec<_> = ORDER
        .iter()
        .filter(|name| !modules.0.iter().any(|module| module.path.first().is_some_and(|first| first == *name)))
        .collect();
    assert!(absent.is_empty(), "{absent:?}");
}

#[test]
fn circles_of_files_are_small() {
    let modules = Modules::read();
    let circles = modules.circles();
    let told: Vec<String> = circles
        .iter()
        .filter(|circle| circle.len() > LARGEST_CIRCLE)
        .map(|circle| {
            let mut lines = vec![format!("a circle of {} files:", circle.len())];
            for from in circle {
                let to: BTreeSet<&str> = modules
                    .imports(*from)
                    .iter()
                    .filter(|import| circle.contains(&import.to))
                    .map(|import| modules.0[import.to].file.as_str())
                    .collect();
                lines.push(format!("  {} -> {to:?}", modules.0[*from].file));
            }
            lines.join("\n")
        })
        .collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
}

/// A file names its neighbour itself, not by way of the folder that hands it on to others.
#[test]
fn neighbours_are_named_themselves() {
    let modules = Modules::read();
    let mut wrong = BTreeSet::new();
    for (from, module) in modules.0.iter().enumerate() {
        for import in modules.imports(from).iter().filter(|import| import.roundabout) {
            wrong.insert(format!(
                "{} names what {} defines by way of their folder",
                module.file, modules.0[import.to].file
            ));
        }
    }
    assert!(wrong.is_empty(), "{} of them:\n{}", wrong.len(), wrong.into_iter().collect::<Vec<_>>().join("\n"));
}

#[test]
fn only_the_window_names_its_crates() {
    let modules = Modules::read();
    let mut wrong = vec![];
    for module in modules.0.iter().filter(|module| module.path.first().is_none_or(|first| first != "app")) {
        for (number, line) in module.code.lines().enumerate() {
            if line.split(|letter: char| !is_word(letter)).any(|word| WINDOW_CRATES.contains(&word)) {
                wrong.push(format!("{}, line {}: {line}", module.file, number + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn imports_are_seen_in_every_form() {
    let text = "use crate::solve::{answer, paths::{self, Ring}};\npub use kind::Kind; // use nothing::at::all;\nfn f() { crate::scene::Scene; super::Air }\n#[cfg(test)]\nmod tests { use crate::app; }";
    let code = code(text);
    let seen: Vec<String> = paths(&code).iter().map(|path| path.join("::")).collect();
    assert_eq!(
        seen,
        [
            "crate::solve::answer",
            "crate::solve::paths",
            "crate::solve::paths::Ring",
            "kind::Kind",
            "crate::solve",
            "crate::scene::Scene",
            "super::Air"
        ]
    );
    assert_eq!(re_exports(&code), [["kind", "Kind"]]);
    let module = ["solve".to_owned(), "room".to_owned()];
    assert_eq!(absolute(&module, &["super".to_owned(), "Air".to_owned()]).unwrap(), ["solve", "Air"]);
    assert!(defines("pub fn solve_all(", "solve_all") && !defines("pub fn solve_all(", "solve"));
}
