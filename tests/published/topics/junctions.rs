//! Vibration reduction indices.

use super::{Case, Outcome};
use leaklight::acoustics::Air;
use leaklight::acoustics::heavy::loss_from_reverberation;
use leaklight::acoustics::junction::{
    KijPair, corner_db, coupled_light, interlayer_db, kij_measured_db, kij_min_db, light_past_heavy_db,
    lightweight_facade, past_interlayers_db, rigid_cross, rigid_t,
};
use leaklight::acoustics::junction_wave::PinnedJunction;
use leaklight::acoustics::plate::Plate;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "kij-min-1" => {
            let computed = kij_min_db(case.number("length_m"), case.number("area_i_m2"), case.number("area_j_m2"));
            case.compare("kij_min_db", &[computed], case.tolerance("db"))?;
        }
        "iso10848-kij" => {
            let difference = case.number("direction_averaged_velocity_level_difference_db");
            let (i, j) = (case.number("area_i_m2"), case.number("area_j_m2"));
            let computed = kij_measured_db(difference, case.number("length_m"), i, j);
            case.compare("kij_db", &[computed], case.tolerance("db"))?;
        }
        "loss-factor-from-ts" => {
            let computed =
                loss_from_reverberation(case.number("frequency_hz"), case.number("structural_reverberation_time_s"));
            let relative = case.tolerance("relative");
            case.compare_with("total_loss_factor", &[computed], |printed| relative * printed)?;
        }
        "wave-x-identical" | "wave-l-identical" => identical_plates(case)?,
        "wave-kij-l-concrete" => concrete_corner(case)?,
        "annex-e-flexible-t-k24" => {
            let computed: Vec<f64> = case
                .numbers("mass_ratio_perpendicular_over_own")
                .iter()
                .map(|ratio| past_interlayers_db(1.0, *ratio))
                .collect();
            case.compare("kij_db", &computed, case.tolerance("db"))?;
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
        // Both flanking legs lie behind an interlayer: two crossings.
        "flexible_t" => Ok(rigid_t(1.0, ratio).through_db + 2.0 * interlayer_db(hz, case.number("f1_hz"))),
        "lightweight_double_homogeneous" => Ok(light_past_heavy_db(1.0, ratio, hz)),
        "lightweight_double_coupled" => Ok(coupled_light(1.0, ratio, hz).corner_db),
        other => Err(format!("unknown junction {other}")),
    };
    let computed: Result<Vec<f64>, String> = case.numbers("frequencies_hz").into_iter().map(kij_db).collect();
    case.compare("kij_db", &computed?, case.tolerance("db"))
}

fn identical_plates(case: &Case) -> Result<(), String> {
    let arms = if case.id() == "wave-x-identical" { 4 } else { 2 };
    let plate = Plate::new(0.15, 2300.0, 3800.0, 0.005).unwrap();
    let junction = PinnedJunction::new(&vec![plate; arms]).unwrap();
    let relative = case.tolerance("relative");
    case.compare_with("tau_corner_average", &[junction.transmission(0, 1)], |printed| relative * printed)?;
    if arms == 4 {
        case.compare_with("tau_straight_average", &[junction.transmission(0, 2)], |printed| relative * printed)?;
    }
    Ok(())
}

fn concrete_corner(case: &Case) -> Result<(), String> {
    let air = Air::stated(1.21, case.number("speed_of_sound_m_s")).unwrap();
    let plates = ["plate1", "plate2"].map(|key| {
        let number = |name: &str| case.input(key)[name].as_f64().unwrap();
        let thickness = number("thickness_m");
        let density = number("mass_per_area_kg_m2") / thickness;
        Plate::new(thickness, density, number("longitudinal_speed_m_s"), 0.01).unwrap()
    });
    for (from, to) in [(0, 1), (1, 0)] {
        let computed = PinnedJunction::kij_of_plates_db(&plates, from, to, &air).unwrap();
        case.compare("kij_db", &[computed], case.tolerance("db"))?;
    }
    Ok(())
}
