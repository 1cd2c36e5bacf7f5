//! What the window asks about files, and what lies behind it: no disk but a temporary folder, no GPU.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy_egui::egui::accesskit::Role;
use bevy_egui::egui::{self, Key};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::command::{Command, TABLE};
use leaklight::app::document::Document;
use leaklight::app::files::dialogs;
use leaklight::app::files::hints::{self, hint_ui};
use leaklight::app::files::listing::{self, Listing, Purpose, listing_ui};
use leaklight::app::files::new_scene::{NewScene, new_scene_ui};
use leaklight::app::files::places::Remembered;
use leaklight::app::files::recovery::{self, AutosaveFile};
use leaklight::app::files::worker::{Job, Overwrite, Report, Stamp, Worker};
use leaklight::app::headless;
use leaklight::app::layout::head::scene_menu_ui;
use leaklight::app::panels::inspector::entry::read_length;
use leaklight::app::panels::problems::problems_ui;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::theme::Palette;
use leaklight::edit::Edit;
use leaklight::output::length::{self, Units};
use leaklight::output::{Theme, words};
use leaklight::project::Project;
use leaklight::scene::{Problem, Scene, Thing, file};
use leaklight::template::{Answer, Answers, BuildingKind, Offer};

fn palette() -> Palette {
    Palette::of(Theme::Dark)
}

fn garage() -> Scene {
    Answers::usual(BuildingKind::Garage).scene()
}

/// Runs a question, does something to it, and returns the first thing it asked for.
fn asked(
    mut question: impl FnMut(&mut egui::Ui) -> Option<Command>,
    act: impl FnOnce(&mut Harness),
) -> Option<Command> {
    let mut asked = None;
    let mut harness =
        Harness::builder().with_size(egui::vec2(1100.0, 760.0)).build_ui(|ui| asked = asked.take().or(question(ui)));
    act(&mut harness);
    harness.run();
    drop(harness);
    asked
}

#[test]
fn unsaved_changes_can_be_saved_given_up_or_kept_open() {
    let question = |ui: &mut egui::Ui| dialogs::unsaved_ui(ui, "My house", &palette());
    assert_eq!(asked(question, |_| {}), None);
    for (word, wanted) in [("Save", Command::Save), ("Discard", Command::Discard), ("Cancel", Command::CloseQuestion)] {
        assert_eq!(asked(question, |harness| harness.get_by_label(word).click()), Some(wanted));
    }
    assert_eq!(asked(question, |harness| harness.key_press(Key::Escape)), Some(Command::CloseQuestion));
    assert_eq!(asked(question, |harness| harness.key_press(Key::Enter)), Some(Command::Save));
}

#[test]
fn a_changed_file_is_taken_over_or_not() {
    let question = |ui: &mut egui::Ui| dialogs::changed_ui(ui, Path::new("house.ron"), true, &palette());
    let over = asked(question, |harness| harness.get_by_label("Take it over").click());
    assert_eq!(over, Some(Command::TakeOverFile));
    let kept = asked(question, |harness| harness.get_by_label("Keep what is here").click());
    assert_eq!(kept, Some(Command::KeepMine));
}

#[test]
fn a_file_that_does_not_parse_says_line_and_column() {
    let problem = file::from_text("(format: 1,\n nam: \"x\", storeys: [])").unwrap_err();
    let mut harness = Harness::new_ui(|ui| {
        dialogs::problem_ui(ui, "This file cannot be opened", Some(Path::new("house.ron")), &problem, &palette());
    });
    harness.run();
    harness.get_by_label_contains("Line 2, column 2");
    harness.get_by_label_contains("stays as it is");
}

