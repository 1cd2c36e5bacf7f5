//! What plan and section are drawn with: a canvas that keeps what is drawn and where letters may go, and what both have: openings,
//! ducts, marks, names, numbers, chains of dimensions, and the column beside the drawing.

pub(super) mod canvas;
pub(super) mod chain;
pub(super) mod column;
pub(super) mod geometry;
pub(super) mod glyphs;
pub(super) mod key;
pub(super) mod marks;
pub(super) mod rows;
