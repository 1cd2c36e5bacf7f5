//! What the user looks at: whose ears, which storey, which bands; what is compared with it, and what is marked.

use std::sync::Arc;

use bevy::prelude::*;

use crate::acoustics::BAND_COUNT;
use crate::app::document::Version;
use crate::app::solving::CurrentAnswer;
use crate::app::stage::Stage;
use crate::output::drawing::Shown;
use crate::output::length::Units;
use crate::output::section::Cut;
use crate::output::{By, Changes, Glow, Leaks, PlanView, Scale, Theme, words};
use crate::project::Solved;
use crate::scene::{ListenerId, Scene, StoreyId};
use crate::solve::{BandChoice, ListenerAnswer};

/// What is looked at. Ids, not positions: they outlive a change of the scene.
#[derive(Debug, Clone, PartialEq, Resource)]
pub struct View {
    pub listener: Option<ListenerId>,
    pub storey: Option<StoreyId>,
    pub bands: BandChoice,
    /// Which end of the paths lights the plan.
    pub by: By,
    /// What the light means: the level at the listener, or (false) the share of what they hear.
    pub levels: bool,
    /// Where the building is cut, when a section is shown below the plan.
    pub cut: Option<Cut>,
    /// True while the section has the whole canvas.
    pub whole_section: bool,
    /// How the plan is compared with the one that was kept.
    pub compare: Compare,
    /// Dark or light.
    pub theme: Theme,
    pub units: Units,
    /// How much larger letters and panels are than usual.
    pub scale: f32,
}

impl Default for View {
    fn default() -> Self {
        Self {
            listener: None,
            storey: None,
            bands: BandChoice::AWeighted,
            by: By::Entry,
            levels: false,
            cut: None,
            whole_section: false,
            compare: Compare::Off,
            theme: Theme::Dark,
            units: Units::Metric,
            scale: 1.0,
        }
    }
}

#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub enum Compare {
    #[default]
    Off,
    Beside,
    /// One over the other, parted at this part of the width: left of it the one that was kept.
    Wipe(f32),
    /// Each face by how the level it passes has changed.
    Change,
}

/// What is compared with, and everything computed of it.
#[derive(Debug, Clone, Default, Resource)]
pub struct Baseline {
    pub solved: Option<Arc<Solved>>,
    /// The version it follows: what is drawn, or a variant. Nothing where it was kept as it was at a moment.
    pub version: Option<Version>,
}

impl Baseline {
    /// What was kept and what is shown beside it, as they are called on the plans.
    pub fn names<'a>(&'a self, shown: &'a Version) -> [&'a str; 2] {
        self.version.as_ref().map_or(["as kept", "now"], |kept| [kept.name(), shown.name()])
    }
}

/// What the pointer is on, and what was clicked to stay marked. Kept apart from [`View`], since the plan need not be drawn anew.
#[derive(Debug, Clone, Copy, Default, PartialEq, Resource)]
pub struct Highlight {
    /// A path in the list: its position in the listener's paths.
    pub path: Option<usize>,
    pub shown: Option<Shown>,
    /// A path that stays marked.
    pub pinned: Option<usize>,
}

impl Highlight {
    pub fn marked(&self) -> Option<usize> {
        self.path.or(self.pinned)
    }
}

impl View {
    /// Position of the chosen listener in the answer.
    pub fn listener_at(&self, solved: &Solved) -> Option<usize> {
        let chosen = self.listener.as_ref()?;
        solved.answer.listeners.iter().position(|heard| heard.listener == *chosen)
    }

