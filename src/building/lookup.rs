//! Constructions by name, with what geometry and junctions ask of them.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use crate::catalogue::{Bridge, Build, Catalogue, Construction, Layer};
use crate::scene::{Problem, Scene, Storey, Thing};

/// A storey and the thing on it that is at fault.
pub(super) type Place<'a> = (&'a Storey, Thing);

/// Notes what keeps a storey from being built, and what to do about it.
pub(super) fn refuse(
    problems: &mut Vec<Problem>,
    storey: &Storey,
    thing: Thing,
    what: impl Into<String>,
    to_do: impl Into<String>,
) {
    problems.push(Problem::error(Some(&storey.id), thing, what, to_do));
}

/// From this mass per area on a plate is massive, kg/m² (our choice, between boarded frames and the thinnest masonry).
const MASSIVE_KG_M2: f64 = 75.0;

/// All that a building takes from a construction.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Facts {
    /// Name people read.
    pub name: String,
    /// Thickness, m.
    pub thickness_m: f64,
    /// Mass per area, kg/m²; 0 where it is unknown. Decides only which of two crossing walls runs on.
    mass_kg_m2: f64,
    is_symmetric: bool,
    is_framed: bool,
    /// Material and thickness (mm) of the heaviest sheet.
    core: Option<(String, f64)>,
}

/// Finds constructions: the scene's own first, then the catalogue's. Each is read once.
pub(super) struct Lookup<'a> {
    scene: &'a Scene,
    catalogue: &'a Catalogue,
    known: RefCell<BTreeMap<String, Option<Rc<Facts>>>>,
}

impl<'a> Lookup<'a> {
    pub(super) fn new(scene: &'a Scene, catalogue: &'a Catalogue) -> Self {
        Self { scene, catalogue, known: RefCell::default() }
    }

    /// What is known of a construction.
    pub(super) fn facts(&self, id: &str) -> Option<Rc<Facts>> {
        if let Some(known) = self.known.borrow().get(id) {
            return known.clone();
        }
        let found = self.catalogue.own_or_known(&self.scene.constructions, id);
        let facts = found.map(|found| Rc::new(Facts::of(found, self.catalogue)));
        self.known.borrow_mut().insert(id.to_owned(), facts.clone());
        facts
    }

    /// Refuses a name nothing is known of.
    pub(super) fn require(&self, id: &str, place: Place, problems: &mut Vec<Problem>) -> Option<Rc<Facts>> {
        let found = self.facts(id);
        if found.is_none() {
            let what = format!("there is no construction \"{id}\"");
            refuse(
                problems,
                place.0,
                place.1,
                what,
                "name one of the catalogue, or add it to the scene's constructions",
            );
        }
        found
    }

    /// Mass per area, kg/m²; 0 where it is unknown.
    pub(super) fn mass_kg_m2(&self, id: &str) -> f64 {
        self.facts(id).map_or(0.0, |facts| facts.mass_kg_m2)
    }

    /// True when the layers read the same from both sides, so that it does not matter which way a wall is drawn.
    pub(super) fn is_symmetric(&self, id: &str) -> bool {
        self.facts(id).is_none_or(|facts| facts.is_symmetric)
    }

    /// True for masonry, concrete and the like: one plate that can run on through a junction by itself.
    pub(super) fn is_massive(&self, id: &str) -> bool {
        self.facts(id).is_some_and(|facts| facts.is_massive())
    }

    /// True when two constructions side by side can be one piece: the same word, or massive ones whose heaviest sheet is the
    /// same (a brick wall plastered on one side goes on as one plastered on both, a slab goes on under a floating screed).
    pub(super) fn is_one_piece(&self, a: &str, b: &str) -> bool {
        let core = |id| self.facts(id).filter(|facts| facts.is_massive()).and_then(|facts| facts.core.clone());
        a == b || core(a).is_some_and(|core_of_a| core(b) == Some(core_of_a))
    }
}

impl Facts {
    fn of(construction: &Construction, catalogue: &Catalogue) -> Self {
        let layers = match &construction.build {
            Build::Layers(layers) => Some(layers.as_slice()),
            _ => None,
        };
        Self {
            name: construction.name.clone(),
            thickness_m: construction.thickness_m(),
            mass_kg_m2: construction.mass_per_area_kg_m2(catalogue).unwrap_or(0.0),
            is_symmetric: reads_the_same(construction),
            is_framed: layers.is_some_and(is_framed),
            core: layers.and_then(|layers| core(layers, catalogue)),
        }
    }

    fn is_massive(&self) -> bool {
        !self.is_framed && self.mass_kg_m2 >= MASSIVE_KG_M2
    }
}

/// True when the layers read the same from both sides.
pub(crate) fn reads_the_same(construction: &Construction) -> bool {
    let Build::Layers(layers) = &construction.build else { return true };
    let same = |(one, other): (&Layer, &Layer)| match (one, other) {
        (
            Layer::Sheet { material, thickness_mm, .. },
            Layer::Sheet { material: other_material, thickness_mm: other_mm, .. },
        ) => material == other_material && thickness_mm == other_mm,
        _ => one == other,
    };
    layers.iter().zip(layers.iter().rev()).take(layers.len().div_ceil(2)).all(same)
}

/// Material and thickness of the heaviest sheet.
fn core(layers: &[Layer], catalogue: &Catalogue) -> Option<(String, f64)> {
    let mass = |layer: &Layer| layer.mass_per_area_kg_m2(catalogue).unwrap_or(0.0);
    let heaviest = layers.iter().max_by(|a, b| mass(a).total_cmp(&mass(b)))?;
    let Layer::Sheet { material, thickness_mm, .. } = heaviest else { return None };
    Some((material.clone(), *thickness_mm))
}

/// True when joists or studs carry it.
fn is_framed(layers: &[Layer]) -> bool {
    layers.iter().any(|layer| {
        let Layer::Cavity { bridge, .. } = layer else { return false };
        match bridge {
            Bridge::Joists { .. }
            | Bridge::TimberStuds { .. }
            | Bridge::LightSteelStuds { .. }
            | Bridge::StaggeredStuds { .. }
            | Bridge::ResilientBars { .. } => true,
            // What hangs below, stands before or ties together a plate that may well run on.
            Bridge::Free
            | Bridge::SealedUnitSpacer
            | Bridge::CommonReveal
            | Bridge::AbsorbentReveal
            | Bridge::Springs { .. }
            | Bridge::WallTies { .. }
            | Bridge::RigidTies { .. }
            | Bridge::Battens { .. }
            | Bridge::Hangers { .. }
            | Bridge::DoorCore => false,
        }
    })
}
