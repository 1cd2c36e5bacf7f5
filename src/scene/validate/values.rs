//! Numbers: finite, and within what a building can have.

use super::{Check, Spot, limits};
use crate::acoustics::bands::OCTAVE_HZ;
use crate::catalogue::limits::{Limits, short};
use crate::scene::Background;

/// What a number beyond the limits was probably meant to be: metres where millimetres are wanted, or the reverse.
fn meant(limits: Limits, value: f64) -> Option<f64> {
    let meant = match limits.unit {
        "mm" if value > 0.0 && value < limits.least => (value * 1e9).round() / 1e6,
        "m" if value.abs() >= 500.0 => value / 1000.0,
        _ => return None,
    };
    (limits.usual[0]..=limits.usual[1]).contains(&meant).then_some(meant)
}

impl Check<'_> {
    /// Says so when a number is none or out of its limits; returns whether it is good.
    pub(super) fn number(&mut self, spot: &Spot, label: &str, value: f64, limits: Limits) -> bool {
        let Limits { least, most, unit, usual: [low, high], .. } = limits;
        let space = if unit.is_empty() || unit == "%" { "" } else { " " };
        let to_do = format!("give {least} to {most}{space}{unit}");
        if !value.is_finite() {
            self.error(spot, format!("its {label} is not a number"), to_do);
            false
        } else if value < least || value > most {
            let to_do = match meant(limits, value) {
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
        let x = self.number(spot, "x", at[0], limits::COORDINATE_M);
        let y = self.number(spot, "y", at[1], limits::COORDINATE_M);
        x && y
    }

    /// Values of bands: the first bad one is told, with how many more there are.
    pub(super) fn spectrum(&mut self, spot: &Spot, label: &str, values_db: &[f64], limits: Limits) {
        let bad = |value: &f64| !limits.hold(*value);
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
                self.number(spot, "background NR", *number, limits::NOISE_RATING);
            }
            Background::Octaves(levels_db) => {
                for (midband_hz, level_db) in OCTAVE_HZ.iter().zip(levels_db) {
                    self.number(spot, &format!("background at {midband_hz} Hz"), *level_db, limits::BACKGROUND_DB);
                }
            }
        }
    }
}
