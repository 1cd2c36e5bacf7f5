//! Whatever a file holds, reading and checking it returns.

use leaklight::building::build;
use leaklight::catalogue::{Catalogue, Construction};
use leaklight::lesson::Lesson;
use leaklight::scene::file::{from_text, to_text};
use leaklight::scene::problem::any_error;
use leaklight::scene::reader::read_as;
use leaklight::scene::validate::validate;
use leaklight::scene::{Background, Duct, DuctEnd, DuctSection, NodeId, Override, Scene};
use leaklight::solve::solve;
use proptest::prelude::*;

use super::catalogue::catalogue;
use super::problems::{SOUND, sound};
use super::reading::is_the_readers_own;

const CONSTRUCTIONS: &str = r#"[
    (id: "wall", name: "my wall", kind: wall, provenance: (source: "own", place: "here", standing: invented), caution: "",
        build: Layers([Sheet(material: "plasterboard", thickness_mm: 12.5),
            Cavity(depth_mm: 70, fill: ("glass-wool-slab", 50), bridge: LightSteelStuds(spacing_mm: 600)),
            Sheet(material: "plasterboard", thickness_mm: 12.5, bonded: false)])),
    (id: "door", name: "my door", kind: door, provenance: (standing: invented), price_per_m2: 20.5,
        build: Measured(thickness_mm: 44, mass_per_area_kg_m2: 25, r_db: [20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31, 32, 33, 34, 35])),
    (id: "hole", name: "my hole", kind: open, provenance: (standing: invented), build: Open),
]"#;
const LESSONS: [(&str, &str); 2] = [
    (include_str!("../../scenes/lessons/mass.lesson.ron"), include_str!("../../scenes/lessons/mass.ron")),
    (include_str!("../../scenes/lessons/seals.lesson.ron"), include_str!("../../scenes/lessons/seals.ron")),
];

/// A change of the text: at a place (share of its length), remove some letters and put others in.
fn changes() -> impl Strategy<Value = Vec<(f64, usize, String)>> {
    let put = prop_oneof![
        Just(String::new()),
        "[-(){}\\[\\],:\"0-9a-zé]{0,4}",
        prop::sample::select(vec!["NaN", "inf", "-inf", "1e308", "-1", "Some(", "None", "\"\"", "/*", "//", "0"])
            .prop_map(str::to_owned),
    ];
    prop::collection::vec((0.0..1.0, 0..12_usize, put), 1..4)
}

fn mutated(text: &str, changes: &[(f64, usize, String)]) -> String {
    let mut letters: Vec<char> = text.chars().collect();
    for (share, removed, put) in changes {
        let start = ((letters.len() as f64) * share) as usize;
        let end = (start + removed).min(letters.len());
        letters.splice(start..end, put.chars());
    }
    letters.into_iter().collect()
}

/// The positions where a number stands in the text.
fn number_places() -> Vec<(usize, usize)> {
    let bytes = SOUND.as_bytes();
    let part = |at: usize| bytes[at].is_ascii_digit() || bytes[at] == b'.';
    let mut places = vec![];
    let mut at = 0;
    while at < bytes.len() {
        let start = at;
        while at < bytes.len() && part(at) {
            at += 1;
        }
        let before = start.checked_sub(1).map(|before| bytes[before]);
        if at > start && matches!(before, Some(b' ' | b'(')) {
            places.push((start, at));
        }
        at += 1;
    }
    places
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        prop::sample::select(vec![
            0.0,
            -0.0,
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::MAX,
            f64::MIN_POSITIVE,
            1e-9
        ]),
        -10.0..10.0_f64,
    ]
}

/// A point on a coarse grid, so that corners coincide and walls touch, overlap and cross; or anything.
fn any_point() -> impl Strategy<Value = [f64; 2]> {
    prop_oneof![
        4 => (0..4_i32, 0..4_i32).prop_map(|(x, y)| [f64::from(x), f64::from(y)]),
        1 => [any_number(), any_number()],
    ]
}

fn any_scene() -> impl Strategy<Value = Scene> {
    let points = prop::collection::vec(any_point(), 6);
    let ends = prop::collection::vec((0..8_usize, 0..8_usize), 7);
    (points, ends, prop::collection::vec(any_number(), 24), any::<String>()).prop_map(
        |(points, ends, numbers, word)| {
            let mut scene = sound();
            let low = &mut scene.storeys[0];
            for (node, at) in low.nodes.iter_mut().zip(points) {
                node.at = at;
            }
            let name = |position: usize| ["a", "b", "c", "d", "e", "f", "nowhere", word.as_str()][position].to_owned();
            for (wall, (from, to)) in low.walls.iter_mut().zip(ends) {
                (wall.from, wall.to) = (NodeId(name(from)), NodeId(name(to)));
                wall.stops_at_ceiling = from % 2 == 0;
                wall.joists_run_on = to % 2 == 0;
            }
            for (opening, values) in low.openings.iter_mut().zip(numbers.chunks_exact(4)) {
                (opening.offset_m, opening.width_m, opening.height_m, opening.sill_m) =
                    (values[0], values[1], values[2], values[3]);
            }
            (low.level_m, low.height_m) = (numbers[12], numbers[13]);
            low.rooms[0].volume_m3 = Some(numbers[14]);
            low.rooms[0].background = Background::NoiseRating(numbers[15]);
            scene.storeys[1].level_m = numbers[16];
            scene.storeys[1].floor.joist_direction_deg = Some(numbers[17]);
            scene.listeners[0].at = [numbers[18], numbers[19]];
            scene.overrides = vec![Override::Reduction { element: word.clone(), r_db: numbers.clone() }];
            let end = |at: usize| DuctEnd {
                storey: "low".into(),
                at: [numbers[at], numbers[at + 1]],
                height_m: numbers[at + 2],
            };
            scene.ducts.push(Duct {
                id: "pipe".into(),
                name: word.clone(),
                ends: [end(0), end(3)],
                section: DuctSection::Rectangular(numbers[6], numbers[7]),
                length_m: numbers[8],
                bends: 3,
                lining: Some(word.clone()),
                silencer_db: Some([numbers[9]; 8]),
            });
            scene.sources[0].sound = word.clone();
            scene.storeys[0].openings[0].id.0 = word;
            scene
        },
    )
}

