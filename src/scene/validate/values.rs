//! Numbers: finite, and within what a building can have. The limits are wide on purpose: they catch slips of a unit or a digit, they do
//! not judge designs (common practice, no source).

use super::{Check, Spot};
use crate::scene::Background;

/// What a number may be.
#[derive(Clone, Copy)]
pub(super) struct Limits {
    least: f64,
    most: f64,
    unit: &'static str,
    /// Between what it usually lies: beyond, it is asked whether that is meant.
    usual: [f64; 2],
}

impl Limits {
    pub(super) const fn new(least: f64, most: f64, unit: &'static str) -> Self {
        Self { least, most, unit, usual: [least, most] }
    }

    pub(super) const fn usually(self, low: f64, high: f64) -> Self {
        Self { usual: [low, high], ..self }
    }

    /// What a number beyond the limits was probably meant to be: metres where millimetres are wanted, or the reverse.
    fn meant(&self, value: f64) -> Option<f64> {
        let meant = match self.unit {
            "mm" if value > 0.0 && value < self.least => (value * 1e9).round() / 1e6,
            "m" if value.abs() >= 500.0 => value / 1000.0,
            _ => return None,
        };
        (self.usual[0]..=self.usual[1]).contains(&meant).then_some(meant)
    }
}

/// A coordinate of the plan.
const COORDINATE_M: Limits = Limits::new(-2000.0, 2000.0, "m");
/// A background above NR 100 is no background (common practice, no source).
const NOISE_RATING: Limits = Limits::new(0.0, 100.0, "");
/// Band levels of a background.
const BACKGROUND_DB: Limits = Limits::new(-30.0, 130.0, "dB");
/// Band values of a sound reduction index or level difference. Measured ones fall a little below zero at times.
pub(super) const REDUCTION_DB: Limits = Limits::new(-10.0, 150.0, "dB");

const OCTAVES_HZ: [f64; 8] = [31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0];

impl Check<'_> {
    /// Says so when a number is none or out of its limits; returns whether it is good.
    pub(super) fn number(&mut self, spot: &Spot, label: &str, value: f64, limits: Limits) -> bool {
        let Limits { least, most, unit, usual: [low, high] } = limits;
        let space = if unit.is_empty() || unit == "%" { "" } else { " " };
        let to_do = format!("give {least} to {most}{space}{unit}");
        if !value.is_finite() {
            self.error(spot, format!("its {label} is not a number"), to_do);
            false
        } else if value < least || value > most {
            let to_do = match limits.meant(value) {
                Some(meant) => format!("{to_do}; did you mean {}?", short(meant)),
                None => to_do,
            };
            self.error(spot, format!("its {label} is {}{space}{unit}", short(value)), to_do);
            false
        } else {
            if value < low || value > high {
                let what = format!("its {label} is {}{space}{unit}, which is unusual", short(value));
                self.warning(spot, what, "see whether that is meant");
            }
            true
        }
    }

    /// A point of the plan.
    pub(super) fn point(&mut self, spot: &Spot, at: [f64; 2]) -> bool {
        let x = self.number(spot, "x", at[0], COORDINATE_M);
        let y = self.number(spot, "y", at[1], COORDINATE_M);
        x && y
    }

    /// Values of bands: the first bad one is told, with how many more there are.
    pub(super) fn spectrum(&mut self, spot: &Spot, label: &str, values_db: &[f64], limits: Limits) {
        let bad = |value: &f64| !value.is_finite() || *value < limits.least || *value > limits.most;
        let count = values_db.iter().filter(|value| bad(value)).count();
        if let Some(position) = values_db.iter().position(bad) {
            let others = if count > 1 { format!(" ({} more are wrong)", count - 1) } else { String::new() };
            let value = values_db[position];
            let value = if value.is_finite() { short(value) } else { "not a number".to_owned() };
            self.error(
                spot,
                format!("value {} of its {label} is {value}{others}", position + 1),
                format!("give {} to {} {}", limits.least, limits.most, limits.unit),
            );
        }
    }

    /// Background noise.
    pub(super) fn background(&mut self, spot: &Spot, background: &Background) {
        match background {
            Background::Unstated => {}
            Background::NoiseRating(number) => {
                self.number(spot, "background NR", *number, NOISE_RATING);
            }
            Background::Octaves(levels_db) => {
                for (midband_hz, level_db) in OCTAVES_HZ.iter().zip(levels_db) {
                    self.number(spot, &format!("background at {midband_hz} Hz"), *level_db, BACKGROUND_DB);
                }
            }
        }
    }
}

/// A number as people write it, however large.
pub(super) fn short(value: f64) -> String {
    if value != 0.0 && (value.abs() >= 1e6 || value.abs() < 1e-3) {
        format!("{value:e}")
    } else {
        let text = format!("{value:.3}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::short;

    #[test]
    fn numbers_are_written_short() {
        for (value, text) in
            [(2.5, "2.5"), (300.0, "300"), (0.0, "0"), (-0.02, "-0.02"), (1e300, "1e300"), (4.2000001, "4.2")]
        {
            assert_eq!(short(value), text);
        }
    }
}
