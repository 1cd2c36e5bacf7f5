//! Straight through: an element, its openings, the gaps round them.

use super::super::answer::{PathKind, Surface};
use super::super::element::Elements;
use super::transfer::{Transfer, is_room};
use crate::building::{Building, ElementIndex};

/// The paths through every element between two rooms, into a list.
pub(super) fn transfers(building: &Building, elements: &Elements, into: &mut Vec<Transfer>) {
    for (at, element) in building.elements.iter().enumerate() {
        let [one, other] = element.sides;
        if one == other || !is_room(building, one) || !is_room(building, other) {
            continue;
        }
        let index = ElementIndex(at);
        let part = &elements[index];
        let mut add = |kind, surface, area_m2| {
            let (rooms, surfaces) = ([one, other], [surface; 2]);
            into.push(Transfer { rooms, kind, surfaces, junction: None, area_m2, route: None });
        };
        add(PathKind::Through, Surface::Element(index), part.tau_m2);
        for (number, opening) in part.openings.iter().enumerate() {
            let kind = if opening.hole { PathKind::Gap } else { PathKind::Through };
            add(kind, Surface::Opening(index, number), opening.tau_m2);
            add(PathKind::Gap, Surface::Gap(index, number), opening.gap_m2);
        }
    }
}
