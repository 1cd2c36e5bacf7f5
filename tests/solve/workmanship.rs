//! What faults of building cost, over the catalogue and in a whole house.

use leaklight::acoustics::rating::iso717_1::Airborne;
use leaklight::acoustics::{Air, Bands, Spectrum};
use leaklight::building::Building;
use leaklight::catalogue::{Build, Catalogue, Construction, ConstructionKind};
use leaklight::scene::{Scene, Workmanship, file};
use leaklight::solve::workmanship::{reduction_as, short_circuited};
use leaklight::solve::{Answer, Conditions};

use super::properties::{House, level, solved};

const STATES: [Workmanship; 3] = [Workmanship::AsDrawn, Workmanship::SmallFaults, Workmanship::ShortCircuited];

fn r_db(construction: &Construction, state: Workmanship) -> Spectrum {
    let catalogue = Catalogue::built_in_ref();
    reduction_as(state, catalogue, construction, [4.0, 2.5], &Air::default(), &Bands::exact())
        .unwrap_or_else(|why| panic!("{why}"))
}

fn rw_db(id: &str, state: Workmanship) -> i32 {
    let construction = Catalogue::built_in_ref().construction(id).unwrap();
    Airborne::of_spectrum(&r_db(construction, state)).rw_db
}

/// A fault never helps, in no band, and what is bridged is nowhere better than what has small faults: every wall, floor and roof of the catalogue.
#[test]
fn faults_never_help() {
    use ConstructionKind::{Floor, Roof, Wall};
    let catalogue = Catalogue::built_in_ref();
    let mut tried = 0;
    for construction in catalogue.constructions.values().filter(|build| matches!(build.kind, Wall | Floor | Roof)) {
        if !matches!(construction.build, Build::Layers(_)) {
            continue;
        }
        let [drawn, faults, shorted] = STATES.map(|state| r_db(construction, state));
        let [usual, bridged, unsealed] =
            [Workmanship::Usual, Workmanship::Bridged, Workmanship::Unsealed].map(|state| r_db(construction, state));
        // Not by the rating either.
        let rw = |curve: &Spectrum| Airborne::of_spectrum(curve).rw_db;
        assert!(rw(&bridged) <= rw(&faults) && rw(&faults) <= rw(&usual), "{}", construction.id);
        for band in 0..drawn.iter().count() {
            let all = [drawn[band], faults[band], shorted[band]];
            assert!(all[0] >= all[1] - 1e-9 && all[1] >= all[2] - 1e-9, "{} band {band}: {all:?}", construction.id);
            let steps = [all[0], usual[band], all[1], bridged[band], all[2]];
            let falls = steps.windows(2).all(|step| step[0] >= step[1] - 1e-9);
            assert!(
                falls,
                "{} band {band}: as drawn, usual, small faults, bridged, short-circuited {steps:?}",
                construction.id
            );
            let one_fault = [bridged[band], unsealed[band]];
            let between = |db: f64| all[0] >= db - 1e-9 && db >= all[2] - 1e-9;
            assert!(one_fault.into_iter().all(between), "{} band {band}: {all:?} {one_fault:?}", construction.id);
        }
        tried += 1;
    }
    assert!(tried > 50, "{tried}");
}

/// Bridged but sealed is another fault than free but unsealed (common practice, no source): bridges take from the middle and high bands, where the
/// cavity decouples, and stop at what the rigid build does; an open edge is a ceiling on R, so that it takes most where R is highest and next to
/// nothing in the bass. R of the unsealed one by hand: −10 lg(τ + s·U/S), s = 1 mm of open joint round 4 m × 2.5 m.
#[test]
fn bridges_and_open_edges_take_different_bands() {
    let construction = Catalogue::built_in_ref().construction("stud-timber-100-resilient-filled").unwrap();
    let curve = |state| r_db(construction, state);
    let [drawn, bridged, unsealed] = [Workmanship::AsDrawn, Workmanship::Bridged, Workmanship::Unsealed].map(curve);
    for (band, drawn_db) in drawn.iter().enumerate() {
        let by_hand = -10.0 * (10f64.powf(-drawn_db / 10.0) + 0.001 * 13.0 / 10.0).log10();
        assert!((unsealed[band] - by_hand).abs() < 1e-6, "band {band}");
    }
    let lost = |state: &Spectrum, hz| (drawn.zip(state, |drawn, state| drawn - state))[Bands::nearest(hz)];
    // Nothing to speak of in the bass by either.
    assert!(lost(&bridged, 50.0) < 1.0 && lost(&unsealed, 50.0) < 2.0);
    // Bridges: most where the cavity decouples best, and R still rises; the edge: R lies flat at that of the gap, 10 lg(10/0.013).
    assert!(lost(&bridged, 1000.0) > 10.0 && lost(&bridged, 1000.0) > lost(&bridged, 4000.0) + 5.0);
    assert!(bridged[Bands::nearest(1000.0)] > bridged[Bands::nearest(125.0)] + 10.0);
    assert!((200..=3150).step_by(50).all(|hz| (unsealed[Bands::nearest(f64::from(hz))] - 28.9).abs() < 1.0));
    assert!(lost(&unsealed, 2000.0) > lost(&bridged, 2000.0) + 10.0);
}

