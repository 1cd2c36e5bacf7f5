//! ISO 354 and ISO 11654; coefficients of finishes.

use leaklight::acoustics::absorption::{AbsorptionClass, Chamber, ChamberAir, WeightedAbsorption, practical};
use serde_json::Value;

use crate::published::{Case, Outcome};

const EXACT: f64 = 1e-9;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "iso11654-a1" | "lab-absorber-2" => {
            let rating = rate(case, case.numbers("alpha_p"))?;
            if let Value::String(shape) = case.expected("shape")
                && rating.shape() != *shape
            {
                return Err(format!("shape: computed {:?}, printed {shape:?}", rating.shape()));
            }
        }
        "lab-absorber-1" => {
            let thirds = case.numbers("alpha_s");
            let octaves: Vec<_> =
                thirds.chunks_exact(3).map(|three| practical([three[0], three[1], three[2]])).collect();
            case.compare("alpha_p", &octaves, EXACT)?;
            rate(case, octaves)?;
        }
        "iso354-chamber" => {
            let air = |key: &str| -> Result<ChamberAir, String> {
                let of = |name: &str| case.input(key)[name].as_f64().ok_or(format!("{key}: no {name}"));
                Ok(ChamberAir {
                    temperature_c: of("temperature_c")?,
                    humidity_percent: of("humidity_percent")?,
                    pressure_kpa: of("pressure_kpa")?,
                })
            };
            let (volume, area) = (case.number("volume_m3"), case.number("specimen_area_m2"));
            let chamber =
                Chamber::new(volume, area, air("empty")?, air("with_specimen")?).map_err(|error| error.to_string())?;
            let (empty, with) = (case.numbers("t1_empty_s"), case.numbers("t2_with_specimen_s"));
            let alpha: Vec<_> = case
                .numbers("bands_hz")
                .iter()
                .zip(empty.iter().zip(&with))
                .map(|(hz, (empty, with))| chamber.alpha_s(*hz, *empty, *with))
                .collect();
            case.compare("alpha_s", &alpha, case.tolerance("abs"))?;
        }
        id if id.starts_with("bies-6-2-") => {
            return Ok(Outcome::Waits("a handbook coefficient of a finish: belongs to the catalogue's finishes"));
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn rate(case: &Case, alpha_p: Vec<f64>) -> Result<WeightedAbsorption, String> {
    let rating = WeightedAbsorption::of_practical(&alpha_p.try_into().map_err(|_| "not five octaves")?);
    case.compare("alpha_w", &[rating.alpha_w], EXACT)?;
    let class = match rating.class {
        AbsorptionClass::A => "A",
        AbsorptionClass::B => "B",
        AbsorptionClass::C => "C",
        AbsorptionClass::D => "D",
        AbsorptionClass::E => "E",
        AbsorptionClass::NotClassified => "not classified",
    };
    if *case.expected("class") != *class {
        return Err(format!("class: computed {class}, printed {}", case.expected("class")));
    }
    Ok(rating)
}
