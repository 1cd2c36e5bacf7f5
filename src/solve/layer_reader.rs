//! The layers of a construction read: materials looked up, sheets made into leaves, heavy leaves told from linings.

use super::construction::{Body, Lining, Resolved, Unusable};
use crate::acoustics::layers::{Cavity, Fill, Joint, Leaf, Sheet, Stack};
use crate::acoustics::lining;
use crate::acoustics::plate::Plate;
use crate::acoustics::{Air, NotPhysical};
use crate::catalogue::material::Nature;
use crate::catalogue::{Bridge, Catalogue, Layer, Material};

/// Below the first a leaf is light, above the second a homogeneous heavy element whose edges matter, between them both in part, kg/m²: nothing in a wall
/// changes its nature with a kilogram. Own limits, between the light boards and the masonry the examples of ISO 12354-1:2017 Annexes E and L are about.
const HEAVY_RANGE_KG_M2: [f64; 2] = [40.0, 90.0];
/// As stiff as masonry below the first critical frequency, limp as boards above the second, Hz: however many boards are screwed to one another, their free
/// waves do not rule them as those of a wall do. ISO 12354-1:2017, clause 3, draws the line of its type A elements near 1 kHz (from memory, unverified).
const LIMP_RANGE_HZ: [f64; 2] = [700.0, 2000.0];
/// Below the first a floating plate is a dry floor (40 lg), above the second a screed (30 lg), kg/m²: two gypsum fibre boards have 30, the
/// thinnest screed, 35 mm, has 70. Own judgement.
const SCREED_RANGE_KG_M2: [f64; 2] = [30.0, 65.0];
/// Of two groups of layers with a resilient layer between them, one is the base alone from this ratio of masses on; nearer to each other both are in part,
/// as the range has it. Own judgement.
const ALIKE_GROUPS: [f64; 2] = [0.5, 2.0];
/// Of a floor or a roof the last group bears the others, even if it is as many times lighter as this. Own judgement.
const BEARING_ADVANTAGE: f64 = 4.0;
/// Stiffness of the air in an empty cavity, MN/m²: ρ0·c0², 0.142 at 20 °C.
const EMPTY_MN_M2: f64 = 0.142;

/// From 0 at the lower end of a range to 1 at the upper, smooth at both, over the logarithm.
fn share([from, to]: [f64; 2], value: f64) -> f64 {
    let at = ((value / from).ln() / (to / from).ln()).clamp(0.0, 1.0);
    at * at * (3.0 - 2.0 * at)
}

/// How far a leaf counts as heavy, 0 to 1.
fn heavy_share(leaf: &Leaf) -> f64 {
    share(HEAVY_RANGE_KG_M2, leaf.mass_per_area_kg_m2())
        * (1.0 - share(LIMP_RANGE_HZ, leaf.critical_hz(&Air::default()).min(20_000.0)))
}

/// Reads the layers of one construction.
pub(super) struct Reader<'a> {
    catalogue: &'a Catalogue,
    id: &'a str,
}

/// A run of leaves and cavities between resilient layers.
#[derive(Default)]
struct Group {
    leaves: Vec<Vec<(Material, f64, bool)>>,
    cavities: Vec<Cavity>,
}

/// Leaves and cavities of a group.
type Built = (Vec<Leaf>, Vec<Cavity>);

fn mass_of((leaves, _): &Built) -> f64 {
    leaves.iter().map(Leaf::mass_per_area_kg_m2).sum()
}

/// Which group bears the others, which float on it: the one of most leaves; among those of one leaf number the heaviest, or of a floor or roof the last, unless
/// it is much lighter. With each the share in which it counts: two that weigh nearly the same both do.
fn bases(built: &[Built], storeys: bool) -> Vec<(f64, usize)> {
    let most = built.iter().map(|(leaves, _)| leaves.len()).max().unwrap_or(0);
    let counts = |at: usize| {
        let last = storeys && at + 1 == built.len();
        mass_of(&built[at]) * if last { BEARING_ADVANTAGE } else { 1.0 }
    };
    let mut bases: Vec<usize> = (0..built.len()).filter(|at| built[*at].0.len() == most).collect();
    bases.sort_by(|a, b| counts(*b).total_cmp(&counts(*a)));
    let first = bases[0];
    let share = bases.get(1).map_or(1.0, |second| share(ALIKE_GROUPS, counts(first) / counts(*second)));
    let second = bases.get(1).filter(|_| share < 1.0).map(|second| (1.0 - share, *second));
    std::iter::once((share, first)).chain(second).collect()
}

