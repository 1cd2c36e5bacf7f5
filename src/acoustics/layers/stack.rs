//! A stack of leaves and cavities, and the sound it lets through.

use num_complex::Complex64;

use super::quadrature::Peaks;
use super::{Cavity, Leaf};
use crate::acoustics::bridges::{self, BridgedLeaf, Connection, Coupling, KINDS, Kind, Kinds};
use crate::acoustics::panel_radiation::{self, ForcedRadiation};
use crate::acoustics::porous::{self, Fluid};
use crate::acoustics::{Air, Bands, NotPhysical, Spectrum};

/// Most leaves a stack may have.
pub const MOST_LEAVES: usize = 4;
/// Frequencies computed inside each third octave.
const PER_BAND: usize = 6;

/// Leaf, cavity, leaf, cavity, leaf …: one to four leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    leaves: Vec<Leaf>,
    cavities: Vec<Cavity>,
}

impl Stack {
    /// A stack of one leaf.
    #[must_use]
    pub fn single(leaf: Leaf) -> Self {
        Self { leaves: vec![leaf], cavities: Vec::new() }
    }

    /// Leaves from the source side on, with a cavity between each two.
    ///
    /// # Errors
    ///
    /// When there are no leaves, more than four, or not one cavity fewer than leaves.
    pub fn new(leaves: Vec<Leaf>, cavities: Vec<Cavity>) -> Result<Self, NotPhysical> {
        if leaves.is_empty() || leaves.len() > MOST_LEAVES {
            return Err(NotPhysical { what: "number of leaves", value: leaves.len() as f64, must: "between 1 and 4" });
        }
        if cavities.len() + 1 != leaves.len() {
            return Err(NotPhysical {
                what: "number of cavities",
                value: cavities.len() as f64,
                must: "one fewer than the leaves",
            });
        }
        Ok(Self { leaves, cavities })
    }

    /// The leaves, from the source side on.
    #[must_use]
    pub fn leaves(&self) -> &[Leaf] {
        &self.leaves
    }

    /// The cavities, from the source side on.
    #[must_use]
    pub fn cavities(&self) -> &[Cavity] {
        &self.cavities
    }

    /// Mass per area of leaves and fills, kg/m².
    #[must_use]
    pub fn mass_per_area_kg_m2(&self) -> f64 {
        let fills = self.cavities.iter().filter_map(Cavity::fill);
        self.leaves.iter().map(Leaf::mass_per_area_kg_m2).sum::<f64>()
            + fills.map(|fill| fill.thickness_m() * fill.density_kg_m3()).sum::<f64>()
    }

    /// Thickness over all, m.
    #[must_use]
    pub fn thickness_m(&self) -> f64 {
        self.leaves.iter().map(Leaf::thickness_m).sum::<f64>() + self.cavities.iter().map(Cavity::depth_m).sum::<f64>()
    }

    /// Transmission coefficient in a diffuse field, as built in a laboratory opening of sides `size` (l1, l2 in m); energy, not dB.
    ///
    /// Airborne part: transfer matrix of leaves (Mindlin plates) and cavities (equivalent fluids) at each angle of incidence, with the
    /// radiation of a finite panel on both sides; averaged over angle and over six frequencies of each third octave. Beside
    /// it the free waves of each leaf and the bridge across each cavity. Sides are taken as at least 0.1 m.
    /// Sources: Allard & Atalla, Propagation of Sound in Porous Media, 2nd ed. (2009), ch. 11; Davy, JASA 126 (2009) 694 (finite
    /// size); ISO 12354-1:2017 Annex B (free waves); [`bridges`] (bridges). Below 50 Hz low confidence.
    #[must_use]
    pub fn transmission(&self, size: (f64, f64), air: &Air, bands: &Bands) -> Spectrum {
        self.transmission_with(&KINDS, size, air, bands)
    }

    pub(crate) fn transmission_with(&self, kinds: &Kinds, size: (f64, f64), air: &Air, bands: &Bands) -> Spectrum {
        let size = (size.0.max(0.1), size.1.max(0.1));
        let section = Section::new(self, kinds, size);
        bands.map(|midband| {
            let tau: f64 = (0..PER_BAND)
                .map(|at| section.tau(midband * 10f64.powf(((at as f64 + 0.5) / PER_BAND as f64 - 0.5) / 10.0), air))
                .sum();
            tau / PER_BAND as f64
        })
    }
}

