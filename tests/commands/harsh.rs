//! Hostile files, slips of a unit, two at once, no room: nothing is lost, nothing is believed that is not so.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use leaklight::scene::shown::steers;

use super::{BOOKSHOP, err, fails, json, leaklight, out};

/// A scene of two rooms with a wall of its own between them, something in it replaced.
fn mass_with(folder: &Path, old: &str, new: &str) -> String {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/lessons/mass.ron")).unwrap();
    assert!(text.contains(old), "{old}");
    let path = folder.join("scene.ron");
    std::fs::write(&path, text.replace(old, new)).unwrap();
    path.to_string_lossy().into_owned()
}

fn written(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    std::fs::write(&path, text).unwrap();
    path.to_string_lossy().into_owned()
}

/// What is known better of an element that is not there was passed, and the answer said that it acts.
#[test]
fn overrides_of_what_is_not_there_are_refused_with_the_nearest_names() {
    let folder = tempfile::tempdir().unwrap();
    let with =
        |overrides: &str| mass_with(folder.path(), "sources: [", &format!("overrides: [{overrides}],\n    sources: ["));
    let r_db = ["30"; 24].join(", ");
    let path = with(&format!(
        "Kij(from: \"nowhere\", to: \"ground/betwen\", kij_db: 5), Reduction(element: \"ghost\", r_db: [{r_db}])"
    ));
    for command in ["check", "solve"] {
        for says in [
            "override 1: there is no element \"nowhere\" in this building",
            "did you mean \"ground/between\"",
            "override 2: there is no element \"ghost\"",
        ] {
            fails(&[command, &path], 1, says);
        }
    }
    let apart = with("Kij(from: \"ground/west\", to: \"ground/east\", kij_db: 5)");
    fails(&["solve", &apart], 1, "\"ground/west\" and \"ground/east\" meet nowhere");
    let there = with("Kij(from: \"ground/between\", to: \"ground/back\", kij_db: 5)");
    assert_eq!(leaklight(&["solve", &there]).status.code(), Some(0));
}

/// 12.5 mm written in metres once gave 93 dB(A) in the place of 68.
#[test]
fn slips_of_a_unit_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = mass_with(folder.path(), "thickness_mm: 12.5", "thickness_mm: 0.0125");
    fails(
        &["solve", &path],
        1,
        "layer 1: the thickness is 0.0125 mm; thickness_mm is in millimetres: did you mean 12.5?",
    );
    let path = mass_with(folder.path(), "height_m: 2.8", "height_m: 2800");
    fails(&["check", &path], 1, "its height is 2800 m; give 0.3 to 40 m; did you mean 2.8?");
    let odd = mass_with(folder.path(), "thickness_mm: 12.5", "thickness_mm: 1.5");
    let output = leaklight(&["solve", &odd]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(err(&output).contains("warning: construction \"sheet-one\": layer 1"), "{}", err(&output));
}

#[test]
fn element_on_nonsense_is_never_done() {
    let folder = tempfile::tempdir().unwrap();
    let wall = |layers: &str| {
        format!("(id: \"w\", name: \"w\", kind: wall, provenance: (standing: invented), build: Layers([{layers}]))")
    };
    let board = |mm: &str| format!("Sheet(material: \"plasterboard\", thickness_mm: {mm})");
    for (text, says) in [
        (String::new(), "line 1, column 1: a construction should begin here"),
        ("[]".to_owned(), "holds no construction"),
        ("(format: 1, name: \"x\", storeys: [])".to_owned(), "there is no field \"format\" in a construction"),
        (wall(&board("1e6")), "it must be from 1 to 3000"),
        (wall(&format!("{}, Cavity(depth_mm: 100000), {}", board("12.5"), board("12.5"))), "it must be from 1 to 3000"),
        (wall(&vec![board("12.5"); 1000].join(",")), "it has 1000 layers"),
        (format!("[{0}, {0}]", wall(&board("12.5"))), "another construction has the same id"),
        (wall(&board("twelve")), "line 1, column"),
    ] {
        let path = written(folder.path(), "wall.ron", &text);
        fails(&["element", &path], 1, says);
        assert!(!err(&leaklight(&["element", &path])).contains("Expected"), "{text}");
    }
    fails(&["element", ""], 2, "no construction");
    fails(&["element", &folder.path().to_string_lossy()], 2, "");
}

