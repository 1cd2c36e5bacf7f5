//! Constructions by name, with what geometry and junctions ask of them.

use crate::catalogue::{Bridge, Build, Catalogue, Construction, Layer};
use crate::scene::{Problem, Scene, StoreyId, Thing};

/// A storey and the thing on it that is at fault.
pub(super) type Place<'a> = (&'a StoreyId, Thing);

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

    /// True when joists, studs or battens carry it, so that it is not one plate which runs on by itself.
    pub(super) fn is_framed(&self, id: &str) -> bool {
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
                | Bridge::WallTies { .. }
                | Bridge::Battens { .. }
                | Bridge::Hangers { .. }
                | Bridge::DoorCore => false,
            }
        })
    }
}
