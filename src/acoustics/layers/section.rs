//! A stack at one frequency: waves through it at every angle, free waves and bridges beside them.

use fearless_simd::{Level, dispatch};
use num_complex::Complex64;

use super::cavity::Cavity;
use super::lanes::{LANES, Lanes, MOST_CAVITIES, MOST_LEAVES};
use super::medium::CavityMedium;
use super::passage::{Carried, Passage, Sums, Waves};
use super::plate_wave::{self, BendingWaves};
use super::quadrature::{Lot, Peaks, WithoutPeaks};
use super::sheet::Leaf;
use super::stack::Stack;
use super::thirds::Passed;
use crate::acoustics::Air;
use crate::acoustics::bridges::{
    Bridge, BridgeParameters, BridgeTable, BridgedLeaf, Bridging, Coupling, Drive, Regular,
};
use crate::acoustics::forced_radiation::ForcedRadiation;
use crate::acoustics::radiation::{PanelSides, sigma_free};

/// A stack with its door cores turned into sandwich leaves, ready to compute.
pub(super) struct Section<'a> {
    leaves: [Leaf; MOST_LEAVES],
    cavities: [Option<(Cavity, BridgeParameters, Coupling)>; MOST_CAVITIES],
    count: usize,
    size: (f64, f64),
    sides: Option<PanelSides>,
    kinds: &'a BridgeTable,
    without_peaks: WithoutPeaks,
    /// How many numbers this machine computes with at once.
    level: Level,
    /// The same from its other end, and the share of that.
    other: Option<(f64, Box<Self>)>,
}

/// Ends whose masses differ by this factor or more are seen from the heavier one alone. Own choice.
const ALIKE_ENDS: f64 = 1.5;

impl<'a> Section<'a> {
    pub(super) fn new(stack: &Stack, kinds: &'a BridgeTable, size: (f64, f64)) -> Self {
        let edge_per_m = 2.0 * (size.0 + size.1) / (size.0 * size.1);
        let mut section = Self {
            leaves: [stack.leaves()[0]; MOST_LEAVES],
            cavities: [None; MOST_CAVITIES],
            count: 1,
            size,
            sides: PanelSides::new(size.0, size.1).ok(),
            kinds,
            without_peaks: WithoutPeaks::new(),
            level: Level::new(),
            other: None,
        };
        for (cavity, leaf) in stack.cavities().iter().zip(&stack.leaves()[1..]) {
            if cavity.bridge() == Bridge::DoorCore {
                let core_kg_m2 = cavity.fill().map_or(0.0, |fill| fill.thickness_m() * fill.density_kg_m3());
                let last = &mut section.leaves[section.count - 1];
                *last = Leaf::sandwich(last, leaf, cavity.depth_m(), core_kg_m2, kinds.core_shear_pa);
            } else {
                let (kind, coupling) = kinds.of(cavity.bridge(), cavity.depth_m(), edge_per_m);
                section.cavities[section.count - 1] = Some((*cavity, kind, coupling));
                section.leaves[section.count] = *leaf;
                section.count += 1;
            }
        }
        section.heavier_end_first()
    }

    /// The stack seen from its heavier end; for ends of nearly one mass also from the other, with the share of that: the bridge model is reciprocal for
    /// each leaf by itself, but not for what the cavities do to it, and sound goes through either way alike.
    fn heavier_end_first(mut self) -> Self {
        let turned = self.turned();
        let ends = [&self, &turned].map(|section| section.leaves[0].mass_per_area_kg_m2());
        let forward = 0.5 + 0.5 * (ends[0] / ends[1]).ln() / ALIKE_ENDS.ln();
        if forward <= 0.0 {
            return turned;
        }
        if forward < 1.0 && turned.cells().ne(self.cells()) {
            self.other = Some((1.0 - forward, Box::new(turned)));
        }
        self
    }

    fn turned(&self) -> Self {
        let mut turned = Self { other: None, without_peaks: WithoutPeaks::new(), ..*self };
        turned.leaves[..self.count].reverse();
        turned.cavities[..self.count - 1].reverse();
        turned
    }

    /// Leaves and cavities in order.
    fn cells(&self) -> impl Iterator<Item = (&Leaf, Option<&(Cavity, BridgeParameters, Coupling)>)> {
        let cavities = self.cavities[..self.count - 1].iter().map(Option::as_ref).chain([None]);
        self.leaves[..self.count].iter().zip(cavities)
    }

