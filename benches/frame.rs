//! How long a frame of the window takes, without its renderer. Each bench is a question, named so.
//!
//! `cargo bench --bench frame`

use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};

use leaklight::app::document::Document;
use leaklight::app::headless;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::stream::Stream;

/// The window on the worked example, its answer there and its motes on their way.
fn window() -> bevy::app::App {
    let mut app = headless::app(Document::open(None), 1440, 900);
    for _ in 0..2000 {
        app.update();
        if app.world().resource::<CurrentAnswer>().solved.is_some() && app.world().resource::<Stream>().moves() {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(app.world().resource::<Stream>().moves(), "the motes of the worked example are on their way");
    app
}

/// Everything the program does on the processor for one picture: our systems, egui's layout of all panels, Bevy's schedule. What the
/// graphics card and its driver do comes on top.
fn how_long_does_a_frame_take(bench: &mut Criterion) {
    let mut app = window();
    bench.bench_function("how_long_does_a_frame_with_motes_take", |bench| bench.iter(|| app.update()));
}

criterion_group!(benches, how_long_does_a_frame_take);
criterion_main!(benches);
