//! What the program is built with: each package has a reason on its page, and a licence that is on the list.

use std::process::Command;

use super::{page, root};

/// The text between two marks.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    text.split_once(from).and_then(|(_, rest)| rest.split_once(to)).map_or("", |(inside, _)| inside)
}

#[test]
fn every_dependency_has_a_reason() {
    let (manifest, reasons) = (page("Cargo.toml"), page("docs/dependencies.md"));
    let mut inside = false;
    let mut names = vec![];
    for line in manifest.lines() {
        if let Some(section) = line.strip_prefix('[') {
            inside = section.trim_end_matches(']').ends_with("dependencies");
        } else if let (true, Some((name, _))) = (inside, line.split_once(" = ")) {
            names.push(name.trim_start_matches("# ").to_owned());
        }
    }
    assert!(names.len() > 20, "{names:?}");
    for name in &names {
        assert!(reasons.contains(&format!("| {name} |")), "docs/dependencies.md does not say what {name} is for");
    }
    let said = reasons.lines().filter_map(|line| line.strip_prefix("| ")?.split(" |").next());
    for name in said.filter(|name| *name != "Package") {
        assert!(
            names.iter().any(|known| known == name),
            "docs/dependencies.md speaks of {name}, which Cargo.toml has not"
        );
    }
}

/// One of several is enough, and all of those joined by AND are needed: SPDX expressions as the packages here have them.
fn is_allowed(licence: &str, allowed: &[&str]) -> bool {
    licence
        .replace('/', " OR ")
        .split(" AND ")
        .all(|part| part.trim_matches(['(', ')']).split(" OR ").any(|one| allowed.contains(&one.trim())))
}

#[test]
fn every_licence_is_on_the_list() {
    let list = page("deny.toml");
    let allowed: Vec<&str> = between(&list, "allow = [", "]").split('"').skip(1).step_by(2).collect();
    assert!(is_allowed("MIT OR GPL-3.0", &allowed) && !is_allowed("MIT AND GPL-3.0", &allowed));
    let rustc = Command::new("rustc").arg("-vV").output().expect("rustc runs");
    let about = String::from_utf8(rustc.stdout).unwrap();
    let host = about.lines().find_map(|line| line.strip_prefix("host: ")).expect("the host");
    let metadata = Command::new(env!("CARGO"))
        .args(["metadata", "--locked", "--offline", "--format-version", "1", "--filter-platform", host])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    let metadata: serde_json::Value = serde_json::from_slice(&metadata.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&metadata.stderr)));
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 100);
    for package in packages {
        let licence = package["license"].as_str().unwrap_or("none stated");
        assert!(is_allowed(licence, &allowed), "{} has the licence {licence}", package["name"]);
    }
}
