//! The files of lessons: all are there, the right answer is not in them, and bad ones are refused.

use std::path::{Path, PathBuf};

use leaklight::catalogue::Catalogue;
use leaklight::edit::{Edit, History};
use leaklight::lesson::Lesson;

use super::lesson;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/lessons")
}

#[test]
fn every_file_of_the_folder_is_a_lesson_of_the_program() {
    let mut found = 0;
    for entry in std::fs::read_dir(folder()).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let Some(name) = name.strip_suffix(".lesson.ron") else { continue };
        let read = Lesson::from_path(&entry.path()).unwrap_or_else(|fault| panic!("{fault}"));
        assert_eq!(&read, lesson(name));
        found += 1;
    }
    assert_eq!(found, Lesson::all().len());
    assert!(found >= 8, "{found}");
}

/// The author's expectation has no part in it: with another one, the solver still says the same.
#[test]
fn a_wrong_expectation_changes_nothing() {
    let text = |name: &str| std::fs::read_to_string(folder().join(name)).unwrap();
    let record = text("seals.lesson.ron").replace("expected: 1", "expected: 2");
    let moved = Lesson::from_texts("seals", &record, &text("seals.ron")).unwrap();
    let outcomes = moved.outcomes(Catalogue::built_in_ref()).unwrap();
    assert_eq!((moved.record().expected, outcomes.right), (2, 1));
}

/// A building in which the door was sealed from the start and the wall is thin: now another choice is right.
#[test]
fn another_scene_has_another_right_answer() {
    let text = |name: &str| std::fs::read_to_string(folder().join(name)).unwrap();
    let scene = text("seals.ron")
        .replace("seal: \"none\", undercut_mm: 8", "seal: \"compression-single\"")
        .replace("construction: \"door-solid-core-44\"", "construction: \"door-hollow-core\"");
    let changed = Lesson::from_texts("seals", &text("seals.lesson.ron"), &scene).unwrap();
    assert_eq!(changed.outcomes(Catalogue::built_in_ref()).unwrap().right, 0);
}

#[test]
fn all_lessons_say_where_their_why_is_published_and_what_comes_next() {
    for lesson in Lesson::all() {
        let record = lesson.record();
        assert!(record.title.chars().count() > 8 && record.question.ends_with('?'), "{}", lesson.name());
        let sentences = record.why.matches(". ").count() + 1;
        assert!((1..=4).contains(&sentences) && record.why.ends_with('.'), "{}", lesson.name());
        assert!(!record.source.place.is_empty() && !record.next.is_empty(), "{}", lesson.name());
        // The one without a publication says so.
        assert!(!record.source.source.is_empty() || lesson.name() == "triple", "{}", lesson.name());
        assert!(lesson.scene().about.contains("Invented"), "{}", lesson.name());
    }
}

#[test]
fn bad_lessons_are_refused_with_what_is_wrong() {
    let text = |name: &str| std::fs::read_to_string(folder().join(name)).unwrap();
    let (record, scene) = (text("mass.lesson.ron"), text("mass.ron"));
    let says = |record: &str, scene: &str| Lesson::from_texts("mass", record, scene).unwrap_err().to_string();
    assert!(says(&record.replace("title:", "titel:"), &scene).contains("line 3"));
    assert!(says(&record.replace("expected: 1", "expected: 4"), &scene).contains("expects choice 4"));
    assert!(says(&record.replace("within: (3, 8)", "within: (8, 3)"), &scene).contains("choice b has an empty range"));
    assert!(says(&record.replace(", within: (3, 8)", ""), &scene).contains("choice b lacks its range"));
    assert!(
        says(&record.replace("bies2017", "bies2071"), &scene)
            .contains("no source \"bies2071\"; did you mean \"bies2017\"")
    );
    assert!(says(&record, &scene.replace("storeys:", "stories:")).contains("its scene, line"));
    // What it speaks of and is not there, before anybody answers.
    for (old, new, told) in [
        ("Level(\"neighbour\")", "Level(\"neigbour\")", "no listener \"neigbour\"; did you mean \"neighbour\"?"),
        (
            "Level(\"neighbour\")",
            "Rw(\"ground/betwen\")",
            "no element \"ground/betwen\"; did you mean \"ground/between\"?",
        ),
        ("Wall(\"between\"", "Wall(\"betwen\"", "no wall \"betwen\"; did you mean \"between\"?"),
        (
            "\"sheet-two\"",
            "\"sheet-too\"",
            "\"sheet-too\" is neither in the catalogue nor in this scene; did you mean \"sheet-two\"?",
        ),
        ("Level(\"neighbour\")", "LevelIn(\"neighbour\", 80, 50)", "no bands from 80 to 50 Hz"),
    ] {
        assert!(record.contains(old), "{old}");
        let said = says(&record.replace(old, new), &scene);
        assert!(said.contains(told), "{said}");
    }
    let unsound = scene.replace("construction: \"sheet-one\"", "construction: \"sheet-on\"");
    assert!(says(&record, &unsound).contains("its scene, storey \"ground\", wall \"between\""));
    // What only shows when it is tried.
    let tried = |record: &str| {
        let lesson = Lesson::from_texts("mass", record, &scene).unwrap_or_else(|fault| panic!("{fault}"));
        lesson.outcomes(Catalogue::built_in_ref()).unwrap_err().to_string()
    };
    assert!(tried(&record.replace("within: (3, 8)", "within: (3, 4)")).contains("no choice holds 5."));
    assert!(Lesson::from_path(&folder().join("mass.ron")).unwrap_err().to_string().contains(".lesson.ron"));
    assert!(Lesson::from_path(&folder().join("no.lesson.ron")).unwrap_err().to_string().contains("cannot be read"));
}

#[test]
fn choices_are_found_by_letter_or_words() {
    let mass = lesson("mass");
    assert_eq!((mass.choice("a"), mass.choice(" B) "), mass.choice("e")), (Some(0), Some(1), None));
    assert_eq!(mass.choice("by half: 10 dB"), Some(2));
}

#[test]
fn a_change_is_an_edit_that_can_be_undone_and_named() {
    let mass = lesson("mass");
    let change = Edit::Wall("between".into(), "sheet-two".into());
    assert_eq!(change.name(), "build wall between as sheet-two");
    let mut history = History::new(mass.scene().clone());
    assert!(history.edit(Catalogue::built_in_ref(), &[change]).unwrap());
    assert_eq!(history.scene().storeys[0].walls.iter().filter(|wall| wall.construction == "sheet-two").count(), 1);
    assert_eq!(history.undo().as_deref(), Some("build wall between as sheet-two"));
    assert_eq!(**history.scene(), *mass.scene());
}
