//! Solves that no one waits for any more.

use rayon::prelude::*;

/// Says that no one waits for the answer any more. Asked often, and by several threads at once.
pub type Cancelled<'a> = dyn Fn() -> bool + Sync + 'a;

/// What `make` says of each number below `count`, computed side by side, in their order; nothing as soon as cancelled.
pub(super) fn each<T: Send>(
    count: usize,
    cancelled: &Cancelled<'_>,
    make: impl Fn(usize) -> T + Sync,
) -> Option<Vec<T>> {
    (0..count).into_par_iter().map(|at| if cancelled() { None } else { Some(make(at)) }).collect()
}
