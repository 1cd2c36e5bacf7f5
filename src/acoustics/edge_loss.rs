//! What a plate loses at its edges, from the same vibration reduction indices that carry the flanking sound.

use super::air::Air;
use super::bands::{Bands, Spectrum};
use super::plate::Plate;
use super::radiation::{PanelSides, sigma_free};
use std::f64::consts::PI;

/// Reference frequency of Kij and of edge absorption, Hz. Source: ISO 12354-1:2017, Formula (C.4) and clause 4.
const REFERENCE_HZ: f64 = 1000.0;

/// A plate never loses more than this: beyond it the idea of a resonance breaks down (own guard, no source).
const LOSS_MAX: f64 = 0.5;

/// Absorption coefficient α_k of an edge, per band: α_k = Σ_j √(fc,j/1000 Hz)·10^(−Kij/10), held between 0 and 1.
///
/// `others`: for every other element j at that edge its critical frequency (Hz) and 10^(−Kij/10) from this element to it, per band.
/// A free edge has no others and absorbs nothing. Source: ISO 12354-1:2017, Formula (C.4); the bounds are what a coefficient can be.
#[must_use]
pub fn edge_absorption(others: impl IntoIterator<Item = (f64, Spectrum)>) -> Spectrum {
    let mut alpha = Spectrum::ZERO;
    for (critical_hz, factor) in others {
        let weight = (critical_hz / REFERENCE_HZ).sqrt();
        alpha = alpha.zip(&factor, |sum, factor| sum + weight * factor);
    }
    alpha.map(|sum| sum.clamp(0.0, 1.0))
}

/// Total loss factor in the building: internal, radiation to both sides, edges.
///
/// η = η_int + 2ρ0c0σ/(2πf·m') + c0/(π²·S·√(f·fc))·Σ l_k·α_k, at least η_int and at most 0.5.
/// `sigma`: radiation efficiency of free waves; `edge_sum_m`: Σ l_k·α_k over the edges, m ([`edge_absorption`]). Source: ISO 12354-1:2017, Formula (C.1).
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

/// The most that Σ l·α has been found to be in buildings, m: π²·S·√fc/c0, which is a loss factor of 1/√f at the edges.
///
/// Measured total loss factors of masonry and concrete in buildings lie at η_int + X/√f with X between 0.3 and 1 (Craik 1981; Hopkins, Sound
/// Insulation, 2007, 2.6.5: both from memory, unverified); that the upper end is a bound for the edges is own judgement.
#[must_use]
pub fn most_edge_sum_m(area_m2: f64, critical_hz: f64, air: &Air) -> f64 {
    PI * PI * area_m2 * critical_hz.sqrt() / air.speed_m_s()
}

/// What a plate loses inside itself and to the air on both sides, as the Σ l·α that would lose as much, m.
/// Source: ISO 12354-1:2017, Formula (C.1), solved for the sum.
#[must_use]
pub fn own_loss_length_m(plate: &Plate, sides: PanelSides, bands: &Bands, air: &Air) -> Spectrum {
    let fc = plate.critical_hz(air);
    bands.map(|hz| {
        let sigma = sigma_free(sides, fc, hz, air);
        let radiation = 2.0 * air.impedance_pa_s_m() * sigma / (2.0 * PI * hz * plate.mass_kg_m2());
        PI * PI * sides.area_m2() * (hz * fc).sqrt() / air.speed_m_s() * (plate.internal_loss() + radiation)
    })
}

/// How strongly two pieces of one straight run are joined: l·√(fc,i·fc,j/1000 Hz)·10^(−Kij/10), with no more than all absorbed at either
/// end; the same both ways. Lengths in m, frequencies in Hz, so that it is in m·√Hz, as what goes into [`loss_of_driven`] is.
///
/// Source: ISO 12354-1:2017, Formula (C.4), times √fc,i, which is in proportion to a plate's modal density for each area.
#[must_use]
pub fn link_m(length_m: f64, critical_hz: [f64; 2], kij_factor: f64) -> f64 {
    let [one, other] = critical_hz;
    length_m * ((one * other / REFERENCE_HZ).sqrt() * kij_factor).min(one.min(other).sqrt())
}

/// What the driven plate of a straight run loses: 1/[A⁻¹] of the last of `n` plates, by eliminating those before it.
///
/// A, row by row in `matrix` (which is used up), is the power balance of plates that pass energy to each other: what each loses by itself,
/// √fc·(Σ l·α at other edges + [`own_loss_length_m`]), and what it passes on ([`link_m`]) on the diagonal, minus what it gets off it. Energy that goes on
/// also comes back: two equal halves, strongly joined, lose twice what one loses by itself, and no more.
/// Source: statistical energy analysis (Lyon & DeJong 1995; Craik 1996: from memory, unverified).
pub fn loss_of_driven(matrix: &mut [f64], n: usize) -> f64 {
    for pivot in 0..n.saturating_sub(1) {
        let diagonal = matrix[pivot * n + pivot];
        if diagonal <= 0.0 {
            continue;
        }
        for row in pivot + 1..n {
            let share = matrix[row * n + pivot] / diagonal;
            if share != 0.0 {
                for column in pivot + 1..n {
                    matrix[row * n + column] -= share * matrix[pivot * n + column];
                }
            }
        }
    }
    matrix.last().copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two halves, worked by hand: g + w·g/(g + w); a chain of three driven in the middle, twice that beyond it (exact).
    #[test]
    fn what_goes_on_also_comes_back() {
        let (g, w) = (1.0, 10.0);
        let back = g * w / (g + w);
        assert!((loss_of_driven(&mut [g + w, -w, -w, g + w], 2) - (g + back)).abs() < 1e-12);
        let mut chain = [g + w, 0.0, -w, 0.0, g + w, -w, -w, -w, g + 2.0 * w];
        assert!((loss_of_driven(&mut chain, 3) - (g + 2.0 * back)).abs() < 1e-12);
        assert!((loss_of_driven(&mut [g], 1) - g).abs() < 1e-12);
    }

    /// A loss factor of 1/√f at the edges, and no more (exact).
    #[test]
    fn the_most_at_the_edges_is_one_over_root_f() {
        let (bands, air) = (Bands::exact(), Air::default());
        let plate = Plate::new(0.215, 1900.0, 2500.0, 0.01).unwrap();
        let sides = PanelSides::new(4.0, 2.5).unwrap();
        let most = Spectrum::splat(most_edge_sum_m(sides.area_m2(), plate.critical_hz(&air), &air));
        let silent = Spectrum::ZERO;
        let with = total_loss(&plate, sides, &silent, &most, &bands, &air);
        for band in 0..crate::acoustics::BAND_COUNT {
            assert!((with[band] - 0.01 - 1.0 / bands.hz(band).sqrt()).abs() < 1e-9);
        }
    }

    #[test]
    fn a_free_edge_absorbs_nothing_and_no_edge_more_than_all() {
        assert_eq!(edge_absorption([]), Spectrum::ZERO);
        let strong = edge_absorption([(2000.0, Spectrum::splat(3.0)), (2000.0, Spectrum::splat(3.0))]);
        assert_eq!(strong, Spectrum::splat(1.0));
    }
}