/// What floats before and behind a base.
fn floating(built: &[Built], springs: &[f64], base: usize) -> Result<[Vec<Lining>; 2], NotPhysical> {
    let base_kg_m2 = mass_of(&built[base]);
    let mut floating: [Vec<Lining>; 2] = Default::default();
    for (at, group) in built.iter().enumerate().filter(|(at, _)| *at != base) {
        let spring = if at < base { springs[at] } else { springs[at - 1] };
        let plate_kg_m2 = mass_of(group);
        // Heavy bases count as rigid, as in the standard's floating floors; a light one swings along.
        let swings = 1.0 - share(HEAVY_RANGE_KG_M2, base_kg_m2);
        let resonance_hz = if swings <= 0.0 {
            lining::floating_floor_resonance_hz(spring, plate_kg_m2)?
        } else {
            lining::lining_resonance_hz(spring, base_kg_m2 / swings, plate_kg_m2)?
        };
        let dry = 1.0 - share(SCREED_RANGE_KG_M2, plate_kg_m2);
        // What the base carries moves with it as far as the base moves: p/(jω(m1 + m2)) and not p/(jωm2).
        let mass_gain_db = 20.0 * (1.0 + plate_kg_m2 * swings / base_kg_m2).log10();
        floating[usize::from(at > base)].push(Lining::Floating { resonance_hz, dry, mass_gain_db });
    }
    Ok(floating)
}

impl<'a> Reader<'a> {
    /// For a construction of this id.
    pub(super) fn new(catalogue: &'a Catalogue, id: &'a str) -> Self {
        Self { catalogue, id }
    }

    /// Sorts the layers. `storeys`: of a floor or roof, whose last layers carry the rest.
    ///
    /// # Errors
    ///
    /// When a layer cannot be computed.
    pub(super) fn layers(&self, layers: &[Layer], storeys: bool) -> Result<Resolved, Unusable> {
        let (groups, springs) = self.groups(layers)?;
        if groups.iter().all(|group| group.leaves.is_empty()) {
            return Err(self.bad("it has no layers. Give it at least one sheet."));
        }
        let built: Vec<Built> = groups
            .into_iter()
            .map(|group| {
                let leaves = group.leaves.iter().map(|sheets| self.leaf(sheets)).collect::<Result<Vec<_>, _>>()?;
                Ok((leaves, group.cavities))
            })
            .collect::<Result<_, Unusable>>()?;
        let mass_kg_m2 = built
            .iter()
            .map(|group| {
                let fills =
                    group.1.iter().filter_map(Cavity::fill).map(|fill| fill.thickness_m() * fill.density_kg_m3());
                mass_of(group) + fills.sum::<f64>()
            })
            .sum();
        let mut nearly = vec![];
        for (weight, main) in bases(&built, storeys) {
            let floating = floating(&built, &springs, main).map_err(|why| self.cannot(why))?;
            let (leaves, cavities) = &built[main];
            // Every choice of leaves to call heavy, with its share; the usual one first.
            let shares: Vec<f64> = leaves.iter().map(heavy_share).collect();
            let usual: u32 = shares.iter().enumerate().map(|(at, share)| u32::from(*share >= 0.5) << at).sum();
            for choice in
                std::iter::once(usual).chain((0..1_u32 << shares.len().min(16)).filter(|choice| *choice != usual))
            {
                let heavy: Vec<bool> = (0..shares.len()).map(|at| choice >> at & 1 == 1).collect();
                let part = |(share, heavy): (&f64, &bool)| if *heavy { *share } else { 1.0 - share };
                let weight = weight * shares.iter().zip(&heavy).map(part).product::<f64>();
                if weight > 0.0 {
                    nearly.push((weight, self.body(leaves, cavities, floating.clone(), &heavy)?));
                }
            }
        }
        let (_, body) = nearly.remove(0);
        Ok(Resolved { mass_kg_m2, body, nearly })
    }

    /// The layers with some leaves taken for heavy.
    fn body(
        &self,
        leaves: &[Leaf],
        cavities: &[Cavity],
        mut linings: [Vec<Lining>; 2],
        heavy: &[bool],
    ) -> Result<Body, Unusable> {
        let stack = |leaves: &[Leaf], cavities: &[Cavity]| {
            Stack::new(leaves.to_vec(), cavities.to_vec()).map_err(|why| self.cannot(why))
        };
        let heavy: Vec<usize> = (0..leaves.len()).filter(|at| heavy[*at]).collect();
        match heavy[..] {
            [] => Ok(Body::Light { stack: stack(leaves, cavities)?, linings }),
            [base] => {
                if base > 0 {
                    linings[0].push(Lining::Leaves {
                        with: stack(&leaves[..=base], &cavities[..base])?,
                        resonance_hz: self.resonance_hz(&cavities[base - 1], &leaves[base], &leaves[..base])?,
                    });
                }
                if base + 1 < leaves.len() {
                    linings[1].push(Lining::Leaves {
                        with: stack(&leaves[base..], &cavities[base..])?,
                        resonance_hz: self.resonance_hz(&cavities[base], &leaves[base], &leaves[base + 1..])?,
                    });
                }
                Ok(Body::Heavy { plate: self.plate(&leaves[base])?, bare: Stack::single(leaves[base]), linings })
            }
            [first, .., last] => Ok(Body::Twin {
                plates: [self.plate(&leaves[first])?, self.plate(&leaves[last])?],
                stack: stack(leaves, cavities)?,
            }),
        }
    }

