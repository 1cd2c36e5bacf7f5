//! Keeps [`CurrentAnswer`] in step with the [`Document`], off the main thread. Nothing else writes it.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task};
use bevy::winit::{EventLoopProxyWrapper, WinitUserEvent};

use super::Stage;
use super::document::Document;
use crate::building::{self, Building};
use crate::catalogue::Catalogue;
use crate::scene::{self, Problem, Scene, Thing};
use crate::solve::{Answer, Memory, solve_with};

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

/// The solve under way. Only the latest scene is solved: starting another drops the one before.
#[derive(Resource)]
struct Solving {
    sender: Sender<(u64, Outcome)>,
    // A mutex only because a resource must be shareable and a receiver is not; one system reads it.
    receiver: Mutex<Receiver<(u64, Outcome)>>,
    started: u64,
    task: Option<Task<()>>,
    /// What the last finished solve left. Each solve works on a copy, so that one that was overtaken holds up no other.
    memory: Arc<Mutex<Memory>>,
}

pub(super) fn plugin(app: &mut App) {
    let (sender, receiver) = channel();
    app.insert_resource(Solving {
        sender,
        receiver: Mutex::new(receiver),
        started: 0,
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
    let memory = solving.memory.clone();
    solving.task = Some(AsyncComputeTaskPool::get().spawn(async move {
        let mut known = memory.lock().unwrap_or_else(PoisonError::into_inner).clone();
        let outcome = solve_whatever_happens(&mut known, scene);
        *memory.lock().unwrap_or_else(PoisonError::into_inner) = known;
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
    solve_remembering(&mut Memory::default(), scene, catalogue)
}

fn solve_remembering(memory: &mut Memory, scene: Arc<Scene>, catalogue: &Catalogue) -> Result<Solved, Vec<Problem>> {
    let found = scene::validate::validate(&scene, catalogue);
    if scene::problem::any_error(&found) {
        return Err(found);
    }
    let building = building::build(&scene, catalogue)?;
    let answer = solve_with(memory, &scene, catalogue, &building);
    Ok(Solved { scene, building, answer, warnings: found })
}

/// A fault of the program must not leave the window waiting for ever.
fn solve_whatever_happens(memory: &mut Memory, scene: Arc<Scene>) -> Outcome {
    let solving = AssertUnwindSafe(|| solve_remembering(memory, scene, Catalogue::built_in_ref()));
    catch_unwind(solving).unwrap_or_else(|_| {
        Err(vec![Problem::error(
            None,
            Thing::Scene,
            "the program failed while it solved it; the terminal says where",
            "report this fault together with the scene file",
        )])
    })
}
