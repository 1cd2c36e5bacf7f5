//! What is said of stopping things, and of changes, against the answer it is said of.

use std::collections::BTreeSet;
use std::path::Path;

use leaklight::output::changes::Fate;
use leaklight::output::names::Naming;
use leaklight::output::{By, Changes, words};
use leaklight::scene::{Scene, file};
use leaklight::solve::{BandChoice, Surface};

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

/// All that is said of every listener of every shipped scene and lesson, in all bands and in some, is made of short, clean sentences, and no two things
/// go by one name.
#[test]
fn sentences_of_shipped_scenes_are_short_and_clean() {
    for (name, Sample { scene, building, answer, .. }) in shipped().into_iter().chain(lessons()) {
        for heard in &answer.listeners {
            let place = format!("{name}, {}", heard.name);
            let naming = Naming::of(&building, heard);
            let faces: BTreeSet<Surface> = heard.paths.iter().flat_map(|path| [path.entry, path.exit]).collect();
            let called: BTreeSet<String> = faces.iter().map(|face| naming.noun(&building, *face)).collect();
            assert_eq!(called.len(), faces.len(), "{place}: two things of one name among {called:?}");
            for bands in [BandChoice::AWeighted, BandChoice::one(4), BandChoice::Range(3, 8)] {
                let said = words::lines(&scene, &building, heard, bands);
                let mut texts = vec![said.heard, said.by, said.advice, said.note, said.more];
                for line in words::gain_lines(&building, heard, bands, 8) {
                    assert!(line.alone.gain_db >= 0.0 && line.in_turn.gain_db >= line.alone.gain_db - 1e-9, "{line:?}");
                    assert!((0.0..=1.0 + 1e-9).contains(&line.in_turn.share), "{line:?}");
                    texts.extend([line.what, line.brief, line.gain, line.left]);
                }
                for path in &heard.paths {
                    clean(&place, &words::path_clause(&building, &naming, heard, path));
                }
                for text in texts {
                    clean(&place, &text);
                    for sentence in text.split_inclusive(". ") {
                        let count = sentence.split_whitespace().count();
                        assert!(count <= 25, "{place}: {count} words: {sentence}");
                    }
                }
            }
        }
    }
}

/// In one band the sentences, the shares and the gains are those of that band alone: by hand from the paths.
#[test]
fn a_band_is_spoken_of_by_itself() {
    const BAND: usize = 4;
    for Sample { scene, building, answer, .. } in shipped().into_iter().map(|(_, sample)| sample) {
        for heard in answer.listeners.iter().filter(|heard| heard.energy[BAND] > 0.0) {
            let said = words::lines(&scene, &building, heard, BandChoice::one(BAND));
            let level_db = 10.0 * heard.energy[BAND].log10();
            assert!(said.heard.contains("at 63 Hz: ") && said.heard.contains(&format!("about {level_db:.0} dB")));
            for line in words::gain_lines(&building, heard, BandChoice::one(BAND), 3) {
                let stays = heard.paths.iter().enumerate().filter(|(at, path)| !line.alone.stopped.takes(*at, path));
                let left: f64 = stays.map(|(_, path)| path.energy[BAND]).sum();
                let gain_db = (10.0 * (heard.energy[BAND] / left).log10()).min(1e3);
                assert!((line.alone.gain_db.min(1e3) - gain_db).abs() < 0.01, "{}: {line:?} {gain_db}", heard.name);
            }
        }
    }
}

fn lessons() -> impl Iterator<Item = (String, Sample)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/lessons");
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let scenes = files.filter(|path| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        name.ends_with(".ron") && !name.ends_with(".lesson.ron")
    });
    scenes.map(|path| (path.file_stem().unwrap().to_string_lossy().into_owned(), solved(file::read(&path).unwrap())))
}

fn clean(place: &str, text: &str) {
    for bad in
        ["NaN", "inf ", " -0", "−0", "-0.0", "  ", "..", " ,", " .", "the the ", "the my ", "the a ", " a the ", "(("]
    {
        assert!(!text.contains(bad), "{place}: “{bad}” in “{text}”");
    }
    assert_eq!(text, text.trim(), "{place}");
}

/// By hand from the shares of the sample (70.4 % wall, 19.6 % gap, 8 % outer wall, 2 % ceiling; one spectrum): −10 lg(1 − 0.704) is 5.3 dB,
/// −10 lg(1 − 0.196) 0.9, −10 lg(1 − 0.08) 0.4. The limit is 12.34 dB below the level: 10 % is left after two (−10 dB), 2 % after three (−17 dB).
#[test]
fn gains_are_those_of_the_shares_by_hand() {
    let Sample { scene, building, answer, .. } = flat();
    let said = words::lines(&scene, &building, &answer.listeners[0], BandChoice::AWeighted);
    let wall = "the wall to the bedroom of the family Featherstonehaugh-Cholmondeley";
    assert!(said.advice.ends_with(&format!("First stop {wall}: that gains at most 5.3 dB.")), "{}", said.advice);
    let rest = "Then, not worth it alone: the gap round the bedroom door 0.9 dB and the outer wall (left) 0.4 dB. \
                Only with ";
    assert!(said.more.starts_with(rest) || said.more.contains("Three things must be stopped"), "{}", said.more);
    let lines = words::gain_lines(&building, &answer.listeners[0], BandChoice::AWeighted, 9);
    let told: Vec<(&str, &str)> = lines.iter().map(|line| (line.gain.as_str(), line.left.as_str())).collect();
    // 57.6 dB(A) less 5.3, 10 and 17 dB; then nothing.
    assert_eq!(told, [("5.3 dB", "52 dB(A)"), ("0.9 dB", "48 dB(A)"), ("0.4 dB", "41 dB(A)"), ("0.1 dB", "nothing")]);
    assert!((lines.iter().map(|line| line.in_turn.share).sum::<f64>() - 1.0).abs() < 1e-9);
}

