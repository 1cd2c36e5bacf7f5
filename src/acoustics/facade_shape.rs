//! What the shape of a façade keeps off: galleries, balconies and terraces before it.
//!
//! Source: EN 12354-3:2000 Annex C, Figure C.2 (the same as ISO 12354-3:2017 Table C.1). Only the entries that could be read are held; for any
//! other there is no value, and none is guessed. For sound from outside; nothing in the program uses it yet.

/// Shapes, numbered as in the figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FacadeShape {
    /// Plane.
    Plane,
    /// Gallery, figure 2.
    Gallery2,
    /// Gallery, figure 3.
    Gallery3,
    /// Gallery, figure 5.
    Gallery5,
    /// Balcony, figure 6.
    Balcony6,
    /// Balcony, figure 7.
    Balcony7,
    /// Terrace with an open fence.
    TerraceOpen,
    /// Terrace with a closed fence.
    TerraceClosed,
}

/// Height of the line of sight from the source on the façade: under 1.5 m, 1.5 to 2.5 m, above 2.5 m.
const HEIGHTS_M: [f64; 2] = [1.5, 2.5];

/// Façade shape level difference ΔL_fs, dB: height of the line of sight, m; αw of the underside of what juts out. Nothing where the entry is
/// not held.
///
/// Columns of αw: up to 0.3, 0.6, from 0.9; a value between two takes the lower one, which is the safe side.
#[must_use]
pub fn shape_difference_db(shape: FacadeShape, line_of_sight_m: f64, alpha_w: f64) -> Option<f64> {
    let height = HEIGHTS_M.iter().filter(|limit| line_of_sight_m > **limit).count();
    let absorbs = [0.6, 0.9].iter().filter(|limit| alpha_w >= **limit).count();
    Some(match (shape, height, absorbs) {
        (FacadeShape::Plane, ..) => 0.0,
        (FacadeShape::Gallery2 | FacadeShape::Balcony6, 0, 0) => -1.0,
        (FacadeShape::Gallery3, 1, 2) => 2.0,
        (FacadeShape::Gallery5, 2, 1) | (FacadeShape::Balcony7, 1, 2) | (FacadeShape::TerraceOpen, 1, 1) => 4.0,
        (FacadeShape::Balcony6, 2, 2) | (FacadeShape::TerraceClosed, 0, 0) => 3.0,
        (FacadeShape::TerraceClosed, 2, 2) => 7.0,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_held_is_not_guessed() {
        assert_eq!(shape_difference_db(FacadeShape::Gallery2, 3.0, 0.9), None);
        assert_eq!(shape_difference_db(FacadeShape::Plane, 3.0, 0.9), Some(0.0));
    }
}
