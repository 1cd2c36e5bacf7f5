//! Panels and linings from formulas.

use super::{Case, Outcome};
use leaklight::acoustics::lining::{cavity_stiffness_mn_m3, lining_resonance_hz};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "lining-f0-cavity" => {
            let stiffness = cavity_stiffness_mn_m3(case.number("gap_m")).unwrap();
            case.compare("stiffness_mn_m3", &[stiffness], 1e-9)?;
            let f0 = lining_resonance_hz(stiffness, case.number("mass2_kg_m2"), case.number("mass1_kg_m2")).unwrap();
            case.compare("f0_hz", &[f0], case.tolerance("hz"))?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}
