//! What is printed and drawn.

mod chart;
mod colour_vision;
mod compared;
mod drawn;
mod gains;
mod glossary;
mod moving;
mod printed;
mod sample;
mod sawn;
