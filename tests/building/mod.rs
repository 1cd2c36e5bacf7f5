//! Whole buildings from scenes: worked by hand, and as properties of random ones.

mod grids;
pub(crate) mod make;
mod shipped;
mod turned;
mod worked;
