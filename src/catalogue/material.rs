//! Materials: plates, limp sheets, soft films and porous fills.

use serde::{Deserialize, Serialize};

use super::provenance::Provenance;

/// A material, with what its acoustics need.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// The word other entries use.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// What it does to sound.
    pub nature: Nature,
    /// Where the values come from.
    pub provenance: Provenance,
    /// A caution to show with it (asbestos, weight, fire), or empty.
    #[serde(default)]
    pub caution: String,
}

/// What a material does to sound.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Nature {
    /// A plate with bending stiffness.
    Plate {
        /// Quasi-longitudinal wave speed, m/s.
        longitudinal_speed_m_s: f64,
        /// Poisson's ratio.
        poisson: f64,
        /// Internal loss factor.
        internal_loss: f64,
    },
    /// A sheet with mass and no stiffness to speak of. Between two stiff sheets it parts their bending.
    Limp,
    /// A soft film between two sheets, which it holds together while it shears: the interlayer of laminated glass, a damping compound.
    Viscoelastic {
        /// Dynamic shear modulus at room temperature and mid frequencies, MPa.
        shear_modulus_mpa: f64,
        /// Loss factor of its shear.
        loss_factor: f64,
    },
    /// A porous fill for cavities.
    Porous {
        /// Airflow resistivity, Pa·s/m².
        flow_resistivity_pa_s_m2: f64,
    },
    /// A resilient layer under a screed or dry floating floor.
    Resilient {
        /// Dynamic stiffness of the usual thickness, MN/m³.
        dynamic_stiffness_mn_m3: f64,
        /// The thickness that stiffness was given for, mm.
        at_thickness_mm: f64,
    },
}

impl Nature {
    /// True for what a sheet of a construction can be made of.
    #[must_use]
    pub fn is_sheet(&self) -> bool {
        matches!(self, Self::Plate { .. } | Self::Limp | Self::Viscoelastic { .. })
    }

    /// True for what can fill a cavity.
    #[must_use]
    pub fn is_porous(&self) -> bool {
        matches!(self, Self::Porous { .. })
    }

    /// True for what a resilient layer can be made of.
    #[must_use]
    pub fn is_resilient(&self) -> bool {
        matches!(self, Self::Resilient { .. })
    }
}
