//! What is printed and drawn.

mod drawn;
mod printed;
mod sample;
mod sawn;
