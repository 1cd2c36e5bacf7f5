//! The program itself: exit codes, messages, files.

mod harsh;

use std::path::Path;
use std::process::{Command, Output, Stdio};

use leaklight::catalogue::{Catalogue, ConstructionKind};

const BOOKSHOP: &str = "scenes/bookshop-terrace.ron";

fn leaklight(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_leaklight"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8")
}

/// Exit code as expected, standard error holding `says`, standard output empty when it failed.
fn fails(arguments: &[&str], code: i32, says: &str) {
    let output = leaklight(arguments);
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {}", err(&output));
    assert!(err(&output).contains(says), "{arguments:?} says: {}", err(&output));
    assert!(out(&output).is_empty(), "{arguments:?} prints: {}", out(&output));
}

fn json(arguments: &[&str]) -> serde_json::Value {
    let output = leaklight(arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", err(&output));
    serde_json::from_str(&out(&output)).unwrap_or_else(|error| panic!("{arguments:?}: {error}"))
}

fn broken_scene(folder: &Path) -> String {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(BOOKSHOP)).unwrap();
    let text = text
        .replacen("construction: \"shopfront-glass-10\"", "construction: \"shopfront-glas-10\"", 1)
        .replacen("wall: \"street-10\"", "wall: \"street-11\"", 1);
    let path = folder.join("broken.ron");
    std::fs::write(&path, text).unwrap();
    path.to_string_lossy().into_owned()
}

#[test]
fn solve_prints_a_table_json_or_csv() {
    let text = leaklight(&["solve", BOOKSHOP]);
    assert_eq!(text.status.code(), Some(0));
    assert!(out(&text).contains("dB(A) ±") && out(&text).contains("share"), "{}", out(&text));
    let value = json(&["solve", BOOKSHOP, "--json", "--listener", "bed-10"]);
    let listeners = value["listeners"].as_array().unwrap();
    assert_eq!(listeners.len(), 1);
    let shares: f64 =
        listeners[0]["paths"].as_array().unwrap().iter().map(|path| path["share"].as_f64().unwrap()).sum();
    assert!((shares - 1.0).abs() < 1e-9, "{shares}");
    let csv = leaklight(&["solve", BOOKSHOP, "--csv", "--listener", "IN BED NEXT DOOR"]);
    assert!(out(&csv).starts_with("listener,rank,kind,"), "{}", err(&csv));
}

/// Ranges in order, parts that add up, the same numbers from the same seed; a measured source is no longer what is known least.
#[test]
fn uncertainty_says_how_sure_and_what_to_measure() {
    let text = out(&leaklight(&["uncertainty", BOOKSHOP, "--samples", "1000", "--listener", "bed-10"]));
    for said in ["Nine times in ten it is between", "how loud the drum kit really is", "Measure the drum kit at 1 m"] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let arguments = ["uncertainty", BOOKSHOP, "--json", "--samples", "1000", "--seed", "9"];
    let value = json(&arguments);
    assert_eq!(value, json(&arguments));
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    let source = |listener: &serde_json::Value| {
        let causes = listener["causes"].as_array().unwrap();
        let sum: f64 = causes.iter().map(|cause| number(&cause["share"])).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        causes.iter().find(|cause| cause["kind"] == "source").map_or(0.0, |cause| number(&cause["share"]))
    };
    let listeners = value["listeners"].as_array().unwrap();
    assert_eq!(listeners.len(), 10);
    for listener in listeners {
        let levels: Vec<f64> = listener["level_a_db"].as_array().unwrap().iter().map(number).collect();
        assert!(levels.is_sorted() && levels.len() == 3, "{levels:?}");
    }
    let scene = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(BOOKSHOP)).unwrap();
    let sound = "sound: \"drum-kit-loud\",";
    let measured = scene.replacen(sound, &format!("{sound} measured: (la_db: 104, distance_m: 1, in_room: true),"), 1);
    assert_ne!(scene, measured);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("measured.ron");
    std::fs::write(&path, measured).unwrap();
    let known = json(&["uncertainty", &path.to_string_lossy(), "--json", "--samples", "1000", "--seed", "9"]);
    let (before, after) = (source(&listeners[0]), source(&known["listeners"][0]));
    assert!(before > 0.35 && after < 0.25, "{before} {after}");
}

