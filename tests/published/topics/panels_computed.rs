//! Panels and linings from formulas.

use super::{Case, Outcome};
use leaklight::acoustics::Air;
use leaklight::acoustics::lining::{cavity_stiffness_mn_m3, lining_resonance_hz};
use leaklight::acoustics::simple_panels::{
    PLATEAU_MATERIALS, PlateauMaterial, SharpPanel, double_wall_db, limiting_hz, mass_air_mass_hz, mass_law_field_db,
    mass_law_normal_db,
};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "lining-f0-cavity" => {
            let stiffness = cavity_stiffness_mn_m3(case.number("gap_m")).unwrap();
            case.compare("stiffness_mn_m3", &[stiffness], 1e-9)?;
            let f0 = lining_resonance_hz(stiffness, case.number("mass2_kg_m2"), case.number("mass1_kg_m2")).unwrap();
            case.compare("f0_hz", &[f0], case.tolerance("hz"))?;
        }
        id if id.starts_with("mass-law-") => {
            let (air, mass) = (air(case), case.number("mass_per_area_kg_m2"));
            let db = case.tolerance("db");
            case.compare("normal_incidence_db", &bands(case, |hz| mass_law_normal_db(mass, &air, hz)), db)?;
            case.compare("field_incidence_third_octave_db", &bands(case, |hz| mass_law_field_db(mass, &air, hz)), db)?;
        }
        id if id.starts_with("sharp-") => {
            let air = air(case);
            let panel = SharpPanel::new(
                case.number("mass_per_area_kg_m2"),
                case.number("critical_frequency_hz"),
                case.number("total_loss_factor"),
            )
            .unwrap();
            case.compare("r_db", &bands(case, |hz| panel.reduction_db(&air, hz)), case.tolerance("db"))?;
        }
        id if id.starts_with("double-") => {
            let air = air(case);
            let (m1, m2, gap) = (case.number("mass1_kg_m2"), case.number("mass2_kg_m2"), case.number("gap_m"));
            let hz = case.tolerance("hz");
            case.compare("mass_air_mass_frequency_hz", &[mass_air_mass_hz(m1, m2, gap, &air)], hz)?;
            case.compare("limiting_frequency_hz", &[limiting_hz(gap, &air)], hz)?;
            let r = bands(case, |hz| double_wall_db(m1, m2, gap, &air, hz));
            case.compare("r_below_coincidence_db", &r, case.tolerance("db"))?;
        }
        "norton-3-11" => {
            let air = air(case);
            let brick = material("brick")?;
            let mass = case.number("mass_per_area_kg_m2");
            let tl = bands(case, |hz| brick.reduction_db(mass, &air, hz));
            case.compare("tl_db", &tl, case.tolerance("db"))?;
        }
        id if id.starts_with("norton-plateau-") => {
            let row = material(case.text("material"))?;
            case.compare("mass_per_area_per_mm_kg_m2", &[row.mass_per_mm_kg_m2], 1e-9)?;
            case.compare("plateau_db", &[row.plateau_db], 1e-9)?;
            case.compare("plateau_frequency_ratio", &[row.frequency_ratio], 1e-9)?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn air(case: &Case) -> Air {
    Air::stated(case.number("air_density_kg_m3"), case.number("speed_of_sound_m_s")).unwrap()
}

fn bands(case: &Case, value: impl Fn(f64) -> f64) -> Vec<f64> {
    case.numbers("bands_hz").into_iter().map(value).collect()
}

fn material(name: &str) -> Result<PlateauMaterial, String> {
    PLATEAU_MATERIALS.into_iter().find(|row| row.name == name).ok_or_else(|| format!("no plateau material {name}"))
}
