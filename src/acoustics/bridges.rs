//! What ties two leaves together across a cavity, and how much sound passes by it.
//!
//! Each kind is a line or a point coupling with a compliance: the force in it is Δv/(Y1 + Y2 + jωC), where Δv is the velocity
//! difference of the leaves without it and Y the line or point mobility of each leaf. The driven leaf radiates from that
//! force, as a line or point source with its free waves. This is the bridge of Sharp, Noise Control Engineering 11 (1978), with the
//! compliance of Davy, JASA 127 (2010) 841 and 132 (2012) 814; Bies, Hansen & Howard, Engineering Noise Control,
//! 5th ed. (2017), 7.2.6; Vigran, Applied Acoustics 71 (2010) 616; radiation: Cremer, Heckl & Petersson, Structure-Borne Sound, ch. 7.

use num_complex::Complex64;
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
    /// Wire or strip ties of a masonry cavity wall.
    WallTies {
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
            Self::WallTies { per_m2 } | Self::Hangers { per_m2, .. } => {
                NotPhysical::unless_positive("number of connectors", per_m2, "above zero, per m²").map(drop)
            }
            Self::Free | Self::SealedUnitSpacer | Self::CommonReveal | Self::DoorCore => Ok(()),
        }
    }
}

impl Connection {
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

/// The shape of a coupling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Coupling {
    /// Lines; so many metres of line for each square metre.
    Lines(f64),
    /// Points; so many for each square metre.
    Points(f64),
}

/// One kind's set of parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Kind {
    /// Compliance at 500 Hz: m²/N for a line (per metre of it), m/N for a point.
    pub compliance: f64,
    /// The compliance falls as f to the minus this: sections stiffen when their own waves fit in.
    pub stiffening: f64,
    /// Loss of air in an empty cavity of this kind: k² = k0²(1 − jη).
    pub empty_loss: f64,
}

/// Parameter sets of all kinds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Kinds {
    pub free: Kind,
    pub timber_studs: Kind,
    pub light_steel_studs: Kind,
    pub resilient_bars: Kind,
    pub staggered_studs: Kind,
    pub sealed_unit: Kind,
    pub common_reveal: Kind,
    pub wall_ties: Kind,
    pub joists: Kind,
    pub battens: Kind,
    pub hangers: Kind,
    pub resilient_hangers: Kind,
    /// Shear modulus of a door core, Pa, and its density, kg/m³.
    pub core_shear_pa: f64,
    /// Loss factor that mounting adds to a light leaf.
    pub mounting_loss: f64,
    /// How much of the squared trace wavenumber a filled cavity follows sideways: 0 reacts locally, 1 as in open fluid.
    pub filled_lateral: f64,
    /// The same for an empty cavity.
    pub empty_lateral: f64,
    /// The loss of an empty cavity falls as frequency (re 500 Hz) to the minus this.
    pub empty_frequency: f64,
    /// … and as depth (re 0.1 m) to the minus this.
    pub empty_depth: f64,
    /// Shear modulus of the interlayer of laminated glass over its thickness, Pa/m, and its loss factor.
    pub interlayer_pa_m: f64,
    pub interlayer_loss: f64,
    pub empty_loss: f64,
    pub filled_loss: f64,
    pub frame: f64,
    pub mean: f64,
    pub taper: f64,
    pub gpow: f64,
}

const fn kind(compliance: f64, stiffening: f64, empty_loss: f64) -> Kind {
    Kind { compliance, stiffening, empty_loss }
}

/// The parameter sets in use.
pub(crate) const KINDS: Kinds = Kinds {
    free: kind(1.8e-6, 0.2, 1.0),
    timber_studs: kind(5e-8, 0.0, 1.0),
    light_steel_studs: kind(5e-7, 0.9, 1.0),
    resilient_bars: kind(6e-7, 0.9, 1.0),
    staggered_studs: kind(1.4e-7, 0.0, 1.0),
    sealed_unit: kind(4.4e-8, 0.2, 2.0),
    common_reveal: kind(1.2e-6, 1.2, 0.3),
    wall_ties: kind(1e-8, 0.0, 1.0),
    joists: kind(1.2e-7, 0.0, 1.0),
    battens: kind(5e-8, 0.0, 1.0),
    hangers: kind(1e-7, 0.0, 1.0),
    resilient_hangers: kind(1.6e-6, 0.0, 1.0),
    core_shear_pa: 1.8e7,
    mounting_loss: 0.025,
    filled_lateral: 0.0,
    empty_lateral: 0.32,
    empty_frequency: 0.9,
    empty_depth: -0.4,
    interlayer_pa_m: 2e10,
    interlayer_loss: 0.5,
    empty_loss: 0.2,
    filled_loss: 3.0,
    mean: 1.0,
    taper: 50.0,
    frame: 1.0,
    gpow: 2.0,
};

impl Kinds {
    /// The parameters of a connection and its coupling, for a panel of perimeter over area `edge_per_m`, 1/m.
    pub(crate) fn of(&self, connection: Connection, edge_per_m: f64) -> (Kind, Coupling) {
        match connection {
            Connection::Free => (self.free, Coupling::Lines(edge_per_m)),
            Connection::TimberStuds { spacing_m } => (self.timber_studs, Coupling::Lines(1.0 / spacing_m)),
            Connection::LightSteelStuds { spacing_m } => (self.light_steel_studs, Coupling::Lines(1.0 / spacing_m)),
            Connection::ResilientBars { spacing_m } => (self.resilient_bars, Coupling::Lines(1.0 / spacing_m)),
            Connection::StaggeredStuds { .. } => (self.staggered_studs, Coupling::Lines(edge_per_m)),
            Connection::SealedUnitSpacer => (self.sealed_unit, Coupling::Lines(edge_per_m)),
            Connection::CommonReveal => (self.common_reveal, Coupling::Lines(edge_per_m)),
            Connection::WallTies { per_m2 } => (self.wall_ties, Coupling::Points(per_m2)),
            Connection::Joists { spacing_m } => (self.joists, Coupling::Lines(1.0 / spacing_m)),
            Connection::Battens { spacing_m } => (self.battens, Coupling::Lines(1.0 / spacing_m)),
            Connection::Hangers { per_m2, resilient: false } => (self.hangers, Coupling::Points(per_m2)),
            Connection::Hangers { per_m2, resilient: true } => (self.resilient_hangers, Coupling::Points(per_m2)),
            // The faces and the core are one sandwich leaf; no cavity is left to bridge.
            Connection::DoorCore => (kind(f64::INFINITY, 0.0, 1.0), Coupling::Lines(0.0)),
        }
    }
}

