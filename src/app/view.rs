//! What the user looks at: whose ears, which storey, which bands. Changed by an [`Ask`] alone.

use bevy::prelude::*;

use super::Stage;
use super::solving::{CurrentAnswer, Solved};
use crate::acoustics::BAND_COUNT;
use crate::output::drawing::Shown;
use crate::output::length::Units;
use crate::output::{By, PlanView, Scale, Theme};
use crate::scene::{ListenerId, StoreyId};
use crate::solve::BandChoice;

/// What is looked at. Ids, not positions: they outlive a change of the scene.
#[derive(Debug, Clone, PartialEq, Resource)]
pub struct View {
    /// Whose ears.
    pub listener: Option<ListenerId>,
    /// Which storey's plan.
    pub storey: Option<StoreyId>,
    /// Which bands.
    pub bands: BandChoice,
    /// Which end of the paths lights the plan.
    pub by: By,
    /// Dark or light.
    pub theme: Theme,
    /// How lengths are written.
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
            theme: Theme::Dark,
            units: Units::Metric,
            scale: 1.0,
        }
    }
}

/// What the pointer is on, and what was clicked to stay marked. Kept apart from [`View`], since the plan need not be drawn anew.
#[derive(Debug, Clone, Copy, Default, PartialEq, Resource)]
pub struct Pointed {
    /// A path in the list: its position in the listener's paths.
    pub path: Option<usize>,
    /// A thing of the plan.
    pub shown: Option<Shown>,
    /// A path that stays marked.
    pub pinned: Option<usize>,
}

impl Pointed {
    /// The path to mark.
    #[must_use]
    pub fn marked(&self) -> Option<usize> {
        self.path.or(self.pinned)
    }
}

/// What the user asks for. Panels return it and change nothing themselves.
#[derive(Debug, Clone, PartialEq)]
pub enum Ask {
    /// Listen with someone's ears.
    Listen(ListenerId),
    /// Show a storey.
    Storey(StoreyId),
    /// Look at some bands.
    Bands(BandChoice),
    /// Light the plan by one end of the paths.
    LightBy(By),
    /// Mark a path for good, or no longer.
    Pin(usize),
    /// Dark or light.
    Theme(Theme),
    /// Show the whole plan.
    Fit,
    /// Show the plan larger (above 1) or smaller about its middle.
    Zoom(f32),
}

impl View {
    /// Position of the chosen listener in the answer.
    #[must_use]
    pub fn listener_at(&self, solved: &Solved) -> Option<usize> {
        let chosen = self.listener.as_ref()?;
        solved.answer.listeners.iter().position(|heard| heard.listener == *chosen)
    }

    /// Position of the chosen storey in the scene.
    #[must_use]
    pub fn storey_at(&self, solved: &Solved) -> Option<usize> {
        let chosen = self.storey.as_ref()?;
        solved.scene.storeys.iter().position(|storey| storey.id == *chosen)
    }

    /// The plan to draw, when there is someone to hear and a storey to show.
    #[must_use]
    pub fn plan(&self, solved: &Solved) -> Option<PlanView> {
        let (listener, storey) = (self.listener_at(solved)?, self.storey_at(solved)?);
        Some(PlanView { storey, listener, band: self.bands, by: self.by, theme: self.theme, scale: Scale::default() })
    }

    /// Brings the choices in line with an answer: what no longer exists is chosen anew.
    pub fn follow(&mut self, solved: &Solved) {
        if self.listener_at(solved).is_none() {
            // The first the scene names who is not in the din itself: the author knows who matters.
            let source_rooms: Vec<_> = solved.building.sources.iter().map(|source| source.space).collect();
            let listeners = &solved.answer.listeners;
            let elsewhere = listeners.iter().find(|heard| !source_rooms.contains(&heard.space));
            let chosen = elsewhere.or(listeners.first());
            self.listener = chosen.map(|heard| heard.listener.clone());
            self.storey = None;
        }
        if self.storey_at(solved).is_none() {
            let listener = self.listener_at(solved).unwrap_or(0);
            let telling = PlanView::of(&solved.building, &solved.answer, listener, self.by).storey;
            let storeys = &solved.scene.storeys;
            self.storey = storeys.get(telling).or(storeys.first()).map(|storey| storey.id.clone());
        }
    }

    /// Does what is asked. Returns false for what concerns the canvas alone.
    pub fn apply(&mut self, ask: &Ask) -> bool {
        match ask {
            // With other ears, or at the other end, another storey may tell more: it is chosen anew.
            Ask::Listen(listener) => (self.listener, self.storey) = (Some(listener.clone()), None),
            Ask::Storey(storey) => self.storey = Some(storey.clone()),
            Ask::Bands(bands) => self.bands = *bands,
            Ask::LightBy(by) => (self.by, self.storey) = (*by, None),
            Ask::Theme(theme) => self.theme = *theme,
            Ask::Pin(_) | Ask::Fit | Ask::Zoom(_) => return false,
        }
        true
    }
}

/// The choice one step up (or down) the bands: A-weighted comes before 25 Hz, a range shrinks to its end.
#[must_use]
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
#[must_use]
pub fn stretched(bands: BandChoice, up: bool) -> BandChoice {
    match bands {
        BandChoice::AWeighted => bands,
        BandChoice::Range(first, last) if up => BandChoice::Range(first, (last + 1).min(BAND_COUNT - 1)),
        BandChoice::Range(first, last) => BandChoice::Range(first, last.saturating_sub(1).max(first)),
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<View>()
        .init_resource::<Pointed>()
        .add_systems(Update, follow.run_if(resource_changed::<CurrentAnswer>).in_set(Stage::Look));
}

fn follow(current: Res<CurrentAnswer>, mut view: ResMut<View>, mut pointed: ResMut<Pointed>) {
    // Positions of paths belong to the answer before.
    *pointed = Pointed::default();
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