    /// What gets through at one frequency: of the two ways to see it, the mean in decibels.
    pub(super) fn passed(&self, hz: f64, air: &Air) -> Passed {
        let seen = self.seen(hz, air);
        match &self.other {
            None => seen,
            Some((share, other)) => {
                Passed { tau: seen.tau.powf(1.0 - share) * other.seen(hz, air).tau.powf(*share), ..seen }
            }
        }
    }

    /// What gets through from the first leaf to the last.
    fn seen(&self, hz: f64, air: &Air) -> Passed {
        let mut plates = [BridgedLeaf::default(); MOST_LEAVES];
        for (plate, leaf) in plates.iter_mut().zip(&self.leaves[..self.count]) {
            *plate = self.plate(leaf, hz, air);
        }
        let omega = std::f64::consts::TAU * hz;
        let rho_c = air.impedance_pa_s_m();
        let waves = self.waves(&plates, hz, air);
        let coinciding = plates[..self.count].iter().filter(|plate| !plate.is_below_critical()).count();
        if self.count == 1 {
            let free = self.beside(free_transmission(&plates[0], omega, rho_c), waves.airborne[0], &plates[0]);
            let tau = (waves.airborne[0] + free).min(1.0);
            return Passed { tau, coinciding, ringing: false };
        }
        // Heavy leaves answer airborne sound with their free waves too, behind a lining as without it; those of boards end at every stud, and
        // what bridges send out is the bridges' own.
        let freely = (0..self.count).map(|at| {
            let free = self.beside(free_transmission(&plates[at], omega, rho_c), waves.alone[at], &plates[at]);
            1.0 + self.heaviness(&plates[at]) * free / waves.alone[at]
        });
        let freely = freely.fold(1.0, f64::max);
        // Each cavity is crossed by air or by its bridges: the powers they give the next leaf add, and the rest of the stack passes both
        // on alike.
        let mut tau = waves.airborne[self.count - 1] * freely;
        let mut ringing = false;
        for at in 0..self.count - 1 {
            let Some((bridging, link)) = self.bridging(at, &plates, hz, air) else { continue };
            ringing |= link.is_some();
            // The field also drives free waves in the leaf it meets.
            let free = if at == 0 { free_velocity_squared(&plates[0], omega, rho_c) } else { 0.0 };
            let force = link.map(|link| waves.forces[at] / link.per_area.powi(2));
            let drive = Drive { difference: waves.differences[at], free, force };
            let driving = (&plates[at], waves.responses[at]);
            let driven = (&plates[at + 1], waves.responses[at + 1]);
            tau *= 1.0 + bridging.radiated(driving, driven, drive) / (waves.airborne[at + 1] * freely);
            // Ties are screwed to the studs behind a sheathing, and so to the boards on their other face.
            if self.is_tied_to_studs(at) {
                let boards = (&plates[at + 2], waves.responses[at + 2]);
                tau += bridging.radiated(driving, boards, Drive { force: None, ..drive });
            }
        }
        Passed { tau: tau.min(1.0), coinciding, ringing }
    }

    /// True for ties across a cavity whose far leaf stands on studs or joists, with one more leaf on them.
    fn is_tied_to_studs(&self, at: usize) -> bool {
        let tied = self.cavities[at].is_some_and(|(cavity, ..)| cavity.bridge().is_tie());
        let on_studs = self.cavities.get(at + 1).copied().flatten();
        tied && at + 2 < self.count && on_studs.is_some_and(|(cavity, ..)| cavity.bridge().cell_m().is_some())
    }

    /// How far a leaf is heavy, 0 to 1.
    fn heaviness(&self, plate: &BridgedLeaf) -> f64 {
        1.0 / (1.0 + (self.kinds.free_wave_mass / plate.mass).powi(4))
    }

    /// How much of [`free_transmission`] comes beside what the angles add up to, `airborne`: all of it below the critical frequency. Just above it the waves
    /// that coincide run nearly along the leaf, and a finite one takes them up by its edges alone: those of a heavy one are free waves still.
    fn beside(&self, free: f64, airborne: f64, plate: &BridgedLeaf) -> f64 {
        if plate.is_below_critical() {
            free
        } else {
            self.heaviness(plate) * (free * fading(plate) - airborne).max(0.0)
        }
    }