#[test]
fn the_list_shows_scenes_and_folders_and_opens_them() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["b.ron", "A.RON", "notes.txt", ".hidden.ron", "b.ron.bak"] {
        std::fs::write(folder.path().join(name), "x").unwrap();
    }
    std::fs::create_dir(folder.path().join("more")).unwrap();
    let entries = listing::entries(folder.path()).unwrap();
    let names: Vec<&str> = entries.iter().map(|entry| entry.name.as_str()).collect();
    assert_eq!(names, ["more", "A.RON", "b.ron"]);
    let mut list = Listing::of(Purpose::Open, folder.path().to_owned(), String::new());
    list.entries = Some(Ok(entries));
    let into =
        asked(|ui| listing_ui(ui, &mut list.clone(), &palette()), |harness| harness.get_by_label("more /").click());
    assert_eq!(into, Some(Command::ListFolder(folder.path().join("more"))));
    let opened = asked(
        |ui| listing_ui(ui, &mut list, &palette()),
        |harness| {
            harness.get_by_label("b.ron").click();
            harness.run();
            harness.get_by_label("Open").click();
        },
    );
    assert_eq!(opened, Some(Command::OpenFile(folder.path().join("b.ron"))));
    let mut save = Listing::of(Purpose::Save, folder.path().to_owned(), "house".to_owned());
    save.entries = Some(Ok(vec![]));
    let saved = asked(|ui| listing_ui(ui, &mut save, &palette()), |harness| harness.get_by_label("Save").click());
    assert_eq!(saved, Some(Command::SaveTo(folder.path().join("house.ron"))));
    assert!(listing::entries(&folder.path().join("nowhere")).unwrap_err().contains("cannot be read"));
}

#[test]
fn a_new_scene_is_answered_and_shows_its_first_answer() {
    let mut new = NewScene::of(Answers::usual(BuildingKind::Terrace));
    let choose = |new: &mut NewScene, label: &str| {
        asked(|ui| new_scene_ui(ui, new, Theme::Dark, Units::Metric), |harness| harness.get_by_label(label).click())
    };
    assert_eq!(choose(&mut new, BuildingKind::Garage.name()), None);
    assert_eq!(new.answers.kind(), BuildingKind::Garage);
    assert_eq!(*new.scene, garage());
    assert!(new.answer().is_none());
    new.first = Some(Arc::new(Project::of(new.scene.clone()).solve().unwrap()));
    let worst =
        new.answer().unwrap().answer.listeners.iter().max_by(|a, b| a.la_db.total_cmp(&b.la_db)).unwrap().clone();
    {
        let mut harness = Harness::builder()
            .with_size(egui::vec2(1100.0, 760.0))
            .build_ui(|ui| drop(new_scene_ui(ui, &mut new, Theme::Light, Units::Feet)));
        harness.run();
        harness.get_by_label(&words::level(worst.la_db));
        harness.get_by_label(&words::heading(&worst.name));
    }
    assert_eq!(choose(&mut new, "Draw it on an empty storey"), Some(Command::CreateEmpty));
    let made = choose(&mut new, "Begin with this");
    assert_eq!(made, Some(Command::Create(Box::new(Answers::usual(BuildingKind::Garage)))));
}

