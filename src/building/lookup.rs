//! Constructions by name, with what geometry and junctions ask of them.

use crate::catalogue::{Bridge, Build, Catalogue, Construction, Layer};
use crate::scene::{Problem, Scene, StoreyId, Thing};

/// A storey and the thing on it that is at fault.
pub(super) type Place<'a> = (&'a StoreyId, Thing);

/// From this mass per area on a plate is massive, kg/m² (our choice, between boarded frames and the thinnest masonry).
const MASSIVE_KG_M2: f64 = 75.0;

/// Finds constructions: the scene's own first, then the catalogue's.
#[derive(Clone, Copy)]
pub(super) struct Lookup<'a> {
    scene: &'a Scene,
    catalogue: &'a Catalogue,
}

impl<'a> Lookup<'a> {
    pub(super) fn new(scene: &'a Scene, catalogue: &'a Catalogue) -> Self {
        Self { scene, catalogue }
    }

    pub(super) fn construction(&self, id: &str) -> Option<&'a Construction> {
        self.scene.constructions.iter().find(|own| own.id == id).or_else(|| self.catalogue.constructions.get(id))
    }

    /// Refuses a name nothing is known of.
    pub(super) fn require(&self, id: &str, place: Place, problems: &mut Vec<Problem>) -> Option<&'a Construction> {
        let found = self.construction(id);
        if found.is_none() {
            problems.push(Problem::error(
                Some(place.0),
                place.1,
                format!("there is no construction \"{id}\""),
                "name one of the catalogue, or add it to the scene's constructions",
            ));
        }
        found
    }

    /// Mass per area, kg/m²; 0 where it is unknown. Decides only which of two crossing walls runs on.
    pub(super) fn mass_kg_m2(&self, id: &str) -> f64 {
        self.construction(id).and_then(|found| found.mass_per_area_kg_m2(self.catalogue).ok()).unwrap_or(0.0)
    }

    /// True when the layers read the same from both sides, so that it does not matter which way a wall is drawn.
    pub(super) fn is_symmetric(&self, id: &str) -> bool {
        match self.construction(id).map(|found| &found.build) {
            Some(Build::Layers(layers)) => {
                let bare = |layer: &Layer| match layer.clone() {
                    Layer::Sheet { material, thickness_mm, .. } => {
                        Layer::Sheet { material, thickness_mm, bonded: false }
                    }
                    other => other,
                };
                layers.iter().map(bare).eq(layers.iter().rev().map(bare))
            }
            _ => true,
        }
    }

    /// True for masonry, concrete and the like: one plate that can run on through a junction by itself.
    pub(super) fn is_massive(&self, id: &str) -> bool {
        !self.is_framed(id) && self.mass_kg_m2(id) >= MASSIVE_KG_M2
    }

    /// True when two constructions side by side can be one piece: the same word, or massive ones whose heaviest sheet is the
    /// same (a brick wall plastered on one side goes on as one plastered on both, a slab goes on under a floating screed).
    pub(super) fn is_one_piece(&self, a: &str, b: &str) -> bool {
        a == b
            || (self.is_massive(a) && self.is_massive(b) && self.core(a).is_some_and(|core| self.core(b) == Some(core)))
    }

    /// Material and thickness of the heaviest sheet.
    fn core(&self, id: &str) -> Option<(&'a str, f64)> {
        let Build::Layers(layers) = &self.construction(id)?.build else { return None };
        let mass = |layer: &Layer| layer.mass_per_area_kg_m2(self.catalogue).unwrap_or(0.0);
        let heaviest = layers.iter().max_by(|a, b| mass(a).total_cmp(&mass(b)))?;
        let Layer::Sheet { material, thickness_mm, .. } = heaviest else { return None };
        Some((material, *thickness_mm))
    }

    /// True when joists or studs carry it.
    fn is_framed(&self, id: &str) -> bool {
        let Some(Build::Layers(layers)) = self.construction(id).map(|found| &found.build) else { return false };
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
                | Bridge::Battens { .. }
                | Bridge::Hangers { .. }
                | Bridge::DoorCore => false,
            }
        })
    }
}
