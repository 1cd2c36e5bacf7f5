//! Field quantities of ISO 16283 and the background correction.

use leaklight::acoustics::field_measurement::{ReceivingRoom, low_frequency_level_db, needs_low_frequency_procedure};
use leaklight::acoustics::level::background_correction_db;

use crate::published::{Case, Outcome};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let n = |key: &str| case.number(key);
    let room = || ReceivingRoom { volume_m3: n("volume_m3"), t_s: n("t_s") };
    let compare = |key: &str, computed: f64| case.compare(key, &[computed], case.tolerance("db"));
    match case.id() {
        "iso16283-3-r45" => compare("r45_db", room().r_45_db(n("l1_s_db"), n("l2_db"), n("area_m2")))?,
        "iso16283-1-low-frequency" => {
            let (corner, default) = (case.numbers("corner_level_db"), case.numbers("default_level_db"));
            let levels: Vec<_> = corner
                .iter()
                .zip(&default)
                .map(|(corner, default)| low_frequency_level_db(*corner, *default))
                .collect();
            case.compare("low_frequency_level_db", &levels, case.tolerance("db"))?;
        }
        "iso16283-1-trigger" => {
            let needed: Vec<_> =
                case.numbers("volumes_m3").iter().map(|volume| needs_low_frequency_procedure(*volume)).collect();
            if serde_json::json!(needed) != *case.expected("low_frequency_procedure") {
                return Err(format!("computed {needed:?}"));
            }
        }
        "background-k1-6" | "background-k1-10" => {
            compare("k1_db", background_correction_db(n("level_difference_db")))?;
        }
        "iso16283-1-levels-1" => {
            let d = n("l1_db") - n("l2_db");
            compare("d_db", d)?;
            compare("dnt_db", room().dnt_db(d))?;
            compare("dn_db", room().dn_db(d))?;
            compare("r_prime_db", room().r_prime_db(d, n("area_m2")))?;
        }
        "iso16283-2-levels-1" => {
            compare("l_prime_nt_db", room().l_prime_nt_db(n("li_db")))?;
            compare("l_prime_n_db", room().l_prime_n_db(n("li_db")))?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}
