//! What to build first, asked in the window: fields, search, chart, and how a plan becomes a variant; and the list of what to buy for it.

use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy_egui::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use leaklight::advise::Advice;
use leaklight::app::advising::{Advising, Fields};
use leaklight::app::deciding::{Deciding, Foot};
use leaklight::app::document::{Document, Version};
use leaklight::app::editor::state::Editor;
use leaklight::app::listed::Listed;
use leaklight::app::panels::advice_chart::spoken;
use leaklight::app::panels::lessons::LessonState;
use leaklight::catalogue::Catalogue;
use leaklight::edit::varied;
use leaklight::output::advice;
use leaklight::project::Project;
use leaklight::scene::{ListenerId, Scene, Variant, file};

use super::editor::{Window, key, listening, press, scene, write};

/// How long a search may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(300);

fn two_rooms() -> Scene {
    file::from_text(include_str!("../advise/two-rooms.ron")).expect("the scene is sound")
}

/// The panel, opened by its key.
fn opened(scene: Scene) -> Harness<'static, Window> {
    let mut harness = listening(scene);
    key(&mut harness, Key::C);
    assert_eq!(harness.state().get::<Deciding>().foot, Foot::Advice);
    harness
}

fn advising<'a>(harness: &'a Harness<'_, Window>) -> &'a Advising {
    harness.state().get()
}

/// Lets the window take in what arrives until it is so.
fn wait(harness: &mut Harness<'_, Window>, until: impl Fn(&Advising) -> bool) {
    let begun = Instant::now();
    while !until(advising(harness)) {
        assert!(begun.elapsed() < PATIENCE, "it takes too long");
        harness.state_mut().update();
        harness.run_ok();
        std::thread::sleep(Duration::from_millis(5));
    }
    harness.run_ok();
}

fn found(harness: &Harness<'_, Window>) -> Arc<Advice> {
    advising(harness).outcome().expect("it is found").result.clone().expect("there is advice")
}

fn is_there(harness: &Harness<'_, Window>, part: &str) -> bool {
    harness.query_all_by_label_contains(part).next().is_some()
}

/// Asked with the fields as they are, found beside the main thread, kept as a variant that does what was promised, and taken back.
#[test]
fn what_is_advised_becomes_a_variant() {
    let mut harness = opened(two_rooms());
    press(&mut harness, "Find out");
    assert!(advising(&harness).far().is_some() && harness.query_by_label("Stop").is_some());
    wait(&mut harness, |advising| advising.far().is_none());
    let advice = found(&harness);
    assert!(!advice.steps.is_empty() && advice.proof.complete);
    for line in advice::head(&advice) {
        assert!(is_there(&harness, &line), "{line}");
    }
    for step in advice::steps(&advice) {
        assert!(is_there(&harness, &step.what) && is_there(&harness, &step.now), "{step:?}");
    }
    press(&mut harness, "Keep as a variant");
    let kept = scene(&harness).variants;
    assert_eq!((kept.len(), kept[0].name.as_str()), (1, "as advised"));
    assert_eq!(kept[0].edits, advice.plan.edits());
    assert_eq!(*harness.state().get::<Document>().shown(), Version::Variant("as advised".to_owned()));
    let (made, misfits) = varied(&scene(&harness), Catalogue::built_in_ref(), &kept[0]);
    let solved = Project::of(made).solve().expect("it can be solved");
    let promised = advice.plan.solved.as_ref().expect("it was solved");
    let [now, then] = [&solved, &**promised].map(|solved| solved.answer.listeners[0].la_db);
    assert!(misfits.is_empty() && (now - then).abs() < 0.01, "{misfits:?} {now} {then}");
    // The advice still is about what is drawn, and is kept once more under another name.
    harness.state_mut().update();
    harness.run_ok();
    assert!(advising(&harness).outcome().is_some_and(|outcome| outcome.fresh));
    press(&mut harness, "Keep as a variant");
    assert_eq!(scene(&harness).variants[1].name, "as advised 2");
    for _ in 0..2 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        harness.run_ok();
    }
    assert_eq!(scene(&harness), two_rooms());
}

/// A click on a point shows that plan in the place of the steps, and it is what is kept.
#[test]
fn another_plan_is_looked_at_and_kept() {
    let mut harness = opened(two_rooms());
    press(&mut harness, "Find out");
    wait(&mut harness, |advising| advising.far().is_none());
    let advice = found(&harness);
    let at = advice.frontier.len() - 1;
    let best = &advice.frontier[at];
    assert!(best.done != advice.plan.done, "there is more to be had than what is advised");
    press(&mut harness, &spoken(&advice, best, Some(at)));
    assert_eq!(advising(&harness).chosen(), Some(at));
    assert!(is_there(&harness, "Another plan") && is_there(&harness, &advice::totals(&advice, best)));
    for done in &best.done {
        assert!(is_there(&harness, &advice::measure(&advice, done)), "{done:?}");
    }
    press(&mut harness, "Keep as a variant");
    assert_eq!(scene(&harness).variants[0].edits, best.edits());
    press(&mut harness, "Back to what is advised");
    assert_eq!(advising(&harness).chosen(), None);
    assert!(is_there(&harness, &advice::head(&advice)[0]));
}

