//! A stack at one frequency: waves through it at every angle, free waves and bridges beside them.

use num_complex::Complex64;

use super::medium::CavityMedium;
use super::plate_wave;
use super::quadrature::Peaks;
use super::stack::{MOST_LEAVES, Stack};
use super::{Cavity, Leaf};
use crate::acoustics::Air;
use crate::acoustics::bridges::{BridgedLeaf, Bridging, Connection, Coupling, Kind, Kinds};
use crate::acoustics::forced_radiation::ForcedRadiation;
use crate::acoustics::radiation::{PanelSides, sigma_free};

const MOST_CAVITIES: usize = MOST_LEAVES - 1;

/// A stack with its door cores turned into sandwich leaves, ready to compute.
pub(super) struct Section<'a> {
    leaves: [Leaf; MOST_LEAVES],
    cavities: [Option<(Cavity, Kind, Coupling)>; MOST_CAVITIES],
    count: usize,
    size: (f64, f64),
    sides: Option<PanelSides>,
    kinds: &'a Kinds,
}

/// What the angles add up to, for a diffuse field of unit incident power per area.
struct Waves {
    /// Power each leaf would radiate into open air with the velocity that airborne sound gives it; the last one's is the airborne
    /// transmission coefficient.
    airborne: [f64; MOST_LEAVES],
    /// Mean square difference of the velocities of each cavity's leaves.
    differences: [f64; MOST_CAVITIES],
    /// How much each leaf by itself answers the field, against a mass: ∫ (ωm′)²/|Zp + 2ρ0c0σ|² d(cos θ). By reciprocity, also how
    /// much it radiates from a point or line of force.
    responses: [f64; MOST_LEAVES],
}

impl<'a> Section<'a> {
    pub(super) fn new(stack: &Stack, kinds: &'a Kinds, size: (f64, f64)) -> Self {
        let edge_per_m = 2.0 * (size.0 + size.1) / (size.0 * size.1);
        let mut section = Self {
            leaves: [stack.leaves()[0]; MOST_LEAVES],
            cavities: [None; MOST_CAVITIES],
            count: 1,
            size,
            sides: PanelSides::new(size.0, size.1).ok(),
            kinds,
        };
        for (cavity, leaf) in stack.cavities().iter().zip(&stack.leaves()[1..]) {
            if cavity.connection() == Connection::DoorCore {
                let core_kg_m2 = cavity.fill().map_or(0.0, |fill| fill.thickness_m() * fill.density_kg_m3());
                let last = &mut section.leaves[section.count - 1];
                *last = Leaf::sandwich(last, leaf, cavity.depth_m(), core_kg_m2, kinds.core_shear_pa);
            } else {
                let (kind, coupling) = kinds.of(cavity.connection(), edge_per_m);
                section.cavities[section.count - 1] = Some((*cavity, kind, coupling));
                section.leaves[section.count] = *leaf;
                section.count += 1;
            }
        }
        section.turn_heavy_end_first();
        section
    }

    /// Turns the stack so that of two ways to see it the same one is always computed: the bridge model is reciprocal for each leaf
    /// by itself, but within 2 dB only for what the cavity does to it, and sound goes through either way alike.
    fn turn_heavy_end_first(&mut self) {
        let leaf = |leaf: &Leaf| [leaf.mass_per_area_kg_m2(), leaf.bending_stiffness_nm(), leaf.thickness_m()];
        let cavity = |cavity: &Option<(Cavity, Kind, Coupling)>| match cavity {
            Some((cavity, kind, _)) => [cavity.depth_m(), cavity.air_m(), kind.compliance],
            None => [0.0; 3],
        };
        let leaves = self.leaves[..self.count].iter().map(leaf);
        let cavities = self.cavities[..self.count - 1].iter().map(cavity);
        let forward = leaves.clone().chain(cavities.clone()).flatten();
        let backward = leaves.rev().chain(cavities.rev()).flatten();
        if forward.partial_cmp(backward) == Some(std::cmp::Ordering::Less) {
            self.leaves[..self.count].reverse();
            self.cavities[..self.count - 1].reverse();
        }
    }

