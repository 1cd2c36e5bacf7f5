//! Templates: whatever is answered, the scene can be solved, and says what was answered.

mod field;

use std::collections::BTreeSet;

use leaklight::building::{self, SpaceKind};
use leaklight::catalogue::Catalogue;
use leaklight::project::Project;
use leaklight::scene::validate::validate;
use leaklight::scene::{Scene, file};
use leaklight::solve::{self, Answer as Solved};
use leaklight::template::{Answer, Answers, BuildingKind, Offer};
use proptest::prelude::*;

/// Solves a scene that must have nothing wrong or odd about it, and every listener of which must get a finite level.
fn solved(scene: &Scene) -> Result<Solved, String> {
    let catalogue = Catalogue::built_in_ref();
    let problems: Vec<String> = validate(scene, catalogue).iter().map(ToString::to_string).collect();
    if !problems.is_empty() {
        return Err(format!("problems: {problems:#?}"));
    }
    let building = building::build(scene, catalogue).map_err(|problems| format!("{problems:#?}"))?;
    let answer = solve::solve(scene, catalogue, &building);
    if answer.listeners.is_empty() {
        return Err("nobody listens".to_owned());
    }
    for heard in &answer.listeners {
        if !heard.la_db.is_finite() || !heard.lc_db.is_finite() {
            return Err(format!("{} gets {} dB(A)", heard.name, heard.la_db));
        }
    }
    Ok(answer)
}

/// One choice of one question made, the rest as usual: every single choice of every kind.
#[test]
fn every_choice_of_every_kind_gives_a_scene_that_solves() {
    for kind in BuildingKind::ALL {
        solved(&Answers::usual(kind).scene()).unwrap_or_else(|why| panic!("{}: {why}", kind.word()));
        for question in kind.questions() {
            let tried: Vec<Answer> = match &question.offer {
                Offer::Length { least_m, most_m, .. } => vec![Answer::Length(*least_m), Answer::Length(*most_m)],
                // A source is one more spectrum: its place and contacts are the same for all of a sort.
                Offer::OneOf { .. } if question.name == "loud" => vec![Answer::Word("rehearsal-band".to_owned())],
                Offer::OneOf { choices, .. } => {
                    choices.iter().map(|choice| Answer::Word(choice.word.clone())).collect()
                }
            };
            for answer in tried {
                let mut answers = Answers::usual(kind);
                answers.set(question.name, answer.clone()).unwrap();
                solved(&answers.scene())
                    .unwrap_or_else(|why| panic!("{}, {} {answer}: {why}", kind.word(), question.name));
            }
        }
    }
}

