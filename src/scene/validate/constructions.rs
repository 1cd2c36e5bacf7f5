//! Constructions of the scene's own: their layers, or what was measured.

use std::collections::BTreeSet;

use super::names::{advice, kind_in_words};
use super::values::{Limits, REDUCTION_DB};
use super::{Check, Spot};
use crate::catalogue::material::Nature;
use crate::catalogue::{Bridge, Build, Construction, ConstructionKind, Layer};
use crate::scene::Thing;

const SHEET_MM: Limits = Limits::new(0.05, 3000.0, "mm");
const CAVITY_MM: Limits = Limits::new(0.5, 5000.0, "mm");
const SPACING_MM: Limits = Limits::new(50.0, 5000.0, "mm");
const PER_M2: Limits = Limits::new(0.01, 100.0, "per m²");
const PRICE: Limits = Limits::new(0.0, 1e6, "");
const MASS_KG_M2: Limits = Limits::new(0.1, 5000.0, "kg/m²");
/// 25 Hz to 5 kHz, 50 Hz to 5 kHz, 100 Hz to 3150 Hz.
const MEASURED_COUNTS: [usize; 3] = [24, 21, 16];

/// What a layer's material must be.
#[derive(Clone, Copy)]
enum Needed {
    Sheet,
    Porous,
    Resilient,
}