/// Types into the field of a question and enters it.
fn answer_length(harness: &mut Harness, asks: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, asks).click();
    harness.run();
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    harness.get_by_role_and_label(Role::TextInput, asks).type_text(text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

#[test]
fn a_length_that_is_no_answer_is_told_with_its_limits_and_stays() {
    let mut new = NewScene::of(Answers::usual(BuildingKind::Garage));
    let before = new.answers.clone();
    let asks = "How wide is it?";
    let width = before.each().find(|(question, _)| question.text == asks).unwrap().0.clone();
    let Offer::Length { least_m, most_m, .. } = width.offer else { panic!("a width is a length") };
    let mut asked = None;
    {
        let mut harness = Harness::builder().with_size(egui::vec2(1100.0, 760.0)).build_ui(|ui| {
            asked = asked.take().or(new_scene_ui(ui, &mut new, Theme::Dark, Units::Metric));
        });
        harness.run();
        let told = format!("It must be from {least_m:.2} m to {most_m:.2} m.");
        for text in [format!("{}", most_m + 1.5), "-1".to_owned()] {
            answer_length(&mut harness, asks, &text);
            harness.get_by_label(&told);
            let field = harness.get_by_role_and_label(Role::TextInput, asks);
            assert_eq!(field.value().as_deref(), Some(text.as_str()));
            harness.get_by_label("Begin with this").click();
            harness.run();
        }
        answer_length(&mut harness, asks, "wide");
        assert!(harness.query_by_label_contains("“wide” is no length").is_some());
        answer_length(&mut harness, asks, &format!("{:.0} cm", 100.0 * (least_m + 0.3)));
        assert!(harness.query_by_label_contains("It must be").is_none());
        assert!(harness.query_by_label_contains("is no length").is_none());
    }
    // Nothing began while a length was wrong, and only the right one counts.
    assert_eq!(asked, None);
    let mut right = before;
    right.set(width.name, Answer::Length(least_m + 0.3)).unwrap();
    let length_m = |answers: &Answers| match answers.each().find(|(question, _)| question.text == asks).unwrap().1 {
        Answer::Length(length_m) => *length_m,
        Answer::Word(_) => f64::NAN,
    };
    assert!((length_m(&new.answers) - length_m(&right)).abs() < 1e-9);
}

/// Limits are read in feet as well, as they are written there.
#[test]
fn the_limits_of_a_length_can_be_typed_as_they_are_written() {
    for units in [Units::Metric, Units::Feet] {
        for limit_m in [2.1, 6.0] {
            let written = length::write(limit_m, units);
            assert_eq!(read_length(&written, (2.1, 6.0), units), Ok(limit_m), "{written}");
        }
        let told = read_length("7.5 m", (2.1, 6.0), units).unwrap_err();
        let limits = [2.1, 6.0].map(|limit_m| length::write(limit_m, units)).join(" to ");
        assert_eq!(told, format!("It must be from {limits}."));
    }
}

#[test]
fn what_was_answered_is_carried_over_to_another_kind() {
    let mut answers = Answers::usual(BuildingKind::Terrace);
    answers.set("width", Answer::Length(3.1)).unwrap();
    answers.set("loft", Answer::Word("open".to_owned())).unwrap();
    let mut new = NewScene::of(answers);
    asked(
        |ui| new_scene_ui(ui, &mut new, Theme::Dark, Units::Metric),
        |harness| harness.get_by_label(BuildingKind::School.name()).click(),
    );
    let width = new.answers.each().find(|(question, _)| question.name == "width").unwrap().1.clone();
    assert_eq!(width, Answer::Length(3.1));
}

#[test]
fn the_hints_lead_on_and_can_be_closed() {
    let run = |at: usize, word: &str| {
        let mut asked = None;
        let mut harness = Harness::builder()
            .with_size(egui::vec2(1200.0, 800.0))
            .build_ui(|ui| asked = asked.take().or(hint_ui(ui.ctx(), at, &palette())));
        harness.run();
        harness.get_by_label(word).click();
        harness.run();
        drop(harness);
        asked
    };
    assert_eq!(hints::COUNT, 5);
    for at in 0..hints::COUNT - 1 {
        assert_eq!(run(at, "Next"), Some(Command::NextHint));
        assert_eq!(run(at, "Close"), Some(Command::CloseHints));
    }
    assert_eq!(run(hints::COUNT - 1, "Done"), Some(Command::CloseHints));
    assert!(TABLE.iter().any(|entry| entry.command == Command::Hints), "they can be had again");
}

#[test]
fn the_menu_offers_what_can_be_done_with_files() {
    let mut chosen = None;
    let mut harness = Harness::new_ui(|ui| chosen = chosen.take().or(scene_menu_ui(ui)));
    harness.get_by_label("Scene").click();
    harness.run();
    harness.get_by_label_contains("Save in another file").click();
    harness.run();
    drop(harness);
    assert_eq!(chosen, Some(Command::SaveAs));
}

#[test]
fn what_is_remembered_is_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let state = folder.path().join("deep/state");
    assert_eq!(Remembered::read(Some(&state)), Remembered::default());
    let mut remembered = Remembered { hints_seen: true, ..Remembered::default() };
    for number in 0..14 {
        remembered.used(Path::new(&format!("/scenes/{number}.ron")));
    }
    remembered.used(Path::new("/scenes/9.ron"));
    assert_eq!(remembered.recent.len(), 10);
    assert_eq!(remembered.recent[..2], [PathBuf::from("/scenes/9.ron"), PathBuf::from("/scenes/13.ron")]);
    remembered.write(&state).unwrap();
    assert_eq!(Remembered::read(Some(&state)), remembered);
    std::fs::write(state.join("window.ron"), "not this").unwrap();
    assert_eq!(Remembered::read(Some(&state)), Remembered::default());
}

