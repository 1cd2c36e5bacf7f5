//! What can be heard: threshold of hearing, equal loudness, and a level against threshold and background.

use super::{BAND_COUNT, Spectrum};

/// Threshold of hearing in a free field, frontal, 25 Hz to 5 kHz, dB. Source: ISO 226:2023 Table 1, as ISO 389-7:2005 Table 1.
///
/// For otologically normal persons of 18 to 25 years, pure tones, both ears; a single person may hear 5 to 10 dB better.
pub const THRESHOLD_FREE_DB: Spectrum = Spectrum([
    68.7, 59.5, 51.1, 44.0, 37.5, 31.5, 26.5, 22.1, 17.9, 14.4, 11.4, 8.6, 6.2, 4.4, 3.0, 2.2, 2.4, 3.5, 1.7, -1.3,
    -4.2, -6.0, -5.4, -1.5,
]);

/// Threshold of hearing in a diffuse field, as in a room, 25 Hz to 5 kHz, dB. Source: ISO 389-7:2005 Table 1.
///
/// 125, 250, 500 Hz, 1, 2 and 4 kHz as printed; up to 250 Hz it equals the free field; the thirds between from memory: 315, 400,
/// 630, 800 Hz and 1.25 kHz agree with a copy of the table, 1.6, 2.5, 3.15 and 5 kHz are unverified.
pub const THRESHOLD_DIFFUSE_DB: Spectrum = Spectrum([
    68.7, 59.5, 51.1, 44.0, 37.5, 31.5, 26.5, 22.1, 17.9, 14.4, 11.4, 8.4, 5.8, 3.8, 2.1, 1.0, 0.8, 1.9, 0.5, -1.5,
    -3.1, -4.0, -3.8, -1.8,
]);

/// Preferred frequencies of the loudness contours, Hz. Source: ISO 226:2023 Table 1.
pub const CONTOUR_HZ: [f64; 29] = [
    20., 25., 31.5, 40., 50., 63., 80., 100., 125., 160., 200., 250., 315., 400., 500., 630., 800., 1000., 1250.,
    1600., 2000., 2500., 3150., 4000., 5000., 6300., 8000., 10000., 12500.,
];
/// Exponent αf. Source: ISO 226:2023 Table 1.
const EXPONENT: [f64; 29] = [
    0.635, 0.602, 0.569, 0.537, 0.509, 0.482, 0.456, 0.433, 0.412, 0.391, 0.373, 0.357, 0.343, 0.33, 0.32, 0.311,
    0.303, 0.3, 0.295, 0.292, 0.29, 0.29, 0.289, 0.289, 0.289, 0.293, 0.303, 0.323, 0.354,
];
/// Magnitude LU of the linear transfer, dB. Source: ISO 226:2023 Table 1.
const TRANSFER_DB: [f64; 29] = [
    -31.5, -27.2, -23.1, -19.3, -16.1, -13.1, -10.4, -8.2, -6.3, -4.6, -3.2, -2.1, -1.2, -0.5, 0.0, 0.4, 0.5, 0.0,
    -2.7, -4.2, -1.2, 1.4, 2.3, 1.0, -2.3, -7.2, -11.2, -10.9, -3.5,
];
/// Threshold Tf, dB. Source: ISO 226:2023 Table 1.
const CONTOUR_THRESHOLD_DB: [f64; 29] = [
    78.1, 68.7, 59.5, 51.1, 44.0, 37.5, 31.5, 26.5, 22.1, 17.9, 14.4, 11.4, 8.6, 6.2, 4.4, 3.0, 2.2, 2.4, 3.5, 1.7,
    -1.3, -4.2, -6.0, -5.4, -1.5, 6.0, 12.6, 13.9, 12.3,
];

/// The numbers of ISO 226 for one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoudnessContour {
    /// Exponent of loudness perception αf.
    pub exponent: f64,
    /// Magnitude of the linear transfer LU, dB.
    pub transfer_db: f64,
    /// Threshold of hearing Tf, dB.
    pub threshold_db: f64,
}

impl LoudnessContour {
    /// The entry of a preferred frequency from 20 Hz to 12.5 kHz; `None` for any other.
    #[must_use]
    pub fn at(hz: f64) -> Option<Self> {
        let row = CONTOUR_HZ.iter().position(|listed| (listed - hz).abs() < 1e-6)?;
        Some(Self { exponent: EXPONENT[row], transfer_db: TRANSFER_DB[row], threshold_db: CONTOUR_THRESHOLD_DB[row] })
    }