/// A stack with its door cores turned into sandwich leaves, ready to compute.
struct Section {
    leaves: [Leaf; MOST_LEAVES],
    cavities: [(Option<Cavity>, Kind, Coupling); MOST_LEAVES - 1],
    count: usize,
    size: (f64, f64),
    kinds: Kinds,
}

impl Section {
    fn new(stack: &Stack, kinds: &Kinds, size: (f64, f64)) -> Self {
        let edge_per_m = 2.0 * (size.0 + size.1) / (size.0 * size.1);
        let empty = (None, kinds.free, Coupling::Lines(0.0));
        let mut section = Self {
            leaves: [stack.leaves[0]; MOST_LEAVES],
            cavities: [empty; MOST_LEAVES - 1],
            count: 1,
            size,
            kinds: *kinds,
        };
        for (cavity, leaf) in stack.cavities.iter().zip(&stack.leaves[1..]) {
            if cavity.connection() == Connection::DoorCore {
                let core_kg_m2 = cavity.fill().map_or(0.0, |fill| fill.thickness_m() * fill.density_kg_m3());
                let last = &mut section.leaves[section.count - 1];
                *last = Leaf::sandwich(last, leaf, cavity.depth_m(), core_kg_m2, kinds.core_shear_pa);
            } else {
                let (kind, coupling) = kinds.of(cavity.connection(), edge_per_m);
                section.cavities[section.count - 1] = (Some(*cavity), kind, coupling);
                section.leaves[section.count] = *leaf;
                section.count += 1;
            }
        }
        section
    }

    fn tau(&self, hz: f64, air: &Air) -> f64 {
        let leaves = &self.leaves[..self.count];
        let k0 = air.wavenumber(hz);
        let omega = std::f64::consts::TAU * hz;
        let rho_c = air.impedance_pa_s_m();
        let radiation = ForcedRadiation::new(self.size, k0);
        let zero =
            BridgedLeaf { mass: 0.0, bending: 0.0, loss: 0.0, frequency_ratio_squared: 0.0, free_efficiency: 0.0 };
        let mut plates = [zero; MOST_LEAVES];
        let mut losses = [0.0; MOST_LEAVES];
        let interlayer = self.kinds.interlayer_pa_m * Complex64::new(1.0, self.kinds.interlayer_loss);
        let mut peaks = Peaks::new();
        for (at, leaf) in leaves.iter().enumerate() {
            let mass = leaf.mass_per_area_kg_m2();
            let mounting = self.kinds.mounting_loss / (1.0 + mass / self.kinds.taper) + mass.min(800.0) / (485.0 * hz.sqrt());
            let (free_wavenumber_squared, interlayer) = free_waves(leaf, omega, interlayer);
            losses[at] = leaf.loss_factor() + mounting;
            let loss = losses[at] + interlayer;
            // Effective: the thick plate's free waves are slower than the thin one's.
            let effective_critical = hz * free_wavenumber_squared / (k0 * k0);
            let sigma = panel_radiation::free(hz, effective_critical, self.size, air);
            plates[at] = BridgedLeaf {
                mass,
                bending: leaf.bending_stiffness_nm(),
                loss: loss + 2.0 * rho_c * sigma / (omega * mass),
                frequency_ratio_squared: (hz / effective_critical).powi(2),
                free_efficiency: sigma,
            };
            let sine_squared = free_wavenumber_squared / (k0 * k0);
            if sine_squared < 1.0 {
                let cosine = (1.0 - sine_squared).sqrt();
                peaks.add(cosine, (sine_squared * plates[at].loss / (4.0 * cosine)).max(1e-4));
            }
        }
        let mut fluids = [None; MOST_LEAVES - 1];
        for (at, (cavity, kind, _)) in self.cavities[..self.count - 1].iter().enumerate() {
            if let Some(cavity) = cavity {
                fluids[at] = Some(CavityFluids::new(cavity, kind, &self.kinds, self.size, air, hz));
            }
        }
        // A finite panel takes up coincident waves only as well as it radiates them; forced ones regardless.
        let coincident = plates[..self.count]
            .iter()
            .map(|plate| plate.frequency_ratio_squared)
            .fold(0.0, f64::max)
            .powf(self.kinds.gpow)
            .min(1.0);
        let mut airborne = 0.0;
        let mut differences = [0.0; MOST_LEAVES - 1];
        peaks.integrate(|cosine, weight| {
            let trace_squared = k0 * k0 * (1.0 - cosine * cosine);
            let load = rho_c * radiation.at(cosine);
            let mut velocity = [Complex64::ZERO; MOST_LEAVES];
            let (mut p, mut v) = (Complex64::from(load), Complex64::ONE);
            for at in (0..self.count).rev() {
                velocity[at] = v;
                p += impedance(&leaves[at], trace_squared, omega, losses[at], interlayer) * v;
                if at > 0
                    && let Some(fluids) = &fluids[at - 1]
                {
                    (p, v) = fluids.through(p, v, trace_squared, omega);
                }
            }
            // Blocked pressure 2p_i drives the first face against its own radiation.
            let accepted = (load / rho_c * cosine).min(1.0).powf(coincident);
            let scale = weight * accepted * 4.0 / (p + load * v).norm_sqr();
            airborne += scale * load;
            for (at, difference) in differences[..self.count - 1].iter_mut().enumerate() {
                *difference += scale * (velocity[at] - velocity[at + 1]).norm_sqr();
            }
        });
        // Incident power per area of a diffuse field with unit p_i: ½/(ρ0c0).
        let incident = 0.5 / rho_c;
        let airborne = airborne / incident;
        let mut tau = airborne;
        for at in 0..self.count - 1 {
            let (_, kind, coupling) = &self.cavities[at];
            let per_velocity = bridges::radiated(
                &plates[at],
                &plates[at + 1],
                kind,
                *coupling,
                air.density_kg_m3(),
                air.speed_m_s(),
                hz,
                self.kinds.mean,
            ) * rho_c;
            let mut difference = differences[at] / incident;
            if at == 0 {
                difference += free_velocity(&plates[0], omega, rho_c) / incident;
            }
            tau *= 1.0 + per_velocity * difference / airborne;
        }
        if self.count == 1 {
            tau += free_transmission(&plates[0], omega, rho_c);
        }
        tau.min(1.0)
    }
}

