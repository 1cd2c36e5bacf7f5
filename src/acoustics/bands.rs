//! The 24 one-third octaves from 25 Hz to 5 kHz, and a number for each of them.

use std::ops::{Index, IndexMut};

/// How many one-third octave bands every spectrum has: 25 Hz to 5 kHz.
pub const BAND_COUNT: usize = 24;

/// Nominal midband frequencies, Hz. Source: IEC 61260-1:2014 Annex E.
pub const NOMINAL_HZ: [f64; BAND_COUNT] = [
    25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0, 630.0, 800.0, 1000.0,
    1250.0, 1600.0, 2000.0, 2500.0, 3150.0, 4000.0, 5000.0,
];

/// Nominal octave midbands with all three thirds inside the range, 31.5 Hz to 4 kHz, Hz. Source: IEC 61260-1:2014 Annex E.
pub const OCTAVE_HZ: [f64; 8] = [31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0];

/// Position of the 100 Hz band: where the ratings of ISO 717 begin.
pub const INDEX_100_HZ: usize = 6;
/// Position of the 50 Hz band: where the enlarged range of ISO 717-1 begins.
pub const INDEX_50_HZ: usize = 3;

/// The midband frequencies a computation uses, Hz: exact (the rule) or nominal (to follow a printed example).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bands {
    midband_hz: [f64; BAND_COUNT],
}

impl Bands {
    /// Exact base-ten midbands, 1000·10^(n/10) Hz. Source: IEC 61260-1:2014, 5.2 and 5.4.
    #[must_use]
    pub fn exact() -> Self {
        Self { midband_hz: std::array::from_fn(|band| 1000.0 * 10f64.powf((band as f64 - 16.0) / 10.0)) }
    }

    /// Nominal midbands (25, 31.5, 40 …): ISO 12354-1:2017 Annex L is printed with them.
    #[must_use]
    pub fn nominal() -> Self {
        Self { midband_hz: NOMINAL_HZ }
    }

    /// Midband frequency of a band, Hz. `band` < [`BAND_COUNT`].
    #[must_use]
    pub fn hz(&self, band: usize) -> f64 {
        self.midband_hz[band]
    }

    /// Bandwidth of a third octave, Hz: f·(10^(1/20) − 10^(−1/20)). Source: IEC 61260-1:2014, 5.9.
    #[must_use]
    pub fn width_hz(&self, band: usize) -> f64 {
        self.midband_hz[band] * (10f64.powf(0.05) - 10f64.powf(-0.05))
    }

    /// A spectrum of `value(midband in Hz)`.
    #[must_use]
    pub fn map(&self, mut value: impl FnMut(f64) -> f64) -> Spectrum {
        Spectrum(std::array::from_fn(|band| value(self.midband_hz[band])))
    }

    /// The band whose nominal midband is nearest to `hz` on a logarithmic scale.
    ///
    /// ```
    /// # use leaklight::acoustics::bands::{Bands, NOMINAL_HZ};
    /// assert_eq!(NOMINAL_HZ[Bands::nearest(60.0)], 63.0);
    /// ```
    #[must_use]
    pub fn nearest(hz: f64) -> usize {
        let position = 10.0 * (hz.max(1e-9) / 1000.0).log10() + 16.0;
        position.round().clamp(0.0, (BAND_COUNT - 1) as f64) as usize
    }
}

impl Default for Bands {
    fn default() -> Self {
        Self::exact()
    }
}

/// One number for each band. Of what, and in which unit, the name of the field says (`r_db`, `tau`, `power_w`).
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Spectrum(pub [f64; BAND_COUNT]);

/// So many sums are taken side by side.
const LANES: usize = 8;

fn total([a, b, c, d, e, f, g, h]: [f64; LANES]) -> f64 {
    ((a + e) + (c + g)) + ((b + f) + (d + h))
}

impl Spectrum {
    /// Zero in every band.
    pub const ZERO: Self = Self([0.0; BAND_COUNT]);

    /// The same value in every band.
    #[must_use]
    pub const fn splat(value: f64) -> Self {
        Self([value; BAND_COUNT])
    }

    /// `value(band)` for every band.
    #[must_use]
    pub fn from_fn(value: impl FnMut(usize) -> f64) -> Self {
        Self(std::array::from_fn(value))
    }

    /// Each value changed by itself.
    #[must_use]
    pub fn map(&self, change: impl FnMut(f64) -> f64) -> Self {
        Self(self.0.map(change))
    }

