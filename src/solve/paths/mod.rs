//! Every first-order way from one space to another, one file a kind.
//!
//! A way is an area with τ = 1: A·p² of the receiving room grows by `area_m2`·p² of the sending one. It is the same both ways.

mod by_outdoors;
mod duct;
mod flanking;
mod mirror;
mod screen;
pub(in crate::solve) mod structure_borne;
mod through;

pub use by_outdoors::{OpenAir, RadiatingFace, faces};
pub use structure_borne::{Injection, injections};

use super::element::Elements;
use super::{Conditions, Memory};
use crate::acoustics::Spectrum;
use crate::building::{Building, JunctionIndex, SpaceIndex, SpaceKind};

pub use super::answer::{PathKind, Surface};

/// One first-order way from a room to a room.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// The sending room.
    pub from: SpaceIndex,
    /// The receiving room.
    pub to: SpaceIndex,
    /// What kind of way.
    pub kind: PathKind,
    /// Where the sound leaves the sending room.
    pub entry: Surface,
    /// Where it comes out in the receiving room.
    pub exit: Surface,
    /// The junction it goes round, if it does.
    pub junction: Option<JunctionIndex>,
    /// τ·S, m².
    pub area_m2: Spectrum,
}

/// All first-order ways between rooms, in a stable order.
#[must_use]
pub fn first_order(
    memory: &mut Memory,
    building: &Building,
    elements: &Elements,
    conditions: &Conditions,
) -> Vec<Transfer> {
    let mut all = through::transfers(building, elements);
    all.extend(flanking::transfers(building, elements));
    all.extend(duct::transfers(building, elements));
    all.extend(by_outdoors::transfers(memory, building, elements, conditions));
    all.retain(|transfer| transfer.area_m2.iter().any(|area| *area > 0.0));
    all
}

fn is_room(building: &Building, space: SpaceIndex) -> bool {
    matches!(building.spaces[space.0].kind, SpaceKind::Room(_))
}
