//! Laws of the trade that must hold whatever the numbers are.

mod builds;
mod impact;
mod layers;
mod platforms;
pub(crate) mod simple_panels;
mod steps;
