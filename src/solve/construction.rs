//! A catalogue construction turned into something with a sound reduction index.
//!
//! Three kinds of layer list are told apart, because junctions and edges treat them differently (ISO 12354-1:2017, type A and B):
//! one heavy leaf with linings, two heavy leaves with a cavity, and light layered builds.

use super::conditions::Conditions;
use super::curves::transmission;
use super::foot;
use super::layer_reader::Reader;
use crate::acoustics::heavy::{InSitu, laboratory_loss, plate_transmission};
use crate::acoustics::layers::Stack;
use crate::acoustics::lining::{self, FloatingFloor};
use crate::acoustics::plate::Plate;
use crate::acoustics::radiation::PanelSides;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::{Air, Bands, Spectrum, flanking};
use crate::catalogue::{Build, Catalogue, Construction, ConstructionKind};

/// Why a construction cannot be computed, as a sentence.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("construction \"{construction}\": {why}")]
pub struct Unusable {
    /// Its id.
    pub construction: String,
    /// What is wrong, and what to do.
    pub why: String,
}

/// A construction ready to compute.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// Mass per area of all layers, kg/m².
    pub mass_kg_m2: f64,
    /// What it is to the solver.
    pub body: Body,
    /// What else it nearly is, with the share of each: a leaf between light and heavy is both in part. Usually nothing.
    pub nearly: Vec<(f64, Body)>,
}

/// What a construction is to the solver.
#[derive(Debug, Clone, PartialEq)]
pub enum Body {
    /// One heavy leaf, with linings before and behind it.
    Heavy {
        /// The leaf as a plate.
        plate: Plate,
        /// The leaf alone, as a stack of one: what the linings' gain is measured against.
        bare: Stack,
        /// Linings on the first and the last face.
        linings: [Vec<Lining>; 2],
    },
    /// Two heavy leaves with a cavity between them.
    Twin {
        /// First and last heavy leaf.
        plates: [Plate; 2],
        /// The whole build.
        stack: Stack,
    },
    /// Light layers, linings on springs included.
    Light {
        /// The build without what lies on resilient layers.
        stack: Stack,
        /// Linings on the first and the last face.
        linings: [Vec<Lining>; 2],
    },
    /// A measured sound reduction index, dB.
    Measured {
        /// R, dB.
        r_db: Spectrum,
    },
    /// A small element known by Dn,e, dB.
    Small {
        /// Dn,e, dB.
        dne_db: Spectrum,
    },
    /// A hole.
    Open,
}

/// Something on a face of a heavier base.
#[derive(Debug, Clone, PartialEq)]
pub enum Lining {
    /// A leaf before a cavity.
    Leaves {
        /// The base with it, as a stack from the lining to the base.
        with: Stack,
        /// Resonance, Hz.
        resonance_hz: f64,
    },
    /// A plate on a resilient layer.
    Floating {
        /// Resonance, Hz.
        resonance_hz: f64,
        /// Share of a dry floor in it: 1 for boards, 0 for a screed.
        dry: f64,
        /// What its mass adds to a base so light that it swings along, dB; 0 on a heavy one.
        mass_gain_db: f64,
    },
}

/// R per band of a construction by itself, as a laboratory would measure it.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementCurve {
    /// Sound reduction index, dB.
    pub r_db: Spectrum,
    /// Mass per area, kg/m².
    pub mass_per_area_kg_m2: f64,
}

/// Sizes of the openings laboratories test in, m: about 10 m² for walls and floors, 1.25 m × 1.5 m for glazing.
/// Source: ISO 10140-5:2010, 4.2 and 3.3 (from unverified); doors: common practice, no source.
#[must_use]
pub fn laboratory_size_m(kind: ConstructionKind) -> [f64; 2] {
    match kind {
        ConstructionKind::Window => [1.25, 1.5],
        ConstructionKind::Door => [0.9, 2.0],
        _ => [4.0, 2.5],
    }
}

