//! What the air itself takes out of a sound on its way.
//!
//! Source: ISO 9613-1:1993, formulas (3) to (5) and Annex B.

use super::air::Air;
use super::bands::{Bands, Spectrum};

/// Reference pressure, kPa, and reference and triple-point temperatures, K. Source: ISO 9613-1:1993 clause 4 and Annex B.
const REFERENCE_KPA: f64 = 101.325;
const REFERENCE_K: f64 = 293.15;
const TRIPLE_POINT_K: f64 = 273.16;

/// Pure-tone attenuation, dB/m.
///
/// - `hz` 50 to 10 000, `temperature_c` −20 to 50, `humidity_percent` 10 to 100, `pressure_kpa` below 200: accurate to 10 %
///   for molar concentrations of water of 0.05 % to 5 %. Outside it is an extrapolation; at 25 to 40 Hz it is next to nothing.
///
/// Source: ISO 9613-1:1993, formulas (3) to (5).
#[must_use]
pub fn attenuation_db_per_m(hz: f64, temperature_c: f64, humidity_percent: f64, pressure_kpa: f64) -> f64 {
    let kelvin = temperature_c + 273.15;
    let (pressure, warmth) = (pressure_kpa / REFERENCE_KPA, kelvin / REFERENCE_K);
    let saturation = 10f64.powf(-6.8346 * (TRIPLE_POINT_K / kelvin).powf(1.261) + 4.6151);
    let molar_percent = humidity_percent * saturation / pressure;
    let oxygen_hz = pressure * (24.0 + 4.04e4 * molar_percent * (0.02 + molar_percent) / (0.391 + molar_percent));
    let nitrogen_hz =
        pressure * warmth.powf(-0.5) * (9.0 + 280.0 * molar_percent * (-4.170 * (warmth.cbrt().recip() - 1.0)).exp());
    let f2 = hz * hz;
    let relaxation = 0.012_75 * (-2239.1 / kelvin).exp() / (oxygen_hz + f2 / oxygen_hz)
        + 0.1068 * (-3352.0 / kelvin).exp() / (nitrogen_hz + f2 / nitrogen_hz);
    8.686 * f2 * (1.84e-11 / pressure * warmth.sqrt() + warmth.powf(-2.5) * relaxation)
}

/// Power attenuation coefficient m, 1/m, from an attenuation in dB/m: the room's air absorbs A = 4mV.
///
/// Source: ISO 354:2003, 8.1.2.1 (m = α/(10 lg e)).
///
/// ```
/// # use leaklight::acoustics::air_absorption::power_attenuation_per_m;
/// assert!((power_attenuation_per_m(4.343) - 1.0).abs() < 1e-4);
/// ```
#[must_use]
pub fn power_attenuation_per_m(attenuation_db_per_m: f64) -> f64 {
    attenuation_db_per_m / (10.0 * std::f64::consts::LOG10_E)
}

/// Attenuation in each band, dB/m, at 101.325 kPa, evaluated at the midband.
#[must_use]
pub fn air_attenuation_db_per_m(air: &Air, bands: &Bands) -> Spectrum {
    bands.map(|hz| attenuation_db_per_m(hz, air.temperature_c(), air.humidity_percent(), REFERENCE_KPA))
}

/// Power attenuation coefficient m in each band, 1/m, at 101.325 kPa.
#[must_use]
pub fn air_power_attenuation_per_m(air: &Air, bands: &Bands) -> Spectrum {
    air_attenuation_db_per_m(air, bands).map(power_attenuation_per_m)
}

/// Equivalent absorption area of a volume of air, m²: 4mV. Source: Vigran, Building Acoustics (2008), eq. 4.41.
#[must_use]
pub fn air_absorption_area_m2(volume_m3: f64, m_per_m: f64) -> f64 {
    4.0 * m_per_m * volume_m3
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The classical and relaxation terms all grow with frequency: high notes die first.
    #[test]
    fn attenuation_grows_with_frequency() {
        let spectrum = air_attenuation_db_per_m(&Air::default(), &Bands::exact());
        assert!(spectrum.0.windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn bone_dry_air_is_still_finite() {
        let air = Air::at(20.0, 0.0).unwrap();
        assert!(air_power_attenuation_per_m(&air, &Bands::exact()).is_finite());
    }
}
