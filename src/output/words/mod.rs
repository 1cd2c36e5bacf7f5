//! Plain sentences: what a listener hears, by which ways, what stopping them would gain, and what a change did.
//!
//! All are generated from the answer: no number in them comes from anywhere else.

mod change;
mod gains;
mod listener;
mod parts;
mod ways;

pub use change::change;
pub use gains::{GainLine, gain, gain_lines, gains, stopped, stopped_briefly};
pub use listener::{answer, audibility_word, listener};
pub use parts::{apportioned, heading, level, noun, percent};
pub use ways::{kind, kind_key, way};
