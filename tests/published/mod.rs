//! Published worked examples and tables: every case of `cases/*.json` runs, fails, or is printed as waiting.
//!
//! One file a topic: `check(&Case) -> Outcome` dispatches on the id. A case not yet reachable returns
//! [`Outcome::Waits`] with the reason; nothing is skipped silently.

mod builds;
mod case;
mod measured;
mod odds;
mod topics;

use std::collections::BTreeMap;
use std::io::Write as _;

pub(crate) use case::{Case, Outcome};

/// Every published case holds within the tolerance written beside it, or is named as waiting or as a difference of model.
#[test]
fn published_cases_hold() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/cases");
    let mut counts: BTreeMap<String, [usize; 4]> = BTreeMap::new();
    let (mut failures, mut lines) = (Vec::new(), Vec::new());
    let mut files: Vec<_> =
        std::fs::read_dir(&folder).expect("the cases are committed").map(|entry| entry.unwrap().path()).collect();
    files.sort();
    // A folder of its own has a test of its own.
    for file in files.into_iter().filter(|file| file.is_file()) {
        let topic = file.file_stem().unwrap().to_string_lossy().into_owned();
        let cases: Vec<serde_json::Value> = serde_json::from_str(&std::fs::read_to_string(&file).unwrap()).unwrap();
        let count = counts.entry(topic.clone()).or_default();
        for value in cases {
            let case = Case::new(value);
            let outcome = topics::check(&topic, &case).unwrap_or_else(Outcome::Fails);
            match outcome {
                Outcome::Passes => count[0] += 1,
                Outcome::Fails(why) => {
                    count[1] += 1;
                    failures.push(format!("{topic}/{}: {why}", case.id()));
                }
                Outcome::Waits(why) => {
                    count[2] += 1;
                    lines.push(format!("  waits    {topic}/{}: {why}", case.id()));
                }
                Outcome::Differs(why) => {
                    count[3] += 1;
                    lines.push(format!("  differs  {topic}/{}: {why}", case.id()));
                }
            }
        }
    }
    // Written straight to the stream: the test harness swallows `println!` of a passing test, and these counts are to be seen.
    let mut out = std::io::stdout().lock();
    let _ = writeln!(out, "\npublished cases            pass  fail  wait  differ");
    let mut total = [0; 4];
    for (topic, count) in &counts {
        let _ = writeln!(out, "  {topic:<24} {:>4}  {:>4}  {:>4}  {:>4}", count[0], count[1], count[2], count[3]);
        for (sum, n) in total.iter_mut().zip(count) {
            *sum += n;
        }
    }
    let _ = writeln!(out, "  {:<24} {:>4}  {:>4}  {:>4}  {:>4}", "all", total[0], total[1], total[2], total[3]);
    for line in lines {
        let _ = writeln!(out, "{line}");
    }
    drop(out);
    assert!(failures.is_empty(), "{} published cases fail:\n{}", failures.len(), failures.join("\n"));
}
