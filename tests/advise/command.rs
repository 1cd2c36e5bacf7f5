//! `leaklight advise` as it is called.

use std::path::Path;
use std::process::{Command, Output};

fn leaklight(arguments: &[&str]) -> Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    Command::new(env!("CARGO_BIN_EXE_leaklight")).current_dir(root).args(arguments).output().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

const SCENE: &str = "tests/advise/two-rooms.ron";

#[test]
fn the_answer_comes_in_an_order_with_its_proof() {
    let output = leaklight(&["advise", SCENE, "--confidence", "90"]);
    let text = said(&output);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    for part in [
        "What to build first: Two rooms",
        "In this order",
        "Not chosen",
        "What more money buys",
        "How sure this is",
        "foam",
    ] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 110), "{text}");
}

#[test]
fn json_says_the_same_and_a_variant_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("advised.ron");
    let path = path.to_str().unwrap();
    let output = leaklight(&["advise", SCENE, "--confidence", "90", "--json", "-o", path]);
    let json: serde_json::Value = serde_json::from_str(&said(&output)).unwrap();
    let plan = &json["plan"];
    let then_db = json["listeners"][0]["then_la_db"].as_f64().unwrap();
    assert!(plan["measures"].as_array().unwrap().len() == json["steps"].as_array().unwrap().len());
    assert!(json["proof"]["complete"].as_bool().unwrap() && json["proof"]["error_db"].as_f64().unwrap() < 0.3);
    // The variant makes what was promised.
    let solved = leaklight(&["solve", path, "--variant", "as advised", "--json"]);
    let solved: serde_json::Value = serde_json::from_str(&said(&solved)).unwrap();
    let la_db = solved["listeners"][0]["level_a_db"].as_f64().unwrap();
    assert!((la_db - then_db).abs() < 0.02, "{la_db} for {then_db}");
    let again = leaklight(&["advise", SCENE, "-o", path]);
    assert_eq!(again.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&again.stderr).contains("is there already"));
}

#[test]
fn wrong_calls_are_told() {
    for (arguments, says) in [
        (&["advise", SCENE, "--confidence", "20"][..], "50 to 99"),
        (&["advise", SCENE, "--budget", "-3"][..], "not negative"),
        (&["advise", SCENE, "--target", "who-bedroom-nigth"][..], "who-bedroom-night"),
    ] {
        let output = leaklight(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(String::from_utf8_lossy(&output.stderr).contains(says), "{}", String::from_utf8_lossy(&output.stderr));
    }
}
