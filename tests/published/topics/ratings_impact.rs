//! ISO 717-2 and its Annexes C and D.

use leaklight::acoustics::level::energy_sum_db;
use leaklight::acoustics::rating::iso717_2::{Covering, Impact, REFERENCE_FLOOR_DB};
use leaklight::acoustics::rating::weighting::a_weighting_db;

use crate::published::{Case, Outcome};

const EXACT: f64 = 1e-9;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "iso717-2-c1-bare" => {
            let rating = impact(case, "ln_db")?;
            whole(case, &[("lnw_db", rating.lnw_db), ("ci_db", rating.ci_db)])?;
            case.compare("unfavourable_sum_db", &[rating.unfavourable_sum_db], case.tolerance("unfavourable_sum_db"))?;
        }
        "iso717-2-table4-heavyweight" => {
            if case.numbers("ln_db") != REFERENCE_FLOOR_DB {
                return Err("the reference floor differs from Table 4".into());
            }
            let rating = impact(case, "ln_db")?;
            whole(case, &[("lnw_db", rating.lnw_db), ("ci_db", rating.ci_db)])?;
            let printed = case.expected("one_decimal");
            for (key, computed) in [("lnw_db", rating.lnw_one_decimal_db), ("ci_db", rating.ci_one_decimal_db)] {
                let printed = printed[key].as_f64().ok_or("no one-decimal value")?;
                let within = (computed - printed).abs() <= case.tolerance("one_decimal_db");
                if !within {
                    return Err(format!("one-decimal {key}: computed {computed:.3}, printed {printed}"));
                }
            }
        }
        "iso717-2-sloped-heavyweight" => {
            let covering = covering(case)?;
            whole(case, &[("delta_lw_db", covering.delta_lw_db), ("ci_delta_db", covering.ci_delta_db)])?;
            whole(case, &[("lnrw_db", covering.covered.lnw_db), ("ci_r_db", covering.covered.ci_db)])?;
        }
        "iso16251-carpet" => whole(case, &[("delta_lw_db", covering(case)?.delta_lw_db)])?,
        "iso12354-2-g1-rating" => {
            let rating = impact(case, "ln_prime_db")?;
            whole(case, &[("lnw_db", rating.lnw_db), ("ci_db", rating.ci_db)])?;
        }
        "iso717-2-d4-rubber-ball" => {
            // The table's corrections are the A-weighting at nominal frequencies, to one decimal (-16.2 at 125 Hz, not -16.1).
            let levels = case.numbers("li_fmax_db").into_iter().zip(case.numbers("bands_hz"));
            let corrected: Vec<_> =
                levels.map(|(level, hz)| level + (a_weighting_db(hz) * 10.0).round() / 10.0).collect();
            case.compare("corrected_db", &corrected, case.tolerance("corrected_db"))?;
            let sum = energy_sum_db(&corrected);
            case.compare("lia_fmax_unrounded_db", &[sum], case.tolerance("lia_fmax_unrounded_db"))?;
            case.compare("lia_fmax_db", &[sum.round()], case.tolerance("lia_fmax_db"))?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn impact(case: &Case, key: &str) -> Result<Impact, String> {
    Impact::of_values(&case.numbers(key)).map_err(|error| error.to_string())
}

fn covering(case: &Case) -> Result<Covering, String> {
    let delta_l = case.numbers("delta_l_db");
    let thirds: &[f64; 16] = delta_l[..16].try_into().map_err(|_| "not sixteen bands")?;
    Ok(Covering::of_100_3150(thirds))
}

fn whole(case: &Case, computed: &[(&str, i32)]) -> Result<(), String> {
    computed.iter().try_for_each(|(key, value)| case.compare(key, &[f64::from(*value)], EXACT))
}
