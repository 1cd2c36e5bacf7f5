//! The building of ISO 12354-1:2017 Annex L, put together from single functions: two rooms of 55 m³ one above the other.
//!
//! Not a topic; shared by several. Nominal band frequencies and air of 1.29 kg/m³ and 340 m/s, as the annex has them.

use super::Case;
use leaklight::acoustics::edge_loss::edge_absorption;
use leaklight::acoustics::flanking::FlankingElement;
use leaklight::acoustics::heavy::InSitu;
use leaklight::acoustics::junction_node::{Arm, Build, JunctionNode};
use leaklight::acoustics::plate::Plate;
use leaklight::acoustics::radiation::PanelSides;
use leaklight::acoustics::{Air, BAND_COUNT, Bands, Spectrum, bands};

/// The bands from 50 Hz up, which the annex prints.
pub(super) fn from_50_hz(spectrum: &Spectrum) -> &[f64] {
    &spectrum.0[bands::INDEX_50_HZ..]
}

/// 21 printed values from 50 Hz up as a spectrum; below, the first value stands in and is not compared.
pub(super) fn spectrum(printed: &[f64]) -> Spectrum {
    assert_eq!(printed.len(), BAND_COUNT - bands::INDEX_50_HZ);
    Spectrum::from_fn(|band| printed[band.saturating_sub(bands::INDEX_50_HZ)])
}

/// Refuses a case printed for other bands than 50 Hz to 5 kHz.
pub(super) fn expect_bands(case: &Case) -> Result<(), String> {
    let printed_hz = case.numbers("bands_hz");
    if printed_hz == bands::NOMINAL_HZ[bands::INDEX_50_HZ..] { Ok(()) } else { Err(format!("bands {printed_hz:?}")) }
}

pub(super) fn air_of(case: &Case) -> Air {
    // Some cases need the speed alone and print no density; the annex's holds for all.
    let density = case.input("air_density_kg_m3").as_f64().unwrap_or(1.29);
    Air::stated(density, case.number("speed_of_sound_m_s")).unwrap()
}

pub(super) fn plate_of(number: impl Fn(&str) -> f64, air: &Air) -> Plate {
    Plate::stated(
        number("mass_per_area_kg_m2"),
        number("critical_frequency_hz"),
        air,
        number("internal_loss_factor"),
        number("density_kg_m3"),
        number("longitudinal_speed_m_s"),
    )
    .unwrap()
}

/// 10^(−K/10).
pub(super) fn factor(kij_db: f64) -> f64 {
    10f64.powf(-kij_db / 10.0)
}

/// Σ l·α over the four edges of an element, m.
fn sum_m(edges: [(f64, Spectrum); 4]) -> Spectrum {
    edges.iter().fold(Spectrum::ZERO, |sum, (length_m, alpha)| sum.zip(alpha, |sum, alpha| sum + length_m * alpha))
}

/// Ln of a bare heavy floor in situ, dB, from mass per area, total loss and radiation efficiency: 155 − 30 lg m' + 10 lg(Ts·σ·f/1000), Ts = 2.2/(f·η).
/// Source: ISO 12354-2:2017 Annex B.
pub(super) fn annex_b_ln_db(mass_kg_m2: f64, loss: &Spectrum, sigma: &Spectrum) -> Spectrum {
    loss.zip(sigma, |loss, sigma| 155.0 - 30.0 * mass_kg_m2.log10() + 10.0 * (2.2 / loss * sigma / 1000.0).log10())
}

/// Ln of a path round a junction, dB, from Ln of the floor: what the airborne path passes over what the floor itself passes.
pub(super) fn round_db(ln_db: &Spectrum, floor: &FlankingElement, path_m2: &Spectrum) -> Spectrum {
    Spectrum::from_fn(|band| ln_db[band] + 10.0 * (path_m2[band] / (floor.tau[band] * floor.area_m2)).log10())
}

#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Element {
    Floor,
    Ext1,
    Ext2,
    Int1,
    Int2,
}

use Element::{Ext1, Ext2, Floor, Int1, Int2};

/// Walls in the order 1 to 4 of the annex.
pub(super) const WALLS: [Element; 4] = [Ext1, Ext2, Int1, Int2];

pub(super) struct Building {
    pub(super) air: Air,
    pub(super) bands: Bands,
}

impl Building {
    pub(super) fn new() -> Self {
        Self { air: Air::stated(1.29, 340.0).unwrap(), bands: Bands::nominal() }
    }

