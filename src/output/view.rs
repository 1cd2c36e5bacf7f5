//! What plan and section show: of whose sound, which bands, by which end of the paths, in which colours.

use crate::building::{Building, ElementShape, SpaceIndex};
use crate::output::glow::{Glow, Scale};
use crate::output::leaks::By;
use crate::output::length::Units;
use crate::output::names;
use crate::output::palette::Theme;
use crate::solve::{Answer, BandChoice, ListenerAnswer, Surface};

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
    pub fn of(building: &Building, answer: &Answer, listener: usize, by: By) -> Self {
        let heard = answer.listeners.get(listener);
        let storey = heard
            .and_then(|heard| match by {
                By::Entry => heard.paths.first().map(|path| path.source_space),
                By::Exit => Some(heard.space),
            })
            .and_then(|space| storey_of(building, space))
            // For someone outdoors: where it comes out of the building.
            .or_else(|| face_storey(building, heard?.paths.first()?.exit))
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

/// The storey a room is on.
pub(crate) fn storey_of(building: &Building, space: SpaceIndex) -> Option<usize> {
    names::room(building, space).map(|room| room.storey)
}

/// The storey a face is on; of a slab, the one of the room over it, or under it where there is none over it.
fn face_storey(building: &Building, face: Surface) -> Option<usize> {
    if let Surface::Duct(at) = face {
        return building.ducts.get(at).map(|duct| duct.ends[1].storey);
    }
    let element = building.elements.get(face.element()?.0)?;
    match &element.shape {
        ElementShape::Wall { storey, .. } => Some(*storey),
        ElementShape::Slab { .. } => element.sides.iter().find_map(|side| storey_of(building, *side)),
    }
}
