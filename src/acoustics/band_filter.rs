//! What a one-third octave filter must pass and stop: the mask any band-splitting of signals is held against.
//!
//! Source: IEC 61260-1:2014, 5.10 and Table 1, class 1.

/// Octave frequency ratio G. Source: IEC 61260-1:2014, 5.2.
const OCTAVE_RATIO_LG: f64 = 0.3;

/// A corner of the mask: octave exponent of the normalised frequency, least and greatest attenuation, dB.
///
/// Source: IEC 61260-1:2014 Table 1, class 1. Beyond the band edges only the least attenuation is limited.
const CORNERS: [(f64, f64, Option<f64>); 8] = [
    (0.0, -0.4, Some(0.4)),
    (0.125, -0.4, Some(0.5)),
    (0.25, -0.4, Some(0.7)),
    (0.375, -0.4, Some(1.4)),
    (1.0, 16.6, None),
    (2.0, 40.5, None),
    (3.0, 60.0, None),
    (4.0, 70.0, None),
];

/// A corner of the one-third octave mask.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaskCorner {
    /// Frequency over midband frequency.
    pub normalised_frequency: f64,
    /// Attenuation must be at least this, dB.
    pub least_db: f64,
    /// And at most this, dB, where there is a limit.
    pub greatest_db: Option<f64>,
}

/// The class 1 mask of a one-third octave filter, by rising frequency, without the two steps at the band edges.
///
/// Octave corners are brought to thirds by Ω = 1 + (G^(1/6) − 1)/(G^(1/2) − 1)·(Ωoct − 1), below the midband by its reciprocal.
/// Source: IEC 61260-1:2014 Formulas (9) and (10).
#[must_use]
pub fn third_octave_mask() -> [MaskCorner; 15] {
    let octaves = |exponent: f64| 10f64.powf(OCTAVE_RATIO_LG * exponent);
    let narrowing = (octaves(1.0 / 6.0) - 1.0) / (octaves(0.5) - 1.0);
    std::array::from_fn(|at| {
        let (exponent, least_db, greatest_db) = CORNERS[at.abs_diff(7)];
        let above = 1.0 + narrowing * (octaves(exponent) - 1.0);
        MaskCorner { normalised_frequency: if at < 7 { above.recip() } else { above }, least_db, greatest_db }
    })
}
