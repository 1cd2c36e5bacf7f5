//! Slits, holes and composite elements.

use super::{Case, Outcome};
use leaklight::acoustics::Air;
use leaklight::acoustics::slit::{Field, Hole, Position, Slit, composite, small_element};

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
        id if id.starts_with("hole-") => {
            let air = air(case);
            let hole = Hole::new(case.number("radius_m"), case.number("depth_m")).unwrap();
            let r: Vec<f64> =
                case.numbers("frequencies_hz").iter().map(|hz| db(hole.transmission(&air, *hz))).collect();
            case.compare("r_db", &r, case.tolerance("db"))?;
        }
        "open-area-1-percent" | "open-area-0-1-percent" | "wall-door-gap" => {
            let parts: Vec<(f64, f64)> = case
                .numbers("areas_m2")
                .into_iter()
                .zip(case.numbers("r_db"))
                .map(|(area, r_db)| (area, 10f64.powf(-r_db / 10.0)))
                .collect();
            case.compare("r_composite_db", &[db(composite(&parts))], case.tolerance("db"))?;
        }
        "en12354-1-dne-to-tau" => {
            let tau = small_element(
                case.number("dn_e_db"),
                case.number("separating_area_m2"),
                case.number("reference_area_m2"),
            );
            let relative = case.tolerance("relative");
            case.compare_with("tau", &[tau], |printed| printed * relative)?;
            case.compare_with("r_equivalent_db", &[db(tau)], |printed| printed * relative)?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn air(case: &Case) -> Air {
    // Slit and hole formulas hold no density; any will do.
    Air::stated(1.2, case.number("speed_of_sound_m_s")).unwrap()
}
