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
use crate::scene::{self, Scene, Severity};
use crate::solve::Answer;

/// Something wrong with the scene, whichever stage found it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// True when it keeps the scene from being solved.
    pub severe: bool,
    /// Where: "storey “first”, wall w3".
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub to_do: String,
}

impl From<scene::Problem> for Trouble {
    fn from(problem: scene::Problem) -> Self {
        let place = match &problem.storey {
            Some(storey) => format!("storey \"{storey}\", {}", problem.thing),
            None => problem.thing.to_string(),
        };
        Self { severe: problem.severity == Severity::Error, place, what: problem.what, to_do: problem.to_do }
    }
}

impl From<building::Problem> for Trouble {
    fn from(problem: building::Problem) -> Self {
        Self { severe: true, place: problem.place, what: problem.what, to_do: problem.advice }
    }
}

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
    pub warnings: Vec<Trouble>,
}

/// The latest answer, or why there is none.
#[derive(Debug, Clone, Default, Resource)]
pub struct CurrentAnswer {
    /// Revision of the document it belongs to; 0 before the first.
    pub revision: u64,
    /// The answer. After a change that cannot be solved the last one is gone: it belongs to another building.
    pub solved: Option<Arc<Solved>>,
    /// What keeps the scene from being solved.
    pub problems: Vec<Trouble>,
}

type Outcome = Result<Solved, Vec<Trouble>>;

/// The solve under way. Only the latest scene is solved: starting another drops the one before.
#[derive(Resource)]
struct Solving {
    sender: Sender<(u64, Outcome)>,
    // A mutex only because a resource must be shareable and a receiver is not; one system reads it.
    receiver: Mutex<Receiver<(u64, Outcome)>>,
    started: u64,
    task: Option<Task<()>>,
}

pub(super) fn plugin(app: &mut App) {
    let (sender, receiver) = channel();
    app.insert_resource(Solving { sender, receiver: Mutex::new(receiver), started: 0, task: None })
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
    let Some(scene) = document.scene.clone() else {
        solving.task = None;
        let problems = document.unreadable.iter().cloned().map(Trouble::from).collect();
        *current = CurrentAnswer { revision: document.revision, solved: None, problems };
        return;
    };
    let (revision, sender) = (document.revision, solving.sender.clone());
    let wake = wake.map(|wake| (**wake).clone());
    solving.task = Some(AsyncComputeTaskPool::get().spawn(async move {
        let outcome = solve_whatever_happens(scene);
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
pub fn solve(scene: Arc<Scene>, catalogue: &Catalogue) -> Result<Solved, Vec<Trouble>> {
    let found = scene::validate::validate(&scene, catalogue);
    if scene::problem::any_error(&found) {
        return Err(into_troubles(found));
    }
    let building = building::build(&scene, catalogue).map_err(into_troubles)?;
    let answer = crate::solve::solve(&scene, catalogue, &building);
    Ok(Solved { scene, building, answer, warnings: into_troubles(found) })
}

fn into_troubles<P: Into<Trouble>>(problems: Vec<P>) -> Vec<Trouble> {
    problems.into_iter().map(Into::into).collect()
}

/// A fault of the program must not leave the window waiting for ever.
fn solve_whatever_happens(scene: Arc<Scene>) -> Outcome {
    let solving = AssertUnwindSafe(|| solve(scene, Catalogue::built_in_ref()));
    catch_unwind(solving).unwrap_or_else(|_| {
        Err(vec![Trouble {
            severe: true,
            place: "the program".to_owned(),
            what: "it failed while it solved this scene; the terminal says where".to_owned(),
            to_do: "please report this fault together with the scene file".to_owned(),
        }])
    })
}
