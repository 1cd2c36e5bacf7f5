//! `leaklight rate`: single-number ratings of values typed in.

use std::ffi::OsString;

use clap::{Args, Subcommand};
use serde_json::{Value, json};

use super::{Failure, print, print_json};
use crate::acoustics::rating::astm_e413::TransmissionClass;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::rating::iso717_2::Impact;

/// Rate values by ISO 717 and ASTM E413
#[derive(Debug, Subcommand)]
pub(super) enum Rate {
    /// Rate sound reduction indices or level differences: Rw (C; Ctr), STC
    #[command(after_help = "\
Examples (16 values, 100 to 3150 Hz; or 21 values, 50 to 5000 Hz, which also give C50-5000, Ctr,50-5000 and STC):
  leaklight rate airborne 20.4,16.3,17.7,22.6,22.4,22.7,24.8,26.6,28.0,30.5,31.8,32.5,33.4,33.0,31.0,25.5
  leaklight rate airborne --json 18,19,21,20.4,16.3,17.7,22.6,22.4,22.7,24.8,26.6,28,30.5,31.8,32.5,33.4,33,31,25.5,27,29")]
    Airborne(Values),
    /// Rate impact sound pressure levels: Ln,w (CI)
    #[command(after_help = "\
Example (16 values, 100 to 3150 Hz; or 21 values, 50 to 5000 Hz, which also give CI,50-2500):
  leaklight rate impact 62.1,63.4,65.5,69.2,71.0,72.1,73.3,73.6,73.5,72.4,71.7,71.2,70.5,69.0,66.7,62.3")]
    Impact(Values),
}

#[derive(Debug, Args)]
pub(super) struct Values {
    /// Values in dB, separated by commas or spaces; the decimal sign is a point
    #[arg(required = true, num_args = 1.., value_name = "V1,V2,…")]
    values: Vec<String>,
    /// As JSON
    #[arg(long)]
    json: bool,
}

impl Rate {
    pub(super) fn run(&self) -> Result<(), Failure> {
        match self {
            Self::Airborne(values) => airborne(&numbers(&values.values)?, values.json),
            Self::Impact(values) => impact(&numbers(&values.values)?, values.json),
        }
    }
}

fn airborne(values_db: &[f64], as_json: bool) -> Result<(), Failure> {
    let rating =
        Airborne::of_values(values_db).map_err(|error| Failure::Call(format!("It cannot be rated: {error}.")))?;
    let stc = TransmissionClass::of_values(values_db).map(|class| class.stc);
    if as_json {
        return print_json(&airborne_json(Some(rating), stc));
    }
    let mut text = format!("Rw (C; Ctr) = {} ({}; {}) dB\n", rating.rw_db, rating.c_db, rating.ctr_db);
    if let Some(terms) = rating.enlarged {
        text.push_str(&format!("C50-5000 = {} dB, Ctr,50-5000 = {} dB\n", terms.c_50_5000_db, terms.ctr_50_5000_db));
    }
    if let Some(stc) = stc {
        text.push_str(&format!("STC = {stc}\n"));
    }
    text.push_str(&format!("sum of unfavourable deviations {:.1} dB\n", rating.unfavourable_sum_db));
    print(&text)
}

/// Airborne ratings, each null where there is none.
pub(super) fn airborne_json(rating: Option<Airborne>, stc: Option<i32>) -> Value {
    let enlarged = rating.and_then(|rating| rating.enlarged);
    json!({
        "rw": rating.map(|rating| rating.rw_db),
        "c": rating.map(|rating| rating.c_db),
        "ctr": rating.map(|rating| rating.ctr_db),
        "c_50_5000": enlarged.map(|terms| terms.c_50_5000_db),
        "ctr_50_5000": enlarged.map(|terms| terms.ctr_50_5000_db),
        "stc": stc,
    })
}

