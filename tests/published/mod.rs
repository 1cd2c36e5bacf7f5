//! Published worked examples and tables: every case of `cases/*.json` runs, fails, or is printed as waiting.
//!
//! One file and one test a topic: `check(&Case) -> Outcome` dispatches on the id. A case not yet reachable returns
//! [`Outcome::Waits`] with the reason; nothing is skipped silently.

mod builds;
mod case;
mod measured;
mod odds;
mod topics;

use std::io::Write as _;

pub(crate) use case::{Case, Outcome};

fn cases_folder() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/cases")
}

/// Every case of a topic holds within the tolerance written beside it, or is named as waiting or as a difference of model.
fn cases_hold(topic: &str, check: fn(&Case) -> Result<Outcome, String>) {
    let file = cases_folder().join(format!("{topic}.json"));
    let cases: Vec<serde_json::Value> = serde_json::from_str(&std::fs::read_to_string(&file).unwrap()).unwrap();
    assert!(!cases.is_empty(), "{topic} has no case");
    let mut counts = [0; 4];
    let (mut failures, mut lines) = (Vec::new(), Vec::new());
    for value in cases {
        let case = Case::new(value);
        let at = match check(&case).unwrap_or_else(Outcome::Fails) {
            Outcome::Passes => 0,
            Outcome::Fails(why) => {
                failures.push(format!("{}: {why}", case.id()));
                1
            }
            Outcome::Waits(why) => {
                lines.push(format!("  waits    {topic}/{}: {why}\n", case.id()));
                2
            }
            Outcome::Differs(why) => {
                lines.push(format!("  differs  {topic}/{}: {why}\n", case.id()));
                3
            }
        };
        counts[at] += 1;
    }
    let [pass, fail, wait, differ] = counts;
    // Written straight to the stream: the test harness swallows `println!` of a passing test, and these counts are to be seen.
    let told =
        format!("\npublished {topic}: {pass} pass, {fail} fail, {wait} wait, {differ} differ\n{}", lines.concat());
    let _ = std::io::stdout().lock().write_all(told.as_bytes());
    assert!(failures.is_empty(), "{} published cases fail:\n{}", failures.len(), failures.join("\n"));
}
