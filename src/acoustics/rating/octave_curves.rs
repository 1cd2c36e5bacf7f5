//! Curves for background and neighbour noise in octaves: NR, NC, RC, and the number of the curve a spectrum touches.

use crate::acoustics::Spectrum;

/// Octave midbands of the curves, Hz.
pub const CURVE_OCTAVE_HZ: [f64; 10] = [16.0, 31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];

/// Octave levels at [`CURVE_OCTAVE_HZ`], dB; negative infinity where nothing is known (it then takes no part).
pub type OctaveLevels = [f64; 10];

/// NR: level = a + b·NR, dB, from 31.5 Hz. Source: BS 8233:1999 (63 Hz to 8 kHz); 31.5 Hz from memory, unverified.
///
/// Other tables print 35.5 at 63 Hz and 4.8 + 0.974·NR at 500 Hz: at most 0.6 dB away at NR 15 to 25.
const NR_A_B: [(f64, f64); 9] = [
    (55.4, 0.681),
    (35.4, 0.79),
    (22.0, 0.87),
    (12.0, 0.93),
    (4.2, 0.98),
    (0.0, 1.0),
    (-3.5, 1.015),
    (-6.1, 1.025),
    (-8.0, 1.03),
];

/// NC curves 15 to 70, dB at [`CURVE_OCTAVE_HZ`]. Source: ANSI/ASA S12.2-2019; 45 and
/// 55 to 70 from memory, agreeing with copies of the 2008 edition.
const NC_CURVES: [(f64, OctaveLevels); 12] = [
    (15.0, [78., 61., 47., 36., 28., 22., 18., 14., 12., 11.]),
    (20.0, [79., 63., 50., 40., 33., 26., 22., 20., 17., 16.]),
    (25.0, [80., 65., 54., 44., 37., 31., 27., 24., 22., 22.]),
    (30.0, [81., 68., 57., 48., 41., 35., 32., 29., 28., 27.]),
    (35.0, [82., 71., 60., 52., 45., 40., 36., 34., 33., 32.]),
    (40.0, [84., 74., 64., 56., 50., 44., 41., 39., 38., 37.]),
    (45.0, [85., 76., 67., 60., 54., 49., 46., 44., 43., 42.]),
    (50.0, [87., 79., 71., 64., 58., 54., 51., 49., 48., 47.]),
    (55.0, [89., 82., 74., 67., 62., 58., 56., 54., 53., 52.]),
    (60.0, [90., 85., 77., 71., 66., 63., 60., 59., 58., 57.]),
    (65.0, [90., 88., 80., 75., 71., 68., 65., 64., 63., 62.]),
    (70.0, [90., 90., 84., 79., 75., 72., 71., 70., 68., 68.]),
];

/// The number of the curve a spectrum reaches, and the octave that reaches it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveRating {
    /// Interpolated number.
    pub number: f64,
    /// Midband of the octave that decides, Hz.
    pub octave_hz: f64,
}

impl CurveRating {
    /// The next curve drawn (steps of 5) that no octave exceeds.
    #[must_use]
    pub fn next_curve(&self) -> f64 {
        // A spectrum lying on a curve meets that curve, so rounding noise must not lift it to the next.
        ((self.number - 1e-9) / 5.0).ceil() * 5.0
    }
}

/// Octave levels of a third-octave spectrum of levels, dB; 16 Hz and 8 kHz lie outside and stay empty.
#[must_use]
pub fn octave_levels_db(level_db: &Spectrum) -> OctaveLevels {
    let sums = level_db.energy_from_db().octave_sums();
    let mut levels = [f64::NEG_INFINITY; 10];
    for (level, energy) in levels[1..9].iter_mut().zip(sums) {
        *level = 10.0 * energy.log10();
    }
    levels
}

/// Levels of an NR curve, dB; 16 Hz is not defined and stays negative infinity.
#[must_use]
pub fn nr_curve_db(nr: f64) -> OctaveLevels {
    let mut levels = [f64::NEG_INFINITY; 10];
    for (level, (a, b)) in levels[1..].iter_mut().zip(NR_A_B) {
        *level = a + b * nr;
    }
    levels
}

