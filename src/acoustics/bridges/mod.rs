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

pub(crate) use kinds::{Coupling, KINDS, Kind, Kinds};
pub(crate) use transfer::{BridgedLeaf, Bridging, Drive, Regular};

use serde::{Deserialize, Serialize};

use super::NotPhysical;

/// How two leaves are connected across their cavity.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Connection {
    /// Separate frames with nothing in common but the surrounding structure.
    Free,
    /// One row of solid timber studs, both leaves fixed to it.
    TimberStuds {
        /// Distance between studs, m.
        spacing_m: f64,
    },
    /// One row of light-gauge steel C studs, both leaves fixed to it.
    LightSteelStuds {
        /// Distance between studs, m.
        spacing_m: f64,
    },
    /// Resilient bars on one side of timber studs or joists, across them.
    ResilientBars {
        /// Distance between bars, m.
        spacing_m: f64,
    },
    /// Staggered studs on common head and sole plates.
    StaggeredStuds {
        /// Distance between the studs of one leaf, m.
        spacing_m: f64,
    },
    /// The spacer and seal round the edge of a sealed glazing unit.
    SealedUnitSpacer,
    /// Separately framed panes in one opening, joined by the reveal.
    CommonReveal,
    /// Wire ties of a masonry cavity wall.
    WallTies {
        /// Ties for each square metre.
        per_m2: f64,
    },
    /// Rigid strip ties of a masonry cavity wall.
    RigidTies {
        /// Ties for each square metre.
        per_m2: f64,
    },
    /// Solid timber joists with boards above and a ceiling fixed below.
    Joists {
        /// Distance between joists, m.
        spacing_m: f64,
    },
    /// Battens fixed to a wall, boards fixed to them.
    Battens {
        /// Distance between battens, m.
        spacing_m: f64,
    },
    /// A suspended ceiling on hangers.
    Hangers {
        /// Hangers for each square metre.
        per_m2: f64,
        /// Hangers with a spring or rubber element.
        resilient: bool,
    },
    /// As [`Self::CommonReveal`], with an absorbent blanket round the reveal.
    AbsorbentReveal,
    /// Steel springs, rubber or foam pads, or hangers of known stiffness.
    Springs {
        /// Springs for each square metre.
        per_m2: f64,
        /// Dynamic stiffness of one, N/m.
        stiffness_n_m: f64,
    },
    /// The honeycomb, slatted or foam core of a hollow door: the faces bend as one sandwich.
    DoorCore,
}

impl Connection {
    /// Refuses spacings and numbers that cannot be built.
    ///
    /// # Errors
    ///
    /// When a spacing or a number for each square metre is not finite and above zero.
    pub(crate) fn check(self) -> Result<(), NotPhysical> {
        match self {
            Self::TimberStuds { spacing_m }
            | Self::LightSteelStuds { spacing_m }
            | Self::ResilientBars { spacing_m }
            | Self::StaggeredStuds { spacing_m }
            | Self::Joists { spacing_m }
            | Self::Battens { spacing_m } => {
                NotPhysical::unless_positive("spacing of the connection", spacing_m, "above zero, in m").map(drop)
            }
            Self::WallTies { per_m2 } | Self::RigidTies { per_m2 } | Self::Hangers { per_m2, .. } => {
                NotPhysical::unless_positive("number of connectors", per_m2, "above zero, per m²").map(drop)
            }
            Self::Springs { per_m2, stiffness_n_m } => {
                NotPhysical::unless_positive("number of springs", per_m2, "above zero, per m²")?;
                NotPhysical::unless_positive("stiffness of a spring", stiffness_n_m, "above zero, in N/m").map(drop)
            }
            Self::Free | Self::SealedUnitSpacer | Self::CommonReveal | Self::AbsorbentReveal | Self::DoorCore => Ok(()),
        }
    }
}

impl Connection {
    /// True for ties of masonry.
    #[must_use]
    pub fn is_tie(self) -> bool {
        matches!(self, Self::WallTies { .. } | Self::RigidTies { .. })
    }

    /// Distance between the lines that divide a cavity into cells, m.
    pub(crate) fn spacing_m(self) -> Option<f64> {
        match self {
            Self::TimberStuds { spacing_m }
            | Self::LightSteelStuds { spacing_m }
            | Self::Joists { spacing_m }
            | Self::Battens { spacing_m } => Some(spacing_m),
            _ => None,
        }
    }
}
