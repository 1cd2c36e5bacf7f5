//! Single-number ratings and weightings: what a spectrum of decibels is worth by a published standard.

pub mod astm_e413;
pub mod astm_e989;
pub mod iso717_1;
pub mod iso717_2;
pub mod octave_curves;
pub(crate) mod shifted_curve;
pub mod weighting;
