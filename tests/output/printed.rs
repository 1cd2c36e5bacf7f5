//! Tables, JSON, CSV and sentences of an answer made by hand, against golden files.

use std::path::Path;

use leaklight::output::{json, table, words};

use super::sample::flat;

/// Compares with a file of `tests/golden/`. `LEAKLIGHT_GOLDEN=write` rewrites the files, to be reviewed as a diff.
fn golden(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    if std::env::var_os("LEAKLIGHT_GOLDEN").is_some_and(|value| value == "write") {
        std::fs::write(&path, text).expect("the folder is there");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    if kept != text {
        let line = kept.lines().zip(text.lines()).position(|(a, b)| a != b).map_or(0, |at| at + 1);
        panic!("{name} differs from line {line} on. LEAKLIGHT_GOLDEN=write rewrites it. Now:\n{text}");
    }
}

#[test]
fn the_table_is_as_reviewed() {
    let sample = flat();
    golden("flat.txt", &table::text(&sample.scene, &sample.building, &sample.answer, &[0, 1]));
}

#[test]
fn the_csv_is_as_reviewed() {
    let sample = flat();
    golden("flat.csv", &table::csv(&sample.building, &sample.answer, &[0, 1]));
}

#[test]
fn the_json_is_as_reviewed() {
    let sample = flat();
    let text = json::answer(&sample.scene, &sample.building, &sample.answer, &[0]).unwrap();
    golden("flat.json", &text);
}

/// The sentence names the strongest ways, the uncertainty and the limit, and its shares add to 100 %.
#[test]
fn the_sentence_says_what_matters() {
    let sample = flat();
    let text = words::listener(&sample.scene, &sample.building, &sample.answer.listeners[0]);
    for part in [
        "In bed: the drum kit can be heard clearly, about 58 dB(A)",
        "(± 5 dB)",
        "70 % comes through the wall between the two rooms",
        "20 % through the gap round bedroom door",
        "8 % into the outer wall (west), round a junction and out of the wall to practice room on the listener's side",
        "2 % by other ways",
        "The gap round the bedroom door passes more than the bedroom door.",
        "at 250 Hz, 23 dB above",
        "“a night limit” is exceeded by 12 dB (chance that it is kept: 2 %)",
    ] {
        assert!(text.contains(part), "no “{part}” in: {text}");
    }
}

/// Printed shares of each listener's table add to 100.0 %.
#[test]
fn the_shares_of_a_table_add_to_one_hundred() {
    let sample = flat();
    for listener in 0..2 {
        let text = table::text(&sample.scene, &sample.building, &sample.answer, &[listener]);
        // The rows of paths alone end in " %".
        let rows: Vec<&str> = text.lines().filter(|line| line.starts_with("  ") && line.ends_with(" %")).collect();
        let tenths: i64 = rows
            .iter()
            .filter(|line| !line.contains("limit"))
            .map(|line| {
                let number = line.trim_end_matches(" %").rsplit(' ').next().unwrap();
                number.replace('.', "").parse::<i64>().unwrap_or_else(|_| panic!("{line}"))
            })
            .sum();
        assert_eq!(tenths, 1000, "{text}");
    }
}

/// RFC 4180: every record has as many fields as the header, quoted commas aside.
#[test]
fn every_record_of_the_csv_is_whole() {
    let sample = flat();
    let text = table::csv(&sample.building, &sample.answer, &[0, 1]);
    let count = |line: &str| {
        let mut quoted = false;
        line.chars()
            .filter(|letter| {
                quoted ^= *letter == '"';
                *letter == ',' && !quoted
            })
            .count()
    };
    let mut lines = text.split_terminator("\r\n");
    let header = count(lines.next().unwrap());
    assert_eq!(header, 12 + 24 - 1);
    assert!(lines.clone().count() == 19 && lines.all(|line| count(line) == header), "{text}");
}