/// Names of a file may hold what would colour, clear or turn round the reader's terminal. It is shown.
#[test]
fn names_do_not_steer_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let name = "red \\u{1b}[31m \\u{202e}turned\\u{0}\\n<b>line</b> \\u{9b}2J";
    let path = mass_with(folder.path(), "at the desk next door", name);
    let picture = folder.path().join("plan.svg").to_string_lossy().into_owned();
    for arguments in [
        &["solve", &path][..],
        &["solve", &path, "--csv"],
        &["solve", &path, "--json"],
        &["check", &path],
        &["compare", &path, &path],
        &["compare", &path, &path, "--json"],
        &["picture", &path, "-o", &picture],
    ] {
        let output = leaklight(arguments);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", err(&output));
        let sent = format!("{}{}", out(&output), err(&output));
        assert!(!sent.contains(|letter| letter != '\n' && steers(letter)), "{arguments:?}: {sent:?}");
    }
    assert!(out(&leaklight(&["solve", &path])).contains(r"\u{1b}[31m \u{202e}turned\u{0}\u{a}<b>line"));
    let drawn = std::fs::read_to_string(&picture).unwrap();
    assert!(!drawn.contains(|letter| letter != '\n' && steers(letter)) && !drawn.contains("<b>"));
    let kept = json(&["solve", &path, "--json"]);
    assert_eq!(kept["listeners"][0]["name"], "red \u{1b}[31m \u{202e}turned\0\n<b>line</b> \u{9b}2J");
    // An id that is no word is refused, in words that show it.
    let path = mass_with(folder.path(), "\"ground\"", "\"gr\\u{1b}[2Jound\"");
    fails(&["check", &path], 1, r#"storey "gr\u{1b}[2Jound": its id is not one word"#);
    assert!(!err(&leaklight(&["check", &path])).contains('\u{1b}'));
}

/// 320 KB of walls drawn twice once took 4.9 GB and printed 1 GB.
#[test]
fn long_lists_of_problems_end_with_the_count_of_the_rest() {
    let folder = tempfile::tempdir().unwrap();
    let wall = |at: usize| format!("(id: \"d{at}\", from: \"b1\", to: \"b2\", construction: \"sheet-one\"),\n");
    let walls: String = (0..4000).map(wall).collect();
    let path = mass_with(folder.path(), "walls: [", &format!("walls: [{walls}"));
    fails(&["check", &path], 1, "more errors were found; put right those that are listed first.");
    let said = err(&leaklight(&["check", &path]));
    assert!((200..410).contains(&said.lines().count()), "{} lines", said.lines().count());
}

#[test]
fn pictures_have_bounds_that_are_told_at_once() {
    let missing = "no-such-file.ron";
    for (arguments, says) in [
        (&["--width", "16385"][..], "give 1 to 16384 pixels"),
        (&["--width", "-1"], ""),
        (&["--width", "1e9"], "give 1 to 16384 pixels"),
        (&["--seconds", "1e9"], "give 0.5 to 30 seconds"),
        (&["--seconds", "NaN"], "give 0.5 to 30 seconds"),
    ] {
        fails(&[&["picture", missing, "-o", "a.png"], arguments].concat(), 2, says);
    }
    fails(&["picture", missing, "-o", "a.svg", "--seconds", "2"], 2, "a file that ends in .png");
    fails(&["compare", missing, missing, "-o", "a.png", "--width", "0"], 2, "give 1 to 16384 pixels");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.png").to_string_lossy().into_owned();
    fails(&["picture", BOOKSHOP, "-o", &path, "--width", "16384"], 2, "ask for a smaller width");
}

