//! Scene files and what is said about bad ones.

mod catalogue;
mod files;
mod mutated;
mod played;
mod problems;
mod reading;