    /// Transmission coefficient at one frequency.
    pub(super) fn tau(&self, hz: f64, air: &Air) -> f64 {
        let mut plates = [BridgedLeaf::default(); MOST_LEAVES];
        for (plate, leaf) in plates.iter_mut().zip(&self.leaves[..self.count]) {
            *plate = self.plate(leaf, hz, air);
        }
        let omega = std::f64::consts::TAU * hz;
        let rho_c = air.impedance_pa_s_m();
        let waves = self.waves(&plates, hz, air);
        if self.count == 1 {
            return (waves.airborne[0] + free_transmission(&plates[0], omega, rho_c)).min(1.0);
        }
        // Each cavity is crossed by air or by its bridges: the powers they give the next leaf add, and the rest of the stack passes both
        // on alike.
        let mut tau = waves.airborne[self.count - 1];
        for (at, cavity) in self.cavities[..self.count - 1].iter().enumerate() {
            let Some((_, kind, coupling)) = *cavity else { continue };
            let bridging = Bridging { kind, coupling, density: air.density_kg_m3(), speed: air.speed_m_s(), hz };
            // The field also drives free waves in the leaf it meets.
            let free = if at == 0 { free_velocity_squared(&plates[0], omega, rho_c) } else { 0.0 };
            let driving = (&plates[at], waves.responses[at]);
            let driven = (&plates[at + 1], waves.responses[at + 1]);
            let bridged = bridging.radiated(driving, driven) * (waves.differences[at] + free);
            tau *= 1.0 + bridged / waves.airborne[at + 1];
        }
        tau.min(1.0)
    }

    /// What the bridges and the quadrature need of a leaf.
    fn plate(&self, leaf: &Leaf, hz: f64, air: &Air) -> BridgedLeaf {
        let omega = std::f64::consts::TAU * hz;
        let mass = leaf.mass_per_area_kg_m2();
        let (free_squared, interlayer_loss) = plate_wave::free(leaf, omega, self.interlayer());
        let ratio = free_squared / air.wavenumber(hz).powi(2);
        // The frequency at which a thin plate with these waves would coincide: slower waves of a thick plate count as a higher one.
        let critical_hz = hz * ratio;
        let efficiency = match self.sides {
            Some(sides) if critical_hz.is_finite() => sigma_free(sides, critical_hz, hz, air),
            _ => 0.0,
        };
        BridgedLeaf {
            mass,
            bending: leaf.bending_stiffness_nm(),
            loss: self.loss(leaf, hz) + interlayer_loss + 2.0 * air.impedance_pa_s_m() * efficiency / (omega * mass),
            frequency_ratio_squared: ratio.powi(-2),
            free_efficiency: efficiency,
        }
    }

    /// Loss factor of a leaf as mounted, radiation and interlayer apart: internal, frame, and the edges of a laboratory opening
    /// (m′/(485 √f), ISO 12354-1:2017 Annex C).
    fn loss(&self, leaf: &Leaf, hz: f64) -> f64 {
        let mass = leaf.mass_per_area_kg_m2();
        leaf.loss_factor()
            + self.kinds.mounting_loss / (1.0 + mass / self.kinds.mounting_mass)
            + mass.min(800.0) / (485.0 * hz.sqrt())
    }

    fn interlayer(&self) -> Complex64 {
        self.kinds.interlayer_pa_m * Complex64::new(1.0, self.kinds.interlayer_loss)
    }

    /// The fluids of the cavities at one frequency.
    fn media(&self, hz: f64, air: &Air) -> [Option<CavityMedium>; MOST_CAVITIES] {
        let least_side_m = self.size.0.min(self.size.1);
        self.cavities.map(|cavity| {
            cavity
                .map(|(cavity, kind, _)| CavityMedium::new(&cavity, kind.loss_share, self.kinds, least_side_m, air, hz))
        })
    }

    /// Impedance of every leaf at a trace wavenumber.
    fn impedances(&self, trace_squared: f64, omega: f64, losses: &[f64; MOST_LEAVES]) -> [Complex64; MOST_LEAVES] {
        let interlayer = self.interlayer();
        let mut impedances = [Complex64::ZERO; MOST_LEAVES];
        for at in 0..self.count {
            impedances[at] = plate_wave::impedance(&self.leaves[at], trace_squared, omega, losses[at], interlayer);
        }
        impedances
    }

    /// Carries pressure and velocity from the last face, which moves with unit velocity against `load`, to the first; keeps the
    /// velocity of every leaf.
    fn carry(
        &self,
        load: f64,
        trace_squared: f64,
        impedances: &[Complex64; MOST_LEAVES],
        media: &[Option<CavityMedium>; MOST_CAVITIES],
        velocity: &mut [Complex64; MOST_LEAVES],
    ) -> (Complex64, Complex64) {
        let (mut p, mut v) = (Complex64::from(load), Complex64::ONE);
        for at in (0..self.count).rev() {
            velocity[at] = v;
            p += impedances[at] * v;
            if at > 0
                && let Some(medium) = &media[at - 1]
            {
                (p, v) = medium.through(p, v, trace_squared);
            }
        }
        (p, v)
    }

