//! A measured spectrum as it stands in a report or a spreadsheet, read from pasted text.

use crate::acoustics::bands::NOMINAL_HZ;

/// How far a frequency may lie from its nominal midband: exact ones (99.2, 31.25) are meant as well.
const MIDBAND_REACH: f64 = 0.03;

/// Sound reduction indices of pasted text, dB: 24 values from 25 Hz, 21 from 50 Hz or 16 from 100 Hz to 3150 Hz.
///
/// Values are parted by commas, semicolons, tabs, blanks or line ends; a decimal comma is known from a comma that parts. Frequencies that
/// stand beside or above the values are known as such, and choose the range; values beyond it are dropped. Words are passed over.
///
/// # Errors
///
/// When another count of values is found, or something that is no number; a sentence.
///
/// ```
/// use leaklight::app::panels::inspector::paste::spectrum;
/// let text = "f in Hz;R in dB\n100;30,5\n125;31\n160;32\n200;33\n250;34\n315;35\n400;36\n500;37\n630;38\n800;39\n\
///     1000;40\n1250;41\n1600;42\n2000;43\n2500;44\n3150;45";
/// let r_db = spectrum(text).unwrap();
/// assert_eq!((r_db.len(), r_db[0], r_db[15]), (16, 30.5, 45.0));
/// assert!(spectrum("30 31 32").unwrap_err().contains("3 values"));
/// ```
pub fn spectrum(text: &str) -> Result<Vec<f64>, String> {
    // Without a decimal point any comma may be either; what makes sense decides, frequencies first.
    let points = text.contains('.');
    let parted = numbers(text, false);
    let decimal = if points { Err(String::new()) } else { numbers(text, true) };
    for reading in [&parted, &decimal].into_iter().flatten() {
        if let Some(values) = beside_frequencies(reading) {
            return Ok(values);
        }
    }
    for reading in [&decimal, &parted].into_iter().flatten() {
        if counts(reading.len()) {
            return Ok(reading.clone());
        }
    }
    let found = match decimal {
        Ok(found) if !found.is_empty() => found,
        _ => parted?,
    };
    let count = found.len();
    let noun = if count == 1 { "value" } else { "values" };
    Err(format!("{count} {noun}; it takes 24 from 25 Hz, 21 from 50 Hz or 16 from 100 Hz to 3150 Hz."))
}

fn counts(count: usize) -> bool {
    matches!(count, 16 | 21 | 24)
}

/// All numbers of a text in order.
fn numbers(text: &str, decimal_commas: bool) -> Result<Vec<f64>, String> {
    let parts =
        |letter: char| letter.is_whitespace() || matches!(letter, ';' | '|') || (!decimal_commas && letter == ',');
    text.split(parts)
        .map(|part| part.trim_matches([',', '"', '\'', ':', '(', ')']))
        .filter(|part| part.chars().any(|letter| letter.is_ascii_digit()))
        .map(|part| {
            let bare = part.trim_end_matches("dB").trim_end_matches("Hz");
            let bare = bare.replace(',', ".").replace(['−', '–'], "-");
            let value = bare.parse::<f64>().ok().filter(|value| value.is_finite());
            value.ok_or_else(|| format!("“{part}” is no number."))
        })
        .collect()
}

/// The values beside their frequencies (in pairs) or below them (in two rows).
fn beside_frequencies(numbers: &[f64]) -> Option<Vec<f64>> {
    if numbers.is_empty() || !numbers.len().is_multiple_of(2) {
        return None;
    }
    let half = numbers.len() / 2;
    let pairs: Vec<(f64, f64)> = numbers.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
    let rows: Vec<(f64, f64)> = (0..half).map(|at| (numbers[at], numbers[half + at])).collect();
    [pairs, rows].iter().find_map(|table| in_range(table))
}

