//! What to build first: what is asked, the search for it beside the main thread, what came of it, and how a plan becomes a variant. Nothing else writes
//! [`Advising`] but its panel, into the fields.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use bevy::prelude::*;

use super::background::{Inbox, waker};
use super::command::Command;
use super::deciding::alike;
use super::document::{Document, Version};
use super::perform;
use super::stage::Stage;
use crate::advise::{self, Advice, Ask, Plan, Watch};
use crate::edit::{Edit, Item};
use crate::output::advice;
use crate::project::Solved;
use crate::scene::{ListenerId, Scene, Variant};

/// A search gives the best it has after so long.
const PATIENCE: Duration = Duration::from_secs(60);
/// How far it is is shown so often at most.
const SHOWN: Duration = Duration::from_millis(200);
/// The name of the variant a plan becomes.
const ADVISED: &str = "as advised";

/// What is asked, as it is typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Fields {
    /// Money; empty where there is no bound.
    pub budget: String,
    /// The heaviest piece, kg; empty where there is no bound.
    pub piece_kg: String,
    pub chance_percent: f64,
    pub floor_kg_m2: f64,
    pub headroom_m: f64,
    pub removable_only: bool,
    /// Only the limit of who listens counts.
    pub one_listener: bool,
}

impl Default for Fields {
    fn default() -> Self {
        let ask = Ask::default();
        Self {
            budget: String::new(),
            piece_kg: String::new(),
            chance_percent: 100.0 * ask.confidence,
            floor_kg_m2: ask.max_floor_load_kg_m2,
            headroom_m: ask.min_headroom_m,
            removable_only: ask.removable_only,
            one_listener: false,
        }
    }
}

impl Fields {
    /// What they ask.
    ///
    /// # Errors
    ///
    /// Where something is no number: a sentence.
    pub fn ask(&self, listener: Option<&ListenerId>) -> Result<Ask, String> {
        let amount = |text: &str, what: &str| {
            // "2,500" is money with its thousands apart; "12,5" is twelve and a half.
            let text = text.trim().replace(' ', "");
            let text = match text.rsplit_once(',') {
                Some((_, behind)) if behind.len() == 3 => text.replace(',', ""),
                _ => text.replace(',', "."),
            };
            match text.parse::<f64>() {
                _ if text.is_empty() => Ok(None),
                Ok(value) if value.is_finite() && value >= 0.0 => Ok(Some(value)),
                _ => Err(format!("Write {what} as a number, as 2500, or leave it empty.")),
            }
        };
        Ok(Ask {
            budget: amount(&self.budget, "the budget")?,
            max_floor_load_kg_m2: self.floor_kg_m2,
            max_lift_kg: amount(&self.piece_kg, "the heaviest piece")?,
            min_headroom_m: self.headroom_m,
            removable_only: self.removable_only,
            confidence: self.chance_percent / 100.0,
            listeners: listener.filter(|_| self.one_listener).into_iter().cloned().collect(),
        })
    }
}

/// What was asked about.
#[derive(Debug, Clone)]
struct About {
    version: Version,
    scene: Arc<Scene>,
    /// See [`Document::opened`].
    opened: u64,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct Outcome {
    about: About,
    pub result: Result<Arc<Advice>, String>,
    /// False once what was asked about has changed.
    pub fresh: bool,
    /// The drawing that was last held against it.
    checked: Option<Arc<Scene>>,
}

impl Outcome {
    /// The version that was asked about.
    pub fn version(&self) -> &Version {
        &self.about.version
    }
}

/// How far a search is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Far {
    /// Solves done, and all that are known of so far.
    pub done: usize,
    pub all: usize,
    /// How long it has been at it.
    pub seconds: u64,
}

/// A search.
#[derive(Debug)]
struct UnderWay {
    number: usize,
    about: About,
    begun: Instant,
    stop: Arc<AtomicBool>,
    /// Solves done, and all that are known of.
    far: Arc<[AtomicUsize; 2]>,
}

#[derive(Debug, Resource)]
pub struct Advising {
    pub fields: Fields,
    /// The fields are shown, though there is an answer.
    pub fields_open: bool,
    outcome: Option<Outcome>,
    /// The plan looked at, position in the frontier; nothing for the one that is advised.
    chosen: Option<usize>,
    under_way: Option<UnderWay>,
    /// Searches begun so far.
    begun: usize,
    inbox: Inbox<(usize, Result<Option<Advice>, String>)>,
}

impl Default for Advising {
    fn default() -> Self {
        Self {
            fields: Fields::default(),
            fields_open: true,
            outcome: None,
            chosen: None,
            under_way: None,
            begun: 0,
            inbox: Inbox::default(),
        }
    }
}

impl Advising {
    /// The last answer.
    pub fn outcome(&self) -> Option<&Outcome> {
        self.outcome.as_ref()
    }

    /// Which plan is looked at: position in the frontier, or nothing for the one that is advised.
    pub fn chosen(&self) -> Option<usize> {
        self.chosen
    }

    /// How far the search is; nothing where nothing is searched.
    pub fn far(&self) -> Option<Far> {
        let under_way = self.under_way.as_ref()?;
        let [done, all] = [0, 1].map(|at| under_way.far[at].load(Ordering::Relaxed));
        Some(Far { done, all, seconds: under_way.begun.elapsed().as_secs() })
    }

    /// The plan looked at, with the advice it is of.
    pub fn plan(&self) -> Option<(&Advice, &Plan)> {
        let advice = self.outcome.as_ref()?.result.as_deref().ok()?;
        Some((advice, self.chosen.and_then(|at| advice.frontier.get(at)).unwrap_or(&advice.plan)))
    }