    /// Transmission coefficient of a plane wave through the infinite stack, bridges left out.
    pub(super) fn plane_wave(&self, cosine: f64, hz: f64, air: &Air) -> f64 {
        let load = air.impedance_pa_s_m() / cosine;
        let trace_squared = air.wavenumber(hz).powi(2) * (1.0 - cosine * cosine);
        let losses = std::array::from_fn(|at| self.loss(&self.leaves[at], hz));
        let mut velocity = [Complex64::ZERO; MOST_LEAVES];
        let impedances = self.impedances(trace_squared, std::f64::consts::TAU * hz, &losses);
        let (p, v) = self.carry(load, trace_squared, &impedances, &self.media(hz, air), &mut velocity);
        4.0 * load * load / (p + load * v).norm_sqr()
    }

    /// Integrates over the angle of incidence.
    fn waves(&self, plates: &[BridgedLeaf; MOST_LEAVES], hz: f64, air: &Air) -> Waves {
        let k0 = air.wavenumber(hz);
        let omega = std::f64::consts::TAU * hz;
        let rho_c = air.impedance_pa_s_m();
        let radiation = ForcedRadiation::new(self.size, k0);
        let mut peaks = Peaks::new();
        let mut losses = [0.0; MOST_LEAVES];
        let mut closest = 0.0_f64;
        for (at, plate) in plates[..self.count].iter().enumerate() {
            losses[at] = self.loss(&self.leaves[at], hz);
            closest = closest.max(plate.frequency_ratio_squared);
            if !plate.is_below_critical() {
                let sine_squared = plate.frequency_ratio_squared.powf(-0.5);
                let cosine = (1.0 - sine_squared).sqrt();
                peaks.add(cosine, (sine_squared * plate.loss / (4.0 * cosine)).max(1e-4));
            }
        }
        let media = self.media(hz, air);
        // A finite panel takes up coincident waves only as well as it radiates them, forced ones regardless (reciprocity); between
        // the two the share of coincident waves grows as (f/fc)⁴.
        let coincident = (closest * closest).min(1.0);
        let mut waves =
            Waves { airborne: [0.0; MOST_LEAVES], differences: [0.0; MOST_CAVITIES], responses: [0.0; MOST_LEAVES] };
        peaks.integrate(|cosine, weight| {
            let trace_squared = k0 * k0 * (1.0 - cosine * cosine);
            let efficiency = radiation.at(cosine);
            let load = rho_c * efficiency;
            let mut velocity = [Complex64::ZERO; MOST_LEAVES];
            let impedances = self.impedances(trace_squared, omega, &losses);
            let (p, v) = self.carry(load, trace_squared, &impedances, &media, &mut velocity);
            let accepted = 1.0 - coincident * (1.0 - (efficiency * cosine).min(1.0));
            // The blocked pressure, twice the incident one, drives the first face against its own radiation.
            let scale = weight * accepted * 4.0 / (p + load * v).norm_sqr();
            for (airborne, velocity) in waves.airborne.iter_mut().zip(&velocity[..self.count]) {
                *airborne += scale * load * velocity.norm_sqr();
            }
            for (at, response) in waves.responses[..self.count].iter_mut().enumerate() {
                let inertia = omega * plates[at].mass;
                *response += weight * accepted * inertia * inertia / (impedances[at] + 2.0 * load).norm_sqr();
            }
            for (at, difference) in waves.differences[..self.count - 1].iter_mut().enumerate() {
                *difference += scale * (velocity[at] - velocity[at + 1]).norm_sqr();
            }
        });
        // A diffuse field of unit pressure in each direction brings ½/(ρ0c0) to a unit area.
        let incident = 0.5 / rho_c;
        waves.airborne = waves.airborne.map(|power| power / incident);
        waves.differences = waves.differences.map(|difference| difference / incident);
        waves
    }
}

/// Transmission by the free waves of a single leaf below its critical frequency.
/// Source: ISO 12354-1:2017 Annex B, second term below fc.
fn free_transmission(plate: &BridgedLeaf, omega: f64, rho_c: f64) -> f64 {
    if !plate.is_below_critical() || plate.frequency_ratio_squared == 0.0 {
        return 0.0;
    }
    let critical_over_f = plate.frequency_ratio_squared.powf(-0.5);
    (2.0 * rho_c / (omega * plate.mass)).powi(2)
        * std::f64::consts::FRAC_PI_2
        * critical_over_f
        * plate.free_efficiency.powi(2)
        / plate.loss
}

/// Mean square velocity of those free waves for unit incident power per area: what radiates [`free_transmission`] at their efficiency.
fn free_velocity_squared(plate: &BridgedLeaf, omega: f64, rho_c: f64) -> f64 {
    if plate.free_efficiency > 0.0 {
        free_transmission(plate, omega, rho_c) / (rho_c * plate.free_efficiency)
    } else {
        0.0
    }
}