/// 400, or as many as the environment asks for: the check script asks for more.
fn cases() -> u32 {
    std::env::var("LEAKLIGHT_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(400)
}

/// What can be built is built and solved, sound or not, since the window shows what is half drawn: neither may panic. Where checking finds
/// no fault, no level is a number that is none.
fn is_solved_if_sound(scene: &Scene) {
    let catalogue = Catalogue::built_in_ref();
    let sound = !any_error(&validate(scene, catalogue));
    if let Ok(building) = build(scene, catalogue) {
        for heard in solve(scene, catalogue, &building).listeners {
            assert!(!(sound && heard.la_db.is_nan()), "{}", heard.name);
        }
    }
}

/// Each number of the sound scene in turn, made so large, so small or so odd that no building has it.
#[test]
fn no_number_alone_stops_the_program() {
    for (start, end) in number_places() {
        for value in ["1e308", "1e300", "1e160", "1e30", "1e9", "1e-9", "1e-308"] {
            for sign in ["", "-"] {
                let text = format!("{}{sign}{value}{}", &SOUND[..start], &SOUND[end..]);
                if let Ok(scene) = from_text(&text) {
                    is_solved_if_sound(&scene);
                }
            }
        }
    }
}

/// Every file of the corpus is read and solved, or told of without what steers a terminal.
#[test]
fn the_corpus_is_read_or_told_of() {
    let corpus = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/corpus");
    let files = std::fs::read_dir(corpus).unwrap().map(|entry| entry.unwrap().path());
    let scenes: Vec<_> = files.filter(|path| path.extension().is_some_and(|ending| ending == "ron")).collect();
    assert!(scenes.len() >= 4, "{scenes:?}");
    for path in scenes {
        match leaklight::scene::file::read(&path) {
            Ok(scene) => {
                let told = validate(&scene, Catalogue::built_in_ref());
                assert!(told.iter().all(|problem| !problem.to_string().contains('\u{1b}')), "{}", path.display());
                is_solved_if_sound(&scene);
            }
            Err(problem) => assert!(!is_the_readers_own(&problem.to_string()), "{problem}"),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn mutated_text_is_read_or_told_of(changes in changes()) {
        match from_text(&mutated(SOUND, &changes)) {
            Ok(scene) => {
                for problem in validate(&scene, &catalogue()) {
                    prop_assert!(!problem.to_string().is_empty());
                }
                is_solved_if_sound(&scene);
            }
            Err(problem) => {
                let said = problem.to_string();
                prop_assert!(said.ends_with(['.', '?']) && !is_the_readers_own(&said), "{said}");
            }
        }
    }

    /// Constructions and lessons are read with the same care as scenes.
    #[test]
    fn mutated_constructions_and_lessons_are_read_or_told_of(changes in changes()) {
        if let Err(problem) = read_as::<Vec<Construction>>(&mutated(CONSTRUCTIONS, &changes)) {
            let said = problem.to_string();
            prop_assert!(said.starts_with("line ") && said.ends_with(['.', '?']) && !is_the_readers_own(&said), "{said}");
        }
        for (record, scene) in LESSONS {
            if let Err(fault) = Lesson::from_texts("mutated", &mutated(record, &changes), scene) {
                let said = fault.to_string();
                prop_assert!(said.ends_with(['.', '?']) && !is_the_readers_own(&said), "{said}");
            }
        }
    }

    #[test]
    fn a_number_that_is_none_is_always_told_of(place in 0..1000_usize, value in prop::sample::select(vec!["NaN", "inf", "-inf"])) {
        let places = number_places();
        let (start, end) = places[place % places.len()];
        let text = format!("{}{value}{}", &SOUND[..start], &SOUND[end..]);
        // A word in place of the format number cannot be read at all.
        if let Ok(scene) = from_text(&text) {
            let problems = validate(&scene, &catalogue());
            prop_assert!(problems.iter().any(|problem| problem.what.contains("not a number")), "{value} at byte {start}: {problems:?}");
        }
    }

    #[test]
    fn any_scene_is_checked_and_written(scene in any_scene()) {
        let _problems = validate(&scene, &catalogue());
        is_solved_if_sound(&scene);
        let text = to_text(&scene).unwrap();
        // NaN is unequal to itself: compare what is written.
        prop_assert_eq!(to_text(&from_text(&text).unwrap()).unwrap(), text);
    }
}
