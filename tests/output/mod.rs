//! What is printed and drawn.

mod drawn;
mod moving;
mod printed;
mod sample;
