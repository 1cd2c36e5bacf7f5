//! Sums and differences of levels.

/// Level of several uncorrelated sounds together, dB; negative infinity for none.
///
/// ```
/// # use leaklight::acoustics::level::energy_sum_db;
/// assert!((energy_sum_db(&[60.0, 60.0]) - 63.01).abs() < 0.01);
/// ```
#[must_use]
pub fn energy_sum_db(levels_db: &[f64]) -> f64 {
    10.0 * levels_db.iter().map(|db| 10f64.powf(db / 10.0)).sum::<f64>().log10()
}

/// Correction for background noise K1, dB, to be taken off a level measured `above_db` > 0 over the background.
///
/// Source: ISO 3741:2010, 9.1.2. The standards cap it at 6 dB (in some bands 10 dB) of distance; the caller says so.
#[must_use]
pub fn background_correction_db(above_db: f64) -> f64 {
    -10.0 * (1.0 - 10f64.powf(-above_db / 10.0)).log10()
}
