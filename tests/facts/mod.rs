//! Laws of the trade that must hold whatever the numbers are.

mod impact;
mod layers;
