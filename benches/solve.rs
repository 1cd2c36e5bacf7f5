//! How long an answer takes. Each bench is a question, named so.
//!
//! `cargo bench --no-default-features --bench solve`

use std::hint::black_box;
use std::sync::Arc;

use criterion::{Criterion, criterion_group, criterion_main};

use leaklight::acoustics::bridges::Bridge;
use leaklight::acoustics::layers::{Cavity, Fill, Leaf, Sheet, Stack};
use leaklight::acoustics::{Air, Bands, Spectrum};
use leaklight::advise::search::{Question, cheapest};
use leaklight::advise::table::{Demand, PlaceTable, Table, WAYS};
use leaklight::advise::{Ask, Watch, advise};
use leaklight::building::build;
use leaklight::catalogue::Catalogue;
use leaklight::edit;
use leaklight::project::Project;
use leaklight::scene::{Ground, Scene, file};
use leaklight::solve::{Conditions, sampling, solve, solve_under};

fn worked_example() -> Scene {
    file::from_text(include_str!("../scenes/bookshop-terrace.ron")).expect("the worked example is sound")
}

fn village_hall() -> Scene {
    file::from_text(include_str!("../scenes/village-hall.ron")).expect("the village hall is sound")
}

/// The one of the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// A change of a scene, with its name.
type Edit = (&'static str, fn(&mut Scene));

/// What someone changes, each a single edit.
const EDITS: [Edit; 9] = [
    ("one_walls_construction", |scene| {
        let wall = scene.storeys.iter_mut().flat_map(|storey| &mut storey.walls).nth(13).expect("a wall");
        wall.construction = "stud-steel-twin-party".into();
    }),
    ("a_storeys_floor", |scene| {
        let storey = scene.storeys.last_mut().expect("a storey");
        (storey.floor.construction, storey.roof) = ("joist-floor-plasterboard".into(), "flat-roof-concrete".into());
    }),
    ("the_place_of_a_node", |scene| {
        let storey = scene.storeys.last_mut().expect("a storey");
        let node = &mut storey.nodes[3];
        node.at[0] += 0.037;
    }),
    ("the_height_of_a_storey", |scene| scene.storeys[1].height_m += 0.013),
    ("the_size_of_an_opening", |scene| {
        let opening = scene.storeys.iter_mut().flat_map(|storey| &mut storey.openings).next().expect("an opening");
        opening.width_m -= 0.013;
    }),
    ("the_place_of_a_listener", |scene| {
        for listener in &mut scene.listeners {
            listener.at[0] += 0.021;
        }
    }),
    ("the_level_of_a_source", |scene| scene.sources[0].offset_db += 0.7),
    ("the_ground_outdoors", |scene| {
        scene.outdoors.ground = if scene.outdoors.ground == Ground::Soft { Ground::Hard } else { Ground::Soft };
    }),
    ("the_air", |scene| scene.air.temperature_c += 0.3),
];

/// What draws or takes away more, in the worked example.
const LARGER_EDITS: [Edit; 5] = [
    ("a_wall_drawn_across_a_room", |scene| {
        let (storey, construction) = (scene.storeys[1].id.clone(), "stud-timber-100-board".into());
        act(scene, &edit::Edit::Draw { storey, points: vec![[7.2, 0.0], [7.2, 5.31]], construction });
    }),
    ("a_house_drawn_beside_it", |scene| {
        let (storey, construction) = (scene.storeys[0].id.clone(), "brick-215-plastered".into());
        let (corners, name) = ([[20.0, 0.0], [23.0, 3.0]], "shed".into());
        act(scene, &edit::Edit::Rectangle { storey, corners, construction, name });
    }),
    ("the_top_storey_taken_away", |scene| {
        let storey = scene.storeys.last().expect("a storey").id.clone();
        act(scene, &edit::Edit::RemoveStorey(storey));
    }),
    ("all_nodes_of_a_storey", |scene| scene.storeys[1].nodes.iter_mut().for_each(|node| node.at[1] += 0.01)),
    ("every_brick_wall", |scene| {
        let walls = scene.storeys.iter_mut().flat_map(|storey| &mut storey.walls);
        walls
            .filter(|wall| wall.construction.starts_with("brick"))
            .for_each(|wall| wall.construction = "block-100-plastered".into());
    }),
];

fn act(scene: &mut Scene, edit: &edit::Edit) {
    *scene = edit::apply(scene, Catalogue::built_in_ref(), edit).expect("the edit can be made");
}

/// Building and solving a scene as it is, and after single edits: the whole chain from the edited scene to its answer.
fn how_long_does_an_answer_take(bench: &mut Criterion) {
    let catalogue = Catalogue::built_in_ref();
    let scenes = [("worked_example", worked_example(), &LARGER_EDITS[..]), ("village_hall", village_hall(), &[])];
    for (name, scene, larger) in scenes {
        let mut group = bench.benchmark_group(format!("how_long_does_the_{name}_take"));
        let building = build(&scene, catalogue).expect("the scene can be built");
        group.bench_function("to_build", |bench| bench.iter(|| build(black_box(&scene), catalogue)));
        group.bench_function("to_solve", |bench| bench.iter(|| solve(black_box(&scene), catalogue, &building)));
        // Each time in an air that no layered build was computed in yet.
        let mut conditions = Conditions::of(&scene);
        group.bench_function("to_solve_with_no_curve_known", |bench| {
            bench.iter(|| {
                let air = conditions.element_air;
                conditions.element_air = Air::at(air.temperature_c() + 1e-6, air.humidity_percent()).expect("an air");
                solve_under(black_box(&scene), catalogue, &building, &conditions)
            });
        });
        for (edit, change) in EDITS.iter().chain(larger) {
            let mut changed = scene.clone();
            change(&mut changed);
            group.bench_function(format!("after_changing_{edit}"), |bench| {
                bench.iter(|| {
                    let changed = black_box(&changed);
                    let building = build(changed, catalogue).expect("the edited scene can be built");
                    solve(changed, catalogue, &building)
                });
            });
        }
        group.finish();
    }
}

/// One step of dragging a corner where party wall and partition meet: every step has walls of new sizes.
fn how_long_does_a_step_of_a_drag_take(bench: &mut Criterion) {
    let catalogue = Catalogue::built_in_ref();
    let mut scene = worked_example();
    let mut step = 0;
    bench.bench_function("how_long_does_a_step_of_a_drag_take", |bench| {
        bench.iter(|| {
            // Forth and back within a quarter of a metre, never to the same place.
            step += 1;
            let by_m = if step % 40 < 20 { 0.011 } else { -0.010_93 };
            let corner = scene.storeys[1].nodes.iter_mut().find(|node| node.id.0 == "b2").expect("the corner");
            corner.at[step % 2] += by_m;
            let building = build(&scene, catalogue).expect("the scene can be built");
            solve(&scene, catalogue, &building)
        });
    });
}

/// What is not known of the worked example, drawn 10,000 times for its ten listeners.
fn how_long_do_ten_thousand_samples_take(bench: &mut Criterion) {
    let (catalogue, scene) = (Catalogue::built_in_ref(), worked_example());
    let building = build(&scene, catalogue).expect("the scene can be built");
    let answer = solve(&scene, catalogue, &building);
    bench.bench_function("how_long_do_ten_thousand_samples_take", |bench| {
        bench.iter(|| sampling::sample(black_box(&answer), 10_000, 1));
    });
}

/// Twelve places with six choices each: what is cheapest, with the proof. Energies and costs are of all sizes, the wanted level about half way.
fn how_long_does_a_proof_take(bench: &mut Criterion) {
    let mut seed = 1_u64;
    let mut next = |from: f64, to: f64| {
        // A linear congruential generator: the same table on every machine.
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        from + (to - from) * ((seed >> 33) as f64 / f64::from(u32::MAX >> 1))
    };
    let (ears, streams, choices) = (3, 3 * WAYS, 6);
    let mut places = vec![];
    for _ in 0..12 {
        let strength = 10f64.powf(next(0.0, 3.0));
        let bare: Vec<Spectrum> = (0..streams).map(|_| Spectrum::splat(strength * next(0.2, 1.0))).collect();
        let keep: Vec<f64> = (0..choices).map(|choice| if choice == 0 { 1.0 } else { next(0.003, 0.6) }).collect();
        let part = keep.iter().map(|keep| bare.iter().map(|bare| bare.map(|energy| energy * keep)).collect()).collect();
        places.push(PlaceTable {
            given: None,
            part: vec![part],
            absorbs: (0..choices).map(|_| vec![Spectrum::splat(next(0.0, 0.03))]).collect(),
            cost: keep.iter().map(|keep| (-300.0 * keep.log10() * next(0.5, 1.5)).round()).collect(),
            uses: vec![vec![]; choices],
            allowed: vec![vec![true; choices]],
        });
    }
    let fixed = vec![Spectrum::splat(0.5); streams];
    let whole: f64 = places.iter().map(|place| place.part[0][0][0].sum()).sum();
    let demand = |ear| Demand { ear, weights: Spectrum::splat(1.0), limit: whole / 30.0, certain_db: 0.0 };
    let table = Table { ears, rooms: 1, fixed, places, demands: (0..ears).map(demand).collect(), most: vec![] };
    let stop = |_: u64| false;
    let question = || Question { want_db: 0.0, holds: &|_: &[usize]| true, most_cost: f64::INFINITY, stop: &stop };
    bench.bench_function("how_long_does_a_proof_take", |bench| bench.iter(|| cheapest(black_box(&table), &question())));
}

/// What to build first in the worked example: every measure where it fits, the search, and the plan solved in full.
fn how_long_does_advice_take(bench: &mut Criterion) {
    let solved = Arc::new(Project::of(worked_example()).solve().expect("the scene can be solved"));
    let mut group = bench.benchmark_group("how_long_does_advice_take");
    group.sample_size(10);
    group.bench_function("worked_example", |bench| {
        bench.iter(|| advise(black_box(&solved), &Ask::default(), &Watch::patient()));
    });
    group.finish();
}

/// A board on each side of light steel studs, filled: all 24 bands. The empty one is another branch of the cavity.
fn how_long_does_one_double_leaf_take(bench: &mut Criterion) {
    let leaf = || Leaf::single(Sheet::plate(0.0125, 680.0, 1810.0, 0.3, 0.0125).expect("a board"));
    let wall = |fill: Option<Fill>| {
        let cavity = Cavity::new(0.07, fill, Bridge::LightSteelStuds { spacing_mm: 600.0 }).expect("a cavity");
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

criterion_group!(
    benches,
    how_long_does_an_answer_take,
    how_long_does_a_step_of_a_drag_take,
    how_long_do_ten_thousand_samples_take,
    how_long_does_a_proof_take,
    how_long_does_advice_take,
    how_long_does_one_double_leaf_take
);
criterion_main!(benches);
