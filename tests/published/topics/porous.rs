//! Porous materials.

use super::{Case, Outcome};
use leaklight::acoustics::porous;
use num_complex::Complex64;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let id = case.id();
    match id {
        _ if id.starts_with("miki") => pair(case, porous::miki(case.number("f_over_sigma")))?,
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn pair(case: &Case, (zc, k): (Complex64, Complex64)) -> Result<(), String> {
    let relative = case.tolerance("relative");
    case.compare_with("zc_over_rho0c0", &[zc.re, zc.im], |printed| printed.abs() * relative)?;
    case.compare_with("k_over_k0", &[k.re, k.im], |printed| printed.abs() * relative)
}
