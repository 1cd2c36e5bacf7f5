//! Plain sentences: what a listener hears, by which ways, what stopping them would gain, and what a change did.
//!
//! All are generated from the answer: no number in them comes from anywhere else.

mod causes;
mod change;
mod gains;
mod listener;
mod parts;
mod paths;

pub use causes::{CauseLine, cause_lines};
pub use change::change;
pub use gains::{GainLine, gain_lines};
pub(crate) use listener::mean;
pub use listener::{Lines, audibility_word, lines};
pub(crate) use parts::{apportioned, chance, noun, series};
pub use parts::{heading, level, percent};
pub(crate) use paths::kind_key;
pub use paths::{kind, path_clause, path_rest};
