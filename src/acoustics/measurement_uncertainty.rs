//! How sure a measured sound insulation is.

use super::bands::Spectrum;

/// Standard uncertainty of a laboratory sound reduction index between laboratories (situation A), 50 Hz to 5 kHz, dB.
///
/// Source: ISO 12999-1:2020 Table 2.
pub const REPRODUCIBILITY_DB: [f64; 21] =
    [6.8, 4.6, 3.8, 3.0, 2.7, 2.4, 2.1, 1.8, 1.8, 1.8, 1.8, 1.8, 1.8, 1.8, 1.8, 1.8, 1.8, 1.9, 2.0, 2.4, 2.8];

/// Standard uncertainty of Rw between laboratories, dB. Source: ISO 12999-1:2020, situation A.
pub const REPRODUCIBILITY_RW_DB: f64 = 1.2;

/// [`REPRODUCIBILITY_DB`] on all 24 bands, dB: 25 Hz to 40 Hz take the 50 Hz value, which is a lower bound (invented).
#[must_use]
pub fn reproducibility_db() -> Spectrum {
    Spectrum::from_fn(|band| REPRODUCIBILITY_DB[band.saturating_sub(3)])
}

/// Independent standard uncertainties together, dB: root of the sum of squares. Source: ISO/IEC Guide 98-3 (GUM), 5.1.
#[must_use]
pub fn combined_db(standard_db: &[f64]) -> f64 {
    standard_db.iter().map(|u| u * u).sum::<f64>().sqrt()
}

/// Expanded uncertainty, dB: coverage factor times standard uncertainty. Source: ISO/IEC Guide 98-3 (GUM), 6.2.
#[must_use]
pub fn expanded_db(standard_db: f64, coverage_factor: f64) -> f64 {
    coverage_factor * standard_db
}
