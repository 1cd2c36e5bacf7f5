//! What to build first: against trying everything, against full solves, and as a user asks it.

mod command;

use std::path::Path;
use std::sync::Arc;

use leaklight::advise::places::places;
use leaklight::advise::{Ask, PlaceKind, Watch, Why, advise};
use leaklight::build_list;
use leaklight::catalogue::Catalogue;
use leaklight::edit::{self, Edit};
use leaklight::project::{Project, Solved};
use leaklight::scene::{Scene, file};
use leaklight::solve::limits::{self, Check, Kept};

/// Two rooms with a door between them and a window each: few enough places to try every set.
const TWO_ROOMS: &str = include_str!("two-rooms.ron");

fn solved(scene: Scene) -> Arc<Solved> {
    Arc::new(Project::of(scene).solve().unwrap())
}

fn asked(base: &Arc<Solved>, ask: &Ask) -> leaklight::advise::Advice {
    advise(base, ask, &Watch::patient()).unwrap().expect("nobody cancels")
}

fn after(base: &Solved, edits: &[Edit]) -> Option<Solved> {
    let catalogue = Catalogue::built_in_ref();
    let scene =
        edits.iter().try_fold((*base.scene).clone(), |scene, edit| edit::apply(&scene, catalogue, edit)).ok()?;
    Project::of(scene).solve().ok()
}

/// What may not be built so, for the sake of those within.
fn broken(solved: &Solved) -> Vec<Check> {
    let checks = limits::checks(&solved.scene, Catalogue::built_in_ref(), &solved.building, &solved.answer);
    // Ears are to be protected anyway, pieces cut or carried by more, and air brought in by what is built besides.
    let elsewhere = |check: &Check| ["hearing", "lift", "air"].contains(&check.subject.key());
    checks.into_iter().filter(|check| check.kept == Kept::No && !elsewhere(check)).collect()
}

fn is_among(known: &[Check], check: &Check) -> bool {
    known.iter().any(|known| (known.subject.key(), &known.place) == (check.subject.key(), &check.place))
}

/// Every set of what comes off again, each solved in full, against what is advised: the same least cost for the limit and the chance.
#[test]
fn nothing_cheaper_keeps_the_limit() {
    let base = solved(file::from_text(TWO_ROOMS).unwrap());
    let plain = Ask { removable_only: true, ..Ask::default() };
    let places = places(&base, true);
    let sets = places.iter().fold(vec![vec![]], |sets: Vec<Vec<Edit>>, place| {
        let more = |set: &Vec<Edit>| {
            let choices = place.choices.iter().map(|choice| [&set[..], &choice.edits[..]].concat());
            std::iter::once(set.clone()).chain(choices).collect::<Vec<_>>()
        };
        sets.iter().flat_map(more).collect()
    });
    let tried: Vec<(f64, f64)> = sets
        .iter()
        .filter_map(|set| {
            let solved = after(&base, set)?;
            let probability = solved.answer.listeners[0].target.as_ref()?.probability;
            Some((build_list::cost(&*base, &solved).likely, probability))
        })
        .collect();
    // A door with two seals to choose from, a room with four things to bring in.
    assert_eq!(tried.len(), 15);
    let chances = || tried.iter().map(|(_, probability)| *probability);
    assert!(chances().fold(1.0, f64::min) < 0.5 && chances().fold(0.0, f64::max) > 0.8, "no question: {tried:?}");
    // Chances that no set has within a hundredth: sums are good to a few hundredths of a decibel.
    for confidence in [0.5, 0.55, 0.65, 0.72, 0.78, 0.84, 0.9] {
        assert!(chances().all(|chance| (chance - confidence).abs() > 0.01), "{confidence}: {tried:?}");
        let advice = asked(&base, &Ask { confidence, ..plain.clone() });
        let good = tried.iter().filter(|(_, probability)| *probability >= confidence);
        let cheapest = good.map(|(cost, _)| *cost).fold(f64::INFINITY, f64::min);
        let found = if advice.plan.reaches() { advice.plan.cost.likely } else { f64::INFINITY };
        let same = (found - cheapest).abs() < 1e-6 || found.is_infinite() && cheapest.is_infinite();
        assert!(same, "{confidence}: {found} for {cheapest} of {tried:?}");
        assert!(advice.proof.complete);
    }
}