#[test]
fn a_wrong_call_is_code_2() {
    fails(&["solve", "no-such-file.ron"], 2, "no file \"no-such-file.ron\"");
    fails(&["solve", BOOKSHOP, "--listener", "nobody"], 2, "no listener \"nobody\"");
    fails(&["solve", BOOKSHOP, "--json", "--csv"], 2, "cannot be used with");
    fails(&["uncertainty", BOOKSHOP, "--samples", "7"], 2, "100..=100000");
    fails(&["picture", BOOKSHOP, "-o", "plan.gif"], 2, ".svg or .png");
    fails(&["picture", BOOKSHOP, "-o", "no/such/folder/plan.svg"], 2, "cannot be written");
    fails(&["picture", BOOKSHOP, "-o", "plan.svg", "--band", "70"], 2, "no band \"70\"");
    fails(&["picture", BOOKSHOP, "-o", "plan.svg", "--storey", "tenth"], 2, "no storey \"tenth\"");
    fails(&["picture", BOOKSHOP, "-o", "plan.svg", "--width", "0"], 2, "pixels");
    fails(&["element", "brick-215-plasterd"], 2, "did you mean \"brick-215-plastered\"");
    fails(&["element", "brick-215-plastered", "--size", "4"], 2, "width x height");
    fails(&["rate", "airborne", "1,2,3"], 2, "There are 3 values");
    fails(&["frobnicate", "x"], 2, "");
}

#[test]
fn a_wrong_scene_is_code_1_with_every_problem() {
    let folder = tempfile::tempdir().unwrap();
    let path = broken_scene(folder.path());
    for command in ["check", "solve"] {
        fails(&[command, &path], 1, "shopfront-glas-10");
        fails(&[command, &path], 1, "street-11");
    }
    let text = folder.path().join("text.ron");
    std::fs::write(&text, "(format: 1, nam: \"x\")").unwrap();
    fails(&["check", &text.to_string_lossy()], 1, "line 1, column");
    std::fs::write(&text, [0xff, 0xfe, 0x00]).unwrap();
    fails(&["check", &text.to_string_lossy()], 1, "UTF-8");
}

