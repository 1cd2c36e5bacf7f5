//! One parameter set for each kind of connection, and where it comes from.

use super::Bridge;

/// The shape of a coupling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Coupling {
    /// Along the edge, or at places of no order; so many metres of line for each square metre.
    Edge(f64),
    /// Studs, joists or bars at a regular distance; so many metres of line for each square metre, each of so many kg/m.
    Studs {
        /// Metres of line for each square metre.
        per_m: f64,
        /// Mass of the line itself, kg/m.
        kg_m: f64,
    },
    /// Points at regular distances; so many for each square metre.
    Points(f64),
}

/// One kind's set of parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BridgeParameters {
    /// Compliance at 500 Hz: m²/N for a line (per metre of it), m/N for a point.
    pub compliance: f64,
    /// The compliance is even far below this frequency and falls far above it as f to the minus `stiffening`: thin sections stiffen once
    /// their own waves fit in. 0: it falls everywhere. With a `stiffening` of −1 it rises as f up to the knee, and is even above: what nails hold at
    /// points gives way between them.
    pub knee_hz: f64,
    pub stiffening: f64,
    /// Loss factor of the air in an empty cavity of this kind.
    pub air_loss: f64,
}

impl BridgeParameters {
    /// Compliance at a frequency. Form: Davy, JASA 132 (2012) 814 (from memory, unverified), its exponent left free.
    pub(crate) fn compliance_at(&self, hz: f64) -> f64 {
        if self.stiffening == 0.0 {
            return self.compliance;
        }
        let knee = if self.knee_hz > 0.0 { self.knee_hz.powf(self.stiffening) } else { 0.0 };
        let softened = |hz: f64| (hz.powf(self.stiffening) + knee).recip();
        self.compliance * softened(hz) / softened(500.0)
    }
}

/// Parameter sets of all kinds, and what all cavities and leaves share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BridgeTable {
    pub free: BridgeParameters,
    pub timber_studs: BridgeParameters,
    pub light_steel_studs: BridgeParameters,
    pub resilient_bars: BridgeParameters,
    pub staggered_studs: BridgeParameters,
    pub sealed_unit: BridgeParameters,
    pub common_reveal: BridgeParameters,
    pub absorbent_reveal: BridgeParameters,
    pub wall_ties: BridgeParameters,
    pub rigid_ties: BridgeParameters,
    pub joists: BridgeParameters,
    pub battens: BridgeParameters,
    pub hangers: BridgeParameters,
    pub resilient_hangers: BridgeParameters,
    /// Shear modulus of the core of a hollow door, Pa.
    pub core_shear_pa: f64,
    /// Loss factor that mounting adds to a light leaf; it fades as mass grows past `mounting_mass`, kg/m².
    pub mounting_loss: f64,
    pub mounting_mass: f64,
    /// Loss factor of a filled cavity, on top of the fill's own.
    pub fill_loss: f64,
    /// Below this multiple of its first crosswise mode an empty cavity acts as a local spring.
    pub crosswise: f64,
    /// From about this mass per area, kg/m², the free waves of a leaf count behind and before a cavity as they do in the bare leaf.
    pub free_wave_mass: f64,
    /// Standard deviation of the distance of studs, and of the place where a board meets one, m.
    pub stud_scatter_m: f64,
    /// Shear modulus of the interlayer of laminated glass over its thickness, Pa/m, and its loss factor.
    pub interlayer_pa_m: f64,
    pub interlayer_loss: f64,
}

/// Loss factor of the air between boards on frames: fitted below the most that thermal conduction can give between adiabatic and isothermal,
/// (γ − 1)/(2√γ) = 0.17 for γ = 1.4. Source: Zener's relaxation with those two stiffnesses (Cremer, Heckl & Petersson, Structure-Borne Sound, ch. 4).
const BOARDS_LOSS: f64 = 0.12;
/// The same between panes in one reveal and between masonry, whose edges are hard: fitted to glazing, 0.05 to 0.15 fit alike.
const HARD_LOSS: f64 = 0.1;
/// The same in a sealed unit, tight all round: fitted to EN 12758 (octaves of three units within 1.6 dB in the mean).
const SEALED_LOSS: f64 = 0.072;
/// The same where a blanket lines the edge of a pane's cavity: energy that runs along the cavity meets it c·α·U/(πS·ω) of the time, 0.3 at 125 Hz for α = 0.5 and
/// U/S = 3 m⁻¹. Source of the form: mean free path in two dimensions (Kuttruff, Room Acoustics, ch. 4, from memory, unverified); taken the same in all bands.
const ABSORBENT_LOSS: f64 = 0.3;

