//! How far computed sound reduction indices lie from published ones: the laboratory's part of what is not known of an element.

use super::construction::{Body, Resolved};
use crate::acoustics::Spectrum;
use crate::acoustics::measurement_uncertainty::reproducibility_db;

/// Root mean square of computed minus published R, octaves 63 Hz to 4 kHz, dB, to half a decibel; bias, outliers and what laboratories differ by
/// included.
///
/// Source: the builds of `docs/layered_elements.md` by octave, the thirds of `docs/measured.md` with their octave (what is only recalled left out).
/// `the_spread_in_use_is_that_of_the_builds` (`tests/published/odds.rs`) computes it anew.
const SHEET_DB: [f64; 7] = [4.0, 3.5, 3.0, 3.0, 3.0, 4.5, 6.5];
const LEAVES_DB: [f64; 7] = [4.0, 6.0, 5.0, 6.0, 7.0, 6.0, 5.5];
/// Above 1 kHz much of it is flanking of old laboratories.
const MASONRY_DB: [f64; 7] = [5.5, 6.0, 7.5, 6.0, 6.5, 6.0, 6.0];

/// What the spread depends on: whether R is computed, and of what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spread {
    /// Nothing that could be off.
    Hole,
    /// R or Dn,e as measured of something of its kind.
    Measured,
    /// One light leaf: glass, boards, metal, most doors.
    Sheet,
    /// Light leaves with a cavity, or with something on springs.
    Leaves,
    /// A heavy leaf, lined or not, or two.
    Masonry,
}

impl Spread {
    /// Of a construction ready to compute.
    #[must_use]
    pub fn of(resolved: &Resolved) -> Self {
        match &resolved.body {
            Body::Heavy { .. } | Body::Twin { .. } => Self::Masonry,
            Body::Light { stack, linings } if stack.leaves().len() == 1 && linings.iter().all(Vec::is_empty) => {
                Self::Sheet
            }
            Body::Light { .. } => Self::Leaves,
            Body::Measured { .. } | Body::Small { .. } => Self::Measured,
            Body::Open => Self::Hole,
        }
    }

    /// With a leaf before it on a gap.
    #[must_use]
    pub fn behind_a_leaf(self) -> Self {
        if self == Self::Masonry { self } else { Self::Leaves }
    }

    /// Standard uncertainty of R in a laboratory, dB. Below the 63 Hz octave, where nothing is published, its value: a lower bound.
    #[must_use]
    pub fn db(self) -> Spectrum {
        let octaves = match self {
            Self::Hole => return Spectrum::ZERO,
            Self::Measured => return reproducibility_db(),
            Self::Sheet => SHEET_DB,
            Self::Leaves => LEAVES_DB,
            Self::Masonry => MASONRY_DB,
        };
        Spectrum::from_fn(|band| octaves[(band / 3).saturating_sub(1)])
    }
}
