//! How long a frame of the window takes, without its renderer. Each bench is a question, named so.
//!
//! `cargo bench --bench frame`

use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};

use leaklight::app::document::Document;
use leaklight::app::headless;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::viewer::particles::Particles;

/// The one of the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The window on the worked example, its answer there and its motes on their way.
fn window() -> bevy::app::App {
    let mut app = headless::app(Document::open(None), 1440, 900);
    for _ in 0..2000 {
        app.update();
        if app.world().resource::<CurrentAnswer>().solved.is_some() && app.world().resource::<Particles>().moves() {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(app.world().resource::<Particles>().moves(), "the motes of the worked example are on their way");
    app
}

/// Everything the program does on the processor for one picture: our systems, egui's layout of all panels, Bevy's schedule. What the
/// graphics card and its driver do comes on top.
fn how_long_does_a_frame_take(bench: &mut Criterion) {
    let mut app = window();
    bench.bench_function("how_long_does_a_frame_with_motes_take", |bench| bench.iter(|| app.update()));
}

/// Memory of this process that is in use, bytes; nothing where the system does not tell.
fn in_use() -> Option<u64> {
    let text = std::fs::read_to_string("/proc/self/statm").ok()?;
    let pages: u64 = text.split_whitespace().nth(1)?.parse().ok()?;
    Some(4096 * pages)
}

/// Ten thousand frames with motes on their way leave nothing behind: what is in use after them is what was in use before, within what an
/// allocator keeps for itself.
fn do_frames_leave_anything_behind(_: &mut Criterion) {
    const SLACK: u64 = 4 << 20;
    let mut app = window();
    let mut frames = |count: usize| (0..count).for_each(|_| app.update());
    frames(1000);
    let before = in_use();
    frames(10_000);
    if let Some((before, after)) = before.zip(in_use()) {
        let grown = after.saturating_sub(before);
        println!("ten thousand frames: {} kB in use before, {} kB more after", before >> 10, grown >> 10);
        assert!(grown <= SLACK, "memory grows by {grown} bytes in ten thousand frames");
    }
}

criterion_group!(benches, how_long_does_a_frame_take, do_frames_leave_anything_behind);
criterion_main!(benches);