    /// Sound pressure level of a pure tone of a loudness level, dB. Holds from 20 phon to 90 phon (80 from 5 kHz).
    ///
    /// Source: ISO 226:2023 Formula (1).
    ///
    /// ```
    /// # use leaklight::acoustics::hearing::LoudnessContour;
    /// let at_63_hz = LoudnessContour::at(63.0).unwrap();
    /// assert!((at_63_hz.level_db(40.0) - 73.0).abs() < 0.06);
    /// ```
    #[must_use]
    pub fn level_db(&self, phon: f64) -> f64 {
        let tone = 4e-10f64.powf(0.3 - self.exponent) * (10f64.powf(0.03 * phon) - 10f64.powf(0.072));
        10.0 / self.exponent * (tone + self.at_threshold()).log10() - self.transfer_db
    }

    /// Loudness level of a pure tone, phon. Same range. A level below threshold has none: it gives the 2.4 phon of threshold.
    ///
    /// Source: ISO 226:2023 Formula (2).
    #[must_use]
    pub fn phon(&self, level_db: f64) -> f64 {
        let above = 10f64.powf(self.exponent * (level_db + self.transfer_db) / 10.0) - self.at_threshold();
        let tone = above.max(0.0) * 4e-10f64.powf(self.exponent - 0.3);
        100.0 / 3.0 * (tone + 10f64.powf(0.072)).log10()
    }

    fn at_threshold(&self) -> f64 {
        10f64.powf(self.exponent * (self.threshold_db + self.transfer_db) / 10.0)
    }
}

/// How plainly something is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Heard {
    /// Every band lies 5 dB or more under the larger of threshold and background.
    Inaudible,
    /// Some band comes within 5 dB: an attentive listener may hear it.
    Borderline,
    /// Some band lies above.
    Audible,
}

/// A tone is masked by noise only when it is 2 to 6 dB under the level of the noise in its critical band, so a level equal to
/// the background is already heard. From memory, unverified: Fastl & Zwicker, Psychoacoustics, 3rd ed. (2007), ch. 4.
const BORDERLINE_DB: f64 = -5.0;

/// A level held against what would hide it, band by band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Audibility {
    /// Level above the larger of threshold and background in each band, dB; negative: below.
    pub margin_db: Spectrum,
    /// The band with the largest margin: what is noticed first.
    pub first_band: usize,
}

impl Audibility {
    /// Compares third-octave levels with a steady background and a threshold, all dB.
    ///
    /// Whichever of threshold and background is larger decides in each band; neighbouring bands do not mask one another, so
    /// beside a loud bass a weak treble is called audible too readily. A steady level: for a beat take LAFmax-like levels.
    #[must_use]
    pub fn new(level_db: &Spectrum, background_db: &Spectrum, threshold_db: &Spectrum) -> Self {
        let margin_db = Spectrum::from_fn(|band| level_db[band] - background_db[band].max(threshold_db[band]));
        let first_band =
            (0..BAND_COUNT).max_by(|one, other| margin_db[*one].total_cmp(&margin_db[*other])).unwrap_or(0);
        Self { margin_db, first_band }
    }

    /// The largest margin, dB.
    #[must_use]
    pub fn largest_margin_db(&self) -> f64 {
        self.margin_db[self.first_band]
    }

    /// In words.
    #[must_use]
    pub fn heard(&self) -> Heard {
        match self.largest_margin_db() {
            margin if margin > 0.0 => Heard::Audible,
            margin if margin > BORDERLINE_DB => Heard::Borderline,
            _ => Heard::Inaudible,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::bands::NOMINAL_HZ;

    #[test]
    fn the_free_field_threshold_is_that_of_the_contours() {
        for (band, hz) in NOMINAL_HZ.iter().enumerate() {
            assert_eq!(LoudnessContour::at(*hz).unwrap().threshold_db, THRESHOLD_FREE_DB[band], "{hz} Hz");
        }
    }

    #[test]
    fn phon_undoes_level() {
        for hz in CONTOUR_HZ {
            let contour = LoudnessContour::at(hz).unwrap();
            assert!((contour.phon(contour.level_db(55.0)) - 55.0).abs() < 1e-9, "{hz} Hz");
        }
    }

    #[test]
    fn background_hides_what_silence_would_not() {
        let level_db = Spectrum::splat(30.0);
        let silent = Audibility::new(&level_db, &Spectrum::splat(-50.0), &THRESHOLD_DIFFUSE_DB);
        let noisy = Audibility::new(&level_db, &Spectrum::splat(40.0), &THRESHOLD_DIFFUSE_DB);
        assert_eq!((silent.heard(), noisy.heard()), (Heard::Audible, Heard::Inaudible));
        // In silence a flat spectrum is noticed where the ear is keenest.
        assert_eq!(NOMINAL_HZ[silent.first_band], 3150.0);
    }

    #[test]
    fn a_level_below_threshold_keeps_the_loudness_of_threshold() {
        assert!((LoudnessContour::at(63.0).unwrap().phon(10.0) - 2.4).abs() < 1e-9);
    }
}
