//! Vibration reduction indices.

use super::{Case, Outcome};
use leaklight::acoustics::junction::{
    KijPair, corner_db, coupled_light, light_past_heavy_db, lightweight_facade, most_kij_factor, rigid_cross, rigid_t,
};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "kij-min-1" => {
            let most = most_kij_factor(case.number("length_m"), case.number("area_i_m2"), case.number("area_j_m2"));
            case.compare("kij_min_db", &[-10.0 * most.log10()], case.tolerance("db"))?;
        }
        id if id.starts_with("en12354-1-h-") => {
            let ratio = case.number("mass_ratio_perpendicular_over_own");
            let k = homogeneous(case.text("junction"), 1.0, ratio)?;
            case.compare("k_through_db", &[k.through_db], case.tolerance("db"))?;
            case.compare("k_corner_db", &[k.corner_db], case.tolerance("db"))?;
        }
        id if id.starts_with("iso12354-1-l-") => {
            let (own, across) = (case.number("mass_own_kg_m2"), case.number("mass_perpendicular_kg_m2"));
            let k = homogeneous(case.text("junction"), own, across)?;
            let computed = if case.text("branch") == "through" { k.through_db } else { k.corner_db };
            case.compare("kij_db", &[computed], case.tolerance("db"))?;
        }
        id if id.starts_with("annex-e-") && id.ends_with("-f") => over_frequency(case)?,
        id if id.starts_with("annex-e-") => over_mass_ratio(case)?,
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn homogeneous(junction: &str, own: f64, across: f64) -> Result<KijPair, String> {
    match junction.replace('_', " ").as_str() {
        "rigid cross" => Ok(rigid_cross(own, across)),
        "rigid T" | "rigid t" | "rigid T, floor ends on the wall" => Ok(rigid_t(own, across)),
        "lightweight facade" => Ok(lightweight_facade(own, across)),
        // A corner has no straight way on.
        "corner" => Ok(KijPair { through_db: f64::NAN, corner_db: corner_db(own, across) }),
        other => Err(format!("unknown junction {other}")),
    }
}

fn over_mass_ratio(case: &Case) -> Result<(), String> {
    let through = case.text("branch") == "through";
    let mut computed = Vec::new();
    for ratio in case.numbers("mass_ratio_perpendicular_over_own") {
        let k = homogeneous(case.text("junction"), 1.0, ratio)?;
        computed.push(if through { k.through_db } else { k.corner_db });
    }
    case.compare("kij_db", &computed, case.tolerance("db"))
}

fn over_frequency(case: &Case) -> Result<(), String> {
    let ratio = case.number("mass_ratio_perpendicular_over_own");
    let kij_db = |hz: f64| match case.text("junction") {
        "lightweight_double_homogeneous" => Ok(light_past_heavy_db(1.0, ratio, hz)),
        "lightweight_double_coupled" => Ok(coupled_light(1.0, ratio, hz).corner_db),
        other => Err(format!("unknown junction {other}")),
    };
    let computed: Result<Vec<f64>, String> = case.numbers("frequencies_hz").into_iter().map(kij_db).collect();
    case.compare("kij_db", &computed?, case.tolerance("db"))
}