    fn stop(&mut self) {
        if let Some(under_way) = self.under_way.take() {
            under_way.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Begins to search.
    fn start(&mut self, about: About, base: Arc<Solved>, ask: Ask, wake: [impl Fn() + Send + Sync + 'static; 2]) {
        self.stop();
        self.begun += 1;
        let number = self.begun;
        let (stop, far) = (Arc::new(AtomicBool::new(false)), Arc::new([const { AtomicUsize::new(0) }; 2]));
        let begun = Instant::now();
        self.under_way = Some(UnderWay { number, about, begun, stop: stop.clone(), far: far.clone() });
        let [told, wake] = wake;
        let shown = AtomicUsize::new(0);
        self.inbox.spawn_apart(wake, move || {
            let tick = || {
                let now = (begun.elapsed().as_millis() / SHOWN.as_millis()) as usize;
                if shown.swap(now, Ordering::Relaxed) != now {
                    told();
                }
            };
            let progress = |done: usize, all: usize| {
                far[0].fetch_max(done, Ordering::Relaxed);
                far[1].fetch_max(all, Ordering::Relaxed);
                tick();
            };
            // It is asked all the time, so that seconds go on while nothing is solved any more.
            let cancelled = || {
                tick();
                stop.load(Ordering::Relaxed)
            };
            let watch = Watch { cancelled: &cancelled, progress: &progress, patience: PATIENCE };
            // A fault of the program must not leave the window waiting for ever.
            let found = catch_unwind(AssertUnwindSafe(|| advise::advise(&base, &ask, &watch)));
            let failed = || Err("The program failed while it searched; the terminal says where.".to_owned());
            Some((number, found.unwrap_or_else(|_| failed())))
        });
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Advising>().add_systems(Update, take.in_set(Stage::Solve));
}

/// Takes in what was found, and sees whether it still is about what is drawn.
fn take(document: Res<Document>, mut advising: ResMut<Advising>) {
    let advising = advising.bypass_change_detection();
    for (number, result) in advising.inbox.arrived() {
        let Some(under_way) = advising.under_way.take_if(|it| it.number == number) else { continue };
        let result = match result {
            Ok(None) => continue,
            Ok(Some(found)) => Ok(Arc::new(found)),
            Err(why) => Err(why),
        };
        advising.fields_open = result.is_err();
        advising.chosen = None;
        advising.outcome = Some(Outcome { about: under_way.about, result, fresh: true, checked: None });
    }
    // What was asked about another document is of no use for this one.
    if advising.under_way.as_ref().is_some_and(|it| it.about.opened != document.opened) {
        advising.stop();
    }
    if advising.outcome.as_ref().is_some_and(|it| it.about.opened != document.opened) {
        (advising.outcome, advising.chosen, advising.fields_open) = (None, None, true);
    }
    if let (Some(outcome), Some(drawn)) = (&mut advising.outcome, document.committed())
        && !outcome.checked.as_ref().is_some_and(|checked| Arc::ptr_eq(checked, drawn))
    {
        outcome.checked = Some(drawn.clone());
        outcome.fresh = document.made(&outcome.about.version).is_some_and(|(now, _)| alike(&now, &outcome.about.scene));
    }
}

impl perform::Window<'_> {
    /// Does what is asked about advice.
    pub(super) fn advise(&mut self, command: Command) {
        match command {
            Command::AskAdvice => self.ask_advice(),
            Command::StopAdvice => self.advising.stop(),
            Command::LookAtPlan(plan) => self.advising.chosen = plan,
            Command::KeepPlan => self.keep_plan(),
            _ => {}
        }
    }

    fn ask_advice(&mut self) {
        let ask = match self.advising.fields.ask(self.view.listener.as_ref()) {
            Ok(ask) => ask,
            Err(why) => return self.editor.refuse(why),
        };
        let Some((base, scene)) = self.current.solved.clone().zip(self.document.standing().cloned()) else {
            return self.editor.refuse("This scene cannot be solved yet: put right what is told first.");
        };
        if self.current.revision != self.document.revision || !alike(&base.scene, &scene) {
            return self.editor.refuse("The answer is still being computed: ask again in a moment.");
        }
        let about = About { version: self.document.shown().clone(), scene, opened: self.document.opened };
        let wake = [(); 2].map(|()| waker(self.wake.as_deref()));
        self.advising.start(about, base, ask, wake);
    }

    /// The plan looked at becomes a variant of its own, over what it was asked about.
    fn keep_plan(&mut self) {
        let Some((advice, plan)) = self.advising.plan() else { return };
        let Some((drawn, outcome)) = self.document.committed().zip(self.advising.outcome()) else { return };
        let mut variants = drawn.variants.clone();
        let mut edits: Vec<Edit> =
            outcome.version().at(&variants).map_or_else(Vec::new, |at| variants[at].edits.clone());
        edits.extend(plan.edits());
        let names = std::iter::once(ADVISED.to_owned()).chain((2..).map(|number| format!("{ADVISED} {number}")));
        let Some(name) = names.into_iter().find(|name| variants.iter().all(|known| known.name != *name)) else {
            return;
        };
        let cost = advice::price(&plan.cost, advice::currency(advice));
        let about = format!("For {cost} by placeholder prices: {}.", advice::kept(advice, plan));
        variants.push(Variant { name: name.clone(), about, edits });
        if self.edit(&[Edit::Put(Item::Variants(variants))]) {
            self.show_version(Version::Variant(name));
        }
    }
}
