//! Constructions by name, with what geometry and junctions ask of them.

use std::collections::BTreeMap;

use crate::catalogue::{Bridge, Build, Catalogue, Construction, Layer};
use crate::scene::{Problem, Scene, Storey, Thing};

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
pub(super) struct Facts<'a> {
    /// The construction.
    pub construction: &'a Construction,
    /// Mass per area, kg/m²; 0 where it is unknown. Decides only which of two crossing walls runs on.
    mass_kg_m2: f64,
    /// Whether it is one plate that can run on through a junction by itself: masonry, concrete and the like.
    is_massive: bool,
    /// Material and thickness (mm) of the heaviest sheet.
    core: Option<(&'a str, f64)>,
}

/// All constructions by id: the scene's own, and those of the catalogue that it has none of the same id for.
pub(super) struct Constructions<'a>(BTreeMap<&'a str, Facts<'a>>);

impl<'a> Constructions<'a> {
    pub(super) fn new(scene: &'a Scene, catalogue: &'a Catalogue) -> Self {
        // Of two of the same id the later in this order counts.
        let all = catalogue.constructions.values().chain(scene.constructions.iter().rev());
        Self(all.map(|construction| (construction.id.as_str(), Facts::of(construction, catalogue))).collect())
    }

    pub(super) fn get(&self, id: &str) -> Option<&Facts<'a>> {
        self.0.get(id)
    }

    /// Thickness, m.
    pub(super) fn thickness_m(&self, id: &str) -> Option<f64> {
        self.get(id).map(|facts| facts.construction.thickness_m())
    }

    /// Mass per area, kg/m²; 0 where it is unknown.
    pub(super) fn mass_kg_m2(&self, id: &str) -> f64 {
        self.get(id).map_or(0.0, |facts| facts.mass_kg_m2)
    }

    /// True for masonry, concrete and the like: one plate that can run on through a junction by itself.
    pub(super) fn is_massive(&self, id: &str) -> bool {
        self.get(id).is_some_and(|facts| facts.is_massive)
    }

    /// True when two constructions side by side can be one piece: the same word, or massive ones whose heaviest sheet is the
    /// same (a brick wall plastered on one side goes on as one plastered on both, a slab goes on under a floating screed).
    pub(super) fn is_one_piece(&self, a: &str, b: &str) -> bool {
        let core = |id| self.get(id).filter(|facts| facts.is_massive).and_then(|facts| facts.core);
        a == b || core(a).is_some_and(|core_of_a| core(b) == Some(core_of_a))
    }
}

impl<'a> Facts<'a> {
    fn of(construction: &'a Construction, catalogue: &Catalogue) -> Self {
        let layers: &[Layer] = if let Build::Layers(layers) = &construction.build { layers } else { &[] };
        let mass_kg_m2 = construction.mass_per_area_kg_m2(catalogue).unwrap_or(0.0);
        let is_massive = !is_framed(layers) && mass_kg_m2 >= MASSIVE_KG_M2;
        Self { construction, mass_kg_m2, is_massive, core: core(layers, catalogue) }
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
fn core<'a>(layers: &'a [Layer], catalogue: &Catalogue) -> Option<(&'a str, f64)> {
    let mass = |layer: &Layer| layer.mass_per_area_kg_m2(catalogue).unwrap_or(0.0);
    let heaviest = layers.iter().max_by(|a, b| mass(a).total_cmp(&mass(b)))?;
    let Layer::Sheet { material, thickness_mm, .. } = heaviest else { return None };
    Some((material, *thickness_mm))
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
