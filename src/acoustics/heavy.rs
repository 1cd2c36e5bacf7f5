//! A homogeneous heavy element in the building: loss, radiation, transmission, structural reverberation.

use super::air::Air;
use super::bands::{Bands, Spectrum};
use super::plate::Plate;
use super::radiation::{PanelSides, sigma_forced, sigma_free};
use std::f64::consts::PI;

/// Total loss factor as laboratories find it, η = η_int + m'/(485·√f).
///
/// For m' up to about 800 kg/m² (limit from memory, unverified); heavier elements lose relatively less to the laboratory's frame,
/// light ones (below about 30 kg/m², own judgement) are ruled by their fixing, not by this line.
/// Source: ISO 12354-1:2017 Annex C.3.
#[must_use]
pub fn laboratory_loss(plate: &Plate, bands: &Bands) -> Spectrum {
    bands.map(|hz| plate.internal_loss() + plate.mass_kg_m2() / (485.0 * hz.sqrt()))
}

/// Transmission coefficient of a plate, forced and resonant waves together: what the element transmits when sound meets one side
/// and is heard on the other, and what ISO 12354-1 uses for the flanking paths of heavy elements too (Annex L does).
///
/// `total_loss` is η_tot per band, edge losses included. Never below the thick-plate limit
/// (4ρ0c0/(1.1·ρ·cL))²·0.02/η of Hopkins, Sound Insulation (2007). Source: ISO 12354-1:2017 Annex B.
#[must_use]
pub fn plate_transmission(
    plate: &Plate,
    sides: PanelSides,
    total_loss: &Spectrum,
    bands: &Bands,
    air: &Air,
) -> Spectrum {
    transmission(plate, sides, &free_radiation(plate, sides, bands, air), total_loss, bands, air, Waves::All)
}

/// Transmission coefficient of the resonant bending waves of a thin plate, in every band: what a force on the plate drives.
///
/// B·π·fc·σ²/(2·f·η) with B = (2ρ0c0/(2πf·m'))², below fc as above it, and without the thick-plate limit, as the normalised impact
/// level of ISO 12354-2:2017 Annex B has it (Ln by reciprocity from it is that formula). Source: ISO 12354-1:2017 Annex B.
#[must_use]
pub fn thin_resonant_transmission(plate: &Plate, placed: &InSitu, bands: &Bands, air: &Air) -> Spectrum {
    let fc = plate.critical_hz(air);
    Spectrum::from_fn(|band| {
        let hz = bands.hz(band);
        let mass_term = (2.0 * air.impedance_pa_s_m() / (2.0 * PI * hz * plate.mass_kg_m2())).powi(2);
        mass_term * PI * fc * placed.sigma[band].powi(2) / (2.0 * hz * placed.total_loss[band])
    })
}

/// τ of the resonant part of a layered light element from its whole τ: 8 dB less in bands below the critical frequency of its leaves, unchanged above.
///
/// Source: ISO 12354-1:2017 Annex L, Tables L.12, L.13 (what the example does; a rough stand-in for a measured R*).
#[must_use]
pub fn resonant_tau_of_light(tau: &Spectrum, critical_hz: f64, bands: &Bands) -> Spectrum {
    /// 10^(−8/10).
    const LESS: f64 = 0.158_489_319_246_111_36;
    Spectrum::from_fn(|band| tau[band] * LESS.powf(along(HOLDS_TO_BELOW, critical_hz / bands.hz(band))))
}

#[derive(Clone, Copy, PartialEq)]
enum Waves {
    All,
    Resonant,
}

/// Where the band stands to the critical frequency, as fc over the midband: at the first or less it holds it, at the second or more it lies below.
///
/// The standard changes formula at half a band, 1.12: a wall that grows by a millimetre would change by up to 12 dB. Here R moves from one formula to the
/// other, evenly over the logarithm. The ends are as far apart as its worked example allows (R' within 0.2 dB): it has bands at 0.96, 1.03 and 1.16.
const HOLDS_TO_BELOW: [f64; 2] = [1.0, 1.155];
/// The same on the other side: at the first or less the band lies above, at the second or more it holds it.
const ABOVE_TO_HOLDS: [f64; 2] = [0.81, 0.92];

/// From 0 at the lower end of a range to 1 at the upper, even over the logarithm.
fn along([from, to]: [f64; 2], ratio: f64) -> f64 {
    ((ratio / from).ln() / (to / from).ln()).clamp(0.0, 1.0)
}

/// Radiation efficiency of free waves in every band, the root mean square over it: just below fc it changes by decibels within a band. The standard's worked
/// example, which takes the middle of each band, is met all the same.
fn free_radiation(plate: &Plate, sides: PanelSides, bands: &Bands, air: &Air) -> Spectrum {
    /// Tenths of a band, from its middle.
    const PLACES: [f64; 5] = [-4.0, -2.0, 0.0, 2.0, 4.0];
    let fc = plate.critical_hz(air);
    bands.map(|hz| {
        let squares = PLACES.map(|place| sigma_free(sides, fc, hz * 10f64.powf(0.01 * place), air).powi(2));
        (squares.iter().sum::<f64>() / squares.len() as f64).sqrt()
    })
}