    /// Two spectra joined band by band.
    #[must_use]
    pub fn zip(&self, other: &Self, mut join: impl FnMut(f64, f64) -> f64) -> Self {
        Self(std::array::from_fn(|band| join(self.0[band], other.0[band])))
    }

    /// The values in order.
    pub fn iter(&self) -> std::slice::Iter<'_, f64> {
        self.0.iter()
    }

    /// The sum over all bands (meant for energies, not for decibels).
    #[must_use]
    pub fn sum(&self) -> f64 {
        // In lanes that do not wait for each other.
        let mut lanes = [0.0; LANES];
        for some in self.0.chunks(LANES) {
            lanes.iter_mut().zip(some).for_each(|(sum, value)| *sum += value);
        }
        total(lanes)
    }

    /// The sum over all bands of the products with another spectrum.
    #[must_use]
    pub fn dot(&self, other: &Self) -> f64 {
        let mut lanes = [0.0; LANES];
        for (some, others) in self.0.chunks(LANES).zip(other.0.chunks(LANES)) {
            lanes.iter_mut().zip(some.iter().zip(others)).for_each(|(sum, (one, other))| *sum += one * other);
        }
        total(lanes)
    }

    /// The largest value of all bands, and not below zero (meant for energies); what is no number counts as nothing.
    #[must_use]
    pub fn largest(&self) -> f64 {
        let larger = |most: f64, value: f64| if value > most { value } else { most };
        let mut lanes = [0.0; LANES];
        for some in self.0.chunks(LANES) {
            lanes.iter_mut().zip(some).for_each(|(most, value)| *most = larger(*most, *value));
        }
        lanes.into_iter().fold(0.0, larger)
    }

    /// 10 lg of every value.
    #[must_use]
    pub fn to_db(&self) -> Self {
        self.map(|energy| 10.0 * energy.log10())
    }

    /// 10^(value/10) of every value: the energy of a level.
    #[must_use]
    pub fn energy_from_db(&self) -> Self {
        self.map(|db| 10f64.powf(db / 10.0))
    }

    /// Energies less some decibels: value·10^(−dB/10). Bands that lose nothing, as all do without a lining, ask for no power.
    #[must_use]
    pub fn less_db(&self, db: &Self) -> Self {
        self.zip(db, |value, db| if db == 0.0 { value } else { value * 10f64.powf(-db / 10.0) })
    }

    /// A transmission coefficient from a sound reduction index in dB: 10^(−R/10).
    #[must_use]
    pub fn tau_from_r_db(&self) -> Self {
        self.map(|db| 10f64.powf(-db / 10.0))
    }

    /// A sound reduction index in dB from a transmission coefficient: −10 lg τ.
    #[must_use]
    pub fn r_db_from_tau(&self) -> Self {
        self.map(|tau| -10.0 * tau.log10())
    }

    /// The energy in each octave of [`OCTAVE_HZ`], summed over its three thirds.
    #[must_use]
    pub fn octave_sums(&self) -> [f64; 8] {
        std::array::from_fn(|octave| self.0[3 * octave..3 * octave + 3].iter().sum())
    }

    /// True when every value is a finite number.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        self.0.iter().all(|value| value.is_finite())
    }
}

impl Index<usize> for Spectrum {
    type Output = f64;

    fn index(&self, band: usize) -> &f64 {
        &self.0[band]
    }
}

impl IndexMut<usize> for Spectrum {
    fn index_mut(&mut self, band: usize) -> &mut f64 {
        &mut self.0[band]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 61260-1:2014 Annex E lists 25.119, 31.623, 1000.0 and 5011.9 Hz; tolerance: half the last printed digit.
    #[test]
    fn exact_midbands_match_iec_61260_1_annex_e() {
        let bands = Bands::exact();
        for (band, printed_hz, half_digit) in
            [(0, 25.119, 5e-4), (1, 31.623, 5e-4), (16, 1000.0, 0.05), (23, 5011.9, 0.05)]
        {
            assert!((bands.hz(band) - printed_hz).abs() < half_digit, "{}", bands.hz(band));
        }
    }

    #[test]
    fn every_nominal_frequency_is_nearest_to_itself() {
        for (band, hz) in NOMINAL_HZ.iter().enumerate() {
            assert_eq!(Bands::nearest(*hz), band);
        }
    }

    #[test]
    fn octaves_hold_their_three_thirds() {
        let sums = Spectrum::from_fn(|band| band as f64).octave_sums();
        assert_eq!(sums[0], 0.0 + 1.0 + 2.0);
        assert_eq!(sums[7], 21.0 + 22.0 + 23.0);
    }
}
