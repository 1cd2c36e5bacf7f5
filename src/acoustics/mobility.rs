//! How easily a point of a floor is moved: driving-point mobilities.

use super::NotPhysical;
use super::bands::{Bands, Spectrum};
use super::bridges::Bridge;
use super::layers::Stack;
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// Driving-point mobility of a thin infinite plate, m/(N·s): 1/(8√(B'·m')), real and the same at all frequencies.
///
/// `bending_nm` is B' (N·m), `mass_kg_m2` is m'. Source: Cremer, Heckl & Petersson, Structure-Borne Sound, 3rd ed. (2005), Table 5.1.
#[must_use]
pub fn plate_m_n_s(bending_nm: f64, mass_kg_m2: f64) -> f64 {
    1.0 / (8.0 * (bending_nm * mass_kg_m2).sqrt())
}

/// Driving-point impedance of an infinite beam in bending, N·s/m: 2·m_l·cB·(1 + j), cB = (B·ω²/m_l)^¼.
///
/// `bending_nm2` is B = E·I (N·m²), `mass_kg_m` the mass per length. Its mobility is (1 − j)/(4·m_l·cB).
/// Source: Cremer, Heckl & Petersson, Structure-Borne Sound, 3rd ed. (2005), Table 5.1.
#[must_use]
pub fn beam_impedance_n_s_m(bending_nm2: f64, mass_kg_m: f64, hz: f64) -> Complex64 {
    let omega = TAU * hz;
    let speed = (bending_nm2 * omega * omega / mass_kg_m).powf(0.25);
    2.0 * mass_kg_m * speed * Complex64::new(1.0, 1.0)
}

/// Impedance of a plate under a square area that is loaded evenly, N·s/m: jω·m'·A of what lies under it, and of what lies round it
/// 8√(B'·m') as at a point and the line impedance m'·cB·(1 + j) along its edges.
///
/// `floor_m2`: area of the whole plate. Of what lies round the area only the share (1 − A/S) is counted, so that a load over the whole
/// floor finds its mass alone. Limits: a point (A → 0) is the infinite plate, a long edge half an infinite beam per width, Cremer, Heckl & Petersson,
/// Structure-Borne Sound, 3rd ed. (2005), Table 5.1; their sum between the limits is our own.
#[must_use]
pub fn plate_area_impedance_n_s_m(bending_nm: f64, mass_kg_m2: f64, area_m2: f64, floor_m2: f64, hz: f64) -> Complex64 {
    let omega = TAU * hz;
    let area_m2 = area_m2.min(floor_m2);
    let speed = (bending_nm * omega * omega / mass_kg_m2).powf(0.25);
    let edge = 4.0 * area_m2.sqrt() * mass_kg_m2 * speed * Complex64::new(1.0, 1.0);
    let around = (1.0 / plate_m_n_s(bending_nm, mass_kg_m2) + edge) * (1.0 - area_m2 / floor_m2);
    around + Complex64::new(0.0, omega * mass_kg_m2 * area_m2)
}

/// A floor of boards on joists, for its point mobilities.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JoistFloor {
    board_bending_nm: f64,
    board_kg_m2: f64,
    joist_bending_nm2: f64,
    joist_kg_m: f64,
    spacing_m: f64,
    hung_kg_m2: f64,
}

/// Timber of ordinary joists: Young's modulus along the grain, Pa, and density, kg/m³ (common practice, no source).
const JOIST_PA: f64 = 10e9;
const JOIST_KG_M3: f64 = 450.0;
/// Breadth of a joist or stud, m (common practice, no source).
const JOIST_BREADTH_M: f64 = 0.05;

impl JoistFloor {
    /// Boards with bending stiffness per width `board_bending_nm` (N·m) and mass `board_kg_m2`; timber joists `joist_m` = (breadth, depth)
    /// every `spacing_m`; ceiling and fill that hang on them `hung_kg_m2` (may be 0).
    ///
    /// # Errors
    ///
    /// When a value is not finite and above zero, or the hung mass is below zero.
    pub fn new(
        board_bending_nm: f64,
        board_kg_m2: f64,
        joist_m: (f64, f64),
        spacing_m: f64,
        hung_kg_m2: f64,
    ) -> Result<Self, NotPhysical> {
        let breadth_m = NotPhysical::unless_positive("breadth of a joist", joist_m.0, "above zero, in m")?;
        let depth_m = NotPhysical::unless_positive("depth of a joist", joist_m.1, "above zero, in m")?;
        if !hung_kg_m2.is_finite() || hung_kg_m2 < 0.0 {
            return Err(NotPhysical {
                what: "mass under the joists",
                value: hung_kg_m2,
                must: "zero or more, in kg/m²",
            });
        }
        Ok(Self {
            board_bending_nm: NotPhysical::unless_positive(
                "bending stiffness",
                board_bending_nm,
                "above zero, in N·m",
            )?,
            board_kg_m2: NotPhysical::unless_positive("mass of the boards", board_kg_m2, "above zero, in kg/m²")?,
            joist_bending_nm2: JOIST_PA * breadth_m * depth_m.powi(3) / 12.0,
            joist_kg_m: JOIST_KG_M3 * breadth_m * depth_m,
            spacing_m: NotPhysical::unless_positive("spacing of joists", spacing_m, "above zero, in m")?,
            hung_kg_m2,
        })
    }

