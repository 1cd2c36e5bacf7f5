//! A published case and what became of it.

use serde_json::Value;

/// What became of a case.
pub(crate) enum Outcome {
    /// Within the tolerance that stands in the file.
    Passes,
    /// Outside it; with what was computed.
    Fails(String),
    /// The program cannot reach this yet; with the reason.
    Waits(&'static str),
    /// The printed value is inconsistent with its own formula, or of another published model; computed value and reason are shown.
    Differs(String),
}

/// One entry of `cases/*.json`.
pub(crate) struct Case(Value);

impl Case {
    pub(crate) fn new(value: Value) -> Self {
        Self(value)
    }

    pub(crate) fn id(&self) -> &str {
        self.0["id"].as_str().expect("every case has an id")
    }

    /// The whole case.
    pub(crate) fn raw(&self) -> &Value {
        &self.0
    }

    /// The raw input under `key`, for shapes the other readers do not cover.
    pub(crate) fn input(&self, key: &str) -> &Value {
        &self.0["inputs"][key]
    }

    /// The raw expected value under `key`.
    pub(crate) fn expected(&self, key: &str) -> &Value {
        &self.0["expected"][key]
    }

    pub(crate) fn number(&self, key: &str) -> f64 {
        self.input(key).as_f64().unwrap_or_else(|| panic!("{}: input {key} is no number", self.id()))
    }

    pub(crate) fn text(&self, key: &str) -> &str {
        self.input(key).as_str().unwrap_or_else(|| panic!("{}: input {key} is no text", self.id()))
    }

    pub(crate) fn numbers(&self, key: &str) -> Vec<f64> {
        numbers(self.input(key)).into_iter().map(|n| n.unwrap_or(f64::NAN)).collect()
    }

    /// The tolerance for an expected value: its own key if there is one, else the unit's (`db`, `hz`, `relative` …).
    pub(crate) fn tolerance(&self, key: &str) -> f64 {
        match &self.0["tolerance"][key] {
            Value::String(word) if word == "exact" => 1e-9,
            value => {
                value.as_f64().unwrap_or_else(|| panic!("{}: no tolerance {key} in {}", self.id(), self.0["tolerance"]))
            }
        }
    }

    pub(crate) fn has_tolerance(&self, key: &str) -> bool {
        !self.0["tolerance"][key].is_null()
    }

    /// Compares a computed list (or a single number as a list of one) with the expected one, absolutely; `null` is no limit.
    pub(crate) fn compare(&self, key: &str, computed: &[f64], absolute: f64) -> Result<(), String> {
        self.compare_with(key, computed, |_| absolute)
    }

    /// As [`Self::compare`], with a tolerance that may depend on the printed value.
    pub(crate) fn compare_with(
        &self,
        key: &str,
        computed: &[f64],
        tolerance: impl Fn(f64) -> f64,
    ) -> Result<(), String> {
        let printed = match self.expected(key) {
            list @ Value::Array(_) => numbers(list),
            single => vec![single.as_f64()],
        };
        if printed.len() != computed.len() {
            return Err(format!("{key}: {} values computed, {} printed", computed.len(), printed.len()));
        }
        if printed.iter().all(Option::is_none) {
            return Err(format!("{key}: nothing printed to compare with"));
        }
        for (at, (printed, computed)) in printed.iter().zip(computed).enumerate() {
            let Some(printed) = printed else { continue };
            // Negated on purpose, so that NaN fails. The small extra forgives binary rounding of a decimal limit.
            let within = (printed - computed).abs() <= tolerance(*printed) + 1e-9;
            if !within {
                return Err(format!(
                    "{key}[{at}]: computed {computed:.4}, printed {printed}, allowed {:.4}",
                    tolerance(*printed)
                ));
            }
        }
        Ok(())
    }
}

fn numbers(list: &Value) -> Vec<Option<f64>> {
    list.as_array().map(|list| list.iter().map(Value::as_f64).collect()).unwrap_or_default()
}