    pub fn heard<'a>(&self, solved: &'a Solved) -> Option<&'a ListenerAnswer> {
        solved.answer.listeners.get(self.listener_at(solved)?)
    }

    pub fn storey_at(&self, solved: &Solved) -> Option<usize> {
        let chosen = self.storey.as_ref()?;
        solved.scene.storeys.iter().position(|storey| storey.id == *chosen)
    }

    /// Position of the storey that is drawn on: the chosen one, else the first.
    pub fn storey_in(&self, scene: &Scene) -> usize {
        let chosen = self.storey.as_ref();
        scene.storeys.iter().position(|storey| Some(&storey.id) == chosen).unwrap_or(0)
    }

    /// The plan to draw, when there is someone to hear and a storey to show. What was kept has the same scale.
    pub fn plan(&self, solved: &Solved, base: Option<&Solved>) -> Option<PlanView> {
        let (listener, storey) = (self.listener_at(solved)?, self.storey_at(solved)?);
        let scale = self.scale(solved, base);
        Some(PlanView { storey, listener, band: self.bands, by: self.by, theme: self.theme, scale, units: self.units })
    }

    /// What lights a plan of a listener by share or level.
    pub fn lit(&self, solved: &Solved, heard: &ListenerAnswer, base: Option<&Solved>) -> Glow {
        Glow::of(heard, self.bands, self.by, self.theme, self.scale(solved, base))
    }

    /// What lights plan and section while they show how each face has changed; nothing where the listener was not there.
    pub fn change(&self, solved: &Solved, base: Option<&Solved>) -> Option<Glow> {
        let base = base.filter(|_| self.compare == Compare::Change)?;
        let (before, heard) = (self.heard(base)?, self.heard(solved)?);
        let changes = Changes::of((&base.building, before), (&solved.building, heard), self.bands, self.by);
        Some(Glow::difference(changes, heard, self.bands, self.by, self.theme))
    }

    /// The cut that tells most about the chosen listener.
    pub fn telling_cut(&self, solved: &Solved) -> Option<Cut> {
        let listener = self.listener_at(solved)?;
        let cut = Cut::through(solved, listener);
        cut.is_line().then_some(cut)
    }

    /// What the light means. Once something is kept it is levels on one scale, however both are looked at: shares of a quieter whole would glow as before.
    pub fn scale(&self, solved: &Solved, base: Option<&Solved>) -> Scale {
        if !self.levels && base.is_none() {
            return Scale::Share;
        }
        let leaks = [Some(solved), base]
            .into_iter()
            .flatten()
            .filter_map(|solved| Some(Leaks::of(self.heard(solved)?, self.bands, self.by)));
        Scale::level_for(&leaks.collect::<Vec<_>>())
    }

    /// Brings the choices in line with an answer: what no longer exists is chosen anew.
    pub fn follow(&mut self, solved: &Solved) {
        if self.listener_at(solved).is_none() {
            // The first the scene names who is not in the din itself: the author knows who matters.
            let source_rooms: Vec<_> = solved.building.sources.iter().map(|source| source.space).collect();
            let listeners = &solved.answer.listeners;
            let elsewhere = listeners.iter().find(|heard| !source_rooms.contains(&heard.space));
            let chosen = elsewhere.or(listeners.first()).map(|heard| heard.listener.clone());
            // While nobody listens at all, the storey that is drawn on stays.
            if chosen != self.listener {
                self.storey = None;
            }
            self.listener = chosen;
        }
        if self.storey_at(solved).is_none() {
            let listener = self.listener_at(solved).unwrap_or(0);
            let telling = PlanView::of(solved, listener, self.by).storey;
            let storeys = &solved.scene.storeys;
            self.storey = storeys.get(telling).or(storeys.first()).map(|storey| storey.id.clone());
        }
    }
}

/// The answer of one listener, and how it is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Hearing<'a> {
    pub solved: &'a Solved,
    pub heard: &'a ListenerAnswer,
    pub view: &'a View,
    pub base: Option<&'a Solved>,
    /// What that is called, where it is what is drawn or a variant.
    pub base_name: Option<&'a str>,
}

impl<'a> Hearing<'a> {
    /// The same beside what is compared with.
    pub fn against(self, base: &'a Baseline) -> Self {
        Self { base: base.solved.as_deref(), base_name: base.version.as_ref().map(Version::name), ..self }
    }

