//! Leaklight.
