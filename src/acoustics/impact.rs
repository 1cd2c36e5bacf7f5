//! Footsteps by the tapping machine on heavy floors, and round the junctions.

use super::heavy::InSitu;
use super::plate::Plate;
use super::{Bands, Spectrum};

/// Normalised impact level Ln of a bare heavy floor in situ, dB: 155 − 30 lg m' + 10 lg Ts + 10 lg σ + 10 lg(f/1000).
///
/// Third octaves. Source: ISO 12354-2:2017 Annex B.
#[must_use]
pub fn heavy_floor_ln_db(plate: &Plate, floor: &InSitu, bands: &Bands) -> Spectrum {
    ln_from_parts_db(plate.mass_kg_m2(), &floor.reverberation_s, &floor.sigma, bands)
}

/// As [`heavy_floor_ln_db`], from mass per area (kg/m²), structural reverberation time (s) and radiation efficiency.
#[must_use]
pub fn ln_from_parts_db(mass_kg_m2: f64, reverberation_s: &Spectrum, sigma: &Spectrum, bands: &Bands) -> Spectrum {
    Spectrum::from_fn(|band| {
        155.0 - 30.0 * mass_kg_m2.log10()
            + 10.0 * (reverberation_s[band] * sigma[band] * bands.hz(band) / 1000.0).log10()
    })
}

/// Weighted impact level of one flanking path by the simplified model, dB:
/// Ln,eq,0,w − ΔLw + (Ri,w − Rj,w)/2 − ΔRj,w − Kij − 10 lg(Si/(l0·l_ij)), i the floor, j the element that radiates.
///
/// Source: ISO 12354-2:2017, simplified model (reproduces Table G.10).
#[must_use]
pub fn simplified_impact_path_w_db(
    floor_ln_db: f64,
    rw_pair_db: (f64, f64),
    delta_rw_j_db: f64,
    kij_db: f64,
    floor_area_m2: f64,
    length_m: f64,
) -> f64 {
    floor_ln_db + (rw_pair_db.0 - rw_pair_db.1) / 2.0
        - delta_rw_j_db
        - kij_db
        - 10.0 * (floor_area_m2 / length_m).log10()
}

/// Impact levels of several paths added in energy, dB.
#[must_use]
pub fn sum_of_levels_db(levels_db: impl IntoIterator<Item = f64>) -> f64 {
    10.0 * levels_db.into_iter().map(|level| 10f64.powf(level / 10.0)).sum::<f64>().log10()
}
