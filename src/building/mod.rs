//! Scene → building: spaces, elements and junctions, found from geometry. No acoustics beyond areas, lengths and names.

pub mod model;

pub use model::*;
