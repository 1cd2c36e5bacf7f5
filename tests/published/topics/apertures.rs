//! Slits.

use super::{Case, Outcome};
use leaklight::acoustics::Air;
use leaklight::acoustics::slit::Slit;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let db = |tau: f64| -10.0 * tau.log10();
    match case.id() {
        id if id.starts_with("slit-") => {
            let air = air(case);
            if (case.text("position"), case.text("field")) != ("mid", "diffuse") {
                return Ok(Outcome::Waits("no check for such a slit"));
            }
            let slit = Slit::new(case.number("width_m"), case.number("depth_m")).unwrap();
            let r: Vec<f64> =
                case.numbers("frequencies_hz").iter().map(|hz| db(slit.transmission(&air, *hz))).collect();
            case.compare("r_db", &r, case.tolerance("db"))?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn air(case: &Case) -> Air {
    // Slit and hole formulas hold no density; any will do.
    Air::stated(1.2, case.number("speed_of_sound_m_s")).unwrap()
}