#[test]
fn check_says_when_nothing_is_wrong() {
    for scene in [
        BOOKSHOP,
        "scenes/music-school.ron",
        "scenes/village-hall.ron",
        "scenes/foam-or-lining.ron",
        "scenes/shared-void.ron",
    ] {
        let output = leaklight(&["check", scene]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        assert!(out(&output).contains("Nothing is wrong"), "{}", out(&output));
    }
    // A caution is told, and keeps nothing from being computed.
    let output = leaklight(&["check", "scenes/room-within-a-room.ron"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).contains("leave by in a fire"), "{}", out(&output));
}

#[test]
fn picture_writes_what_the_name_ends_in() {
    let folder = tempfile::tempdir().unwrap();
    let (svg, png) = (folder.path().join("a.svg"), folder.path().join("b.PNG"));
    for path in [&svg, &png] {
        let output = leaklight(&["picture", BOOKSHOP, "-o", &path.to_string_lossy(), "--band", "63", "--width", "700"]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    }
    assert!(std::fs::read_to_string(svg).unwrap().starts_with("<svg"));
    assert!(std::fs::read(png).unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn picture_cuts_where_it_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.svg").to_string_lossy().into_owned();
    let drawn = |extra: &[&str]| {
        let output = leaklight(&[&["picture", BOOKSHOP, "-o", &path], extra].concat());
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        std::fs::read_to_string(&path).unwrap()
    };
    // Along the terrace, through the bedroom; and across no. 12, which meets neither neighbour.
    let (telling, across) = (drawn(&["--section"]), drawn(&["--cut", "7.2,-2,7.2,11", "--light"]));
    for (text, word, there) in [
        (&telling, "Bedroom", true),
        (&telling, "m high", true),
        (&across, "Office", true),
        (&across, "Tea room", false),
    ] {
        assert_eq!(text.contains(word), there, "{word}");
    }
    fails(&["picture", BOOKSHOP, "-o", "a.svg", "--cut", "1,2,3"], 2, "no line to cut along");
    fails(&["picture", BOOKSHOP, "-o", "a.svg", "--section", "--storey", "first"], 2, "--storey");
}

/// Source of the values and ratings: ISO 717-1:2020 Annex C, Table C.1 (Rw 30, C −2, Ctr −3), exact.
#[test]
fn rate_airborne_matches_iso_717_1_annex_c() {
    let values = "20.4,16.3,17.7,22.6,22.4,22.7,24.8,26.6,28.0,30.5,31.8,32.5,33.4,33.0,31.0,25.5";
    let spaced = values.replace(',', " , ");
    for list in [values, &spaced] {
        let value = json(&["rate", "airborne", list, "--json"]);
        assert_eq!((&value["rw"], &value["c"], &value["ctr"]), (&30.into(), &(-2).into(), &(-3).into()));
        assert!(value["stc"].is_null() && value["c_50_5000"].is_null() && value.get("ctr_50_5000").is_some());
    }
    let text = leaklight(&["rate", "airborne", values]);
    assert!(out(&text).contains("Rw (C; Ctr) = 30 (-2; -3) dB"), "{}", out(&text));
}

#[test]
fn rate_reads_negative_numbers_and_refuses_decimal_commas() {
    let negative = ["-1.5"; 21].join(",");
    let value = json(&["rate", "airborne", &negative, "--json"]);
    assert!(value["rw"].as_i64().unwrap() < 5 && value["stc"].is_i64() && value["c_50_5000"].is_i64(), "{value}");
    let impact = json(&["rate", "impact", &["60"; 16].join(" "), "--json"]);
    assert!(impact["lnw"].is_i64() && impact["ci"].is_i64(), "{impact}");
    fails(&["rate", "airborne", &["33,5"; 16].join(",")], 2, "a point, not a comma");
    fails(&["rate", "impact", &["NaN"; 16].join(",")], 2, "no number");
}

#[test]
fn element_prints_the_catalogue_and_files() {
    let text = leaklight(&["element", "brick-215-plastered"]);
    assert!(out(&text).contains("Rw (C; Ctr) =") && out(&text).contains("kg/m²"), "{}{}", out(&text), err(&text));
    let value = json(&["element", "brick-215-plastered", "--json", "--size", "3x2.4"]);
    assert_eq!(value["r_db"].as_array().unwrap().len(), 24);
    assert_eq!(value["size_m"], serde_json::json!([3.0, 2.4]));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("walls.ron");
    let wall = |id: &str, material: &str| {
        format!(
            "(id: \"{id}\", name: \"{id}\", kind: wall, provenance: (standing: invented), \
             build: Layers([Sheet(material: \"{material}\", thickness_mm: 12.5)]))"
        )
    };
    std::fs::write(&path, format!("[{}, {}]", wall("one", "plasterboard"), wall("two", "plasterboard"))).unwrap();
    let name = path.to_string_lossy().into_owned();
    assert_eq!(json(&["element", &name, "--json"]).as_array().map(Vec::len), Some(2));
    std::fs::write(&path, wall("one", "unobtainium")).unwrap();
    fails(&["element", &name], 1, "unobtainium");
}

/// As built, the curve stands beside the drawn one, and the loss is the difference of both Rw.
#[test]
fn element_prints_what_workmanship_costs() {
    const WALL: &str = "stud-timber-100-resilient-filled";
    let drawn = json(&["element", WALL, "--json"]);
    assert_eq!(drawn["as_built"]["workmanship"], "usual");
    let mut losses = vec![];
    for state in ["as_drawn", "usual", "small_faults", "bridged", "unsealed", "short_circuited"] {
        let value = json(&["element", WALL, "--json", "--built", state]);
        let built = &value["as_built"];
        assert_eq!(built["workmanship"], state);
        assert_eq!((&value["rw"], &value["r_db"]), (&drawn["rw"], &drawn["r_db"]));
        let loss_db = built["rw_loss_db"].as_i64().unwrap();
        assert_eq!(loss_db, value["rw"].as_i64().unwrap() - built["rw"].as_i64().unwrap());
        let text = leaklight(&["element", WALL, "--built", state]);
        let said = format!("built {state}: Rw (C; Ctr) = {} (", built["rw"]);
        assert!(
            out(&text).contains(&said) && out(&text).contains(&format!("; {loss_db} dB of Rw lost")),
            "{}",
            out(&text)
        );
        losses.push(loss_db);
    }
    assert!(losses[0] == 0 && losses[1..].iter().all(|loss_db| *loss_db >= 2), "{losses:?}");
    assert!(losses[4] >= losses[2].max(losses[3]), "{losses:?}");
    fails(&["element", WALL, "--built", "sloppy"], 2, "write one of as_drawn");
    fails(&["element", "window-single-4", "--built", "bridged"], 2, "nothing to bridge");
    fails(&["element", "vent-open-100", "--built", "unsealed"], 2, "no edge and no seal");
}

#[test]
fn help_is_no_error_and_has_an_example() {
    for arguments in [
        &["--help"][..],
        &["solve", "--help"],
        &["picture", "--help"],
        &["check", "--help"],
        &["element", "--help"],
        &["rate", "airborne", "--help"],
        &["rate", "impact", "--help"],
    ] {
        let output = leaklight(arguments);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        assert!(out(&output).contains("xample"), "{arguments:?}: {}", out(&output));
    }
}

/// The examples of `--help` can be copied: each ends with exit code 0. Files go to a folder of their own.
#[test]
fn the_examples_of_help_work_as_printed() {
    let folder = tempfile::tempdir().unwrap();
    let scenes = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").to_string_lossy().into_owned();
    let mut tried = 0;
    for command in [
        &["solve"][..],
        &["uncertainty"],
        &["picture"],
        &["check"],
        &["element"],
        &["rate", "airborne"],
        &["rate", "impact"],
    ] {
        let help = out(&leaklight(&[command, &["--help"]].concat()));
        // `my-walls.ron` is the user's own file.
        let examples = help.lines().filter(|line| line.starts_with("  leaklight ") && !line.contains("my-walls"));
        for line in examples {
            let arguments = line.split_whitespace().skip(1).map(|word| word.replace("scenes/", &format!("{scenes}/")));
            let output = Command::new(env!("CARGO_BIN_EXE_leaklight"))
                .args(arguments)
                .current_dir(folder.path())
                .output()
                .expect("the program starts");
            assert_eq!(output.status.code(), Some(0), "{line}: {}", err(&output));
            tried += 1;
        }
    }
    assert!(tried >= 9, "only {tried} examples were found");
}

/// `leaklight solve … | head -1`: the reader leaves early, and nobody panics.
#[test]
fn a_reader_that_leaves_early_is_no_fault() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_leaklight"))
        .args(["solve", BOOKSHOP, "--json"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(err(&output).is_empty(), "{}", err(&output));
}

/// Without a window: one line says so, the table follows, the plan is written where the program is called, exit code 0.
#[cfg(not(feature = "window"))]
#[test]
fn without_a_window_the_worked_example_is_still_answered() {
    let folder = tempfile::tempdir().unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_leaklight")).current_dir(folder.path()).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let text = out(&output);
    assert!(text.starts_with("No window: ") && text.contains("dB(A) ±"), "{text}");
    assert!(std::fs::read(folder.path().join("leaklight-plan.png")).unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn new_lists_kinds_and_questions_and_writes_a_scene_that_solves() {
    let kinds = out(&leaklight(&["new"]));
    for word in ["terrace", "semi-detached", "concrete-flat", "joist-flat", "timber-frame", "garage", "school"] {
        assert!(kinds.contains(word), "{kinds}");
        let questions = leaklight(&["new", word]);
        assert_eq!(questions.status.code(), Some(0), "{word}");
        assert!(out(&questions).contains("length: ") && out(&questions).contains("(now)"), "{}", out(&questions));
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage.ron");
    let file = path.to_str().unwrap();
    let made = leaklight(&["new", "garage", file, "--answer", "gate=walled", "--answer", "length=4.5"]);
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    assert!(out(&made).contains("dB(A)"), "{}", out(&made));
    assert!(!json(&["solve", file, "--json"])["listeners"].as_array().unwrap().is_empty());
    let before = std::fs::read(&path).unwrap();
    fails(&["new", "garage", file], 2, "is there already");
    assert_eq!(std::fs::read(&path).unwrap(), before);
    assert_eq!(leaklight(&["new", "school", file, "--overwrite"]).status.code(), Some(0));
    assert_ne!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn new_refuses_what_is_not_offered() {
    fails(&["new", "castle"], 2, "\"garage\"");
    fails(&["new", "garage", "--answer", "length=200"], 2, "from 3 to 9 m");
    fails(&["new", "garage", "--answer", "length"], 2, "name=value");
    fails(&["new", "garage", "--answer", "moat=deep"], 2, "it asks loud");
}

#[test]
fn compare_prints_and_draws_what_changes() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/output/shelled.ron")).unwrap();
    let changed = text.replacen("brick-102-plastered", "brick-215-plastered", 1);
    assert_ne!(text, changed);
    let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    let other = path("changed.ron");
    std::fs::write(&other, changed).unwrap();
    let base = "tests/output/shelled.ron";
    let picture = path("change.png");
    let output = leaklight(&["compare", base, &other, "-o", &picture, "--contrast", "--width", "1600"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let printed = out(&output);
    assert!(printed.contains("Before: ") && printed.contains("outer wall of practice room (bottom)"), "{printed}");
    assert!(std::fs::read(&picture).unwrap().starts_with(b"\x89PNG"));
    let same = json(&["compare", base, base, "--json"]);
    for listener in same["listeners"].as_array().unwrap() {
        assert_eq!(listener["change_db"], 0.0, "{listener}");
    }
    fails(&["compare", base, &other, "-o", "change.pdf"], 2, "must end in .svg or .png");
    fails(&["compare", base, &other, "--listener", "nobody"], 2, "nobody");
    fails(&["picture", base, "-o", &picture, "--top", "60"], 2, "--scale level");
    fails(&["picture", base, "-o", &picture, "--scale", "level", "--top", "NaN"], 2, "from -50 to 200");
}

/// Named without a subcommand, a file that does not parse is told of, with or without a window to show it in.
#[test]
fn a_file_that_does_not_parse_is_told_of_where_there_is_no_window() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("broken.ron");
    std::fs::write(&path, "(format: 1,\n nam: \"x\", storeys: [])").unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_leaklight"))
        .arg(&path)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(err(&output).contains("line 2, column 2"), "{}", err(&output));
    assert!(out(&output).is_empty());
}

/// Before the choice neither the reason nor a figure is printed, and the example of how to answer favours no letter.
#[test]
fn a_lesson_gives_nothing_away_before_the_choice() {
    for lesson in leaklight::lesson::Lesson::all() {
        let record = lesson.record();
        let text = out(&leaklight(&["lesson", lesson.name()]));
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(&record.question), "{flat}");
        for telling in [&record.why, &record.next, "Right", "solver finds", "As it stands"] {
            assert!(!flat.contains(telling), "{}: {telling}", lesson.name());
        }
        let letters: Vec<String> = lesson.choices().map(|(letter, _)| letter.to_string()).collect();
        assert!(text.ends_with(&format!("--answer {}\n", letters.join("|"))), "{text}");
        let value = json(&["lesson", lesson.name(), "--json"]);
        let keys: Vec<&String> = value.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["choices", "name", "question", "title"]);
        let choice = value["choices"][0].as_object().unwrap().keys().collect::<Vec<_>>();
        assert_eq!(choice, ["choice", "words"]);
    }
}

/// Every entry of the catalogue is found by its id, once and with the kind it is; weight and Rw are those of `leaklight element`.
#[test]
fn find_lists_what_has_the_words() {
    let catalogue = Catalogue::built_in_ref();
    let ids = |value: &serde_json::Value| -> Vec<(String, String)> {
        let all = value["found"].as_array().unwrap().iter();
        all.map(|it| (it["kind"].as_str().unwrap().to_owned(), it["id"].as_str().unwrap().to_owned())).collect()
    };
    for (words, kind, count) in [
        ("seals", "seal", catalogue.seals.len()),
        ("sounds", "sound", catalogue.sources.len()),
        ("limits", "target", catalogue.targets.len()),
        ("pedals", "force", catalogue.forces.len()),
        ("finishes", "finish", catalogue.finishes.len()),
        ("materials", "material", catalogue.materials.len()),
        ("walls", "wall", catalogue.constructions.values().filter(|it| it.kind == ConstructionKind::Wall).count()),
        ("floor", "floor", catalogue.constructions.values().filter(|it| it.kind == ConstructionKind::Floor).count()),
        ("doors", "door", catalogue.constructions.values().filter(|it| it.kind == ConstructionKind::Door).count()),
        ("window", "window", catalogue.constructions.values().filter(|it| it.kind == ConstructionKind::Window).count()),
    ] {
        let found = ids(&json(&["find", words, "--json"]));
        let of_kind: std::collections::BTreeSet<_> = found.iter().filter(|(found, _)| found == kind).collect();
        assert_eq!(of_kind.len(), count, "{words}");
        assert_eq!(found.len(), found.iter().collect::<std::collections::BTreeSet<_>>().len(), "each once");
    }
    let value = json(&["find", "BRICK", "215", "--json"]);
    let found = value["found"].as_array().unwrap();
    assert!(!found.is_empty());
    for it in found {
        let id = it["id"].as_str().unwrap();
        assert!(id.contains("brick") && id.contains("215"), "{id}");
        let element = json(&["element", id, "--json"]);
        assert_eq!(
            (&it["rw"], &it["price_per_m2"]),
            (&element["rw"], &serde_json::json!(catalogue.constructions[id].price_per_m2))
        );
        let [mass, computed] = [it, &element].map(|value| value["mass_per_area_kg_m2"].as_f64().unwrap());
        assert!((mass - computed).abs() < 0.011, "{id}: {mass} {computed}");
    }
    let text = out(&leaklight(&["find", "brick 215"]));
    assert!(text.starts_with("Walls") && text.contains("Prices are invented"), "{text}");
    // By what it is made of, too; and cautions are told.
    assert!(
        ids(&json(&["find", "stone wool", "door", "--json"])).len()
            + ids(&json(&["find", "plasterboard", "--json"])).len()
            > 10
    );
    let careful = catalogue.constructions.values().find(|it| !it.caution.is_empty()).unwrap();
    let told = out(&leaklight(&["find", &careful.id])).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains(&careful.caution), "{told}");
}

#[test]
fn find_says_what_was_meant_where_nothing_is_found() {
    fails(&["find", "brik"], 2, "There is no entry with the word \"brik\"; did you mean \"brick\"?");
    fails(&["find", "xyzzyplugh"], 2, "try brick, plasterboard, door, drums or night.");
    fails(&["find", "brick", "trumpet"], 2, "No entry has all of these words; fewer words find more.");
    fails(&["find", " "], 2, "Say a word");
    fails(&["find"], 2, "<WORD>");
}

/// All variants in a table, what is drawn first: the same levels as of each solved by itself, floor area and weight as by hand.
#[test]
fn compare_prints_all_variants_in_a_table() {
    let scene = "scenes/foam-or-lining.ron";
    let output = leaklight(&["compare", scene]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let printed = out(&output);
    let line =
        |start: &str| printed.lines().position(|line| line.trim_start().starts_with(start)).expect("it is printed");
    assert!(line("As drawn") < line("lining instead of foam"), "{printed}");
    let value = json(&["compare", scene, "--json", "--listener", "foam-bed"]);
    assert_eq!(value["listener"], "foam-bed");
    let rows = value["variants"].as_array().unwrap();
    let level = |arguments: &[&str]| json(arguments)["listeners"][0]["level_a_db"].clone();
    let drawn = level(&["solve", scene, "--json", "--listener", "foam-bed"]);
    let lined = level(&["solve", scene, "--json", "--listener", "foam-bed", "--variant", "lining instead of foam"]);
    assert_eq!([&rows[0]["level_a_db"], &rows[1]["level_a_db"]], [&drawn, &lined]);
    // By hand: before the party wall, 4 m between middles of walls of 250 mm, a leaf of two boards of 15 mm with 75 mm behind it.
    let (long_m, high_m) = (4.0 - 0.25, 3.0);
    let lost_m2 = rows[1]["lost_m2"].as_f64().unwrap();
    assert!((lost_m2 - long_m * 0.105).abs() < 0.006, "{lost_m2}");
    // Its weight is that of the boards and of 50 mm of wool.
    let kg_m3 = |id: &str| Catalogue::built_in_ref().material(id).unwrap().density_kg_m3;
    let kg_m2 = 2.0 * 0.015 * kg_m3("plasterboard-dense") + 0.050 * kg_m3("glass-wool-slab");
    let by_hand_kg = kg_m2 * long_m * high_m;
    let added_kg = rows[1]["added_kg"].as_f64().unwrap();
    assert!((added_kg - by_hand_kg).abs() < 0.005 * by_hand_kg, "{added_kg} {by_hand_kg}");
    assert_eq!(rows[0]["added_kg"], 0.0);
    // The worst off of the drawing is whoever has the least margin of all who have a limit.
    let all = json(&["solve", scene, "--json"]);
    let margins = all["listeners"].as_array().unwrap().iter().filter_map(|heard| heard["target"]["margin_db"].as_f64());
    assert_eq!(rows[0]["worst"]["target"]["margin_db"].as_f64(), margins.min_by(f64::total_cmp));
    // A room within a room is lower.
    let value = json(&["compare", BOOKSHOP, "--json"]);
    let height = |at: usize| value["variants"][at]["headroom_m"].as_f64().unwrap();
    assert!(height(1) == height(0) && height(2) < height(0) - 0.2, "{value}");

    fails(&["compare", "scenes/village-hall.ron"], 2, "has no variants");
    fails(&["compare", scene, "-o", "change.png"], 2, "two versions");
}
