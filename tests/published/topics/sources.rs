//! Peak powers of instruments; the standard rubber ball.

use leaklight::acoustics::level::{sound_power_level_db, sound_power_w};

use crate::published::{Case, Outcome};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        // The powers are data of the book; what is checked is the conversion, both ways.
        id if id.starts_with("peak-power-") => {
            let power = case.expected("peak_power_w").as_f64().ok_or("no power")?;
            let level = sound_power_level_db(power);
            case.compare("peak_sound_power_level_db", &[level], case.tolerance("db"))?;
            case.compare_with("peak_power_w", &[sound_power_w(level)], |printed| 1e-9 * printed)?;
            Ok(Outcome::Passes)
        }
        "rubber-ball-force-exposure" => Ok(Outcome::Waits("the rubber ball comes with heavy impact sources")),
        _ => Ok(Outcome::Waits("no check for this case yet")),
    }
}