    /// Resonance of all leaves before a base on the cavity next to it: ISO 12354-1:2017 Annex D; an empty cavity is stiffer by 0.142 to 0.111.
    fn resonance_hz(&self, next: &Cavity, base: &Leaf, before: &[Leaf]) -> Result<f64, Unusable> {
        let lining_kg_m2 = before.iter().map(Leaf::mass_per_area_kg_m2).sum();
        let filled = next.fill().map_or(0.0, |fill| (fill.thickness_m() / next.depth_m()).min(1.0));
        let hz = lining::cavity_stiffness_mn_m3(next.depth_m()).and_then(|filled_mn_m3| {
            let stiffness = filled * filled_mn_m3 + (1.0 - filled) * EMPTY_MN_M2 / next.depth_m();
            lining::lining_resonance_hz(stiffness, base.mass_per_area_kg_m2(), lining_kg_m2)
        });
        hz.map_err(|why| self.cannot(why))
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

    /// The leaf of sheets that touch. How they hold together follows from what they are: plates bonded to one another bend as one section;
    /// a soft film couples what lies on its sides by its shear; what only touches, or has a limp layer between, shares its mass and not its
    /// bending.
    fn leaf(&self, sheets: &[(Material, f64, bool)]) -> Result<Leaf, Unusable> {
        let made = sheets
            .iter()
            .map(|(material, thickness_m, _)| match material.nature {
                Nature::Plate { longitudinal_speed_m_s, poisson, internal_loss } => {
                    Sheet::plate(*thickness_m, material.density_kg_m3, longitudinal_speed_m_s, poisson, internal_loss)
                }
                // A film bends with nothing; a porous board between sheets that touch it, or a resilient mat laid loose, adds its mass alone.
                Nature::Limp | Nature::Viscoelastic { .. } | Nature::Porous { .. } | Nature::Resilient { .. } => {
                    Sheet::limp(*thickness_m, material.density_kg_m3)
                }
            })
            .collect::<Result<Vec<_>, _>>()
            .map_err(|why| self.cannot(why))?;
        let is_plate = |at: usize| matches!(sheets[at].0.nature, Nature::Plate { .. });
        let mut sections = Vec::new();
        let mut from = 0;
        for to in 1..=made.len() {
            if to < made.len() && sheets[to].2 && is_plate(to) && is_plate(to - 1) {
                continue;
            }
            sections.push(&made[from..to]);
            from = to;
        }
        let film = sheets.iter().find_map(|(material, thickness_m, _)| match material.nature {
            Nature::Viscoelastic { shear_modulus_mpa, loss_factor } => {
                Some((shear_modulus_mpa * 1e6 / thickness_m, loss_factor))
            }
            _ => None,
        });
        let leaf = match (&sections[..], film) {
            ([one], _) => Leaf::new(one, Joint::Bonded),
            (_, None) => sections_of(&sections).and_then(|sections| Leaf::new(&sections, Joint::Screwed)),
            (_, Some((shear_pa_m, loss))) => {
                sections_of(&sections).and_then(|sections| Leaf::laminated(&sections, shear_pa_m, loss))
            }
        };
        leaf.map_err(|why| self.cannot(why))
    }

    fn plate(&self, leaf: &Leaf) -> Result<Plate, Unusable> {
        leaf.plate().map_err(|why| self.cannot(why))
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
        Cavity::new(depth_mm / 1000.0, fill, bridge).map_err(|why| self.cannot(why))
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
        self.catalogue.materials.get(id).ok_or_else(|| {
            self.bad(format!("there is no material \"{id}\" in the catalogue. Use one that is, or add it."))
        })
    }

    fn bad(&self, why: impl Into<String>) -> Unusable {
        Unusable { construction: self.id.to_owned(), why: why.into() }
    }

    fn wrong(&self, material: &str, role: &str) -> Unusable {
        self.bad(format!("\"{material}\" cannot be used as {role}."))
    }

    fn cannot(&self, why: NotPhysical) -> Unusable {
        self.bad(format!("{why}."))
    }
}

/// Each run of bonded plates as the one sheet of its mass, thickness, bending stiffness and loss.
fn sections_of(runs: &[&[Sheet]]) -> Result<Vec<Sheet>, NotPhysical> {
    let section = |run: &&[Sheet]| match run {
        [one] => Ok(*one),
        many => Leaf::new(many, Joint::Bonded)?.section(),
    };
    runs.iter().map(section).collect()
}
