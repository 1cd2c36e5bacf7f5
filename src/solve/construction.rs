//! A catalogue construction turned into something with a sound reduction index.
//!
//! Three kinds of layer list are told apart, because junctions and edges treat them differently (ISO 12354-1:2017, type A and B):
//! one heavy leaf with linings, two heavy leaves with a cavity, and light layered builds.

use super::Conditions;
use crate::acoustics::bridges::Connection;
use crate::acoustics::heavy::{laboratory_loss, plate_transmission};
use crate::acoustics::layers::{Cavity, Fill, Joint, Leaf, Sheet, Stack};
use crate::acoustics::lining::{self, FloatingFloor};
use crate::acoustics::plate::{self, Plate};
use crate::acoustics::radiation::PanelSides;
use crate::acoustics::{Air, Bands, NotPhysical, Spectrum, flanking};
use crate::catalogue::material::Nature;
use crate::catalogue::{Bridge, Build, Catalogue, Construction, ConstructionKind, Layer, Material};
use crate::scene::Ground;

/// From this mass per area on a leaf counts as a homogeneous heavy element whose edges matter, kg/m². Own limit, between the
/// light boards and the masonry the examples of ISO 12354-1:2017 Annexes E and L are about.
const HEAVY_KG_M2: f64 = 60.0;
/// A floating plate of at least this mass is a screed (30 lg), a lighter one a dry floor (40 lg), kg/m². Own limit.
const SCREED_KG_M2: f64 = 50.0;
/// What the linings of one face gain at most in any band, dB: edges, pipes and fixings pass the rest. Common practice, no source; the ideal
/// mass on a spring would go on to 60 dB and more.
const MOST_GAIN_DB: f64 = 35.0;
/// Two heavy leaves gain at most this over one of their whole mass, dB: footings, roof and edges join them. Source: DIN 4109-32:2016, two-leaf
/// party walls, 28 lg(m') − 18 + 12 dB for the best separation (from memory, unverified; a weighted value there, here in every band).
const MOST_TWIN_GAIN_DB: f64 = 12.0;
/// No build passes less than this: 85 dB. Laboratories find their own limit there (ISO 10140-5, R'max), buildings sooner. Own figure.
const LEAST_TAU: f64 = 3.162e-9;

/// Why a construction cannot be computed, as a sentence.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unusable {
    /// A layer names a material the catalogue lacks.
    #[error(
        "construction \"{construction}\": there is no material \"{material}\" in the catalogue. Use one that is, or add it."
    )]
    NoMaterial {
        /// Construction id.
        construction: String,
        /// Material id.
        material: String,
    },
    /// A material is used as what it is not.
    #[error("construction \"{construction}\": \"{material}\" cannot be used as {role}.")]
    WrongRole {
        /// Construction id.
        construction: String,
        /// Material id.
        material: String,
        /// What it was used as.
        role: &'static str,
    },
    /// A value cannot be.
    #[error("construction \"{construction}\": {why}.")]
    NotPhysical {
        /// Construction id.
        construction: String,
        /// What cannot be.
        why: NotPhysical,
    },
    /// The layers do not make a build.
    #[error("construction \"{construction}\": {why}")]
    Layers {
        /// Construction id.
        construction: String,
        /// What is wrong with the list, and what to do.
        why: &'static str,
    },
}

/// A construction ready to compute.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// Mass per area of all layers, kg/m².
    pub mass_kg_m2: f64,
    /// What it is to the solver.
    pub body: Body,
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
    /// A leaf before a cavity: the base with it, as a stack from the lining to the base.
    Leaves(Stack),
    /// A plate on a resilient layer.
    Floating {
        /// Resonance, Hz.
        resonance_hz: f64,
        /// Screed or dry.
        kind: FloatingFloor,
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
/// Source: ISO 10140-5:2010, 4.2 and 3.3 (from memory, unverified); doors: common practice, no source.
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
    let conditions = Conditions { bands: *bands, air: *air, ground: Ground::Hard, ideal_linings: false };
    let tau = resolved.laboratory_tau(size_m, &conditions);
    Ok(ElementCurve { r_db: tau.r_db_from_tau(), mass_per_area_kg_m2: resolved.mass_kg_m2 })
}

