//! Plain sentences: what a listener hears, by which ways, what stopping them would gain, and what a change did.
//!
//! All are generated from the answer: no number in them comes from anywhere else.

mod change;
mod gains;
mod listener;
mod parts;
mod paths;

pub use change::change;
pub use gains::{GainLine, gain_lines};
pub use listener::{Lines, audibility_word, lines};
pub use parts::{apportioned, chance, heading, level, noun, percent, series};
pub use paths::{kind, kind_key, way};