/// What the sums promise and what a full solve gives, for all shipped scenes: the plan advised, and every fourth of the frontier.
#[test]
fn sums_agree_with_full_solves() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let mut seen = 0;
    for name in
        ["bookshop-terrace", "foam-or-lining", "music-school", "room-within-a-room", "shared-void", "village-hall"]
    {
        let base = Arc::new(Project::open(folder.join(format!("{name}.ron"))).unwrap().solve().unwrap());
        let Ok(Some(advice)) = advise(&base, &Ask::default(), &Watch::patient()) else { continue };
        seen += 1;
        // Linings of all walls make floor and ceiling smaller, by an eighth at most here: 0.5 dB. From 0.3 dB on the sums are corrected.
        assert!(advice.proof.error_db < 0.5, "{name}: {} dB", advice.proof.error_db);
        for plan in advice.frontier.iter().step_by(4) {
            let solved = after(&base, &plan.edits()).expect("what is advised can be built");
            let kept = advice.held.iter().filter_map(|at| solved.answer.listeners.get(*at)?.target.as_ref());
            let least_db = kept.map(|target| target.margin_db).fold(f64::INFINITY, f64::min);
            // `kept_db` is the margin less what the chance asks for: never more than the margin.
            assert!(plan.kept_db <= least_db + 0.3, "{name}: {} for {least_db}", plan.kept_db);
            let new: Vec<Check> =
                broken(&solved).into_iter().filter(|check| !is_among(&broken(&base), check)).collect();
            assert!(new.is_empty(), "{name}: {new:?}");
        }
        let rises = advice.frontier.windows(2);
        assert!(
            rises.clone().all(|two| two[0].cost.likely <= two[1].cost.likely && two[0].kept_db < two[1].kept_db),
            "{name}"
        );
    }
    assert!(seen >= 4, "{seen}");
}

/// What may not be lifted, loaded or lost is never advised, and what stands outside is told why.
#[test]
fn limits_are_kept() {
    let base = solved(file::from_text(TWO_ROOMS).unwrap());
    let free = asked(&base, &Ask { confidence: 0.99, ..Ask::default() });
    assert!(free.plan.piece_kg > 15.0, "{}", free.plan.piece_kg);
    let light = asked(&base, &Ask { confidence: 0.99, max_lift_kg: Some(15.0), ..Ask::default() });
    assert!(light.frontier.iter().all(|plan| plan.piece_kg <= 15.0));
    assert!(light.refused.iter().any(|refusal| matches!(refusal.why, Why::Heavy(kg, _) if kg > 15.0)));
    let high = asked(&base, &Ask { confidence: 0.99, min_headroom_m: 2.45, ..Ask::default() });
    let height = |done: &leaklight::advise::Done| matches!(done.place, PlaceKind::Ceiling(_));
    assert!(high.frontier.iter().all(|plan| !plan.done.iter().any(height)), "a ceiling takes more than 50 mm");
    let poor = asked(&base, &Ask { budget: Some(100.0), confidence: 0.99, ..Ask::default() });
    assert!(poor.plan.cost.likely <= 100.0);
    assert!(poor.plan.kept_db >= poor.now_db);
}

/// A limit that is said to be kept with a chance is kept with that chance by the full solve as well.
#[test]
fn what_is_promised_is_solved() {
    let terrace = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bookshop-terrace.ron");
    let base = Arc::new(Project::open(terrace).unwrap().solve().unwrap());
    let at = base.answer.listeners.iter().position(|heard| heard.listener.0 == "flat-14").unwrap();
    for confidence in [0.5, 0.52] {
        let ask = Ask { confidence, listeners: vec![base.answer.listeners[at].listener.clone()], ..Ask::default() };
        let advice = asked(&base, &ask);
        assert!(advice.plan.reaches(), "{confidence}: {} dB", advice.plan.kept_db);
        let solved = after(&base, &advice.plan.edits()).expect("what is advised can be built");
        let chance = solved.answer.listeners[at].target.as_ref().unwrap().probability;
        // The chance is a float of the same solve: only what rounding does.
        assert!(chance >= confidence - 1e-6 && chance < confidence + 0.05, "{chance} for {confidence}");
        // Both windows covered would gain more: that one is left free, and why, is told.
        let text = leaklight::output::advice::text(&advice).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("stays free, to leave by in a fire"), "{text}");
    }
}

/// Where a stove draws its air and nobody tested the old coating, no set closes the vent or the room, or is fixed to the ceiling; and that is told.
#[test]
fn flames_and_old_coatings_are_vetoes() {
    let terrace = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bookshop-terrace.ron");
    let mut scene = file::from_text(&std::fs::read_to_string(terrace).unwrap()).unwrap();
    for room in scene.storeys.iter_mut().flat_map(|storey| &mut storey.rooms).filter(|room| room.id.0 == "rehearsal") {
        (room.flames, room.untested_coating) = (true, true);
    }
    let base = solved(scene);
    let advice = asked(&base, &Ask::default());
    let told = |key: &str| {
        let of = |why: &Why| matches!(why, Why::Limit(check) if check.subject.key() == key);
        advice.refused.iter().filter(|refusal| of(&refusal.why)).count()
    };
    assert!(told("combustion") > 0 && told("coating") > 0, "{:?}", advice.refused);
    for plan in advice.frontier.iter().chain([&advice.plan]) {
        let solved = after(&base, &plan.edits()).expect("what is advised can be built");
        let kept = |check: &Check| is_among(&broken(&base), check);
        assert!(broken(&solved).iter().all(kept), "{:?}", broken(&solved));
    }
}

#[test]
fn a_scene_without_a_limit_says_so() {
    let mut scene = file::from_text(TWO_ROOMS).unwrap();
    scene.listeners[0].target = None;
    let why = advise(&solved(scene.clone()), &Ask::default(), &Watch::patient()).unwrap_err();
    assert!(why.contains("limit"), "{why}");
    scene.sources[0].playing = false;
    let why = advise(&solved(scene), &Ask::default(), &Watch::patient()).unwrap_err();
    assert!(why.contains("loud"), "{why}");
}
