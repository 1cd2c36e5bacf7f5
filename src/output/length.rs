//! Lengths, areas and volumes as people write and read them: metres, or feet and inches.

/// Which units lengths are shown in.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Units {
    /// Metres.
    #[default]
    Metric,
    /// Feet and inches.
    Feet,
}

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;
/// Eighths of an inch, as they are written.
const EIGHTHS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];

/// Reads a length, m: "4.2", "4,2", "4.2 m", "420 cm", "4200 mm", "13'9\"", "13′ 9″", "13 ft 9 in", "9 1/2\"", "9½\"". Nothing when it is none.
///
/// ```
/// use leaklight::output::length::read;
/// assert_eq!(read("4,25 m"), Some(4.25));
/// assert!((read("13'9\"").unwrap() - 4.191).abs() < 1e-12);
/// assert_eq!(read("13′ 9″"), read("13'9\""));
/// assert_eq!(read("four"), None);
/// ```
#[must_use]
pub fn read(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase().replace(['′', '’'], "'").replace(['″', '”'], "\"");
    let (sign, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, text.as_str()),
    };
    if text.is_empty() {
        return None;
    }
    let mut text = text.to_owned();
    for (eighths, written) in EIGHTHS.iter().enumerate().skip(1) {
        text = text.replace(written, &format!(" {eighths}/8"));
    }
    let text =
        text.replace("feet", "'").replace("foot", "'").replace("ft", "'").replace("inches", "\"").replace("inch", "\"");
    let text = text.replace("in", "\"").replace("''", "\"");
    let length_m = if text.contains('\'') || text.contains('"') {
        let (feet, inches) = text.split_once('\'').map_or(("", text.as_str()), |(feet, rest)| (feet, rest));
        let inches = inches.trim().trim_end_matches('"').trim();
        let feet = if feet.trim().is_empty() { 0.0 } else { number(feet)? };
        let inches = if inches.is_empty() { 0.0 } else { mixed(inches)? };
        feet * FOOT_M + inches * INCH_M
    } else if let Some(rest) = text.strip_suffix("mm") {
        number(rest)? / 1000.0
    } else if let Some(rest) = text.strip_suffix("cm") {
        number(rest)? / 100.0
    } else {
        number(text.strip_suffix('m').unwrap_or(&text))?
    };
    length_m.is_finite().then_some(sign * length_m)
}

/// As [`read`], with a number that has no unit in the unit chosen: "12" is twelve feet where feet are shown.
///
/// ```
/// use leaklight::output::length::{Units, read_in};
/// assert_eq!(read_in("12", Units::Feet), Some(12.0 * 0.3048));
/// assert_eq!(read_in("12 m", Units::Feet), Some(12.0));
/// assert_eq!(read_in("12", Units::Metric), Some(12.0));
/// ```
#[must_use]
pub fn read_in(text: &str, units: Units) -> Option<f64> {
    let length_m = read(text)?;
    let is_bare = number(text.trim().trim_start_matches(['-', '−'])).is_some();
    Some(if is_bare && units == Units::Feet { length_m * FOOT_M } else { length_m })
}

fn number(text: &str) -> Option<f64> {
    text.trim().replace(',', ".").parse().ok()
}

/// "9", "9.5", "9 1/2", "1/2".
fn mixed(text: &str) -> Option<f64> {
    let fraction = |text: &str| {
        let (above, below) = text.split_once('/')?;
        let below = number(below)?;
        (below != 0.0).then_some(number(above)? / below)
    };
    match text.rsplit_once(' ') {
        Some((whole, part)) if !whole.trim().is_empty() => Some(number(whole)? + fraction(part)?),
        _ if text.contains('/') => fraction(text),
        _ => number(text),
    }
}

