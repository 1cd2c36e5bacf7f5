//! Plain sentences: what a listener hears, by which ways, what stopping them would gain, and what a change did.
//!
//! All are generated from the answer: no number in them comes from anywhere else.

mod gains;
mod listener;
mod parts;
mod ways;

pub use gains::{GainLine, gain, gain_lines, gains, stopped};
pub use listener::{answer, audibility_word, listener};
pub use parts::{apportioned, heading, level, noun, percent};
pub use ways::{kind, way};
