//! What things cost the user: prices of their own in the place of the catalogue's placeholders.

use serde::{Deserialize, Serialize};

use super::ids::is_usual;

/// Currency, what an hour of work is worth, and own prices.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Prices {
    /// What prices are in, as it is printed behind them; empty where it is not said.
    #[serde(skip_serializing_if = "is_usual")]
    pub currency: String,
    /// What an hour of work is worth; 0 where one's own is not counted.
    #[serde(skip_serializing_if = "is_usual")]
    pub labour_per_h: f64,
    /// Own prices of goods: good id, and low, likely and high price of one as it is sold.
    #[serde(skip_serializing_if = "is_usual")]
    pub own: Vec<(String, (f64, f64, f64))>,
}
