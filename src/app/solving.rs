//! Keeps [`CurrentAnswer`] in step with the [`Document`], off the main thread. Nothing else writes it.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use bevy::prelude::*;
use bevy::winit::EventLoopProxyWrapper;

use super::background::{Inbox, waker};
use super::document::Document;
use super::stage::Stage;
use crate::project::{Project, Solved};
use crate::scene::{Problem, Scene, Thing};
use crate::solve::cancelled::Cancelled;

/// The latest answer, or why there is none.
#[derive(Debug, Clone, Default, Resource)]
pub struct CurrentAnswer {
    /// Revision of the document it belongs to; 0 before the first.
    pub revision: u64,
    /// The answer. After a change that cannot be solved the last one is gone: it belongs to another building.
    pub solved: Option<Arc<Solved>>,
    pub problems: Vec<Problem>,
}

pub(super) type Outcome = Result<Solved, Vec<Problem>>;

/// The solves under way. Only the latest scene is solved: one that is cancelled stops soon.
#[derive(Resource, Default)]
struct Solving {
    inbox: Inbox<(u64, Outcome)>,
    /// Revision of the document solved last, for solves under way to see that they were cancelled.
    latest: Arc<AtomicU64>,
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Solving>()
        .init_resource::<CurrentAnswer>()
        .add_systems(Update, (start.run_if(resource_changed::<Document>), take).chain().in_set(Stage::Solve));
}

fn start(
    document: Res<Document>,
    solving: Res<Solving>,
    mut current: ResMut<CurrentAnswer>,
    wake: Option<Res<EventLoopProxyWrapper>>,
) {
    let revision = document.revision;
    if solving.latest.swap(revision, Ordering::Relaxed) == revision {
        return;
    }
    // What was answered about another scene is of no use for this one.
    if current.revision < document.opened && current.solved.is_some() {
        *current = CurrentAnswer::default();
    }
    let Some(scene) = document.scene.clone() else {
        *current = CurrentAnswer { revision, solved: None, problems: document.unreadable.iter().cloned().collect() };
        return;
    };
    let (latest, misfits) = (solving.latest.clone(), document.misfit_problems());
    solving.inbox.spawn(waker(wake.as_deref()), move || {
        let cancelled = || latest.load(Ordering::Relaxed) != revision;
        let mut outcome = solve_whatever_happens(&cancelled, scene)?;
        match &mut outcome {
            Ok(solved) => solved.warnings.extend(misfits),
            Err(problems) => problems.extend(misfits),
        }
        Some((revision, outcome))
    });
}

fn take(mut solving: ResMut<Solving>, mut current: ResMut<CurrentAnswer>) {
    let latest = solving.latest.load(Ordering::Relaxed);
    for (revision, outcome) in solving.inbox.arrived().into_iter().filter(|(revision, _)| *revision == latest) {
        *current = match outcome {
            Ok(solved) => CurrentAnswer { revision, solved: Some(Arc::new(solved)), problems: vec![] },
            Err(problems) => CurrentAnswer { revision, solved: None, problems },
        };
    }
}

/// The whole way, unless it is cancelled. A fault of the program must not leave the window waiting for ever.
pub(super) fn solve_whatever_happens(cancelled: &Cancelled<'_>, scene: Arc<Scene>) -> Option<Outcome> {
    let solving = AssertUnwindSafe(|| match Project::of(scene).build() {
        _ if cancelled() => None,
        Ok(built) => built.solve_unless(cancelled).map(Ok),
        Err(problems) => Some(Err(problems)),
    });
    catch_unwind(solving).unwrap_or_else(|_| {
        Some(Err(vec![Problem::error(
            None,
            Thing::Scene,
            "the program failed while it solved it; the terminal says where",
            "report this fault together with the scene file",
        )]))
    })
}