    /// First resonance of a board strip between two joists, Hz: π/(2s²)·√(B'/m'), simply supported. Below it board and joists move as one.
    #[must_use]
    pub fn bay_resonance_hz(&self) -> f64 {
        PI / (2.0 * self.spacing_m.powi(2)) * (self.board_bending_nm / self.board_kg_m2).sqrt()
    }

    /// The whole as an orthotropic plate: √(Bx·By), N·m, and m', kg/m².
    /// Source: Cremer, Heckl & Petersson, Structure-Borne Sound, 3rd ed. (2005), orthotropic plates (from memory, unverified).
    fn smeared(&self) -> (f64, f64) {
        let along = self.board_bending_nm + self.joist_bending_nm2 / self.spacing_m;
        let mass = self.board_kg_m2 + self.hung_kg_m2 + self.joist_kg_m / self.spacing_m;
        ((along * self.board_bending_nm).sqrt(), mass)
    }

    /// 0 where boards and joists move as one, an octave below the bay's resonance; 1 where the boards move between joists that stand still.
    fn boards_share(&self, hz: f64) -> f64 {
        (1.0 + (hz / self.bay_resonance_hz()).log2()).clamp(0.0, 1.0)
    }

    /// Under a load spread evenly over `area_m2` of a floor of `floor_m2`, m/(N·s): boards and joists as one plate in the bass, the boards
    /// alone above the bay's resonance, and a mean between by the same share as [`Self::between_m_n_s`].
    #[must_use]
    pub fn over_area_m_n_s(&self, area_m2: f64, floor_m2: f64, hz: f64) -> Complex64 {
        let (bending_nm, mass_kg_m2) = self.smeared();
        let whole = plate_area_impedance_n_s_m(bending_nm, mass_kg_m2, area_m2, floor_m2, hz);
        let board = plate_area_impedance_n_s_m(self.board_bending_nm, self.board_kg_m2, area_m2, floor_m2, hz);
        let share = self.boards_share(hz);
        (1.0 - share) / whole + share / board
    }

    /// Between joists, m/(N·s): the boards alone above the bay's resonance, the smeared plate an octave below it, and a power law between
    /// (own interpolation).
    #[must_use]
    pub fn between_m_n_s(&self, hz: f64) -> f64 {
        let (bending_nm, mass_kg_m2) = self.smeared();
        let (whole, board) =
            (plate_m_n_s(bending_nm, mass_kg_m2), plate_m_n_s(self.board_bending_nm, self.board_kg_m2));
        whole * (board / whole).powf(self.boards_share(hz))
    }

    /// Over a joist, m/(N·s): the impedances of joist (a beam) and boards added, and no more than the mobility between joists.
    ///
    /// Own sum of two infinite structures; the joist's ends and its twisting are left out.
    #[must_use]
    pub fn over_joist_m_n_s(&self, hz: f64) -> Complex64 {
        let board = 1.0 / plate_m_n_s(self.board_bending_nm, self.board_kg_m2);
        let both = 1.0 / (beam_impedance_n_s_m(self.joist_bending_nm2, self.joist_kg_m, hz) + board);
        let between = self.between_m_n_s(hz);
        if both.norm() > between { both * (between / both.norm()) } else { both }
    }
}

/// The floor under a contact point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PointMobility {
    /// One that does not give way.
    Rigid,
    /// Middle of a homogeneous plate.
    Plate {
        /// Bending stiffness per width, N·m.
        bending_nm: f64,
        /// Mass per area, kg/m².
        mass_kg_m2: f64,
    },
    /// Boards, away from the joists.
    BetweenJoists(JoistFloor),
    /// Boards, on a joist.
    OverJoist(JoistFloor),
    /// Measured real part per third octave, m/(N·s).
    Stated(Spectrum),
}