/// Transmission by the free waves of a single leaf below its critical frequency.
/// Source: ISO 12354-1:2017 Annex B, second term below fc.
fn free_transmission(plate: &BridgedLeaf, omega: f64, rho_c: f64) -> f64 {
    if plate.frequency_ratio_squared >= 1.0 || plate.frequency_ratio_squared == 0.0 {
        return 0.0;
    }
    let critical_ratio = plate.frequency_ratio_squared.powf(-0.5);
    (2.0 * rho_c / (omega * plate.mass)).powi(2)
        * std::f64::consts::FRAC_PI_2
        * critical_ratio
        * plate.free_efficiency.powi(2)
        / plate.loss
}

/// Mean square velocity of the free waves below fc for a diffuse field of unit p_i.
fn free_velocity(plate: &BridgedLeaf, omega: f64, rho_c: f64) -> f64 {
    if plate.free_efficiency <= 0.0 {
        0.0
    } else {
        free_transmission(plate, omega, rho_c) * 0.5 / (rho_c * rho_c * plate.free_efficiency)
    }
}

/// Square of the free wavenumber of a Mindlin plate, 1/m² (infinite when limp), and the loss factor its interlayer adds.
fn free_waves(leaf: &Leaf, omega: f64, interlayer: Complex64) -> (f64, f64) {
    let bending = leaf.bending_stiffness_nm();
    if bending <= 0.0 {
        return (f64::INFINITY, 0.0);
    }
    let w2 = omega * omega;
    let shear = w2 * leaf.mass_per_area_kg_m2() / leaf.shear_stiffness_n_m();
    let solve = |bending: f64| {
        let rotary = w2 * leaf.rotary_inertia_kg() / bending;
        let thin = w2 * leaf.mass_per_area_kg_m2() / bending;
        f64::midpoint(shear, rotary) + (((shear - rotary) / 2.0).powi(2) + thin).sqrt()
    };
    let mut squared = solve(bending);
    let mut added = leaf.interlayer_nm(squared, interlayer);
    if added.re > 0.0 {
        // The coupled stiffness depends on the wavenumber it gives; a few steps settle it.
        for _ in 0..6 {
            squared = solve(bending + added.re);
            added = leaf.interlayer_nm(squared, interlayer);
        }
    }
    (squared, added.im / (bending + added.re))
}

