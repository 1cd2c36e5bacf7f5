//! ISO 717-1, its Annexes B, C, D; ASTM E413.

use leaklight::acoustics::rating::astm_e413::TransmissionClass;
use leaklight::acoustics::rating::iso717_1::{Airborne, SPECTRUM_1_DB, SPECTRUM_2_DB};

use crate::published::{Case, Outcome};

/// Ratings are whole numbers: printed and computed are the same or they are not.
const EXACT: f64 = 1e-9;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "iso717-1-spectra" => {
            case.compare("spectrum1_db", &SPECTRUM_1_DB, EXACT)?;
            case.compare("spectrum2_db", &SPECTRUM_2_DB, EXACT)?;
        }
        "iso717-1-c1" => {
            let rating = airborne(case, "r_db")?;
            case.compare("unfavourable_sum_db", &[rating.unfavourable_sum_db], case.tolerance("unfavourable_sum_db"))?;
            let tolerance = case.tolerance("minus_10lg_db");
            case.compare("minus_10lg_sum_spectrum1_db", &[rating.rw_plus_c_unrounded_db], tolerance)?;
            case.compare("minus_10lg_sum_spectrum2_db", &[rating.rw_plus_ctr_unrounded_db], tolerance)?;
            whole(case, &[("rw_db", rating.rw_db), ("c_db", rating.c_db), ("ctr_db", rating.ctr_db)])?;
        }
        "iso717-1-reference-curve" => {
            let rating = airborne(case, "r_db")?;
            whole(case, &[("rw_db", rating.rw_db), ("reference_at_500_hz_db", rating.rw_db - rating.shift_db)])?;
            case.compare("unfavourable_sum_db", &[rating.unfavourable_sum_db], EXACT)?;
        }
        "pod-dpw" | "booth-dpw" => whole(case, &[("rw_db", airborne(case, "d_db")?.rw_db)])?,
        "wall-50-5000" => {
            let rating = airborne(case, "r_db")?;
            let wide = rating.enlarged.ok_or("no enlarged range")?;
            whole(case, &[("rw_db", rating.rw_db), ("c_db", rating.c_db), ("ctr_db", rating.ctr_db)])?;
            whole(case, &[("c_50_3150_db", wide.c_50_3150_db), ("c_50_5000_db", wide.c_50_5000_db)])?;
            whole(case, &[("c_100_5000_db", wide.c_100_5000_db), ("ctr_50_3150_db", wide.ctr_50_3150_db)])?;
            whole(case, &[("ctr_50_5000_db", wide.ctr_50_5000_db), ("ctr_100_5000_db", wide.ctr_100_5000_db)])?;
        }
        "wall-with-lining-50-5000" => {
            let gain = lining(case)?;
            let with = gain.with;
            whole(case, &[("rw_with_db", with.rw_db), ("c_with_db", with.c_db), ("ctr_with_db", with.ctr_db)])?;
            whole(case, &[("delta_rw_direct_db", gain.rw_db())])?;
            whole(case, &[("delta_rw_plus_c_direct_db", gain.plus(|rating| rating.c_db))])?;
            whole(case, &[("delta_rw_plus_ctr_direct_db", gain.plus(|rating| rating.ctr_db))])?;
        }
        "iso717-1-d-dipped-invented-wall" => {
            let gain = lining(case)?;
            let wide = |term: fn(leaklight::acoustics::rating::iso717_1::Enlarged) -> i32| {
                gain.plus(|rating| rating.enlarged.map_or(i32::MIN / 4, term))
            };
            whole(case, &[("delta_rw_db", gain.rw_db())])?;
            whole(case, &[("delta_rw_plus_c_db", gain.plus(|rating| rating.c_db))])?;
            whole(case, &[("delta_rw_plus_ctr_db", gain.plus(|rating| rating.ctr_db))])?;
            whole(case, &[("delta_rw_plus_c_50_3150_db", wide(|terms| terms.c_50_3150_db))])?;
            whole(case, &[("delta_rw_plus_c_50_5000_db", wide(|terms| terms.c_50_5000_db))])?;
            whole(case, &[("delta_rw_plus_c_100_5000_db", wide(|terms| terms.c_100_5000_db))])?;
            whole(case, &[("delta_rw_plus_ctr_50_3150_db", wide(|terms| terms.ctr_50_3150_db))])?;
            whole(case, &[("delta_rw_plus_ctr_50_5000_db", wide(|terms| terms.ctr_50_5000_db))])?;
            whole(case, &[("delta_rw_plus_ctr_100_5000_db", wide(|terms| terms.ctr_100_5000_db))])?;
        }
        "octave-rating-facade" | "octave-rating-wall" => {
            let rating = Airborne::of_octaves(&case.numbers("r_db").try_into().map_err(|_| "not five octaves")?);
            whole(case, &[("rw_db", rating.rw_db), ("c_db", rating.c_db), ("ctr_db", rating.ctr_db)])?;
        }
        "iso10140-2-a1-flanking" | "iso12354-1-l1-total-rating" => {
            let key = if case.input("r_db").is_null() { "r_prime_db" } else { "r_db" };
            let rating = airborne(case, key)?;
            whole(case, &[("rw_db", rating.rw_db), ("c_db", rating.c_db), ("ctr_db", rating.ctr_db)])?;
        }
        "iso12354-1-l1-rating-dd" | "iso12354-1-l1-rating-d1" | "iso12354-1-l1-rating-11" => {
            let rating = airborne(case, "r_db")?;
            whole(case, &[("rw_db", rating.rw_db)])?;
            case.compare("rw_one_decimal_db", &[rating.rw_one_decimal_db], case.tolerance("rw_one_decimal_db"))?;
        }
        "astm-e413-example" => {
            let tl_db: [f64; 16] = case.numbers("tl_db").try_into().map_err(|_| "not sixteen bands")?;
            let unrounded = TransmissionClass::of_125_4000_unrounded(&tl_db);
            case.compare("deficiency_sum_db", &[unrounded.deficiency_sum_db], case.tolerance("db"))?;
            case.compare("max_deficiency_db", &[unrounded.largest_deficiency_db], case.tolerance("db"))?;
            // "The class is the same with rounding", says the note.
            whole(case, &[("stc", unrounded.stc), ("stc", TransmissionClass::of_125_4000(&tl_db).stc)])?;
        }
        "stc-small-opening" => {
            let tl_db: [f64; 16] = case.numbers("tl_db").try_into().map_err(|_| "not sixteen bands")?;
            whole(case, &[("stc", TransmissionClass::of_125_4000(&tl_db).stc)])?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

/// Rates what is listed; of the 18 bands of ISO 10140-2 Table A.1 the first 16 are rated.
fn airborne(case: &Case, key: &str) -> Result<Airborne, String> {
    let r_db = case.numbers(key);
    let r_db = if r_db.len() == 18 { &r_db[..16] } else { &r_db[..] };
    Airborne::of_values(r_db).map_err(|error| error.to_string())
}

fn lining(case: &Case) -> Result<LiningGain, String> {
    let thirds = |key: &str| -> Result<[f64; 21], String> {
        case.numbers(key).try_into().map_err(|_| format!("{key}: not 21 bands"))
    };
    let (without_db, gain_db) = (thirds("r_without_db")?, thirds("delta_r_db")?);
    let with_db = std::array::from_fn(|band| without_db[band] + gain_db[band]);
    Ok(LiningGain { without: Airborne::of_50_5000(&without_db), with: Airborne::of_50_5000(&with_db) })
}

fn whole(case: &Case, computed: &[(&str, i32)]) -> Result<(), String> {
    computed.iter().try_for_each(|(key, value)| case.compare(key, &[f64::from(*value)], EXACT))
}

/// What a lining adds to a given wall, by ratings with and without it, dB. Source: ISO 717-1:2020 Annex D, Formula (D.2), direct difference.
struct LiningGain {
    without: Airborne,
    with: Airborne,
}

impl LiningGain {
    fn rw_db(&self) -> i32 {
        self.with.rw_db - self.without.rw_db
    }

    fn plus(&self, term_db: impl Fn(&Airborne) -> i32) -> i32 {
        self.rw_db() + term_db(&self.with) - term_db(&self.without)
    }
}