impl PointMobility {
    /// Mobility at any frequency, m/(N·s); a stated one is that of the nearest band.
    #[must_use]
    pub fn at(&self, hz: f64) -> Complex64 {
        match self {
            Self::Rigid => Complex64::ZERO,
            Self::Plate { bending_nm, mass_kg_m2 } => Complex64::from(plate_m_n_s(*bending_nm, *mass_kg_m2)),
            Self::BetweenJoists(floor) => Complex64::from(floor.between_m_n_s(hz)),
            Self::OverJoist(floor) => floor.over_joist_m_n_s(hz),
            Self::Stated(real) => Complex64::from(real[Bands::nearest(hz)]),
        }
    }

    /// Mobility under a load spread evenly over an area of the floor, m/(N·s); a stated one is taken as it is.
    #[must_use]
    pub fn over_area(&self, area_m2: f64, floor_m2: f64, hz: f64) -> Complex64 {
        match self {
            Self::Rigid | Self::Stated(_) => self.at(hz),
            Self::Plate { bending_nm, mass_kg_m2 } => {
                1.0 / plate_area_impedance_n_s_m(*bending_nm, *mass_kg_m2, area_m2, floor_m2, hz)
            }
            Self::BetweenJoists(floor) | Self::OverJoist(floor) => floor.over_area_m_n_s(area_m2, floor_m2, hz),
        }
    }

    /// Effective mobility of `contacts` feet spread over an area, moved together, m/(N·s): (1/n²)·ΣΣ Y_ij, the n point mobilities
    /// and between any two the mobility over the area (own simplification). Infinitely many are an even load.
    /// Source: multi-contact effective mobility, EN 12354-5:2009; EN 15657 (from memory, unverified).
    #[must_use]
    pub fn effective(&self, contacts: f64, area_m2: f64, floor_m2: f64, hz: f64) -> Complex64 {
        let own = 1.0 / contacts.max(1.0);
        own * self.at(hz) + (1.0 - own) * self.over_area(area_m2, floor_m2, hz)
    }
}

impl Stack {
    /// Mobility of the first (0) or last face of a light build: its boards between joists or studs where they are fixed to some, else the
    /// boards as a plate.
    ///
    /// Joists are as deep as the cavity and 50 mm broad. What is fixed to their other side hangs on them, what is there on
    /// bars, hangers or springs does not.
    #[must_use]
    pub fn mobility_of_face(&self, face: usize) -> PointMobility {
        let (leaves, cavities) = (self.leaves(), self.cavities());
        let (at, next) = if face == 0 { (0, 1) } else { (leaves.len() - 1, leaves.len().saturating_sub(2)) };
        let boards = &leaves[at];
        let (bending_nm, mass_kg_m2) = (boards.bending_stiffness_nm().max(1.0), boards.mass_per_area_kg_m2());
        let cavity = if face == 0 { cavities.first() } else { cavities.last() };
        let joists = cavity.and_then(|cavity| {
            let (spacing_m, fixed) = match cavity.bridge() {
                Bridge::Joists { spacing_mm } | Bridge::TimberStuds { spacing_mm } => (spacing_mm / 1000.0, true),
                Bridge::ResilientBars { spacing_mm } => (spacing_mm / 1000.0, false),
                _ => return None,
            };
            let hung_kg_m2 = if fixed { leaves[next].mass_per_area_kg_m2() } else { 0.0 };
            JoistFloor::new(bending_nm, mass_kg_m2, (JOIST_BREADTH_M, cavity.depth_m()), spacing_m, hung_kg_m2).ok()
        });
        joists.map_or(PointMobility::Plate { bending_nm, mass_kg_m2 }, PointMobility::BetweenJoists)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Chipboard 22 mm on joists 50 × 200 mm at 400 mm: stiffer over a joist than between, and the lighter the floor the easier to move.
    #[test]
    fn a_joist_is_harder_to_move_than_the_boards_beside_it() {
        let floor = JoistFloor::new(3000.0, 15.0, (0.05, 0.2), 0.4, 10.0).unwrap();
        for hz in [25.0, 63.0, 250.0, 1000.0, 5000.0] {
            assert!(floor.over_joist_m_n_s(hz).norm() <= floor.between_m_n_s(hz) * (1.0 + 1e-12));
        }
        assert!(floor.between_m_n_s(1000.0) > floor.between_m_n_s(31.5));
        assert!(JoistFloor::new(3000.0, 15.0, (0.05, 0.2), 0.4, -1.0).is_err());
    }

    #[test]
    fn the_beam_has_a_mobility_of_forty_five_degrees() {
        let mobility = 1.0 / beam_impedance_n_s_m(3e5, 4.5, 100.0);
        assert!((mobility.re + mobility.im).abs() < 1e-15 && mobility.re > 0.0);
    }
}
