//! Uncertainty of measured sound insulation.

use leaklight::acoustics::measurement_uncertainty::{
    REPRODUCIBILITY_DB, REPRODUCIBILITY_RW_DB, combined_db, expanded_db,
};

use crate::published::{Case, Outcome};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "iso12999-1-table2-a" => case.compare("standard_uncertainty_db", &REPRODUCIBILITY_DB, 1e-9)?,
        "iso12999-1-rw" => {
            if REPRODUCIBILITY_RW_DB != case.number("u_rw_db") {
                return Err("u(Rw) differs".into());
            }
            let expanded = expanded_db(REPRODUCIBILITY_RW_DB, case.number("coverage_factor"));
            case.compare("expanded_uncertainty_db", &[expanded], case.tolerance("db"))?;
        }
        "iso3745-combination" => {
            let expanded = expanded_db(combined_db(&case.numbers("u_db")), case.number("coverage_factor"));
            case.compare("expanded_uncertainty_db", &[expanded], case.tolerance("db"))?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}
