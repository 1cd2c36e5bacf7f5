//! Constructions by name, with what geometry and junctions ask of them.

use crate::catalogue::{Bridge, Build, Catalogue, Construction, Layer};
use crate::scene::Scene;

use super::problem::Problem;

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
    pub(super) fn require(&self, id: &str, place: &str, problems: &mut Vec<Problem>) -> Option<&'a Construction> {
        let found = self.construction(id);
        if found.is_none() {
            problems.push(Problem::new(
                place,
                format!("there is no construction \"{id}\""),
                "Name one of the catalogue, or add it to the scene's constructions.",
            ));
        }
        found
    }

    /// Mass per area, kg/m²; 0 where it is unknown. Decides only which of two crossing walls runs on.
    pub(super) fn mass_kg_m2(&self, id: &str) -> f64 {
        let density = |material: &str| self.catalogue.materials.get(material).map_or(0.0, |found| found.density_kg_m3);
        match self.construction(id).map(|found| &found.build) {
            Some(Build::Layers(layers)) => layers
                .iter()
                .map(|layer| match layer {
                    Layer::Sheet { material, thickness_mm, .. } | Layer::Resilient { material, thickness_mm } => {
                        density(material) * thickness_mm / 1000.0
                    }
                    Layer::Cavity { fill, .. } => {
                        fill.as_ref().map_or(0.0, |(material, thickness_mm)| density(material) * thickness_mm / 1000.0)
                    }
                })
                .sum(),
            Some(Build::Measured { mass_per_area_kg_m2, .. }) => *mass_per_area_kg_m2,
            _ => 0.0,
        }
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