/// Pictures are put in the place of older ones whole: who holds the old file still has all of it, and nothing else is left in the folder.
#[test]
fn pictures_take_the_place_of_older_ones_whole() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::write(at(".leaklight-dead.tmp"), "left by one that was killed").unwrap();
    for (arguments, name) in [
        (&["picture", BOOKSHOP, "--width", "300"][..], "plan.svg"),
        (&["picture", BOOKSHOP, "--width", "300"], "plan.png"),
        (&["picture", BOOKSHOP, "--width", "200", "--seconds", "0.5"], "motes.png"),
        (&["compare", "tests/output/shelled.ron", "tests/output/shelled.ron", "--width", "600"], "change.png"),
    ] {
        let (path, held) = (at(name), at("held"));
        std::fs::write(&path, "old").unwrap();
        std::fs::hard_link(&path, &held).unwrap();
        let output = leaklight(&[arguments, &["-o", &path.to_string_lossy()]].concat());
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        assert_eq!(std::fs::read_to_string(&held).unwrap(), "old", "{name}");
        assert!(std::fs::metadata(&path).unwrap().len() > 1000, "{name}");
        std::fs::remove_file(&held).unwrap();
    }
    let mut left: Vec<_> = folder.path().read_dir().unwrap().map(|entry| entry.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["change.png", "motes.png", "plan.png", "plan.svg"]);
}

#[test]
fn of_several_that_make_one_file_at_once_one_wins() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage.ron");
    let start = |_| {
        Command::new(env!("CARGO_BIN_EXE_leaklight"))
            .args(["new", "garage"])
            .arg(&path)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let started: Vec<_> = (0..6).map(start).collect();
    let ended: Vec<_> = started.into_iter().map(|child| child.wait_with_output().unwrap()).collect();
    let (won, lost): (Vec<_>, Vec<_>) = ended.iter().partition(|output| output.status.code() == Some(0));
    assert_eq!(won.len(), 1, "{ended:?}");
    for output in lost {
        assert_eq!(output.status.code(), Some(2));
        assert!(err(output).contains("is there already; name another file"), "{}", err(output));
    }
    assert_eq!(leaklight(&["check", &path.to_string_lossy()]).status.code(), Some(0));
    assert_eq!(folder.path().read_dir().unwrap().count(), 1);
}

/// The picture nobody asked for stands beside what is there.
#[cfg(not(feature = "window"))]
#[test]
fn the_plan_of_a_program_without_a_window_overwrites_nothing() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("leaklight-plan.png"), "mine").unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_leaklight")).current_dir(folder.path()).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).ends_with("The plan is in leaklight-plan-2.png.\n"), "{}", out(&output));
    assert_eq!(std::fs::read_to_string(folder.path().join("leaklight-plan.png")).unwrap(), "mine");
    assert!(std::fs::read(folder.path().join("leaklight-plan-2.png")).unwrap().starts_with(b"\x89PNG"));
}

/// Where standard output is closed or full, nobody got the answer.
#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_nobody_got_is_no_success() {
    for to in [">&-", ">/dev/full", "<&- >&-"] {
        let output = Command::new("sh")
            .args(["-c", &format!("exec \"$0\" solve {BOOKSHOP} {to}"), env!("CARGO_BIN_EXE_leaklight")])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2), "{to}");
        assert!(err(&output).contains("The output cannot be written"), "{to}: {}", err(&output));
    }
    let thrown_away = Command::new(env!("CARGO_BIN_EXE_leaklight"))
        .args(["solve", BOOKSHOP])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdout(Stdio::null())
        .status()
        .unwrap();
    assert!(thrown_away.success());
}

/// A device that never ends fills no memory.
#[cfg(target_os = "linux")]
#[test]
fn files_without_an_end_are_refused() {
    for command in [&["check"][..], &["element"], &["solve"]] {
        fails(&[command, &["/dev/zero"]].concat(), 2, "more than 64 MB");
    }
}

/// Progress is for people: in a terminal it comes after a second, tells how much time is left and goes again; elsewhere there is none.
#[cfg(target_os = "linux")]
#[test]
fn progress_is_shown_in_a_terminal_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("motes.png").to_string_lossy().into_owned();
    let arguments = ["picture", BOOKSHOP, "-o", &path, "--seconds", "30", "--width", "700"];
    let begun = Instant::now();
    assert_eq!(err(&leaklight(&arguments)), "");
    if begun.elapsed() < Duration::from_secs(3) {
        println!("too quick here for progress to be seen");
        return;
    }
    let call = format!("'{}' {}", env!("CARGO_BIN_EXE_leaklight"), arguments.join(" "));
    let Ok(output) =
        Command::new("script").args(["-qec", &call, "/dev/null"]).current_dir(env!("CARGO_MANIFEST_DIR")).output()
    else {
        println!("no `script` here, which makes a terminal");
        return;
    };
    assert!(out(&output).contains("painting") && out(&output).contains("left"), "{:?}", out(&output));
}
