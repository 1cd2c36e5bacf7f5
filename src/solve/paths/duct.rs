//! Through air ducts from room to room.

use super::super::answer::{PathKind, Surface};
use super::super::element::Elements;
use super::transfer::{Transfer, is_room};
use crate::building::Building;

/// The paths through every duct between two rooms, into a list. One that ends in the open is part of the building's shell.
pub(super) fn transfers(building: &Building, elements: &Elements, into: &mut Vec<Transfer>) {
    for (at, (duct, area_m2)) in building.ducts.iter().zip(&elements.duct_m2).enumerate() {
        let [one, other] = duct.ends.map(|end| end.space);
        if one == other || !is_room(building, one) || !is_room(building, other) {
            continue;
        }
        let surface = Surface::Duct(at);
        into.push(Transfer {
            rooms: [one, other],
            kind: PathKind::Duct,
            surfaces: [surface; 2],
            junction: None,
            area_m2: *area_m2,
            route: None,
        });
    }
}