/// 49 % and 47 %, the rest 4 %: either stopped leaves half, some 3 dB less, both leave 4 %, 14 dB less.
#[test]
fn equal_ways_are_called_equal() {
    let Sample { scene, building, mut answer, .. } = flat();
    let heard = &mut answer.listeners[0];
    heard.target = None;
    for (path, share) in heard.paths.iter_mut().zip([0.49, 0.47, 0.03, 0.01]) {
        path.energy = path.energy.map(|energy| energy * share / path.share);
        path.share = share;
    }
    let text = words::lines(&scene, &building, heard, BandChoice::AWeighted).advice;
    let part = "Both together gain 14.0 dB, one alone at most 2.9 dB.";
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
    let softer = told("bed-10", &|scene| scene.sources[0].offset_db -= 6.0);
    assert!(
        softer.contains("6.0 dB less, now 48 dB(A). The faces change alike: what changed is the source or the rooms."),
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

/// What is said of a change is what the plan shows of it in colours, for edits of every kind: "passes more", "passes less" and "nothing" only
/// where some face is, or none is, coloured so.
#[test]
fn changes_are_told_as_they_are_coloured() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bookshop-terrace.ron");
    let before = solved(file::read(&path).unwrap());
    type Edit = (&'static str, fn(&mut Scene));
    let edits: [Edit; 12] = [
        ("door", |scene| window(scene, "door to the landing", "door-solid-core-44", "compression-double")),
        ("door's seal", |scene| opening(scene, "door to the landing").seal = Some("compression-double".into())),
        ("other door", |scene| window(scene, "door between the bedrooms", "door-solid-core-44", "compression-double")),
        ("window", |scene| {
            window(scene, "sash window by no. 10", "window-double-8-16-laminated-9", "compression-double")
        }),
        ("larger window", |scene| opening(scene, "sash window by no. 10").width_m += 0.3),
        ("no window", |scene| scene.storeys[1].openings.retain(|opening| opening.name != "sash window by no. 10")),
        ("wall", |scene| wall(scene, "party-10-front").construction = "stud-steel-twin-party".into()),
        ("floor", |scene| scene.storeys[1].floor.construction = "concrete-slab-180".into()),
        ("softer", |scene| scene.sources[0].offset_db -= 6.0),
        ("no feet", |scene| scene.sources[0].contacts.clear()),
        ("moved", |scene| scene.sources[0].at[0] += 0.4),
        ("quieter surroundings", |scene| scene.listeners.iter_mut().for_each(|listener| listener.target = None)),
    ];
    for (name, edit) in edits {
        let mut scene = Scene::clone(&before.scene);
        edit(&mut scene);
        let after = solved(scene);
        for (was, is) in before.answer.listeners.iter().zip(&after.answer.listeners) {
            let text = words::change(&before, &after, &is.listener).unwrap();
            let place = format!("{name}, {}: {text}", is.name);
            clean(&place, &text);
            let changes = [By::Entry, By::Exit]
                .map(|by| Changes::of((&before.building, was), (&after.building, is), BandChoice::AWeighted, by));
            let any = |told: fn(f64) -> bool| {
                changes.iter().flat_map(|changes| &changes.faces).any(|face| match face.fate() {
                    Fate::Changes(db) => told(db),
                    Fate::Appears | Fate::Goes => true,
                })
            };
            let coloured = changes.iter().any(|changes| {
                let mut fates = changes.faces.iter().filter_map(|face| changes.fate(face));
                fates.any(|fate| !matches!(fate, Fate::Changes(db) if db.abs() < 0.5))
            });
            let less = text.contains("dB less comes by") || text.contains("passes") && text.contains("dB less,");
            assert!(!less || any(|db| db < -0.4), "{place}");
            assert!(!text.contains("dB more comes by") || any(|db| db > 0.4), "{place}");
            if text.contains("Nothing on the way") || text.contains("No face stands out") {
                assert!(!coloured, "{place}");
            }
        }
    }
}

fn opening<'a>(scene: &'a mut Scene, name: &str) -> &'a mut leaklight::scene::Opening {
    let all = scene.storeys.iter_mut().flat_map(|storey| storey.openings.iter_mut());
    all.into_iter().find(|opening| opening.name == name).unwrap_or_else(|| panic!("no {name}"))
}

fn wall<'a>(scene: &'a mut Scene, id: &str) -> &'a mut leaklight::scene::Wall {
    let all = scene.storeys.iter_mut().flat_map(|storey| storey.walls.iter_mut());
    all.into_iter().find(|wall| wall.id.0 == id).unwrap_or_else(|| panic!("no {id}"))
}
