//! What can be heard: threshold of hearing, equal loudness, and a level against threshold and background.

use super::bands::{BAND_COUNT, Spectrum};

/// Threshold of hearing in a diffuse field, as in a room, 25 Hz to 5 kHz, dB. Source: ISO 389-7:2005 Table 1.
///
/// 125, 250, 500 Hz, 1, 2 and 4 kHz as printed; up to 250 Hz it equals the free field; the thirds between from memory: 315, 400,
/// 630, 800 Hz and 1.25 kHz agree with a copy of the table, 1.6, 2.5, 3.15 and 5 kHz are unverified.
pub const THRESHOLD_DIFFUSE_DB: Spectrum = Spectrum([
    68.7, 59.5, 51.1, 44.0, 37.5, 31.5, 26.5, 22.1, 17.9, 14.4, 11.4, 8.4, 5.8, 3.8, 2.1, 1.0, 0.8, 1.9, 0.5, -1.5,
    -3.1, -4.0, -3.8, -1.8,
]);

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
    fn background_hides_what_silence_would_not() {
        let level_db = Spectrum::splat(30.0);
        let silent = Audibility::new(&level_db, &Spectrum::splat(-50.0), &THRESHOLD_DIFFUSE_DB);
        let noisy = Audibility::new(&level_db, &Spectrum::splat(40.0), &THRESHOLD_DIFFUSE_DB);
        assert_eq!((silent.heard(), noisy.heard()), (Heard::Audible, Heard::Inaudible));
        // In silence a flat spectrum is noticed where the ear is keenest.
        assert_eq!(NOMINAL_HZ[silent.first_band], 3150.0);
    }
}