/// Once the scene is another the answer stays in sight, is said to be of the scene before, and can be asked for anew.
#[test]
fn an_answer_to_the_scene_before_says_so() {
    let mut harness = opened(two_rooms());
    press(&mut harness, "Find out");
    wait(&mut harness, |advising| advising.far().is_none());
    let mut louder = two_rooms().sources[0].clone();
    louder.offset_db += 2.0;
    let edit = leaklight::edit::Edit::Put(leaklight::edit::Item::Source(louder));
    harness.state_mut().get_mut::<Document>().edit(&[edit]).unwrap();
    harness.state_mut().update();
    harness.run_ok();
    harness.run_ok();
    assert!(is_there(&harness, "The scene has changed") && is_there(&harness, &advice::head(&found(&harness))[0]));
    press(&mut harness, "Ask again");
    assert!(advising(&harness).far().is_some());
    wait(&mut harness, |advising| advising.far().is_none());
    assert!(!is_there(&harness, "The scene has changed"));
}

#[test]
fn a_search_is_stopped() {
    let mut harness = opened(two_rooms());
    press(&mut harness, "Find out");
    press(&mut harness, "Stop");
    assert!(advising(&harness).far().is_none());
    // What it found till then does not come any more.
    for _ in 0..20 {
        harness.state_mut().update();
        std::thread::sleep(Duration::from_millis(20));
    }
    harness.run_ok();
    assert!(advising(&harness).outcome().is_none() && harness.query_by_label("Find out").is_some());
}

/// Where nothing can be asked it is said why, and what to do about it.
#[test]
fn what_cannot_be_asked_says_what_to_do() {
    let mut free = two_rooms();
    free.listeners[0].target = None;
    let mut silent = two_rooms();
    silent.sources[0].playing = false;
    for (scene, says) in [(free, "Nobody has a limit"), (silent, "Nothing is loud")] {
        let harness = opened(scene);
        assert!(is_there(&harness, says), "{says}");
        assert!(harness.get_by_label("Find out").accesskit_node().is_disabled(), "{says}");
    }
    let mut harness = opened(two_rooms());
    let budget = harness.get_by_label("Budget");
    budget.focus();
    harness.run_ok();
    write(&mut harness, "much");
    press(&mut harness, "Find out");
    let told = harness.state().get::<Editor>().status.as_ref().map(|status| status.text().to_owned());
    assert!(told.is_some_and(|told| told.contains("the budget as a number")));
    assert!(advising(&harness).far().is_none());
}

/// Before the question of a lesson is answered nothing is told, advice neither.
#[test]
fn a_lesson_that_asks_has_no_advice() {
    let mut harness = listening(two_rooms());
    harness.state_mut().get_mut::<LessonState>().take(0);
    harness.run_ok();
    key(&mut harness, Key::C);
    assert_eq!(harness.state().get::<Deciding>().foot, Foot::Usual);
    assert!(harness.query_by_label("Find out").is_none());
}

#[test]
fn fields_are_read_as_they_are_written() {
    let with = |budget: &str| Fields { budget: budget.to_owned(), ..Fields::default() };
    for (text, budget) in [("", None), ("2500", Some(2500.0)), ("2,500", Some(2500.0)), ("12,5", Some(12.5))] {
        assert_eq!(with(text).ask(None).unwrap().budget, budget, "{text}");
    }
    assert!(with("-3").ask(None).is_err() && with("a lot").ask(None).is_err());
    let listener: ListenerId = "bed".into();
    let one = Fields { one_listener: true, piece_kg: "25".to_owned(), ..Fields::default() }.ask(Some(&listener));
    let one = one.unwrap();
    assert_eq!((one.listeners, one.max_lift_kg), (vec![listener], Some(25.0)));
}

/// What a variant takes stands in a box, and is written beside the scene without writing over anything.
#[test]
fn what_to_buy_for_a_variant_is_listed_and_written() {
    let foam = file::from_text(include_str!("../../scenes/foam-or-lining.ron")).expect("the scene is sound");
    let variant: Variant = foam.variants[0].clone();
    let mut harness = listening(foam.clone());
    press(&mut harness, &variant.name);
    press(&mut harness, "Steps");
    press(&mut harness, "What to buy");
    let lines = harness.state().get::<Deciding>().list.clone().expect("it is open").lines.expect("there is a list");
    assert!(lines.contains("In all") || lines.contains("Cost"), "{lines}");
    assert!(is_there(&harness, "Write the table (CSV)"));
    press(&mut harness, "As drawn");
    assert!(harness.state().get::<Deciding>().list.is_none());

    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("foam.ron");
    let (made, _) = varied(&foam, Catalogue::built_in_ref(), &variant);
    let mut listed = Listed::of(&Arc::new(foam), &Arc::new(made), &variant);
    assert!(listed.has_cuts());
    for table in [true, true, false] {
        listed.write(Some(&path), table);
        assert!(listed.outcome.as_ref().is_some_and(|said| said.starts_with("Written")), "{:?}", listed.outcome);
    }
    let name = format!("foam {}", variant.name);
    let read = |ending: &str| std::fs::read_to_string(folder.path().join(format!("{name} {ending}"))).unwrap();
    assert!(read("list.csv").starts_with("job,title,place") && read("list 2.csv") == read("list.csv"));
    assert!(read("cutting.svg").starts_with("<svg"));
}
