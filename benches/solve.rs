//! How long an answer takes. Each bench is a question, named so.
//!
//! `cargo bench --no-default-features --bench solve`

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};

use leaklight::acoustics::bridges::Connection;
use leaklight::acoustics::layers::{Cavity, Fill, Leaf, Sheet, Stack};
use leaklight::acoustics::{Air, Bands};
use leaklight::building::build;
use leaklight::catalogue::Catalogue;
use leaklight::scene::{Scene, file};
use leaklight::solve::solve;

fn worked_example() -> Scene {
    file::from_text(include_str!("../scenes/bookshop-terrace.ron")).expect("the worked example is sound")
}

/// Finding rooms, elements and junctions; the sound of them; both together, as after every change of a scene.
fn how_long_does_the_worked_example_take(bench: &mut Criterion) {
    let (scene, catalogue) = (worked_example(), Catalogue::built_in_ref());
    let building = build(&scene, catalogue).expect("the worked example can be built");
    let mut group = bench.benchmark_group("how_long_does_the_worked_example_take");
    group.bench_function("to_build", |bench| bench.iter(|| build(black_box(&scene), catalogue)));
    group.bench_function("to_solve", |bench| bench.iter(|| solve(black_box(&scene), catalogue, &building)));
    group.bench_function("in_all", |bench| {
        bench.iter(|| build(black_box(&scene), catalogue).map(|building| solve(&scene, catalogue, &building)))
    });
    group.finish();
}

/// A board on each side of light steel studs, filled: all 24 bands. The empty one is another branch of the cavity.
fn how_long_does_one_double_leaf_take(bench: &mut Criterion) {
    let leaf = || Leaf::single(Sheet::plate(0.0125, 680.0, 1810.0, 0.3, 0.0125).expect("a board"));
    let wall = |fill: Option<Fill>| {
        let cavity = Cavity::new(0.07, fill, Connection::LightSteelStuds { spacing_m: 0.6 }).expect("a cavity");
        Stack::new(vec![leaf(), leaf()], vec![cavity]).expect("a wall")
    };
    let filled = wall(Some(Fill::new(0.07, 7000.0, 14.0).expect("a fill")));
    let empty = wall(None);
    let (air, bands) = (Air::default(), Bands::exact());
    let mut group = bench.benchmark_group("how_long_does_one_double_leaf_take");
    for (name, wall) in [("filled", filled), ("empty", empty)] {
        group.bench_function(name, |bench| bench.iter(|| black_box(&wall).transmission((4.0, 2.5), &air, &bands)));
    }
    group.finish();
}

criterion_group!(benches, how_long_does_the_worked_example_take, how_long_does_one_double_leaf_take);
criterion_main!(benches);
