//! Limits of building and playing: headroom, floor load, what is lifted, ways out, air, heat, flames, old coatings, the player's own ears.
//!
//! Looked up in what was drawn and solved, in well under a millisecond, so that they stand beside the thing while it is drawn. They replace no engineer,
//! fire officer, electrician or doctor.

mod check;
mod closed;
pub mod figures;
mod hearing;
mod load;
mod room;

use std::collections::BTreeSet;

pub use check::{Check, Kept, Piece, Place, Subject};

use super::answer::Answer;
use crate::building::{Building, SpaceIndex};
use crate::catalogue::Catalogue;
use crate::scene::Scene;
use room::Here;

/// What is open yet of a room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Open {
    /// Ways out in a fire that lead into the open.
    pub ways_out: usize,
    /// Walls that no shell stands before.
    pub walls: usize,
}

/// What is open yet of a room; nothing where it is none.
#[must_use]
pub fn open(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    space: SpaceIndex,
) -> Option<Open> {
    Some(closed::open(&Here::of(scene, catalogue, building, answer, space)?))
}

/// Everything that is held against a limit, kept or not: room by room, then the ears of whoever plays.
#[must_use]
pub fn checks(scene: &Scene, catalogue: &Catalogue, building: &Building, answer: &Answer) -> Vec<Check> {
    let shells = answer.shells.iter().map(|shell| shell.space);
    let covers = answer.covers.iter().map(|cover| cover.space);
    let platforms = answer.mounts.iter().filter_map(|mount| {
        building.sources.iter().find(|placed| placed.source == mount.source).map(|placed| placed.space)
    });
    let rooms: BTreeSet<SpaceIndex> = shells.chain(covers).chain(platforms).collect();
    let mut found = vec![];
    for space in rooms {
        let Some(here) = Here::of(scene, catalogue, building, answer, space) else { continue };
        load::checks(&here, &mut found);
        closed::checks(&here, &mut found);
    }
    hearing::checks(scene, catalogue, building, answer, &mut found);
    found
}
