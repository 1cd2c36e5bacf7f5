//! Lengths as people write and read them: metres, or feet and inches.

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

/// Reads a length, m: "4.2", "4,2", "4.2 m", "420 cm", "4200 mm", "13'9\"", "13 ft 9 in", "9 1/2\"". Nothing when it is none.
///
/// ```
/// use leaklight::output::length::read;
/// assert_eq!(read("4,25 m"), Some(4.25));
/// assert!((read("13'9\"").unwrap() - 4.191).abs() < 1e-12);
/// assert_eq!(read("four"), None);
/// ```
#[must_use]
pub fn read(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase().replace(['′', '’'], "'").replace(['″', '”'], "\"");
    if text.is_empty() {
        return None;
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
    length_m.is_finite().then_some(length_m)
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
        Some((whole, part)) => Some(number(whole)? + fraction(part)?),
        None if text.contains('/') => fraction(text),
        None => number(text),
    }
}

/// A length to read: "4.25 m", or "13′ 11⅜″" to the nearest eighth of an inch.
///
/// ```
/// use leaklight::output::length::{Units, write};
/// assert_eq!(write(4.25, Units::Metric), "4.25 m");
/// assert_eq!(write(4.191, Units::Feet), "13′ 9″");
/// ```
#[must_use]
pub fn write(length_m: f64, units: Units) -> String {
    const EIGHTHS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
    match units {
        Units::Metric => format!("{length_m:.2} m"),
        Units::Feet => {
            let eighths = (length_m.abs() / INCH_M * 8.0).round() as u64;
            let (feet, rest) = (eighths / 96, eighths % 96);
            let sign = if length_m < 0.0 { "−" } else { "" };
            let inches = format!("{}{}", rest / 8, EIGHTHS[(rest % 8) as usize]);
            if feet == 0 { format!("{sign}{inches}″") } else { format!("{sign}{feet}′ {inches}″") }
        }
    }
}
