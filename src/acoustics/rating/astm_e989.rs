//! Impact insulation class IIC of ASTM E989. Higher is better.

use super::shifted_curve::{Limits, highest, in_steps};
use crate::acoustics::Spectrum;
use crate::acoustics::bands::INDEX_100_HZ;

/// Contour 100 Hz to 3150 Hz, dB: that of ISO 717-2:2020 Table 3, whose shape ASTM E989 shares (from memory, unverified).
const CONTOUR: [i64; 16] = [62, 62, 62, 62, 62, 62, 61, 60, 59, 58, 57, 54, 51, 48, 45, 42];
/// Position of 500 Hz in [`CONTOUR`].
const AT_500_HZ: usize = 7;
/// 32 dB in all, 8 dB in any band. Source: ASTM E989 (from memory, unverified).
const LIMITS: Limits = Limits { sum: 32, single: 8 };

/// IIC of a normalised impact level in thirds (dB), 100 Hz to 3150 Hz taken: 110 less the shifted contour at 500 Hz.
///
/// Levels are rounded to whole dB. About 110 − Ln,w where the 8 dB rule does not govern. Source: ASTM E989 (from memory, unverified).
#[must_use]
pub fn impact_insulation_class(ln_db: &Spectrum) -> i32 {
    let negative = std::array::from_fn(|band| in_steps(-ln_db[INDEX_100_HZ + band], 1.0));
    let fit = highest(&negative, &CONTOUR.map(|db| -db), 1, LIMITS);
    (110 - CONTOUR[AT_500_HZ] + fit.shift) as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The contour itself, two dB too high everywhere, uses the 32 dB up: IIC 50. One band 20 dB over is stopped by the 8 dB rule.
    #[test]
    fn the_contour_rates_fifty() {
        let contour = |extra: f64| {
            Spectrum::from_fn(|band| CONTOUR[band.clamp(INDEX_100_HZ, INDEX_100_HZ + 15) - INDEX_100_HZ] as f64 + extra)
        };
        assert_eq!(impact_insulation_class(&contour(2.0)), 50);
        let mut peaked = contour(0.0);
        peaked[21] += 20.0;
        assert_eq!(impact_insulation_class(&peaked), 38);
    }
}
