//! Impact levels of the floors standards refer to: stand-ins for a floor whose own Ln is unknown.

use super::Spectrum;
use super::bands::INDEX_100_HZ;
use super::rating::iso717_2::REFERENCE_FLOOR_DB;

/// A reference floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReferenceFloor {
    /// Concrete, about 140 mm: Ln,r,0,w = 78 dB.
    Heavy,
    /// Timber joists with boards and a ceiling on battens (types 1 and 2): Ln,t,r,0,w = 72 dB.
    JoistsWithCeiling,
    /// Timber beams with boards and no ceiling closing them off (type 3): Ln,t,r,0,w = 75 dB.
    OpenJoists,
}

/// Light floors of types 1 and 2, 100 Hz to 3150 Hz, dB. Source: ISO 717-2:2020, lightweight reference floors (from memory,
/// unverified; they rate 72 dB with CI 0, as the standard says).
const JOISTS_WITH_CEILING_DB: [f64; 16] =
    [78.0, 78.0, 78.0, 78.0, 78.0, 78.0, 76.0, 74.0, 72.0, 69.0, 66.0, 63.0, 60.0, 57.0, 54.0, 51.0];
/// Light floor of type 3, 100 Hz to 3150 Hz, dB. Source: as above (rates 75 dB with CI −3).
const OPEN_JOISTS_DB: [f64; 16] =
    [69.0, 72.0, 75.0, 78.0, 78.0, 78.0, 78.0, 78.0, 78.0, 76.0, 74.0, 72.0, 69.0, 66.0, 63.0, 60.0];

impl ReferenceFloor {
    /// Ln over all bands, dB. The standard prints 100 Hz to 3150 Hz; below and above, the slope of the end is carried on for heavy floors and
    /// high bands, and held for light floors below 100 Hz (own continuation, wide uncertainty).
    #[must_use]
    pub fn ln_db(self) -> Spectrum {
        let (printed, low_slope_db) = match self {
            Self::Heavy => (REFERENCE_FLOOR_DB, 0.5),
            Self::JoistsWithCeiling => (JOISTS_WITH_CEILING_DB, 0.0),
            Self::OpenJoists => (OPEN_JOISTS_DB, 0.0),
        };
        let last = printed.len() - 1;
        let high_slope_db = printed[last] - printed[last - 1];
        Spectrum::from_fn(|band| {
            if band < INDEX_100_HZ {
                printed[0] - low_slope_db * (INDEX_100_HZ - band) as f64
            } else if band - INDEX_100_HZ > last {
                printed[last] + high_slope_db * (band - INDEX_100_HZ - last) as f64
            } else {
                printed[band - INDEX_100_HZ]
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::rating::iso717_2::Impact;

    /// Ln,r,0,w and CI as ISO 717-2 gives them for its floors: 78 (−11), 72 (0), 75 (−3).
    #[test]
    fn the_floors_rate_as_the_standard_says() {
        for (floor, lnw_db, ci_db) in [
            (ReferenceFloor::Heavy, 78, -11),
            (ReferenceFloor::JoistsWithCeiling, 72, 0),
            (ReferenceFloor::OpenJoists, 75, -3),
        ] {
            let rating = Impact::of_spectrum(&floor.ln_db());
            assert_eq!((rating.lnw_db, rating.ci_db), (lnw_db, ci_db), "{floor:?}");
        }
    }
}