/// Looks up the materials and sorts the layers.
///
/// # Errors
///
/// When a layer cannot be computed.
pub fn resolve(catalogue: &Catalogue, construction: &Construction) -> Result<Resolved, Unusable> {
    let reader = Reader { catalogue, id: &construction.id };
    match &construction.build {
        Build::Layers(layers) => reader.layers(layers),
        Build::Measured { mass_per_area_kg_m2, r_db, .. } => {
            let r_db = widen_measured_db(r_db).ok_or_else(|| Unusable::Layers {
                construction: construction.id.clone(),
                why: "a measured R needs 24 values from 25 Hz, 21 from 50 Hz or 16 from 100 Hz to 3150 Hz.",
            })?;
            Ok(Resolved { mass_kg_m2: *mass_per_area_kg_m2, body: Body::Measured { r_db } })
        }
        Build::NormalisedDifference { dne_octaves_db } => {
            // Seven octaves from 63 Hz: the three thirds below take the 63 Hz value.
            let dne_db = Spectrum::from_fn(|band| dne_octaves_db[(band / 3).saturating_sub(1).min(6)]);
            Ok(Resolved { mass_kg_m2: 0.0, body: Body::Small { dne_db } })
        }
        Build::Open => Ok(Resolved { mass_kg_m2: 0.0, body: Body::Open }),
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
        held(&self.ideal_tau(size_m, conditions), conditions)
    }

    /// The same, not held within what real buildings do.
    pub(super) fn ideal_tau(&self, size_m: [f64; 2], conditions: &Conditions) -> Spectrum {
        let (air, bands) = (&conditions.air, &conditions.bands);
        let size = (size_m[0], size_m[1]);
        match &self.body {
            Body::Heavy { plate, bare, linings } => {
                let base = match PanelSides::new(size_m[0], size_m[1]) {
                    Ok(sides) => plate_transmission(plate, sides, &laboratory_loss(plate, bands), bands, air),
                    Err(_) => return Spectrum::ZERO,
                };
                let gain_db =
                    add(&gains_db(bare, &linings[0], size, conditions), &gains_db(bare, &linings[1], size, conditions));
                base.zip(&gain_db, |tau, gain| tau * 10f64.powf(-gain / 10.0))
            }
            Body::Light { stack, linings } => {
                let gain_db = add(
                    &gains_db(stack, &linings[0], size, conditions),
                    &gains_db(stack, &linings[1], size, conditions),
                );
                stack.transmission(size, air, bands).zip(&gain_db, |tau, gain| tau * 10f64.powf(-gain / 10.0))
            }
            Body::Twin { plates, stack } => twin_tau(plates, stack, size, conditions),
            Body::Measured { r_db } => r_db.tau_from_r_db(),
            Body::Small { dne_db } => {
                flanking::path_area_from_dn_m2(dne_db).map(|area| (area / (size_m[0] * size_m[1])).min(1.0))
            }
            Body::Open => Spectrum::splat(1.0),
        }
    }
}

/// Transmission coefficient of two heavy leaves: the stack's, and at least that of one leaf of their whole mass less `MOST_TWIN_GAIN_DB`.
#[must_use]
pub fn twin_tau(plates: &[Plate; 2], stack: &Stack, size: (f64, f64), conditions: &Conditions) -> Spectrum {
    let (air, bands) = (&conditions.air, &conditions.bands);
    let apart = stack.transmission(size, air, bands);
    let (Ok(whole), Ok(sides)) = (joined(&plates[0], &plates[1]), PanelSides::new(size.0, size.1)) else {
        return apart;
    };
    let least = plate_transmission(&whole, sides, &laboratory_loss(&whole, bands), bands, air);
    apart.zip(&least, |apart, whole| apart.max(whole * 10f64.powf(-MOST_TWIN_GAIN_DB / 10.0)))
}

/// Two leaves cast into one: thickness and mass added.
fn joined(a: &Plate, b: &Plate) -> Result<Plate, NotPhysical> {
    let layer = |plate: &Plate| {
        // cL·h = √(12·B'/m'), and ρ·cL = m'·cL/h: so h² = m'·(cL·h)/(ρ·cL).
        let speed_times_thickness = (12.0 * plate.bending_stiffness_nm() / plate.mass_kg_m2()).sqrt();
        let thickness_m = (plate.mass_kg_m2() * speed_times_thickness / plate.longitudinal_impedance_pa_s_m()).sqrt();
        let density_kg_m3 = plate.mass_kg_m2() / thickness_m;
        let speed_m_s = plate.longitudinal_impedance_pa_s_m() / density_kg_m3;
        plate::Layer::new(thickness_m, density_kg_m3, speed_m_s, plate.internal_loss())
    };
    Plate::bonded(&[layer(a)?, layer(b)?])
}

