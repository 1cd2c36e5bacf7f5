//! What a job takes, before goods are found for it.

use super::face::Face;
use super::model::JobKind;
use crate::building::SpaceIndex;
use crate::catalogue::Construction;
use crate::catalogue::goods::Part;

/// Something a job takes.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Want<'a> {
    /// A layer over a face: material, thickness in mm, which layer of the face.
    Layer(&'a str, f64, usize),
    /// Pieces of a board by themselves: material, thickness in mm, sizes in m.
    Pieces(&'a str, f64, Vec<[f64; 2]>),
    /// A fill of so many m²: material, thickness in mm.
    Fill(&'a str, f64, f64),
    /// A door, window or vent of a size in m.
    Whole(&'a Construction, [f64; 2]),
    /// A build as a whole, by its m².
    Built(&'a Construction, f64),
    /// A seal: id, and m of it.
    Seal(&'a str, f64),
    /// A finish: id, and m² of it.
    Finish(&'a str, f64),
    /// A quieter instrument: id of its sound.
    Sound(&'a str),
    /// So many pieces, m or m² of a part.
    Part(Part, f64),
    /// Bars of a part: lengths in m.
    Bars(Part, Vec<f64>),
    /// Parts that carry: how many, and kg on each.
    Loaded(Part, f64, f64),
    /// What no good can be: what, how much, in which measure.
    Unknown(String, f64, &'static str),
}

/// A job before goods are found for it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Draft<'a> {
    pub kind: JobKind,
    pub title: String,
    pub place: String,
    /// The face its layers lie on.
    pub face: Face,
    pub wants: Vec<Want<'a>>,
    /// A whole build whose price stands in where a layer has no good.
    pub instead: Option<&'a Construction>,
    pub cautions: Vec<&'a str>,
    pub stands_in: Option<SpaceIndex>,
}

impl Draft<'_> {
    /// A job without anything yet.
    pub(super) fn new(kind: JobKind, title: String, place: String) -> Self {
        Self {
            kind,
            title,
            place,
            face: Face::default(),
            wants: vec![],
            instead: None,
            cautions: vec![],
            stands_in: None,
        }
    }
}
