//! Plane geometry: lines, polygons and their overlay, the planar graph of a plan's walls. Knows neither buildings nor sound.
//!
//! Corners are kept as files have them, `[f64; 2]`; what is computed with is a [`DVec2`]. All lengths are metres.

mod extent;
mod faces;
mod graph;
mod overlay;
mod polygon;
mod segment;

pub use extent::{Extent, near};
pub use faces::Faces;
pub use graph::{Graph, Half, LONGEST_MITRE, SNAP_M, Stroke, mitre};
pub use overlay::{PINHOLE_M2, common, joined, merged, without};
pub use polygon::{
    Point, Ring, Shape, area, centroid, contains, crossings, hull, sides, signed_area, total_area, total_perimeter,
    well_inside,
};
pub use segment::{Line, along, crossing, direction, distance, foot, heading, line, off};

pub use glam::DVec2;

/// Rounding moves no point as far as this, m.
pub const ROUNDING_M: f64 = 1e-6;