/// The sound reduction index of a construction of `size_m` (two sides) in a laboratory opening.
///
/// A vent's Dn,e is given as the R of the stated area.
///
/// # Errors
///
/// When a layer cannot be computed: an unknown material, or one in a role it cannot have.
pub fn reduction(
    catalogue: &Catalogue,
    construction: &Construction,
    size_m: [f64; 2],
    air: &Air,
    bands: &Bands,
) -> Result<ElementCurve, Unusable> {
    let resolved = resolve(catalogue, construction)?;
    let conditions = Conditions::of_laboratory(air, bands);
    let tau = resolved.laboratory_tau(size_m, &conditions);
    Ok(ElementCurve { r_db: tau.r_db_from_tau(), mass_per_area_kg_m2: resolved.mass_kg_m2 })
}

/// Looks up the materials and sorts the layers.
///
/// # Errors
///
/// When a layer cannot be computed.
pub fn resolve(catalogue: &Catalogue, construction: &Construction) -> Result<Resolved, Unusable> {
    let reader = Reader::new(catalogue, &construction.id);
    match &construction.build {
        Build::Layers(layers) => {
            let storeys = matches!(
                construction.kind,
                ConstructionKind::Floor | ConstructionKind::Ground | ConstructionKind::Roof
            );
            reader.layers(layers, storeys)
        }
        Build::Measured { mass_per_area_kg_m2, r_db, .. } => {
            let counts = "a measured R needs 24 values from 25 Hz, 21 from 50 Hz or 16 from 100 Hz to 3150 Hz.";
            let r_db = widen_measured_db(r_db)
                .ok_or_else(|| Unusable { construction: construction.id.clone(), why: counts.to_owned() })?;
            Ok(Resolved { mass_kg_m2: *mass_per_area_kg_m2, body: Body::Measured { r_db }, nearly: vec![] })
        }
        Build::NormalisedDifference { dne_octaves_db } => {
            // Seven octaves from 63 Hz: the three thirds below take the 63 Hz value.
            let dne_db = Spectrum::from_fn(|band| dne_octaves_db[(band / 3).saturating_sub(1).min(6)]);
            Ok(Resolved { mass_kg_m2: 0.0, body: Body::Small { dne_db }, nearly: vec![] })
        }
        Build::Open => Ok(Resolved { mass_kg_m2: 0.0, body: Body::Open, nearly: vec![] }),
    }
}

/// Spreads 16, 21 or 24 measured values over the 24 bands. Below the measured range 6 dB less each octave (mass law), above it the last
/// value: own extrapolation.
#[must_use]
pub fn widen_measured_db(r_db: &[f64]) -> Option<Spectrum> {
    let first = match r_db.len() {
        24 => 0,
        21 => 3,
        16 => 6,
        _ => return None,
    };
    Some(Spectrum::from_fn(|band| match band.checked_sub(first) {
        None => (r_db[0] - 2.0 * (first - band) as f64).max(0.0),
        Some(at) => r_db[at.min(r_db.len() - 1)],
    }))
}

impl Resolved {
    /// Transmission coefficient in a laboratory opening of `size_m`.
    #[must_use]
    pub fn laboratory_tau(&self, size_m: [f64; 2], conditions: &Conditions) -> Spectrum {
        at_most_all(&self.ideal_tau(size_m, conditions))
    }

    /// The same, which may be a little more than everything where linings ring. Of a build that lies between two models R is mixed by share: decibels, not
    /// energies, which would let the poorer model take over within a few kilograms.
    pub(super) fn ideal_tau(&self, size_m: [f64; 2], conditions: &Conditions) -> Spectrum {
        let own = self.body.ideal_tau(size_m, conditions);
        self.nearly.iter().fold(own, |mixed, (share, body)| {
            let other = body.ideal_tau(size_m, conditions);
            mixed.zip(&other.zip(&own, |other, own| (other / own).powf(*share)), |mixed, factor| mixed * factor)
        })
    }
}