const fn kind(compliance: f64, knee_hz: f64, stiffening: f64, air_loss: f64) -> BridgeParameters {
    BridgeParameters { compliance, knee_hz, stiffening, air_loss }
}

/// The parameter sets in use.
///
/// The form of each is published (see the module); the numbers are fitted, one set a kind and none a build, to the octave values
/// and STC of the tables named: Bies, Hansen & Howard, Engineering Noise Control, 5th ed. (2017), Table 7.6; ASHRAE Handbook, HVAC
/// Applications; Springer Handbook of Acoustics, 2nd ed.; Harris (ed.), Handbook of Acoustical Measurements, 3rd ed., ch. 31;
/// EN 12758:2011 Table 1 (from memory); third octaves 50 to 125 Hz of five walls of NRC IR-761 (second-hand). For comparison: Davy (2012) gives
/// steel studs 1 to 2·10⁻⁶ m²/N far below 400 Hz (from memory, unverified); these are at 1.4·10⁻⁶.
pub(crate) const BRIDGES: BridgeTable = BridgeTable {
    // Bies 51, 52, ASHRAE 6, Harris double studs: what separate frames still share at their edges.
    free: kind(1.6e-6, 0.0, 0.3, BOARDS_LOSS),
    // Springer 1, 3, Bies 45, 46, Harris single timber studs, IR-761.
    timber_studs: kind(5e-8, 0.0, 0.0, BOARDS_LOSS),
    // ASHRAE 3, 4, Springer 6, 7, Bies 48, 49, Harris steel studs, IR-761.
    light_steel_studs: kind(6.9e-7, 500.0, 1.45, BOARDS_LOSS),
    // Bies 54, Harris studs with resilient channels, IR-761.
    resilient_bars: kind(1.06e-6, 500.0, 1.5, BOARDS_LOSS),
    // Springer 4 (empty) and IR-761 (filled): frames that share head and sole plate.
    staggered_studs: kind(3e-7, 0.0, 0.5, BOARDS_LOSS),
    // EN 12758 4/12/4, 6/12/4, 10/12/4, Harris Table 31.8 to 30 mm.
    sealed_unit: kind(3e-8, 0.0, 0.2, SEALED_LOSS),
    // Bies 63 to 70, Harris Table 31.8 from 40 mm.
    common_reveal: kind(1.05e-6, 0.0, 1.25, HARD_LOSS),
    // Bies 66, 67: the same reveal, whose blanket takes up sound all round.
    absorbent_reveal: kind(1.05e-6, 0.0, 1.25, ABSORBENT_LOSS),
    // Type A of Approved Document E (2003), section 2: at most 4.8 MN/m³ at 2.5 ties for each m², so 1.92 MN/m each (from memory, unverified).
    wall_ties: kind(5.2e-7, 0.0, 0.0, HARD_LOSS),
    // Strip ties, twenty times as stiff: 40 MN/m (from memory, unverified; vertical twist ties).
    rigid_ties: kind(2.5e-8, 0.0, 0.0, HARD_LOSS),
    // Springer 19, Bies 85: boards nailed at points.
    joists: kind(1.8e-7, 200.0, -1.0, BOARDS_LOSS),
    // No table: as timber studs.
    battens: kind(5e-8, 0.0, 0.0, BOARDS_LOSS),
    // No table: a metal hanger of some 10⁷ N/m.
    hangers: kind(1e-7, 0.0, 0.0, BOARDS_LOSS),
    // ASHRAE 9, computed there, it seems: 4.5·10⁵ N/m. A rubber element that gives 3 mm under 20 kg and is twice as stiff in motion has 1.3·10⁵.
    resilient_hangers: kind(2.2e-6, 0.0, 0.0, BOARDS_LOSS),
    // Springer 15, Bies 72, 75, Harris hollow doors.
    core_shear_pa: 1.8e7,
    // Single glass of Bies and EN 12758; Hopkins (2007) gives 0.02 to 0.05 in the frame (common practice).
    mounting_loss: 0.025,
    mounting_mass: 50.0,
    // The depth of the dip in IR-761: 0.25 to 0.5 fit alike. Boards rub on studs and wool there; own judgement.
    fill_loss: 0.5,
    // Empty cavities of the tables: 0.1 to 0.4 fit alike.
    crosswise: 0.2,
    // Own limit, as for heavy elements.
    free_wave_mass: 60.0,
    // Own judgement: a board's width is met by hand, and screws stand at 200 to 300 mm; 0.03 to 0.07 fit alike.
    stud_scatter_m: 0.05,
    // Laminated glass of Bies, Springer and EN 12758: 15 MPa over 0.38 mm.
    interlayer_pa_m: 4e10,
    interlayer_loss: 0.5,
};

