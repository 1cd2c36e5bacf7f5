//! Keeps [`CurrentAnswer`] in step with the [`Document`], off the main thread. Nothing else writes it.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task};
use bevy::winit::{EventLoopProxyWrapper, WinitUserEvent};

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
    /// What keeps the scene from being solved.
    pub problems: Vec<Problem>,
}

type Outcome = Result<Solved, Vec<Problem>>;

/// The solve under way. Only the latest scene is solved: one that is cancelled stops soon.
#[derive(Resource)]
struct Solving {
    sender: Sender<(u64, Outcome)>,
    // A mutex only because a resource must be shareable and a receiver is not; one system reads it.
    receiver: Mutex<Receiver<(u64, Outcome)>>,
    started: u64,
    /// The same, for solves under way to see that they were cancelled.
    latest: Arc<AtomicU64>,
    task: Option<Task<()>>,
}

pub(super) fn plugin(app: &mut App) {
    let (sender, receiver) = channel();
    app.insert_resource(Solving {
        sender,
        receiver: Mutex::new(receiver),
        started: 0,
        latest: Arc::default(),
        task: None,
    })
    .init_resource::<CurrentAnswer>()
    .add_systems(Update, (start.run_if(resource_changed::<Document>), take).chain().in_set(Stage::Solve));
}

fn start(
    document: Res<Document>,
    mut solving: ResMut<Solving>,
    mut current: ResMut<CurrentAnswer>,
    wake: Option<Res<EventLoopProxyWrapper>>,
) {
    if document.revision == solving.started {
        return;
    }
    solving.started = document.revision;
    solving.latest.store(document.revision, Ordering::Relaxed);
    // What was answered about another scene is of no use for this one.
    if current.revision < document.opened && current.solved.is_some() {
        *current = CurrentAnswer::default();
    }
    let Some(scene) = document.scene.clone() else {
        solving.task = None;
        let problems = document.unreadable.iter().cloned().collect();
        *current = CurrentAnswer { revision: document.revision, solved: None, problems };
        return;
    };
    let (revision, sender) = (document.revision, solving.sender.clone());
    let wake = wake.map(|wake| (**wake).clone());
    let latest = solving.latest.clone();
    solving.task = Some(AsyncComputeTaskPool::get().spawn(async move {
        let cancelled = || latest.load(Ordering::Relaxed) != revision;
        let Some(outcome) = solve_whatever_happens(&cancelled, scene) else { return };
        // Whoever closed the window meanwhile needs no answer.
        if sender.send((revision, outcome)).is_ok()
            && let Some(wake) = wake
        {
            let _closed = wake.send_event(WinitUserEvent::WakeUp);
        }
    }));
}

fn take(mut solving: ResMut<Solving>, mut current: ResMut<CurrentAnswer>) {
    let arrived: Vec<_> = solving
        .bypass_change_detection()
        .receiver
        .get_mut()
        .unwrap_or_else(PoisonError::into_inner)
        .try_iter()
        .collect();
    for (revision, outcome) in arrived {
        if revision != solving.started {
            continue;
        }
        solving.task = None;
        *current = match outcome {
            Ok(solved) => CurrentAnswer { revision, solved: Some(Arc::new(solved)), problems: vec![] },
            Err(problems) => CurrentAnswer { revision, solved: None, problems },
        };
    }
}

/// The whole way, unless it is cancelled. A fault of the program must not leave the window waiting for ever.
fn solve_whatever_happens(cancelled: &Cancelled<'_>, scene: Arc<Scene>) -> Option<Outcome> {
    let solving = AssertUnwindSafe(|| match Project::of(scene).build() {
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
