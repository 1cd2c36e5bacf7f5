//! What is known of a building's faces, sources and rooms beside their numbers: how far each may be off.

use super::spread::Spread;
use super::workmanship;
use crate::building::{Building, Element, ElementIndex, OpeningFront};
use crate::scene::Workmanship;

/// How far all that an answer stands on may be off: enough to weigh its paths anew without another solve.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// Ids of the constructions the faces are built as, in order of letters.
    pub constructions: Vec<String>,
    /// One for each element of the building, in its order.
    pub elements: Vec<KnownElement>,
    /// One for each space of the building, in its order.
    pub spaces: Vec<KnownSpace>,
}

/// An element with its openings.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownElement {
    /// The element itself.
    pub own: KnownFace,
    /// Its openings, in its order.
    pub openings: Vec<KnownFace>,
}

/// A face that sound passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownFace {
    /// Position of its construction in [`Known::constructions`].
    pub construction: usize,
    /// How far its R may be off.
    pub spread: Spread,
    /// Standard uncertainty that its workmanship adds, dB.
    pub work_db: f64,
}

/// A space, and the sources in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownSpace {
    /// True for the open air and the ground.
    pub outdoors: bool,
    /// Standard uncertainty of the sound of its sources, dB.
    pub source_db: f64,
    /// Standard uncertainty of what its sources do to the floor, dB.
    pub force_db: f64,
}

impl Known {
    /// Of a building; `spread` of an element, and of the opening of that number.
    pub(super) fn of(
        building: &Building,
        spread: &dyn Fn(ElementIndex, Option<usize>) -> Spread,
        spaces: Vec<KnownSpace>,
    ) -> Self {
        let faces = |element: &Element| {
            let openings = element.openings.iter().map(|opening| opening.construction.clone());
            std::iter::once(element.construction.clone()).chain(openings).collect::<Vec<String>>()
        };
        let mut constructions: Vec<String> = building.elements.iter().flat_map(faces).collect();
        constructions.sort();
        constructions.dedup();
        // Several parts one before the other, each with its workmanship.
        let face = |construction: &String, spread: Spread, parts: &mut dyn Iterator<Item = Workmanship>| KnownFace {
            construction: constructions.binary_search(construction).expect("all constructions are listed"),
            spread,
            work_db: parts.map(workmanship::uncertainty_db).fold(0.0, f64::hypot),
        };
        let elements = building.elements.iter().enumerate().map(|(at, element)| {
            let at = ElementIndex(at);
            let fronts = element.fronts.iter().flatten().map(|front| front.face.workmanship);
            let own = face(&element.construction, spread(at, None), &mut fronts.chain([element.workmanship]));
            let openings = element.openings.iter().enumerate().map(|(number, opening)| {
                let fronts = opening.fronts.iter().flatten().map(OpeningFront::workmanship);
                let mut parts = fronts.chain([opening.workmanship]);
                face(&opening.construction, spread(at, Some(number)), &mut parts)
            });
            KnownElement { own, openings: openings.collect() }
        });
        let elements = elements.collect();
        Self { constructions, elements, spaces }
    }
}