/// Width and density of the timber of studs, joists and battens, for the mass of a line: m, kg/m³. Common practice, no source.
const TIMBER: (f64, f64) = (0.045, 480.0);

impl BridgeTable {
    /// The parameters of a bridge and its coupling, across a cavity of `depth_m`, for a panel of perimeter over area `edge_per_m`, 1/m.
    pub(crate) fn of(&self, bridge: Bridge, depth_m: f64, edge_per_m: f64) -> (BridgeParameters, Coupling) {
        let studs = |spacing_mm: f64, kg_m: f64| Coupling::Studs { per_m: 1.0 / (spacing_mm / 1000.0), kg_m };
        let timber = |spacing_mm: f64| studs(spacing_mm, TIMBER.0 * TIMBER.1 * depth_m);
        // Sheet metal weighs next to nothing beside the boards.
        let metal = |spacing_mm: f64| studs(spacing_mm, 0.0);
        match bridge {
            Bridge::Free => (self.free, Coupling::Edge(edge_per_m)),
            Bridge::TimberStuds { spacing_mm } => (self.timber_studs, timber(spacing_mm)),
            Bridge::LightSteelStuds { spacing_mm } => (self.light_steel_studs, metal(spacing_mm)),
            Bridge::ResilientBars { spacing_mm } => (self.resilient_bars, metal(spacing_mm)),
            Bridge::StaggeredStuds { .. } => (self.staggered_studs, Coupling::Edge(edge_per_m)),
            Bridge::SealedUnitSpacer => (self.sealed_unit, Coupling::Edge(edge_per_m)),
            Bridge::CommonReveal => (self.common_reveal, Coupling::Edge(edge_per_m)),
            Bridge::WallTies { per_m2 } => (self.wall_ties, Coupling::Points(per_m2)),
            Bridge::RigidTies { per_m2 } => (self.rigid_ties, Coupling::Points(per_m2)),
            Bridge::Joists { spacing_mm } => (self.joists, timber(spacing_mm)),
            Bridge::Battens { spacing_mm } => (self.battens, timber(spacing_mm)),
            Bridge::Hangers { per_m2, resilient: false } => (self.hangers, Coupling::Points(per_m2)),
            Bridge::Hangers { per_m2, resilient: true } => (self.resilient_hangers, Coupling::Points(per_m2)),
            Bridge::AbsorbentReveal => (self.absorbent_reveal, Coupling::Edge(edge_per_m)),
            // A massless spring: with the masses of the leaves it has the resonance of two masses on a spring, by the formula itself.
            Bridge::Springs { per_m2, stiffness_n_m } => {
                (kind(1.0 / stiffness_n_m, 0.0, 0.0, BOARDS_LOSS), Coupling::Points(per_m2))
            }
            // The faces and the core are one sandwich leaf; no cavity is left to bridge.
            Bridge::DoorCore => (kind(f64::INFINITY, 0.0, 0.0, BOARDS_LOSS), Coupling::Edge(0.0)),
        }
    }
}
