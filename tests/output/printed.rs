//! Tables, JSON, CSV and sentences of an answer made by hand, against golden files.

use std::path::Path;

use leaklight::output::{checks, json, table, treatments, words};
use leaklight::scene::Scene;
use leaklight::solve::BandChoice;

use super::sample::{Sample, flat, shelled, solved};

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
    golden("flat.txt", &table::text(&sample, &[0, 1]));
}

#[test]
fn the_csv_is_as_reviewed() {
    let sample = flat();
    golden("flat.csv", &table::csv(&sample, &[0, 1]));
}

#[test]
fn the_json_is_as_reviewed() {
    let sample = flat();
    let text = json::answer(&sample, &[0], usize::MAX);
    golden("flat.json", &text);
}

/// Of many listeners the strongest paths are written and the others summed: the same keys else, and shares that still add to 1.
#[test]
fn json_of_many_listeners_sums_the_weaker_paths() {
    let sample = flat();
    let [all, cut] = [usize::MAX, 2].map(|most| {
        let text = json::answer(&sample, &[0], most);
        serde_json::from_str::<serde_json::Value>(&text).unwrap()["listeners"][0].clone()
    });
    let (every, strongest) = (all["paths"].as_array().unwrap(), cut["paths"].as_array().unwrap());
    assert!(every.len() > 2 && every[..2] == strongest[..] && all["other_paths"].is_null());
    let others = &cut["other_paths"];
    assert_eq!(others["count"], every.len() - 2);
    let share: f64 = strongest.iter().chain([others]).map(|path| path["share"].as_f64().unwrap()).sum();
    assert!((share - 1.0).abs() < 1e-9, "{share}");
    assert_eq!(others["level_db"].as_array().unwrap().len(), every[0]["level_db"].as_array().unwrap().len());
}

/// The sentence names the strongest ways, the uncertainty and the limit, and its shares add to 100 %.
#[test]
fn the_sentence_says_what_matters() {
    let sample = flat();
    let text =
        words::lines(&sample.scene, &sample.building, &sample.answer.listeners[0], BandChoice::AWeighted).whole();
    for part in [
        "In bed: the drum kit can be heard clearly, about 58 dB(A)",
        "(± 5 dB)",
        "70 % comes through the wall to the bedroom of the family Featherstonehaugh-Cholmondeley",
        "Then 20 % comes through the gap round the bedroom door",
        "Then 8 % runs from the outer wall (left) into the wall to the bedroom",
        "The other 2 % takes other ways",
        "The gap round the bedroom door passes more than the bedroom door.",
        "at 250 Hz, 23 dB above",
        "“a night limit” is exceeded by 12 dB: kept with a chance of 2 %",
    ] {
        assert!(text.contains(part), "no “{part}” in: {text}");
    }
}

/// Printed shares of each listener's table add to 100.0 %.
#[test]
fn the_shares_of_a_table_add_to_one_hundred() {
    let sample = flat();
    for listener in 0..2 {
        let text = table::text(&sample, &[listener]);
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

/// A scene with a shell, a cover that is on and one that is off, and a platform: each says what it gains, weighs and spoils.
#[test]
fn treatments_are_printed_with_their_losses_and_cautions() {
    let text = treatments::text(&shelled()) + &checks::text(&shelled());
    golden("shelled.txt", &text);
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        // By hand: 4.822 m by 3.772 m between walls of 228 and 128 mm; less 130 mm on three sides and 45 mm (20 mm gap, two boards of
        // 12.5 mm) on the south: 4.562 m by 3.597 m.
        "Practice room: 16.4 of 18.2 m² of floor are left",
        "its floor lies 84 mm higher",
        "Closed off by it: front window.",
        "from 25 to 31.5 Hz",
        "2 pieces (2 across, 1 up) of 0.75 m × 1.30 m, 13.3 kg each",
        "One person can lift one near the body.",
        "The gap round its edge passes more than the board",
        "worse than without",
        "drum kit, pedal",
        // Its floor lies on the ground, so that the load of floors of dwellings says nothing.
        "It lies on the ground: ask what lies under it.",
        "that an engineer has checked",
        "Fire:",
        "Air:",
        "Electrics:",
        "Damp:",
        "Combustion:",
        "the studio window in the studio",
    ] {
        assert!(one_line.contains(part), "no “{part}” in: {text}");
    }
    // The cover that is off weighs on nobody, and is no way out closed.
    assert!(!one_line.contains("side window"), "{text}");
    // Nothing is said twice.
    for line in checks::lines(&shelled()) {
        assert_eq!(one_line.matches(&line.text).count(), 1, "{text}");
    }
    assert_eq!(treatments::text(&flat()), "");
}

/// Every loss is marked where it stands and told below it.
#[test]
fn losses_are_marked() {
    let sample = shelled();
    let (text, answer) = (treatments::text(&sample), &sample.answer);
    let worst_db = answer.mounts[0].gain_db.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(worst_db < -3.0, "a stiff mat under 120 kg swings with the bass drum: {worst_db}");
    assert!(text.contains(&format!("−{:.1} dB at", -worst_db)), "{text}");
    let octave_db = treatments::octave_gains_db(&answer.mounts[0].gain_db)[1];
    assert!(octave_db < -0.5 && text.contains(&format!("{octave_db:.1}!")), "{text}");
}

/// Gap beside board, of a cover that leaks: the listener's sentence names both.
#[test]
fn a_leaking_cover_is_named_in_the_sentence() {
    let mut scene = Scene::clone(&shelled().scene);
    let opening = scene.storeys[0].openings.iter_mut().find(|opening| opening.id.0 == "studio-window").unwrap();
    opening.seal = Some("none".into());
    opening.cover.as_mut().unwrap().seal = Some("none".into());
    scene.sources.remove(0);
    let side = scene.storeys[0].openings.iter().position(|opening| opening.id.0 == "side-window").unwrap();
    scene.storeys[0].openings.remove(side);
    let Sample { scene, building, answer, .. } = solved(scene);
    let lane = answer.listeners.iter().find(|heard| heard.listener.0 == "lane").unwrap();
    let text = words::lines(&scene, &building, lane, BandChoice::AWeighted).by;
    assert!(text.contains("The gaps round the studio window and its cover pass more than"), "{text}");
}

/// RFC 4180: every record has as many fields as the header, quoted commas aside.
#[test]
fn every_record_of_the_csv_is_whole() {
    let sample = flat();
    let text = table::csv(&sample, &[0, 1]);
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
