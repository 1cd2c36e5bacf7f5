//! Attenuation by the air: ISO 9613-1, ISO 9613-2 Table 2, handbooks, EN 12354-6 Table 1.

use leaklight::acoustics::air_absorption::{
    air_absorption_area_m2, air_attenuation_db_per_m, attenuation_db_per_m, power_attenuation_per_m,
};
use leaklight::acoustics::rating::weighting::exact_midband_hz;
use leaklight::acoustics::{Air, Bands};

use crate::published::{Case, Outcome};

const SEA_LEVEL_KPA: f64 = 101.325;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let id = case.id();
    if id.starts_with("9613-1-") {
        let (temperature, humidity) = (case.number("temperature_c"), case.number("relative_humidity_percent"));
        let nominal_hz = case.number("nominal_frequency_hz");
        let hz = exact_midband_hz(nominal_hz);
        let per_km = 1000.0 * attenuation_db_per_m(hz, temperature, humidity, case.number("pressure_kpa"));
        let relative = case.tolerance("relative");
        case.compare_with("attenuation_db_per_km", &[per_km], |printed| relative * printed)?;
        // The spectrum a room is computed with must say the same.
        if nominal_hz <= 5000.0 {
            let air = Air::at(temperature, humidity).map_err(|error| error.to_string())?;
            let spectrum = air_attenuation_db_per_m(&air, &Bands::exact());
            let per_km = 1000.0 * spectrum[Bands::nearest(nominal_hz)];
            case.compare_with("attenuation_db_per_km", &[per_km], |printed| relative * printed)?;
        }
        return Ok(Outcome::Passes);
    }
    if id.starts_with("9613-2-table2-") {
        let relative = case.tolerance("relative");
        let absolute = case.tolerance("db_per_km");
        let per_km: Vec<_> = octaves(case, case.number("relative_humidity_percent"), exact_midband_hz)
            .map(|db_per_m| 1000.0 * db_per_m)
            .collect();
        case.compare_with("attenuation_db_per_km", &per_km, |printed| absolute.max(relative * printed))?;
        return Ok(Outcome::Passes);
    }
    match id {
        "cox-4-2-50pc" => {
            let m: Vec<_> = octaves(case, case.number("relative_humidity_percent"), |nominal| nominal)
                .map(|db_per_m| 1000.0 * power_attenuation_per_m(db_per_m))
                .collect();
            case.compare("m_1e-3_per_m", &m, case.tolerance("abs_1e-3_per_m"))?;
            Ok(Outcome::Passes)
        }
        "vigran-air-area" => {
            let area = air_absorption_area_m2(case.number("volume_m3"), case.number("m_per_m"));
            case.compare("air_absorption_area_m2", &[area], case.tolerance("m2"))?;
            case.compare("ten_lg_e", &[1.0 / power_attenuation_per_m(1.0)], case.tolerance("ten_lg_e"))?;
            Ok(Outcome::Passes)
        }
        _ if id.starts_with("en12354-6-table1-") => en12354_6(case),
        _ => Ok(Outcome::Waits("no check for this case yet")),
    }
}

fn octaves(case: &Case, humidity: f64, frequency: fn(f64) -> f64) -> impl Iterator<Item = f64> {
    let temperature = case.number("temperature_c");
    case.numbers("bands_hz")
        .into_iter()
        .map(move |hz| attenuation_db_per_m(frequency(hz), temperature, humidity, SEA_LEVEL_KPA))
}

/// The table gives one value for 20 % of humidity and a whole octave, lower than the pure tone at its midband from 1 kHz up: a
/// band in which the high end dies first is left with its low end. It is rounded to 0.1 and its rule is not printed, so it
/// cannot be reproduced; it must lie between the lowest third and the midband over that range of humidity, give or take one
/// printed digit (at 10 °C and 500 Hz 0.5 stands for 0.44, whatever the humidity).
fn en12354_6(case: &Case) -> Result<Outcome, String> {
    let range = case.numbers("relative_humidity_percent_range");
    let bands = case.numbers("bands_hz");
    let printed = case.expected("m_1e-3_per_m").as_array().ok_or("nothing printed")?;
    let mut middle = Vec::new();
    for (hz, printed) in bands.iter().zip(printed) {
        let printed = printed.as_f64().ok_or("not a number")?;
        let m = |hz: f64, humidity: f64| {
            let db = attenuation_db_per_m(hz, case.number("temperature_c"), humidity, SEA_LEVEL_KPA);
            1000.0 * power_attenuation_per_m(db)
        };
        let midband = exact_midband_hz(*hz);
        let third_below = midband * 10f64.powf(-0.1);
        let humidities = [range[0], (range[0] + range[1]) / 2.0, range[1]];
        let least = humidities.iter().map(|humidity| m(third_below, *humidity)).fold(f64::INFINITY, f64::min);
        let most = humidities.iter().map(|humidity| m(midband, *humidity)).fold(0.0, f64::max);
        if printed < least - 0.1 || printed > most + 0.1 {
            return Err(format!("{hz} Hz: printed {printed}, computed {least:.2} to {most:.2}"));
        }
        middle.push(format!("{:.1}", m(midband, humidities[1])));
    }
    Ok(Outcome::Differs(format!(
        "octave values by an unprinted rule, within what ISO 9613-1 gives from the lowest third to the midband; \
         computed at midbands and mean humidity, 1e-3/m: {}",
        middle.join(" ")
    )))
}
