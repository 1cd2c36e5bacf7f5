//! The simplified (weighted) model.

use super::{Case, Outcome};
use leaklight::acoustics::flanking::{combined_lining_w_db, dnt_from_r_db, simplified_path_w_db, sum_of_paths_db};
use leaklight::acoustics::impact::{simplified_impact_path_w_db, sum_of_levels_db};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let db = || case.tolerance("db");
    match case.id() {
        "h3-floor" | "h3-ceiling" | "h3-facade" | "h3-internal-wall" => {
            let (separating, flanking) = (case.number("separating_rw_db"), case.number("flanking_rw_db"));
            let (area, length) = (case.number("separating_area_m2"), case.number("junction_length_m"));
            let path = |pair, kij| simplified_path_w_db(pair, 0.0, kij, area, length);
            let ff = path((flanking, flanking), case.number("k_ff_db"));
            let fd = path((flanking, separating), case.number("k_fd_db"));
            let df = path((separating, flanking), case.number("k_fd_db"));
            case.compare("r_ff_w_db", &[ff], db())?;
            case.compare("r_fd_w_db", &[fd], db())?;
            case.compare("r_df_w_db", &[df], db())?;
        }
        "h3-total" => {
            let mut paths = vec![case.number("direct_rw_db")];
            for junction in case.input("paths_rw_db").as_object().unwrap().values() {
                paths.extend(["ff", "fd", "df"].map(|path| junction[path].as_f64().unwrap()));
            }
            case.compare("number_of_paths", &[paths.len() as f64], 0.0)?;
            let total = sum_of_paths_db(paths);
            case.compare("r_prime_w_db", &[total], db())?;
            case.compare("r_prime_w_rounded_db", &[total.round()], 0.0)?;
        }
        "h3-dntw" => {
            let computed =
                dnt_from_r_db(case.number("r_prime_w_db"), case.number("volume_m3"), case.number("separating_area_m2"));
            case.compare("dnt_w_db", &[computed], db())?;
            case.compare("dnt_w_rounded_db", &[computed.round()], 0.0)?;
        }
        "linings-combined" => {
            let pairs = case.input("delta_rw_pairs_db").as_array().unwrap();
            let computed: Vec<f64> = pairs
                .iter()
                .map(|pair| combined_lining_w_db(pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap()))
                .collect();
            case.compare("delta_rw_combined_db", &computed, db())?;
        }
        "l10-total" => {
            let mut paths = vec![AnnexL(case).path("Dd", f64::NAN)];
            for (wall, length) in case.input("junction_length_m").as_object().unwrap() {
                let length = length.as_f64().unwrap();
                for path in [format!("D{wall}"), format!("{wall}d"), format!("{wall}{wall}")] {
                    paths.push(AnnexL(case).path(&path, length));
                }
            }
            case.compare("number_of_paths", &[paths.len() as f64], 0.0)?;
            case.compare("r_prime_w_db", &[sum_of_paths_db(paths)], db())?;
        }
        id if id.starts_with("l10-") => {
            let length = case.input("junction_length_m").as_f64().unwrap_or(f64::NAN);
            case.compare("r_ij_w_db", &[AnnexL(case).path(case.text("path"), length)], db())?;
        }
        "g10-paths-direct-1" => {
            case.compare("ln_dd_w_db", &[floor_ln(case)], db())?;
            case.compare("ln_d1_w_db", &[impact_path(case, "1")], db())?;
        }
        "g10-total" => {
            let levels = ["1", "2", "3", "4"].map(|wall| impact_path(case, wall));
            let total = sum_of_levels_db(levels.into_iter().chain([floor_ln(case)]));
            case.compare("l_prime_n_w_db", &[total], db())?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

/// The building of ISO 12354-1:2017 Annex L in weighted values: walls 1, 2 external, 3, 4 internal; floating floor on D.
struct AnnexL<'a>(&'a Case);

impl AnnexL<'_> {
    fn path(&self, path: &str, length: f64) -> f64 {
        let number = |key| self.0.number(key);
        let (floor, gain) = (number("rw_floor_db"), number("delta_rw_floating_floor_db"));
        if path == "Dd" {
            return floor + combined_lining_w_db(gain, 0.0);
        }
        let external = path.contains(['1', '2']);
        let wall = number(if external { "rw_external_wall_db" } else { "rw_internal_wall_db" });
        let corner = number(if external { "kij_floor_ext_db" } else { "kij_floor_int_db" });
        let straight = number(if external { "kij_ext_ext_db" } else { "kij_int_int_db" });
        let (pair, gain, kij) = if path.starts_with('D') {
            ((floor, wall), gain, corner)
        } else if path.ends_with('d') {
            ((wall, floor), 0.0, corner)
        } else {
            ((wall, wall), 0.0, straight)
        };
        simplified_path_w_db(pair, gain, kij, number("separating_area_m2"), length)
    }
}

fn floor_ln(case: &Case) -> f64 {
    case.number("ln_eq_0_w_db") - case.number("delta_lw_db")
}

fn impact_path(case: &Case, wall: &str) -> f64 {
    let external = wall == "1" || wall == "2";
    let rw_wall = case.number(if external { "rw_external_wall_db" } else { "rw_internal_wall_db" });
    let kij = case.number(if external { "kij_floor_ext_db" } else { "kij_floor_int_db" });
    let length = case.input("junction_length_m")[wall].as_f64().unwrap();
    let pair = (case.number("rw_floor_db"), rw_wall);
    simplified_impact_path_w_db(floor_ln(case), pair, 0.0, kij, case.number("separating_area_m2"), length)
}
