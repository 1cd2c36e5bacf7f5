//! What is computed side by side is the same for any number of threads, and stops when no one waits for it any more.

use std::sync::atomic::{AtomicUsize, Ordering};

use leaklight::building::build;
use leaklight::catalogue::Catalogue;
use leaklight::output::json;
use leaklight::project::Solved;
use leaklight::scene::file;
use leaklight::solve::{solve, solve_unless};

const SCENES: [&str; 4] = [
    include_str!("../../scenes/room-within-a-room.ron"),
    include_str!("../../scenes/shared-void.ron"),
    include_str!("../../scenes/village-hall.ron"),
    include_str!("../../scenes/bookshop-terrace.ron"),
];

/// Every byte of the answers as JSON, and every number of them to its last digit.
#[test]
fn the_same_comes_out_for_any_number_of_threads() {
    let catalogue = Catalogue::built_in_ref();
    for text in SCENES {
        let scene = file::from_text(text).unwrap();
        let building = build(&scene, catalogue).unwrap();
        let [one, four] = [1, 4].map(|threads| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            let answer = pool.install(|| solve(&scene, catalogue, &building));
            let solved = Solved { scene: scene.clone().into(), building: building.clone(), answer, warnings: vec![] };
            let all: Vec<usize> = (0..solved.answer.listeners.len()).collect();
            (json::answer(&solved, &all, usize::MAX), format!("{:?}", solved.answer))
        });
        assert!(one == four, "{}", scene.name);
    }
}

/// Each solve is overtaken a little later than the one before, until one is not: it gives the whole answer.
#[test]
fn an_overtaken_solve_stops() {
    let catalogue = Catalogue::built_in_ref();
    let scene = file::from_text(SCENES[2]).unwrap();
    let building = build(&scene, catalogue).unwrap();
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    for until in (0..).map(|number| 9 * number) {
        let asked = AtomicUsize::new(0);
        let overtaken = || asked.fetch_add(1, Ordering::Relaxed) >= until;
        let answer = pool.install(|| solve_unless(&overtaken, &scene, catalogue, &building));
        if let Some(answer) = answer {
            // It asks often.
            assert!(until > 45, "{until}");
            assert_eq!(format!("{answer:?}"), format!("{:?}", solve(&scene, catalogue, &building)));
            return;
        }
        // It obeys at once.
        assert_eq!(asked.into_inner(), until + 1);
    }
}
