//! One parameter set for each kind of connection, and where it comes from.

use super::Connection;

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
    /// The compliance falls as f to the minus this: thin sections stiffen once their own waves fit in.
    pub stiffening: f64,
    /// Loss factor of the air in a cavity of this kind, as a multiple of the common one.
    pub loss_share: f64,
}

/// Parameter sets of all kinds, and what all cavities and leaves share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Kinds {
    pub free: Kind,
    pub timber_studs: Kind,
    pub light_steel_studs: Kind,
    pub resilient_bars: Kind,
    pub staggered_studs: Kind,
    pub sealed_unit: Kind,
    pub common_reveal: Kind,
    pub absorbent_reveal: Kind,
    pub wall_ties: Kind,
    pub rigid_ties: Kind,
    pub joists: Kind,
    pub battens: Kind,
    pub hangers: Kind,
    pub resilient_hangers: Kind,
    /// Shear modulus of the core of a hollow door, Pa.
    pub core_shear_pa: f64,
    /// Loss factor that mounting adds to a light leaf; it fades as mass grows past `mounting_mass`, kg/m².
    pub mounting_loss: f64,
    pub mounting_mass: f64,
    /// Loss factor of the air in an empty cavity 0.1 m deep at 500 Hz (the tangent of the phase of its stiffness); it falls with
    /// frequency and depth to the minus these powers.
    pub cavity_loss: f64,
    pub cavity_loss_frequency: f64,
    pub cavity_loss_depth: f64,
    /// The same in a filled cavity, on top of the fill's own, as a multiple of the empty cavity's.
    pub filled_loss: f64,
    /// Below this multiple of its first crosswise mode an empty cavity acts as a local spring.
    pub crosswise: f64,
    /// Shear modulus of the interlayer of laminated glass over its thickness, Pa/m, and its loss factor.
    pub interlayer_pa_m: f64,
    pub interlayer_loss: f64,
}

const fn kind(compliance: f64, stiffening: f64, loss_share: f64) -> Kind {
    Kind { compliance, stiffening, loss_share }
}

/// The parameter sets in use.
///
/// The form of each is published (see the module); the numbers are fitted, one set a kind and none a build, to the octave values
/// and STC of the tables named: Bies, Hansen & Howard, Engineering Noise Control, 5th ed. (2017), Table 7.6; ASHRAE Handbook, HVAC
/// Applications; Springer Handbook of Acoustics, 2nd ed.; Harris (ed.), Handbook of Acoustical Measurements, 3rd ed., ch. 31;
/// EN 12758:2011 Table 1 (from memory). For comparison: Davy (1991), in Bies 7.2.6, takes 0 for timber and 10⁻⁶ m²/N for steel studs.
pub(crate) const KINDS: Kinds = Kinds {
    // Bies 51, 52, ASHRAE 6, Harris double studs: what separate frames still share at their edges.
    free: kind(1.7e-6, 0.2, 1.0),
    // Springer 1, 3, Bies 45, 46, Harris single timber studs; their bays lose half of what larger cavities do.
    timber_studs: kind(3.8e-8, 0.0, 0.5),
    // ASHRAE 3, 4, Springer 6, 7, Bies 48, 49, Harris steel studs.
    light_steel_studs: kind(5e-7, 1.0, 1.0),
    // Bies 54, Harris studs with resilient channels.
    resilient_bars: kind(6e-7, 1.0, 1.0),
    // Springer 4: one wall only.
    staggered_studs: kind(2e-7, 0.0, 1.0),
    // EN 12758 4/12/4, 6/12/4, 10/12/4, Harris Table 31.8 to 30 mm; closed edges lose little.
    sealed_unit: kind(3.4e-8, 0.2, 0.68),
    // Bies 63 to 70, Harris Table 31.8 from 40 mm; bare reveals swallow little.
    common_reveal: kind(1.2e-6, 1.25, 0.3),
    // Bies 66, 67: the same reveal, losing what other cavities do.
    absorbent_reveal: kind(1.2e-6, 1.25, 1.0),
    // Type A of Approved Document E (2003), section 2: at most 4.8 MN/m³ at 2.5 ties for each m², so 1.92 MN/m each (from memory, unverified).
    wall_ties: kind(5.2e-7, 0.0, 1.0),
    // Strip ties, twenty times as stiff: 40 MN/m (from memory, unverified; vertical twist ties).
    rigid_ties: kind(2.5e-8, 0.0, 1.0),
    // Springer 19, Bies 85.
    joists: kind(1e-7, 0.0, 0.5),
    // No table: as timber studs.
    battens: kind(3.8e-8, 0.0, 0.5),
    // No table: a metal hanger of some 10⁷ N/m.
    hangers: kind(1e-7, 0.0, 1.0),
    // ASHRAE 9: one floor only; agrees with a spring hanger of 6·10⁵ N/m.
    resilient_hangers: kind(1.6e-6, 0.0, 1.0),
    // Springer 15, Bies 72, 75, Harris hollow doors.
    core_shear_pa: 1.8e7,
    // Single glass of Bies and EN 12758; Hopkins (2007) gives 0.02 to 0.05 in the frame (common practice).
    mounting_loss: 0.025,
    mounting_mass: 50.0,
    // All empty and filled cavities of the tables together.
    cavity_loss: 0.2,
    cavity_loss_frequency: 0.9,
    cavity_loss_depth: -0.3,
    filled_loss: 6.0,
    crosswise: 0.2,
    // Laminated glass of Bies, Springer and EN 12758: 15 MPa over 0.38 mm.
    interlayer_pa_m: 4e10,
    interlayer_loss: 0.5,
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
            Connection::RigidTies { per_m2 } => (self.rigid_ties, Coupling::Points(per_m2)),
            Connection::Joists { spacing_m } => (self.joists, Coupling::Lines(1.0 / spacing_m)),
            Connection::Battens { spacing_m } => (self.battens, Coupling::Lines(1.0 / spacing_m)),
            Connection::Hangers { per_m2, resilient: false } => (self.hangers, Coupling::Points(per_m2)),
            Connection::Hangers { per_m2, resilient: true } => (self.resilient_hangers, Coupling::Points(per_m2)),
            Connection::AbsorbentReveal => (self.absorbent_reveal, Coupling::Lines(edge_per_m)),
            // A massless spring: with the masses of the leaves it has the resonance of two masses on a spring, by the formula itself.
            Connection::Springs { per_m2, stiffness_n_m } => {
                (kind(1.0 / stiffness_n_m, 0.0, 1.0), Coupling::Points(per_m2))
            }
            // The faces and the core are one sandwich leaf; no cavity is left to bridge.
            Connection::DoorCore => (kind(f64::INFINITY, 0.0, 1.0), Coupling::Lines(0.0)),
        }
    }
}
