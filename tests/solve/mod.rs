//! Whole buildings through the real geometry and solver.

mod annex_l;
mod facts;
mod low_frequency;
mod memory;
mod outdoors;
mod properties;
mod shell;
mod structure_borne;
mod workmanship;