    /// The bridge across a cavity, and what its lines or points do to waves where they are regular.
    fn bridging(&self, at: usize, plates: &[BridgedLeaf], hz: f64, air: &Air) -> Option<(Bridging, Option<Regular>)> {
        let (_, kind, coupling) = self.cavities[at]?;
        let bridging = Bridging { kind, coupling, density: air.density_kg_m3(), speed: air.speed_m_s(), hz };
        Some((bridging, bridging.regular(&plates[at], &plates[at + 1], self.kinds.stud_scatter_m)))
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
            frequency_ratio_squared: (ratio * ratio).recip(),
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

    /// Leaves and cavities as waves of one frequency meet them. `plates`: of the leaves, for what joins them; nothing joins them without.
    fn passage(&self, plates: &[BridgedLeaf], hz: f64, air: &Air) -> Passage<'_> {
        let least_side_m = self.size.0.min(self.size.1);
        let (omega, interlayer) = (std::f64::consts::TAU * hz, self.interlayer());
        let mut passage = Passage {
            leaves: [BendingWaves::Limp { reactance: 0.0 }; MOST_LEAVES],
            media: [None; MOST_CAVITIES],
            count: self.count,
        };
        for (waves, leaf) in passage.leaves.iter_mut().zip(&self.leaves[..self.count]) {
            *waves = BendingWaves::new(leaf, omega, self.loss(leaf, hz), interlayer);
        }
        for at in 0..self.count - 1 {
            let link =
                if plates.is_empty() { None } else { self.bridging(at, plates, hz, air).and_then(|(_, link)| link) };
            passage.media[at] = self.cavities[at]
                .map(|(cavity, kind, _)| CavityMedium::new(&cavity, &kind, self.kinds, link, least_side_m, air, hz));
        }
        passage
    }

    /// Transmission coefficient of a plane wave through the infinite stack, bridges left out.
    pub(super) fn plane_wave(&self, cosine: f64, hz: f64, air: &Air) -> f64 {
        let load = air.impedance_pa_s_m() / cosine;
        let trace_squared = air.wavenumber(hz).powi(2) * (1.0 - cosine * cosine);
        let mut carried = Carried::NOTHING;
        self.passage(&[], hz, air).carry(&[load; LANES], &[trace_squared; LANES], &mut carried);
        4.0 * load * load * carried.transfer[self.count - 1][0]
    }

    /// Where the leaves coincide, and how near the nearest of them is to it: (f/fc)².
    fn peaks(&self, plates: &[BridgedLeaf]) -> (Peaks, f64) {
        let (mut peaks, mut closest) = (Peaks::new(), 0.0_f64);
        for plate in plates {
            closest = closest.max(plate.frequency_ratio_squared);
            if !plate.is_below_critical() {
                let sine_squared = plate.frequency_ratio_squared.sqrt().recip();
                let cosine = (1.0 - sine_squared).sqrt();
                peaks.add(cosine, (sine_squared * plate.loss / (4.0 * cosine)).max(1e-4));
            }
        }
        (peaks, closest)
    }

    /// Integrates over the angle of incidence.
    fn waves(&self, plates: &[BridgedLeaf; MOST_LEAVES], hz: f64, air: &Air) -> Waves {
        let k0 = air.wavenumber(hz);
        let rho_c = air.impedance_pa_s_m();
        let radiation = ForcedRadiation::new(self.size, k0);
        let (peaks, closest) = self.peaks(&plates[..self.count]);
        let passage = self.passage(&plates[..self.count], hz, air);
        // A finite panel takes up coincident waves only as well as it radiates them, forced ones regardless (reciprocity); between
        // the two the share of coincident waves grows as (f/fc)⁴.
        let coincident = (closest * closest).min(1.0);
        let (mut sums, mut carried) = (Sums::new(), Carried::NOTHING);
        let field = Field { radiation, wavenumber: k0, rho_c, coincident };
        let mut room = None;
        dispatch!(self.level, _simd => {
            for lot in peaks.lots(passage.is_resonant(), &self.without_peaks, &mut room) {
                let (load, trace_squared, taken) = field.at(lot);
                passage.carry(&load, &trace_squared, &mut carried);
                sums.add(&carried, &load, &taken, self.count);
            }
        });
        sums.waves(&plates[..self.count], std::f64::consts::TAU * hz, rho_c)
    }
}