#[test]
fn work_of_a_session_that_died_is_found_and_that_of_a_running_one_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let scene = garage();
    let autosave = AutosaveFile::begin(folder.path()).unwrap();
    autosave.write(&scene, Some(Path::new("/scenes/mine.ron"))).unwrap();
    assert_eq!(recovery::left_behind(folder.path()), [], "its session runs");
    // A crash frees the lock, and leaves both files.
    let mut kept = std::fs::read_dir(folder.path()).unwrap().flatten().map(|entry| entry.path());
    let kept: PathBuf = kept.find(|path| path.extension().is_some_and(|ending| ending == "ron")).unwrap();
    let copy = folder.path().join("unsaved-dead.ron");
    std::fs::copy(&kept, &copy).unwrap();
    autosave.forget();
    drop(autosave);
    let left = recovery::left_behind(folder.path());
    assert_eq!(left.len(), 1);
    assert_eq!(left[0].of.as_deref(), Some(Path::new("/scenes/mine.ron")));
    assert_eq!(left[0].scene.as_ref().unwrap(), &scene);
    let question = |ui: &mut egui::Ui| dialogs::recovered_ui(ui, &left, &palette());
    assert_eq!(asked(question, |harness| harness.get_by_label("Restore").click()), Some(Command::Recover(0)));
    assert_eq!(asked(question, |harness| harness.get_by_label("Discard").click()), Some(Command::DiscardAllRecovered));
    // Of many, each can be given up by itself, and the list scrolls: the answers below it stay in sight.
    let many = vec![left[0].clone(); 40];
    let question = |ui: &mut egui::Ui| dialogs::recovered_ui(ui, &many, &palette());
    let one = asked(question, |harness| harness.get_all_by_label("Discard").next().unwrap().click());
    assert_eq!(one, Some(Command::DiscardRecovered(0)));
    assert_eq!(
        asked(question, |harness| harness.get_by_label("Discard all").click()),
        Some(Command::DiscardAllRecovered)
    );
    recovery::give_up(&left[0]);
    assert_eq!(recovery::left_behind(folder.path()), []);
}

