//! Whole buildings through the real geometry and solver.

mod annex_l;
mod facts;
mod low_frequency;
mod outdoors;
mod properties;
mod shell;
mod shell_facts;
mod structure_borne;
mod workmanship;
