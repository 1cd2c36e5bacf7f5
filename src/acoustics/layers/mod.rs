//! Layered elements: partitions, glazing, doors, joist floors, linings, from one sheet to four leaves.

mod cavity;
mod crosswise;
mod lanes;
mod medium;
mod passage;
mod plate_wave;
mod quadrature;
mod section;
mod sheet;
mod stack;
mod thirds;

pub use cavity::{Cavity, Fill};
pub use sheet::{Joint, Leaf, Sheet};
pub use stack::Stack;
