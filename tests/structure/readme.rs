//! What README.md and the pages beside it show is what the program does: the scene can be solved, outputs are printed so, keys are all there are.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use leaklight::building::build;
use leaklight::catalogue::{Catalogue, Construction};
use leaklight::scene::file;
use leaklight::scene::validate::validate;
use leaklight::solve::solve;

use super::{page, root};

/// The pages that show commands and what they print.
const SHOWING: [&str; 2] = ["README.md", "docs/commands.md"];
const SCENE_PAGE: &str = "docs/scene_format.md";
const JSON_PAGE: &str = "docs/json.md";

/// A fenced block: its language, and where its text stands in the page.
struct Block {
    language: String,
    first: usize,
    lines: Vec<String>,
}

fn blocks(text: &str) -> Vec<Block> {
    let mut found: Vec<Block> = vec![];
    let mut inside = false;
    for (number, line) in text.lines().enumerate() {
        match line.strip_prefix("```") {
            Some(_) if inside => inside = false,
            Some(language) => {
                inside = true;
                found.push(Block { language: language.to_owned(), first: number + 1, lines: vec![] });
            }
            None if inside => found.last_mut().unwrap().lines.push(line.to_owned()),
            None => {}
        }
    }
    found
}

fn ron_blocks() -> Vec<String> {
    blocks(&page(SCENE_PAGE))
        .into_iter()
        .filter(|block| block.language == "ron")
        .map(|block| format!("{}\n", block.lines.join("\n")))
        .collect()
}

/// The whole scene of the page: the one block that states a format.
fn scene_text() -> String {
    let mut scenes: Vec<String> = ron_blocks().into_iter().filter(|text| text.contains("format:")).collect();
    assert_eq!(scenes.len(), 1, "{SCENE_PAGE} shows one whole scene");
    scenes.remove(0)
}

#[test]
fn the_scene_of_the_page_can_be_solved() {
    let catalogue = Catalogue::built_in_ref();
    let scene = file::from_text(&scene_text()).unwrap_or_else(|problem| panic!("{problem}"));
    let problems: Vec<String> = validate(&scene, catalogue).iter().map(ToString::to_string).collect();
    assert!(problems.is_empty(), "{problems:#?}");
    let building = build(&scene, catalogue).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let answer = solve(&scene, catalogue, &building);
    let heard = &answer.listeners[0];
    let shares: f64 = heard.paths.iter().map(|path| path.share).sum();
    assert!((shares - 1.0).abs() < 1e-9, "{shares}");
    assert!(heard.la_db > 20.0 && heard.la_db < 90.0, "{} dB(A) next to a trumpet", heard.la_db);
}

/// The other RON blocks are constructions, and sound ones.
#[test]
fn the_constructions_of_the_page_are_sound() {
    let mut found = 0;
    for text in ron_blocks().iter().filter(|text| !text.contains("format:")) {
        let build: Construction = file::options().from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"));
        let faults = Catalogue::built_in_ref().faults_of(&build);
        assert!(faults.is_empty(), "{faults:?}");
        found += 1;
    }
    assert!(found > 0, "{SCENE_PAGE} shows how to write a construction");
}

/// Runs a command line of the page in a folder that holds the page's scene as `two-rooms.ron`. Both streams, as a terminal shows them.
fn run(line: &str, folder: &Path) -> (String, Option<i32>) {
    let scenes = root().join("scenes").to_string_lossy().into_owned();
    let arguments = line.split_whitespace().skip(1).map(|word| word.replace("scenes/", &format!("{scenes}/")));
    let output =
        Command::new(env!("CARGO_BIN_EXE_leaklight")).args(arguments).current_dir(folder).output().expect("it starts");
    let text = [output.stdout, output.stderr].map(|bytes| String::from_utf8(bytes).expect("UTF-8")).concat();
    (text, output.status.code())
}

/// A line that stands for any number of lines left out.
const LEFT_OUT: &str = "…";

/// Every output shown under a `$ leaklight …` line is printed so, but for lines left out at one place, marked by a line "…".
/// `LEAKLIGHT_GOLDEN=write` writes anew what changed, with as many lines before and after the gap; review it as a diff.
#[test]
fn outputs_of_the_pages_are_as_printed() {
    let tried: usize = SHOWING.iter().map(|name| outputs_are_as_printed(name)).sum();
    assert!(tried >= 9, "only {tried} commands were found");
}