/// A length to read: "4.25 m", or "13' 11⅜\"" to the nearest eighth of an inch. The signs are those on a keyboard: the typeface of the
/// window and of the pictures has no primes.
///
/// ```
/// use leaklight::output::length::{Units, write};
/// assert_eq!(write(4.25, Units::Metric), "4.25 m");
/// assert_eq!(write(4.191, Units::Feet), "13' 9\"");
/// ```
#[must_use]
pub fn write(length_m: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{length_m:.2} m"),
        Units::Feet => {
            let eighths = (length_m.abs() / INCH_M * 8.0).round() as u64;
            let (feet, rest) = (eighths / 96, eighths % 96);
            let sign = if length_m < 0.0 && eighths > 0 { "−" } else { "" };
            // "⅜", not "0⅜".
            let inches = match (rest / 8, EIGHTHS[(rest % 8) as usize]) {
                (0, "") => "0".to_owned(),
                (0, part) => part.to_owned(),
                (whole, part) => format!("{whole}{part}"),
            };
            if feet == 0 { format!("{sign}{inches}\"") } else { format!("{sign}{feet}' {inches}\"") }
        }
    }
}

/// A length on a dimension line or beside a height, where metres go without their unit: "4.25", or "13' 9\"".
#[must_use]
pub fn dimension(length_m: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{length_m:.2}"),
        Units::Feet => write(length_m, units),
    }
}

/// How far off something is: "4.2 m" with so many places, or "14 ft".
#[must_use]
pub fn roughly(length_m: f64, places: usize, units: Units) -> String {
    match units {
        Units::Metric => format!("{length_m:.places$} m"),
        Units::Feet => format!("{:.0} ft", length_m / FOOT_M),
    }
}

/// An area: "12.3 m²", or "132 ft²".
///
/// ```
/// use leaklight::output::length::{Units, area};
/// assert_eq!(area(12.34, Units::Metric), "12.3 m²");
/// assert_eq!(area(12.34, Units::Feet), "133 ft²");
/// ```
#[must_use]
pub fn area(area_m2: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{area_m2:.1} m²"),
        Units::Feet => format!("{:.0} ft²", area_m2 / FOOT_M.powi(2)),
    }
}

/// A volume: "31 m³", or "1095 ft³".
#[must_use]
pub fn volume(volume_m3: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{volume_m3:.0} m³"),
        Units::Feet => format!("{:.0} ft³", volume_m3 / FOOT_M.powi(3)),
    }
}

/// The longest step of a scale bar up to a length, m, with what it measures in the units: 2 m, or 5 ft.
pub(crate) fn round_step(most_m: f64, units: Units) -> (f64, f64) {
    const METRES: [f64; 11] = [0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
    // Down to three inches, which a quarter of a foot says as well.
    const FEET: [f64; 11] = [0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    let (steps, unit_m) = match units {
        Units::Metric => (METRES, 1.0),
        Units::Feet => (FEET, FOOT_M),
    };
    let step = steps.into_iter().rev().find(|step| step * unit_m <= most_m).unwrap_or(steps[0]);
    (step * unit_m, step)
}

/// What a scale bar's numbers are: "m", or "ft".
#[must_use]
pub fn unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "m",
        Units::Feet => "ft",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_is_as_long_as_it_may_be() {
        for (most_m, step) in [(3.0, 2.0), (1.0, 1.0), (1.01, 1.0), (0.99, 0.5), (75.0, 50.0), (0.001, 0.05)] {
            assert_eq!(round_step(most_m, Units::Metric), (step, step), "{most_m}");
        }
        // 10 ft are 3.048 m.
        assert_eq!(round_step(3.05, Units::Feet), (10.0 * FOOT_M, 10.0));
        assert_eq!(round_step(3.04, Units::Feet), (5.0 * FOOT_M, 5.0));
    }

    /// Factors by definition: an inch is 25.4 mm.
    #[test]
    fn areas_and_volumes_in_feet_are_those_of_their_sides() {
        assert_eq!(area(0.3048 * 0.3048 * 200.0, Units::Feet), "200 ft²");
        assert_eq!(volume(0.3048 * 0.3048 * 0.3048 * 1000.0, Units::Feet), "1000 ft³");
    }

    #[test]
    fn what_is_written_is_read_again_in_either_form() {
        for eighths in -40..2000 {
            let length_m = f64::from(eighths) / 8.0 * INCH_M;
            let written = write(length_m, Units::Feet);
            for text in [written.replace('\'', "′").replace('"', "″"), written] {
                let again_m = read(&text).unwrap_or_else(|| panic!("{text}"));
                assert!((again_m - length_m).abs() < 1e-9, "{text}: {again_m} m");
            }
        }
    }
}