impl Body {
    fn ideal_tau(&self, size_m: [f64; 2], conditions: &Conditions) -> Spectrum {
        let (air, bands) = (&conditions.element_air, &conditions.bands);
        let size = (size_m[0], size_m[1]);
        match self {
            Body::Heavy { plate, bare, linings } => {
                let base = match PanelSides::new(size_m[0], size_m[1]) {
                    Ok(sides) => plate_transmission(plate, sides, &laboratory_loss(plate, bands), bands, air),
                    Err(_) => return Spectrum::ZERO,
                };
                let [first, last] = [0, 1].map(|face| gains_db(bare, &linings[face], size, conditions));
                let gain_db = both_faces_db(&first, &last, conditions);
                base.less_db(&gain_db)
            }
            Body::Light { stack, linings } => {
                let [first, last] = [0, 1].map(|face| gains_db(stack, &linings[face], size, conditions));
                let gain_db = both_faces_db(&first, &last, conditions);
                transmission(stack, size, conditions).less_db(&gain_db)
            }
            Body::Twin { plates, stack } => match foot::in_laboratory(plates, size, conditions) {
                Ok(leaves) => twin_tau(&leaves, stack, size, conditions),
                Err(_) => Spectrum::ZERO,
            },
            Body::Measured { r_db } => r_db.tau_from_r_db(),
            Body::Small { dne_db } => {
                flanking::path_area_from_dn_m2(dne_db).map(|area| (area / (size_m[0] * size_m[1])).min(1.0))
            }
            Body::Open => Spectrum::splat(1.0),
        }
    }
}

/// Transmission coefficient of two heavy leaves: through the stack, and by their foot, which is as long as the longer side.
pub(super) fn twin_tau(leaves: &[InSitu; 2], stack: &Stack, size: (f64, f64), conditions: &Conditions) -> Spectrum {
    add(&transmission(stack, size, conditions), &foot::tau(stack, leaves, size.0))
}

/// ΔR of the linings on one face of a base, dB.
#[must_use]
pub fn gains_db(bare: &Stack, linings: &[Lining], size: (f64, f64), conditions: &Conditions) -> Spectrum {
    linings.iter().fold(Spectrum::ZERO, |sum, lining| {
        let gain_db = match lining {
            Lining::Leaves { with, .. } => {
                let with = transmission(with, size, conditions);
                let without = transmission(bare, size, conditions);
                with.zip(&without, |with, without| 10.0 * (without / with).log10())
            }
            Lining::Floating { resonance_hz, dry, mass_gain_db } => {
                floating_gain_db(*resonance_hz, *dry, conditions).map(|gain| gain + mass_gain_db)
            }
        };
        if conditions.ideal_linings {
            return add(&sum, &gain_db);
        }
        let (Lining::Leaves { resonance_hz, .. } | Lining::Floating { resonance_hz, .. }) = lining;
        let base_rw_db = Airborne::rw_tenths_db_of_spectrum(&transmission(bare, size, conditions).r_db_from_tau());
        add(&sum, &lining::with_path_beside_db(&gain_db, lining::beside_lining_db(*resonance_hz, base_rw_db)))
    })
}

/// What a plate on a resilient layer gains, dB, `dry` of it as boards do and the rest as a screed: [`Lining::Floating`].
#[must_use]
pub fn floating_gain_db(resonance_hz: f64, dry: f64, conditions: &Conditions) -> Spectrum {
    let of = |kind| match conditions.ideal_linings {
        true => lining::floating_floor_db(kind, resonance_hz, &conditions.bands),
        false => lining::with_resonance_dip_db(kind, resonance_hz, &conditions.bands),
    };
    of(FloatingFloor::Screed).zip(&of(FloatingFloor::Dry), |screed, boards| screed + dry * (boards - screed))
}

/// ΔR of the linings of both faces on the path straight through, dB: where both gain, the lesser counts half. Source: ISO 12354-1:2017, simplified
/// model, direct transmission (from unverified; there for the weighted gains; band by band: own judgement). Ideal linings add, as in the detailed model.
#[must_use]
pub fn both_faces_db(first: &Spectrum, last: &Spectrum, conditions: &Conditions) -> Spectrum {
    if conditions.ideal_linings {
        return add(first, last);
    }
    first.zip(last, |first, last| first + last - first.min(last).max(0.0) / 2.0)
}

/// A transmission coefficient that is no more than everything.
#[must_use]
pub fn at_most_all(tau: &Spectrum) -> Spectrum {
    tau.map(|tau| tau.min(1.0))
}

/// Band by band.
#[must_use]
pub fn add(a: &Spectrum, b: &Spectrum) -> Spectrum {
    a.zip(b, |a, b| a + b)
}