/// The values of the widest range all of whose midbands are there.
fn in_range(table: &[(f64, f64)]) -> Option<Vec<f64>> {
    let near = |hz: f64, nominal: f64| (hz / nominal - 1.0).abs() < MIDBAND_REACH;
    let rises = table.windows(2).all(|pair| pair[0].0 < pair[1].0);
    let known = |hz: f64| [16.0, 20.0, 6300.0, 8000.0, 10_000.0].iter().chain(&NOMINAL_HZ).any(|it| near(hz, *it));
    if !rises || !table.iter().all(|(hz, _)| known(*hz)) {
        return None;
    }
    [(0, 24), (3, 24), (6, 22)].into_iter().find_map(|(first, end)| {
        NOMINAL_HZ[first..end]
            .iter()
            .map(|nominal| table.iter().find(|(hz, _)| near(*hz, *nominal)).map(|(_, value)| *value))
            .collect::<Option<Vec<f64>>>()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rising(count: usize) -> Vec<f64> {
        (0..count).map(|at| 20.5 + at as f64).collect()
    }

    fn written(values: &[f64], comma: bool) -> Vec<String> {
        let text = |value: &f64| if comma { value.to_string().replace('.', ",") } else { value.to_string() };
        values.iter().map(text).collect()
    }

    #[test]
    fn every_separator_is_understood_with_either_decimal_sign() {
        for count in [16, 21, 24] {
            let values = rising(count);
            for parting in [",", ", ", ";", "\t", "\n", " ", "\r\n", " | "] {
                assert_eq!(spectrum(&written(&values, false).join(parting)), Ok(values.clone()), "point, {parting:?}");
            }
            for parting in [", ", ";", "\t", "\n", " ", "\r\n"] {
                assert_eq!(spectrum(&written(&values, true).join(parting)), Ok(values.clone()), "comma, {parting:?}");
            }
        }
        let whole: Vec<String> = (20..36).map(|value| value.to_string()).collect();
        assert_eq!(spectrum(&whole.join(",")).map(|values| values.len()), Ok(16));
    }

    #[test]
    fn frequencies_beside_or_above_are_no_values() {
        let values = rising(16);
        for comma in [false, true] {
            let written = written(&values, comma);
            let pairs: Vec<String> =
                NOMINAL_HZ[6..22].iter().zip(&written).map(|(hz, r)| format!("{hz}\t{r}")).collect();
            assert_eq!(spectrum(&pairs.join("\n")), Ok(values.clone()));
        }
        // A comma that parts two whole numbers looks like a decimal one; the frequencies tell.
        let pairs: Vec<String> = NOMINAL_HZ[6..22].iter().map(|hz| format!("{hz},31")).collect();
        assert_eq!(spectrum(&pairs.join("\n")), Ok(vec![31.0; 16]));
        let hz: Vec<String> = NOMINAL_HZ[6..22].iter().map(ToString::to_string).collect();
        let rows = format!("Hz\t{}\nR / dB\t{}", hz.join("\t"), written(&values, true).join("\t"));
        assert_eq!(spectrum(&rows), Ok(values));
    }

    #[test]
    fn a_report_from_50_hz_to_10_khz_gives_the_21_bands_that_are_computed() {
        let hz: Vec<f64> = NOMINAL_HZ[3..].iter().copied().chain([6300.0, 8000.0, 10_000.0]).collect();
        let text: Vec<String> = hz.iter().enumerate().map(|(at, hz)| format!("{hz} Hz; {},5 dB", 20 + at)).collect();
        assert_eq!(spectrum(&text.join("\n")), Ok(rising(21)));
    }

    #[test]
    fn what_cannot_be_read_is_told() {
        assert_eq!(spectrum("").unwrap_err().split(';').next(), Some("0 values"));
        assert!(spectrum("30 31 3x2").unwrap_err().contains("“3x2” is no number"));
        assert!(spectrum(&"30\n".repeat(17)).unwrap_err().starts_with("17 values"));
    }
}
