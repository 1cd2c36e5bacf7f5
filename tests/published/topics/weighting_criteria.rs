//! A and C weighting, filter masks, NR, and what an attenuation is worth in dB(A).

use leaklight::acoustics::Bands;
use leaklight::acoustics::band_filter::third_octave_mask;
use leaklight::acoustics::bands::INDEX_50_HZ;
use leaklight::acoustics::rating::octave_curves::nr_curve_db;
use leaklight::acoustics::rating::weighting::{a_weighting_db, c_weighting_db, level_a_of_bands_db};

use crate::published::{Case, Outcome};

const EXACT: f64 = 1e-9;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "iec61672-weightings-50-5000" => {
            let bands = Bands::exact();
            let of = |weighting_db: fn(f64) -> f64| -> Vec<f64> {
                (0..21).map(|band| weighting_db(bands.hz(INDEX_50_HZ + band))).collect()
            };
            case.compare("a_db", &of(a_weighting_db), case.tolerance("db"))?;
            case.compare("c_db", &of(c_weighting_db), case.tolerance("db"))?;
        }
        "iec61260-class1" => {
            let mask = third_octave_mask();
            let frequencies: Vec<_> = mask.iter().map(|corner| corner.normalised_frequency).collect();
            for (printed, computed) in case.numbers("normalised_frequency").iter().zip(&frequencies) {
                // Half the last printed digit.
                if (printed - computed).abs() > 0.000_005 + EXACT {
                    return Err(format!("normalised frequency: computed {computed:.6}, printed {printed}"));
                }
            }
            case.compare("min_attenuation_db", &mask.map(|corner| corner.least_db), EXACT)?;
            let greatest = mask.map(|corner| corner.greatest_db.unwrap_or(f64::INFINITY));
            case.compare("max_attenuation_db", &greatest, EXACT)?;
            // `null` is no limit to the comparison, so where none is printed none may be set.
            let printed = case.expected("max_attenuation_db");
            if (0..mask.len()).any(|at| printed[at].is_null() != mask[at].greatest_db.is_none()) {
                return Err("an upper limit where none is printed".into());
            }
        }
        "nr-coefficients" => {
            // a is the curve of NR 0, b what one more adds.
            let (at_zero, at_one) = (nr_curve_db(0.0), nr_curve_db(1.0));
            case.compare("a", &at_zero[2..], EXACT)?;
            let slopes: Vec<_> = (2..10).map(|octave| at_one[octave] - at_zero[octave]).collect();
            case.compare("b", &slopes, EXACT)?;
        }
        "nr-15" | "nr-25" => {
            let curve = nr_curve_db(case.number("nr"));
            case.compare("level_db", &curve[2..], case.tolerance("db"))?;
        }
        "suva-lwa" => {
            case.compare("lwa_db", &[level_a_of_bands_db(&pairs(case, "lw_db"))], case.tolerance("db"))?;
        }
        "barron-a-levels" | "barron-a-levels-2" => {
            case.compare("la_db", &[level_a_of_bands_db(&pairs(case, "levels_db"))], case.tolerance("db"))?;
        }
        "peters-1-13-a" => {
            let source = pairs(case, "source_levels_db");
            let attenuation = case.numbers("attenuation_db");
            let left: Vec<_> = source.iter().zip(attenuation).map(|((hz, db), loss)| (*hz, db - loss)).collect();
            let reduction = level_a_of_bands_db(&source) - level_a_of_bands_db(&left);
            case.compare("reduction_db_a", &[reduction], case.tolerance("db"))?;
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn pairs(case: &Case, key: &str) -> Vec<(f64, f64)> {
    case.numbers("bands_hz").into_iter().zip(case.numbers(key)).collect()
}
