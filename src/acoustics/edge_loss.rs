//! What a plate loses at its edges, from the same vibration reduction indices that carry the flanking sound.

use super::plate::Plate;
use super::radiation::PanelSides;
use super::{Air, Bands, Spectrum};
use std::f64::consts::PI;

/// Reference frequency of Kij and of edge absorption, Hz. Source: ISO 12354-1:2017, Formula (C.4) and clause 4.
const REFERENCE_HZ: f64 = 1000.0;

/// A plate never loses more than this: beyond it the idea of a resonance breaks down (own guard, no source).
const LOSS_MAX: f64 = 0.5;

/// Absorption coefficient α_k of an edge, per band: α_k = Σ_j √(fc,j/1000 Hz)·10^(−Kij/10), held between 0 and 1.
///
/// `others`: for every other element j at that edge its critical frequency (Hz) and the Kij (dB, per band) from this element to it.
/// A free edge has no others and absorbs nothing. Source: ISO 12354-1:2017, Formula (C.4); the bounds are what a coefficient can be.
#[must_use]
pub fn edge_absorption(others: impl IntoIterator<Item = (f64, Spectrum)>) -> Spectrum {
    let mut alpha = Spectrum::ZERO;
    for (critical_hz, kij_db) in others {
        let weight = (critical_hz / REFERENCE_HZ).sqrt();
        alpha = alpha.zip(&kij_db, |sum, k| sum + weight * 10f64.powf(-k / 10.0));
    }
    alpha.map(|sum| sum.clamp(0.0, 1.0))
}

/// The same with 10^(−Kij/10) in the place of each Kij.
#[must_use]
pub fn edge_absorption_of_factors<'a>(others: impl IntoIterator<Item = (f64, &'a Spectrum)>) -> Spectrum {
    let mut alpha = Spectrum::ZERO;
    for (critical_hz, factor) in others {
        let weight = (critical_hz / REFERENCE_HZ).sqrt();
        alpha = alpha.zip(factor, |sum, factor| sum + weight * factor);
    }
    alpha.map(|sum| sum.clamp(0.0, 1.0))
}

/// Σ l_k·α_k per band, m, over the edges of a plate: length (m) and absorption coefficient of each.
#[must_use]
pub fn edge_sum_m(edges: impl IntoIterator<Item = (f64, Spectrum)>) -> Spectrum {
    edges.into_iter().fold(Spectrum::ZERO, |sum, (length_m, alpha)| sum.zip(&alpha, |sum, a| sum + length_m * a))
}

/// Total loss factor in the building: internal, radiation to both sides, edges.
///
/// η = η_int + 2ρ0c0σ/(2πf·m') + c0/(π²·S·√(f·fc))·Σ l_k·α_k, at least η_int and at most 0.5.
/// `sigma`: radiation efficiency of free waves; `edge_sum_m`: see [`edge_sum_m`]. Source: ISO 12354-1:2017, Formula (C.1).
#[must_use]
pub fn total_loss(
    plate: &Plate,
    sides: PanelSides,
    sigma: &Spectrum,
    edge_sum_m: &Spectrum,
    bands: &Bands,
    air: &Air,
) -> Spectrum {
    let fc = plate.critical_hz(air);
    Spectrum::from_fn(|band| {
        let hz = bands.hz(band);
        let radiation = 2.0 * air.impedance_pa_s_m() * sigma[band] / (2.0 * PI * hz * plate.mass_kg_m2());
        let edges = air.speed_m_s() / (PI * PI * sides.area_m2() * (hz * fc).sqrt()) * edge_sum_m[band];
        (plate.internal_loss() + radiation + edges).min(LOSS_MAX.max(plate.internal_loss()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_free_edge_absorbs_nothing_and_no_edge_more_than_all() {
        assert_eq!(edge_absorption([]), Spectrum::ZERO);
        let strong = edge_absorption([(2000.0, Spectrum::splat(-5.0)), (2000.0, Spectrum::splat(-5.0))]);
        assert_eq!(strong, Spectrum::splat(1.0));
        assert_eq!(edge_sum_m([(4.0, strong), (2.0, Spectrum::splat(0.5))]), Spectrum::splat(5.0));
    }
}