fn any_answers() -> impl Strategy<Value = Answers> {
    (0..BuildingKind::ALL.len(), proptest::collection::vec(0.0..1.0_f64, 13)).prop_map(|(kind, picks)| {
        let mut answers = Answers::usual(BuildingKind::ALL[kind]);
        for (question, pick) in BuildingKind::ALL[kind].questions().into_iter().zip(picks) {
            let answer = match question.offer {
                Offer::Length { least_m, most_m, .. } => Answer::Length(least_m + pick * (most_m - least_m)),
                Offer::OneOf { choices, .. } => {
                    // Truncation is the point: a position.
                    let at = (pick * choices.len() as f64) as usize;
                    Answer::Word(choices[at.min(choices.len() - 1)].word.clone())
                }
            };
            answers.set(question.name, answer).unwrap();
        }
        answers
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    #[test]
    fn any_answers_give_a_scene_that_validates_and_solves(answers in any_answers()) {
        let scene = answers.scene();
        prop_assert!(solved(&scene).is_ok(), "{:?}: {}", answers, solved(&scene).unwrap_err());
        let text = file::to_text(&scene).unwrap();
        prop_assert_eq!(file::from_text(&text).unwrap(), scene);
    }
}

/// The room asked for is the room that is built: its clear area is length times width, within what rounding lines to the millimetre allows.
#[test]
fn the_loud_room_has_the_size_that_was_answered() {
    for kind in BuildingKind::ALL {
        let mut answers = Answers::usual(kind);
        answers.set("length", Answer::Length(4.37)).unwrap();
        answers.set("width", Answer::Length(3.21)).unwrap();
        answers.set("height", Answer::Length(2.63)).unwrap();
        let scene = answers.scene();
        let building = building::build(&scene, Catalogue::built_in_ref()).unwrap();
        let source = &scene.sources[0];
        let room = scene
            .storeys
            .iter()
            .filter(|storey| storey.id == source.storey)
            .flat_map(|storey| &storey.rooms)
            .find(|room| room.name.contains("loud") || room.name == "garage")
            .unwrap();
        let volume_m3 = building.spaces.iter().find_map(|space| match &space.kind {
            SpaceKind::Room(found) if found.room == room.id => Some(found.volume_m3),
            _ => None,
        });
        let (volume_m3, wanted_m3) = (volume_m3.unwrap(), 4.37 * 3.21 * 2.63);
        assert!((volume_m3 - wanted_m3).abs() < 0.05, "{}: {volume_m3} m³, not {wanted_m3}", kind.word());
    }
}

/// Better windows, doors and floors help somebody by more than 1 dB and leave nobody worse off, but for one thing: what no longer
/// escapes stays in the loud room. An ordinary door of 1.6 m² with R of 10 dB is 0.16 m² of open window beside some 6 m² of
/// absorption, so that shutting it raises the room, and all it leaks elsewhere, by 10·lg(1 + 0.16/6) = 0.1 dB: 0.3 dB are allowed.
/// Walls are left out: another wall changes every junction of the room, so that a better one may carry more upwards.
#[test]
fn better_answers_leave_nobody_worse_off() {
    for (kind, name, worse, better) in [
        (BuildingKind::Terrace, "window", "single", "secondary"),
        (BuildingKind::Semi, "door", "ordinary", "two"),
        (BuildingKind::Garage, "gate", "steel", "doors"),
        (BuildingKind::JoistFlat, "floors", "joist-floor-plasterboard", "joist-floor-dry-floating"),
        (BuildingKind::School, "door", "ordinary", "two"),
    ] {
        let levels = |word: &str| {
            let mut answers = Answers::usual(kind);
            answers.set(name, Answer::Word(word.to_owned())).unwrap();
            let heard = solved(&answers.scene()).unwrap().listeners;
            heard.iter().map(|heard| heard.la_db).collect::<Vec<_>>()
        };
        let (before, after) = (levels(worse), levels(better));
        assert!(
            before.iter().zip(&after).all(|(before, after)| *after <= before + 0.3),
            "{kind:?} {name}: {before:?} {after:?}"
        );
        assert!(
            before.iter().zip(&after).any(|(before, after)| *after < before - 1.0),
            "{kind:?} {name}: {before:?} {after:?}"
        );
    }
}

#[test]
fn an_answer_that_is_not_offered_is_refused_and_says_what_is() {
    let mut answers = Answers::usual(BuildingKind::Garage);
    let before = answers.clone();
    for (name, text, says) in [
        ("length", "0.5", "a length from 3 to 9 m"),
        ("length", "NaN", "a length from 3 to 9 m"),
        ("length", "long", "a length from 3 to 9 m"),
        ("walls", "straw", "brick-102-bare"),
        ("colour", "red", "it asks loud, length"),
    ] {
        let refused = answers.set_text(name, text).unwrap_err().to_string();
        assert!(refused.contains(says), "{refused}");
    }
    assert_eq!(answers, before);
    answers.set_text("length", " 4.5 ").unwrap();
    assert_ne!(answers, before);
}

#[test]
fn kinds_and_questions_have_words_of_their_own() {
    let words: BTreeSet<&str> = BuildingKind::ALL.into_iter().map(BuildingKind::word).collect();
    assert_eq!(words.len(), BuildingKind::ALL.len());
    for kind in BuildingKind::ALL {
        assert_eq!(BuildingKind::of_word(kind.word()), Some(kind));
        let questions = kind.questions();
        let names: BTreeSet<&str> = questions.iter().map(|question| question.name).collect();
        assert_eq!(names.len(), questions.len(), "{kind:?}");
        assert!((7..=13).contains(&questions.len()), "{kind:?}: a few plain questions");
    }
}

/// Windows of a first plan look out into the open: none into the next room, whatever the rooms are called.
#[test]
fn every_window_looks_outdoors() {
    for kind in BuildingKind::ALL {
        let scene = Answers::usual(kind).scene();
        for storey in &scene.storeys {
            for opening in storey.openings.iter().filter(|opening| opening.construction.starts_with("window")) {
                assert!(opening.wall.0.contains("-outer-"), "{kind:?}: {} in {}", opening.id, opening.wall);
            }
        }
    }
}

/// Wherever and whenever it is loud, every limit that is set fits its place, hour and country, and everyone of a home has one by day.
#[test]
fn limits_fit_the_country_and_the_hour() {
    for kind in [BuildingKind::Terrace, BuildingKind::Garage, BuildingKind::School] {
        let questions = kind.questions();
        let words = |name: &str| {
            let question = questions.iter().find(|question| question.name == name).unwrap();
            let Offer::OneOf { choices, .. } = &question.offer else { panic!("{name} offers words") };
            choices.iter().map(|choice| choice.word.clone()).collect::<Vec<_>>()
        };
        let mut used = BTreeSet::new();
        for (country, hour) in
            words("country").iter().flat_map(|it| words("hour").into_iter().map(move |hour| (it, hour)))
        {
            let mut answers = Answers::usual(kind);
            answers.set_text("country", country).unwrap();
            answers.set_text("hour", &hour).unwrap();
            let scene = answers.scene();
            let built = Project::of(scene.clone()).build().unwrap();
            assert!(built.warnings.is_empty(), "{kind:?}, {country}, {hour}: {:#?}", built.warnings);
            assert!(scene.played.hours.is_some());
            used.extend(scene.listeners.iter().filter_map(|listener| listener.target.clone()));
            if kind == BuildingKind::Terrace && hour != "night" {
                assert!(scene.listeners.iter().all(|listener| listener.target.is_some()), "{country}, {hour}");
            }
        }
        let expected: &[&str] = match kind {
            BuildingKind::School => &["who-school-class"],
            _ => &["who-bedroom-night", "england-night", "scotland-evening", "sweden-music", "france-neighbour-night"],
        };
        assert!(expected.iter().all(|id| used.contains(*id)), "{kind:?}: {used:?}");
        assert!(!used.iter().any(|id| id.starts_with("germany")), "no rules for businesses at home");
    }
}

/// What is loud stands on its feet, and it is told that a background outdoors is assumed.
#[test]
fn what_is_loud_stands_on_its_feet() {
    let mut answers = Answers::usual(BuildingKind::Terrace);
    let names = |scene: &leaklight::scene::Scene| {
        scene.sources[0].contacts.iter().map(|contact| contact.name.clone()).collect::<Vec<_>>()
    };
    let kit = answers.scene();
    assert_eq!(names(&kit), ["bass drum pedal", "bass drum spurs", "hi-hat pedal", "stands", "stool"]);
    assert!(kit.about.contains("assumed, NR 35"), "{}", kit.about);
    answers.set_text("loud", "guitar-amp").unwrap();
    assert_eq!(names(&answers.scene()), ["feet of the amplifier"]);
    answers.set_text("loud", "trumpet").unwrap();
    assert_eq!(names(&answers.scene()), Vec::<String>::new());
}