/// Waits for a report; a thread that does not answer in half a minute fails the test.
fn report(worker: &mut Worker) -> Report {
    let begun = Instant::now();
    loop {
        if let Some(report) = worker.reports().into_iter().next() {
            return report;
        }
        assert!(begun.elapsed() < Duration::from_secs(30), "no report");
        std::thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn the_thread_beside_writes_reads_and_notices_changes() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    let scene = Arc::new(garage());
    let mut worker = Worker::start(Some(folder.path().join("state")), || {});
    let write = |over| Job::Write { path: path.clone(), scene: scene.clone(), over };
    worker.ask(write(Overwrite::No));
    let Report::Written(_, stamp, _) = report(&mut worker) else { panic!("it is written") };
    worker.ask(write(Overwrite::No));
    assert_eq!(report(&mut worker), Report::IsThere(path.clone()));
    worker.ask(Job::Look(path.clone(), stamp));
    worker.ask(Job::Read(path.clone()));
    assert_eq!(report(&mut worker), Report::Read(path.clone(), stamp, Ok((*scene).clone())), "and no change before");
    std::fs::write(&path, "(format: 1, nonsense").unwrap();
    worker.ask(Job::Look(path.clone(), stamp));
    let Report::Changed(_, now, Err(problem)) = report(&mut worker) else { panic!("it has changed") };
    assert!(problem.to_string().contains("line 1"), "{problem}");
    assert_eq!(now, Stamp::of(&path));
    // Unsaved work is on disk when the thread has ended, without waiting.
    worker.ask(Job::Autosave(scene.clone(), None));
    worker.stop();
    let left = recovery::left_behind(&folder.path().join("state"));
    assert_eq!(left.len(), 1);
    assert_eq!((&left[0].of, left[0].scene.as_ref().unwrap()), (&None, &*scene));
    let mut worker = Worker::start(Some(folder.path().join("state")), || {});
    worker.ask(Job::Autosave(scene, None));
    worker.ask(Job::Forget);
    worker.ask(Job::GiveUp(left));
    worker.stop();
    assert_eq!(recovery::left_behind(&folder.path().join("state")), [], "what is saved is not kept");
}

/// Edits that come faster than the pause before keeping once starved it: twenty of them a second apart, killed, and nothing was kept. Here one comes each
/// 0.2 s; what is kept may be 5 s old at most.
#[test]
fn work_is_kept_while_edits_go_on() {
    let folder = tempfile::tempdir().unwrap();
    let worker = Worker::start(Some(folder.path().to_owned()), || {});
    let begun = Instant::now();
    let is_kept = || {
        let entries = std::fs::read_dir(folder.path()).unwrap().flatten();
        entries.map(|entry| entry.path()).any(|path| path.extension().is_some_and(|ending| ending == "ron"))
    };
    let scene = Arc::new(garage());
    while !is_kept() {
        assert!(begun.elapsed() < Duration::from_secs(5), "nothing is kept after 5 s of edits");
        worker.ask(Job::Autosave(scene.clone(), None));
        std::thread::sleep(Duration::from_millis(200));
    }
}

/// A folder that cannot be made, since its name is a file's: it is said, said again, and another is taken.
#[test]
fn a_folder_that_cannot_be_written_is_said_and_another_taken() {
    let folder = tempfile::tempdir().unwrap();
    let (taken, other) = (folder.path().join("a file"), folder.path().join("other"));
    std::fs::write(&taken, "").unwrap();
    let mut worker = Worker::start(Some(taken.clone()), || {});
    let said = |worker: &mut Worker| match report(worker) {
        Report::AutosaveFailed(folder, why) => (folder, why),
        else_said => panic!("{else_said:?}"),
    };
    let (at_start, why) = said(&mut worker);
    let mut calm = Worker::start(Some(taken.clone()), || {});
    said(&mut calm);
    calm.ask(Job::AutosaveIn(folder.path().join("calm")));
    assert_eq!(report(&mut calm), Report::Autosaved, "though nothing is unsaved");
    assert_eq!(at_start, taken);
    worker.ask(Job::AutosaveNow(Arc::new(garage()), None));
    assert_eq!(said(&mut worker), (taken.clone(), why.clone()));
    worker.ask(Job::AutosaveIn(other.clone()));
    assert_eq!(report(&mut worker), Report::Autosaved);
    worker.stop();
    assert_eq!(recovery::left_behind(&other).len(), 1, "with the scene that was unsaved before");
    let mut harness = Harness::new_ui(|ui| {
        dialogs::autosave_failed_ui(ui, &taken, &why, &palette());
    });
    harness.run();
    assert!(harness.query_by_label_contains("Unsaved work is not kept").is_some());
    assert!(harness.query_by_label_contains("Keep it in").is_some());
}

/// Somebody else's change is not written over without a question, however soon after it one saves, and is kept beside the file then; so is the version of
/// before, and neither is lost by the saves that follow.
#[test]
fn a_change_of_somebody_else_is_asked_about_and_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    let mine = Arc::new(garage());
    let mut worker = Worker::start(None, || {});
    let write = |over| Job::Write { path: path.clone(), scene: mine.clone(), over };
    std::fs::write(&path, "// first\n").unwrap();
    worker.ask(write(Overwrite::Yes));
    let Report::Written(_, known, _) = report(&mut worker) else { panic!("it is written") };
    // Of the same size and, as far as the clock of the file system tells, the same time.
    let about = std::fs::metadata(&path).unwrap();
    let theirs = std::fs::read_to_string(&path).unwrap().replace("format", "tamrof");
    std::fs::write(&path, &theirs).unwrap();
    std::fs::File::options().append(true).open(&path).unwrap().set_modified(about.modified().unwrap()).unwrap();
    worker.ask(write(Overwrite::Known(known)));
    assert_eq!(report(&mut worker), Report::ChangedMeanwhile(path.clone()));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), theirs, "nothing is written");
    let question = |ui: &mut egui::Ui| dialogs::conflict_ui(ui, &path, &palette());
    let over = asked(question, |harness| harness.get_by_label("Write over").click());
    assert_eq!(over, Some(Command::SaveOver(path.clone())));
    worker.ask(write(Overwrite::Yes));
    for _ in 0..3 {
        let Report::Written(_, known, _) = report(&mut worker) else { panic!("it is written") };
        worker.ask(write(Overwrite::Known(known)));
    }
    worker.stop();
    let beside = |name: &str| std::fs::read_to_string(folder.path().join(name)).unwrap();
    assert_eq!(beside("house.ron.bak"), "// first\n");
    assert_eq!(beside("house.ron.bak-2"), theirs);
}