/// An open edge undoes what a heavy partition gained over a plain one: sealing decides before mass does (common practice, no source).
#[test]
fn a_missing_perimeter_seal_undoes_a_heavy_partition() {
    let plain = rw_db("stud-timber-100-board-filled", Workmanship::AsDrawn);
    let heavy = "stud-steel-twin-party";
    let (sealed, open) = (rw_db(heavy, Workmanship::AsDrawn), rw_db(heavy, Workmanship::Unsealed));
    assert!(sealed > plain + 10 && open <= plain, "plain {plain}, heavy {sealed}, heavy with an open edge {open}");
}

/// A ceiling on bars that are screwed through keeps little of what it gained over one fixed to the joists (common practice, no source).
#[test]
fn a_short_circuited_resilient_ceiling_loses_most_of_its_gain() {
    let rigid = rw_db("joist-floor-plasterboard-filled", Workmanship::AsDrawn);
    let resilient = "joist-floor-resilient";
    let catalogue = Catalogue::built_in_ref();
    let shorted = short_circuited(catalogue, catalogue.construction(resilient).unwrap()).unwrap().unwrap();
    let conditions = Conditions {
        bands: Bands::exact(),
        air: Air::default(),
        element_air: Air::default(),
        ground: Default::default(),
        residual_db: f64::INFINITY,
        ideal_linings: false,
        left_out: 0.0,
    };
    // Its edge closed, so that only the bars count.
    let held = Airborne::of_spectrum(&shorted.laboratory_tau([4.0, 2.5], &conditions).r_db_from_tau()).rw_db;
    let free = rw_db(resilient, Workmanship::AsDrawn);
    assert!(free >= rigid + 5, "rigid {rigid}, resilient {free}");
    assert!(f64::from(held - rigid) < 0.5 * f64::from(free - rigid), "rigid {rigid}, free {free}, held {held}");
}

/// Faults of builds on resilient parts, of the size that one retest found undone: about 10 dB (common practice, no source; within 5 dB).
#[test]
fn small_faults_of_a_good_build_cost_about_ten_decibels() {
    for id in ["stud-timber-100-resilient-filled", "joist-floor-resilient", "joist-floor-spring-hangers"] {
        let cost = rw_db(id, Workmanship::AsDrawn) - rw_db(id, Workmanship::SmallFaults);
        assert!((5..=15).contains(&cost), "{id}: {cost} dB");
    }
}

fn heard(change: impl Fn(&mut Scene, Workmanship)) -> [(Building, Answer); 3] {
    STATES.map(|state| {
        let mut scene = House { partition: "stud-timber-100-resilient-filled", ..House::default() }.scene();
        change(&mut scene, state);
        solved(&scene)
    })
}

/// In a house: each state of a wall, a floor or a door is louder next door or below, and the notes say which thing it is.
#[test]
fn the_whole_chain_hears_faults() {
    let wall = heard(|scene, state| {
        scene.storeys[1].openings.clear();
        scene.storeys[1].walls[6].workmanship = state;
    });
    let floor = heard(|scene, state| {
        scene.storeys[1].floor.construction = "joist-floor-resilient".into();
        scene.storeys[1].floor.workmanship = state;
    });
    let door = heard(|scene, state| scene.storeys[1].openings[0].workmanship = state);
    for (what, id, listener, states) in
        [("wall", "upper/w6", "beside", &wall), ("floor", "floor:", "below", &floor), ("door", "door", "beside", &door)]
    {
        let levels: Vec<f64> = states.iter().map(|(_, answer)| level(answer, listener)).collect();
        assert!(levels[1] > levels[0] + 0.3 && levels[2] > levels[1] + 1.0, "{what}: {levels:.1?}");
        let said = |answer: &Answer| answer.notes.iter().any(|note| note.contains(id) && note.contains("is taken as"));
        assert!(!said(&states[0].1) && said(&states[1].1) && said(&states[2].1), "{what}: {:?}", states[2].1.notes);
    }
}

