//! What is printed and drawn.

mod drawn;
mod gains;
mod printed;
mod sample;
mod stack;
