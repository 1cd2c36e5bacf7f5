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
use crate::building::{self, Building};
use crate::catalogue::Catalogue;
use crate::scene::{self, Problem, Scene, Thing};
use crate::solve::{self, Answer, solve_unless};

/// A scene with everything computed of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// The scene.
    pub scene: Arc<Scene>,
    /// Its spaces, elements and junctions.
    pub building: Building,
    /// What everyone hears.
    pub answer: Answer,
    /// What was found odd about the scene, but did not keep it from being solved.
    pub warnings: Vec<Problem>,
}

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

/// What is kept from one scene to the next.
#[derive(Debug, Default)]
struct Memories {
    building: building::Memory,
    solve: solve::Memory,
}

/// The solve under way. Only the latest scene is solved: one that is overtaken stops soon, and what it found out stays in the memory.
#[derive(Resource)]
struct Solving {
    sender: Sender<(u64, Outcome)>,
    // A mutex only because a resource must be shareable and a receiver is not; one system reads it.
    receiver: Mutex<Receiver<(u64, Outcome)>>,
    started: u64,
    /// The same, for solves under way to see that they were overtaken.
    latest: Arc<AtomicU64>,
    task: Option<Task<()>>,
    /// What earlier solves left. Lent to the one that runs.
    memory: Arc<Mutex<Memories>>,
}

pub(super) fn plugin(app: &mut App) {
    let (sender, receiver) = channel();
    app.insert_resource(Solving {
        sender,
        receiver: Mutex::new(receiver),
        started: 0,
        latest: Arc::default(),
        task: None,
        memory: Arc::default(),
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
    let (memory, latest) = (solving.memory.clone(), solving.latest.clone());
    solving.task = Some(AsyncComputeTaskPool::get().spawn(async move {
        let overtaken = || latest.load(Ordering::Relaxed) != revision;
        // One that was overtaken gives it back soon.
        let mut known = memory.lock().unwrap_or_else(PoisonError::into_inner);
        let outcome = solve_whatever_happens(&overtaken, &mut known, scene);
        drop(known);
        let Some(outcome) = outcome else { return };
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

/// The whole chain: validate, find the building, solve.
///
/// # Errors
///
/// All problems that keep the scene from being solved.
pub fn solve(scene: Arc<Scene>, catalogue: &Catalogue) -> Result<Solved, Vec<Problem>> {
    let (building, warnings) = built(&mut building::Memory::default(), &scene, catalogue)?;
    let answer = solve::solve(&scene, catalogue, &building);
    Ok(Solved { scene, building, answer, warnings })
}

/// The building of a scene, and what was found odd about it.
fn built(
    memory: &mut building::Memory,
    scene: &Scene,
    catalogue: &Catalogue,
) -> Result<(Building, Vec<Problem>), Vec<Problem>> {
    let found = scene::validate::validate(scene, catalogue);
    if scene::problem::any_error(&found) {
        return Err(found);
    }
    Ok((building::build_with(memory, scene, catalogue)?, found))
}

/// As [`solve`], unless it is overtaken.
fn solve_remembering(overtaken: &dyn Fn() -> bool, memory: &mut Memories, scene: Arc<Scene>) -> Option<Outcome> {
    let catalogue = Catalogue::built_in_ref();
    let (building, warnings) = match built(&mut memory.building, &scene, catalogue) {
        Ok(built) => built,
        Err(problems) => return Some(Err(problems)),
    };
    let answer = solve_unless(overtaken, &mut memory.solve, &scene, catalogue, &building)?;
    Some(Ok(Solved { scene, building, answer, warnings }))
}

/// A fault of the program must not leave the window waiting for ever.
fn solve_whatever_happens(overtaken: &dyn Fn() -> bool, memory: &mut Memories, scene: Arc<Scene>) -> Option<Outcome> {
    let solving = AssertUnwindSafe(|| solve_remembering(overtaken, &mut *memory, scene));
    catch_unwind(solving).unwrap_or_else(|_| {
        // Nobody knows what it was about to note down.
        *memory = Memories::default();
        Some(Err(vec![Problem::error(
            None,
            Thing::Scene,
            "the program failed while it solved it; the terminal says where",
            "report this fault together with the scene file",
        )]))
    })
}