/// ΔR of the linings on one face of a base, dB.
#[must_use]
pub fn gains_db(bare: &Stack, linings: &[Lining], size: (f64, f64), conditions: &Conditions) -> Spectrum {
    let (air, bands) = (&conditions.air, &conditions.bands);
    linings.iter().fold(Spectrum::ZERO, |sum, lining| {
        let gain_db = match lining {
            Lining::Leaves(with) => {
                let (with, without) = (with.transmission(size, air, bands), bare.transmission(size, air, bands));
                with.zip(&without, |with, without| 10.0 * (without / with).log10())
            }
            Lining::Floating { resonance_hz, kind } if conditions.ideal_linings => {
                lining::floating_floor_db(*kind, *resonance_hz, bands)
            }
            Lining::Floating { resonance_hz, kind } => lining::with_resonance_dip_db(*kind, *resonance_hz, bands),
        };
        let most_db = if conditions.ideal_linings { f64::INFINITY } else { MOST_GAIN_DB };
        sum.zip(&gain_db, |sum, gain| sum + gain.min(most_db))
    })
}

/// A transmission coefficient held between what a real building passes at least and everything.
#[must_use]
pub fn held(tau: &Spectrum, conditions: &Conditions) -> Spectrum {
    let least = if conditions.ideal_linings { 0.0 } else { LEAST_TAU };
    tau.map(|tau| tau.clamp(least, 1.0))
}

/// Band by band.
#[must_use]
pub fn add(a: &Spectrum, b: &Spectrum) -> Spectrum {
    a.zip(b, |a, b| a + b)
}

struct Reader<'a> {
    catalogue: &'a Catalogue,
    id: &'a str,
}

/// A run of leaves and cavities between resilient layers.
#[derive(Default)]
struct Group {
    leaves: Vec<Vec<(Material, f64, bool)>>,
    cavities: Vec<Cavity>,
}

