//! Plane geometry: lines, polygons and their overlay, the planar graph of a plan's walls. Knows neither buildings nor sound.
//!
//! Corners are kept as files have them, `[f64; 2]`; what is computed with is a [`DVec2`]. All lengths are metres.

mod extent;
mod faces;
mod graph;
mod overlay;
mod polygon;
mod segment;

pub(crate) use extent::{Extent, each_near, near};
pub(crate) use faces::Faces;
pub(crate) use graph::{Graph, Half, SNAP_M, Stroke, mitre};
pub(crate) use overlay::{PINHOLE_M2, common, joined, merged, without};
pub(crate) use polygon::{
    Point, Ring, Shape, area, centroid, contains, convex_hull, crossings, sides, signed_area, total_area,
    total_perimeter, well_inside,
};
pub(crate) use segment::{Line, along, crossing, distance, foot, heading, line, off};

pub(crate) use glam::DVec2;

/// Rounding moves no point as far as this, m.
pub(crate) const ROUNDING_M: f64 = 1e-6;