fn impact(values_db: &[f64], as_json: bool) -> Result<(), Failure> {
    let rating =
        Impact::of_values(values_db).map_err(|error| Failure::Call(format!("It cannot be rated: {error}.")))?;
    if as_json {
        return print_json(&json!({
            "lnw": rating.lnw_db,
            "ci": rating.ci_db,
            "ci_50_2500": rating.ci_50_2500_db,
        }));
    }
    let mut text = format!("Ln,w (CI) = {} ({}) dB\n", rating.lnw_db, rating.ci_db);
    if let Some(term) = rating.ci_50_2500_db {
        text.push_str(&format!("CI,50-2500 = {term} dB\n"));
    }
    text.push_str(&format!("sum of unfavourable deviations {:.1} dB\n", rating.unfavourable_sum_db));
    print(&text)
}

/// The numbers in a list: commas or blanks between them, a point as decimal sign; 16 or 21 of them.
fn numbers(words: &[String]) -> Result<Vec<f64>, Failure> {
    let joined = words.join(" ").replace('−', "-");
    let mut values = Vec::new();
    let mut pieces: Vec<&str> = joined.split(',').map(str::trim).collect();
    // A comma at the very end ends the list.
    if pieces.len() > 1 && pieces.last() == Some(&"") {
        pieces.pop();
    }
    for piece in pieces {
        if piece.is_empty() {
            return Err(Failure::Call("A value is missing: there is nothing between two commas.".to_owned()));
        }
        for word in piece.split_whitespace() {
            match word.parse::<f64>() {
                Ok(value) if value.is_finite() => values.push(value),
                _ => {
                    let so = "write values like 42.5, with commas or spaces between them";
                    return Err(Failure::Call(format!("\"{word}\" is no number; {so}.")));
                }
            }
        }
    }
    if matches!(values.len(), 16 | 21) {
        return Ok(values);
    }
    let count = values.len();
    let hint = if matches!(count, 32 | 42) { " The decimal sign is a point, not a comma." } else { "" };
    let text = format!("There are {count} values; it takes 16 (100 to 3150 Hz) or 21 (50 to 5000 Hz).{hint}");
    Err(Failure::Call(text))
}

/// Puts a blank before arguments such as "-3.5,2" after `rate`, so that they are read as values and not as options.
pub(super) fn guard_negative_numbers(arguments: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let mut arguments: Vec<OsString> = arguments.into_iter().collect();
    if arguments.get(1).is_some_and(|word| word == "rate") {
        for argument in &mut arguments[2..] {
            let number = |first: char| first.is_ascii_digit() || first == '.';
            if let Some(text) =
                argument.to_str().filter(|text| text.strip_prefix('-').is_some_and(|rest| rest.starts_with(number)))
            {
                *argument = format!(" {text}").into();
            }
        }
    }
    arguments
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<f64>, Failure> {
        numbers(&[text.to_owned()])
    }

    #[test]
    fn lists_are_read_as_people_type_them() {
        let commas = ["1"; 16].join(",");
        let blanks = ["-1.5"; 21].join(" ");
        assert_eq!(read(&commas).unwrap(), vec![1.0; 16]);
        assert_eq!(read(&blanks).unwrap(), vec![-1.5; 21]);
        assert_eq!(read(&format!("{},", ["2"; 16].join(", "))).unwrap(), vec![2.0; 16]);
        assert_eq!(read(&["−3"; 16].join(",")).unwrap(), vec![-3.0; 16]);
    }

    #[test]
    fn a_decimal_comma_and_gaps_are_refused() {
        let says = |text: &str, part: &str| match read(text) {
            Err(Failure::Call(message)) => assert!(message.contains(part), "{message}"),
            other => panic!("{text}: {other:?}"),
        };
        says(&["33,5"; 16].join(","), "point, not a comma");
        says("1,,2", "nothing between two commas");
        says("1,2,x", "\"x\" is no number");
        says(&["NaN"; 16].join(","), "is no number");
        says("1,2,3", "There are 3 values");
    }
}
