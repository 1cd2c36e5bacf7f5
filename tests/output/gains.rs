//! What is said of stopping things, and of changes, against the answer it is said of.

use std::path::Path;

use leaklight::output::words;
use leaklight::scene::{Scene, file};

use super::sample::{Sample, flat, solved};

pub(super) fn shipped() -> Vec<(String, Sample)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "ron"));
    files.sort();
    files
        .iter()
        .map(|path| (path.file_stem().unwrap().to_string_lossy().into_owned(), solved(file::read(path).unwrap())))
        .collect()
}

/// No sentence or line of any listener of a shipped scene holds what no sentence should, and its numbers are those of the answer.
#[test]
fn sentences_of_shipped_scenes_are_clean() {
    for (name, Sample { building, answer, .. }) in shipped() {
        for heard in &answer.listeners {
            let mut texts = vec![words::gains(&building, heard)];
            for line in words::gain_lines(&building, heard, 8) {
                assert!(line.alone.gain_db >= 0.0 && line.in_turn.gain_db >= line.alone.gain_db - 1e-9, "{line:?}");
                assert!((0.0..=1.0 + 1e-9).contains(&line.in_turn.share), "{line:?}");
                texts.extend([line.what, line.brief, line.gain, line.left]);
            }
            for text in texts {
                clean(&format!("{name}, {}", heard.name), &text);
            }
        }
    }
}

fn clean(place: &str, text: &str) {
    for bad in ["NaN", "inf", " -0", "−0", "-0.0", "  ", "..", " ,", " ."] {
        assert!(!text.contains(bad), "{place}: “{bad}” in “{text}”");
    }
    assert_eq!(text, text.trim(), "{place}");
}

/// By hand from the shares of the sample (70.4 % wall, 19.6 % gap, 8 % outer wall, 2 % ceiling; one spectrum): −10 lg(1 − 0.704) is 5.3 dB,
/// −10 lg(1 − 0.196) 0.9, −10 lg(1 − 0.08) 0.4. The limit is 12.34 dB below the level: 10 % is left after two (−10 dB), 2 % after three (−17 dB).
#[test]
fn gains_are_those_of_the_shares_by_hand() {
    let Sample { building, answer, .. } = flat();
    let text = words::gains(&building, &answer.listeners[0]);
    let wall = "the wall to bedroom of the family Featherstonehaugh-Cholmondeley";
    assert_eq!(
        text,
        format!(
            "Stopping all that enters {wall} would gain at most 5.3 dB. Stopping the gap round the bedroom door would gain 0.9 dB \
             and the outer wall (west) 0.4 dB: not worth it alone. Only with {wall}, the gap round the bedroom door and the outer wall \
             (west) all stopped would the limit be kept."
        )
    );
    let lines = words::gain_lines(&building, &answer.listeners[0], 9);
    let told: Vec<(&str, &str)> = lines.iter().map(|line| (line.gain.as_str(), line.left.as_str())).collect();
    // 57.6 dB(A) less 5.3, 10 and 17 dB; then nothing.
    assert_eq!(told, [("5.3 dB", "52 dB(A)"), ("0.9 dB", "48 dB(A)"), ("0.4 dB", "41 dB(A)"), ("0.1 dB", "nothing")]);
    assert!((lines.iter().map(|line| line.in_turn.share).sum::<f64>() - 1.0).abs() < 1e-9);
}

/// 49 % and 47 %, the rest 4 %: either stopped leaves half, some 3 dB less, both leave 4 %, 14 dB less.
#[test]
fn equal_ways_are_called_equal() {
    let Sample { building, mut answer, .. } = flat();
    let heard = &mut answer.listeners[0];
    heard.target = None;
    for (path, share) in heard.paths.iter_mut().zip([0.49, 0.47, 0.03, 0.01]) {
        path.energy = path.energy.map(|energy| energy * share / path.share);
        path.share = share;
    }
    let text = words::gains(&building, heard);
    let part = "are about equally strong: stopping one of them gains at most 2.9 dB, both 14.0 dB.";
    assert!(text.contains(part), "{text}");
}

fn changed(name: &str, id: &str, edit: impl Fn(&mut Scene)) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name);
    let before = file::read(&path).unwrap();
    let mut after = before.clone();
    edit(&mut after);
    let (before, after) = (solved(before), solved(after));
    before
        .answer
        .listeners
        .iter()
        .filter(|heard| id.is_empty() || heard.listener.0 == id)
        .map(|heard| words::change(&before, &after, &heard.listener).unwrap())
        .collect()
}

fn window(scene: &mut Scene, id: &str, construction: &str, seal: &str) {
    let all = scene.storeys.iter_mut().flat_map(|storey| storey.openings.iter_mut());
    let found = all.filter(|opening| opening.name == id).map(|opening| {
        (opening.construction, opening.seal) = (construction.into(), Some(seal.into()));
    });
    assert!(found.count() > 0, "{id}");
}

/// What changed is named, with the shares of the answers before and after.
#[test]
fn changes_are_told_with_why_they_did_little() {
    const SCENE: &str = "bookshop-terrace.ron";
    let told = |id: &str, edit: &dyn Fn(&mut Scene)| changed(SCENE, id, edit).remove(0);
    assert_eq!(
        told("bookseller", &|_| {}),
        "Bookseller at the till: 70 dB(A) as before. Nothing on the way to here passes more or less than before."
    );
    let door = |scene: &mut Scene| window(scene, "door to the landing", "door-solid-core-44", "compression-double");
    let till = told("bookseller", &door);
    assert!(till.contains("The door to the landing now passes 7 dB less, but it was never the main way: 98 % came by the floor before and comes by it now."), "{till}");
    let landing = told("stairs", &door);
    assert!(
        landing.contains("dB less, now 76 dB(A)") && landing.contains("it was the main way (93 % before)"),
        "{landing}"
    );
    let pedals = told("bookseller", &|scene| scene.sources[0].contacts.clear());
    assert!(pedals.contains("2.1 dB less, now 68 dB(A). Feet and pedals now bring nothing any more, but they were never the main way: 61 % came by air."), "{pedals}");
    let softer = told("bed-10", &|scene| scene.sources[0].level_db -= 6.0);
    assert!(
        softer.contains("5.9 dB less, now 48 dB(A). No wall, floor or opening passes more or less by itself"),
        "{softer}"
    );
    let wall = |scene: &mut Scene| {
        let found = scene.storeys[1].walls.iter_mut().find(|wall| wall.id.0 == "party-10-front");
        found.unwrap().construction = "stud-steel-twin-party".into();
    };
    for (name, told) in [("door", changed(SCENE, "", door)), ("wall", changed(SCENE, "", wall))] {
        told.iter().for_each(|text| clean(name, text));
    }
    let duct = changed("shared-void.ron", "", |scene| scene.ducts.clear());
    assert!(
        duct.iter().any(|text| text.contains("The air duct is no longer there: over 99 % came by it.")),
        "{duct:?}"
    );
}
