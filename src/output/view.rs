//! What plan and section show: of whose sound, which bands, by which end of the paths, in which colours.

use crate::output::glow::{Glow, Scale};
use crate::output::leaks::By;
use crate::output::length::Units;
use crate::output::names;
use crate::output::palette::Theme;
use crate::project::Solved;
use crate::solve::{BandChoice, ListenerAnswer, Surface};

/// What a plan shows; and a section, which takes no notice of the storey.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanView {
    /// Storey, position in the scene.
    pub storey: usize,
    /// Whose ears, position in the answer's listeners.
    pub listener: usize,
    /// Which bands.
    pub band: BandChoice,
    /// Which end of the paths lights the plan.
    pub by: By,
    /// Dark or light.
    pub theme: Theme,
    /// What the colours stand for.
    pub scale: Scale,
    /// How lengths and areas are written.
    pub units: Units,
}

impl PlanView {
    /// The view that tells most about a listener: A-weighted, dark, the storey where most of their sound enters (or comes out).
    #[must_use]
    pub fn of(Solved { building, answer, .. }: &Solved, listener: usize, by: By) -> Self {
        let heard = answer.listeners.get(listener);
        let storey = heard
            .and_then(|heard| match by {
                By::Entry => heard.paths.first().map(|path| path.source_space),
                By::Exit => Some(heard.space),
            })
            .and_then(|space| names::room(building, space).map(|room| room.storey))
            // For someone outdoors: where it comes out of the building.
            .or_else(|| {
                let exit = heard?.paths.first()?.exit;
                let on = names::on_storeys(building, exit);
                if matches!(exit, Surface::Duct(_)) { on.last().copied() } else { on.first().copied() }
            })
            .or_else(|| building.listeners.get(listener).map(|placed| placed.storey))
            .unwrap_or(0);
        let (theme, scale) = (Theme::default(), Scale::default());
        Self { storey, listener, band: BandChoice::AWeighted, by, theme, scale, units: Units::Metric }
    }

    /// What lights the plan of a listener in this view.
    #[must_use]
    pub fn glow(&self, heard: &ListenerAnswer) -> Glow {
        Glow::of(heard, self.band, self.by, self.theme, self.scale)
    }
}
