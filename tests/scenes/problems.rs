//! Bad scenes and what is said about them: each row changes one thing of a sound scene.

use leaklight::catalogue::{Build, Construction, ConstructionKind, Layer, Provenance, Standing};
use leaklight::scene::file::from_text;
use leaklight::scene::problem::any_error;
use leaklight::scene::validate::validate;
use leaklight::scene::{Background, FloorBuild, Override, Scene, Severity};

use super::catalogue::catalogue;

pub(super) const SOUND: &str = include_str!("two_rooms.ron");

pub(super) fn sound() -> Scene {
    from_text(SOUND).expect("the sound scene can be read")
}

fn told(scene: &Scene) -> Vec<String> {
    validate(scene, &catalogue()).iter().map(|problem| format!("{}: {problem}", problem.severity)).collect()
}

#[test]
fn a_sound_scene_has_no_problem() {
    assert_eq!(told(&sound()), Vec::<String>::new());
}

/// Text of the sound scene to replace, by what, and all that is said then.
const BAD_TEXT: &[(&str, &str, &[&str])] = &[
    // Words and references.
    (
        "id: \"mid\", from",
        "id: \"w6\", from",
        &[
            "error: storey \"low\", wall \"w6\": another wall has the same id; give each its own word.",
            "error: storey \"low\", opening \"door\": it sits in wall \"mid\", which this storey does not have; it may be one of \"w1\", \"w2\", \"w3\", \"w4\", \"w5\", \"w6\".",
        ],
    ),
    (
        "id: \"vent\"",
        "id: \"air/brick\"",
        &[
            "error: storey \"low\", opening \"air/brick\": its id is not one word; use letters, digits, '-' and '_' only.",
        ],
    ),
    (
        "id: \"vent\"",
        "id: \"\"",
        &["error: storey \"low\", opening \"\": it has no id; give it a word, as \"north-wall\"."],
    ),
    (
        "id: \"top\"",
        "id: \"left\"",
        &["error: storey \"high\", room \"left\": another room has the same id; give each its own word."],
    ),
    (
        "construction: \"brick-102-plastered\"",
        "construction: \"brick-102-plasterd\"",
        &[
            "error: storey \"low\", wall \"mid\": its construction \"brick-102-plasterd\" is neither in the catalogue nor in this scene; did you mean \"brick-102-plastered\"?",
        ],
    ),
    (
        "construction: \"brick-102-plastered\"",
        "construction: \"window-single-4\"",
        &["error: storey \"low\", wall \"mid\": its construction \"window-single-4\" is a window; choose a wall."],
    ),
    (
        "construction: \"vent-open-100\"",
        "construction: \"brick-102-plastered\"",
        &[
            "error: storey \"low\", opening \"vent\": its construction \"brick-102-plastered\" is a wall; choose a window, a door, a vent or an open hole.",
        ],
    ),
    (
        "seal: \"worn\"",
        "seal: \"wron\"",
        &["error: storey \"low\", opening \"win\": its seal \"wron\" is not in the catalogue; did you mean \"worn\"?"],
    ),
    (
        "seal: \"worn\"",
        "seal: \"putty\"",
        &[
            "error: storey \"low\", opening \"win\": its seal \"putty\" is not in the catalogue; it may be one of \"none\", \"worn\".",
        ],
    ),
    (
        ", seal: \"none\"",
        "",
        &[
            "warning: storey \"low\", opening \"door\": nothing says how it is sealed, so it counts as airtight all round; name its `seal`, such as \"none\" or \"worn\".",
        ],
    ),
    (
        "sound: \"drum-kit-loud\"",
        "sound: \"drum-kit\"",
        &["error: source \"drums\": its sound \"drum-kit\" is not in the catalogue; did you mean \"drum-kit-loud\"?"],
    ),
    (
        "target: \"who-bedroom-night\"",
        "target: \"who-bedrom-night\"",
        &[
            "error: listener \"ear\": its target \"who-bedrom-night\" is not in the catalogue; did you mean \"who-bedroom-night\"?",
        ],
    ),
    (
        "storey: \"low\", at: (6, 1)",
        "storey: \"attic\", at: (6, 1)",
        &[
            "error: listener \"ear\": it stands on storey \"attic\", which does not exist; it may be one of \"low\", \"high\".",
        ],
    ),
    (
        "at: (4, 1))",
        "at: (4, 1), finishes: (walls: \"carpet-on-velt\"))",
        &[
            "error: storey \"high\", room \"top\": its wall finish \"carpet-on-velt\" is not in the catalogue; did you mean \"carpet-on-felt\"?",
        ],
    ),
    (
        "sound: \"drum-kit-loud\"",
        "sound: \"drum-kit-loud\", playing: false",
        &["warning: scene: nothing plays in it; add a source, or set one to `playing: true`."],
    ),
    // Corners and walls.
    (
        "from: \"b\", to: \"e\"",
        "from: \"b\", to: \"x\"",
        &[
            "error: storey \"low\", wall \"mid\": it ends at corner \"x\", which this storey does not have; it may be one of \"a\", \"b\", \"c\", \"d\", \"e\", \"f\".",
        ],
    ),
    (
        "from: \"b\", to: \"e\"",
        "from: \"b\", to: \"b\"",
        &[
            "error: storey \"low\", wall \"mid\": it begins and ends at the same corner; give it two corners, or delete it.",
        ],
    ),
    (
        "from: \"b\", to: \"e\"",
        "from: \"b\", to: \"a\"",
        &["error: storey \"low\", wall \"mid\": wall \"w1\" joins the same two corners; keep one of them."],
    ),
    (
        "(id: \"c\", at: (8, 0)),\n",
        "(id: \"c\", at: (8, 0)), (id: \"g\", at: (8, 0.005)),\n",
        &[
            "error: storey \"low\", corner \"g\": it lies on corner \"c\"; keep one of them, for all walls that meet there.",
            "warning: storey \"low\", corner \"g\": no wall begins or ends at it; delete it, or draw a wall to it.",
        ],
    ),
    (
        "(id: \"e\", at: (4, 3))",
        "(id: \"e\", at: (4, 0.03))",
        &["error: storey \"low\", wall \"mid\": it is 0.03 m long; make it at least 0.05 m, or delete it."],
    ),
    (
        "(id: \"w5\", from: \"f\", to: \"e\"",
        "(id: \"w5\", from: \"f\", to: \"d\"",
        &[
            "error: storey \"low\", wall \"w5\": it runs over corner \"e\" without ending there; cut it in two at that corner.",
        ],
    ),
    (
        "(id: \"mid\", from: \"b\", to: \"e\"",
        "(id: \"x1\", from: \"b\", to: \"f\", construction: \"brick-102-plastered\"), (id: \"mid\", from: \"a\", to: \"e\"",
        &[
            "error: storey \"low\", wall \"mid\": it crosses wall \"x1\" at (2, 1.5), where no corner is; add a corner there and cut both walls in two.",
        ],
    ),
    (
        "(id: \"f\", at: (0, 3)),\n",
        "(id: \"f\", at: (0, 3)), (id: \"g\", at: (4.1, 1)), (id: \"h\", at: (7, 1)),\n",
        &[
            "warning: storey \"low\", corner \"g\": no wall begins or ends at it; delete it, or draw a wall to it.",
            "warning: storey \"low\", corner \"h\": no wall begins or ends at it; delete it, or draw a wall to it.",
        ],
    ),
    (
        "(id: \"f\", at: (0, 3)),\n            ],\n            walls: [",
        "(id: \"f\", at: (0, 3)), (id: \"g\", at: (4.1, 1)),\n            ],\n            walls: [ (id: \"half\", from: \"d\", to: \"g\", construction: \"concrete-180\"),",
        &[
            "warning: storey \"low\", corner \"g\": only one wall ends at it, so it encloses nothing; lead it to the middle line of wall \"mid\", 0.1 m away, and cut that wall in two there.",
        ],
    ),
    (
        "(id: \"a\", at: (0, 0)), (id: \"b\"",
        "(id: \"a\", at: (NaN, 0)), (id: \"b\"",
        &["error: storey \"low\", corner \"a\": its x is not a number; give -2000 to 2000 m."],
    ),
    (
        "(id: \"c\", at: (8, 0)),\n",
        "(id: \"c\", at: (8000, 0)),\n",
        &["error: storey \"low\", corner \"c\": its x is 8000 m; give -2000 to 2000 m."],
    ),
    ("construction: \"brick-102-plastered\"", "construction: \"brick-102-plastered\", stops_at_ceiling: true", &[]),
    (
        "to: \"a\", construction: \"brick-215-plastered\"",
        "to: \"a\", construction: \"brick-215-plastered\", stops_at_ceiling: true",
        &[
            "warning: storey \"low\", wall \"w1\": it is said to stop at the ceiling, and wall \"w1\" of storey \"high\" stands on it; remove `stops_at_ceiling`, or the wall above.",
        ],
    ),
    // Openings.
    (
        "offset_m: 1, width_m: 1.5",
        "offset_m: 3, width_m: 1.5",
        &[
            "error: storey \"low\", opening \"win\": it reaches to 4.5 m along wall \"w1\", which is 4 m long; lower its offset or its width.",
        ],
    ),
    (
        "sill_m: 0.9",
        "sill_m: 1.4",
        &[
            "error: storey \"low\", opening \"win\": it reaches 2.6 m up, and the ceiling is at 2.5 m; lower its sill or its height.",
            "error: storey \"low\", opening \"vent\": it overlaps opening \"win\" of the same wall; move one of them.",
        ],
    ),
    (
        "height_m: 1.2",
        "height_m: -1.2",
        &["error: storey \"low\", opening \"win\": its height is -1.2 m; give 0.005 to 50 m."],
    ),
    (
        "width_m: 1.5",
        "width_m: inf",
        &["error: storey \"low\", opening \"win\": its width is not a number; give 0.005 to 50 m."],
    ),
    (
        "sill_m: 0.9, seal: \"worn\"",
        "sill_m: 0.9, seal: \"worn\", undercut_mm: 5",
        &["warning: storey \"low\", opening \"win\": it has an undercut, and only doors have one; remove it."],
    ),
    (
        "sill_m: 2.2",
        "sill_m: 2.2, seal: \"worn\"",
        &[
            "warning: storey \"low\", opening \"vent\": it has a seal, and air passes through it all the same; remove the seal.",
        ],
    ),
    (
        "offset_m: 1, width_m: 0.8",
        "offset_m: 0, width_m: 0.8",
        &[
            "warning: storey \"low\", opening \"door\": it begins inside wall \"w2\", which meets its own wall there; set its offset to at least 0.05 m.",
        ],
    ),
    (
        "offset_m: 1, width_m: 0.8",
        "offset_m: 2.2, width_m: 0.8",
        &[
            "warning: storey \"low\", opening \"door\": it ends inside wall \"w5\", which meets its own wall there; keep its far edge 0.05 m from the wall's end.",
        ],
    ),
    // Storeys.
    (
        "level_m: 2.7",
        "level_m: 2.3",
        &[
            "error: storey \"high\": its floor lies at 2.3 m, below the ceiling of storey \"low\" at 2.5 m; raise its level, or lower the height of the storey below.",
        ],
    ),
    (
        "level_m: 2.7",
        "level_m: -3",
        &[
            "error: storey \"high\": it does not lie above storey \"low\", which is listed before it; list storeys from the lowest upwards.",
        ],
    ),
    (
        "level_m: 2.7",
        "level_m: 27",
        &[
            "warning: storey \"high\": 24.5 m of nothing lie between it and the ceiling of storey \"low\"; check level and height.",
        ],
    ),
    (
        "level_m: 2.7",
        "level_m: 2.55",
        &[
            "warning: storey \"high\": its floor is 0.22 m thick, and 0.05 m are left for it; raise its level, or choose another floor.",
        ],
    ),
    (
        "seal: \"worn\")",
        "seal: \"worn\", workmanship: bridged)",
        &[
            "error: storey \"low\", opening \"win\": it is said to be bridged, and an opening has nothing to bridge; choose `small_faults` or `unsealed`, or say it of the wall.",
        ],
    ),
    (
        ", joist_direction_deg: 90",
        "",
        &[
            "warning: storey \"high\": its floor \"joist-floor-plasterboard\" has joists, and nothing says which way they run; add `joist_direction_deg`, degrees from the x axis.",
        ],
    ),
    (
        "floor: (construction: \"concrete-slab-180\"), ground",
        "floor: (construction: \"ground-concrete\"), ground",
        &[
            "error: storey \"low\": its floor \"ground-concrete\" is a floor on the ground; choose a floor between storeys or a roof or flat ceiling.",
        ],
    ),
    (
        "rooms: [(id: \"top\", name: \"top\", at: (4, 1))]",
        "rooms: []",
        &["warning: storey \"high\": it has no room; put a room marker into each space the walls enclose."],
    ),
    (
        "at: (4, 1))",
        "at: (4, 1), reverberation_s: (1, 1, 0, 1, 1, 1, 1, -1))",
        &[
            "error: storey \"high\", room \"top\": value 3 of its reverberation time is 0 (1 more are wrong); give 0.02 to 60 s.",
        ],
    ),
    (
        "at: (4, 1))",
        "at: (4, 1), background: NoiseRating(400))",
        &["error: storey \"high\", room \"top\": its background NR is 400; give 0 to 100."],
    ),
];