/// In a house too: bridges and an open edge each cost less than both, and each is said.
#[test]
fn the_whole_chain_tells_bridged_from_unsealed() {
    let [drawn, bridged, unsealed, both] =
        [Workmanship::AsDrawn, Workmanship::Bridged, Workmanship::Unsealed, Workmanship::ShortCircuited].map(|state| {
            let partition = "stud-timber-100-resilient-filled";
            let mut scene = House { partition, door: None, ..House::default() }.scene();
            scene.storeys[1].walls[6].workmanship = state;
            solved(&scene).1
        });
    let heard = |answer: &Answer| level(answer, "beside");
    assert!(heard(&bridged) > heard(&drawn) + 1.0 && heard(&unsealed) > heard(&drawn) + 1.0);
    assert!(heard(&both) >= heard(&bridged).max(heard(&unsealed)));
    let band = |answer: &Answer, hz| answer.listeners[0].energy.to_db()[Bands::nearest(hz)];
    // The same bands as of the wall alone: next to nothing in the bass, and the high bands by the open edge most.
    assert!((band(&bridged, 40.0) - band(&drawn, 40.0)).abs() < 1.0);
    assert!(band(&unsealed, 2000.0) > band(&bridged, 2000.0) + 5.0);
    for (answer, words) in
        [(&bridged, "is taken as bridged, its edge with small faults"), (&unsealed, "is taken as unsealed")]
    {
        assert!(
            answer.notes.iter().any(|note| note.contains("upper/w6") && note.contains(words)),
            "{:?}",
            answer.notes
        );
    }
}

/// A usual job keeps a plastered one-brick wall from more than the house party wall grade has where the brick alone passes far less, 56 dB from 1.6 kHz up
/// (BS CP 3 Chapter III, 1960; from memory, unverified: within 1 dB), and costs single partitions less than the 5 dB between laboratory and field
/// that codes allow (IBC 1206: STC 50, 45 in the field).
#[test]
fn a_usual_job_costs_what_fields_show() {
    let wall = Catalogue::built_in_ref().construction("brick-215-plastered").unwrap();
    let usual = r_db(wall, Workmanship::Usual);
    for hz in [2500.0, 3150.0] {
        let db = usual[Bands::nearest(hz)];
        assert!((55.0..=56.5).contains(&db), "{hz} Hz: {db:.1} dB");
    }
    for id in ["stud-timber-100-board-filled", "stud-timber-100-resilient-filled"] {
        let cost = rw_db(id, Workmanship::AsDrawn) - rw_db(id, Workmanship::Usual);
        assert!((0..=5).contains(&cost), "{id}: {cost} dB");
    }
}

/// The word is read and written, left out when usual, and no other word will do.
#[test]
fn the_word_is_read_and_written() {
    let mut scene = House::default().scene();
    for storey in &mut scene.storeys {
        storey.floor.workmanship = Workmanship::Usual;
        storey.walls.iter_mut().for_each(|wall| wall.workmanship = Workmanship::Usual);
        storey.openings.iter_mut().for_each(|opening| opening.workmanship = Workmanship::Usual);
    }
    assert!(!file::to_text(&scene).unwrap().contains("workmanship"));
    scene.storeys[1].walls[6].workmanship = Workmanship::SmallFaults;
    scene.storeys[1].floor.workmanship = Workmanship::ShortCircuited;
    scene.storeys[1].openings[0].workmanship = Workmanship::ShortCircuited;
    let text = file::to_text(&scene).unwrap();
    assert!(text.contains("workmanship: small_faults") && text.contains("workmanship: short_circuited"), "{text}");
    assert_eq!(file::from_text(&text).unwrap(), scene);
    for state in Workmanship::ALL {
        scene.storeys[1].walls[6].workmanship = state;
        let text = file::to_text(&scene).unwrap();
        assert!(text.contains(state.word()) || state == Workmanship::Usual);
        assert_eq!(file::from_text(&text).unwrap(), scene);
    }
    let unknown = text.replace("small_faults", "sloppy");
    let problem = file::from_text(&unknown).unwrap_err().to_string();
    assert!(problem.contains("sloppy"), "{problem}");
}
