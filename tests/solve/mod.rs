//! Whole buildings through the real geometry and solver.

mod annex_l;
mod drawn;
mod ducts;
mod facts;
mod limits;
mod losses;
mod low_frequency;
mod measured;
mod outdoors;
mod properties;
mod removal;
mod residual;
mod shell;
mod shell_facts;
mod side_by_side;
mod struck;
mod structure_borne;
mod uncertainty;
mod voids;
mod workmanship;
