//! What takes longer than a second shows how far it is and how long it will take, on standard error, where that is a terminal.

use std::io::{self, IsTerminal as _};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// So long nothing is shown.
const PATIENCE: Duration = Duration::from_secs(1);
const TICK: Duration = Duration::from_millis(120);

/// Work under way; what is shown of it goes when this does.
pub(super) struct Progress {
    bar: ProgressBar,
    /// Gone with this, which ends the wait for the first second.
    _waiting: Option<Sender<()>>,
}

impl Progress {
    /// Of work in so many steps. How long it will take is told from how long the steps took.
    pub(super) fn of(what: &'static str, steps: usize) -> Self {
        let bar = ProgressBar::with_draw_target(Some(steps as u64), ProgressDrawTarget::hidden());
        Self::shown(bar, what, "{msg} {wide_bar} {percent:>3} %, {eta} left")
    }

    /// Of work no one knows the length of.
    pub(super) fn unmeasured(what: &'static str) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        Self::shown(bar, what, "{msg} {spinner} {elapsed}")
    }

    fn shown(bar: ProgressBar, what: &'static str, template: &str) -> Self {
        bar.set_message(what);
        if let Ok(style) = ProgressStyle::with_template(template) {
            bar.set_style(style);
        }
        let waiting = io::stderr().is_terminal().then(|| {
            let (sender, receiver) = mpsc::channel::<()>();
            let late = bar.clone();
            std::thread::spawn(move || {
                if receiver.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                    late.set_draw_target(ProgressDrawTarget::stderr());
                    late.enable_steady_tick(TICK);
                }
            });
            sender
        });
        Self { bar, _waiting: waiting }
    }

    /// So many steps are done, of so many as are known of by now.
    pub(super) fn is_at(&self, done: usize, all: usize) {
        self.bar.set_length(all as u64);
        self.bar.set_position(done as u64);
    }

    /// One step is done. Where there were more than expected, the last goes on.
    pub(super) fn step(&self) {
        if self.bar.length().is_none_or(|all| self.bar.position() + 1 < all) {
            self.bar.inc(1);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