/// Runs the commands of a page, in the order they stand in; how many there are.
fn outputs_are_as_printed(name: &str) -> usize {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("two-rooms.ron"), scene_text()).unwrap();
    let text = page(name);
    let mut lines: Vec<Option<String>> = text.lines().map(|line| Some(line.to_owned())).collect();
    let (mut tried, mut wrong) = (0, vec![]);
    for block in blocks(&text).iter().filter(|block| block.language == "console") {
        let starts = |at: usize| block.lines[at].starts_with("$ ");
        for at in (0..block.lines.len()).filter(|at| block.lines[*at].starts_with("$ leaklight ")) {
            let (printed, code) = run(&block.lines[at][2..], folder.path());
            tried += 1;
            let end = (at + 1..block.lines.len()).find(|line| starts(*line)).unwrap_or(block.lines.len());
            let shown = &block.lines[at + 1..end];
            if shown.is_empty() {
                assert_eq!(code, Some(0), "{}: {printed}", block.lines[at]);
            }
            let printed: Vec<&str> = printed.lines().map(str::trim_end).collect();
            let gap = shown.iter().position(|line| line.trim() == LEFT_OUT);
            let (before, after) = gap.map_or((shown.len(), 0), |gap| (gap, shown.len() - gap - 1));
            let same = shown.is_empty()
                || (before + after <= printed.len()
                    && (gap.is_some() || before == printed.len())
                    && shown[..before].iter().zip(&printed).all(|(a, b)| a == b)
                    && shown[shown.len() - after..].iter().rev().zip(printed.iter().rev()).all(|(a, b)| a == b));
            if !same {
                wrong.push(format!("{}\nNow it prints:\n{}", block.lines[at], printed.join("\n")));
                let (first, last) = (block.first + at + 1, block.first + end - 1);
                if gap.is_none() {
                    // The output may have grown or shrunk: all of it goes where its first line stood.
                    lines[first..=last].fill(None);
                    lines[first] = Some(printed.join("\n"));
                    continue;
                }
                for (line, printed) in printed.iter().take(before).enumerate() {
                    lines[first + line] = Some((*printed).to_owned());
                }
                for (back, printed) in printed.iter().rev().take(after).enumerate() {
                    lines[last - back] = Some((*printed).to_owned());
                }
            }
        }
    }
    if !wrong.is_empty() && std::env::var_os("LEAKLIGHT_GOLDEN").is_some_and(|value| value == "write") {
        let lines: Vec<String> = lines.into_iter().flatten().collect();
        std::fs::write(root().join(name), lines.join("\n") + "\n").unwrap();
        return tried;
    }
    assert!(wrong.is_empty(), "{name}: LEAKLIGHT_GOLDEN=write shows them anew:\n{}", wrong.join("\n\n"));
    tried
}

/// The keys of a JSON value, and the words its lists of cases may hold.
fn keys(value: &serde_json::Value, found: &mut BTreeSet<String>) {
    match value {
        serde_json::Value::Object(fields) => {
            for (key, value) in fields {
                found.insert(key.clone());
                if let ("kind" | "part" | "audibility" | "handling", Some(word)) = (key.as_str(), value.as_str()) {
                    found.insert(word.to_owned());
                }
                keys(value, found);
            }
        }
        serde_json::Value::Array(values) => values.iter().for_each(|value| keys(value, found)),
        _ => {}
    }
}

/// Every key the program prints as JSON.
fn printed_keys() -> BTreeSet<String> {
    let values = ["60"; 21].join(",");
    let mut found = BTreeSet::new();
    let folder = tempfile::tempdir().unwrap();
    let changed = std::fs::read_to_string(root().join("tests/output/shelled.ron")).unwrap();
    let changed = changed.replacen("brick-102-plastered", "brick-215-plastered", 1);
    let changed_path = folder.path().join("changed.ron");
    std::fs::write(&changed_path, changed).unwrap();
    for line in [
        "leaklight solve scenes/bookshop-terrace.ron --json",
        "leaklight solve scenes/music-school.ron --json",
        "leaklight solve tests/output/shelled.ron --json",
        "leaklight uncertainty scenes/bookshop-terrace.ron --samples 100 --json",
        &format!("leaklight compare tests/output/shelled.ron {} --json", changed_path.display()),
        "leaklight compare scenes/foam-or-lining.ron --json",
        "leaklight advise tests/advise/two-rooms.ron --json",
        "leaklight lesson mass --answer b --json",
        "leaklight element brick-102-plastered --built unsealed --json",
        "leaklight find brick plaster --json",
        &format!("leaklight rate airborne {values} --json"),
        &format!("leaklight rate impact {values} --json"),
    ] {
        let (text, code) = run(line, root());
        assert_eq!(code, Some(0), "{line}: {text}");
        // Warnings on the other stream come after it.
        let end = text.rfind('}').map_or(0, |at| at + 1);
        keys(&serde_json::from_str(&text[..end]).unwrap(), &mut found);
    }
    found
}

#[test]
fn every_key_of_the_json_is_explained() {
    let text = page(JSON_PAGE);
    let absent: Vec<String> = printed_keys().into_iter().filter(|key| !text.contains(&format!("`{key}`"))).collect();
    assert!(absent.is_empty(), "{JSON_PAGE} does not explain {absent:?}");
}

/// Shortened JSON of the page has no key the program does not print.
#[test]
fn the_page_shows_no_key_that_does_not_exist() {
    let printed = printed_keys();
    let page = page(JSON_PAGE);
    let mut seen = 0;
    for block in blocks(&page).iter().filter(|block| block.language.starts_with("json")) {
        let text = block.lines.join("\n");
        let quoted: Vec<&str> = text.split('"').collect();
        for pair in quoted.windows(2).skip(1).step_by(2).filter(|pair| pair[1].starts_with(':')) {
            assert!(printed.contains(pair[0]), "there is no key \"{}\"", pair[0]);
            seen += 1;
        }
    }
    assert!(seen > 40, "only {seen} keys were found");
}