/// What of a leaf a bridge feels at one frequency.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BridgedLeaf {
    /// kg/m².
    pub mass: f64,
    /// N·m.
    pub bending: f64,
    /// Loss factor of its free waves.
    pub loss: f64,
    /// (f/fc)².
    pub frequency_ratio_squared: f64,
    /// Radiation efficiency of its free waves.
    pub free_efficiency: f64,
}

impl BridgedLeaf {
    /// Velocity per line force, m²/(N·s): 1/(2 m' cB (1 + j)). Source: Cremer, Heckl & Petersson, table 5.1.
    fn line_mobility(&self, omega: f64) -> Complex64 {
        let bending_speed = omega.sqrt() * (self.bending / self.mass).powf(0.25);
        Complex64::new(1.0, -1.0) / (4.0 * self.mass * bending_speed)
    }

    /// Velocity per point force, m/(N·s): 1/(8√(B'm')). Source: Cremer, Heckl & Petersson, table 5.1.
    fn point_mobility(&self) -> f64 {
        1.0 / (8.0 * (self.bending * self.mass).sqrt())
    }

    /// ∫ dφ·(2/π) over 1/|1 − (f/fc)²(1 + jη) sin⁴φ|²: what bending adds to the mass-controlled line source.
    fn line_directivity(&self) -> f64 {
        self.directivity(|_| std::f64::consts::FRAC_2_PI)
    }

    fn point_directivity(&self) -> f64 {
        self.directivity(f64::sin)
    }

    fn directivity(&self, weight: impl Fn(f64) -> f64) -> f64 {
        const STEPS: usize = 24;
        let ratio = Complex64::new(1.0, self.loss) * self.frequency_ratio_squared;
        if self.frequency_ratio_squared > 1.0 {
            return above_coincidence(self.frequency_ratio_squared, self.loss, weight);
        }
        let step = std::f64::consts::FRAC_PI_2 / STEPS as f64;
        (0..STEPS)
            .map(|at| {
                let angle = (at as f64 + 0.5) * step;
                let sine = angle.sin();
                weight(angle) / (1.0 - ratio * sine.powi(4)).norm_sqr() * step
            })
            .sum()
    }
}

/// The same integral when the free waves radiate: the resonance is taken by its residue, the rest by the mass law.
fn above_coincidence(ratio_squared: f64, loss: f64, weight: impl Fn(f64) -> f64) -> f64 {
    // Near s = sin φ0 = (f/fc)^(−1/2): 1 − r s⁴ ≈ −4 cot φ0·δ, so ∫ dδ/|−4 cot φ0 δ − jη|² = π/(4 η cot φ0).
    let angle = ratio_squared.powf(-0.25).clamp(0.0, 1.0).asin();
    let cotangent = (1.0 / angle.tan()).max(loss.sqrt() / 2.0);
    weight(angle) * std::f64::consts::PI / (4.0 * loss * cotangent)
}

/// Power radiated per area by the driven leaf, per mean square velocity difference of the leaves; times 1/(ρ0c0): no unit.
pub(crate) fn radiated(
    first: &BridgedLeaf,
    second: &BridgedLeaf,
    kind: &Kind,
    coupling: Coupling,
    density: f64,
    speed: f64,
    hz: f64,
    kinds_mean: f64,
) -> f64 {
    if first.bending <= 0.0 || second.bending <= 0.0 {
        return 0.0;
    }
    let omega = std::f64::consts::TAU * hz;
    let kind_mean = kinds_mean;
    let compliance = kind.compliance * (hz / 500.0).powf(-kind.stiffening);
    let impedance = density * speed;
    let below = second.frequency_ratio_squared < 1.0;
    match coupling {
        Coupling::Lines(per_m) => {
            let mobility = second.line_mobility(omega);
            let together = per_m / omega * (1.0 / first.mass + 1.0 / second.mass);
            let total = first.line_mobility(omega) + mobility + Complex64::new(0.0, omega * compliance - kind_mean * together);
            let force_squared = 1.0 / total.norm_sqr();
            let near = density / (2.0 * omega * second.mass.powi(2)) * second.line_directivity();
            let free = impedance * second.free_efficiency * mobility.re / (omega * second.loss * second.mass);
            per_m * force_squared * (near + if below { free } else { 0.0 }) / impedance
        }
        Coupling::Points(per_m2) => {
            let mobility = second.point_mobility();
            let together = per_m2 / omega * (1.0 / first.mass + 1.0 / second.mass);
            let total = Complex64::new(first.point_mobility() + mobility, omega * compliance - kind_mean * together);
            let force_squared = 1.0 / total.norm_sqr();
            let near = density / (std::f64::consts::TAU * speed * second.mass.powi(2)) * second.point_directivity();
            let free = impedance * second.free_efficiency * mobility / (omega * second.loss * second.mass);
            per_m2 * force_squared * (near + if below { free } else { 0.0 }) / impedance
        }
    }
}
