//! Every first-order way from one space to another, one file a kind.
//!
//! A way is an area with τ = 1: A·p² of the receiving room grows by `area_m2`·p² of the sending one. It is the same both ways.

mod by_outdoors;
mod duct;
mod flanking;
mod mirror;
mod ring;
mod screen;
pub(in crate::solve) mod structure_borne;
mod through;

pub use by_outdoors::{OpenAir, RadiatingFace, faces};
pub(super) use screen::{Changes, Detours, Search};
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

/// All first-order ways between rooms, in a stable order. Nothing when overtaken.
#[must_use]
pub fn first_order(
    memory: &mut Memory,
    building: &Building,
    elements: &Elements,
    conditions: &Conditions,
    overtaken: &dyn Fn() -> bool,
) -> Option<Vec<Transfer>> {
    let mut all = through::transfers(building, elements);
    all.extend(flanking::transfers(building, elements));
    all.extend(duct::transfers(building, elements));
    all.retain(passes);
    by_outdoors::transfers(memory, building, elements, conditions, &mut all, overtaken)?;
    Some(all)
}

/// True for a way that passes anything.
fn passes(transfer: &Transfer) -> bool {
    transfer.area_m2.iter().any(|area| *area > 0.0)
}

/// The places of all ways in their list, by the room they lead out of and into.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByRoom {
    out_of: Vec<Vec<usize>>,
    into: Vec<Vec<usize>>,
}

impl ByRoom {
    /// Of ways between so many spaces.
    #[must_use]
    pub fn of(transfers: &[Transfer], spaces: usize) -> Self {
        let mut found = Self { out_of: vec![Vec::new(); spaces], into: vec![Vec::new(); spaces] };
        for (at, transfer) in transfers.iter().enumerate() {
            found.out_of[transfer.from.0].push(at);
            found.into[transfer.to.0].push(at);
        }
        found
    }

    /// The ways out of a room, in the order of their list.
    pub fn out_of<'a>(&self, transfers: &'a [Transfer], room: SpaceIndex) -> impl Iterator<Item = &'a Transfer> {
        self.out_of[room.0].iter().map(|at| &transfers[*at])
    }

    /// The ways into a room, in the order of their list.
    pub fn into<'a>(&self, transfers: &'a [Transfer], room: SpaceIndex) -> impl Iterator<Item = &'a Transfer> {
        self.into[room.0].iter().map(|at| &transfers[*at])
    }
}

fn is_room(building: &Building, space: SpaceIndex) -> bool {
    matches!(building.spaces[space.0].kind, SpaceKind::Room(_))
}
