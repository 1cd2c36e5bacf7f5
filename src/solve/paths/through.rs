//! Straight through: an element, its openings, the gaps round them.

use super::super::element::Elements;
use super::{PathKind, Surface, Transfer, is_room};
use crate::building::{Building, ElementIndex};

/// The ways through every element between two rooms.
pub(super) fn transfers(building: &Building, elements: &Elements) -> Vec<Transfer> {
    let mut all = Vec::new();
    for (at, element) in building.elements.iter().enumerate() {
        let [one, other] = element.sides;
        if one == other || !is_room(building, one) || !is_room(building, other) {
            continue;
        }
        let index = ElementIndex(at);
        let part = &elements[index];
        let mut ways = vec![(PathKind::Through, Surface::Element(index), part.tau_m2)];
        for (number, opening) in part.openings.iter().enumerate() {
            let kind = if opening.hole { PathKind::Gap } else { PathKind::Through };
            ways.push((kind, Surface::Opening(index, number), opening.tau_m2));
            ways.push((PathKind::Gap, Surface::Gap(index, number), opening.gap_m2));
        }
        for (kind, surface, area_m2) in ways {
            all.push(Transfer { rooms: [one, other], kind, surfaces: [surface; 2], junction: None, area_m2 });
        }
    }
    all
}
