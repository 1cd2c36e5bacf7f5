//! What ties two leaves together across a cavity, and how much sound passes by it.
//!
//! Each kind is a line or a point coupling with a compliance: the force in it is Δv/(Y1 + Y2 + jωC), where Δv is the velocity
//! difference of the leaves without it and Y the line or point mobility of each leaf. The driven leaf radiates from that
//! force, as a line or point source with its free waves. Lines and points at regular distances also join the leaves as the waves of the stack see them,
//! so that stiff studs make bays that resonate and ties stiffen the cavity. This is the bridge of Sharp, Noise Control Engineering 11 (1978), with the
//! compliance of Davy, JASA 127 (2010) 841 and 132 (2012) 814; Bies, Hansen & Howard, Engineering Noise Control,
//! 5th ed. (2017), 7.2.6; Vigran, Applied Acoustics 71 (2010) 616; radiation: Cremer, Heckl & Petersson, Structure-Borne Sound, ch. 7.

mod kinds;
mod transfer;

pub(crate) use kinds::{BRIDGES, BridgeParameters, BridgeTable, Coupling};
pub(crate) use transfer::{BridgedLeaf, Bridging, Drive, Regular};

use serde::{Deserialize, Serialize};

use super::NotPhysical;

/// What joins two leaves across a cavity. Each kind has one published model and one set of parameters. Lengths in mm, as constructions are written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Bridge {
    /// Nothing.
    #[default]
    Free,
    /// Solid timber studs, boards fixed directly on both sides.
    TimberStuds {
        /// Distance between studs, mm.
        spacing_mm: f64,
    },
    /// Light steel studs of C section.
    LightSteelStuds {
        /// Distance between studs, mm.
        spacing_mm: f64,
    },
    /// Resilient bars across studs or joists.
    ResilientBars {
        /// Distance between bars, mm.
        spacing_mm: f64,
    },
    /// Two rows of studs on common plates.
    StaggeredStuds {
        /// Distance between studs of one row, mm.
        spacing_mm: f64,
    },
    /// The edge of a sealed glazing unit.
    SealedUnitSpacer,
    /// The reveal round panes that are framed separately.
    CommonReveal,
    /// The same with an absorbent blanket round the reveal.
    AbsorbentReveal,
    /// Wire ties of a masonry cavity wall, the usual kind.
    WallTies {
        /// Ties per m².
        per_m2: f64,
    },
    /// Rigid strip ties of a masonry cavity wall.
    RigidTies {
        /// Ties per m².
        per_m2: f64,
    },
    /// Timber joists between floorboards and ceiling.
    Joists {
        /// Distance between joists, mm.
        spacing_mm: f64,
    },
    /// Battens on a wall.
    Battens {
        /// Distance between battens, mm.
        spacing_mm: f64,
    },
    /// Hangers of a suspended ceiling.
    Hangers {
        /// Hangers per m².
        per_m2: f64,
        /// True when they hold a spring or rubber element.
        resilient: bool,
    },
    /// Steel springs, rubber or foam pads.
    Springs {
        /// Springs per m².
        per_m2: f64,
        /// Dynamic stiffness of one, N/m.
        stiffness_n_m: f64,
    },
    /// The core of a hollow door.
    DoorCore,
}

impl Bridge {
    /// Distance between studs, joists, bars or battens, mm.
    #[must_use]
    pub fn spacing_mm(self) -> Option<f64> {
        match self {
            Self::TimberStuds { spacing_mm }
            | Self::LightSteelStuds { spacing_mm }
            | Self::ResilientBars { spacing_mm }
            | Self::StaggeredStuds { spacing_mm }
            | Self::Joists { spacing_mm }
            | Self::Battens { spacing_mm } => Some(spacing_mm),
            _ => None,
        }
    }

    /// Ties, hangers or springs for each square metre.
    #[must_use]
    pub fn per_m2(self) -> Option<f64> {
        match self {
            Self::WallTies { per_m2 }
            | Self::RigidTies { per_m2 }
            | Self::Hangers { per_m2, .. }
            | Self::Springs { per_m2, .. } => Some(per_m2),
            _ => None,
        }
    }

    /// Refuses spacings and numbers that cannot be built.
    ///
    /// # Errors
    ///
    /// When a spacing, a number for each square metre or a stiffness is not finite and above zero.
    pub(crate) fn check(self) -> Result<(), NotPhysical> {
        if let Some(spacing_mm) = self.spacing_mm() {
            NotPhysical::unless_positive("spacing of the connection", spacing_mm, "above zero, in mm")?;
        }
        if let Some(per_m2) = self.per_m2() {
            NotPhysical::unless_positive("number of connectors", per_m2, "above zero, per m²")?;
        }
        if let Self::Springs { stiffness_n_m, .. } = self {
            NotPhysical::unless_positive("stiffness of a spring", stiffness_n_m, "above zero, in N/m")?;
        }
        Ok(())
    }

    /// True for ties of masonry.
    #[must_use]
    pub fn is_tie(self) -> bool {
        matches!(self, Self::WallTies { .. } | Self::RigidTies { .. })
    }

    /// Distance between the lines that divide a cavity into cells, m.
    pub(crate) fn cell_m(self) -> Option<f64> {
        let across = matches!(self, Self::ResilientBars { .. } | Self::StaggeredStuds { .. });
        self.spacing_mm().filter(|_| !across).map(|spacing_mm| spacing_mm / 1000.0)
    }
}