impl Reader<'_> {
    fn layers(&self, layers: &[Layer]) -> Result<Resolved, Unusable> {
        let (groups, springs) = self.groups(layers)?;
        let built: Vec<(Vec<Leaf>, Vec<Cavity>)> = groups
            .into_iter()
            .map(|group| {
                let leaves = group.leaves.iter().map(|sheets| self.leaf(sheets)).collect::<Result<Vec<_>, _>>()?;
                Ok((leaves, group.cavities))
            })
            .collect::<Result<_, Unusable>>()?;
        let mass_of = |leaves: &[Leaf]| leaves.iter().map(Leaf::mass_per_area_kg_m2).sum::<f64>();
        let mass_kg_m2 = built
            .iter()
            .map(|(leaves, cavities)| {
                let fills =
                    cavities.iter().filter_map(Cavity::fill).map(|fill| fill.thickness_m() * fill.density_kg_m3());
                mass_of(leaves) + fills.sum::<f64>()
            })
            .sum();
        let main = (0..built.len())
            .max_by(|a, b| mass_of(&built[*a].0).total_cmp(&mass_of(&built[*b].0)))
            .ok_or_else(|| self.bad("it has no layers. Give it at least one sheet."))?;
        let base_kg_m2 = mass_of(&built[main].0);
        let mut floating: [Vec<Lining>; 2] = Default::default();
        for (at, (leaves, _)) in built.iter().enumerate().filter(|(at, _)| *at != main) {
            let spring = if at < main { springs[at] } else { springs[at - 1] };
            let plate_kg_m2 = mass_of(leaves);
            // Heavy bases count as rigid, as in the standard's floating floors; a light one swings along.
            let resonance = if base_kg_m2 >= HEAVY_KG_M2 {
                lining::floating_floor_resonance_hz(spring, plate_kg_m2)
            } else {
                lining::lining_resonance_hz(spring, base_kg_m2, plate_kg_m2)
            };
            let resonance_hz = resonance.map_err(|why| self.cannot(why))?;
            let kind = if plate_kg_m2 >= SCREED_KG_M2 { FloatingFloor::Screed } else { FloatingFloor::Dry };
            floating[usize::from(at > main)].push(Lining::Floating { resonance_hz, kind });
        }
        let body = self.body(&built[main].0, &built[main].1, floating)?;
        Ok(Resolved { mass_kg_m2, body })
    }

    fn body(&self, leaves: &[Leaf], cavities: &[Cavity], mut linings: [Vec<Lining>; 2]) -> Result<Body, Unusable> {
        let stack = |leaves: &[Leaf], cavities: &[Cavity]| {
            Stack::new(leaves.to_vec(), cavities.to_vec()).map_err(|why| self.cannot(why))
        };
        let heavy: Vec<usize> =
            (0..leaves.len()).filter(|at| leaves[*at].mass_per_area_kg_m2() >= HEAVY_KG_M2).collect();
        match heavy[..] {
            [] => Ok(Body::Light { stack: stack(leaves, cavities)?, linings }),
            [base] => {
                if base > 0 {
                    linings[0].push(Lining::Leaves(stack(&leaves[..=base], &cavities[..base])?));
                }
                if base + 1 < leaves.len() {
                    linings[1].push(Lining::Leaves(stack(&leaves[base..], &cavities[base..])?));
                }
                Ok(Body::Heavy { plate: self.plate(&leaves[base])?, bare: Stack::single(leaves[base]), linings })
            }
            [first, .., last] => Ok(Body::Twin {
                plates: [self.plate(&leaves[first])?, self.plate(&leaves[last])?],
                stack: stack(leaves, cavities)?,
            }),
        }
    }

    fn groups(&self, layers: &[Layer]) -> Result<(Vec<Group>, Vec<f64>), Unusable> {
        let (mut groups, mut springs) = (vec![Group::default()], Vec::new());
        let mut leaf_open = false;
        for layer in layers {
            let group = groups.last_mut().expect("starts with one");
            match layer {
                Layer::Sheet { material, thickness_mm, bonded } => {
                    let sheet = (self.material(material)?.clone(), thickness_mm / 1000.0, *bonded);
                    match group.leaves.last_mut() {
                        Some(leaf) if leaf_open => leaf.push(sheet),
                        _ => group.leaves.push(vec![sheet]),
                    }
                    leaf_open = true;
                }
                Layer::Cavity { depth_mm, fill, bridge } => {
                    if !leaf_open {
                        return Err(self.bad("a cavity must lie between two sheets. Put a sheet before it."));
                    }
                    group.cavities.push(self.cavity(*depth_mm, fill.as_ref(), *bridge)?);
                    leaf_open = false;
                }
                Layer::Resilient { material, thickness_mm } => {
                    if !leaf_open {
                        return Err(self.bad("a resilient layer must lie between two sheets. Put a sheet before it."));
                    }
                    springs.push(self.spring_mn_m3(material, *thickness_mm)?);
                    groups.push(Group::default());
                    leaf_open = false;
                }
            }
        }
        if !leaf_open {
            return Err(self.bad("it must end with a sheet. Add one after the last cavity or resilient layer."));
        }
        Ok((groups, springs))
    }

    /// Bonded sheets first become one section each; sections that only touch share their mass, not their bending.
    fn leaf(&self, sheets: &[(Material, f64, bool)]) -> Result<Leaf, Unusable> {
        let made = sheets
            .iter()
            .map(|(material, thickness_m, _)| match material.nature {
                Nature::Plate { longitudinal_speed_m_s, poisson, internal_loss } => {
                    Sheet::plate(*thickness_m, material.density_kg_m3, longitudinal_speed_m_s, poisson, internal_loss)
                        .map_err(|why| self.cannot(why))
                }
                Nature::Limp => Sheet::limp(*thickness_m, material.density_kg_m3).map_err(|why| self.cannot(why)),
                // A porous board between sheets that touch it, or a resilient mat laid loose, adds its mass alone.
                Nature::Porous { .. } | Nature::Resilient { .. } => {
                    Sheet::limp(*thickness_m, material.density_kg_m3).map_err(|why| self.cannot(why))
                }
            })
            .collect::<Result<Vec<_>, _>>()?;
        let bonded = sheets.len() > 1 && sheets[1..].iter().all(|(_, _, bonded)| *bonded);
        Leaf::new(&made, if bonded { Joint::Bonded } else { Joint::Screwed }).map_err(|why| self.cannot(why))
    }

    fn plate(&self, leaf: &Leaf) -> Result<Plate, Unusable> {
        // The plate of the same mass, stiffness, loss and thickness.
        let speed_m_s = (12.0 * leaf.bending_stiffness_nm() / leaf.mass_per_area_kg_m2()).sqrt() / leaf.thickness_m();
        let layer = plate::Layer::new(
            leaf.thickness_m(),
            leaf.mass_per_area_kg_m2() / leaf.thickness_m(),
            speed_m_s,
            leaf.loss_factor(),
        );
        layer.and_then(|layer| Plate::bonded(&[layer])).map_err(|why| self.cannot(why))
    }

    fn cavity(&self, depth_mm: f64, fill: Option<&(String, f64)>, bridge: Bridge) -> Result<Cavity, Unusable> {
        let fill = fill
            .map(|(material, thickness_mm)| match self.material(material)?.nature {
                Nature::Porous { flow_resistivity_pa_s_m2 } => {
                    Fill::new(thickness_mm / 1000.0, flow_resistivity_pa_s_m2, self.material(material)?.density_kg_m3)
                        .map_err(|why| self.cannot(why))
                }
                _ => Err(self.wrong(material, "a cavity fill; only porous materials can")),
            })
            .transpose()?;
        Cavity::new(depth_mm / 1000.0, fill, connection(bridge)).map_err(|why| self.cannot(why))
    }

    /// s' of a resilient layer of some thickness: stiffness goes with one over thickness.
    fn spring_mn_m3(&self, material: &str, thickness_mm: f64) -> Result<f64, Unusable> {
        match self.material(material)?.nature {
            Nature::Resilient { dynamic_stiffness_mn_m3, at_thickness_mm } => {
                Ok(dynamic_stiffness_mn_m3 * at_thickness_mm / thickness_mm)
            }
            _ => Err(self.wrong(material, "a resilient layer")),
        }
    }

    fn material(&self, id: &str) -> Result<&Material, Unusable> {
        self.catalogue
            .materials
            .get(id)
            .ok_or_else(|| Unusable::NoMaterial { construction: self.id.to_owned(), material: id.to_owned() })
    }

    fn bad(&self, why: &'static str) -> Unusable {
        Unusable::Layers { construction: self.id.to_owned(), why }
    }

    fn wrong(&self, material: &str, role: &'static str) -> Unusable {
        Unusable::WrongRole { construction: self.id.to_owned(), material: material.to_owned(), role }
    }

    fn cannot(&self, why: NotPhysical) -> Unusable {
        Unusable::NotPhysical { construction: self.id.to_owned(), why }
    }
}

