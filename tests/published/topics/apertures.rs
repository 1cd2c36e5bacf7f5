//! Slits.

use super::{Case, Outcome};
use leaklight::acoustics::Air;
use leaklight::acoustics::slit::{Field, Position, Slit};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let db = |tau: f64| -10.0 * tau.log10();
    match case.id() {
        id if id.starts_with("slit-") => {
            let air = air(case);
            let position = if case.text("position") == "edge" { Position::Edge } else { Position::Mid };
            let field = if case.text("field") == "diffuse" { Field::Diffuse } else { Field::Plane };
            let slit = Slit::new(case.number("width_m"), case.number("depth_m"), position).unwrap();
            let r: Vec<f64> =
                case.numbers("frequencies_hz").iter().map(|hz| db(slit.transmission(field, &air, *hz))).collect();
            case.compare("r_db", &r, case.tolerance("db"))?;
            let resonances = [slit.resonance_hz(1, &air), slit.resonance_hz(2, &air)];
            let relative = case.tolerance("relative_hz");
            case.compare_with("first_resonances_hz", &resonances, |printed| printed * relative)?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn air(case: &Case) -> Air {
    // Slit and hole formulas hold no density; any will do.
    Air::stated(1.2, case.number("speed_of_sound_m_s")).unwrap()
}
