//! Absorption coefficients: from octaves to bands, from the reverberation chamber, and rated as αp and αw.

use super::rating::shifted_curve::{Limits, highest};
use super::{NotPhysical, Spectrum};
use crate::acoustics::air_absorption::{attenuation_db_per_m, power_attenuation_per_m};

/// Reference curve 250 Hz to 4 kHz, in 0.01. Source: ISO 11654:1997 Table 1.
const REFERENCE: [i64; 5] = [80, 100, 100, 100, 90];
/// Step and limit of the shift, in 0.01. Source: ISO 11654:1997, 4.2.
const STEP: i64 = 5;
const LIMITS: Limits = Limits { sum: 10, single: i64::MAX };
/// Surplus over the shifted curve from which a shape indicator is added, in 0.01. Source: ISO 11654:1997, 4.3.
const INDICATOR: i64 = 25;

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

/// Practical coefficient of an octave from its three thirds: the mean, rounded to 0.05, at most 1.
///
/// Source: ISO 11654:1997, 4.1 (the mean is first rounded to 0.01).
#[must_use]
pub fn practical(alpha_s: [f64; 3]) -> f64 {
    let hundredths = (alpha_s.iter().sum::<f64>() / 3.0 * 100.0 + 0.5 + 1e-7).floor();
    twentieths(hundredths / 100.0).clamp(0, 20) as f64 / 20.0
}

fn twentieths(alpha: f64) -> i64 {
    (alpha * 20.0 + 0.5 + 1e-7).floor() as i64
}

/// Absorption classes. Source: ISO 11654:1997 Table B.1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AbsorptionClass {
    /// αw 0.90 and more.
    A,
    /// 0.80, 0.85.
    B,
    /// 0.60 to 0.75.
    C,
    /// 0.30 to 0.55.
    D,
    /// 0.15 to 0.25.
    E,
    /// 0.10 and less.
    NotClassified,
}

/// Weighted absorption coefficient with its shape indicators.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightedAbsorption {
    /// αw.
    pub alpha_w: f64,
    /// The 250 Hz octave exceeds the shifted curve by 0.25 or more: (L).
    pub low: bool,
    /// The 500 Hz or 1 kHz octave does: (M).
    pub mid: bool,
    /// The 2 kHz or 4 kHz octave does: (H).
    pub high: bool,
    /// Class of αw.
    pub class: AbsorptionClass,
    /// Unfavourable deviation at 250 Hz to 4 kHz.
    pub unfavourable: [f64; 5],
}

impl WeightedAbsorption {
    /// From practical coefficients at 250 Hz to 4 kHz (rounded to 0.05 and held at 1 here, should they not be).
    ///
    /// Source: ISO 11654:1997, 4.2, 4.3 and Annex B.
    #[must_use]
    pub fn of_practical(alpha_p: &[f64; 5]) -> Self {
        let values = alpha_p.map(|alpha| twentieths(alpha).clamp(0, 20) * STEP);
        let fit = highest(&values, &REFERENCE, STEP, LIMITS);
        let exceeds = |octave: usize| values[octave] - REFERENCE[octave] - fit.shift >= INDICATOR;
        let alpha_w = (REFERENCE[1] + fit.shift).max(0);
        Self {
            alpha_w: alpha_w as f64 / 100.0,
            low: exceeds(0),
            mid: exceeds(1) || exceeds(2),
            high: exceeds(3) || exceeds(4),
            class: match alpha_w {
                90.. => AbsorptionClass::A,
                80..90 => AbsorptionClass::B,
                60..80 => AbsorptionClass::C,
                30..60 => AbsorptionClass::D,
                15..30 => AbsorptionClass::E,
                _ => AbsorptionClass::NotClassified,
            },
            unfavourable: fit.unfavourable.map(|hundredths| hundredths as f64 / 100.0),
        }
    }

    /// The indicators as the standard writes them behind αw: "", "LM", "H" …
    #[must_use]
    pub fn shape(&self) -> String {
        [(self.low, 'L'), (self.mid, 'M'), (self.high, 'H')].iter().filter(|(on, _)| *on).map(|(_, c)| *c).collect()
    }
}

/// The state of a reverberation chamber during one measurement of T.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChamberAir {
    /// °C; the formula for the speed of sound holds from 15 to 30.
    pub temperature_c: f64,
    /// Relative humidity, %.
    pub humidity_percent: f64,
    /// Static pressure, kPa.
    pub pressure_kpa: f64,
}

impl ChamberAir {
    /// Equivalent absorption area of the chamber at `hz` without that of its air, m². Source: ISO 354:2003, 8.1.2.1.
    fn area_m2(&self, hz: f64, volume_m3: f64, t_s: f64) -> f64 {
        let speed = 331.0 + 0.6 * self.temperature_c;
        let attenuation = attenuation_db_per_m(hz, self.temperature_c, self.humidity_percent, self.pressure_kpa);
        55.3 * volume_m3 / (speed * t_s) - 4.0 * volume_m3 * power_attenuation_per_m(attenuation)
    }
}

/// A reverberation chamber and the specimen laid into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    volume_m3: f64,
    specimen_m2: f64,
    empty: ChamberAir,
    with_specimen: ChamberAir,
}

impl Chamber {
    /// # Errors
    ///
    /// When volume or specimen area is not finite and above zero.
    pub fn new(
        volume_m3: f64,
        specimen_m2: f64,
        empty: ChamberAir,
        with_specimen: ChamberAir,
    ) -> Result<Self, NotPhysical> {
        Ok(Self {
            volume_m3: NotPhysical::unless_positive("chamber volume", volume_m3, "above zero, in m³")?,
            specimen_m2: NotPhysical::unless_positive("specimen area", specimen_m2, "above zero, in m²")?,
            empty,
            with_specimen,
        })
    }

    /// αs at `hz` from the reverberation times without and with the specimen, s, both > 0. May exceed 1 (edge effect).
    ///
    /// Source: ISO 354:2003, 8.1.
    #[must_use]
    pub fn alpha_s(&self, hz: f64, t_empty_s: f64, t_with_s: f64) -> f64 {
        let gained = self.with_specimen.area_m2(hz, self.volume_m3, t_with_s)
            - self.empty.area_m2(hz, self.volume_m3, t_empty_s);
        gained / self.specimen_m2
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_perfect_absorber_is_class_a_without_indicators() {
        let rating = WeightedAbsorption::of_practical(&[1.0; 5]);
        assert_eq!((rating.alpha_w, rating.class, rating.shape().as_str()), (1.0, AbsorptionClass::A, ""));
    }

    #[test]
    fn a_hard_surface_is_not_classified() {
        let rating = WeightedAbsorption::of_practical(&[0.0, 0.0, 0.05, 0.05, 0.05]);
        assert_eq!((rating.alpha_w, rating.class), (0.05, AbsorptionClass::NotClassified));
    }

    /// ISO 11654:1997 Annex A.2: the same curve with 1.00 at 500 Hz gets the indicator M (from memory, unverified).
    #[test]
    fn a_mid_frequency_peak_gets_its_indicator() {
        let rating = WeightedAbsorption::of_practical(&[0.35, 1.0, 0.65, 0.60, 0.55]);
        assert_eq!((rating.alpha_w, rating.shape().as_str()), (0.6, "M"));
    }

    #[test]
    fn practical_coefficients_are_twentieths_up_to_one() {
        assert_eq!(practical([0.61, 0.66, 0.84]), 0.70);
        assert_eq!(practical([1.03, 1.05, 1.10]), 1.0);
        assert_eq!(practical([0.02, 0.02, 0.03]), 0.0);
    }
}
