//! What one decides by: what is drawn and its variants, side by side. Their answers are computed beside the main thread, one after the other and each
//! after the answer to what is shown. Nothing else writes [`Answers`].

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use bevy::prelude::*;
use bevy::winit::EventLoopProxyWrapper;

use super::background::{Inbox, waker};
use super::document::{Document, Version};
use super::listed::Listed;
use super::panels::lessons::LessonState;
use super::solving::{CurrentAnswer, Outcome, solve_whatever_happens};
use super::stage::Stage;
use super::view::{Baseline, Compare, View};
use crate::project::Solved;
use crate::scene::Scene;

/// What stands at the foot of the window, where what is wide has its place; only one thing at a time does.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Foot {
    /// The bands while one listens, nothing while one draws.
    #[default]
    Usual,
    /// All variants in a table.
    Variants,
    /// What to build first.
    Advice,
}

/// What is open of all that helps to decide.
#[derive(Debug, Clone, Default, Resource)]
pub struct Deciding {
    pub foot: Foot,
    /// The box on the variant shown.
    pub about: bool,
    /// The box that lists what to buy and cut for the variant shown.
    pub list: Option<Listed>,
    /// True until the name of a new variant has the keyboard.
    pub name_it: bool,
}

/// A version somebody looks at or compares with.
#[derive(Debug, Clone)]
pub struct Wanted {
    pub version: Version,
    scene: Arc<Scene>,
    /// How many steps of it do not fit what is drawn.
    pub misfits: usize,
    /// What it does, or in how many ways it cannot be solved.
    pub answer: Option<Result<Arc<Solved>, usize>>,
    /// False while the answer belongs to the version as it was before the last step.
    pub fresh: bool,
}

/// Answers to the versions that are wanted.
#[derive(Debug, Default, Resource)]
pub struct Answers {
    wanted: Vec<Wanted>,
    inbox: Inbox<(Arc<Scene>, Option<Outcome>)>,
    /// What is being solved, and how to stop that.
    under_way: Option<(Arc<Scene>, Arc<AtomicBool>)>,
}

impl Answers {
    /// The versions that are wanted, what is drawn first.
    pub fn wanted(&self) -> &[Wanted] {
        &self.wanted
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Deciding>()
        .init_resource::<Answers>()
        .add_systems(Update, (want, advance, follow).chain().after(Stage::Solve).before(Stage::Look));
}

/// True when both are built alike, whatever is said of them.
pub(super) fn alike(a: &Scene, b: &Scene) -> bool {
    let Scene { name, about, views, variants, .. } = b.clone();
    Scene { name, about, views, variants, ..a.clone() } == *b
}

/// Makes the versions that are looked at, whenever what is drawn or what is looked at has changed.
fn want(
    document: Res<Document>,
    deciding: Res<Deciding>,
    baseline: Res<Baseline>,
    mut answers: ResMut<Answers>,
    mut seen: Local<Option<(Arc<Scene>, Vec<Version>)>>,
) {
    let Some(drawn) = document.committed() else {
        answers.wanted.clear();
        return;
    };
    let versions = match deciding.foot {
        Foot::Variants => Version::all(drawn),
        Foot::Usual | Foot::Advice => baseline.version.iter().cloned().collect(),
    };
    if seen.as_ref().is_some_and(|(scene, wanted)| Arc::ptr_eq(scene, drawn) && *wanted == versions) {
        return;
    }
    let known = std::mem::take(&mut answers.wanted);
    answers.wanted = versions
        .iter()
        .filter_map(|version| {
            let (scene, misfits) = document.made(version)?;
            let (misfits, fresh) =
                (misfits.len(), known.iter().find(|known| known.fresh && alike(&known.scene, &scene)));
            let last = fresh.or_else(|| known.iter().find(|known| known.version == *version));
            let answer = last.and_then(|known| known.answer.clone());
            Some(Wanted { version: version.clone(), scene, misfits, answer, fresh: fresh.is_some() })
        })
        .collect();
    if let Some((scene, stop)) = &answers.under_way
        && !answers.wanted.iter().any(|wanted| alike(&wanted.scene, scene))
    {
        stop.store(true, Ordering::Relaxed);
    }
    *seen = Some((drawn.clone(), versions));
}

/// Takes in what was solved, and begins with the next one that has no answer.
fn advance(
    document: Res<Document>,
    current: Res<CurrentAnswer>,
    teaching: Res<LessonState>,
    mut answers: ResMut<Answers>,
    wake: Option<Res<EventLoopProxyWrapper>>,
) {
    let answers = answers.bypass_change_detection();
    for (scene, outcome) in answers.inbox.arrived() {
        answers.under_way = None;
        let Some(outcome) = outcome else { continue };
        let answer = outcome.map(Arc::new).map_err(|problems| problems.len());
        for wanted in answers.wanted.iter_mut().filter(|wanted| !wanted.fresh && alike(&wanted.scene, &scene)) {
            (wanted.answer, wanted.fresh) = (Some(answer.clone()), true);
        }
    }
    // What is shown comes first; and nothing is told before a lesson's question is answered.
    if answers.under_way.is_some() || current.revision != document.revision || teaching.asks() {
        return;
    }
    for wanted in answers.wanted.iter_mut().filter(|wanted| !wanted.fresh) {
        match &current.solved {
            Some(solved) if alike(&solved.scene, &wanted.scene) => {
                (wanted.answer, wanted.fresh) = (Some(Ok(solved.clone())), true);
            }
            _ => {
                let (scene, stop) = (wanted.scene.clone(), Arc::new(AtomicBool::new(false)));
                answers.under_way = Some((scene.clone(), stop.clone()));
                answers.inbox.spawn(waker(wake.as_deref()), move || {
                    let cancelled = || stop.load(Ordering::Relaxed);
                    Some((scene.clone(), solve_whatever_happens(&cancelled, scene)))
                });
                return;
            }
        }
    }
}

/// Keeps what is compared with in step with its version; where that is gone, nothing is compared any more.
fn follow(answers: Res<Answers>, mut baseline: ResMut<Baseline>, mut view: ResMut<View>) {
    let Some(version) = baseline.version.clone() else { return };
    match answers.wanted.iter().find(|wanted| wanted.version == version) {
        Some(Wanted { answer: Some(Ok(solved)), fresh: true, .. }) => {
            if !baseline.solved.as_ref().is_some_and(|known| Arc::ptr_eq(known, solved)) {
                baseline.solved = Some(solved.clone());
            }
        }
        Some(Wanted { answer: Some(Err(_)), fresh: true, .. }) => {
            if baseline.solved.is_some() {
                baseline.solved = None;
            }
        }
        Some(_) => {}
        None => (*baseline, view.compare) = (Baseline::default(), Compare::Off),
    }
}
