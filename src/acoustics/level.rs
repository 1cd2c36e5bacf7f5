//! Sums, means and differences of levels.

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

/// Energy mean of several levels, dB; NaN for none.
#[must_use]
pub fn energy_mean_db(levels_db: &[f64]) -> f64 {
    energy_sum_db(levels_db) - 10.0 * (levels_db.len() as f64).log10()
}

/// Sound power level, dB re 1 pW, of a power in W, > 0.
#[must_use]
pub fn sound_power_level_db(power_w: f64) -> f64 {
    10.0 * (power_w / 1e-12).log10()
}

/// Sound power in W of a level in dB re 1 pW.
#[must_use]
pub fn sound_power_w(lw_db: f64) -> f64 {
    1e-12 * 10f64.powf(lw_db / 10.0)
}

/// Correction for background noise K1, dB, to be taken off a level measured `above_db` > 0 over the background.
///
/// Source: ISO 3741:2010, 9.1.2. The standards cap it at 6 dB (in some bands 10 dB) of distance; the caller says so.
#[must_use]
pub fn background_correction_db(above_db: f64) -> f64 {
    -10.0 * (1.0 - 10f64.powf(-above_db / 10.0)).log10()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn power_and_its_level_undo_each_other() {
        assert!((sound_power_w(sound_power_level_db(0.4)) - 0.4).abs() < 1e-12);
    }

    #[test]
    fn the_mean_of_equals_is_the_same() {
        assert!((energy_mean_db(&[71.0; 7]) - 71.0).abs() < 1e-9);
    }
}