/// Impedance (pressure difference over velocity) of a Mindlin plate at a trace wavenumber; tends to jωm'(1 − (f/fc)²(1 + jη) sin⁴θ).
///
/// Source: Mindlin, Journal of Applied Mechanics 18 (1951) 31, solved for a plane wave.
fn impedance(leaf: &Leaf, trace_squared: f64, omega: f64, loss: f64, interlayer: Complex64) -> Complex64 {
    let w2 = omega * omega;
    let inertia = w2 * leaf.mass_per_area_kg_m2();
    if leaf.bending_stiffness_nm() <= 0.0 {
        return Complex64::new(0.0, inertia / omega);
    }
    let lossy = Complex64::new(1.0, loss);
    let shear = lossy * leaf.shear_stiffness_n_m();
    let bending = lossy * leaf.bending_stiffness_nm() + leaf.interlayer_nm(trace_squared, interlayer);
    let turning = bending * trace_squared - w2 * leaf.rotary_inertia_kg();
    let stiffness = trace_squared * shear * turning / (turning + shear);
    (stiffness - inertia) / Complex64::new(0.0, omega)
}

/// The fluids of a cavity at one frequency: air, then the fill.
#[derive(Clone, Copy)]
struct CavityFluids {
    air: Layer,
    fill: Layer,
    lateral: f64,
}

/// A fluid layer: squared wavenumber, ω·density, depth.
#[derive(Clone, Copy)]
struct Layer {
    wavenumber_squared: Complex64,
    inertance: Complex64,
    depth_m: f64,
}

impl Layer {
    fn new(fluid: Fluid, depth_m: f64) -> Self {
        Self {
            wavenumber_squared: fluid.wavenumber * fluid.wavenumber,
            inertance: fluid.impedance * fluid.wavenumber,
            depth_m,
        }
    }

    fn through(&self, p: Complex64, v: Complex64, trace_squared: f64) -> (Complex64, Complex64) {
        if self.depth_m <= 0.0 {
            return (p, v);
        }
        let kz = (self.wavenumber_squared - trace_squared).sqrt();
        let z = self.inertance / kz;
        let phase = kz * self.depth_m;
        // cos and sin of a complex number from one exponential.
        let forward = (Complex64::i() * phase).exp();
        let backward = forward.inv();
        let cos = (forward + backward) * 0.5;
        let j_sin = (forward - backward) * 0.5;
        (cos * p + z * j_sin * v, j_sin / z * p + cos * v)
    }
}

impl CavityFluids {
    fn new(cavity: &Cavity, kind: &Kind, kinds: &Kinds, size: (f64, f64), air: &Air, hz: f64) -> Self {
        let mut free = Fluid::air(air, hz);
        // Compressibility takes the loss: k² = k0²(1 − jη), density unchanged.
        let loss = kinds.empty_loss
            * kind.empty_loss
            * (hz / 500.0).powf(-kinds.empty_frequency)
            * (cavity.depth_m() / 0.1).powf(-kinds.empty_depth);
        let lossy = |fluid: Fluid, loss: f64| {
            let root = Complex64::new(1.0, -loss).sqrt();
            Fluid { wavenumber: fluid.wavenumber * root, impedance: fluid.impedance / root }
        };
        let fill = cavity.fill().map(|fill| {
            let fluid = porous::limp_frame(
                fill.flow_resistivity_pa_s_m2(),
                fill.density_kg_m3() * kinds.frame,
                air,
                hz,
            );
            Layer::new(lossy(fluid, loss * kinds.filled_loss), fill.thickness_m())
        });
        let share = if fill.is_some() { kinds.filled_loss } else { 1.0 };
        free = lossy(free, loss * share);
        let cell = cavity.connection().spacing_m().unwrap_or(f64::INFINITY).min(size.0).min(size.1);
        let x = (hz / (kinds.empty_lateral * air.speed_m_s() / (2.0 * cell))).powi(2);
        let lateral = if fill.is_some() { kinds.filled_lateral } else { x / (1.0 + x) };
        let air_layer = Layer::new(free, cavity.air_m());
        Self { air: air_layer, fill: fill.unwrap_or(Layer { depth_m: 0.0, ..air_layer }), lateral }
    }

    fn through(&self, p: Complex64, v: Complex64, trace_squared: f64, _omega: f64) -> (Complex64, Complex64) {
        let trace_squared = trace_squared * self.lateral;
        let (p, v) = self.fill.through(p, v, trace_squared);
        self.air.through(p, v, trace_squared)
    }
}