fn connection(bridge: Bridge) -> Connection {
    let m = |mm: f64| mm / 1000.0;
    match bridge {
        Bridge::Free => Connection::Free,
        Bridge::TimberStuds { spacing_mm } => Connection::TimberStuds { spacing_m: m(spacing_mm) },
        Bridge::LightSteelStuds { spacing_mm } => Connection::LightSteelStuds { spacing_m: m(spacing_mm) },
        Bridge::ResilientBars { spacing_mm } => Connection::ResilientBars { spacing_m: m(spacing_mm) },
        Bridge::StaggeredStuds { spacing_mm } => Connection::StaggeredStuds { spacing_m: m(spacing_mm) },
        Bridge::SealedUnitSpacer => Connection::SealedUnitSpacer,
        Bridge::CommonReveal => Connection::CommonReveal,
        Bridge::AbsorbentReveal => Connection::AbsorbentReveal,
        Bridge::Springs { per_m2, stiffness_n_m } => Connection::Springs { per_m2, stiffness_n_m },
        Bridge::WallTies { per_m2 } => Connection::WallTies { per_m2 },
        Bridge::Joists { spacing_mm } => Connection::Joists { spacing_m: m(spacing_mm) },
        Bridge::Battens { spacing_mm } => Connection::Battens { spacing_m: m(spacing_mm) },
        Bridge::Hangers { per_m2, resilient } => Connection::Hangers { per_m2, resilient },
        Bridge::DoorCore => Connection::DoorCore,
    }
}