/// What was opened by a name from here belongs to that file from anywhere.
#[test]
fn kept_work_names_its_file_from_the_root_on() {
    let folder = tempfile::tempdir().unwrap();
    let autosave = AutosaveFile::begin(folder.path()).unwrap();
    autosave.write(&garage(), Some(Path::new("house.ron"))).unwrap();
    std::mem::forget(autosave);
    let kept = std::fs::read_dir(folder.path()).unwrap().flatten().map(|entry| entry.path());
    let kept: PathBuf = kept.into_iter().find(|path| path.extension().is_some_and(|ending| ending == "ron")).unwrap();
    let text = std::fs::read_to_string(kept).unwrap();
    let of = text.lines().next().unwrap().rsplit_once(" of ").unwrap().1;
    assert_eq!(Path::new(of), std::env::current_dir().unwrap().join("house.ron"));
}

#[test]
fn what_the_file_says_is_one_step_and_a_template_is_unsaved() {
    let mut document = Document::read(PathBuf::from("house.ron"), garage());
    assert!(!document.is_unsaved());
    document.edit(&[Edit::AddStorey]).unwrap();
    let mine = document.committed().unwrap().clone();
    let theirs = Answers::usual(BuildingKind::School).scene();
    document.take_from_file(theirs.clone());
    assert_eq!(**document.committed().unwrap(), theirs);
    assert!(!document.is_unsaved(), "it is what the file says");
    assert_eq!(document.undo().as_deref(), Some("take over the file's changes"));
    assert_eq!(*document.committed().unwrap(), mine);
    assert!(document.is_unsaved());
    // What was changed while it was saved is not in the file.
    let saving = document.committed().unwrap().clone();
    document.edit(&[Edit::AddStorey]).unwrap();
    document.is_saved_as(PathBuf::from("house.ron"), saving);
    assert!(document.is_unsaved());
    document.undo();
    assert!(!document.is_unsaved());
    document.differs_from_file();
    assert!(document.is_unsaved());
    assert!(Document::unsaved(None, garage()).is_unsaved());
}

/// A file that does not parse opens all the same: the window says where it is wrong, and shows the scene once that is put right.
#[test]
fn a_file_that_does_not_parse_is_shown_and_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    std::fs::write(&path, "(format: 1,\n nam: \"x\", storeys: [])").unwrap();
    let mut app = headless::app(Document::open(Some(path.clone())), 1200, 800);
    for _ in 0..4 {
        app.update();
    }
    let problems = app.world().resource::<CurrentAnswer>().problems.clone();
    assert!(matches!(problems[..], [Problem { thing: Thing::Text { line: 2, column: 2 }, .. }]), "{problems:?}");
    std::fs::write(&path, "(format: 1,\n name: \"put right\", storeys: [])").unwrap();
    let begun = Instant::now();
    while app.world().resource::<Document>().scene.is_none() {
        assert!(begun.elapsed() < Duration::from_secs(30), "the file was not read again");
        app.update();
        std::thread::sleep(Duration::from_millis(20));
    }
    let document = app.world().resource::<Document>();
    assert_eq!(document.scene.as_ref().unwrap().name, "put right");
    assert!(!document.is_unsaved());
    let mut harness = Harness::new_ui(|ui| drop(problems_ui(ui, Theme::Dark, None, &problems)));
    harness.run();
    harness.get_by_label("This file cannot be read");
    harness.get_by_label_contains("Line 2, column 2");
}
