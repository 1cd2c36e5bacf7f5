//! A stack of leaves and cavities, and the sound it lets through.

use super::cavity::Cavity;
use super::lanes::MOST_LEAVES;
use super::section::Section;
use super::sheet::Leaf;
use super::thirds;
use crate::acoustics::bridges::{BRIDGES, BridgeTable};
use crate::acoustics::{Air, Bands, NotPhysical, Spectrum};

/// Leaf, cavity, leaf, cavity, leaf …: one to four leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    leaves: Vec<Leaf>,
    cavities: Vec<Cavity>,
}

impl Stack {
    /// A stack of one leaf.
    #[must_use]
    pub fn single(leaf: Leaf) -> Self {
        Self { leaves: vec![leaf], cavities: Vec::new() }
    }

    /// Leaves from the source side on, with a cavity between each two.
    ///
    /// # Errors
    ///
    /// When there are no leaves, more than four, or not one cavity fewer than leaves.
    pub fn new(leaves: Vec<Leaf>, cavities: Vec<Cavity>) -> Result<Self, NotPhysical> {
        if leaves.is_empty() || leaves.len() > MOST_LEAVES {
            return Err(NotPhysical { what: "number of leaves", value: leaves.len() as f64, must: "between 1 and 4" });
        }
        if cavities.len() + 1 != leaves.len() {
            return Err(NotPhysical {
                what: "number of cavities",
                value: cavities.len() as f64,
                must: "one fewer than the leaves",
            });
        }
        Ok(Self { leaves, cavities })
    }

    /// The leaves, from the source side on.
    #[must_use]
    pub fn leaves(&self) -> &[Leaf] {
        &self.leaves
    }

    /// The cavities, from the source side on.
    #[must_use]
    pub fn cavities(&self) -> &[Cavity] {
        &self.cavities
    }

    /// Mass per area of leaves and fills, kg/m².
    #[must_use]
    pub fn mass_per_area_kg_m2(&self) -> f64 {
        let fills = self.cavities.iter().filter_map(Cavity::fill);
        self.leaves.iter().map(Leaf::mass_per_area_kg_m2).sum::<f64>()
            + fills.map(|fill| fill.thickness_m() * fill.density_kg_m3()).sum::<f64>()
    }

    /// Thickness over all, m.
    #[must_use]
    pub fn thickness_m(&self) -> f64 {
        self.leaves.iter().map(Leaf::thickness_m).sum::<f64>() + self.cavities.iter().map(Cavity::depth_m).sum::<f64>()
    }

    /// Transmission coefficient in a diffuse field, as built in a laboratory opening of sides `size` (l1, l2 in m); energy, not dB.
    ///
    /// Airborne part: transfer matrix of leaves (Mindlin plates) and cavities (equivalent fluids) at each angle of incidence, with the
    /// radiation of a finite panel on both sides; averaged over angle and over one to nine frequencies
    /// of each third octave. Beside it the free waves of each leaf and the bridge across each cavity. Sides are taken as at least 0.1 m.
    /// Sources: Allard & Atalla, Propagation of Sound in Porous Media, 2nd ed. (2009), ch. 11; Davy, JASA 126 (2009) 694 (finite
    /// size); ISO 12354-1:2017 Annex B (free waves); [`crate::acoustics::bridges`]. Below 50 Hz low confidence.
    #[must_use]
    pub fn transmission(&self, size: (f64, f64), air: &Air, bands: &Bands) -> Spectrum {
        self.transmission_with(&BRIDGES, size, air, bands)
    }

    /// Transmission coefficient of a plane wave whose angle from the normal has this cosine (0 to 1, at least 0.01 is taken), through
    /// the infinite stack: no edges, no bridges, no free waves. To compare with textbook laws.
    /// Source: Allard & Atalla, Propagation of Sound in Porous Media, 2nd ed. (2009), ch. 11.
    #[must_use]
    pub fn plane_wave_transmission(&self, cosine: f64, air: &Air, hz: f64) -> f64 {
        Section::new(self, &BRIDGES, (4.0, 2.5)).plane_wave(cosine.clamp(0.01, 1.0), hz, air)
    }

    pub(crate) fn transmission_with(
        &self,
        kinds: &BridgeTable,
        size: (f64, f64),
        air: &Air,
        bands: &Bands,
    ) -> Spectrum {
        // `max` also turns a NaN into the least side.
        let section = Section::new(self, kinds, (size.0.max(0.1), size.1.max(0.1)));
        thirds::thirds(bands, |hz| section.passed(hz, air))
    }
}