fn transmission(
    plate: &Plate,
    sides: PanelSides,
    sigma: &Spectrum,
    total_loss: &Spectrum,
    bands: &Bands,
    air: &Air,
    waves: Waves,
) -> Spectrum {
    let fc = plate.critical_hz(air);
    let impedance = air.impedance_pa_s_m();
    Spectrum::from_fn(|band| {
        let (hz, loss) = (bands.hz(band), total_loss[band]);
        let sigma = sigma[band];
        let mass_term = (2.0 * impedance / (2.0 * PI * hz * plate.mass_kg_m2())).powi(2);
        let ratio = fc / hz;
        let free = PI / 2.0 * sigma * sigma / loss;
        // Forced waves are followed to where the band begins to hold fc: those nearer to it are the free ones.
        let forced = match waves {
            Waves::All => 2.0 * sigma_forced(sides, hz, air) / (1.0 - ratio.max(HOLDS_TO_BELOW[1]).powi(-2)).powi(2),
            Waves::Resonant => 0.0,
        };
        let holding = free * ratio.powf(1.0 - along(ABOVE_TO_HOLDS, ratio));
        let below = along(HOLDS_TO_BELOW, ratio);
        let tau = mass_term * (forced + free * ratio).powf(below) * holding.powf(1.0 - below);
        let thick_limit = (4.0 * impedance / (1.1 * plate.longitudinal_impedance_pa_s_m())).powi(2) * 0.02 / loss;
        // More than all that arrives cannot pass.
        tau.max(thick_limit).min(1.0)
    })
}

/// A heavy element as built in: everything flanking and impact need to know of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InSitu {
    /// Its area, m².
    pub area_m2: f64,
    /// η_tot per band.
    pub total_loss: Spectrum,
    /// Radiation efficiency of free waves per band.
    pub sigma: Spectrum,
    /// Transmission coefficient per band, forced and resonant.
    pub tau: Spectrum,
    /// Transmission coefficient of the resonant waves alone.
    pub tau_resonant: Spectrum,
    /// Equivalent absorption length a per band, m.
    pub absorption_length_m: Spectrum,
}

impl InSitu {
    /// From the plate, its sides, and what its edges take away (Σ l·α per band, m: see [`super::edge_loss`]).
    ///
    /// Below the first mode of the plate (c0²/(4fc)·(1/l1² + 1/l2²) Hz) resonance is an extrapolation.
    #[must_use]
    pub fn new(plate: &Plate, sides: PanelSides, edge_loss_m: &Spectrum, bands: &Bands, air: &Air) -> Self {
        let sigma = free_radiation(plate, sides, bands, air);
        let total_loss = super::edge_loss::total_loss(plate, sides, &sigma, edge_loss_m, bands, air);
        Self::of_parts(plate, sides, &sigma, &total_loss, bands, air)
    }

    /// From a total loss factor that is known: measured, or [`laboratory_loss`].
    #[must_use]
    pub fn with_loss(plate: &Plate, sides: PanelSides, total_loss: &Spectrum, bands: &Bands, air: &Air) -> Self {
        Self::of_parts(plate, sides, &free_radiation(plate, sides, bands, air), total_loss, bands, air)
    }

    fn of_parts(
        plate: &Plate,
        sides: PanelSides,
        sigma: &Spectrum,
        total_loss: &Spectrum,
        bands: &Bands,
        air: &Air,
    ) -> Self {
        let tau = |waves| transmission(plate, sides, sigma, total_loss, bands, air, waves);
        Self {
            area_m2: sides.area_m2(),
            total_loss: *total_loss,
            sigma: *sigma,
            tau: tau(Waves::All),
            tau_resonant: tau(Waves::Resonant),
            absorption_length_m: super::flanking::absorption_length_m(sides.area_m2(), total_loss, bands, air),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::BAND_COUNT;

    /// Reciprocity of common sense: more loss never lets more through, and the resonant part is never more than the whole.
    #[test]
    fn loss_never_hurts_and_resonance_is_a_part() {
        let (bands, air) = (Bands::exact(), Air::default());
        let sides = PanelSides::new(4.0, 2.75).unwrap();
        for (thickness, density, speed) in [(0.2, 2300.0, 3800.0), (0.1, 600.0, 1900.0), (0.0125, 800.0, 2000.0)] {
            let plate = Plate::new(thickness, density, speed, 0.01).unwrap();
            let little = plate_transmission(&plate, sides, &Spectrum::splat(0.01), &bands, &air);
            let much = plate_transmission(&plate, sides, &Spectrum::splat(0.1), &bands, &air);
            let resonant = InSitu::with_loss(&plate, sides, &Spectrum::splat(0.1), &bands, &air).tau_resonant;
            for band in 0..BAND_COUNT {
                assert!(much[band] <= little[band] && resonant[band] <= much[band]);
                assert!(little[band] > 0.0 && little[band] <= 1.0);
            }
        }
    }
}