#[test]
fn bad_scenes_are_told_of() {
    let mut wrong = vec![];
    for (old, new, expected) in BAD_TEXT {
        assert!(SOUND.contains(old), "the sound scene holds no {old:?}");
        let scene = from_text(&SOUND.replacen(old, new, 1)).unwrap_or_else(|problem| panic!("{new}: {problem}"));
        let found = told(&scene);
        let same = found.len() == expected.len()
            && found.iter().zip(*expected).all(|(found, expected)| found.starts_with(expected));
        if !same {
            wrong.push(format!("{old} -> {new}\n  expected {expected:#?}\n  found {found:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

fn own(layers: Vec<Layer>) -> Construction {
    Construction {
        id: "own".into(),
        name: "own".into(),
        kind: ConstructionKind::Wall,
        build: Build::Layers(layers),
        provenance: Provenance { source: String::new(), place: String::new(), standing: Standing::Invented },
        price_per_m2: None,
        caution: String::new(),
    }
}

/// What a layer list must be is the catalogue's to say and tested there; here it gets its place.
#[test]
fn bad_constructions_of_the_scenes_own_are_told_of() {
    let sheet = |material: &str, thickness_mm| Layer::Sheet { material: material.into(), thickness_mm, bonded: false };
    let mut scene = sound();
    scene.constructions = vec![own(vec![sheet("board", 12.0)])];
    scene.storeys[0].walls[0].construction = "own".into();
    assert_eq!(told(&scene), Vec::<String>::new());

    scene.constructions = vec![own(vec![sheet("bord", 0.0)]), own(vec![]), own(vec![sheet("board", 12_000.0)])];
    scene.constructions[2].id = "concrete-180".into();
    assert_eq!(
        told(&scene),
        [
            "error: construction \"own\": layer 1: the thickness is 0; it must be above zero, in mm.",
            "error: construction \"own\": layer 1: there is no material \"bord\"; did you mean \"board\"?",
            "error: construction \"own\": another construction has the same id; give each its own word.",
            "error: construction \"own\": it has no layers; correct it among the scene's constructions.",
            "error: construction \"concrete-180\": the catalogue has one of the same id; give it another word.",
            "error: construction \"concrete-180\": its thickness is 12 m; give 0 to 5 m.",
        ]
    );
}

#[test]
fn bad_overrides_are_told_of() {
    let mut scene = sound();
    scene.overrides = vec![
        Override::Kij { from: "low/w1".into(), to: "low/w1".into(), kij_db: 5.0 },
        Override::Reduction { element: String::new(), r_db: vec![40.0; 16] },
        Override::EdgeLoss { element: "low/w2".into(), sum_m: -1.0 },
        Override::EdgeLoss { element: "low/w2".into(), sum_m: 1.0 },
    ];
    assert_eq!(
        told(&scene),
        [
            "error: override 1: it joins an element to itself; name two elements.",
            "error: override 2: it has 16 values; give 24, one for each third from 25 Hz to 5 kHz.",
            "error: override 2: it names no element; write the element's id as the answer prints it.",
            "error: override 3: its edge loss sum is -1 m; give 0 to 1000 m.",
            "error: override 4: an override before it sets the same quantity; keep one of them.",
        ]
    );
}

#[test]
fn all_problems_are_gathered_and_warnings_do_not_count_as_errors() {
    let mut scene = sound();
    scene.storeys[0].walls[0].construction = "x".into();
    scene.storeys[0].openings[0].seal = Some("x".into());
    scene.sources[0].sound = "x".into();
    scene.listeners[0].background = Background::NoiseRating(f64::NAN);
    let problems = validate(&scene, &catalogue());
    assert_eq!(problems.len(), 4, "{problems:#?}");
    assert!(any_error(&problems));
    let mut scene = sound();
    scene.listeners.clear();
    let problems = validate(&scene, &catalogue());
    assert!(problems.iter().all(|problem| problem.severity == Severity::Warning) && problems.len() == 1);
    assert!(!any_error(&problems));
}

/// The floor of the lowest storey lies nowhere, one storey is asked once for one kind of floor, and walls do not ask again.
#[test]
fn a_missing_joist_direction_is_told_once() {
    let mut scene = sound();
    let floor = FloorBuild { joist_direction_deg: None, ..scene.storeys[1].floor.clone() };
    for storey in &mut scene.storeys {
        storey.floor = floor.clone();
        storey.rooms[0].floor = Some(floor.clone());
        storey.walls[0].joists_run_on = true;
    }
    let told = told(&scene);
    assert!(told.len() == 1 && told[0].starts_with("warning: storey \"high\": its floor"), "{told:#?}");
}

#[test]
fn an_empty_catalogue_or_scene_is_told_of_too() {
    let scene = sound();
    let count = validate(&scene, &Default::default()).len();
    assert!(count > 15, "{count}");
    let empty = from_text("(format: 1, name: \"\", storeys: [])").unwrap();
    assert_eq!(
        told(&empty),
        [
            "warning: scene: it has no name; give it one.",
            "error: scene: it has no storey; add one.",
            "warning: scene: nothing plays in it; add a source, or set one to `playing: true`.",
            "warning: scene: nobody listens in it; add a listener.",
        ]
    );
}
