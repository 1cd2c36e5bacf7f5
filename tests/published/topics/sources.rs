//! Peak powers of instruments; the standard rubber ball.

use leaklight::acoustics::bands::OCTAVE_HZ;
use leaklight::acoustics::contact_force::{ContactForce, RUBBER_BALL_TOLERANCE_DB};

use crate::published::{Case, Outcome};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        // The powers are data of the book, which the catalogue's sources are held to: their levels go with them.
        id if id.starts_with("peak-power-") => {
            let power_w = case.expected("peak_power_w").as_f64().ok_or("no power")?;
            case.compare("peak_sound_power_level_db", &[10.0 * (power_w / 1e-12).log10()], case.tolerance("db"))?;
            Ok(Outcome::Passes)
        }
        "rubber-ball-force-exposure" => {
            if case.numbers("octave_bands_hz") != OCTAVE_HZ[..5] {
                return Err("other octaves".into());
            }
            // Through the thirds the program computes with, one drop a second: exposure and mean square are then one number.
            let octaves = ContactForce::rubber_ball(1.0).unwrap().mean_square_n2().octave_sums();
            let levels: Vec<_> = octaves[..5].iter().map(|n2_s| 10.0 * n2_s.log10()).collect();
            case.compare("impact_force_exposure_level_db_re_1n", &levels, 1e-9)?;
            case.compare("tolerance_db", &RUBBER_BALL_TOLERANCE_DB, 1e-9)?;
            Ok(Outcome::Passes)
        }
        _ => Ok(Outcome::Waits("no check for this case yet")),
    }
}
