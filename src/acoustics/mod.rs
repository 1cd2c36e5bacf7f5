//! Physics on plain numbers: no files, no scenes, no windows.
//!
//! Everything is summed in linear energy; a function that takes or returns decibels says so in its name (`_db`).
//! Air and the band midbands are parameters, never globals.

pub mod absorption;
pub mod air;
pub mod air_absorption;
pub mod band_filter;
pub mod bands;
pub mod bridges;
pub mod contact_force;
pub mod duct;
pub mod edge_loss;
pub mod exposure;
pub mod fast_level;
pub mod field_measurement;
pub mod flanking;
pub mod forced_radiation;
pub mod hearing;
pub mod heavy;
pub mod isolation;
pub mod junction;
pub mod junction_node;
pub mod layers;
pub mod level;
pub mod lining;
pub mod measurement_uncertainty;
pub mod mobility;
pub mod mode_count;
pub mod outdoors;
pub mod plate;
pub mod plenum;
pub mod porous;
pub mod radiation;
pub mod rating;
pub mod room_field;
pub mod slit;
pub mod structure_borne;
pub mod tapping_machine;

pub use air::Air;
pub use bands::{BAND_COUNT, Bands, Spectrum};

/// A value no plate, room or air can have. Raised by constructors only, so that a value which exists can be computed with.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what} is {value}; it must be {must}")]
pub struct NotPhysical {
    /// The quantity refused, in words.
    pub what: &'static str,
    /// The value that was given.
    pub value: f64,
    /// What it must be, with its unit: "above zero, in m".
    pub must: &'static str,
}

impl NotPhysical {
    /// `Ok(value)` when it is finite and above zero, else the refusal.
    ///
    /// # Errors
    ///
    /// When `value` is not finite or not above zero.
    pub fn unless_positive(what: &'static str, value: f64, must: &'static str) -> Result<f64, Self> {
        if value.is_finite() && value > 0.0 { Ok(value) } else { Err(Self { what, value, must }) }
    }
}