/// NR of octave levels: the highest number any octave from 31.5 Hz reaches. `None` when every octave is empty.
///
/// ```
/// # use leaklight::acoustics::rating::octave_curves::{nr, nr_curve_db};
/// assert!((nr(&nr_curve_db(23.0)).unwrap().number - 23.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn nr(level_db: &OctaveLevels) -> Option<CurveRating> {
    highest(level_db, |octave| {
        let (a, b) = *NR_A_B.get(octave.checked_sub(1)?)?;
        Some((level_db[octave] - a) / b)
    })
}

/// Levels of an NC curve, dB: `nc` 15 to 70 in steps of 5, else `None`.
#[must_use]
pub fn nc_curve_db(nc: f64) -> Option<OctaveLevels> {
    NC_CURVES.iter().find(|(number, _)| (number - nc).abs() < 1e-9).map(|(_, levels)| *levels)
}

/// NC of octave levels by tangency: the highest number any octave reaches, interpolated between curves.
///
/// Outside the curves 15 to 70 one decibel counts as one number (our own extension: the standard stops there).
/// `None` when every octave is empty. Source: ANSI/ASA S12.2-2019, tangency method.
#[must_use]
pub fn nc(level_db: &OctaveLevels) -> Option<CurveRating> {
    highest(level_db, |octave| Some(nc_of_octave(octave, level_db[octave])))
}

fn nc_of_octave(octave: usize, db: f64) -> f64 {
    let above = NC_CURVES.partition_point(|(_, levels)| levels[octave] < db);
    match above {
        0 => NC_CURVES[0].0 - (NC_CURVES[0].1[octave] - db),
        at if at == NC_CURVES.len() => NC_CURVES[at - 1].0 + db - NC_CURVES[at - 1].1[octave],
        at => {
            let ((low, below), (high, over)) = (NC_CURVES[at - 1], NC_CURVES[at]);
            low + (high - low) * (db - below[octave]) / (over[octave] - below[octave])
        }
    }
}

/// Levels of an RC curve, dB: 5 dB less for each octave up, `rc` at 1 kHz; 16 Hz as 31.5 Hz, neither below 55 dB.
///
/// Source: ANSI/ASA S12.2-2019, RC curves.
#[must_use]
pub fn rc_curve_db(rc: f64) -> OctaveLevels {
    std::array::from_fn(|octave| match octave {
        0 | 1 => (rc + 25.0).max(55.0),
        // 1 kHz is the seventh of the list.
        _ => rc + 5.0 * (6.0 - octave as f64),
    })
}

/// RC number of octave levels: the mean of 500 Hz, 1 kHz and 2 kHz. Source: ANSI/ASA S12.2-2019, RC method.
#[must_use]
pub fn rc(level_db: &OctaveLevels) -> f64 {
    level_db[5..8].iter().sum::<f64>() / 3.0
}

fn highest(level_db: &OctaveLevels, number: impl Fn(usize) -> Option<f64>) -> Option<CurveRating> {
    (0..level_db.len())
        .filter(|octave| level_db[*octave].is_finite())
        .filter_map(|octave| Some(CurveRating { number: number(octave)?, octave_hz: CURVE_OCTAVE_HZ[octave] }))
        .max_by(|one, other| one.number.total_cmp(&other.number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_nc_curve_rates_as_itself() {
        for (number, levels) in &NC_CURVES {
            let mut from_31_hz = *levels;
            // 16 Hz is 90 dB for three curves, so there it cannot tell them apart.
            from_31_hz[0] = f64::NEG_INFINITY;
            let rating = nc(&from_31_hz).unwrap();
            assert!((rating.number - number).abs() < 1e-9, "{number}: {rating:?}");
            assert_eq!(rating.next_curve(), *number);
        }
    }

    #[test]
    fn an_empty_spectrum_has_no_rating() {
        assert_eq!(nc(&[f64::NEG_INFINITY; 10]), None);
        assert_eq!(nr(&[f64::NEG_INFINITY; 10]), None);
    }

    #[test]
    fn a_bass_note_decides_at_its_own_octave() {
        let mut level_db = nr_curve_db(10.0);
        level_db[2] += 20.0;
        assert_eq!(nr(&level_db).unwrap().octave_hz, 63.0);
    }
}
