//! The `leaklight` program.
fn main() {}