    pub fn of(solved: &'a Solved, view: &'a View) -> Option<Self> {
        Some(Self { solved, heard: view.heard(solved)?, view, base: None, base_name: None })
    }
}

/// A level with its unit: dB(A) for all bands, dB for some.
pub fn level_words(level_db: f64, bands: BandChoice) -> String {
    match bands {
        BandChoice::AWeighted => words::level(level_db),
        BandChoice::Range(..) if level_db >= -0.5 => format!("{:.0} dB", level_db.max(0.0)),
        BandChoice::Range(..) => "under 0 dB".to_owned(),
    }
}

/// After what is said of some bands: " at 63 Hz"; nothing for all.
pub fn at_bands(bands: BandChoice) -> String {
    if bands == BandChoice::AWeighted { String::new() } else { format!(" at {}", bands.label()) }
}

/// The level of a listener in the chosen bands, dB.
pub fn level_db(heard: &ListenerAnswer, bands: BandChoice) -> f64 {
    match bands {
        BandChoice::AWeighted => heard.la_db,
        BandChoice::Range(..) => 10.0 * bands.energy(&heard.energy).log10(),
    }
}

/// The choice one step up (or down) the bands: A-weighted comes before 25 Hz, a range shrinks to its end.
pub fn next_band(bands: BandChoice, up: bool) -> BandChoice {
    match (bands, up) {
        (BandChoice::AWeighted, true) => BandChoice::one(0),
        (BandChoice::AWeighted, false) | (BandChoice::Range(0, _), false) => BandChoice::AWeighted,
        (BandChoice::Range(first, last), true) if first == last => BandChoice::one((last + 1).min(BAND_COUNT - 1)),
        (BandChoice::Range(_, last), true) => BandChoice::one(last.min(BAND_COUNT - 1)),
        (BandChoice::Range(first, last), false) if first == last => BandChoice::one(first - 1),
        (BandChoice::Range(first, _), false) => BandChoice::one(first),
    }
}

/// The choice with its upper end one band further up (or down).
pub fn stretched(bands: BandChoice, up: bool) -> BandChoice {
    match bands {
        BandChoice::AWeighted => bands,
        BandChoice::Range(first, last) if up => BandChoice::Range(first, (last + 1).min(BAND_COUNT - 1)),
        BandChoice::Range(first, last) => BandChoice::Range(first, last.saturating_sub(1).max(first)),
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<View>()
        .init_resource::<Baseline>()
        .init_resource::<Highlight>()
        .add_systems(Update, follow.run_if(resource_changed::<CurrentAnswer>).in_set(Stage::Look));
}

fn follow(current: Res<CurrentAnswer>, mut view: ResMut<View>, mut highlight: ResMut<Highlight>) {
    // Positions of paths belong to the answer before.
    *highlight = Highlight::default();
    if let Some(solved) = &current.solved {
        view.follow(solved);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stepping_up_through_the_bands_and_down_again_comes_back_to_the_sum() {
        let mut bands = BandChoice::AWeighted;
        for band in 0..BAND_COUNT {
            bands = next_band(bands, true);
            assert_eq!(bands, BandChoice::one(band));
        }
        assert_eq!(next_band(bands, true), bands);
        for _ in 0..BAND_COUNT {
            bands = next_band(bands, false);
        }
        assert_eq!(bands, BandChoice::AWeighted);
    }

    #[test]
    fn a_range_stretches_at_its_upper_end_and_shrinks_to_the_end_stepped_to() {
        let range = stretched(stretched(BandChoice::one(4), true), true);
        assert_eq!(range, BandChoice::Range(4, 6));
        assert_eq!(stretched(range, false), BandChoice::Range(4, 5));
        assert_eq!(next_band(range, true), BandChoice::one(6));
        assert_eq!(next_band(range, false), BandChoice::one(4));
        assert_eq!(stretched(BandChoice::one(4), false), BandChoice::one(4));
    }
}
