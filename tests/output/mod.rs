//! What is printed and drawn.

mod colour_vision;
mod compared;
mod drawn;
mod printed;
mod sample;