/// Waves of one frequency, before a panel of some size.
struct Field {
    radiation: ForcedRadiation,
    wavenumber: f64,
    rho_c: f64,
    /// How much of the field counts as coincident waves, 0 to 1.
    coincident: f64,
}

impl Field {
    /// For some angles: what loads the faces, Pa·s/m; the squared wavenumber along them, 1/m²; and the weight of each, times the share that a face takes up.
    #[inline(always)]
    fn at(&self, lot: &Lot) -> (Lanes, Lanes, Lanes) {
        let (mut load, mut trace_squared, mut taken) = ([0.0; LANES], [0.0; LANES], [0.0; LANES]);
        for lane in 0..LANES {
            let cosine = lot.places[lane];
            let efficiency = self.radiation.at(cosine);
            load[lane] = self.rho_c * efficiency;
            trace_squared[lane] = self.wavenumber * self.wavenumber * (1.0 - cosine * cosine);
            let accepted = 1.0 - self.coincident * (1.0 - capped(efficiency * cosine));
            taken[lane] = lot.weights[lane] * accepted;
        }
        (load, trace_squared, taken)
    }
}

/// At most 1, without the care `f64::min` takes of NaN.
#[inline(always)]
fn capped(share: f64) -> f64 {
    if share < 1.0 { share } else { 1.0 }
}

/// Transmission by the free waves of a single leaf below its critical frequency.
/// Source: ISO 12354-1:2017 Annex B, second term below fc.
fn free_transmission(plate: &BridgedLeaf, omega: f64, rho_c: f64) -> f64 {
    if plate.frequency_ratio_squared == 0.0 {
        return 0.0;
    }
    let critical_over_f = plate.frequency_ratio_squared.sqrt().recip();
    (2.0 * rho_c / (omega * plate.mass)).powi(2)
        * std::f64::consts::FRAC_PI_2
        * critical_over_f
        * plate.free_efficiency.powi(2)
        / plate.loss
}

/// From 1 at the critical frequency of a leaf and below it to 0 a twenty-fourth of an octave above. Own choice: the published panes dip no deeper.
fn fading(plate: &BridgedLeaf) -> f64 {
    let at = 12.0 * plate.frequency_ratio_squared.log2();
    let at = 1.0 - at.clamp(0.0, 1.0);
    at * at * (3.0 - 2.0 * at)
}

/// Mean square velocity of those free waves for unit incident power per area: what radiates [`free_transmission`] at their efficiency.
fn free_velocity_squared(plate: &BridgedLeaf, omega: f64, rho_c: f64) -> f64 {
    if plate.free_efficiency > 0.0 {
        fading(plate) * free_transmission(plate, omega, rho_c) / (rho_c * plate.free_efficiency)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::bridges::BRIDGES;
    use crate::acoustics::layers::{Fill, Sheet};

    /// Whatever the machine computes with at once, the result is the same to the last bit: nothing is contracted, nothing added in another order.
    #[test]
    fn many_numbers_at_once_are_as_few() {
        let board = || Leaf::single(Sheet::plate(0.0125, 680.0, 1810.0, 0.3, 0.0125).unwrap());
        for fill in [None, Some(Fill::new(0.05, 7000.0, 14.0).unwrap())] {
            let cavity = Cavity::new(0.07, fill, Bridge::LightSteelStuds { spacing_mm: 600.0 }).unwrap();
            let wall = Stack::new(vec![board(), board()], vec![cavity]).unwrap();
            let fast = Section::new(&wall, &BRIDGES, (4.0, 2.5));
            let plain = Section { level: Level::baseline(), ..Section::new(&wall, &BRIDGES, (4.0, 2.5)) };
            for hz in (0..48).map(|step| 25.0 * 2f64.powf(f64::from(step) / 6.0)) {
                let [one, other] = [&fast, &plain].map(|section| section.passed(hz, &Air::default()).tau);
                assert_eq!(one.to_bits(), other.to_bits(), "{hz} Hz: {one} and {other}");
            }
        }
    }
}
