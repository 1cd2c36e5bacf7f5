//! Every first-order path from one space to another, one file a kind.
//!
//! A path is an area with τ = 1: A·p² of the receiving room grows by `area_m2`·p² of the sending one. It is the same both ways, and kept once.

mod duct;
mod flanking;
mod origins;
mod residual;
pub(in crate::solve) mod structure_borne;
mod through;
mod transfer;

pub use origins::Origins;
pub use structure_borne::{Injection, injections};
pub use transfer::{DirectedTransfer, Transfer, Transfers};

use super::conditions::Conditions;
use super::element::Elements;
use super::room::RoomAcoustics;
use crate::building::Building;

pub use super::answer::{PathKind, Surface};

/// All that first-order paths lead through, and what is heard of them in the rooms.
#[derive(Debug, Clone, Copy)]
pub struct PathInputs<'a> {
    /// The geometry.
    pub building: &'a Building,
    /// Its elements.
    pub elements: &'a Elements,
    /// All spaces.
    pub rooms: &'a [RoomAcoustics],
    /// Where sound begins.
    pub origins: &'a Origins,
    /// Air and bands, and what may be left out.
    pub conditions: &'a Conditions,
}

/// All first-order paths between rooms but those through the open air.
pub(in crate::solve) fn indoors(inputs: &PathInputs<'_>) -> Vec<Transfer> {
    let PathInputs { building, elements, .. } = *inputs;
    let mut all = Vec::new();
    through::transfers(building, elements, &mut all);
    flanking::transfers(building, elements, &mut all);
    duct::transfers(building, elements, &mut all);
    let Conditions { residual_db, bands, .. } = inputs.conditions;
    residual::transfers(building, &inputs.origins.loud, *residual_db, bands, &mut all);
    all.retain(Transfer::passes);
    all
}
