//! Absorption coefficients: from octaves to bands.

use super::bands::Spectrum;

/// Octave coefficients 125 Hz to 4 kHz laid on the 24 bands: each third takes its octave's value.
///
/// Below 100 Hz handbooks print nothing: the 125 Hz value is taken (common practice, no source), which is generous for
/// porous finishes, so the uncertainty there must be widened.
///
/// ```
/// # use leaklight::acoustics::absorption::from_octaves;
/// let alpha = from_octaves(&[0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
/// assert_eq!((alpha[0], alpha[6], alpha[9], alpha[23]), (0.1, 0.1, 0.2, 0.6));
/// ```
#[must_use]
pub fn from_octaves(alpha_125_to_4000: &[f64; 6]) -> Spectrum {
    Spectrum::from_fn(|band| alpha_125_to_4000[(band / 3).saturating_sub(2)])
}

/// The same with the two lowest octaves known: 31.5 Hz to 4 kHz, eight values.
#[must_use]
pub fn from_all_octaves(alpha_31_to_4000: &[f64; 8]) -> Spectrum {
    Spectrum::from_fn(|band| alpha_31_to_4000[band / 3])
}
