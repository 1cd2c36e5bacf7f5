//! Constructions: layer lists, or measured spectra, of walls, floors, roofs, windows, doors and vents.

use serde::{Deserialize, Serialize};

use super::contents::Catalogue;
use super::lookup::UnknownId;
use super::provenance::{Certainty, Provenance};
use crate::acoustics::bridges::Bridge;

/// What a construction is used as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ConstructionKind {
    /// A wall or partition.
    Wall,
    /// A floor between storeys, listed from the walking surface down to the ceiling below.
    Floor,
    /// A floor on the ground, listed from the walking surface down.
    Ground,
    /// A roof or flat ceiling to the open air, listed from outside to inside.
    Roof,
    /// A board, or several, to stand before something else: a face of an inner shell, a cover panel. Listed from inside the room outwards.
    Leaf,
    /// A window or glazed panel.
    Window,
    /// A door or hatch.
    Door,
    /// A vent or other small opening, rated by Dn,e.
    Vent,
    /// An open hole.
    Open,
}

/// A construction.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Construction {
    /// The word scenes use.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// What it is used as.
    pub kind: ConstructionKind,
    /// What it is made of, or what was measured.
    pub build: Build,
    /// Where the build comes from.
    pub provenance: Provenance,
    /// Between what its Rw usually lies, as print has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub usual_rw: Option<UsualRw>,
    /// Price per m² (per piece for vents): an invented placeholder the user edits.
    #[serde(default)]
    pub price_per_m2: Option<f64>,
    /// A caution to show with it, or empty.
    #[serde(default)]
    pub caution: String,
}

/// Between what Rw of such a build usually lies, dB, in a laboratory; sealed where it opens.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualRw {
    /// Least.
    pub lo: i32,
    /// Most.
    pub hi: i32,
    /// Where the range comes from.
    pub provenance: Provenance,
}

impl UsualRw {
    /// The range in words: "usual 29 to 32 dB (EN 12758)".
    #[must_use]
    pub fn words(&self, catalogue: &Catalogue) -> String {
        let Provenance { source, place, certainty } = &self.provenance;
        let title = catalogue.references.get(source).map_or("", |it| it.reference.as_str());
        let from = [title.trim_end_matches('.'), place.as_str()].into_iter().filter(|part| !part.is_empty());
        let from = from.collect::<Vec<_>>().join(", ");
        let mark = match certainty {
            Certainty::FromMemory => "; from memory, unverified",
            Certainty::CommonPractice => "; common practice",
            _ => "",
        };
        format!("usual Rw {} to {} dB ({from}{mark})", self.lo, self.hi)
    }
}

/// What a construction is made of, or what was measured of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Build {
    /// Layers in order. Of a wall: from its left face to its right face (left as seen from its first node to its second).
    Layers(Vec<Layer>),
    /// A measured sound reduction index.
    Measured {
        /// Total thickness, mm.
        thickness_mm: f64,
        /// Mass per area, kg/m²: decides junctions.
        mass_per_area_kg_m2: f64,
        /// Sound reduction index, dB, for the 24 bands 25 Hz to 5 kHz, or 21 from 50 Hz, or 16 from 100 Hz to 3150 Hz.
        r_db: Vec<f64>,
    },
    /// A small element rated by its element-normalised level difference.
    NormalisedDifference {
        /// Dn,e, dB, octaves 63 Hz to 4 kHz (7 values).
        dne_octaves_db: [f64; 7],
    },
    /// Nothing: an open hole.
    Open,
}

/// One layer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Layer {
    /// A sheet, board, pane, slab or masonry leaf. Sheets that touch form one leaf.
    Sheet {
        /// Material id.
        material: String,
        /// Thickness, mm.
        thickness_mm: f64,
        /// True when fully bonded to the sheet before it (plaster on brick, laminated glass); false when screwed or laid.
        #[serde(default)]
        bonded: bool,
    },
    /// A cavity between two leaves.
    Cavity {
        /// Depth, mm.
        depth_mm: f64,
        /// Porous fill: material id and thickness, mm.
        #[serde(default)]
        fill: Option<(String, f64)>,
        /// What joins the leaves across it.
        #[serde(default)]
        bridge: Bridge,
    },
    /// A resilient layer between two plates (under a screed or a dry floating floor).
    Resilient {
        /// Material id.
        material: String,
        /// Thickness, mm.
        thickness_mm: f64,
    },
}

impl Construction {
    /// Total thickness, m. An open hole and a vent have none.
    #[must_use]
    pub fn thickness_m(&self) -> f64 {
        match &self.build {
            Build::Layers(layers) => layers.iter().map(Layer::thickness_mm).sum::<f64>() / 1000.0,
            Build::Measured { thickness_mm, .. } => thickness_mm / 1000.0,
            Build::NormalisedDifference { .. } | Build::Open => 0.0,
        }
    }

    /// How many frames with gaps of their own stand one behind the other: two for a secondary pane or a door lobby, else one.
    #[must_use]
    pub fn frames(&self) -> usize {
        let Build::Layers(layers) = &self.build else { return 1 };
        let apart = |layer: &&Layer| {
            matches!(layer, Layer::Cavity { bridge: Bridge::CommonReveal | Bridge::AbsorbentReveal, .. })
        };
        1 + layers.iter().filter(apart).count()
    }

    /// Total mass per area, fills and resilient layers included, studs, joists and frames not; kg/m². Vents and holes have none.
    ///
    /// # Errors
    ///
    /// When `catalogue` lacks one of its materials.
    ///
    /// ```
    /// # use leaklight::catalogue::Catalogue;
    /// let catalogue = Catalogue::built_in_ref();
    /// let wall = catalogue.construction("brick-215-plastered").unwrap();
    /// // 215 mm of brick at 1750 kg/m³ and 26 mm of plaster at 1750 kg/m³.
    /// assert!((wall.mass_per_area_kg_m2(catalogue).unwrap() - 421.75).abs() < 1e-9);
    /// ```
    pub fn mass_per_area_kg_m2(&self, catalogue: &Catalogue) -> Result<f64, UnknownId> {
        match &self.build {
            Build::Layers(layers) => {
                layers.iter().try_fold(0.0, |sum, layer| Ok(sum + layer.mass_per_area_kg_m2(catalogue)?))
            }
            Build::Measured { mass_per_area_kg_m2, .. } => Ok(*mass_per_area_kg_m2),
            Build::NormalisedDifference { .. } | Build::Open => Ok(0.0),
        }
    }
}

impl Layer {
    /// Thickness, mm.
    #[must_use]
    pub fn thickness_mm(&self) -> f64 {
        match self {
            Self::Sheet { thickness_mm, .. } | Self::Resilient { thickness_mm, .. } => *thickness_mm,
            Self::Cavity { depth_mm, .. } => *depth_mm,
        }
    }
    /// Mass per area, kg/m²; of a cavity, that of its fill.
    ///
    /// # Errors
    ///
    /// When `catalogue` lacks its material.
    pub fn mass_per_area_kg_m2(&self, catalogue: &Catalogue) -> Result<f64, UnknownId> {
        let (material, thickness_mm) = match self {
            Self::Sheet { material, thickness_mm, .. } | Self::Resilient { material, thickness_mm } => {
                (material, *thickness_mm)
            }
            Self::Cavity { fill: Some((material, thickness_mm)), .. } => (material, *thickness_mm),
            Self::Cavity { fill: None, .. } => return Ok(0.0),
        };
        Ok(catalogue.material(material)?.density_kg_m3 * thickness_mm / 1000.0)
    }
}
