//! The stream of motes over the plan: which there are, and their clock. Nothing moves while the window rests in the background,
//! while it is paused, or while the plan is drawn upon.

use std::time::Duration;

use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use bevy::winit::{UpdateMode, WinitSettings};

use crate::app::editor::state::{Editor, Mode};
use crate::app::solving::CurrentAnswer;
use crate::app::stage::Stage;
use crate::app::view::{Highlight, View};
use crate::app::window::rest;
use crate::output::particles::{Spot, Stream, StreamChoice};
use crate::output::route::{Route, Routes, Spread};
use crate::output::streaming::strongest;
use crate::project::Solved;
use crate::scene::ListenerId;
use crate::solve::BandChoice;

/// Time between two pictures while motes move: thirty a second.
const PACE: Duration = Duration::from_millis(33);
/// The longest step of the clock, s: after a rest motes go on where they were.
const LONGEST_S: f64 = 0.1;
/// Where the clock stands at the start, s: strokes and streams are then under way, in still pictures too.
const START_S: f64 = 20.0;

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ParticleLook {
    /// False for a plan without motes.
    pub shown: bool,
    /// False while they stand still.
    pub playing: bool,
    /// How fast they run: 1 is usual.
    pub speed: f32,
    /// Paths with a smaller share are hidden.
    pub least_share: f64,
    /// True when only the marked path is shown.
    pub alone: bool,
}

impl Default for ParticleLook {
    fn default() -> Self {
        Self { shown: true, playing: true, speed: 1.0, least_share: 0.0, alone: false }
    }
}

/// The motes, and their clock.
#[derive(Debug, Clone, Default, Resource)]
pub struct Particles {
    pub look: ParticleLook,
    motes: Stream,
    lines: Vec<(usize, Route)>,
    time_s: f64,
    /// The energy a full stream stands for, to whom in which bands. It stays while someone tries changes, so that the stream thins as the building
    /// gets better.
    reference: Option<(ListenerId, BandChoice, f64)>,
}

impl Particles {
    pub fn gather(&mut self, solved: &Solved, view: &View, marked: Option<usize>) {
        self.clear();
        let Some(listener) = view.listener_at(solved) else { return };
        let heard = &solved.answer.listeners[listener];
        let alone = marked.filter(|_| self.look.alone);
        let reference = self.reference(&heard.listener, view.bands, energy(heard, view.bands));
        let choice = StreamChoice {
            bands: view.bands,
            reference: Some(reference),
            least_share: self.look.least_share,
            alone,
            ..StreamChoice::default()
        };
        if self.look.shown {
            self.motes = Stream::new(solved, listener, &choice);
        }
        let Some(routes) = Routes::new(solved, listener) else { return };
        let strongest = if self.look.shown { strongest(heard, view.bands, self.look.least_share) } else { vec![] };
        let drawn: Vec<usize> = match alone {
            Some(path) => vec![path],
            None => strongest.into_iter().filter(|at| Some(*at) != marked).chain(marked).collect(),
        };
        self.lines =
            drawn.into_iter().filter_map(|at| Some((at, routes.of(heard.paths.get(at)?, &Spread::MIDDLE)?))).collect();
    }

    fn reference(&mut self, listener: &ListenerId, bands: BandChoice, energy: f64) -> f64 {
        match &self.reference {
            Some((whose, looked_at, reference)) if whose == listener && *looked_at == bands && *reference > 0.0 => {
                *reference
            }
            _ => self.reference.insert((listener.clone(), bands, energy)).2,
        }
    }

    /// Takes all motes away.
    pub fn clear(&mut self) {
        self.motes = Stream::default();
        self.lines.clear();
    }

    /// Goes on by a time, s.
    pub fn step(&mut self, seconds: f64) {
        self.time_s += seconds.clamp(0.0, LONGEST_S) * f64::from(self.look.speed);
    }

    pub fn moves(&self) -> bool {
        self.look.shown && self.look.playing && !self.motes.is_empty()
    }

    pub fn count(&self) -> usize {
        self.motes.len()
    }

    pub fn spots(&self) -> impl Iterator<Item = Spot> + '_ {
        self.motes.at(START_S + self.time_s)
    }

    /// The routes drawn as lines: path and route.
    pub fn lines(&self) -> &[(usize, Route)] {
        &self.lines
    }
}

fn energy(heard: &crate::solve::ListenerAnswer, bands: BandChoice) -> f64 {
    heard.paths.iter().map(|path| bands.energy(&path.energy)).sum()
}

/// What the motes were gathered for: an answer, a listener, bands, a look, a marked path.
type Gathered = (u64, Option<ListenerId>, BandChoice, ParticleLook, Option<usize>);

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Particles>().add_systems(Update, (gather, run).chain().in_set(Stage::Draw));
}

fn gather(
    current: Res<CurrentAnswer>,
    view: Res<View>,
    highlight: Res<Highlight>,
    mut particles: ResMut<Particles>,
    mut gathered: Local<Option<Gathered>>,
) {
    // Neither pace nor pause makes other motes.
    let look = ParticleLook { playing: true, speed: 1.0, ..particles.look };
    let wanted = (current.revision, view.listener.clone(), view.bands, look, highlight.marked());
    // A veil that is lifted leaves the revision as it was.
    if gathered.as_ref() == Some(&wanted) && !current.is_changed() {
        return;
    }
    match &current.solved {
        Some(solved) => particles.gather(solved, &view, highlight.marked()),
        None => particles.clear(),
    }
    *gathered = Some(wanted);
}

/// Moves the clock, and asks for pictures as long as something moves.
fn run(
    time: Res<Time>,
    editor: Res<Editor>,
    windows: Query<&Window, With<PrimaryWindow>>,
    mut particles: ResMut<Particles>,
    settings: Option<ResMut<WinitSettings>>,
) {
    let awake = windows.iter().any(|window| window.focused) && editor.mode == Mode::Listen;
    let moves = awake && particles.moves();
    if moves {
        particles.step(time.delta_secs_f64());
    }
    let Some(mut settings) = settings else { return };
    let wanted = if moves { UpdateMode::reactive(PACE) } else { rest() };
    // A picture taken of the window draws on and on: that is not changed here.
    if settings.focused_mode != UpdateMode::Continuous && settings.focused_mode != wanted {
        settings.focused_mode = wanted;
    }
}
