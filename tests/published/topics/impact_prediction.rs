//! Impact sound: the cases that floating floors and flanking paths reach.

use super::{Case, Outcome};
use leaklight::acoustics::lining::floating_floor_resonance_hz;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "floating-floor-f0-annex" => {
            let f0 =
                floating_floor_resonance_hz(case.number("dynamic_stiffness_mn_m3"), case.number("mass_per_area_kg_m2"))
                    .unwrap();
            case.compare("f0_hz", &[f0], case.tolerance("hz"))?;
        }
        id if id.starts_with("hopkins-a3-") => {
            let stiffness = case.expected("dynamic_stiffness_mn_m3").as_f64().unwrap();
            let f0 = floating_floor_resonance_hz(stiffness, case.number("screed_mass_kg_m2")).unwrap();
            case.compare("f0_hz", &[f0], case.tolerance("f0_hz"))?;
        }
        _ => return Ok(Outcome::Waits("impact sound comes later")),
    }
    Ok(Outcome::Passes)
}
