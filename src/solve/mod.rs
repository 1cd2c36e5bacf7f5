//! Building → paths → answer.

pub mod answer;

pub use answer::*;
