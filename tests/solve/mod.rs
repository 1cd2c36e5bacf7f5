//! Whole buildings through the real geometry and solver.

mod annex_l;
mod facts;
mod outdoors;
mod properties;
mod structure_borne;