    /// Element data as printed (annex p. 78; internal loss of the external walls 0.0125, see the note of `l3-eta-ext1`).
    pub(super) fn plate(&self, element: Element) -> Plate {
        let (mass, fc, loss, density, speed) = match element {
            Floor => (484.0, 76.8, 0.005, 2200.0, 3800.0),
            Ext1 | Ext2 => (219.0, 92.6, 0.0125, 600.0, 1900.0),
            Int1 | Int2 => (360.0, 128.4, 0.01, 1800.0, 2500.0),
        };
        Plate::stated(mass, fc, &self.air, loss, density, speed).unwrap()
    }

    fn sides_m(element: Element) -> (f64, f64) {
        match element {
            Floor => (5.0, 4.0),
            Ext1 | Int1 => (4.0, 2.75),
            Ext2 | Int2 => (5.0, 2.75),
        }
    }

    pub(super) fn sides(element: Element) -> PanelSides {
        let (long, short) = Self::sides_m(element);
        PanelSides::new(long, short).unwrap()
    }

    /// Length of the junction of a wall with the floor, m.
    pub(super) fn length_m(wall: Element) -> f64 {
        Self::sides_m(wall).0
    }

    fn arm(&self, element: Element) -> Arm {
        Arm::new(self.plate(element).mass_kg_m2(), Build::Heavy).unwrap()
    }

    /// Wall below (0), floor (1), wall above (2), and behind an internal wall the floor of the next rooms (3).
    pub(super) fn floor_junction(&self, wall: Element) -> JunctionNode {
        let (w, f) = (self.arm(wall), self.arm(Floor));
        match wall {
            Ext1 | Ext2 => JunctionNode::new(vec![w, f, w], vec![(0, 2)]),
            _ => JunctionNode::new(vec![w, f, w, f], vec![(0, 2), (1, 3)]),
        }
        .unwrap()
    }

    /// α of one arm at a junction whose arms are these elements.
    fn alpha(&self, node: &JunctionNode, elements: &[Element], own: usize) -> Spectrum {
        edge_absorption((0..elements.len()).filter(|other| *other != own).map(|other| {
            let kij = node.kij(own, other, &self.bands).unwrap();
            (self.plate(elements[other]).critical_hz(&self.air), kij.db.map(factor))
        }))
    }

    /// Σ l·α of an element, m: wall 1 stands opposite 3 and meets 2 in a corner and 4 in a T, where it runs on.
    pub(super) fn edge_sum_m(&self, element: Element) -> Spectrum {
        let at_floor = |wall: Element, own: usize| {
            let elements = [wall, Floor, wall, Floor];
            let arms = if matches!(wall, Ext1 | Ext2) { 3 } else { 4 };
            self.alpha(&self.floor_junction(wall), &elements[..arms], own)
        };
        if element == Floor {
            return sum_m(WALLS.map(|wall| (Self::length_m(wall), at_floor(wall, 1))));
        }
        let corner = |other: Element| {
            let node = JunctionNode::new(vec![self.arm(element), self.arm(other)], vec![]).unwrap();
            self.alpha(&node, &[element, other], 0)
        };
        // An external wall running past an internal one; `own` 0 is the external, 1 the internal wall.
        let t = |external: Element, internal: Element, own: usize| {
            let elements = [external, internal, external];
            let node = JunctionNode::new(elements.map(|e| self.arm(e)).to_vec(), vec![(0, 2)]).unwrap();
            self.alpha(&node, &elements, own)
        };
        let cross = |other: Element| {
            let elements = [element, other, element, other];
            let node = JunctionNode::new(elements.map(|e| self.arm(e)).to_vec(), vec![(0, 2), (1, 3)]).unwrap();
            self.alpha(&node, &elements, 0)
        };
        let (one, other) = match element {
            Ext1 => (corner(Ext2), t(Ext1, Int2, 0)),
            Ext2 => (corner(Ext1), t(Ext2, Int1, 0)),
            Int1 => (t(Ext2, Int1, 1), cross(Int2)),
            _ => (t(Ext1, Int2, 1), cross(Int1)),
        };
        let (long_m, height_m) = Self::sides_m(element);
        sum_m([(long_m, at_floor(element, 0)), (long_m, at_floor(element, 0)), (height_m, one), (height_m, other)])
    }

    pub(super) fn in_situ(&self, element: Element) -> InSitu {
        let edges = self.edge_sum_m(element);
        InSitu::new(&self.plate(element), Self::sides(element), &edges, &self.bands, &self.air)
    }
}