impl Check<'_> {
    pub(super) fn own_constructions(&mut self) {
        let scene = self.scene;
        let mut seen = BTreeSet::new();
        for construction in &scene.constructions {
            let spot = Spot::scene(Thing::Construction(construction.id.clone()));
            self.id(&spot, &construction.id, &mut seen, "construction");
            self.name(&spot, &construction.name);
            if self.catalogue.constructions.contains_key(&construction.id) {
                self.error(&spot, "the catalogue has one of the same id", "give it another word");
            }
            if let Some(price) = construction.price_per_m2 {
                self.number(&spot, "price", price, PRICE);
            }
            self.build(&spot, construction);
        }
    }

    fn build(&mut self, spot: &Spot, construction: &Construction) {
        let fits = match (&construction.build, construction.kind) {
            (Build::Open, kind) => kind == ConstructionKind::Open,
            (Build::NormalisedDifference { .. }, kind) => kind == ConstructionKind::Vent,
            (Build::Layers(_) | Build::Measured { .. }, kind) => {
                !matches!(kind, ConstructionKind::Open | ConstructionKind::Vent)
            }
        };
        if !fits {
            let kind = kind_in_words(construction.kind);
            let to_do = match construction.kind {
                ConstructionKind::Open => "write `build: Open`",
                ConstructionKind::Vent => "write `build: NormalisedDifference(…)`",
                _ => "write `build: Layers([…])` or `build: Measured(…)`",
            };
            self.error(spot, format!("it is {kind}, and its build is of another kind"), to_do);
        }
        match &construction.build {
            Build::Layers(layers) => self.layers(spot, layers),
            Build::Measured { thickness_mm, mass_per_area_kg_m2, r_db } => {
                self.number(spot, "thickness", *thickness_mm, SHEET_MM);
                self.number(spot, "mass per area", *mass_per_area_kg_m2, MASS_KG_M2);
                if !MEASURED_COUNTS.contains(&r_db.len()) {
                    self.error(
                        spot,
                        format!("its measured sound reduction index has {} values", r_db.len()),
                        "give 24 (25 Hz to 5 kHz), 21 (from 50 Hz) or 16 (100 Hz to 3150 Hz)",
                    );
                }
                self.spectrum(spot, "sound reduction index", r_db, REDUCTION_DB);
            }
            Build::NormalisedDifference { dne_octaves_db } => {
                self.spectrum(spot, "level difference", dne_octaves_db, REDUCTION_DB);
            }
            Build::Open => {}
        }
    }

    fn layers(&mut self, spot: &Spot, layers: &[Layer]) {
        if layers.is_empty() {
            self.error(spot, "it has no layers", "add at least one sheet");
        }
        let is_sheet = |position: Option<usize>| {
            position.and_then(|position| layers.get(position)).is_some_and(|layer| matches!(layer, Layer::Sheet { .. }))
        };
        for (position, layer) in layers.iter().enumerate() {
            let count = position + 1;
            let (before, after) = (is_sheet(position.checked_sub(1)), is_sheet(Some(count)));
            match layer {
                Layer::Sheet { material, thickness_mm, bonded } => {
                    self.material(spot, count, material, Needed::Sheet);
                    self.number(spot, &format!("thickness of layer {count}"), *thickness_mm, SHEET_MM);
                    if *bonded && !before {
                        self.error(
                            spot,
                            format!("layer {count} is bonded, and no sheet stands before it"),
                            "set `bonded` on the later one of two touching sheets",
                        );
                    }
                }
                Layer::Cavity { depth_mm, fill, bridge } => {
                    let depth = self.number(spot, &format!("depth of layer {count}"), *depth_mm, CAVITY_MM);
                    if let Some((material, thickness_mm)) = fill {
                        self.material(spot, count, material, Needed::Porous);
                        let limits = if depth { Limits::new(0.0, *depth_mm, "mm") } else { CAVITY_MM };
                        self.number(spot, &format!("fill of layer {count}"), *thickness_mm, limits);
                    }
                    self.bridge(spot, count, *bridge);
                    if !(before && after) {
                        self.error(
                            spot,
                            format!("layer {count} is a cavity without a sheet on both sides"),
                            "put a sheet before and behind it",
                        );
                    }
                }
                Layer::Resilient { material, thickness_mm } => {
                    self.material(spot, count, material, Needed::Resilient);
                    self.number(spot, &format!("thickness of layer {count}"), *thickness_mm, SHEET_MM);
                    if !(before && after) {
                        self.error(
                            spot,
                            format!("layer {count} is resilient without a sheet on both sides"),
                            "put a sheet before and behind it",
                        );
                    }
                }
            }
        }
    }

    fn material(&mut self, spot: &Spot, count: usize, id: &str, needed: Needed) {
        let fits = |nature: &Nature| match needed {
            Needed::Sheet => matches!(nature, Nature::Plate { .. } | Nature::Limp),
            Needed::Porous => matches!(nature, Nature::Porous { .. }),
            Needed::Resilient => matches!(nature, Nature::Resilient { .. }),
        };
        match self.catalogue.materials.get(id) {
            None => {
                let known = self.catalogue.materials.values().filter(|known| fits(&known.nature));
                let to_do = advice(id, known.map(|known| known.id.as_str()), "choose a material of the catalogue");
                self.error(spot, format!("the material \"{id}\" of layer {count} is not in the catalogue"), to_do);
            }
            Some(material) if !fits(&material.nature) => {
                let to_do = match needed {
                    Needed::Sheet => "choose a board, pane, slab or masonry",
                    Needed::Porous => "choose a porous fill",
                    Needed::Resilient => "choose a resilient layer",
                };
                self.error(spot, format!("the material \"{id}\" of layer {count} cannot serve there"), to_do);
            }
            Some(_) => {}
        }
    }

    fn bridge(&mut self, spot: &Spot, count: usize, bridge: Bridge) {
        match bridge {
            Bridge::Free | Bridge::SealedUnitSpacer | Bridge::CommonReveal | Bridge::DoorCore => {}
            Bridge::TimberStuds { spacing_mm }
            | Bridge::LightSteelStuds { spacing_mm }
            | Bridge::ResilientBars { spacing_mm }
            | Bridge::StaggeredStuds { spacing_mm }
            | Bridge::Joists { spacing_mm }
            | Bridge::Battens { spacing_mm } => {
                self.number(spot, &format!("spacing in layer {count}"), spacing_mm, SPACING_MM);
            }
            Bridge::WallTies { per_m2 } | Bridge::Hangers { per_m2, .. } => {
                self.number(spot, &format!("number of ties or hangers in layer {count}"), per_m2, PER_M2);
            }
        }
    }
}
